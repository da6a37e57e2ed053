//! The little grammar that is needed: closed word classes of English, and noun phrases as runs of
//! open words between them.
//!
//! Closed classes are listed in full (they are short and do not grow); every other word is open.
//! The lists follow the usual school grammars of English; common knowledge, no single source.

use rustc_hash::{FxHashMap, FxHashSet};
use std::sync::LazyLock;

/// A word's class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// *the*, *a*, *this*, *its*.
    Determiner,
    /// *in*, *under*, *next to* (its first word).
    Preposition,
    /// Forms of *be*, *have*, *do*, modals, and the verbs that introduce a state or a wish
    /// (*needs*, *looks*, *keeps*).
    Verb,
    /// *it*, *there*, *we*.
    Pronoun,
    /// *and*, *but*, *if*.
    Conjunction,
    /// *just*, *really*, *still*.
    Adverb,
    /// *not*, *never*, *no*.
    Negation,
    /// A number in words or figures.
    Number,
    /// *left*, *top*, *third*: where, not what.
    Position,
    /// *um*, *er*, *okay*, *right then*.
    Filler,
    /// Any other word: nouns, adjectives, full verbs.
    Open,
}

const DETERMINERS: &[&str] = &[
    "the", "a", "an", "this", "these", "those", "its", "their", "his", "her", "my", "our", "your",
    "some", "any", "each", "every", "all", "another", "whole", "entire", "such", "same", "thon",
    "yon",
];
const PREPOSITIONS: &[&str] = &[
    "in",
    "on",
    "at",
    "of",
    "to",
    "from",
    "with",
    "over",
    "under",
    "underneath",
    "above",
    "below",
    "behind",
    "beside",
    "between",
    "round",
    "around",
    "along",
    "across",
    "near",
    "into",
    "onto",
    "off",
    "outside",
    "inside",
    "through",
    "against",
    "towards",
    "toward",
    "next",
    "past",
    "opposite",
    "by",
    "for",
    "beneath",
    "within",
    "without",
    "throughout",
    "adjacent",
    "where",
    "at",
    "down",
    "up",
    "about",
    "like",
    "as",
    "per",
    "nearest",
];
const VERBS: &[&str] = &[
    "is", "are", "was", "were", "be", "been", "being", "am", "'s", "'re", "'m", "has", "have",
    "had", "having", "do", "does", "did", "done", "will", "would", "can", "could", "should", "may",
    "might", "must", "shall", "wo", "ca", "got", "get", "gets", "getting", "gotten", "need",
    "needs", "needed", "want", "wants", "wanted", "require", "requires", "look", "looks",
    "looking", "seem", "seems", "feel", "feels", "appear", "appears", "keeps", "keep", "come",
    "comes", "came", "coming", "goes", "going", "gone", "went", "go", "let", "put", "make",
    "makes", "made", "see", "says", "say", "said", "reckon", "think", "know", "found", "find",
    "ought", "starts", "starting", "'ve", "'ll", "'d", "left", "reads", "reading", "sits",
    "sitting", "stands", "standing", "shows", "showing", "runs", "sounds", "measures", "meets",
    "hits",
];
const PRONOUNS: &[&str] = &[
    "it",
    "there",
    "here",
    "they",
    "we",
    "i",
    "you",
    "he",
    "she",
    "who",
    "what",
    "them",
    "him",
    "us",
    "me",
    "that",
    "one",
    "ones",
    "something",
    "nothing",
    "anything",
    "everything",
    "somebody",
    "someone",
    "nobody",
    "everyone",
    "everybody",
    "anyone",
    "anybody",
    "itself",
    "themselves",
    "both",
    "whoever",
    "whatever",
];
const CONJUNCTIONS: &[&str] = &[
    "and", "but", "or", "so", "because", "if", "when", "while", "though", "although", "than",
    "since", "until", "till", "which", "whereas", "unless", "whether", "plus",
];
const ADVERBS: &[&str] = &[
    "just",
    "really",
    "very",
    "quite",
    "only",
    "also",
    "too",
    "well",
    "still",
    "already",
    "again",
    "now",
    "then",
    "nearly",
    "almost",
    "way",
    "rather",
    "slightly",
    "badly",
    "actually",
    "basically",
    "definitely",
    "completely",
    "totally",
    "all",
    "even",
    "ever",
    "always",
    "sort",
    "kind",
    "bit",
    "little",
    "touch",
    "probably",
    "maybe",
    "perhaps",
    "possibly",
    "currently",
    "obviously",
    "literally",
    "properly",
    "correctly",
    "fully",
    "partly",
    "mostly",
    "mainly",
    "everywhere",
    "anywhere",
    "somewhere",
    "together",
    "though",
    "ago",
    "away",
    "back",
    "out",
    "else",
    "yet",
    "straight",
    "altogether",
    "however",
];
const NEGATIONS: &[&str] = &["not", "never", "no", "nor", "neither", "cannot", "n't"];
const POSITIONS: &[&str] = &[
    "left", "right", "hand", "top", "bottom", "upper", "lower", "middle", "centre", "far", "inner",
    "outer", "first", "second", "third", "fourth", "fifth", "sixth", "last", "nearside", "offside",
    "nearest", "furthest", "end", "internal", "external",
];
const FILLERS: &[&str] = &[
    "um", "uh", "er", "erm", "ah", "oh", "ooh", "hmm", "mm", "okay", "ok", "right", "yeah", "yes",
    "well", "anyway", "so", "now", "then", "and", "also", "again", "next", "mind", "please",
    "alright", "hey", "ow", "but", "lovely", "first", "finally", "lastly", "plus", "actually",
];
const NUMBERS: &[&str] = &[
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
    "thirty",
    "forty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
    "hundred",
    "thousand",
    "couple",
    "pair",
    "dozen",
    "half",
    "quarter",
    "nought",
    "zero",
    "point",
    "several",
    "few",
    "many",
];

/// The closed classes; of a word in several lists the first counts.
const LISTS: [(Class, &[&str]); 10] = [
    (Class::Number, NUMBERS),
    (Class::Negation, NEGATIONS),
    (Class::Position, POSITIONS),
    (Class::Determiner, DETERMINERS),
    (Class::Pronoun, PRONOUNS),
    (Class::Verb, VERBS),
    (Class::Preposition, PREPOSITIONS),
    (Class::Conjunction, CONJUNCTIONS),
    (Class::Adverb, ADVERBS),
    (Class::Filler, FILLERS),
];

/// The class of each word of the lists, asked for several times for each word spoken.
static CLASSES: LazyLock<FxHashMap<&str, Class>> = LazyLock::new(|| {
    let listed = LISTS
        .iter()
        .rev()
        .flat_map(|(class, words)| words.iter().map(|word| (*word, *class)));
    listed.collect()
});

/// Returns the class of a normalised word. A word of several classes gets the one that ends a noun
/// phrase, except that [`Class::Position`] words are told from verbs by the caller's context.
pub fn class(word: &str) -> Class {
    if word.starts_with(|c: char| c.is_ascii_digit()) {
        return Class::Number;
    }
    CLASSES.get(word).copied().unwrap_or(Class::Open)
}

/// Tells whether `word` can open a sentence without saying anything: *right*, *so*, *um*.
pub fn opener(word: &str) -> bool {
    static OPENERS: LazyLock<FxHashSet<&str>> = LazyLock::new(|| FILLERS.iter().copied().collect());
    OPENERS.contains(word)
}

/// Tells whether `word` is a hesitation to be left out of what is shown.
pub fn hesitation(word: &str) -> bool {
    matches!(
        word,
        "um" | "uh" | "er" | "erm" | "ah" | "oh" | "ooh" | "hmm" | "mm"
    )
}

/// Past participles of irregular verbs that trades use after *not* (*not cut*, *never put back*).
const IRREGULAR_PARTICIPLES: &[&str] = &[
    "cut", "put", "set", "hung", "laid", "lain", "done", "made", "bent", "built", "bound",
    "brought", "caught", "dug", "drawn", "driven", "fed", "found", "given", "gone", "ground",
    "held", "kept", "left", "lit", "met", "run", "sealed", "seen", "shown", "shut", "split",
    "spread", "stuck", "struck", "sunk", "swept", "taken", "thrown", "torn", "wound", "woven",
    "sawn", "hewn", "burnt", "frozen", "broken", "chosen", "risen", "sewn", "worn", "written",
];

/// Tells whether `word` looks like a past participle: *sanded*, *cut*, *hung*.
pub fn participle(word: &str) -> bool {
    IRREGULAR_PARTICIPLES.contains(&word)
        || (word.len() > 4 && word.ends_with("ed") && !word.ends_with("eed"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_words_have_their_class_and_all_others_are_open() {
        for (word, expected) in [
            ("the", Class::Determiner),
            ("under", Class::Preposition),
            ("'s", Class::Verb),
            ("it", Class::Pronoun),
            ("never", Class::Negation),
            ("12", Class::Number),
            ("left", Class::Position),
            ("architrave", Class::Open),
        ] {
            assert_eq!(class(word), expected, "{word}");
        }
    }

    #[test]
    fn participles_are_told_from_other_words() {
        for (word, is) in [
            ("sanded", true),
            ("hung", true),
            ("need", false),
            ("bed", false),
            ("tile", false),
        ] {
            assert_eq!(participle(word), is, "{word}");
        }
    }
}
