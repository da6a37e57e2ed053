//! New items: written by hand, made of words heard, copied to other places.

use super::around::{quote, span};
use super::change::{NewItem, Refusal};
use super::decide::together;
use super::state::Session;
use crate::hexadecimal::hexadecimal;
use crate::items::{Evidence, Item, Severity, Standing, Status};
use crate::job::{Decision, Field, Following};
use crate::speech::Word;
use sha2::{Digest, Sha256};

impl Session {
    /// An item written by hand is the inspector's own, so it is confirmed from the start.
    pub(super) fn add(&self, new: &NewItem) -> Result<Decision, Refusal> {
        let evidence = Evidence {
            recording: self.current().map_or(1, |item| item.evidence.recording),
            span: None,
            quote: String::new(),
            words: None,
            terms: Vec::new(),
            reasons: vec!["added by hand".into()],
        };
        let item = Box::new(self.made(new, evidence, Status::Confirmed)?);
        Ok(Decision::Add { item })
    }

    pub(super) fn add_said(
        &self,
        new: &NewItem,
        words: (usize, usize),
    ) -> Result<Decision, Refusal> {
        let said = self.around.said(words).ok_or(Refusal::NoSuchWords)?;
        let evidence = Evidence {
            recording: said[0].recording,
            span: span(said),
            quote: quote(said),
            words: Some(words),
            terms: Vec::new(),
            reasons: vec!["made of words heard, by hand".into()],
        };
        let item = Box::new(self.made_of_words(new, evidence, said)?);
        Ok(Decision::Add { item })
    }

    pub(super) fn promote(&self, statement: usize, new: &NewItem) -> Result<Decision, Refusal> {
        let unplaced = &self.around.unplaced;
        let chosen = unplaced.get(statement).ok_or(Refusal::NoSuchStatement {
            position: statement + 1,
            count: unplaced.len(),
        })?;
        if self.list().promoted.contains(chosen) {
            return Err(Refusal::PromotedAlready);
        }
        let evidence = Evidence {
            recording: chosen.recording,
            span: chosen.span,
            quote: chosen.quote.clone(),
            words: self.placed.get(statement).copied().flatten(),
            terms: Vec::new(),
            reasons: vec![format!(
                "made an item by hand; it was none before: {}",
                chosen.why
            )],
        };
        let said = evidence.words.and_then(|range| self.around.said(range));
        let words = match said {
            Some(words) => words.to_vec(),
            None => self.words_of(chosen.recording, chosen.span, &chosen.quote),
        };
        let item = self.made_of_words(new, evidence, &words)?;
        Ok(Decision::Promote {
            item: Box::new(item),
            statement: Box::new(chosen.clone()),
        })
    }

    /// Returns the place where a statement was made: that of the last item said before it, or else
    /// of the item shown.
    pub(super) fn place_said(&self, statement: usize) -> String {
        let said = self.placed.get(statement).copied().flatten();
        let before = self.items().iter().rfind(|item| {
            let words = item.evidence.words;
            words.zip(said).is_some_and(|(item, said)| item.0 <= said.0)
        });
        let item = before.or(self.current());
        item.map(|item| item.place.clone()).unwrap_or_default()
    }

    /// An item of words heard. With all its facts given it is the inspector's own and confirmed;
    /// what had to be understood, of a figure too, is theirs to look at.
    fn made_of_words(
        &self,
        new: &NewItem,
        evidence: Evidence,
        words: &[Word],
    ) -> Result<Item, Refusal> {
        let guess = self.around.understood(words);
        let or = |text: &String, other: Option<&String>| match text.trim() {
            "" => other.cloned().unwrap_or_default(),
            _ => text.clone(),
        };
        let facts = NewItem {
            place: or(&new.place, self.current().map(|item| &item.place)),
            element: or(&new.element, guess.as_ref().map(|item| &item.element)),
            defect: or(&new.defect, guess.as_ref().map(|item| &item.defect)),
        };
        let mut item = self.made(&facts, evidence, Status::Proposed)?;
        if let Some(guess) = guess.filter(|g| g.element == item.element && g.defect == item.defect)
        {
            item = Item {
                number: item.number,
                id: item.id,
                place: item.place,
                evidence: item.evidence,
                ..guess
            };
        } else {
            item.measurements = self.around.measured(words);
            if !item.measurements.is_empty() {
                item.description = self.describer()(&item);
            }
        }
        if facts == *new && item.measurements.is_empty() {
            item.status = Status::Confirmed;
        }
        Ok(item)
    }

    /// A new item as far as it is known, for ranking what is offered for the rest: its facts so
    /// far, and the words of a statement.
    pub(super) fn draft(&self, facts: &NewItem, statement: Option<usize>) -> Item {
        let chosen = statement.and_then(|statement| self.around.unplaced.get(statement));
        let here = self.current().map_or(1, |item| item.evidence.recording);
        // What is missing was said near the item at which that is noticed.
        let nearby = || self.current().and_then(|item| item.evidence.words);
        let evidence = Evidence {
            recording: chosen.map_or(here, |chosen| chosen.recording),
            span: chosen.and_then(|chosen| chosen.span),
            quote: chosen
                .map(|chosen| chosen.quote.clone())
                .unwrap_or_default(),
            words: match statement {
                Some(at) => self.placed.get(at).copied().flatten(),
                None => nearby(),
            },
            terms: Vec::new(),
            reasons: Vec::new(),
        };
        Item {
            place: facts.place.clone(),
            element: facts.element.clone(),
            defect: facts.defect.clone(),
            ..blank(self.list().highest + 1, evidence)
        }
    }

    /// The item of these facts. Its severity is what the vocabulary says, or `repair`: neither
    /// alarming nor playing down.
    fn made(&self, new: &NewItem, evidence: Evidence, status: Status) -> Result<Item, Refusal> {
        let number = self.list().highest + 1;
        let blank = Item {
            id: self.new_id(number),
            status,
            ..blank(number, evidence)
        };
        let mut item = blank.clone();
        Field::Place.write(&mut item, &new.place)?;
        Field::Element.write(&mut item, &new.element)?;
        Field::Defect.write(&mut item, &new.defect)?;
        self.around.following(&blank, &item).write(&mut item);
        item.description = self.describer()(&item);
        self.warn(&mut item);
        Ok(item)
    }

    /// The same item at each place. Each copy stands as the original does; its photos stay with
    /// the original, because they show that place.
    pub(super) fn copy(&self, number: u32, places: &[String]) -> Result<Decision, Refusal> {
        let of = self.living(number)?;
        let mut decisions = Vec::new();
        for (place, number) in places.iter().zip(self.list().highest + 1..) {
            let mut copy = of.clone();
            Field::Place.write(&mut copy, place)?;
            copy.number = number;
            copy.id = self.new_id(number);
            copy.description = match self.describer()(of) == of.description {
                true => self.describer()(&copy),
                false => copy.description,
            };
            self.warn(&mut copy);
            copy.photos = Vec::new();
            copy.history = Vec::new();
            copy.standing = Standing::Open;
            let reason = format!("the same as item {}, copied by hand", of.number);
            copy.evidence.reasons.push(reason);
            let (of, item) = (of.id.clone(), Box::new(copy));
            decisions.push(Decision::Copy { of, item });
        }
        match decisions.is_empty() {
            true => Err(Refusal::NoneGiven("place")),
            false => Ok(together(decisions)),
        }
    }

    /// Has the item warn of what its facts call for.
    fn warn(&self, item: &mut Item) {
        let caution = self.around.caution_instead(item);
        Following {
            caution,
            ..Following::default()
        }
        .write(item);
    }

    /// Returns the identity of a new item: 16 hexadecimal digits, like every item's. Events are
    /// never taken away, so no two items ever get the same.
    pub(super) fn new_id(&self, number: u32) -> String {
        let digest = Sha256::digest(format!("item {number} after event {}", self.last_event()));
        hexadecimal(&digest[..8])
    }
}

/// An item without facts.
fn blank(number: u32, evidence: Evidence) -> Item {
    Item {
        number,
        id: String::new(),
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
        evidence,
        confidence: 1.0,
        status: Status::Proposed,
        photos: Vec::new(),
        standing: Standing::Open,
        history: Vec::new(),
        due: None,
    }
}
