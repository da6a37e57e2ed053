//! Words in one common form, so that writing differently does not count as hearing wrongly.

use crate::lexicon::Token;
use crate::statements::{number_at, ordinal_at};

/// Sounds that carry no word. *Mm* is not among them: it is also millimetres.
const FILLERS: &[&str] = &["um", "umm", "uh", "uhh", "er", "erm", "err", "hmm", "ah"];

/// Returns the words of `text` in common form:
/// 1. lowercase; `%`, `°` and `&` become *percent*, *degrees* and *and*; all other punctuation but
///    apostrophes within words becomes a space (so `re-fix` is two words), and digits part from
///    letters (`6mm` is two words);
/// 2. fillers (*um*, *uh*, *er*) are left out;
/// 3. numbers in words become digits (*nineteen* is `19`, *two twenty six* is `226`), ordinals too
///    (*third* and `3rd` are both `3th`);
/// 4. `spelling` turns each word into the spelling that counts, for instance American into British.
pub fn normalise(text: &str, spelling: impl Fn(&str) -> String) -> Vec<String> {
    let tokens: Vec<Token> = plain_words(text)
        .into_iter()
        .filter(|word| !FILLERS.contains(&word.as_str()))
        .enumerate()
        .map(|(word, norm)| Token {
            norm,
            word,
            probability: 1.0,
        })
        .collect();
    let mut words = Vec::new();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        if let Some(number) = number_at(&tokens, at) {
            words.push(number.value.to_string());
            at = number.tokens.end;
        } else if let Some(ordinal) = ordinal_at(&tokens, at) {
            words.push(format!("{}th", ordinal.value));
            at = ordinal.tokens.end;
        } else {
            words.push(spelling(&token.norm));
            at += 1;
        }
    }
    words
}

fn plain_words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace('’', "'");
    let lower = lower
        .replace('%', " percent ")
        .replace('°', " degrees ")
        .replace('&', " and ");
    let mut words = vec![String::new()];
    let mut chars = lower.chars().peekable();
    while let Some(c) = chars.next() {
        let next = chars.peek().copied();
        let last = words.last().and_then(|w| w.chars().next_back());
        let after_digit = last.is_some_and(|c| c.is_ascii_digit());
        let after_letter = last.is_some_and(char::is_alphabetic);
        let before_digit = next.is_some_and(|c| c.is_ascii_digit());
        let inside_number = matches!(c, '.' | ',' | '/') && after_digit && before_digit;
        let inside_word = c == '\'' && after_letter && next.is_some_and(char::is_alphabetic);
        let ordinal_ending = after_digit
            && matches!(
                (c, next),
                ('s', Some('t')) | ('n' | 'r', Some('d')) | ('t', Some('h'))
            );
        let parts = after_digit && c.is_alphabetic() && !ordinal_ending;
        if !c.is_alphanumeric() && !inside_number && !inside_word || parts {
            words.push(String::new());
        }
        if let Some(word) = words.last_mut()
            && (c.is_alphanumeric() || inside_number || inside_word)
        {
            word.push(c);
        }
    }
    words.retain(|w| !w.is_empty());
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brings_words_into_one_form() {
        for (text, expected) in [
            (
                "Gap of Nineteen millimetres, er, here!",
                "gap of 19 millimetres here",
            ),
            ("It's 1,200 wide", "it's 1200 wide"),
            ("the 2nd door's re-fixed", "the 2th door's re fixed"),
            ("6mm", "6 mm"),
            ("half open", "0.5 open"),
            ("one of the tiles", "one of the tiles"),
            ("'quoted'", "quoted"),
            ("", ""),
        ] {
            assert_eq!(
                normalise(text, str::to_owned).join(" "),
                expected,
                "in {text:?}"
            );
        }
    }
}
