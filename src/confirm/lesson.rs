//! What a correction teaches: offered at the moment it is made, kept with one key, tried and put to use
//! by `callover learn`.

use super::alike::same_case;
use super::change::Refusal;
use super::state::Session;
use crate::items::{Item, Status};
use crate::job::{Decision, Field};
use crate::learn::{Lived, Teaching, entries, evident, overlay};
use crate::speech::{Transcript, Word};
use serde::Serialize;

/// Words before and after an item that are read with it: its place and what the statement goes on from.
const AROUND: usize = 12;

/// The most corrected items that a lesson is drawn from: enough to see a habit, few enough to wait for.
const MOST_CORRECTIONS: usize = 6;

/// Fields whose correction tells how words are heard.
const TEACHING: [Field; 2] = [Field::Element, Field::Defect];

/// A lesson that a correction suggests.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// The item that was corrected.
    pub number: u32,
    /// The lesson in words.
    pub words: String,
}

impl Session {
    /// Returns the lesson that the last step suggests, where that was a correction that teaches
    /// something plain, and it is not kept already.
    pub fn offer(&self) -> Option<Offer> {
        let parts = self.events().last()?.decision.parts();
        let edited = parts.iter().find_map(|part| match part {
            Decision::Edit { item, field, .. } if TEACHING.contains(field) => Some(item),
            _ => None,
        })?;
        let item = self.items().iter().find(|item| item.id == *edited)?;
        let teaching = self.lesson_of(item)?;
        let known = self.list().taught.contains_key(&overlay::wanted(&teaching));
        (!known).then(|| Offer {
            number: item.number,
            words: teaching.in_words(),
        })
    }

    /// Returns the item whose correction may be learnt from: the one of the offer, or else the one shown.
    pub(super) fn to_teach(&self) -> Option<u32> {
        let offered = self.offer().map(|offer| offer.number);
        offered.or_else(|| self.current().map(|item| item.number))
    }

    /// What the correction of the item teaches, as a decision.
    pub(super) fn teach(&self, number: u32) -> Result<Decision, Refusal> {
        let item = self.living(number)?;
        let lesson = self.lesson_of(item).map(|one| overlay::wanted(&one));
        let lesson = lesson.filter(|lesson| !self.list().taught.contains_key(lesson));
        let lesson = lesson.ok_or(Refusal::NothingToTeach(number))?;
        let item = item.id.clone();
        Ok(Decision::Teach { item, lesson })
    }

    /// The lesson about the words of an item that its correction suggests.
    fn lesson_of(&self, item: &Item) -> Option<Teaching> {
        let lexicon = self.around.lexicon.as_deref()?;
        let mut fields = TEACHING.into_iter();
        let edited =
            |item: &Item, field: Field| self.list().edited.contains(&(item.id.clone(), field));
        let field = fields.find(|field| edited(item, *field))?;
        let mut corrected: Vec<&Item> = (self.items().iter())
            .filter(|other| edited(other, field) || other.status == Status::Confirmed)
            .filter(|other| other.id == item.id || same_case(item, other, field))
            .collect();
        // The same words that were once left, or corrected otherwise, teach nothing plain.
        let to = field.read(item);
        if corrected.iter().any(|other| field.read(other) != to) {
            return None;
        }
        corrected.truncate(MOST_CORRECTIONS);
        corrected.sort_by_key(|item| item.evidence.words);
        let job = self.part(&corrected)?;
        evident(lexicon, job).map(|lesson| lesson.teaching)
    }

    /// The words in and around some items, in spoken order, as a job in which these are confirmed.
    fn part(&self, items: &[&Item]) -> Option<Lived> {
        let all = &self.around.words;
        let mut words: Vec<Word> = Vec::new();
        let mut confirmed = Vec::new();
        let mut end = 0;
        for item in items {
            let Some((from, to)) = item.evidence.words.filter(|(_, to)| *to <= all.len()) else {
                continue;
            };
            let first = from.saturating_sub(AROUND).max(end);
            let last = (to + AROUND).min(all.len());
            if last > end {
                words.extend_from_slice(&all[first.min(last)..last]);
                if let Some(last) = words.last_mut() {
                    last.line_end = true;
                }
            }
            end = end.max(last);
            // Where the item stands in what was gathered, whose last word is the one before `end`.
            let at = |word: usize| (words.len() + word).checked_sub(end);
            let mut item = (*item).clone();
            item.evidence.words = at(from).zip(at(to));
            item.status = Status::Confirmed;
            confirmed.push(item);
        }
        let recordings = Vec::new();
        let transcript = Transcript { recordings, words };
        (!confirmed.is_empty()).then(|| Lived::new("", transcript, &confirmed))
    }
}

/// Returns the lesson of an entry.
pub(super) fn teaching(entry: &str) -> Option<Teaching> {
    entries(entry).1.into_iter().find_map(|one| one.teaching)
}
