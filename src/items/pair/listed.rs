//! A thing that the lexicon lists, as what a fault may be of.

use super::fault::Fault;
use super::{Choice, FAR};
use crate::items::position::A_PART;
use crate::items::scene::Scene;
use crate::lexicon::How;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::Noun;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Join;
use crate::statements::signs::Signs;
use std::ops::Range;

/// A fault stands at most so many words behind the thing of which a verb says it.
const SAYS_WITHIN: usize = 4;

impl Scene<'_> {
    /// True where the fault's clause opens with a thing in own words, and the piece has a fault in a clause of
    /// its own.
    fn speaks_of_another(&self, fault: &Fault<'_>, piece: &Piece) -> bool {
        let Some(own) = fault.subject.as_ref().filter(|_| !fault.pronoun) else {
            return false;
        };
        let opens = (fault.clause.start..own.tokens.start)
            .all(|at| opener(self.word(at)) || class(self.word(at)) == Class::Determiner);
        let part = own
            .tokens
            .clone()
            .any(|at| A_PART.contains(&self.word(at)) || class(self.word(at)) != Class::Open);
        let earlier = self.clause(piece.tokens.start);
        let faults = self.pieces(PieceKind::Defect).into_iter();
        let mut faults = faults.map(|at| &self.reading.pieces[at].tokens);
        opens && !part && faults.any(|fault| earlier.contains(&fault.start))
    }

    /// A thing that the lexicon lists, named in the sentence.
    pub(super) fn listed_thing(
        &self,
        fault: &Fault<'_>,
        (index, noun): &(usize, Noun),
        mut signs: Signs,
    ) -> Option<(Signs, Choice)> {
        let Fault { defect, at, .. } = *fault;
        let piece = &self.reading.pieces[*index];
        // Whether another thing stands so: its tokens, with its noun phrase.
        let any_thing = |stands: &dyn Fn(&Range<usize>, &Noun) -> bool| {
            let mut things = fault.things.iter();
            things.any(|(i, noun)| stands(&self.reading.pieces[*i].tokens, noun))
        };
        // A modifier of a longer noun is not a thing of its own: "[door] handle".
        let longer =
            |(i, noun): &(usize, Noun)| i > index && noun.tokens.start <= piece.tokens.start;
        if fault.things.iter().any(longer) {
            return None;
        }
        let before = piece.tokens.end <= at;
        let gap = if before {
            at - piece.tokens.end
        } else {
            piece.tokens.start.saturating_sub(defect.tokens.end)
        };
        let boundaries = fault.here.abs_diff(self.clause_of(piece.tokens.start));
        // "It hits the switch, there's no stop": what is absent is named after *no*.
        let elsewhere = before && boundaries > 0;
        if elsewhere && fault.wants_object && self.says_no(defect) {
            return None;
        }
        let within = self.in_phrase(noun) && !self.measured_on(noun);
        // "A thousand and twenty above the floor": what it is measured from is not at fault.
        let figured = before && defect.term.is_none() && defect.text.contains("too ");
        if figured && (within || self.of_the_requirement(&piece.tokens, at)) {
            return None;
        }
        // "Meter's saying twenty-four percent": of what it is held to.
        let held = matches!(
            self.word(noun.tokens.end - 1),
            "meter" | "gauge" | "probe" | "probes"
        );
        if held && defect.text.contains("damp") {
            return None;
        }
        // "Forty-eight's the limit, wind the blending valve down": of what was measured before.
        let other_clause = !before && boundaries > 0 && self.last.is_some();
        if other_clause && defect.term.is_none() && defect.text.starts_with("too ") {
            return None;
        }
        // "Paint overspray on the window"; "the handle's put a dent in the wall": the wall has it.
        let other_has_it = fault.soiled && gap == 0 || fault.done_to && boundaries == 0;
        if before && other_has_it {
            return None;
        }
        // "A damp patch below the window, it's hard to tell in this *light*".
        let own_thing = || any_thing(&|other, _| fault.clause.contains(&other.start));
        if !before && boundaries > 0 && own_thing() {
            return None;
        }
        // "Fence panel's loose, *log store*'s rotten": the clause has a thing of its own.
        if elsewhere && !within && self.speaks_of_another(fault, piece) {
            return None;
        }
        // "It's weeping under the sink": only where.
        let where_it_is = class(self.word(piece.tokens.start)) == Class::Preposition;
        if !before && where_it_is && fault.pronoun {
            return None;
        }
        signs.has(if before { "before" } else { "after" });
        signs.has(&format!("{} {}", side(before), fault.form));
        signs.when(before && fault.wants_object, "before one asked for behind");
        signs.when(
            gap == 0 && boundaries == 0,
            if before { "just before" } else { "just behind" },
        );
        if before && boundaries > 0 {
            signs.has(&format!("earlier clause, {}", fault.form));
            signs.has(&format!(
                "clauses joined by {:?}",
                self.sentence.clauses[fault.here].join
            ));
        }
        let nearer = |other: &Range<usize>| {
            if before {
                piece.tokens.end <= other.start && other.end <= at
            } else {
                defect.tokens.end <= other.start && other.end <= piece.tokens.start
            }
        };
        // "First door on the left, *the hinge* is loose", "the window's *handle* is loose".
        let free = |other: &Range<usize>, noun: &Noun| {
            nearer(other) && fault.clause.contains(&other.start) && !self.in_phrase(noun)
        };
        let passed_over = before && any_thing(&free);
        if passed_over && boundaries > 0 {
            return None;
        }
        signs.when(passed_over, "before another subject");
        let nearest = !any_thing(&|other, _| nearer(other));
        signs.when(
            nearest,
            if before {
                "nearest before"
            } else {
                "nearest behind"
            },
        );
        signs.of("tokens between", gap.min(FAR) as f32 / FAR as f32);
        signs.of("clause between", boundaries.min(1) as f32);
        signs.of("further clauses", boundaries.saturating_sub(1) as f32);
        // "The radiator on the back wall, well, it's on the skew".
        signs.when(before && fault.pronoun && boundaries > 0, "taken up");
        // "Somebody walked on the insulation and squashed *it*".
        signs.when(before && within && fault.takes_up, "object taken up");
        signs.when(before && within, "in phrase before");
        // "Sound, except for the grab rail, *which* isn't fixed".
        signs.when(
            fault.relative && noun.tokens.end + 1 == fault.clause.start,
            "which",
        );
        signs.when(before && self.handled(noun), "handled");
        // "I thought it was the door, but it's the carpet that's catching".
        signs.when(before && self.singled_out(noun, at), "singled out");
        // "The floor's a grand job, although there's a crack": of the floor.
        let but = self.sentence.clauses[fault.here].join == Join::But;
        let praised = before && boundaries > 0 && !but && self.praised(piece.tokens.start);
        signs.when(praised, "praised");
        // "Extractor, isolator's on, and it's still dead": hung out in front.
        signs.when(
            fault.pronoun && boundaries > 0 && self.hangs_in_front(noun),
            "hangs in front",
        );
        if !before {
            self.behind(fault, noun, gap, boundaries, &mut signs);
        }
        self.stands(fault, noun, before, &mut signs);
        if let (Some(d), Some(e)) = (defect.term, piece.term) {
            signs.of("goes with", self.lexicon.befalls(d, e) - 0.5);
        }
        let weak = piece.term.is_some_and(|t| self.lexicon.element(t).weak);
        signs.when(weak, "everyday thing");
        if let How::SoundsLike { distance } = piece.how {
            signs.of("sounds like", distance);
        }
        let mut choice = Choice::at(piece, noun.clone());
        if let Some(head) = self.head_of(noun).filter(|_| before) {
            let element = &mut choice.element.text;
            *element = format!("{element} {}", self.word(head));
        }
        Some((signs, choice))
    }

    /// How a thing stands that follows the words of its fault.
    fn behind(
        &self,
        fault: &Fault<'_>,
        noun: &Noun,
        gap: usize,
        boundaries: usize,
        signs: &mut Signs,
    ) {
        let object = fault.wants_object && boundaries == 0;
        // "One *loose* **tile** by the bath".
        let attributive = gap == 0
            && boundaries == 0
            && (self.one_of_many(fault.at) || fault.defect.text == "wrong" || fault.soiled)
            && !fault.wants_object;
        signs.has(if attributive {
            "attributive"
        } else if object && gap <= 1 {
            "object"
        } else if object && gap <= 4 && !self.behind_another(noun, fault.defect) {
            "object further on"
        } else if self.in_phrase(noun) && self.tied(noun) && boundaries == 0 && gap <= 4 {
            "tied"
        } else if self.beside(noun) {
            "beside"
        } else {
            "loose behind"
        });
        if !attributive && !fault.wants_object {
            signs.when(fault.has_subject, "subject before");
            signs.when(fault.subject.is_some(), "own words before");
            signs.when(fault.pronoun, "pronoun before");
        }
    }

    /// Which words a noun phrase stands between.
    pub(super) fn stands(&self, fault: &Fault<'_>, noun: &Noun, before: bool, signs: &mut Signs) {
        let side = side(before);
        let start = self.phrase_start(noun);
        let clause = self.clause(noun.tokens.start);
        let lead = start.checked_sub(1).filter(|at| *at >= clause.start);
        let lead = lead.map_or("", |at| self.word(at));
        signs.word(&format!("{side} behind"), lead);
        let article = if start < noun.tokens.start {
            self.word(start)
        } else {
            ""
        };
        signs.word(&format!("{side} with"), article);
        let next = match noun.tokens.end {
            end if fault.defect.tokens.contains(&end) => "fault",
            end if end >= clause.end => "",
            end => self.word(end),
        };
        signs.word(&format!("{side} followed by"), next);
        // "The **ceiling has a** crack".
        let between = noun.tokens.end..fault.at;
        let verb = matches!(
            self.word(between.start),
            "has" | "have" | "'s" | "is" | "are"
        );
        let fewer = |at| !matches!(class(self.word(at)), Class::Open | Class::Preposition);
        let says = before && verb && between.len() <= SAYS_WITHIN && between.clone().all(fewer);
        signs.when(says, "said of it");
        signs.when(before && clause.start == start, "opens its clause");
        signs.when(clause == fault.clause, "same clause");
    }
}

/// How the names of signs tell a thing before the fault from one behind it.
fn side(before: bool) -> char {
    if before { '<' } else { '>' }
}
