//! Words of a fault that tell none where they stand: urgency (*so high*), praise (*rock solid*), what is to be
//! done (*rock the pan for me*).

use super::grammar::{Class, class, opener};
use super::sentence::Sentence;
use crate::lexicon::{Hit, Lexicon, Token};
use std::ops::Range;

/// What is right when it is *dead* so.
#[rustfmt::skip]
const DEAD_RIGHT: &[&str] = &[
    "quiet", "level", "straight", "flat", "square", "plumb", "right", "easy", "smooth", "true", "centre", "flush",
    "solid", "tight", "even", "silent", "still",
];

/// What is hot or cold by its name.
#[rustfmt::skip]
const SUPPLIES: &[&str] = &[
    "flow", "tap", "water", "feed", "supply", "side", "pipe", "isolator", "valve", "main", "outlet",
];

/// What somebody else is asked to do to a thing, to try it.
#[rustfmt::skip]
const TO_TRY: &[&str] = &[
    "rock", "rub", "drop", "slam", "shake", "rattle", "bang", "knock", "pull", "push",
];

/// What is no fault to smell of.
#[rustfmt::skip]
const FRESH: &[&str] = &["paint", "new", "fresh", "coffee", "toast", "polish", "sawdust", "varnish"];

/// For what a gap is left that is named by it.
const SPACES: &[&str] = &[
    "fridge",
    "freezer",
    "dishwasher",
    "washer",
    "cooker",
    "oven",
    "appliance",
    "expansion",
];

/// How gaps are that nothing is wrong with.
#[rustfmt::skip]
const RIGHT: &[&str] = &["even", "equal", "consistent", "good", "clear", "fine", "right", "there"];

/// True for words of a fault that tell none where they stand.
pub(super) fn not_a_fault(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    defect: &Hit,
) -> bool {
    let start = defect.tokens.start;
    let holds = |range: &Range<usize>| range.contains(&start);
    let Some(clause) = sentence.clauses.iter().find(|c| holds(&c.tokens)) else {
        return false;
    };
    let said = Said::new(tokens, &clause.tokens, defect);
    if said.is_looked_for() || said.is_back_from(sentence.tokens.start) || said.is_a_way_up() {
        return true;
    }
    let to_come = said.is_to_come();
    if defect.tokens.len() > 1 || to_come {
        return to_come || said.is_not_even() || said.is_built_in();
    }
    let verb = lexicon
        .defect(defect.term)
        .verb
        .iter()
        .any(|v| v == said.word);
    said.is_a_grade()
        || said.is_praise()
        || said.is_done()
        || said.is_own_slip()
        || said.is_observed()
        || said.is_in_a_name()
        || verb && said.modifies() && defect.wording != "missing"
}

/// The words of a fault in their clause.
struct Said<'a> {
    tokens: &'a [Token],
    clause: &'a Range<usize>,
    fault: &'a Range<usize>,
    /// The first of them.
    word: &'a str,
    /// The word before it in the clause, and the one after the last.
    before: &'a str,
    after: &'a str,
}

impl<'a> Said<'a> {
    fn new(tokens: &'a [Token], clause: &'a Range<usize>, defect: &'a Hit) -> Self {
        let fault = &defect.tokens;
        let within = |at: usize| {
            let token = tokens.get(at).filter(|_| clause.contains(&at));
            token.map_or("", |token| token.norm.as_str())
        };
        Said {
            tokens,
            clause,
            fault,
            word: tokens[fault.start].norm.as_str(),
            before: fault.start.checked_sub(1).map_or("", within),
            after: within(fault.end),
        }
    }

    /// Returns a token's word; nothing where there is none.
    fn at(&self, at: usize) -> &'a str {
        self.tokens.get(at).map_or("", |token| token.norm.as_str())
    }

    /// Returns the word so many before the fault; nothing where there is none.
    fn back(&self, count: usize) -> &'a str {
        let at = self.fault.start.checked_sub(count);
        at.map_or("", |at| self.at(at))
    }

    /// True where *… of the* and one of `words` stand right behind it: *wrong **edge of the tape***.
    fn after_of_the(&self, words: &[&str]) -> bool {
        let end = self.fault.end;
        self.at(end + 1) == "of"
            && matches!(self.at(end + 2), "the" | "my")
            && words.contains(&self.at(end + 3))
    }

    /// Returns the words of the clause before it.
    fn lead(&self) -> impl DoubleEndedIterator<Item = &'a str> {
        let words = &self.tokens[self.clause.start..self.fault.start];
        words.iter().map(|token| token.norm.as_str())
    }

    fn is_first(&self) -> bool {
        self.fault.start == self.clause.start
    }

    /// *So **high***, *a **high***: said of no thing before it.
    fn is_apart(&self) -> bool {
        self.is_first() || matches!(self.before, "so" | "a" | "it" | "priority")
    }

    /// *I'm checking for cracks*, *looking for a leak*: not found yet.
    fn is_looked_for(&self) -> bool {
        let article = !self.is_first() && class(self.before) == Class::Determiner;
        let lead: Vec<&str> = self
            .lead()
            .rev()
            .skip(usize::from(article))
            .take(2)
            .collect();
        let looking = ["checking", "looking", "check", "look", "feeling"];
        matches!(lead[..], ["for", verb] if looking.contains(&verb))
    }

    /// *Up and over door goes up, **comes down again***: a thing that is tried, in the sentence from `start` on.
    fn is_back_from(&self, start: usize) -> bool {
        let last = self.at(self.fault.end - 1);
        let down =
            self.fault.clone().any(|at| self.at(at) == "down") && matches!(last, "down" | "again");
        let up =
            |at: usize| matches!(self.at(at), "goes" | "go" | "went") && self.at(at + 1) == "up";
        let alone = self.fault.end == self.clause.end;
        down && alone && self.before != "but" && (start..self.fault.start).any(up)
    }

    /// ***Back up** a floor.*: no drain that backs up.
    fn is_a_way_up(&self) -> bool {
        let words = [self.word, self.at(self.fault.start + 1)];
        words == ["back", "up"] && self.lead().all(opener)
    }

    /// *Not painted yet*, *blinds aren't in yet*: work still to come.
    fn is_to_come(&self) -> bool {
        let not = self.fault.clone().any(|at| self.at(at) == "not");
        self.after == "yet" && not || self.at(self.fault.end - 1) == "yet"
    }

    /// *Not even going to write up the paint.*
    fn is_not_even(&self) -> bool {
        self.fault.len() == 2
            && self.at(self.fault.end - 1) == "even"
            && self.clause.contains(&self.fault.end)
            && !matches!(
                class(self.after),
                Class::Preposition | Class::Conjunction | Class::Adverb
            )
    }

    /// *Built-in to the left of the fireplace, its glass door rattles.*
    fn is_built_in(&self) -> bool {
        self.fault.len() == 2
            && self.word == "built"
            && self
                .lead()
                .all(|word| opener(word) || class(word) == Class::Determiner)
    }

    /// *So high*, *high please*, *put it as high*: how urgent it is; or how high something is that is named so.
    fn is_a_grade(&self) -> bool {
        let high_or_low = matches!(self.word, "high" | "low");
        let urgency = matches!(self.word, "high" | "low" | "highs" | "lows")
            && (self.is_apart() || self.clause.len() == 1);
        // "Its high loop": an adjective.
        let adjective = class(self.before) == Class::Determiner && class(self.after) == Class::Open;
        // "And it's high".
        let rated = self.fault.end == self.clause.end
            && self
                .lead()
                .all(|word| matches!(word, "and" | "it" | "is" | "'s"));
        // "So it's high", "a cleat up high".
        let so = self.back(3) == "so" && matches!(self.before, "'s" | "is");
        urgency
            // "Missing at high level".
            || high_or_low && (adjective || self.after == "level" || self.before == "as")
            || self.word == "high" && (rated || so || self.before == "up")
    }

    /// *Rock solid*, *dead level*, *tiling's smashing*, *with a nice clunk*, *smells of new paint*.
    fn is_praise(&self) -> bool {
        let very = self.word == "dead" && DEAD_RIGHT.contains(&self.after);
        let proud =
            self.word == "proud" && self.after == "of" && matches!(self.before, "be" | "is" | "so");
        let smashing = self.word == "smashing" && (self.after.is_empty() || self.after == "job");
        let sounds = matches!(
            self.word,
            "clunk" | "click" | "thud" | "hum" | "snap" | "smell"
        ) && matches!(
            self.before,
            "nice" | "lovely" | "good" | "satisfying" | "reassuring" | "solid"
        );
        let next = self.fault.end + 1;
        let mut of = (next..self.clause.end).take(2).map(|at| self.at(at));
        let fresh = matches!(self.word, "smells" | "smell")
            && self.after == "of"
            && of.any(|word| FRESH.contains(&word));
        very || proud || smashing || sounds || fresh || self.after == "solid"
    }

    /// *I'd the **wrong** lever*, *I'm reading the **wrong** sheet*: the speaker's own slip.
    fn is_own_slip(&self) -> bool {
        let had = |back: usize| {
            let verb = matches!(
                self.back(back),
                "would" | "had" | "'m" | "am" | "was" | "pressed" | "tried"
            );
            verb && matches!(self.back(back + 1), "i" | "we")
        };
        // "Three mil, no, wrong edge of the tape, six".
        let tool = self.after_of_the(&[
            "tape", "rule", "ruler", "level", "gauge", "sheet", "list", "page", "phone",
        ]);
        self.word == "wrong"
            && (tool || class(self.before) == Class::Determiner && (had(2) || had(3)))
    }

    /// *Rock the pan for me*, *stick an extension on it*, *I'm leaning on it*: what somebody does or is to do.
    fn is_done(&self) -> bool {
        let asked = self.is_first()
            && TO_TRY.contains(&self.word)
            && class(self.after) == Class::Determiner;
        let stuck = self.word == "stick"
            && (self.is_first() || class(self.after) == Class::Determiner || self.after == "it");
        // "Give it a shake".
        let given = self.before == "a"
            && TO_TRY.contains(&self.word)
            && matches!(self.back(2), "it" | "them" | "that" | "this")
            && matches!(self.back(3), "give" | "gave" | "giving");
        let noted =
            self.word == "mark" && matches!(self.after, "that" | "it" | "this" | "down" | "those");
        let somebody = matches!(self.before, "i" | "we" | "you" | "'m");
        let tries = matches!(self.word, "lean" | "leaning" | "leaned")
            && matches!(self.after, "on" | "against")
            && (self.is_apart() || self.opens() || somebody);
        // "I've moved into the bathroom".
        let went = matches!(self.word, "moved" | "gone" | "come")
            && self
                .lead()
                .rev()
                .take(2)
                .any(|word| matches!(word, "i" | "we"));
        // "Asked about the squeak".
        let asked_about = class(self.before) == Class::Determiner
            && self.back(2) == "about"
            && self
                .lead()
                .any(|word| matches!(word, "asked" | "worried" | "mentioned" | "told" | "asking"));
        asked || given || stuck || noted || tries || went || asked_about
    }

    /// *Gaps are three all round*, *bit cold in here*, *hot enough to burn you*: told, not complained of.
    fn is_observed(&self) -> bool {
        let is = matches!(self.after, "is" | "are" | "'s");
        let then = self.at(self.fault.start + 2);
        let told = matches!(self.word, "gap" | "gaps")
            && is
            && (class(then) == Class::Number || RIGHT.contains(&then));
        let only = self.word == "fault"
            && matches!(self.before, "only" | "one")
            && matches!(self.after, "is" | "'s");
        // "That trips people".
        let people = self.word == "trips"
            && matches!(
                self.after,
                "people" | "you" | "me" | "somebody" | "someone" | "us" | "folk"
            );
        let enough = self.before == "to" && self.back(2) == "enough";
        let weather = matches!(self.word, "cold" | "hot" | "warm" | "freezing")
            && matches!(self.after, "in" | "out" | "up")
            && then == "here"
            && self.lead().all(|word| {
                let bit = matches!(word, "bit" | "freezing" | "really");
                opener(word) || class(word) != Class::Open || bit
            });
        // "The light's catching a ridge in the ceiling": that is how it is seen.
        let lit = matches!(self.word, "catching" | "catches")
            && self
                .lead()
                .any(|word| matches!(word, "light" | "sun" | "torch"))
            && class(self.after) == Class::Determiner;
        // "It's quieter than the last one did".
        let compared = self.before == "one" && self.lead().any(|word| word == "than");
        told || only || people || enough || weather || lit || compared
    }

    /// *Cold flow at the sink*, *resin bound*, *that's the saw cut*, *the cold tap's cold*: part of a name.
    fn is_in_a_name(&self) -> bool {
        let hot_or_cold = matches!(self.word, "hot" | "cold");
        let as_named = || self.lead().any(|word| word == self.word);
        // "The rooflight on the north slope".
        // "Back up a floor", "seven floors up".
        let way = matches!(self.word, "up" | "back")
            && (self.opens()
                || matches!(self.before, "floors" | "storeys" | "stories" | "flights"))
            && (self.word == "back" && self.at(self.fault.start + 1) == "up" || self.word == "up");
        let slope = way
            || matches!(self.word, "slope" | "slopes")
                && self
                    .lead()
                    .any(|word| matches!(word, "on" | "of" | "up" | "down"))
                && !matches!(self.before, "a" | "no" | "and");
        slope
            || hot_or_cold && (SUPPLIES.contains(&self.after) || as_named())
            || self.word == "cut" && self.before == "saw"
            // "Fridge gap six hundred and five".
            || self.word == "gap" && SPACES.contains(&self.before) && class(self.after) == Class::Number
            || self.word == "bound" && self.before == "resin"
            || self.word == "resin" && self.after == "bound"
    }

    /// True where nothing but small words and numbers stands before it.
    fn opens(&self) -> bool {
        self.lead()
            .all(|word| opener(word) || class(word) == Class::Number)
    }

    /// ***Weep** pipes*: a verb that opens its clause before a noun is part of the noun's name.
    fn modifies(&self) -> bool {
        let ends = |word: &str, ending: &str| word.ends_with(ending);
        self.opens()
            && !self.after.is_empty()
            && class(self.after) == Class::Open
            && !ends(self.word, "ed")
            && !ends(self.word, "ing")
            && !ends(self.after, "ed")
    }
}
