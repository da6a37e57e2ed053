//! What a fault may be of besides the things that the lexicon lists: own words, the sentence's topic, what the
//! fault's words hold or imply, and what was spoken of before.

use super::fault::Fault;
use super::{Choice, FAR};
use crate::items::draft::Named;
use crate::items::scene::Scene;
use crate::lexicon::{How, TermId};
use crate::statements::grammar::{Class, class};
use crate::statements::noun;
use crate::statements::piece::Piece;
use crate::statements::signs::Signs;

/// How well a fault goes with the thing that its own word implies, as for one that its entry names.
const GOES_WITH_IMPLIED: f32 = 0.5;

impl Scene<'_> {
    /// What the speaker's own words name beside the fault.
    pub(super) fn own_words(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let defect = fault.defect;
        let noun = if fault.wants_object {
            noun::object_after(
                self.tokens(),
                &self.reading.pieces,
                defect.tokens.end,
                fault.clause.end,
            )
        } else {
            let subject = fault.subject.clone();
            subject.or_else(|| self.object_of(defect, fault.clause.end))
        };
        let noun = noun.filter(|n| !n.tokens.clone().any(|t| self.struck(t)))?;
        let before = noun.tokens.end <= fault.at;
        let gap = if before {
            fault.at - noun.tokens.end
        } else {
            noun.tokens.start.saturating_sub(defect.tokens.end)
        };
        signs.has("own words");
        signs.has(&format!("own words {}", fault.form));
        signs.of("own words further off", gap.min(FAR) as f32 / FAR as f32);
        signs.when(fault.wants_object, "own words as object");
        signs.when(!before && !fault.wants_object, "own words behind");
        signs.when(defect.term.is_none(), "own words for both");
        self.stands(fault, &noun, before, &mut signs);
        Some((signs, Choice::own(noun)))
    }

    /// What the sentence opens with, in the speaker's own words.
    pub(super) fn spoken_of(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let noun = self.topic().filter(|n| {
            fault.here > 0 && n.tokens.end <= fault.at && !n.tokens.clone().any(|t| self.struck(t))
        })?;
        signs.has("topic");
        signs.has(&format!("topic {}", fault.form));
        signs.when(fault.pronoun, "topic taken up");
        Some((signs, Choice::own(noun)))
    }

    /// A thing named by the very words of the defect: ***toilet** rocks*.
    pub(super) fn inside(
        &self,
        fault: &Fault<'_>,
        inner: &Piece,
        mut signs: Signs,
    ) -> Option<(Signs, Choice)> {
        let defect = fault.defect;
        let before_it = || (defect.tokens.start..inner.tokens.start).rev();
        // "Has no fall": what there is none of.
        if fault.soiled || before_it().any(|at| self.word(at) == "no") {
            return None;
        }
        // "Running to the *door*": where to, not what.
        let lead = before_it()
            .map(|at| self.word(at))
            .find(|word| class(word) != Class::Determiner);
        if matches!(lead, Some("to" | "towards" | "toward" | "into" | "from")) {
            return None;
        }
        // "*Nail* pops" are the board's, not the nail's.
        let fits = defect
            .term
            .zip(inner.term)
            .map(|(d, e)| self.lexicon.befalls(d, e));
        if self.implied_by(defect).is_some() && fits.is_some_and(|fits| fits < 0.5) {
            return None;
        }
        signs.has("in the words of the fault");
        let (ends, opens) = (
            inner.tokens.end == defect.tokens.end,
            inner.tokens.start == defect.tokens.start,
        );
        signs.when(ends, "ends the words of the fault");
        signs.when(opens, "opens the words of the fault");
        signs.has(&format!("in the words, {}", fault.form));
        signs.of("goes with", fits.unwrap_or(0.5) - 0.5);
        Some((signs, Choice::alone(Named::of(inner), inner.tokens.clone())))
    }

    fn implied_by(&self, defect: &Piece) -> Option<TermId> {
        defect.term.and_then(|t| self.lexicon.defect(t).implies)
    }

    /// The element that the defect's own word implies.
    pub(super) fn implied(&self, fault: &Fault<'_>, mut signs: Signs) -> Option<(Signs, Choice)> {
        let implied = self.implied_by(fault.defect)?;
        let element = Named {
            text: self.lexicon.name(implied).to_owned(),
            term: Some(implied),
            how: How::Exact,
            tokens: fault.defect.tokens.clone(),
        };
        signs.has("implied");
        signs.of("goes with", GOES_WITH_IMPLIED);
        signs.has(&format!("implied {}", fault.form));
        signs.when(fault.has_subject, "implied behind a subject");
        Some((signs, Choice::alone(element, fault.defect.tokens.clone())))
    }

    /// What was spoken of in the sentence before.
    pub(super) fn carried_on(
        &self,
        fault: &Fault<'_>,
        mut signs: Signs,
    ) -> Option<(Signs, Choice)> {
        let last = self.last?;
        signs.has("carried");
        signs.has(&format!("carried {}", fault.form));
        // "There's a crack over the door": something new.
        signs.when(
            self.brings_in(&fault.clause, fault.defect),
            "carried over something new",
        );
        // The sentence has a thing of its own to speak of.
        signs.when(fault.own_topic, "carried over a thing");
        signs.when(fault.stands_for, "carried and taken up");
        if let (Some(d), Some(e)) = (fault.defect.term, last.term) {
            signs.of("carried goes with", self.lexicon.befalls(d, e) - 0.5);
        }
        Some((signs, Choice::carried(last.clone())))
    }
}
