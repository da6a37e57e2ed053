//! Names of sheets: unlike each other, short, and without the characters that formulas need.

use std::collections::BTreeSet;

/// Longest name in characters (Excel specifications and limits).
const LONGEST: usize = 31;

/// Names given so far, in lower case: programs do not tell capitals apart here.
pub(super) struct SheetNames(BTreeSet<String>);

impl SheetNames {
    /// Returns the names that are taken from the start; *History* is reserved by Excel.
    pub(super) fn new(taken: &[&str]) -> SheetNames {
        let taken = taken.iter().chain(&["History"]);
        SheetNames(taken.map(|name| name.to_lowercase()).collect())
    }

    /// Returns a name like the one wanted that no sheet has yet.
    pub(super) fn unique(&mut self, wanted: &str) -> String {
        let clean: String = wanted
            .chars()
            .map(|c| match c {
                '[' | ']' | ':' | '*' | '?' | '/' | '\\' => ' ',
                c => c,
            })
            .collect();
        let clean = clean.trim_matches(['\'', ' ']);
        let clean = if clean.is_empty() { "Sheet" } else { clean };
        let mut name = cut(clean, LONGEST);
        let mut number = 2;
        while !self.0.insert(name.to_lowercase()) {
            let ending = format!(" {number}");
            name = format!("{}{ending}", cut(clean, LONGEST - ending.len()));
            number += 1;
        }
        name
    }
}

/// Returns the first characters of the text. Spreadsheets count in UTF-16.
fn cut(text: &str, most: usize) -> String {
    let mut left = most;
    let fits = |c: &char| match left.checked_sub(c.len_utf16()) {
        Some(rest) => {
            left = rest;
            true
        }
        None => false,
    };
    let cut: String = text.chars().take_while(fits).collect();
    cut.trim_end_matches(['\'', ' ']).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fit_and_differ() {
        let mut names = SheetNames::new(&["Items"]);
        for (wanted, name) in [
            ("Joiner", "Joiner"),
            ("JOINER", "JOINER 2"),
            ("items", "items 2"),
            ("history", "history 2"),
            ("a/b\\c:d*e?f[g]", "a b c d e f g"),
            ("'quoted'", "quoted"),
            ("", "Sheet"),
            ("''", "Sheet 2"),
            (&"x".repeat(40), &"x".repeat(31)),
            (&"x".repeat(41), &("x".repeat(29) + " 2")),
            (&"😀".repeat(20), &"😀".repeat(15)),
        ] {
            assert_eq!(names.unique(wanted), name);
        }
    }
}
