//! American pronunciations as the CMU Pronouncing Dictionary writes them, turned into British ones.
//!
//! The rules are the usual differences between General American and the southern British standard
//! (Wells, *Accents of English*, 1982, lexical sets BATH, CLOTH, LOT, NURSE, NEAR, SQUARE, CURE;
//! rule wording from memory). They need not be perfect: lexicon and heard words go through the same.

use super::phonemes::Phoneme::{self, *};

/// One dictionary symbol: a phoneme and, for vowels, whether it is unstressed.
#[derive(Debug, Clone, Copy)]
struct Sound {
    phoneme: Phoneme,
    weak: bool,
}

/// Beginnings of words with the BATH vowel. From memory.
const BATH: &[&str] = &[
    "advance", "after", "answer", "aunt", "bask", "bath", "branch", "brass", "calf", "can't",
    "cast", "castle", "chance", "class", "command", "craft", "dance", "demand", "disast", "draft",
    "draught", "enhance", "example", "fast", "france", "ghast", "giraffe", "glance", "glass",
    "graft", "grant", "grasp", "grass", "half", "halv", "lance", "last", "laugh", "mask", "master",
    "nasty", "pass", "past", "path", "pastor", "plant", "plaster", "raft", "rather", "sample",
    "shaft", "slant", "staff", "stanch", "task", "trance", "vast",
];

/// Words whose American `AA` is the PALM vowel, not the LOT vowel. From memory.
const PALM: &[&str] = &[
    "balm", "calm", "father", "palm", "spa", "lager", "drama", "pyjama", "massage", "garage",
];

/// Returns the British phonemes of a word from its CMU symbols; unknown symbols are skipped.
pub(super) fn british(word: &str, symbols: &str) -> Vec<Phoneme> {
    let sounds: Vec<Sound> = symbols.split_whitespace().filter_map(sound).collect();
    let bath = BATH.iter().any(|bath| word.starts_with(bath))
        && word != "pastel"
        && !word.starts_with("passag");
    let palm = PALM.iter().any(|palm| word.starts_with(palm));
    let cloth = word.contains('o')
        && !["au", "aw", "oar", "oor", "ough", "our", "ore"]
            .iter()
            .any(|long| word.contains(long));
    let mut said: Vec<Phoneme> = Vec::with_capacity(sounds.len() + 2);
    for (at, &Sound { phoneme, weak }) in sounds.iter().enumerate() {
        let next = sounds.get(at + 1).map(|sound| sound.phoneme);
        let before_r = next == Some(R);
        let r_is_said = sounds
            .get(at + 2)
            .is_some_and(|sound| sound.phoneme.is_vowel());
        match phoneme {
            R if !next.is_some_and(Phoneme::is_vowel) && !said.is_empty() => {
                // Said only before a vowel; near, square and cure keep its trace.
                match said.last() {
                    Some(IH | EH | IY | EY) => said.push(AH),
                    Some(UH) => {
                        said.pop();
                        said.push(AO);
                    }
                    Some(AY | AW) => said.push(AH),
                    _ => {}
                }
            }
            ER => {
                said.push(if weak { AH } else { ER });
                if next.is_some_and(Phoneme::is_vowel) {
                    said.push(R);
                }
            }
            AA if before_r && !r_is_said => said.push(AA),
            AA if before_r => said.push(if word.contains("ar") { AA } else { OH }),
            AA if palm => said.push(AA),
            AA => said.push(OH),
            AE if bath && at < 5 => said.push(AA),
            AO if before_r && r_is_said => said.push(OH),
            AO if before_r => said.push(AO),
            AO if cloth => said.push(OH),
            UW if matches!(said.last(), Some(T | D | N)) && glides(word) => said.extend([Y, UW]),
            other => said.push(other),
        }
    }
    said
}

/// Returns true for spellings whose long *u* has a glide in British English: *tube*, *new*.
fn glides(word: &str) -> bool {
    !word.contains('o') && (word.contains('u') || word.contains("ew"))
}

fn sound(symbol: &str) -> Option<Sound> {
    let name = symbol.trim_end_matches(|c: char| c.is_ascii_digit());
    let found = Phoneme::ALL.iter().find(|(_, symbol)| *symbol == name)?;
    Some(Sound {
        phoneme: found.0,
        weak: symbol.ends_with('0'),
    })
}

#[cfg(test)]
mod tests {
    use super::super::phonemes::symbols;
    use super::*;

    #[test]
    fn american_sounds_become_british() {
        // Left: the CMU Pronouncing Dictionary; right: southern British as `espeak-ng -v en-gb
        // --ipa` 1.51 says it, symbol by symbol.
        let table = [
            ("door", "D AO1 R", "D AO"),
            ("plaster", "P L AE1 S T ER0", "P L AA S T AH"),
            ("bottom", "B AA1 T AH0 M", "B OH T AH M"),
            ("hard", "HH AA1 R D", "HH AA D"),
            ("turn", "T ER1 N", "T ER N"),
            ("near", "N IH1 R", "N IH AH"),
            ("square", "S K W EH1 R", "S K W EH AH"),
            ("mirror", "M IH1 R ER0", "M IH R AH"),
            ("cross", "K R AO1 S", "K R OH S"),
            ("wall", "W AO1 L", "W AO L"),
            ("new", "N UW1", "N Y UW"),
            ("batteries", "B AE1 T ER0 IY0 Z", "B AE T AH R IY Z"),
            ("orange", "AO1 R AH0 N JH", "OH R AH N JH"),
        ];
        for (word, american, expected) in table {
            assert_eq!(symbols(&british(word, american)), expected, "{word}");
        }
    }
}
