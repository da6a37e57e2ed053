//! The walk through the sentences: carries the place and what was spoken of, makes items, and
//! applies what the speaker takes back, corrects, repeats or adds.

mod again;
mod amend;
mod asides;
mod attach;
mod belongs;
mod beyond;
mod denial;
mod described;
mod evidence;
mod frames;
mod implied;
mod in_order;
mod joining;
mod make;
mod mended;
mod misplaced;
mod ordered;
mod outlook;
mod placed;
mod places;
mod repeat;
mod second_thoughts;
mod short_answers;
mod something_else;
mod summing_up;
mod told;
mod unsaid;
mod wanting;
mod whole_place;
mod withdraw;

pub use joining::{Joint, Spoken};
pub(crate) use places::SEEN;
pub(crate) use told::GUESSED;

use super::Weighed;
use super::draft::{Draft, Named};
use super::scene::Scene;
use super::visited::Places;
use crate::lexicon::{Kind, Lexicon, TermId};
use crate::limits::Yardstick;
use crate::speech::Transcript;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::PlaceChange;
use crate::statements::reading::Reading;
use crate::statements::sentence::Sentence;
use std::borrow::Cow;
use std::ops::Range;

/// How many sentences later a sentence without a subject of its own still adds to an item.
const REACH: usize = 2;

/// How the reason of an item begins that was made of a figure or an order alone.
pub(crate) const NO_FAULT_NAMED: &str = "no fault was named";

/// Why nothing came of words that the speaker took back.
const TAKEN_BACK: &str = "taken back by the speaker";

/// True for a word with which one stops to say something else: *no, sorry, hang on*, and what opens a sentence.
fn stops_short(word: &str) -> bool {
    opener(word) || matches!(word, "no" | "sorry" | "wait" | "hang" | "hold" | "on")
}

/// Why nothing came of a total.
pub(crate) const COUNTED: &str = "a total";

/// What a walk leaves behind.
pub(crate) struct Walked {
    pub(crate) places: Places,
    pub(crate) drafts: Vec<Draft>,
    pub(crate) unused: Vec<(Range<usize>, Cow<'static, str>)>,
    /// What was said at each place, sentence by sentence.
    pub(crate) stays: Vec<(usize, Range<usize>)>,
    /// What was decided by signs, where that was asked.
    pub(crate) weighed: Option<Weighed>,
}

impl Walked {
    /// Returns the place at which a token was said.
    pub(crate) fn at(&self, token: usize) -> Option<usize> {
        place_at(&self.stays, token)
    }

    /// True where the walk came to a place by a sentence's first words.
    pub(crate) fn came_in(&self, sentence: &Range<usize>) -> bool {
        let stay = self
            .stays
            .partition_point(|(_, said)| said.end < sentence.end);
        let stay = self.stays.get(stay);
        stay.is_some_and(|(_, said)| said.end == sentence.end && said.start > sentence.start)
    }
}

/// Returns the place of the stay ([`Walked::stays`]) in which a token was said.
pub(crate) fn place_at(stays: &[(usize, Range<usize>)], token: usize) -> Option<usize> {
    let stay = stays.partition_point(|(_, said)| said.end <= token);
    stays.get(stay).map(|(place, _)| *place)
}

pub(crate) struct Walk<'a> {
    pub(super) lexicon: &'a Lexicon,
    pub(super) reading: &'a Reading,
    pub(super) transcript: &'a Transcript,
    /// The limits that figures without a fault are held against.
    pub(super) yardstick: &'a Yardstick,
    pub(super) places: Places,
    /// The places that a home usually has.
    usual_places: Vec<TermId>,
    pub(super) place: usize,
    /// It was named, not only described or misheard.
    by_name: bool,
    pub(super) drafts: Vec<Draft>,
    pub(super) unused: Vec<(Range<usize>, Cow<'static, str>)>,
    pub(super) stays: Vec<(usize, Range<usize>)>,
    /// What was spoken of last, and in which sentence.
    pub(super) last: Option<(Named, usize)>,
    /// Rooms that go by number, as they were first named.
    rooms: Vec<(String, PlaceChange)>,
    /// A number that was told and whose room the next sentence names.
    room_number: Option<String>,
    /// A sentence that only announced a correction (*No, right.*).
    pub(super) correcting: bool,
    /// What was decided by signs, where that is asked.
    pub(super) weighed: Option<Weighed>,
}

/// Walks through all sentences; `weighed` asks for what is decided by signs.
pub(crate) fn walk(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    yardstick: &Yardstick,
    weighed: bool,
) -> Walked {
    let mut walk = Walk {
        lexicon,
        reading,
        transcript,
        yardstick,
        places: Places::default(),
        usual_places: lexicon
            .ids(Kind::Place)
            .filter(|&place| lexicon.place(place).usual)
            .collect(),
        place: usize::MAX,
        by_name: true,
        drafts: Vec::new(),
        unused: Vec::new(),
        stays: Vec::new(),
        last: None,
        rooms: Vec::new(),
        room_number: None,
        correcting: false,
        weighed: weighed.then(Weighed::default),
    };
    for (index, sentence) in reading.sentences.iter().enumerate() {
        walk.sentence(index, sentence);
    }
    Walked {
        places: walk.places,
        drafts: walk.drafts,
        unused: walk.unused,
        stays: walk.stays,
        weighed: walk.weighed,
    }
}

impl Walk<'_> {
    fn sentence(&mut self, index: usize, sentence: &Sentence) {
        let whole = sentence.tokens.clone();
        let recap = self.sums_up(index, sentence);
        // "…, apart from the bottom one, and that's one seventy-two": a figure.
        let figure = |kind| !self.kinds_in(&whole, kind).is_empty();
        let measured = figure(PieceKind::Measure) && figure(PieceKind::Defect);
        let counted = self.phrase(&whole, "running-total").is_some()
            && !self.tells_of_a_fault(&whole)
            && !measured;
        if recap || counted {
            // "Up the stairs, and count them as you go".
            if counted {
                self.follow_places(index, sentence);
            }
            let why = if counted { COUNTED } else { "said again" };
            self.unused.push((whole, why.into()));
            return;
        }
        let announced = std::mem::take(&mut self.correcting);
        if self.other_place(sentence, announced) {
            self.stays.push((self.place, whole));
            return;
        }
        let from = self.follow_places(index, sentence);
        let rest = from..sentence.tokens.end;
        self.stays.push((self.place, rest.clone()));
        self.answers_no(index, &rest);
        self.put_right(index, &rest);
        if self.denies_last(index, &rest)
            || self.sound_after_all(index, &rest)
            || self.thinks_again(index, &rest)
            || self.correct_last(index, &rest, announced)
        {
            return;
        }
        if self.measured_again(index, &rest) {
            return;
        }
        let mut struck = self.replaced(sentence, from);
        struck.extend(self.looked_through(&sentence.tokens));
        // "Scrap the item about …" is no fault.
        let order = self.takes_back_by_name(&rest);
        struck.extend(order.as_ref().and_then(|order| {
            let mut clauses = sentence.clauses.iter().map(|c| &c.tokens);
            clauses.find(|c| c.contains(&order.start)).cloned()
        }));
        // "And a cracked one, no, that's muck, forget it": nothing is left of it.
        let fault_struck = self
            .kinds_in(&rest, PieceKind::Defect)
            .into_iter()
            .any(|i| struck.contains(&self.reading.pieces[i].tokens));
        if fault_struck && self.phrase(&rest, "withdrawal").is_some() {
            self.unused.push((rest, TAKEN_BACK.into()));
            return;
        }
        let last = self
            .last
            .as_ref()
            .filter(|(_, at)| index - at <= REACH)
            .map(|(named, _)| named.clone());
        let scene = Scene {
            lexicon: self.lexicon,
            reading: self.reading,
            sentence,
            from,
            struck: &struck,
            last: last.as_ref(),
        };
        if self.other_element(index, &scene) {
            return;
        }
        let again = self
            .said_again(index, sentence, &rest)
            // "Are the sockets the same as downstairs?"
            .filter(|again| !sentence.question && self.is_as_before(&scene, again));
        let made_from = self.drafts.len();
        let added_to_last = self.frames(index, &scene, again.as_ref());
        let only_named = self.only_named(index, &scene, made_from);
        if let Some(again) = again.filter(|again| self.is_told_before(again, made_from)) {
            self.repeat(index, &scene, &again);
        }
        let mut settled = added_to_last || only_named;
        if self.drafts.len() == made_from && !settled {
            settled = self.wanted_for_last(index, &scene);
        }
        if self.drafts.len() == made_from && !settled {
            self.wanting(index, &scene);
        }
        let silent = self.drafts.len() == made_from && !settled;
        let within = silent.then(|| self.beyond_limit(index, &scene)).flatten();
        if silent && within.is_none() {
            self.otherwise_told(index, &scene, made_from);
        }
        self.withdraw(index, &scene, made_from);
        if order.is_some() && self.drafts.len() == made_from {
            self.last = None;
            self.unused.push((rest, TAKEN_BACK.into()));
            return;
        }
        self.attach(index, &scene, made_from, added_to_last);
        self.placed(&scene, made_from);
        self.remember(index, &scene, made_from);
        if self.drafts.len() == made_from && !settled {
            self.note_unused(&scene, within);
        }
    }

    /// Makes an item of a sentence that names no fault of a thing, in the first of the ways that it fits; a
    /// figure beyond a limit may have made one already, of which only [`Self::fails`] says more.
    fn otherwise_told(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) {
        self.fails(index, scene);
        let ways = [
            Self::short_answer,
            Self::implied,
            Self::whole_place,
            Self::told,
        ];
        for way in ways {
            if self.drafts.len() == made_from {
                way(self, index, scene);
            }
        }
    }

    /// True where an element and a fault, or work, are named: *nail pops on the ceiling, I count three*, *next
    /// one, the door wants adjusting*.
    fn tells_of_a_fault(&self, range: &Range<usize>) -> bool {
        let names = |kind| !self.kinds_in(range, kind).is_empty();
        names(PieceKind::Element) && (names(PieceKind::Defect) || names(PieceKind::Remedy))
    }

    /// Returns the index of the first phrase of a kind in `range`.
    fn phrase(&self, range: &Range<usize>, kind: &str) -> Option<usize> {
        self.reading.within(range).find(|&i| {
            self.reading.pieces[i].kind == PieceKind::Phrase && self.reading.pieces[i].text == kind
        })
    }

    fn phrase_opens(&self, kind: &str, range: &Range<usize>) -> bool {
        self.phrase(range, kind).is_some_and(|i| {
            let start = self.reading.pieces[i].tokens.start;
            (range.start..start)
                .all(|at| opener(self.word(at)) || class(self.word(at)) != Class::Open)
        })
    }

    /// Returns the word of a token; none behind the last.
    fn word(&self, at: usize) -> &str {
        self.reading.tokens.get(at).map_or("", |t| &t.norm)
    }

    /// Returns the word so many tokens before `at` in its clause; none before that.
    fn word_before(&self, clause: &Range<usize>, at: usize, back: usize) -> &str {
        let before = at.checked_sub(back).filter(|at| clause.contains(at));
        before.map_or("", |at| self.word(at))
    }

    /// Returns the words of a stretch as one writes them.
    fn text(&self, range: &Range<usize>) -> String {
        let words: Vec<&str> = range.clone().map(|at| self.word(at)).collect();
        words.join(" ").replace(" 's", "'s")
    }

    fn kinds_in(&self, range: &Range<usize>, kind: PieceKind) -> Vec<usize> {
        self.reading
            .within(range)
            .filter(|&i| self.reading.pieces[i].kind == kind && !self.reading.pieces[i].negated)
            .collect()
    }

    /// Keeps what the sentence is about for the next one.
    fn remember(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) {
        if let Some(draft) = self.drafts.get(made_from..).and_then(|d| d.last()) {
            self.last = Some((draft.element.clone(), index));
            return;
        }
        let rest = scene.from..scene.sentence.tokens.end;
        let subject = scene.things().find(|(_, noun)| {
            !scene.in_phrase(noun)
                || scene.measured_on(noun)
                || scene.tried_on(noun)
                || scene.passed(noun)
        });
        // "Right, yeah, it's the bath waste": that is what it is about.
        let it_is = subject.as_ref().is_some_and(|(_, noun)| {
            let at = scene.phrase_start(noun);
            at >= scene.from + 2
                && self.word(at - 1) == "'s"
                && matches!(self.word(at - 2), "it" | "that")
        });
        if !it_is && self.phrase(&rest, "positive").is_some()
            || self.phrase(&rest, "withdrawal").is_some()
        {
            self.last = None;
        } else if let Some((piece, noun)) = subject {
            let how = self.reading.pieces[piece].how;
            self.last = Some((Named::with_noun(noun, how), index));
        }
    }

    fn note_unused(&mut self, scene: &Scene<'_>, within: Option<String>) {
        let elements = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| !self.reading.pieces[i].negated);
        let rest = scene.from..scene.sentence.tokens.end;
        if rest.is_empty() || self.previous_remark(&rest) {
            return;
        }
        let why = if let Some(within) = within {
            within.into()
        } else if self.phrase(&rest, "positive").is_some() {
            "said to be in order".into()
        } else if elements {
            "no defect named".into()
        } else {
            "nothing of the building named".into()
        };
        self.unused.push((rest, why));
    }

    fn previous_remark(&self, range: &Range<usize>) -> bool {
        self.drafts
            .last()
            .is_some_and(|d| d.remarks.contains(range))
    }
}
