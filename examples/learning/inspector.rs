//! The simulated inspector: puts the proposed list right from the expected one, and counts.

use crate::agreement::{Gold, pair};
use callover::items::{Item, Proposal, Status};

/// A list put right, and what that took.
#[derive(Debug, Clone, Default)]
pub(crate) struct PutRight {
    /// The list as it stands afterwards.
    pub(crate) items: Vec<Item>,
    /// Facts changed, items added (two facts each) and items rejected.
    pub(crate) corrections: usize,
    /// Expected items, proposed items, and those right as they were proposed.
    pub(crate) expected: usize,
    pub(crate) proposed: usize,
    pub(crate) right: usize,
    /// Places, elements and defects changed, items added, and items rejected.
    pub(crate) kinds: [usize; 5],
}

/// Element and defect are typed for an item that was missed.
const FACTS_OF_AN_ADDED_ITEM: usize = 2;

/// Returns the list as expected: right items accepted, wrong facts changed to the words that were said
/// (the first accepted wording), missing ones made of what was said then where that is listed,
/// otherwise written by hand, and the rest rejected.
pub(crate) fn put_right(gold: &[Gold], proposal: &Proposal) -> PutRight {
    let items = &proposal.items;
    let pairs = pair(gold, items);
    let mut out = PutRight {
        expected: gold.len(),
        proposed: items.len(),
        ..PutRight::default()
    };
    let mut number = items.len() as u32;
    for (gold, place) in gold.iter().zip(&pairs) {
        // The first accepted wording is what was said, and what is typed.
        let chosen = |accepted: &[String]| accepted.first().cloned().unwrap_or_default();
        let Some(place) = place else {
            number += 1;
            out.corrections += FACTS_OF_AN_ADDED_ITEM;
            out.kinds[3] += 1;
            let Some(like) = items.first() else { continue };
            let said = |span| gold.has_times() && gold.said_in(span);
            let statement = proposal.unplaced.iter().find(|u| u.span.is_some_and(said));
            let mut item = like.clone();
            item.number = number;
            item.id = format!("by hand {number}");
            item.place = chosen(&gold.place);
            item.element = chosen(&gold.element);
            item.defect = chosen(&gold.defect);
            item.evidence.words = None;
            item.evidence.span = statement.and_then(|u| u.span);
            item.evidence.quote = statement.map(|u| u.quote.clone()).unwrap_or_default();
            item.evidence.terms.clear();
            item.status = Status::Confirmed;
            out.items.push(item);
            continue;
        };
        let mut item = items[*place].clone();
        let grade = gold.grade(&item);
        if !grade.place {
            item.place = chosen(&gold.place);
        }
        if !grade.element {
            item.element = chosen(&gold.element);
        }
        if !grade.defect {
            item.defect = chosen(&gold.defect);
        }
        let wrong = [grade.place, grade.element, grade.defect];
        out.corrections += wrong.into_iter().filter(|right| !right).count();
        for (count, right) in out.kinds.iter_mut().zip(wrong) {
            *count += usize::from(!right);
        }
        out.right += usize::from(grade.right());
        item.status = Status::Confirmed;
        out.items.push(item);
    }
    for (at, item) in items.iter().enumerate() {
        if !pairs.contains(&Some(at)) {
            out.corrections += 1;
            out.kinds[4] += 1;
            let mut item = item.clone();
            item.status = Status::Rejected;
            out.items.push(item);
        }
    }
    out
}

impl PutRight {
    /// F1 of items with place, element and defect right, before correction.
    pub(crate) fn f1(&self) -> f64 {
        2.0 * self.right as f64 / ((self.expected + self.proposed) as f64).max(1.0)
    }
}
