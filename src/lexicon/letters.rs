//! Letters to sounds: British phonemes by rule, for words that no list has.
//!
//! Each rule reads some letters between a left and a right context, longest and rarest first; the
//! first rule that fits wins and the reading goes on behind its letters. The form of the rules is
//! that of Elovitz, Johnson, McHugh and Shore, *Automatic Translation of English Text to Phonetics
//! by Means of Letter-to-Sound Rules* (Naval Research Laboratory report 7948, 1976), contexts
//! included; the rules themselves are written for this program, British and without R before
//! consonants.
//!
//! Contexts: `_` the word's edge, `#` one or more vowel letters, `:` any number of consonants, `^`
//! one consonant, `.` one voiced consonant, `&` one sibilant letter, `+` one of *e i y*, `%` an
//! ending (*e, es, ed, er, ers, ing, ings, ely*) and then the edge.

use super::letter_rules::{RULES, Rule};
use super::phonemes::{self, Phoneme};
use std::sync::LazyLock;

/// The rules by first letter, *a* to *z*.
static BY_LETTER: LazyLock<Vec<Vec<ReadRule>>> = LazyLock::new(|| {
    let mut by_letter = vec![Vec::new(); 26];
    for &Rule(left, letters, right, say) in RULES {
        let rule = ReadRule {
            left: left.chars().collect(),
            letters: letters.chars().collect(),
            right: right.chars().collect(),
            // A test parses every rule, so none is lost here.
            say: phonemes::parse(say).unwrap_or_default(),
        };
        if let Some(place) = letters.bytes().next().and_then(index) {
            by_letter[place].push(rule);
        }
    }
    by_letter
});

#[derive(Debug, Clone)]
struct ReadRule {
    left: Vec<char>,
    letters: Vec<char>,
    right: Vec<char>,
    say: Vec<Phoneme>,
}

fn index(letter: u8) -> Option<usize> {
    letter
        .is_ascii_lowercase()
        .then(|| usize::from(letter - b'a'))
}

/// Returns the phonemes of a lowercase word as its letters suggest; none for signs and digits.
pub(super) fn pronounce(word: &str) -> Vec<Phoneme> {
    let letters: Vec<char> = word.chars().filter_map(plain).collect();
    let mut said: Vec<Phoneme> = Vec::with_capacity(letters.len());
    let mut at = 0;
    while at < letters.len() {
        let rules = index(letters[at] as u8).map_or(&[][..], |place| &BY_LETTER[place]);
        match rules.iter().find(|rule| rule.fits(&letters, at)) {
            Some(rule) => {
                said.extend(&rule.say);
                at += rule.letters.len();
            }
            None => at += 1,
        }
    }
    // Doubled letters make one sound: *grout* + *t*.
    said.dedup_by(|b, a| a == b && !a.is_vowel());
    said
}

/// Returns the letter without its accent; `None` for anything but a letter.
fn plain(c: char) -> Option<char> {
    match c {
        'a'..='z' => Some(c),
        'à' | 'á' | 'â' | 'ä' => Some('a'),
        'è' | 'é' | 'ê' | 'ë' => Some('e'),
        'ì' | 'í' | 'î' | 'ï' => Some('i'),
        'ò' | 'ó' | 'ô' | 'ö' => Some('o'),
        'ù' | 'ú' | 'û' | 'ü' => Some('u'),
        'ç' => Some('c'),
        _ => None,
    }
}

impl ReadRule {
    fn fits(&self, word: &[char], at: usize) -> bool {
        let after = at + self.letters.len();
        word.len() >= after
            && word[at..after] == self.letters[..]
            && fits_right(&self.right, &word[after..])
            && fits_left(&self.left, &word[..at])
    }
}

const ENDINGS: [&str; 8] = ["e", "es", "ed", "er", "ers", "ing", "ings", "ely"];

fn is_vowel(c: char) -> bool {
    matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y')
}

/// Returns true where one letter fits a symbol that stands for one letter.
fn fits_one(symbol: char, letter: char) -> bool {
    match symbol {
        '^' => !is_vowel(letter),
        '.' => matches!(
            letter,
            'b' | 'd' | 'g' | 'j' | 'l' | 'm' | 'n' | 'r' | 'v' | 'w' | 'z'
        ),
        '&' => matches!(letter, 's' | 'c' | 'g' | 'z' | 'x' | 'j'),
        '+' => matches!(letter, 'e' | 'i' | 'y'),
        symbol => symbol == letter,
    }
}

fn fits_right(symbols: &[char], mut rest: &[char]) -> bool {
    for &symbol in symbols {
        match symbol {
            '_' if rest.is_empty() => {}
            '_' => return false,
            '#' => {
                let vowels = rest.iter().take_while(|&&c| is_vowel(c)).count();
                if vowels == 0 {
                    return false;
                }
                rest = &rest[vowels..];
            }
            ':' => rest = &rest[rest.iter().take_while(|&&c| !is_vowel(c)).count()..],
            '%' => {
                return ENDINGS
                    .iter()
                    .any(|ending| ending.chars().eq(rest.iter().copied()));
            }
            _ => match rest.split_first() {
                Some((&first, others)) if fits_one(symbol, first) => rest = others,
                _ => return false,
            },
        }
    }
    true
}

fn fits_left(symbols: &[char], mut rest: &[char]) -> bool {
    for &symbol in symbols.iter().rev() {
        match symbol {
            '_' if rest.is_empty() => {}
            '_' => return false,
            '#' => {
                let vowels = rest.iter().rev().take_while(|&&c| is_vowel(c)).count();
                if vowels == 0 {
                    return false;
                }
                rest = &rest[..rest.len() - vowels];
            }
            ':' => {
                let consonants = rest.iter().rev().take_while(|&&c| !is_vowel(c)).count();
                rest = &rest[..rest.len() - consonants];
            }
            _ => match rest.split_last() {
                Some((&last, others)) if fits_one(symbol, last) => rest = others,
                _ => return false,
            },
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::super::distance::edits;
    use super::super::{british, dictionary};
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_rule_names_known_sounds() {
        for Rule(left, letters, right, say) in RULES {
            assert!(phonemes::parse(say).is_ok(), "{left}[{letters}]{right}");
            assert!(
                letters.bytes().next().and_then(index).is_some(),
                "{letters}"
            );
        }
    }

    #[test]
    fn words_are_read_by_their_letters() {
        // Right: `espeak-ng -v en-gb --ipa` 1.51, its symbols rewritten in ARPABET by hand.
        let table = [
            ("grout", "G R AW T"),
            ("plinth", "P L IH N TH"),
            ("mastic", "M AE S T IH K"),
            ("coving", "K OW V IH NG"),
            ("soffit", "S OH F IH T"),
            ("hinge", "HH IH N JH"),
            ("latch", "L AE CH"),
            ("tile", "T AY L"),
            ("sealing", "S IY L IH NG"),
            ("knob", "N OH B"),
            ("screed", "S K R IY D"),
            ("purlin", "P ER L IH N"),
            ("mortar", "M AO T AH"),
            ("batten", "B AE T AH N"),
            ("gully", "G AH L IY"),
            ("shower", "SH AW AH"),
            ("chipped", "CH IH P T"),
            ("scratches", "S K R AE CH IH Z"),
            ("flashing", "F L AE SH IH NG"),
            ("insulation", "IH N S AH L EY SH AH N"),
        ];
        for (word, expected) in table {
            assert_eq!(phonemes::symbols(&pronounce(word)), expected, "{word}");
        }
    }

    #[test]
    fn reading_is_near_the_dictionary() {
        // Against all words of the CMU Pronouncing Dictionary that are carried, made British.
        let (mut edited, mut length, mut same, mut count) = (0, 0, 0, 0);
        for (word, symbols) in dictionary::lines() {
            let expected = british::british(word, symbols);
            let edits = edits(&pronounce(word), &expected);
            edited += edits;
            length += expected.len();
            same += usize::from(edits == 0);
            count += 1;
        }
        let wrong = edited as f64 / length as f64;
        println!(
            "phonemes wrong {wrong:.3}, words right {:.3}",
            f64::from(same as u32) / f64::from(count)
        );
        assert!(
            wrong < MOST_WRONG,
            "{wrong:.3} of phonemes differ from the dictionary"
        );
    }

    /// The share of phonemes that may differ; a little above what was measured when it was written.
    const MOST_WRONG: f64 = 0.14;

    proptest! {
        #[test]
        fn any_word_can_be_read(word in ".{0,20}") {
            pronounce(&word);
        }
    }
}
