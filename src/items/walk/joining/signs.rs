//! What speaks for a fault saying more of an item: what the two are of, how the clause goes, what the faults are,
//! and what else the sentence says.

use super::Further;
use crate::items::draft::Draft;
use crate::items::pair::{form, wants_object};
use crate::items::position::A_PART;
use crate::items::walk::Walk;
use crate::lexicon::TermId;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::sentence::Join;
use crate::statements::signs::Signs;
use std::ops::Range;

/// How faults begin by which a thing fails to do what it is for.
const FAILS: &[&str] = &[
    "will not",
    "won't",
    "does not",
    "not ",
    "come off",
    "comes off",
    "comes away",
    "swings",
];

/// Small parts that anything may have, and by which it fails: *the panel gives, a **batten**'s missing*. Common
/// practice, no source.
#[rustfmt::skip]
pub(in crate::items::walk) const SMALL_PARTS: &[&str] = &[
    "screw", "screws", "bolt", "bolts", "bracket", "brackets", "fixing", "fixings", "hinge", "hinges", "clip", "clips",
    "seal", "seals", "sealant", "mastic", "plug", "plugs", "cap", "collar", "noggin", "noggins", "batten", "battens",
    "peg", "pegs", "washer", "nut", "gasket", "strap", "straps", "sleeve", "spring", "catch", "keep", "runner", "runners",
    "bead", "nail", "nails", "tie", "ties", "shim", "packer", "packers", "fastener", "fasteners",
];

/// A thing of another kind than what the item is of.
pub(super) const ANOTHER: &str = "another thing";

/// A thing of the same kind of work as what the item is of.
pub(super) const LIKE: &str = "a like thing";

/// More faults of a sentence count no more than these.
const MANY_FAULTS: usize = 5;

/// More items of a sentence count no more than these.
const MANY_ITEMS: usize = 4;

/// What one of them counts for, that the number is about as large as other signs.
const ONE: f32 = 0.5;

/// Returns the head of a thing's name.
pub(in crate::items::walk) fn last_word(name: &str) -> &str {
    name.rsplit(' ').next().unwrap_or_default()
}

impl Walk<'_> {
    /// Adds what speaks for the fault saying more of the item.
    pub(super) fn joining(&self, further: &Further<'_>, earlier: &Draft, signs: &mut Signs) {
        let same_clause = further.clause.contains(&earlier.defects[0].tokens.start);
        let join = match further.scene.join(further.defect.tokens.start) {
            _ if same_clause => "within",
            Some(Join::Comma) => "comma",
            Some(Join::And) => "and",
            Some(Join::But) => "but",
            Some(Join::So) => "so",
            Some(Join::Start) | None => "start",
        };
        signs.has(join);
        let of = self.of_what(further, earlier);
        signs.has(of);
        signs.has(&format!("{join}, {of}"));
        self.thing_named(further, earlier, join, signs);
        self.clause_goes(further, earlier, join, signs);
        self.two_faults(further, earlier, of, signs);
        self.said_besides(further, earlier, join, signs);
    }

    /// Returns what the fault is of, as seen from what the item is of.
    pub(super) fn of_what(&self, further: &Further<'_>, earlier: &Draft) -> &'static str {
        let choice = further.choice;
        let (first, second) = (earlier.element.term, choice.element.term);
        if earlier.element.tokens == choice.element.tokens {
            "the same words"
        } else if choice.carried {
            "carried"
        } else if second.is_none() {
            "own words"
        } else if first == second {
            "the same thing"
        } else if self.part_of(second, earlier) {
            "a part"
        } else if first.is_some_and(|first| self.is_part(first, second)) {
            "the whole"
        } else if A_PART.contains(&choice.element.text.as_str()) {
            "an end"
        } else if self.group(first) == self.group(second) {
            LIKE
        } else {
            ANOTHER
        }
    }

    /// True for a part of what the item is of, or of a thing whose name ends likewise: a larder unit door is a
    /// door.
    fn part_of(&self, part: Option<TermId>, earlier: &Draft) -> bool {
        let whole = earlier.element.text.as_str();
        part.is_some_and(|part| {
            let of = &self.lexicon.element(part).part_of;
            of.iter().any(|of| whole.ends_with(self.lexicon.name(*of)))
        })
    }

    fn is_part(&self, part: TermId, whole: Option<TermId>) -> bool {
        whole.is_some_and(|whole| self.lexicon.element(part).part_of.contains(&whole))
    }

    fn group(&self, element: Option<TermId>) -> Option<&str> {
        element.map(|element| {
            let group = self.lexicon.element(element).group;
            self.lexicon.group(group).name.as_str()
        })
    }

    /// Where the thing is named, and how.
    fn thing_named(&self, further: &Further<'_>, earlier: &Draft, join: &str, signs: &mut Signs) {
        let Further {
            defect,
            choice,
            clause,
            ..
        } = *further;
        let fault = &earlier.defects[0].tokens;
        let here = choice.here.as_ref();
        signs.when(earlier.element.term.is_none(), "the first in own words");
        let named = match here {
            Some(here) if here.end <= fault.start => "before both",
            Some(here) if here.end > defect.tokens.start && here.start < defect.tokens.end => {
                "inside"
            }
            Some(here) if here.start >= defect.tokens.end => "behind",
            Some(here) if clause.contains(&here.start) => "in front",
            Some(_) => "between",
            None => "nowhere",
        };
        signs.has(named);
        signs.has(&format!("{join}, {named}"));
        let Some(here) = here else { return };
        if SMALL_PARTS.contains(&last_word(&choice.element.text)) {
            signs.has("a small part");
        }
        if earlier.element.tokens != choice.element.tokens {
            let (first, second) = (
                self.group(earlier.element.term),
                self.group(choice.element.term),
            );
            if let (Some(first), Some(second)) = (first, second)
                && first != second
            {
                signs.has(&format!("of {first}, of {second}"));
            }
            // "… and the rail's loose": a thing at the head of its own clause.
            let mut lead = clause.start..here.start;
            let heads =
                lead.all(|at| opener(self.word(at)) || class(self.word(at)) == Class::Determiner);
            signs.when(heads, "a thing at the head");
            if heads {
                signs.has(&format!("{join}, a thing at the head"));
            }
            let article = here.start.checked_sub(1).filter(|at| *at >= clause.start);
            signs.word("a thing with", article.map_or("", |at| self.word(at)));
        }
        // "… by four mil **and the skirting** has a gap".
        let mut front = (fault.end..here.start).rev();
        let led = front.find(|&at| class(self.word(at)) != Class::Determiner);
        let and_thing = led.is_some_and(|at| self.word(at) == "and");
        signs.when(and_thing, "and a thing");
    }

    /// How the clause of the fault goes.
    fn clause_goes(&self, further: &Further<'_>, earlier: &Draft, join: &str, signs: &mut Signs) {
        let Further {
            scene,
            defect,
            choice,
            clause,
        } = *further;
        let mut said = clause.clone().filter(|&at| !opener(self.word(at)));
        for stands in ["opens", "goes on"] {
            signs.word(stands, said.next().map_or("", |at| self.word(at)));
        }
        let told = form(scene, clause, defect);
        signs.has(told);
        signs.has(&format!("{join}, {told}"));
        signs.word("behind", self.word(defect.tokens.end));
        let before = clause.start.checked_sub(1).map_or("", |at| self.word(at));
        signs.word("joined by", before);
        signs.when(matches!(before, "because" | "cos" | "since"), "because");
        signs.when(self.pronoun(clause).is_some(), "a pronoun");
        signs.when(scene.has_subject(clause, defect), "a subject");
        signs.when(
            self.refers_back(scene, clause, defect, earlier),
            "refers back",
        );
        signs.when(self.part_of_it(clause), "one or the whole of it");
        signs.when(self.supposes(clause, defect), "supposed");
        signs.when(self.only_measured(clause, defect), "only measured");
        signs.when(self.goes_on(clause, defect, choice), "goes on from it");
        signs.when(scene.there_is(clause, defect), "there is");
    }

    /// What the two faults are.
    fn two_faults(&self, further: &Further<'_>, earlier: &Draft, of: &str, signs: &mut Signs) {
        let (defect, fault) = (further.defect, &earlier.defects[0]);
        signs.when(fault.text == defect.text, "the same fault");
        signs.when(defect.term.is_none(), "fault in own words");
        signs.when(fault.term.is_none(), "first fault in own words");
        if let Some(term) = defect.term
            && earlier.element.tokens != further.choice.element.tokens
        {
            signs.has(&format!("fault {}", self.lexicon.name(term)));
        }
        signs.when(defect.text == MISSING, "missing");
        signs.when(fault.text == MISSING, "first missing");
        if FAILS.iter().any(|start| fault.text.starts_with(start)) {
            signs.has("the first fails");
            signs.has(&format!("the first fails, {of}"));
        }
        let brought = self.brought_about(earlier, defect, further.choice);
        signs.when(brought, "brought about");
        let wants = wants_object(&self.reading.tokens, defect);
        signs.when(wants, "wants an object");
    }

    /// What else the sentence says.
    fn said_besides(&self, further: &Further<'_>, earlier: &Draft, join: &str, signs: &mut Signs) {
        let Further {
            scene,
            defect,
            clause,
            ..
        } = *further;
        let fault = &earlier.defects[0].tokens;
        let between = fault.end..defect.tokens.start;
        let within = |range: &Range<usize>, kind: PieceKind| !self.kinds_in(range, kind).is_empty();
        let and = |at: usize| matches!(self.word(at), "and" | "or");
        signs.when(between.clone().any(and), "and between");
        signs.when(within(&between, PieceKind::Remedy), "a remedy between");
        signs.when(within(&between, PieceKind::Measure), "a figure between");
        signs.when(within(&between, PieceKind::Place), "a place between");
        signs.when(within(clause, PieceKind::Measure), "a figure");
        signs.when(within(clause, PieceKind::Count), "counted");
        let placed = |range: &Range<usize>, fault: &Range<usize>| {
            (fault.end..range.end).any(|at| class(self.word(at)) == Class::Preposition)
        };
        let placed_here = placed(clause, &defect.tokens);
        let own = earlier.clauses.iter().find(|c| c.contains(&fault.start));
        let placed_first = own.is_some_and(|own| placed(own, fault));
        signs.when(placed_here, "placed");
        signs.when(placed_first, "first placed");
        signs.when(placed_first && placed_here, "both placed");
        let sentence = scene.sentence;
        let clauses = sentence.clauses.iter();
        let apart = clauses.filter(|c| between.contains(&c.tokens.start));
        signs.of("clauses apart", apart.count() as f32);
        // "Skirting's split, **the door's scuffed and** there's a tile loose".
        let rest = defect.tokens.end..sentence.tokens.end;
        let mut ands = rest.clone().filter(|&at| self.word(at) == "and");
        if ands.any(|at| within(&(at..rest.end), PieceKind::Defect)) {
            signs.has("a list goes on");
            signs.has(&format!("{join}, a list goes on"));
        }
        let faults = self.kinds_in(&sentence.tokens, PieceKind::Defect).len();
        signs.of(
            "faults in the sentence",
            faults.min(MANY_FAULTS) as f32 * ONE,
        );
        let made = self.drafts.iter().rev();
        let made = made.take_while(|d| d.sentence == earlier.sentence).count();
        signs.of("items of the sentence", made.min(MANY_ITEMS) as f32 * ONE);
    }
}
