//! What is offered for a question: texts that may be taken instead of typed.

use super::complete::Choice;
use super::filter::status_word;
use super::purpose::Purpose;
use super::{NewItem, Session};
use crate::items::{Item, Standing, Status, standing_words};
use crate::job::{Field, severity_word};

/// Why most proposals are rejected: praise and talk that sound like a fault.
pub(super) const NOT_A_DEFECT: &str = "not a defect";

/// Reasons for rejecting that are one digit away. Own wording.
pub(super) const USUAL_REASONS: [&str; 4] = ["misheard", NOT_A_DEFECT, "said twice", "put right"];

impl Purpose {
    /// Returns everything that may be offered.
    pub(super) fn choices(&self, session: &Session) -> Vec<Choice> {
        // In the order given.
        let plain = |texts: Vec<String>| {
            let texts = texts.into_iter().enumerate();
            let fit = |place: usize| 0.9 - place.min(8) as f32 / 10.0;
            texts
                .map(|(place, text)| Choice::new(text, fit(place)))
                .collect()
        };
        let item = session.current();
        match self {
            Purpose::Edit { field, .. } => item
                .map(|item| session.choices(*field, item))
                .unwrap_or_default(),
            Purpose::New { statement, .. } => {
                let Some(field) = self.field() else {
                    return Vec::new();
                };
                session.choices(field, &self.draft(session, *statement))
            }
            Purpose::Copy { .. } | Purpose::MoveTo { .. } => item
                .map(|item| session.choices(Field::Place, item))
                .unwrap_or_default(),
            Purpose::Reject { .. } => plain(USUAL_REASONS.map(String::from).into()),
            Purpose::Stand { .. } => plain(
                Standing::ALL
                    .map(|standing| standing_words(standing).into())
                    .into(),
            ),
            Purpose::Split { .. } => plain(item.map(split_points).unwrap_or_default()),
            Purpose::Attach { .. } => {
                let there = |photo: &&String| item.is_none_or(|item| !item.photos.contains(photo));
                plain(
                    session
                        .around()
                        .photos
                        .iter()
                        .filter(there)
                        .cloned()
                        .collect(),
                )
            }
            Purpose::Detach { .. } => plain(item.map(|i| i.photos.clone()).unwrap_or_default()),
            Purpose::Filter => filter_choices(session),
            _ => Vec::new(),
        }
    }

    /// The new item as far as it is known, for ranking what is offered.
    fn draft(&self, session: &Session, statement: Option<usize>) -> Item {
        let facts = match self {
            Purpose::New { facts, .. } => facts.clone(),
            _ => NewItem::default(),
        };
        session.draft(&facts, statement)
    }
}

/// Where an item may be split: the words from each point on, those after a pause or a joining word
/// first.
fn split_points(item: &Item) -> Vec<String> {
    let words: Vec<&str> = item.evidence.quote.split_whitespace().collect();
    let from = |at: usize| {
        words[at..]
            .iter()
            .take(4)
            .copied()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let likely = |at: &usize| {
        let joins = ["and", "also", "plus", "then", "with"];
        words[at - 1].ends_with([',', '.', ';', '?', '!'])
            || joins.contains(&&*words[*at].to_lowercase())
    };
    (1..words.len()).filter(likely).map(from).collect()
}

/// What a filter may be: flags, then what the list has.
fn filter_choices(session: &Session) -> Vec<Choice> {
    let mut choices: Vec<Choice> = Vec::new();
    let mut add = |text: &str, fit| choices.push(Choice::new(text, fit));
    add("all", 1.0);
    add("unsure", 0.9);
    add("undecided", 0.8);
    add("outside", 0.7);
    add("no photo", 0.6);
    for status in [Status::Confirmed, Status::Rejected] {
        add(status_word(status), 0.1);
    }
    for item in session.items() {
        add(&item.place, 0.5);
        add(item.trade.as_deref().unwrap_or_default(), 0.3);
        add(severity_word(item.severity), 0.2);
    }
    choices
}
