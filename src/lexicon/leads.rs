//! What must stand before a verb or quality for it to count: *not* sealed, *won't* close, *nowhere
//! near* level, *needs* easing, *to be* eased.
//!
//! The word lists are common practice, no source.

use super::term::Token;

/// What must stand before a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Lead {
    /// Nothing.
    None,
    /// A word that says it was not done, before a participle: *not been properly* sealed.
    NotDone,
    /// The same before an infinitive: *forgot to* seal.
    NotDo,
    /// A word that says it does not happen, before an infinitive: *won't quite* close.
    FailsBase,
    /// The same before *-ing*: *not* closing.
    FailsIng,
    /// The same before a finite form: *never* closes.
    FailsFinite,
    /// A word that denies a quality: *nowhere near* level.
    Lacks,
    /// A word that asks for work, before *-ing*: *needs* easing.
    NeedsIng,
    /// The same before a participle: *to be* eased, *have it* eased, *needs* eased.
    BeDone,
}

/// Forms that chain: after *needs easing and*, a bare *adjusting* counts too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Family {
    Plain,
    Not,
    Fails,
    Lacks,
    Needs,
}

impl Lead {
    /// Returns the forms it chains with.
    pub(super) fn family(self) -> Family {
        match self {
            Lead::None => Family::Plain,
            Lead::NotDone | Lead::NotDo => Family::Not,
            Lead::FailsBase | Lead::FailsIng | Lead::FailsFinite => Family::Fails,
            Lead::Lacks => Family::Lacks,
            Lead::NeedsIng | Lead::BeDone => Family::Needs,
        }
    }
}

/// Words that may stand between the lead and the form without changing the sense.
const FILLERS: &[&str] = &[
    "a",
    "actually",
    "adequately",
    "all",
    "always",
    "appear",
    "at",
    "been",
    "being",
    "bit",
    "bloody",
    "completely",
    "correctly",
    "easily",
    "either",
    "entirely",
    "even",
    "evenly",
    "exactly",
    "ever",
    "far",
    "fitted",
    "fixed",
    "freely",
    "fully",
    "good",
    "have",
    "having",
    "hung",
    "just",
    "laid",
    "look",
    "looking",
    "looks",
    "more",
    "neatly",
    "nice",
    "nicely",
    "of",
    "perfectly",
    "proper",
    "properly",
    "quite",
    "really",
    "running",
    "securely",
    "seem",
    "set",
    "sitting",
    "smoothly",
    "so",
    "some",
    "still",
    "sufficiently",
    "that",
    "thoroughly",
    "tightly",
    "too",
    "totally",
    "truly",
    "very",
    "well",
    "yet",
];

/// Words that say something was not done, or not as it should be.
const NOT_DONE: &[&str] = &[
    "not",
    "never",
    "badly",
    "poorly",
    "improperly",
    "inadequately",
    "insufficiently",
    "incorrectly",
    "half",
    "partly",
    "partially",
    "barely",
    "hardly",
    "wrongly",
];

const DENIALS: &[&str] = &["not", "never", "hardly", "barely", "scarcely"];

/// Words before *to* that say something does not happen.
const FAILS_TO: &[&str] = &[
    "fails",
    "fail",
    "failed",
    "failing",
    "refuses",
    "refuse",
    "refused",
    "refusing",
    "unable",
    "struggles",
    "struggle",
    "struggling",
    "struggled",
    "reluctant",
];

/// Auxiliaries before *not* and an infinitive.
const AUXILIARIES: &[&str] = &[
    "will", "would", "does", "do", "did", "can", "could", "shall", "should", "to", "just",
];

/// Words before *to* after a denial: *does not want to close*.
const DENIED_TO: &[&str] = &[
    "want", "wants", "able", "going", "seem", "appear", "like", "it", "them", "this",
];

const NEEDS: &[&str] = &[
    "needs",
    "need",
    "needed",
    "needing",
    "wants",
    "want",
    "wanted",
    "wanting",
    "requires",
    "require",
    "required",
    "requiring",
    "warrants",
    "deserves",
    "recommend",
    "suggest",
    "worth",
];

/// Objects that may follow *have* or *get* before a participle that asks for work.
const OBJECTS: &[&str] = &[
    "it",
    "them",
    "this",
    "that",
    "these",
    "those",
    "the",
    "all",
    "both",
    "every",
    "each",
    "everything",
];

/// The most tokens between lead and form, where other words may stand between them.
const REACH: usize = 5;

/// The most tokens from *have* to the participle: room for two objects with their articles.
const OBJECT_REACH: usize = 7;

/// Returns where the hit starts, its lead included, for a form that starts at `start`; `None` where
/// the lead is not there.
pub(super) fn start_with_lead(lead: Lead, tokens: &[Token], start: usize) -> Option<usize> {
    let context = Context { tokens };
    match lead {
        Lead::None => Some(start),
        Lead::NotDone => context.not_done(start),
        Lead::NotDo => context.not_do(start),
        Lead::FailsBase => context.fails_base(start),
        Lead::FailsIng => context.fails_ing(start),
        Lead::FailsFinite => {
            let at = context.over_fillers(start);
            DENIALS[1..].contains(&context.word(at, 1)).then(|| at - 1)
        }
        Lead::Lacks => context.lacks(start),
        Lead::NeedsIng => context.needs_ing(start),
        Lead::BeDone => context.be_done(start),
    }
}

struct Context<'a> {
    tokens: &'a [Token],
}

impl<'a> Context<'a> {
    /// Returns the word `back` tokens before `at`; empty before the beginning.
    fn word(&self, at: usize, back: usize) -> &'a str {
        at.checked_sub(back)
            .map_or("", |at| self.tokens[at].norm.as_str())
    }

    /// Returns the start of the fillers that end at `at`.
    fn over_fillers(&self, mut at: usize) -> usize {
        let first = at;
        while first - at < REACH && FILLERS.contains(&self.word(at, 1)) {
            at -= 1;
        }
        at
    }

    fn not_done(&self, start: usize) -> Option<usize> {
        let mut at = self.over_fillers(start);
        // *not appear to have been sealed*; but *not to be sealed* asks for something else.
        if matches!(self.word(at, 1), "be" | "to") {
            while matches!(self.word(at, 1), "be" | "to") {
                at -= 1;
            }
            if at > 0 && !matches!(self.word(at, 1), "appear" | "seem" | "look") {
                // *yet to be sealed*, *still to be sealed*.
                let waiting = matches!(self.word(at, 1), "yet" | "still");
                return waiting.then(|| at - 1);
            }
            at = self.over_fillers(at);
        }
        if NOT_DONE.contains(&self.word(at, 1)) {
            return Some(at - 1);
        }
        // *nobody has sealed*, *no one 's sealed*, *without being sealed*.
        if matches!(self.word(at, 1), "has" | "'s") {
            return match (self.word(at, 2), self.word(at, 3)) {
                ("nobody", _) => Some(at - 2),
                ("one", "no") => Some(at - 3),
                _ => None,
            };
        }
        (self.word(at, 1) == "without" && at < start).then(|| at - 1)
    }

    fn not_do(&self, start: usize) -> Option<usize> {
        let at = self.over_fillers(start);
        let [one, two] = [self.word(at, 1), self.word(at, 2)];
        let forgot = one == "to" && matches!(two, "forgot" | "forgotten" | "failed" | "neglected");
        let did_not = one == "not" && two == "did";
        (forgot || did_not).then(|| at - 2)
    }

    fn fails_base(&self, start: usize) -> Option<usize> {
        let at = self.over_fillers(start);
        let word = |back| self.word(at, back);
        if word(1) == "never" {
            return Some(at - 1);
        }
        if word(1) == "not" && AUXILIARIES.contains(&word(2)) {
            return Some(at - 2);
        }
        if word(1) == "to" && FAILS_TO.contains(&word(2)) {
            return Some(at - 2);
        }
        if word(1) == "to" && DENIED_TO.contains(&word(2)) {
            // *does not want to*, *can not get it to*.
            return (3..=4)
                .find(|&back| word(back) == "not")
                .map(|back| at - back);
        }
        None
    }

    fn fails_ing(&self, start: usize) -> Option<usize> {
        let at = self.over_fillers(start);
        let denied = DENIALS.contains(&self.word(at, 1)) || self.word(at, 1) == "stopped";
        denied.then(|| at - 1)
    }

    fn lacks(&self, start: usize) -> Option<usize> {
        let at = self.over_fillers(start);
        match (self.word(at, 2), self.word(at, 1)) {
            ("nowhere", "near") | ("less", "than") | ("no", "longer") | ("anything", "but") => {
                Some(at - 2)
            }
            ("far", "from") => Some(at - 2),
            ("not", "be") | ("to", "be") => None,
            (_, word) if DENIALS.contains(&word) => Some(at - 1),
            (_, "near") if self.word(at, 2) == "anywhere" && self.word(at, 3) == "not" => {
                Some(at - 3)
            }
            _ => None,
        }
    }

    fn needs_ing(&self, start: usize) -> Option<usize> {
        let at = self.over_fillers(start);
        if NEEDS.contains(&self.word(at, 1)) {
            return Some(at - 1);
        }
        // *could do with easing*, *would benefit from easing*.
        if matches!(
            (self.word(at, 2), self.word(at, 1)),
            ("do", "with") | ("benefit", "from")
        ) {
            return Some(at - 2);
        }
        // *needs the keep moving*: the object stands between.
        for back in 2..=REACH {
            match self.word(start, back) {
                "not" => return None,
                word if NEEDS.contains(&word) => return Some(start),
                _ => {}
            }
        }
        None
    }

    fn be_done(&self, start: usize) -> Option<usize> {
        let mut at = self.over_fillers(start);
        if NEEDS.contains(&self.word(at, 1)) {
            return Some(at - 1);
        }
        if self.word(at, 1) == "be" {
            at -= 1;
            while NEEDS.contains(&self.word(at, 1))
                || matches!(
                    self.word(at, 1),
                    "to" | "should" | "must" | "ought" | "has" | "have" | "will"
                )
            {
                at -= 1;
            }
            return (self.word(at, 1) != "not").then_some(at);
        }
        if self.word(start, 1) == "get" {
            return Some(start - 1);
        }
        // *have it eased*, *get the door and the frame eased*; not *have eased*, which is done.
        for back in 2..=OBJECT_REACH {
            match self.word(start, back) {
                "not" | "been" => return None,
                "have" | "having" | "get" | "getting" => {
                    let object = self.word(start, back - 1);
                    return OBJECTS.contains(&object).then(|| start - back);
                }
                _ => {}
            }
        }
        None
    }
}
