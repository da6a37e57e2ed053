//! Words and tokens from written text, for this stage's tests.

use crate::lexicon::Token;
use crate::speech::Word;

/// Returns the words of `text` and their tokens, split as the lexicon stage does: lowercase,
/// contractions, hyphens, and digits from letters split, punctuation dropped.
pub(super) fn sample(text: &str) -> (Vec<Word>, Vec<Token>) {
    let (mut words, mut tokens) = (Vec::new(), Vec::new());
    for text in text.split_whitespace() {
        for norm in split(&text.to_lowercase()) {
            tokens.push(Token {
                norm,
                word: words.len(),
                probability: 1.0,
            });
        }
        words.push(Word {
            text: text.to_owned(),
            recording: 1,
            span: None,
            probability: 1.0,
            line_end: false,
        });
    }
    (words, tokens)
}

/// Returns the tokens alone.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    sample(text).1
}

fn split(word: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut current = String::new();
    let chars: Vec<char> = word.chars().collect();
    for (i, c) in chars.iter().enumerate() {
        let next = chars.get(i + 1).copied().unwrap_or(' ');
        let inside_number = matches!(c, '.' | ',' | '/')
            && current.ends_with(|d: char| d.is_ascii_digit())
            && next.is_ascii_digit();
        let clitic = *c == '\'' && current.ends_with(char::is_alphabetic) && next.is_alphabetic();
        let turns = current.ends_with(|d: char| d.is_ascii_digit())
            && c.is_alphabetic()
            && !["st", "nd", "rd", "th"].iter().any(|o| word.ends_with(o));
        if c.is_alphanumeric() && !turns || inside_number {
            current.push(*c);
        } else {
            out.push(std::mem::take(&mut current));
            if clitic || turns {
                current.push(*c);
            }
        }
    }
    out.push(current);
    out.retain(|t| !t.is_empty());
    out
}
