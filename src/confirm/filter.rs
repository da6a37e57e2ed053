//! Which items are shown, and in which order: pure functions on the list, no events.

use crate::items::{Item, Severity, Status};

/// What is shown. The default shows everything in the list's order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filter {
    /// Only items of this place.
    pub place: Option<String>,
    /// Only items for this trade.
    pub trade: Option<String>,
    /// Only items of this severity.
    pub severity: Option<Severity>,
    /// Only items that stand so.
    pub status: Option<Status>,
    /// Only items outside a published limit.
    pub outside: bool,
    /// Only items without a photo.
    pub no_photo: bool,
    /// Only items in which every one of these words occurs; empty for all.
    pub search: String,
    /// The least certain first, instead of the list's order.
    pub unsure_first: bool,
}

impl Filter {
    /// Returns true where every item is shown.
    pub fn shows_all(&self) -> bool {
        Filter {
            unsure_first: false,
            ..self.clone()
        } == Filter::default()
    }

    /// Returns true where the item is shown.
    pub fn shows(&self, item: &Item) -> bool {
        let is = |wanted: &Option<String>, text: &str| wanted.as_ref().is_none_or(|w| w == text);
        is(&self.place, &item.place)
            && is(&self.trade, item.trade.as_deref().unwrap_or_default())
            && self
                .severity
                .is_none_or(|severity| severity == item.severity)
            && self.status.is_none_or(|status| status == item.status)
            && (!self.outside || item.limits.iter().any(|limit| limit.verdict == "outside"))
            && (!self.no_photo || item.photos.is_empty())
            && found(&self.search, item)
    }

    /// Returns the positions of the items that are shown, in the order in which they are.
    pub fn apply(&self, items: &[Item]) -> Vec<usize> {
        let mut shown: Vec<usize> = (0..items.len())
            .filter(|place| self.shows(&items[*place]))
            .collect();
        if self.unsure_first {
            shown.sort_by(|a, b| items[*a].confidence.total_cmp(&items[*b].confidence));
        }
        shown
    }

    /// Returns what is shown in a few words, such as `kitchen, joiner, unsure first`; empty where
    /// that is everything in order.
    pub fn words(&self) -> String {
        let mut words: Vec<String> = Vec::new();
        words.extend(self.place.clone());
        words.extend(self.trade.clone().map(|trade| match trade.is_empty() {
            true => "no trade".into(),
            false => trade,
        }));
        words.extend(
            self.severity
                .map(|severity| crate::job::severity_word(severity).into()),
        );
        words.extend(self.status.map(|status| status_word(status).into()));
        let flags = [
            (self.outside, "outside limits"),
            (self.no_photo, "no photo"),
        ];
        words.extend(
            flags
                .iter()
                .filter(|(on, _)| *on)
                .map(|(_, word)| (*word).into()),
        );
        if !self.search.is_empty() {
            words.push(format!("“{}”", self.search));
        }
        if self.unsure_first {
            words.push("unsure first".into());
        }
        words.join(", ")
    }
}

/// Returns the status as one word for people.
pub fn status_word(status: Status) -> &'static str {
    match status {
        Status::Proposed => "undecided",
        Status::Confirmed => "confirmed",
        Status::Rejected => "rejected",
    }
}

/// Returns true where every word of `search` occurs in the item: in its number, its facts, or what
/// was heard. Capitals do not matter.
pub fn found(search: &str, item: &Item) -> bool {
    if search.trim().is_empty() {
        return true;
    }
    let some = |text: &Option<String>| text.clone().unwrap_or_default();
    let texts = [
        item.number.to_string(),
        item.place.clone(),
        some(&item.position),
        item.element.clone(),
        item.defect.clone(),
        item.description.clone(),
        some(&item.remedy),
        some(&item.trade),
        item.remarks.join(" "),
        item.evidence.quote.clone(),
    ];
    let all = texts.join("\n").to_lowercase();
    let mut words = search.split_whitespace();
    words.all(|word| all.contains(&word.to_lowercase()))
}
