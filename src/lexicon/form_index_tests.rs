//! Holds what the automaton finds against a plain look-up of every run of tokens, on random rows of
//! the embedded files' own forms, with words joined and split at random.

use super::form_index::FormIndex;
use super::{Lexicon, Token};
use proptest::prelude::*;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::LazyLock;

struct Case {
    /// The words of each form.
    forms: Vec<Vec<String>>,
    index: FormIndex,
    /// The forms without spaces, with their positions.
    table: HashMap<String, Vec<usize>>,
}

static EMBEDDED: LazyLock<Case> = LazyLock::new(|| {
    let lexicon = Lexicon::builtin().expect("sound files");
    let forms = lexicon.wordings().flat_map(|wording| &wording.forms);
    Case::new(forms.map(|form| form.words.clone()).collect())
});

impl Case {
    fn new(forms: Vec<Vec<String>>) -> Case {
        let compact: Vec<String> = forms.iter().map(|words| words.concat()).collect();
        let index = FormIndex::new(&compact).expect("few enough forms");
        let mut table: HashMap<String, Vec<usize>> = HashMap::new();
        for (form, letters) in compact.into_iter().enumerate() {
            table.entry(letters).or_default().push(form);
        }
        Case {
            forms,
            index,
            table,
        }
    }

    fn look_up(&self, tokens: &[Token]) -> Vec<(Range<usize>, usize)> {
        let mut found = Vec::new();
        for start in 0..tokens.len() {
            let mut letters = String::new();
            for end in start + 1..=tokens.len() {
                letters.push_str(&tokens[end - 1].norm);
                let forms = self.table.get(&letters).into_iter().flatten();
                found.extend(forms.map(|form| (start..end, *form)));
            }
        }
        found
    }
}

fn tokens<'a>(words: impl IntoIterator<Item = &'a str>) -> Vec<Token> {
    let token = |(word, norm): (usize, &str)| Token {
        norm: norm.to_owned(),
        word,
        probability: 1.0,
    };
    words.into_iter().enumerate().map(token).collect()
}

#[test]
fn forms_are_found_where_tokens_begin_and_end() {
    let forms = [
        "down pipe",
        "pipe",
        "door",
        "door leaf",
        "door",
        "½",
        "1 ½",
        "",
    ];
    let split = |text: &str| text.split_whitespace().map(str::to_owned).collect();
    let case = Case::new(forms.iter().map(|text| split(text)).collect());
    type Found = &'static [(Range<usize>, usize)];
    let table: &[(&str, Found)] = &[
        ("", &[]),
        ("downpipe", &[(0..1, 0)]),
        ("down pipe", &[(0..2, 0), (1..2, 1)]),
        ("do wnpi pe", &[(0..3, 0)]),
        // Equal forms are two.
        ("door leaf", &[(0..1, 2), (0..1, 4), (0..2, 3)]),
        ("indoor outdoors doorleaf", &[(2..3, 3)]),
        ("1 ½", &[(0..2, 6), (1..2, 5)]),
        // Within a letter of several bytes nothing begins.
        ("Â½ é", &[]),
    ];
    for (text, expected) in table {
        let tokens = tokens(text.split_whitespace());
        assert_eq!(case.index.find(&tokens), *expected, "{text}");
        assert_eq!(case.look_up(&tokens), *expected, "{text}, looked up");
    }
}

/// Rows of forms as one word each, or as their words, or cut anew.
fn rows() -> impl Strategy<Value = Vec<String>> {
    let piece = (any::<proptest::sample::Index>(), 0..4u8, 1..9usize);
    proptest::collection::vec(piece, 0..8).prop_map(|pieces| {
        let mut row = Vec::new();
        for (form, manner, length) in pieces {
            let words = form.get(&EMBEDDED.forms);
            match manner {
                0 => row.push(words.concat()),
                1 => {
                    let letters: Vec<char> = words.concat().chars().collect();
                    row.extend(letters.chunks(length).map(|part| part.iter().collect()));
                }
                _ => row.extend(words.iter().cloned()),
            }
        }
        row
    })
}

proptest! {
    #[test]
    fn the_automaton_finds_what_a_plain_look_up_finds(row in rows()) {
        let tokens = tokens(row.iter().map(String::as_str));
        let found = EMBEDDED.index.find(&tokens);
        prop_assert_eq!(&found, &EMBEDDED.look_up(&tokens));
        // Every form of the row was there to be found.
        prop_assert!(found.is_empty() == row.is_empty());
    }
}
