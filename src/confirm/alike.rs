//! Corrections that are made again and again: what was corrected in one item is changed in the others
//! where the same was heard, so that nobody corrects it twice.
//!
//! Only undecided items are changed, they stay undecided, and it is one step with the correction.

use super::change::Refusal;
use super::state::Session;
use crate::items::{Item, RemedySource, Status};
use crate::job::{Decision, Field};

/// How often a correction of what was clearly heard, or usually goes with it, must be made by hand: once
/// may be about that item alone.
const CORRECTED_TWICE: usize = 2;

impl Session {
    /// The edit, and the same in the undecided items that it plainly holds for as well.
    pub(super) fn correct(
        &self,
        number: u32,
        field: Field,
        text: &str,
    ) -> Result<Vec<Decision>, Refusal> {
        let mut decisions = self.edit(number, field, text)?;
        let item = self.living(number)?;
        let mut corrected = item.clone();
        field.write(&mut corrected, text)?;
        for other in self.alike(item, field, &field.read(&corrected)) {
            decisions.extend(self.edit(other.number, field, text)?);
            decisions.push(Decision::Likewise {
                item: other.id.clone(),
                field,
                of: item.id.clone(),
            });
        }
        Ok(decisions)
    }

    /// Returns the undecided items for which what was corrected in `item` holds as well: the same was
    /// heard, the same was made of it, nobody has touched or confirmed it so, and it was misheard or
    /// corrected before.
    fn alike(&self, item: &Item, field: Field, to: &str) -> Vec<&Item> {
        let from = field.read(item);
        let touched = |other: &Item| (self.list().edited).contains(&(other.id.clone(), field));
        let as_before = |other: &&Item| {
            other.id != item.id && same_case(item, other, field) && field.read(other) == from
        };
        let (confirmed, waiting): (Vec<&Item>, Vec<&Item>) = (self.items().iter())
            .filter(|other| other.status != Status::Rejected)
            .filter(as_before)
            .partition(|other| other.status == Status::Confirmed);
        let obvious = misheard(item, field)
            || self.corrected_so(item, field, &from, to) + 1 >= CORRECTED_TWICE;
        match obvious && confirmed.is_empty() {
            true => waiting.into_iter().filter(|one| !touched(one)).collect(),
            false => Vec::new(),
        }
    }

    /// Returns how many other items with the same case the inspector has corrected in the same way.
    fn corrected_so(&self, item: &Item, field: Field, from: &str, to: &str) -> usize {
        let others = self.items().iter().filter(|other| {
            let key = (other.id.clone(), field);
            other.id != item.id
                && self.list().edited.contains(&key)
                && !self.list().likewise.contains_key(&key)
                && field.read(other) == to
                && same_case(item, other, field)
        });
        let events = || self.events().iter().rev();
        let was = |other: &&Item| {
            let parts = events().flat_map(|event| event.decision.parts().iter().rev());
            let mut edits = parts.filter_map(|part| match part {
                Decision::Edit {
                    item,
                    field: edited,
                    from,
                    ..
                } if *item == other.id && *edited == field => Some(from),
                _ => None,
            });
            edits.next().is_some_and(|was| was == from)
        };
        others.filter(was).count()
    }
}

/// Returns true where what a field says of both items rests on the same: the words heard, or for what
/// usually goes with them the element and the defect.
pub(super) fn same_case(item: &Item, other: &Item, field: Field) -> bool {
    let same = |field: Field| field.read(item).to_lowercase() == field.read(other).to_lowercase();
    match field {
        Field::Element | Field::Defect => {
            let heard = heard(item, field);
            heard.is_some() && heard == self::heard(other, field)
        }
        Field::Trade => same(Field::Element),
        Field::Severity => same(Field::Defect),
        Field::Remedy => {
            let spoken = |item: &Item| item.remedy_source == Some(RemedySource::Spoken);
            same(Field::Element) && same(Field::Defect) && !spoken(item) && !spoken(other)
        }
        _ => false,
    }
}

/// Returns the words in which an element or a defect was heard, as they are compared.
fn heard(item: &Item, field: Field) -> Option<String> {
    let mut terms = item.evidence.terms.iter();
    let heard = &terms.find(|term| term.kind == field.name())?.heard;
    let words = heard.split(|c: char| !c.is_alphanumeric() && c != '\'');
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    (!words.is_empty()).then(|| words.join(" ").to_lowercase())
}

/// Returns true where an element or a defect was not heard as any name that is known.
fn misheard(item: &Item, field: Field) -> bool {
    let terms = item.evidence.terms.iter();
    let mut of_kind = terms.filter(|term| term.kind == field.name());
    of_kind
        .next()
        .is_some_and(|term| matches!(&*term.how, "own words" | "sounds like"))
}
