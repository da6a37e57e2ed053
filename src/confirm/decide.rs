//! From a change that the inspector asks for to the decisions it amounts to.

use super::change::{Change, Refusal};
use super::offers::NOT_A_DEFECT;
use super::state::Session;
use crate::items::{Item, Status};
use crate::job::{Decision, Field};

impl Session {
    /// Returns the decisions that `change` amounts to. They are not applied.
    ///
    /// # Errors
    /// [`Refusal`] where the change makes no sense for the list as it stands.
    pub fn decide(&self, change: &Change) -> Result<Vec<Decision>, Refusal> {
        let decision = match change {
            Change::Accept { number } => self.accept(*number)?,
            Change::AcceptAbove { confidence } => self.accept_above(*confidence)?,
            Change::AcceptPlace { place, confidence } => self.accept_place(place, *confidence)?,
            Change::Stand {
                number,
                standing,
                note,
            } => self.stand(*number, *standing, note)?,
            Change::Dismiss { number } => self.dismiss(*number)?,
            Change::Reject { number, reason } => self.reject(*number, reason)?,
            Change::Restore { number } => self.restore(*number)?,
            Change::Edit {
                number,
                field,
                text,
            } => together(self.correct(*number, *field, text)?),
            Change::EditAndAccept {
                number,
                field,
                text,
            } => self.edit_and_accept(*number, *field, text)?,
            Change::Move { numbers, place } => self.move_to(numbers, place)?,
            Change::Along { number } => {
                let (along, place) = self.taken_along(self.existing(*number)?);
                match along.is_empty() {
                    true => return Err(Refusal::NoneAlong(*number)),
                    false => self.move_to(&along, place)?,
                }
            }
            Change::Split { number, at } => self.split(*number, *at)?,
            Change::Merge { number, other } => self.merge(*number, *other)?,
            Change::Copy { number, places } => self.copy(*number, places)?,
            Change::Renumber { number, to } => self.renumber(*number, *to)?,
            Change::RenumberAll => self.renumber_all()?,
            Change::Add { new } => self.add(new)?,
            Change::AddSaid { new, words } => self.add_said(new, *words)?,
            Change::Promote { statement, new } => self.promote(*statement, new)?,
            Change::AttachPhoto { number, photo } => self.attach_photo(*number, photo)?,
            Change::DetachPhoto { number, photo } => self.detach_photo(*number, photo)?,
            Change::Teach { number } => self.teach(*number)?,
            Change::Undo => {
                let step = self.list().undoable.last().ok_or(Refusal::NothingToUndo)?;
                let events = step.clone();
                Decision::Undo { events }
            }
            Change::Redo => {
                let step = self.list().redoable.last().ok_or(Refusal::NothingToRedo)?;
                let events = step.clone();
                Decision::Redo { events }
            }
        };
        Ok(vec![decision])
    }

    fn accept(&self, number: u32) -> Result<Decision, Refusal> {
        let item = self.existing(number)?;
        if item.status == Status::Confirmed {
            return self
                .keep_finding(item)
                .ok_or(Refusal::AlreadyConfirmed(number));
        }
        let item = item.id.clone();
        Ok(Decision::Accept { item, above: None })
    }

    fn accept_above(&self, confidence: f64) -> Result<Decision, Refusal> {
        self.accept_all(confidence, |_| true)?
            .ok_or(Refusal::NoneAbove(confidence))
    }

    fn accept_place(&self, place: &str, confidence: f64) -> Result<Decision, Refusal> {
        self.accept_all(confidence, |item| item.place == place)?
            .ok_or_else(|| Refusal::NoneAboveIn {
                place: place.to_string(),
                confidence,
            })
    }

    /// Accepts every undecided item that is sure enough and `wanted`; `None` where there is none.
    fn accept_all(
        &self,
        confidence: f64,
        wanted: impl Fn(&Item) -> bool,
    ) -> Result<Option<Decision>, Refusal> {
        if !(0.0..=1.0).contains(&confidence) {
            return Err(Refusal::NotAConfidence(confidence));
        }
        let sure = |item: &&Item| item.status == Status::Proposed && item.confidence >= confidence;
        let items = self.items().iter().filter(sure);
        let decisions: Vec<Decision> = items
            .filter(|item| wanted(item))
            .map(|item| Decision::Accept {
                item: item.id.clone(),
                above: Some(confidence),
            })
            .collect();
        Ok((!decisions.is_empty()).then_some(Decision::Together { decisions }))
    }

    fn reject(&self, number: u32, reason: &str) -> Result<Decision, Refusal> {
        let item = self.existing(number)?;
        if item.status == Status::Rejected {
            return Err(Refusal::AlreadyRejected(number));
        }
        Ok(Decision::Reject {
            item: item.id.clone(),
            reason: reason.split_whitespace().collect::<Vec<_>>().join(" "),
        })
    }

    fn restore(&self, number: u32) -> Result<Decision, Refusal> {
        let item = self.existing(number)?;
        if item.status == Status::Proposed {
            return Err(Refusal::NotDecided(number));
        }
        let item = item.id.clone();
        Ok(Decision::Restore { item })
    }

    /// The edit, and what the vocabulary says of the new facts.
    pub(super) fn edit(
        &self,
        number: u32,
        field: Field,
        text: &str,
    ) -> Result<Vec<Decision>, Refusal> {
        let item = self.living(number)?;
        let mut after = item.clone();
        field.write(&mut after, text)?;
        let (from, to) = (field.read(item), field.read(&after));
        if from == to {
            return Err(Refusal::Unchanged { number, field });
        }
        let edit = Decision::Edit {
            item: item.id.clone(),
            field,
            from,
            to,
            description: self.remade(item, &after, field),
        };
        // What the inspector set is theirs.
        let mut facts = self.around.following(item, &after);
        let own = |field| self.list().edited.contains(&(item.id.clone(), field));
        facts.trade = facts.trade.filter(|_| !own(Field::Trade));
        facts.severity = facts.severity.filter(|_| !own(Field::Severity));
        facts.remedy = facts.remedy.filter(|_| !own(Field::Remedy));
        facts.write(&mut after);
        facts.caution = self.around.caution_instead(&after);
        let item = item.id.clone();
        let follow = (!facts.is_empty()).then_some(Decision::Follow { item, facts });
        Ok([edit].into_iter().chain(follow).collect())
    }

    /// The edit and the acceptance as one step. Left as it was, the item is only accepted.
    fn edit_and_accept(&self, number: u32, field: Field, text: &str) -> Result<Decision, Refusal> {
        let accept = self.accept(number);
        match self.correct(number, field, text) {
            Ok(edit) => Ok(together(edit.into_iter().chain(accept.ok()).collect())),
            Err(Refusal::Unchanged { .. }) => accept,
            Err(refusal) => Err(refusal),
        }
    }

    /// The sentence for the facts after an edit; `None` where it stays. It stays where it is the
    /// inspector's own, and where the edited fact has no part in it, because the proposed one is
    /// nearer to what was said. A sentence may name a figure in any way, so an edited measurement
    /// always has it remade: no wrong figure is left standing.
    fn remade(&self, before: &Item, after: &Item, field: Field) -> Option<String> {
        let own_words = self
            .list()
            .edited
            .contains(&(before.id.clone(), Field::Description));
        let describe = self.describer();
        let remade = describe(after);
        let touched = field == Field::Measurement || describe(before) != remade;
        (field != Field::Description && !own_words && touched && remade != after.description)
            .then_some(remade)
    }

    fn move_to(&self, numbers: &[u32], place: &str) -> Result<Decision, Refusal> {
        let mut decisions = Vec::new();
        for number in numbers {
            match self.edit(*number, Field::Place, place) {
                Ok(edit) => decisions.extend(edit),
                Err(Refusal::Unchanged { .. }) => {}
                Err(refusal) => return Err(refusal),
            }
        }
        match (numbers.is_empty(), decisions.is_empty()) {
            (true, _) => Err(Refusal::NoneGiven("item number")),
            (_, true) => Err(Refusal::AlreadyThere(place.to_string())),
            _ => Ok(together(decisions)),
        }
    }

    fn renumber(&self, number: u32, to: u32) -> Result<Decision, Refusal> {
        let item = self.existing(number)?;
        if to == 0 {
            return Err(Refusal::NumberZero);
        }
        if number == to {
            return Err(Refusal::InOrder);
        }
        let mut numbers = vec![(item.id.clone(), to)];
        let holder = self.list().numbered(to);
        numbers.extend(holder.map(|holder| (holder.id.clone(), number)));
        Ok(Decision::Renumber { numbers })
    }

    fn renumber_all(&self) -> Result<Decision, Refusal> {
        let rejected = |item: &&Item| item.status == Status::Rejected;
        let items = self.items().iter();
        let ordered = items.clone().filter(|item| !rejected(item));
        let ordered: Vec<&Item> = ordered.chain(items.filter(rejected)).collect();
        if ordered
            .iter()
            .zip(1..)
            .all(|(item, number)| item.number == number)
        {
            return Err(Refusal::InOrder);
        }
        let ids = ordered.iter().map(|item| item.id.clone());
        let numbers = ids.zip(1..).collect();
        Ok(Decision::Renumber { numbers })
    }

    fn attach_photo(&self, number: u32, photo: &str) -> Result<Decision, Refusal> {
        let (item, photo) = (self.existing(number)?, photo.to_string());
        if item.photos.contains(&photo) {
            return Err(Refusal::PhotoThere { number, photo });
        }
        let item = item.id.clone();
        Ok(Decision::AttachPhoto { item, photo })
    }

    fn detach_photo(&self, number: u32, photo: &str) -> Result<Decision, Refusal> {
        let (item, photo) = (self.existing(number)?, photo.to_string());
        if !item.photos.contains(&photo) {
            return Err(Refusal::NoSuchPhoto { number, photo });
        }
        let item = item.id.clone();
        Ok(Decision::DetachPhoto { item, photo })
    }

    /// Returns the items that follow one in the place where it was before its place was changed,
    /// and its place now: whoever missed a change of place missed it for these too.
    pub(super) fn taken_along<'a>(&self, item: &'a Item) -> (Vec<u32>, &'a str) {
        let parts = self.events().iter().rev();
        let mut edits = parts.flat_map(|event| event.decision.parts().iter().rev());
        let was = edits.find_map(|part| match part {
            Decision::Edit {
                item: id,
                field: Field::Place,
                from,
                to,
                ..
            } if *id == item.id && *to == item.place => Some(from),
            _ => None,
        });
        let after = self.items().iter().skip_while(|other| other.id != item.id);
        let living = after
            .skip(1)
            .filter(|other| other.status != Status::Rejected);
        let there = living.take_while(|other| Some(&other.place) == was);
        (there.map(|other| other.number).collect(), &item.place)
    }

    /// Returns how many items might go along, right after the place of the item shown was changed.
    pub(super) fn may_go_along(&self) -> usize {
        let parts = self.events().last().map(|event| event.decision.parts());
        let moved = parts
            .unwrap_or_default()
            .iter()
            .find_map(|part| match part {
                Decision::Edit {
                    item,
                    field: Field::Place,
                    ..
                } => Some(item),
                _ => None,
            });
        let item = self.current().filter(|item| Some(&item.id) == moved);
        item.map_or(0, |item| self.taken_along(item).0.len())
    }

    /// Returns the reason that was given last for rejecting an item; what is most often the reason
    /// where none was.
    pub(super) fn usual_reason(&self) -> &str {
        let last = self
            .events()
            .iter()
            .rev()
            .find_map(|event| match &event.decision {
                Decision::Reject { reason, .. } => Some(&**reason),
                _ => None,
            });
        last.unwrap_or(NOT_A_DEFECT)
    }

    /// The item with this number, unless it is rejected.
    pub(super) fn living(&self, number: u32) -> Result<&Item, Refusal> {
        let item = self.existing(number)?;
        match item.status {
            Status::Rejected => Err(Refusal::EditOfRejected(number)),
            _ => Ok(item),
        }
    }
}

/// One decision of one or more.
pub(super) fn together(mut decisions: Vec<Decision>) -> Decision {
    match decisions.pop() {
        Some(only) if decisions.is_empty() => only,
        last => {
            decisions.extend(last);
            Decision::Together { decisions }
        }
    }
}
