//! The making of an item from a fault and its thing.

use super::Walk;
use crate::items::draft::{Draft, Named, Narrowly};
use crate::items::pair::{Choice, wants_object};
use crate::items::position;
use crate::items::scene::Scene;
use crate::lexicon::Kind;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class};
use crate::statements::noun::Noun;
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// What comes through or out of a thing: that there is none of it is a fault of the thing.
const COMES_THROUGH: &[&str] = &[
    "air", "airflow", "water", "power", "signal", "heat", "pressure", "flow", "gas", "light",
    "current", "suction", "draw", "reading", "sound",
];

/// What cracks over a door or a window.
const WALL: &str = "wall";

/// Groups of things that are set into walls, or hang on them.
const SET_IN_WALLS: &[&str] = &["door", "window", "heating", "electrical", "ironmongery"];

/// Faults that walls have, and what stands in them hardly. Common practice, no source.
const OF_WALLS: &[&str] = &[
    "crack",
    "hairline",
    "damp patch",
    "bulge",
    "nail pop",
    "dent",
    "scuff",
];

/// Prepositions of what is near a thing, not in it. A crack runs *off the corner of* a window too.
const OVER: &[&str] = &[
    "over", "above", "under", "below", "beneath", "beside", "by", "near",
];

impl Walk<'_> {
    pub(super) fn also(
        &mut self,
        draft: usize,
        defect: &Piece,
        choice: &Choice,
        clause: &Range<usize>,
    ) {
        let mut named = Named::of(defect);
        let cause = self.supposes(clause, defect);
        let lacking = self.is_lacking(defect);
        let draft = &mut self.drafts[draft];
        if lacking {
            named.text = format!("no {}", choice.element.text);
        } else if (cause
            || choice
                .element
                .term
                .is_some_and(|e| Some(e) != draft.element.term))
            && choice.element.tokens != draft.element.tokens
            && choice.here.is_some()
        {
            named.text = format!("{} {}", choice.element.text, named.text);
        }
        if !draft.defects.iter().any(|d| d.text == named.text) {
            draft.defects.push(named);
        }
        draft.cover(clause);
        if !draft.clauses.contains(clause) {
            draft.clauses.push(clause.clone());
            let element = draft.element.tokens.clone();
            let own = choice.here.clone().unwrap_or(element.clone());
            for phrase in position::phrases(self.reading, clause, &own) {
                if own == element || choice.here.is_none() {
                    draft.place_at(phrase);
                }
            }
        }
    }

    /// ***Bedroom two** has a crack over the door*: of a room it is the wall that cracks or is damp.
    fn part_of_room(&self, element: &Named, fault: &Named) -> Option<&'static str> {
        let room = element.term.is_none()
            && self
                .lexicon
                .find(Kind::Place, &element.text)
                .is_some_and(|place| self.lexicon.place(place).kind.indoors());
        let has = |word: &str| fault.text.contains(word);
        match () {
            () if !room => None,
            () if has("craz") => Some("plaster"),
            () if has("crack") || has("damp") || has("hairline") || has("mould") => Some("wall"),
            () => None,
        }
    }

    /// ***A crack over the door***, *above the patio door there's a hairline*: of the wall, not of the door.
    fn stands_over(&self, scene: &Scene<'_>, element: &Named, fault: &Named) -> bool {
        let Some(term) = element.term else {
            return false;
        };
        let group = self.lexicon.element(term).group;
        let set_in = SET_IN_WALLS.contains(&self.lexicon.group(group).name.as_str());
        let of_walls = OF_WALLS.iter().any(|word| fault.text.contains(word));
        let mut at = element.tokens.start;
        while at > scene.from && class(self.word(at - 1)) == Class::Determiner {
            at -= 1;
        }
        let back = |count: usize| match at.checked_sub(count) {
            Some(before) if before >= scene.from => self.word(before),
            _ => "",
        };
        // "Off the corner of the window", but not "in the corner of the window".
        let runs = |at: usize| {
            let word = self.word(at);
            OVER.contains(&word) || matches!(word, "off" | "from" | "out" | "running")
        };
        let over = match (back(2), back(1)) {
            ("corner" | "corners", "of") => (scene.from..at - 2).any(runs),
            ("left" | "right", "of") => true,
            (_, before) => OVER.contains(&before),
        };
        let own = at > scene.from && {
            let mut before = self.reading.elements_within(&(scene.from..at - 1)).iter();
            before.all(|piece| position::A_PART.contains(&piece.text.as_str()))
        };
        set_in && of_walls && over && own
    }

    pub(super) fn make(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: Choice,
        host: Option<Named>,
        clause: &Range<usize>,
    ) {
        let mut element = choice.element;
        let mut main = Named::of(defect);
        let mut reasons = Vec::new();
        match host {
            // "Extract valve, there's no airflow": what is missing is no part that could be fitted.
            Some(host)
                if (element.term.is_none() || leaves_room(&element.text))
                    && wants_object(&self.reading.tokens, defect) =>
            {
                main.text = format!("no {}", element.text);
                element = host;
            }
            Some(host) => element.text = format!("{} {}", host.text, element.text),
            None => {}
        }
        if let Some(part) = self.part_of_room(&element, &main) {
            element.term = self.lexicon.find(Kind::Element, part);
            element.text = part.to_owned();
        }
        // It is where the fault is, so the phrase that names it says where.
        if choice.here.is_some() && self.stands_over(scene, &element, &main) {
            element = Named {
                text: WALL.to_owned(),
                term: self.lexicon.find(Kind::Element, WALL),
                tokens: main.tokens.clone(),
                ..element
            };
        }
        if choice.carried {
            reasons.push("element from the sentence before".into());
        }
        if main.term.is_none() {
            reasons.push("new term: no lexicon entry for the fault".into());
        }
        if element.term.is_none() {
            reasons.push("new term: no lexicon entry for the element".into());
        }
        let mut clauses = vec![clause.clone()];
        if let Some(here) = &choice.here {
            let own = scene.clause(here.start);
            // "…, and the one above it is split": another thing than the one named.
            let listed = self
                .drafts
                .last()
                .is_some_and(|d| d.sentence == index && d.element.tokens == element.tokens);
            let like_it = listed && self.elsewhere(clause);
            if own != *clause && !like_it {
                clauses.insert(usize::from(own.start > clause.start), own);
            }
        }
        let mut positions: Vec<String> = choice.position.into_iter().collect();
        for range in &clauses {
            for phrase in position::phrases(self.reading, range, &element.tokens) {
                if !positions.contains(&phrase) {
                    positions.push(phrase);
                }
            }
        }
        // "The right one is cracked."
        let which = choice.carried
            && clause
                .clone()
                .any(|at| matches!(self.word(at), "one" | "ones"));
        positions.extend(
            which
                .then(|| position::of_words(&self.reading.tokens, clause.clone()))
                .flatten(),
        );
        let mut tokens = clause.clone();
        for c in &clauses {
            tokens = tokens.start.min(c.start)..tokens.end.max(c.end);
        }
        let place = self.here_for(index, scene, clause, &mut reasons);
        self.drafts.push(Draft {
            narrowly: Narrowly {
                unnamed: f64::from(u8::from(!self.by_name)),
                ..Narrowly::default()
            },
            place,
            element,
            element_carried: choice.carried,
            defects: vec![main],
            defect_carried: false,
            positions,
            count: None,
            measures: Vec::new(),
            remedies: Vec::new(),
            trade: None,
            hedged: false,
            watch: false,
            photo: false,
            safety: false,
            cosmetic: false,
            remarks: Vec::new(),
            tokens,
            clauses,
            sentence: index,
            withdrawn: None,
            reasons,
        });
    }

    /// The larger thing that a part belongs to, where the sentence or the one before names it:
    /// *Meter box door, **hinge** snapped*; *it's got no **closer***.
    pub(super) fn host(&self, scene: &Scene<'_>, defect: &Piece, choice: &Choice) -> Option<Named> {
        let here = choice.here.as_ref()?;
        let clause = scene.clause(defect.tokens.start);
        // "The outside socket, the one by the doors, **its** lid's snapped off".
        let its = here.start > scene.from && matches!(self.word(here.start - 1), "its" | "their");
        // "it's got no closer": what has it is the host; "there's no restrictor on the window" names it after.
        let topic = |host: &Named| {
            let own = scene.clause(host.tokens.start);
            own.start == scene.from
                && own.end <= clause.start
                && own.clone().all(|at| {
                    host.tokens.contains(&at) || class(self.word(at)) == Class::Determiner
                })
        };
        let lacking = self.is_lacking(defect);
        let before = clause.clone().take_while(|&t| t < here.start);
        let says_has_got = before.into_iter().any(|t| {
            matches!(
                self.word(t),
                "got" | "has" | "have" | "lost" | "missing" | "without" | "it"
            )
        });
        let has_got = lacking && (says_has_got || self.is_on_it(here.end, &clause));
        let part_of = choice
            .element
            .term
            .map_or(&[][..], |t| &self.lexicon.element(t).part_of);
        // "Door sticks, boot scraper's hanging off": two things.
        let faulty = |host: &Named| {
            let own = scene.clause(host.tokens.start);
            own.end <= clause.start && !self.kinds_in(&own, PieceKind::Defect).is_empty()
        };
        let belongs = |host: &Named| {
            if choice.element.term.is_none() && !has_got && faulty(host) {
                return false;
            }
            let fits = match (choice.element.term, host.term) {
                _ if its => true,
                (None, _) => true,
                (Some(_), Some(_)) if position::A_PART.contains(&choice.element.text.as_str()) => {
                    true
                }
                // "The laminate's tight to the wall, no expansion gap".
                (Some(_), Some(_)) if leaves_room(&choice.element.text) => {
                    choice.element.tokens != host.tokens
                }
                (Some(_), Some(h)) => part_of.contains(&h) || has_got || topic(host),
                _ => has_got || topic(host),
            };
            fits && !choice.element.text.contains(host.text.as_str())
                && !host.text.contains(choice.element.text.as_str())
        };
        let named =
            |(piece, noun): (usize, Noun)| Named::with_noun(noun, self.reading.pieces[piece].how);
        if let Some(behind) = self.lacks_it(scene, here, &clause).filter(|_| lacking) {
            return Some(named(behind));
        }
        let earlier = scene
            .things()
            .rev()
            .find(|(_, noun)| noun.tokens.end <= here.start && !scene.in_phrase(noun));
        if let Some(earlier) = earlier {
            let host = named(earlier);
            return belongs(&host).then_some(host);
        }
        let pronoun = scene
            .clause(defect.tokens.start)
            .any(|t| matches!(self.word(t), "it" | "they" | "them"));
        scene
            .last
            .filter(|host| {
                let a_part = choice.element.term.is_none()
                    && position::A_PART.contains(&choice.element.text.as_str());
                (pronoun || a_part || its || comes_through(&choice.element.text))
                    && (choice.element.term.is_some()
                        || a_part
                        || its
                        || wants_object(&self.reading.tokens, defect))
                    && belongs(host)
            })
            .cloned()
    }
}

impl Walk<'_> {
    /// *No labels on **the fuse board***, *no insulation on the back of **the hatch***: what lacks it, with its piece.
    fn lacks_it(
        &self,
        scene: &Scene<'_>,
        here: &Range<usize>,
        clause: &Range<usize>,
    ) -> Option<(usize, Noun)> {
        let is_on_things = PUT_ON_THINGS.contains(&self.word(here.end - 1))
            && matches!(self.word(here.end), "on" | "to");
        if !is_on_things {
            return None;
        }
        let behind = here.end..clause.end;
        scene.things().find(|(_, noun)| {
            behind.contains(&noun.tokens.start) && !position::A_PART.contains(&&*noun.text)
        })
    }

    /// *There's no seal **round it***, *no pipe **on the back of it***: what is missing is so of what was spoken of;
    /// `from` is where the words for it end.
    fn is_on_it(&self, from: usize, clause: &Range<usize>) -> bool {
        let mut within = from..clause.end.min(from + ON_IT_WITHIN);
        class(self.word(from)) == Class::Preposition
            && within.any(|at| matches!(self.word(at), "it" | "them" | "either"))
    }

    /// *no closer*, *hasn't got a closer*: something is missing, and its name stands behind the words that say so.
    fn is_lacking(&self, defect: &Piece) -> bool {
        defect.text == MISSING && wants_object(&self.reading.tokens, defect)
    }
}

/// What is put on many things, and says nothing without them.
#[rustfmt::skip]
const PUT_ON_THINGS: &[&str] = &[
    "label", "labels", "labelling", "mark", "stamp", "sticker", "insulation", "lagging", "paint", "primer", "varnish",
];

/// Within so many words behind a missing part stands what it is missing of: *on the back of it*.
const ON_IT_WITHIN: usize = 5;

/// True for what is no part that could be fitted: *expansion gap*.
fn leaves_room(element: &str) -> bool {
    element.ends_with("gap") || element.ends_with("gaps")
}

fn comes_through(element: &str) -> bool {
    COMES_THROUGH
        .iter()
        .any(|what| element.split(' ').next_back() == Some(what))
}
