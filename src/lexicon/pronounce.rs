//! How words are said: trade words from `sounds.toml`, common words from the dictionary, the rest by
//! their letters.

use super::phonemes::{self, Phoneme};
use super::{dictionary, letters};
use std::collections::BTreeMap;

/// How each word is pronounced, for lexicon and heard words alike.
#[derive(Debug, PartialEq)]
pub(super) struct Pronouncer {
    /// From `sounds.toml`.
    known: BTreeMap<String, Vec<Phoneme>>,
}

impl Pronouncer {
    pub(super) fn new(known: BTreeMap<String, Vec<Phoneme>>) -> Pronouncer {
        Pronouncer { known }
    }

    /// Returns the phonemes of a normal word: from the trade words, else the dictionary, else its
    /// letters. Forms of trade words in *-s*, *-ed* and *-ing* follow their base.
    pub(super) fn pronounce(&self, word: &str) -> Vec<Phoneme> {
        if word == "'s" {
            return vec![Phoneme::Z];
        }
        self.known
            .get(word)
            .cloned()
            .or_else(|| self.inflected(word))
            .or_else(|| dictionary::pronounce(word))
            .or_else(|| spelled(word))
            .unwrap_or_else(|| letters::pronounce(word))
    }

    fn inflected(&self, word: &str) -> Option<Vec<Phoneme>> {
        use Phoneme::*;
        let base = |ending: &str, back: &str| {
            word.strip_suffix(ending)
                .and_then(|stem| self.known.get(&format!("{stem}{back}")))
                .cloned()
        };
        if let Some(mut said) = base("s", "") {
            match said.last() {
                Some(S | Z | SH | ZH | CH | JH) => said.extend([IH, Z]),
                Some(P | T | K | F | TH) => said.push(S),
                _ => said.push(Z),
            }
            return Some(said);
        }
        if let Some(mut said) =
            base("es", "").filter(|said| matches!(said.last(), Some(S | Z | SH | CH | JH)))
        {
            said.extend([IH, Z]);
            return Some(said);
        }
        if let Some(mut said) = base("ies", "y") {
            said.push(Z);
            return Some(said);
        }
        if let Some(mut said) = base("ing", "").or_else(|| base("ing", "e")) {
            said.extend([IH, NG]);
            return Some(said);
        }
        if let Some(mut said) = base("ed", "").or_else(|| base("ed", "e")) {
            match said.last() {
                Some(T | D) => said.extend([IH, D]),
                Some(P | K | F | S | SH | CH | TH) => said.push(T),
                _ => said.push(D),
            }
            return Some(said);
        }
        None
    }
}

/// The most letters of a word that is spelled out.
const LONGEST_SPELLED: usize = 5;

/// The British names of the letters that are no vowels.
#[rustfmt::skip]
const LETTER_NAMES: [(char, &str); 20] = [
    ('b', "B IY"), ('c', "S IY"), ('d', "D IY"), ('f', "EH F"), ('g', "JH IY"), ('h', "EY CH"), ('j', "JH EY"),
    ('k', "K EY"), ('l', "EH L"), ('m', "EH M"), ('n', "EH N"), ('p', "P IY"), ('q', "K Y UW"), ('r', "AA"),
    ('s', "EH S"), ('t', "T IY"), ('v', "V IY"), ('w', "D AH B AH L Y UW"), ('x', "EH K S"), ('z', "Z EH D"),
];

/// *TGRV*: a word without a vowel is said letter by letter. `None` for any other.
fn spelled(word: &str) -> Option<Vec<Phoneme>> {
    if !(2..=LONGEST_SPELLED).contains(&word.len()) {
        return None;
    }
    let name = |letter: char| LETTER_NAMES.iter().find(|(of, _)| *of == letter);
    let names: Option<Vec<&str>> = word.chars().map(|c| name(c).map(|(_, say)| *say)).collect();
    phonemes::parse(&names?.join(" ")).ok()
}

#[cfg(test)]
mod tests {
    use super::super::builtin;
    use super::super::phonemes::{self, symbols};
    use super::super::schema::Table;
    use super::*;

    fn pronouncer() -> Pronouncer {
        let sounds = builtin::entries()
            .0
            .iter()
            .filter(|entry| entry.table == Table::Sound);
        let known = sounds.map(|entry| {
            let say = entry.text("say").map_or("", |say| say.text.as_str());
            (entry.identity.clone(), phonemes::parse(say).unwrap())
        });
        Pronouncer::new(known.collect())
    }

    #[test]
    fn words_sound_british() {
        // Right: `espeak-ng -v en-gb --ipa` 1.51, its symbols rewritten in ARPABET by hand, weak
        // vowels as in `sounds.toml`.
        let table = [
            // From sounds.toml, and forms of its words.
            ("architrave", "AA K IH T R EY V"),
            ("architraves", "AA K IH T R EY V Z"),
            ("soffits", "S OH F IH T S"),
            ("hinges", "HH IH N JH IH Z"),
            ("gullies", "G AH L IY Z"),
            ("grouted", "G R AW T IH D"),
            ("repointed", "R IY P OY N T IH D"),
            ("repointing", "R IY P OY N T IH NG"),
            ("scaling", "S K EY L IH NG"),
            ("stippled", "S T IH P AH L D"),
            ("dpc", "D IY P IY S IY"),
            // From the dictionary.
            ("door", "D AO"),
            ("window", "W IH N D OW"),
            ("water", "W AO T AH"),
            ("bottom", "B OH T AH M"),
            // By their letters.
            ("downpup", "D AW N P AH P"),
            ("scirting", "S ER T IH NG"),
            // Letter by letter, having no vowel.
            ("tgrv", "T IY JH IY AA V IY"),
            ("mz", "EH M Z EH D"),
            ("'s", "Z"),
            ("42", ""),
        ];
        let pronouncer = pronouncer();
        for (word, expected) in table {
            assert_eq!(symbols(&pronouncer.pronounce(word)), expected, "{word}");
        }
    }

    #[test]
    fn trade_words_are_not_in_the_dictionary_by_another_sound() {
        // Words in both: the hand-written sound may differ a little from the dictionary's, as weak
        // vowels do, but not be another word.
        for (word, said) in &pronouncer().known {
            if let Some(other) = dictionary::pronounce(word) {
                let edits = super::super::distance::edits(said, &other);
                assert!(
                    edits * 2 <= said.len(),
                    "{word}: {} {}",
                    symbols(said),
                    symbols(&other)
                );
            }
        }
    }
}
