//! What the vocabulary says of an item's element and defect: usual remedy, trade, severity.

use super::item::{Item, Severity};
use crate::lexicon::{Hit, How, Kind, Lexicon, TermId};

/// What usually goes with an element and a defect.
#[derive(Debug, Clone, PartialEq)]
pub struct Usual {
    /// Who usually puts it right.
    pub trade: Option<String>,
    /// How much it usually matters; `repair` where the vocabulary has no opinion.
    pub severity: Severity,
    /// What usually puts it right.
    pub remedy: Option<String>,
}

/// Returns what the vocabulary says of the item's element and defect as they are worded, whatever
/// else the item says.
pub fn usual(lexicon: &Lexicon, item: &Item) -> Usual {
    let element = named(lexicon, &item.element, Kind::Element);
    let defect = named(lexicon, &item.defect, Kind::Defect);
    let remedy = defect.and_then(|defect| lexicon.usual_remedy(defect, element));
    let element = element.map(|element| lexicon.element(element));
    let defect = defect.map(|defect| lexicon.defect(defect));
    let trade = remedy
        .and_then(|remedy| lexicon.remedy(remedy).trade)
        .or(element.map(|element| element.trade));
    let severity = defect
        .and_then(|defect| defect.severity)
        .unwrap_or(Severity::Repair);
    Usual {
        trade: trade.map(|trade| lexicon.name(trade).to_owned()),
        severity,
        remedy: remedy.map(|remedy| lexicon.name(remedy).to_owned()),
    }
}

/// Returns the term that a typed text names: of that kind, the longest; of equally long ones the
/// last for elements (*shower tray waste* is a waste), the first otherwise.
pub fn named(lexicon: &Lexicon, text: &str, kind: Kind) -> Option<TermId> {
    let tokens = lexicon.tokens_of(text);
    let exact = |hit: &Hit| hit.kind == kind && hit.how == How::Exact;
    let hits = lexicon.spot(&tokens).into_iter().filter(exact);
    let rank = |hit: &Hit| match kind {
        Kind::Element => (hit.tokens.len(), hit.tokens.end),
        _ => (hit.tokens.len(), usize::MAX - hit.tokens.start),
    };
    hits.max_by_key(rank).map(|hit| hit.term)
}
