//! Which mishearings can be known without harm, and what must stand near them.

use super::compare::Heard;
use callover::lexicon::{How, Kind, Lexicon, Token};

/// Words farther from a name in sound, as weighted edits over its sounds, stand in its place by an
/// accident of the alignment.
const FARTHEST: f32 = 0.6;

/// Longer rows of words do not come again.
const MOST_WORDS: usize = 4;

/// Shorter words stand for too many others.
const FEWEST_LETTERS: usize = 4;

/// What the mishearings are held against.
pub(crate) struct Harmless<'a> {
    lexicon: &'a Lexicon,
    /// Texts of people at work, as tokens: what occurs there means itself.
    said: Vec<Vec<Token>>,
}

impl Harmless<'_> {
    pub(crate) fn new<'a>(lexicon: &'a Lexicon, texts: &[String]) -> Harmless<'a> {
        let said = texts.iter().map(|text| lexicon.tokens_of(text)).collect();
        Harmless { lexicon, said }
    }

    /// Returns what must stand near a mishearing for it to count; nothing where it stands for itself,
    /// `None` where it may mean something else.
    pub(crate) fn near(&self, heard: &Heard) -> Option<&'static [&'static str]> {
        let tokens = self.lexicon.tokens_of(&heard.words);
        let words: Vec<String> = tokens.iter().map(|token| token.norm.clone()).collect();
        let letters = words.concat();
        let everyday = |word: &String| self.lexicon.everyday(word);
        let known = |word: &String| everyday(word) || self.lexicon.has_word(word);
        let whole =
            |hit: &callover::lexicon::Hit| hit.how == How::Exact && hit.tokens == (0..tokens.len());
        let denied = |words: &[String]| words.iter().any(|w| matches!(&**w, "no" | "not"));
        let name = self.lexicon.tokens_of(&heard.name);
        let name_words: Vec<String> = name.iter().map(|token| token.norm.clone()).collect();
        let means_something = words.len() > MOST_WORDS
            || letters.len() < FEWEST_LETTERS
            || !letters.chars().all(|c| c.is_alphabetic() || c == '\'')
            || words.iter().all(everyday)
            || words.len() == 1 && known(&words[0])
            || self.lexicon.spot(&tokens).iter().any(whole)
            || denied(&words) != denied(&name_words)
            || self
                .said
                .iter()
                .any(|said| Lexicon::has_words(said, &words));
        if means_something || self.lexicon.heard_for(&name, &tokens).distance > FARTHEST {
            return None;
        }
        // A row of which every word is English or of the trade may be said of something else.
        let english = words
            .iter()
            .all(|word| known(word) || self.lexicon.knows(word));
        match (english, heard.kind) {
            (false, _) => Some(&[]),
            (true, Kind::Defect) => Some(&["any element"]),
            (true, Kind::Element | Kind::Remedy) => Some(&["any defect"]),
            // What a place stands beside tells nothing about it, so its words must not be those of
            // something else.
            (true, _) => {
                let other = |word| !everyday(word) && known(word) && !name_words.contains(word);
                (words.len() > 1 && !words.iter().any(other)).then_some(&[])
            }
        }
    }
}
