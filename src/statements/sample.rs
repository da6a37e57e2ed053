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
            meant: None,
        });
    }
    (words, tokens)
}

/// Returns the tokens alone.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    sample(text).1
}

fn split(word: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    let chars: Vec<char> = word.chars().collect();
    let sort = |c: char| match c {
        _ if c.is_ascii_digit() => 1,
        '¼'..='¾' | '⅐'..='⅞' => 2,
        '%' | '°' | '±' => 3,
        _ => 4,
    };
    for (i, c) in chars.iter().copied().enumerate() {
        let next = chars.get(i + 1).copied().unwrap_or(' ');
        let last = out.last().and_then(|w| w.chars().next_back());
        let digits_around = last.is_some_and(|c| c.is_ascii_digit()) && next.is_ascii_digit();
        if matches!(c, ',' | '\'') && digits_around {
            continue;
        }
        let rest: String = chars[i..].iter().collect();
        let ordinal = last.is_some_and(|c| c.is_ascii_digit())
            && matches!(rest.as_str(), "st" | "nd" | "rd" | "th");
        let clitic = c == '\'' && last.is_some_and(char::is_alphabetic) && next.is_alphabetic();
        let part = c.is_alphanumeric() || sort(c) == 3 || c == '.' && digits_around || clitic;
        let turns = c != '.' && last.is_some_and(|l| l != '.' && l != '\'' && sort(l) != sort(c));
        if !part || clitic || turns && !ordinal {
            out.push(String::new());
        }
        if let Some(word) = out.last_mut().filter(|_| part) {
            word.push(c);
        }
    }
    out.retain(|t| !t.is_empty());
    out
}
