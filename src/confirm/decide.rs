//! From a change that the inspector asks for to the decisions it amounts to.

use super::change::{Change, NewItem, Refusal};
use super::state::Session;
use crate::cautions::{self, Region};
use crate::items::{Evidence, Item, Severity, Standing, Status};
use crate::job::{Decision, Field};
use crate::lexicon::Lexicon;
use sha2::{Digest, Sha256};

impl Session {
    /// Returns the decisions that `change` amounts to. They are not applied.
    ///
    /// # Errors
    /// [`Refusal`] where the change makes no sense for the list as it stands.
    pub fn decide(&self, change: &Change) -> Result<Vec<Decision>, Refusal> {
        match change {
            Change::Accept { number } => {
                let item = self.existing(*number)?;
                if item.status == Status::Confirmed {
                    return Err(Refusal::AlreadyConfirmed(*number));
                }
                Ok(vec![Decision::Accept {
                    item: item.id.clone(),
                    above: None,
                }])
            }
            Change::AcceptAbove { confidence } => self.accept_above(*confidence),
            Change::Reject { number, reason } => {
                let item = self.existing(*number)?;
                if item.status == Status::Rejected {
                    return Err(Refusal::AlreadyRejected(*number));
                }
                let reason = reason.split_whitespace().collect::<Vec<_>>().join(" ");
                Ok(vec![Decision::Reject {
                    item: item.id.clone(),
                    reason,
                }])
            }
            Change::Restore { number } => {
                let item = self.existing(*number)?;
                if item.status == Status::Proposed {
                    return Err(Refusal::NotDecided(*number));
                }
                Ok(vec![Decision::Restore {
                    item: item.id.clone(),
                }])
            }
            Change::Edit {
                number,
                field,
                text,
            } => self.edit(*number, *field, text),
            Change::Add(new) => self.add(new),
            Change::Undo => match self.list.undoable.last() {
                Some(step) => Ok(vec![Decision::Undo {
                    events: step.clone(),
                }]),
                None => Err(Refusal::NothingToUndo),
            },
            Change::Redo => match self.list.redoable.last() {
                Some(step) => Ok(vec![Decision::Redo {
                    events: step.clone(),
                }]),
                None => Err(Refusal::NothingToRedo),
            },
        }
    }

    fn accept_above(&self, confidence: f64) -> Result<Vec<Decision>, Refusal> {
        if !(0.0..=1.0).contains(&confidence) {
            return Err(Refusal::NotAConfidence(confidence));
        }
        let sure = |item: &&Item| item.status == Status::Proposed && item.confidence >= confidence;
        let decisions: Vec<Decision> = self
            .items()
            .iter()
            .filter(sure)
            .map(|item| Decision::Accept {
                item: item.id.clone(),
                above: Some(confidence),
            })
            .collect();
        if decisions.is_empty() {
            Err(Refusal::NoneAbove(confidence))
        } else {
            Ok(decisions)
        }
    }

    fn edit(&self, number: u32, field: Field, text: &str) -> Result<Vec<Decision>, Refusal> {
        let item = self.existing(number)?;
        if item.status == Status::Rejected {
            return Err(Refusal::EditOfRejected(number));
        }
        let mut after = item.clone();
        field.write(&mut after, text)?;
        let (from, to) = (field.read(item), field.read(&after));
        if from == to {
            return Err(Refusal::Unchanged { number, field });
        }
        let description = self.remade(item, &after, field);
        Ok(vec![Decision::Edit {
            item: item.id.clone(),
            field,
            from,
            to,
            description,
        }])
    }

    /// The sentence for the facts after an edit; `None` where it stays. It stays where it is the
    /// inspector's own, and where the edited fact has no part in it, because the proposed one is
    /// nearer to what was said. A sentence may name a figure in any way, so an edited measurement
    /// always has it remade: no wrong figure is left standing.
    fn remade(&self, before: &Item, after: &Item, field: Field) -> Option<String> {
        let own_words = self
            .list
            .edited
            .contains(&(before.id.clone(), Field::Description));
        let describe = self.describer();
        let remade = describe(after);
        let touched = field == Field::Measurement || describe(before) != remade;
        (field != Field::Description && !own_words && touched && remade != after.description)
            .then_some(remade)
    }

    /// An item written by hand is the inspector's own, so it is confirmed from the start. Its
    /// severity is `repair` until they say otherwise: neither alarming nor playing down.
    fn add(&self, new: &NewItem) -> Result<Vec<Decision>, Refusal> {
        let number = self.list.highest + 1;
        let mut item = Item {
            number,
            id: id_by_hand(number),
            place: String::new(),
            position: None,
            element: String::new(),
            defect: String::new(),
            description: String::new(),
            count: 1,
            measurements: Vec::new(),
            limits: Vec::new(),
            remedy: None,
            remedy_source: None,
            trade: None,
            severity: Severity::Repair,
            caution: None,
            remarks: Vec::new(),
            hedged: false,
            photo_wanted: false,
            evidence: Evidence {
                recording: self.current().map_or(1, |item| item.evidence.recording),
                span: None,
                quote: String::new(),
                words: None,
                terms: Vec::new(),
                reasons: vec!["added by hand".into()],
            },
            confidence: 1.0,
            status: Status::Confirmed,
            photos: Vec::new(),
            standing: Standing::Open,
            history: Vec::new(),
            due: None,
        };
        Field::Place.write(&mut item, &new.place)?;
        Field::Element.write(&mut item, &new.element)?;
        Field::Defect.write(&mut item, &new.defect)?;
        item.description = self.describer()(&item);
        item.caution = Lexicon::embedded()
            .and_then(|lexicon| cautions::caution(lexicon, &item, Region::Elsewhere));
        Ok(vec![Decision::Add {
            item: Box::new(item),
        }])
    }
}

/// Returns the identity of an item added by hand: numbers are never given twice within a job, so
/// it follows from the number. 16 hexadecimal digits, like every item's.
fn id_by_hand(number: u32) -> String {
    let digest = Sha256::digest(format!("added by hand: {number}"));
    digest
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
