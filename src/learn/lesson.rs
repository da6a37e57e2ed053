//! Lessons as plain data.

use crate::items::Severity;
use crate::lexicon::{Kind, Lexicon, Token, VoiceData, kind_word};
use crate::time::Millis;
use std::collections::BTreeSet;

/// Letters of a word that may be another in other forms of it (*bashed*, *bashes*), and those that its
/// stem has at least.
const ENDING: usize = 2;
const SHORTEST: usize = 3;

/// What a lesson teaches. Terms are called by their names in the lexicon.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Teaching {
    /// The recogniser writes these words for the term.
    HeardAs {
        /// The words, as tokens with single spaces.
        heard: String,
        /// What they stand for.
        term: Called,
        /// What must stand near: names of terms, or `any element`, `any defect`, `any place`.
        /// Nothing must where it is empty.
        near: BTreeSet<String>,
    },
    /// The inspector says these words for a term that the lexicon knows by others.
    Wording {
        /// The words.
        wording: String,
        /// What they stand for.
        term: Called,
    },
    /// The inspector names something that the lexicon does not know.
    Term {
        /// The name, and whether it is a place, an element or a defect.
        term: Called,
        /// The group it belongs to (elements), that it befalls (defects; `any`), or the kind of place.
        of: String,
        /// How else it is written by the recogniser; what is heard so is called by its name.
        heard: BTreeSet<String>,
    },
    /// What usually puts a defect on an element right.
    Remedy {
        /// The defect.
        defect: String,
        /// The element.
        element: String,
        /// The remedy.
        remedy: String,
    },
    /// Who usually deals with an element.
    Trade {
        /// The element.
        element: String,
        /// The trade.
        trade: String,
    },
    /// How much a defect matters.
    Severity {
        /// The defect.
        defect: String,
        /// How much.
        severity: Severity,
    },
    /// Words that this inspector says without meaning a defect.
    NoDefect {
        /// The words.
        words: String,
    },
    /// How this inspector sounds: words that he uses, and which of his sounds are heard as others.
    Voice(VoiceData),
    /// How sure this inspector's items are beside what is claimed of them.
    Sureness {
        /// Two claims with what they count for, such as `0.90>0.81`.
        claims: Vec<String>,
    },
}

/// A term by kind and name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Called {
    /// Place, element or defect.
    pub kind: Kind,
    /// Its name in the lexicon.
    pub name: String,
}

/// One occasion that speaks for a lesson.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Sighting {
    /// The job's name.
    pub job: String,
    /// The item's number in it.
    pub item: u32,
    /// When it was said; `None` without times.
    pub at: Option<Millis>,
    /// The words as heard.
    pub quote: String,
}

/// A proposed lesson with its evidence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lesson {
    /// What it teaches.
    pub teaching: Teaching,
    /// What speaks for it, ordered.
    pub sightings: BTreeSet<Sighting>,
    /// How many confirmed items have the same words and mean something else.
    pub against: usize,
    /// How far the words are from the term's sounds, in thousandths; 1000 where sound plays no part.
    pub distance: u32,
    /// True where the inspector asked for it when correcting.
    pub asked: bool,
}

impl Teaching {
    /// Returns the lesson in one line of plain words, the same for the same lesson. It also serves as
    /// its name.
    pub fn in_words(&self) -> String {
        match self {
            Teaching::HeardAs { heard, term, near } if near.is_empty() => {
                format!("hear \"{heard}\" as {}", term.in_words())
            }
            Teaching::HeardAs { heard, term, near } => {
                let near: Vec<&str> = near.iter().map(String::as_str).collect();
                let near = near.join(" or ");
                format!("hear \"{heard}\" as {}, near {near}", term.in_words())
            }
            Teaching::Wording { wording, term } => {
                format!("\"{wording}\" is another word for {}", term.in_words())
            }
            Teaching::Term { term, of, heard } => {
                let heard: Vec<String> = heard
                    .iter()
                    .map(|a| format!(", also heard as \"{a}\""))
                    .collect();
                format!("new {} ({of}){}", term.in_words(), heard.concat())
            }
            Teaching::Remedy {
                defect,
                element,
                remedy,
            } => format!("{element}, {defect}: usually {remedy}"),
            Teaching::Trade { element, trade } => format!("{element}: a matter for the {trade}"),
            Teaching::Severity { defect, severity } => {
                format!(
                    "{defect}: severity {}",
                    crate::job::severity_word(*severity)
                )
            }
            Teaching::NoDefect { words } => format!("\"{words}\" names no defect"),
            Teaching::Voice(voice) => format!(
                "your voice: {} words for things, {} for faults, {} sounds heard as others",
                voice.elements.len(),
                voice.defects.len(),
                voice.confusions.len()
            ),
            Teaching::Sureness { claims } => {
                let told = claims.join(", ").replace('>', " counts as ");
                format!("your confidences: {told}")
            }
        }
    }

    /// Returns the words whose hearing the lesson changes, as tokens; `None` where it changes more
    /// than certain words.
    pub(super) fn words(&self) -> Option<Vec<String>> {
        let words = match self {
            Teaching::HeardAs { heard, .. } => heard,
            Teaching::NoDefect { words } => words,
            _ => return None,
        };
        Some(words.split(' ').map(str::to_owned).collect())
    }

    /// Returns false where a lesson tried alone cannot well change how these tokens are read. Of a name in
    /// whatever form its first word tells; what else it is taken for shows when all are tried together.
    pub(super) fn may_touch(&self, tokens: &[Token]) -> bool {
        let begins = |name: &String| {
            let first = name.split([' ', '-']).next().unwrap_or_default();
            let letters = first.chars().count().saturating_sub(ENDING).max(SHORTEST);
            let stem: String = first.chars().take(letters).collect();
            tokens.iter().any(|token| token.norm.starts_with(&stem))
        };
        match self {
            Teaching::Wording { wording, .. } => begins(wording),
            Teaching::Term { term, heard, .. } => begins(&term.name) || heard.iter().any(begins),
            _ => self
                .words()
                .is_none_or(|words| Lexicon::has_words(tokens, &words)),
        }
    }

    /// Returns the lesson without what was gathered over several occasions: the same words for the same
    /// term are one lesson, whatever stands near.
    pub(super) fn bare(&self) -> Teaching {
        let mut bare = self.clone();
        match &mut bare {
            Teaching::HeardAs { near, .. } => near.clear(),
            Teaching::Term { heard, .. } => heard.clear(),
            _ => {}
        }
        bare
    }

    /// Returns true for a lesson of which an overlay has one only: it rests on all jobs, and a new one takes
    /// its place.
    pub(super) fn is_one_of_all(&self) -> bool {
        matches!(self, Teaching::Voice(_) | Teaching::Sureness { .. })
    }

    /// Returns true for lessons about trade, severity and remedy, which change no item's facts.
    pub(super) fn is_habit(&self) -> bool {
        matches!(
            self,
            Teaching::Remedy { .. } | Teaching::Trade { .. } | Teaching::Severity { .. }
        )
    }
}

impl Lesson {
    /// Returns a lesson that no job of one's own speaks for, such as a colleague's.
    pub fn of(teaching: Teaching) -> Lesson {
        Lesson {
            teaching,
            sightings: BTreeSet::new(),
            against: 0,
            distance: 0,
            asked: false,
        }
    }
}

impl Called {
    fn in_words(&self) -> String {
        format!("the {} {}", kind_word(self.kind), self.name)
    }
}
