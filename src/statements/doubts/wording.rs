//! Wordings as words: whether two say the same, and how one is written in the place of what was heard.

use crate::speech::Word;
use crate::statements::grammar::{Class, class};

/// A word without the sign of the plural.
fn singular(word: &str) -> String {
    let cut = |ending: &str, one: &str| Some(word.strip_suffix(ending)?.to_owned() + one);
    let found = cut("ves", "f")
        .or_else(|| cut("ies", "y"))
        .or_else(|| cut("ches", "ch"));
    found
        .or_else(|| cut("s", ""))
        .unwrap_or_else(|| word.to_owned())
}

/// True where a wording has a word, in the singular or the plural.
pub(super) fn says(wording: &str, word: &str) -> bool {
    wording.split(' ').any(|w| singular(w) == singular(word))
}

/// True for the same words, but for small ones: *the gable end's* and *gable ends*.
pub(super) fn same_words(one: &str, other: &str) -> bool {
    let small = |word: &&str| matches!(class(word), Class::Determiner | Class::Verb);
    let said = |text: &str| -> Vec<String> {
        let words = text.split(' ').filter(|word| !small(word));
        words.map(singular).collect()
    };
    one == other || said(one) == said(other)
}

/// Returns a wording as it would be written in place of these words.
pub(super) fn written(wording: &str, heard: &[Word]) -> String {
    let mut text = wording.replace(" 's", "'s");
    let capital = heard
        .first()
        .is_some_and(|w| w.text.starts_with(char::is_uppercase));
    if let Some(first) = text.chars().next().filter(|_| capital) {
        text.replace_range(..first.len_utf8(), &first.to_uppercase().to_string());
    }
    let last = heard.last().map_or("", |w| w.text.as_str());
    let ends = last.trim_end_matches(|c: char| !c.is_alphanumeric()).len();
    text + &last[ends..]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_words_are_no_others() {
        for (one, other, same) in [
            ("gable ends", "gable end 's", true),
            ("shelves", "shelf", true),
            ("the door seal", "door seals", true),
            ("end panel", "and panel", false),
            ("nail pops", "nail pots", false),
        ] {
            assert_eq!(same_words(one, other), same, "{one}: {other}");
        }
    }
}
