//! What putting a list right took: what was proposed beside what was confirmed.

use crate::items::{Item, Status};
use crate::job::{DecidedList, Field};
use std::collections::BTreeSet;

/// Facts typed for an item that was not proposed: element and defect.
const FACTS_OF_AN_ADDED_ITEM: usize = 2;

/// The facts that make an item right.
const FACTS: [Field; 3] = [Field::Place, Field::Element, Field::Defect];

/// What a list took.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Effort {
    /// Items confirmed.
    pub items: usize,
    /// Places, elements and defects changed by hand, two facts for each item added, and items rejected.
    pub corrections: usize,
}

impl Effort {
    /// Returns what the decisions in force took. What was changed along with another item was no work.
    pub fn of(proposed: &[Item], list: &DecidedList) -> Effort {
        let known: BTreeSet<&str> = proposed.iter().map(|item| &*item.id).collect();
        let mut effort = Effort::default();
        for item in &list.items {
            let was_proposed = known.contains(&*item.id);
            let by_hand = |field: &Field| {
                let key = (item.id.clone(), *field);
                list.edited.contains(&key) && !list.likewise.contains_key(&key)
            };
            match item.status {
                Status::Confirmed => {
                    effort.items += 1;
                    effort.corrections += match was_proposed {
                        true => FACTS.iter().filter(|field| by_hand(field)).count(),
                        false => FACTS_OF_AN_ADDED_ITEM,
                    };
                }
                Status::Rejected if was_proposed => effort.corrections += 1,
                Status::Rejected | Status::Proposed => {}
            }
        }
        effort
    }

    /// Returns the corrections for each confirmed item; `None` where none is confirmed.
    pub fn corrections_per_item(self) -> Option<f64> {
        (self.items > 0).then(|| self.corrections as f64 / self.items as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::samples::{item, three};
    use crate::job::{Decision, Event, replay};

    #[test]
    fn changed_facts_added_items_and_rejected_ones_count_and_what_went_along_does_not() {
        let id = |number: u32| format!("{number:016x}");
        let edit = |number, field| Decision::Edit {
            item: id(number),
            field,
            from: String::new(),
            to: "other".into(),
            description: None,
        };
        let accept = |number| Decision::Accept {
            item: id(number),
            above: None,
        };
        let mut added = item(4, "loft", "hatch", "loose");
        added.status = Status::Confirmed;
        let decisions = [
            // Two facts by hand; a trade is no fact of these.
            edit(1, Field::Element),
            edit(1, Field::Place),
            edit(1, Field::Trade),
            accept(1),
            edit(2, Field::Element),
            Decision::Likewise {
                item: id(2),
                field: Field::Element,
                of: id(1),
            },
            accept(2),
            Decision::Reject {
                item: id(3),
                reason: String::new(),
            },
            Decision::Add {
                item: Box::new(added),
            },
        ];
        let events: Vec<Event> = (1..)
            .zip(decisions)
            .map(|(id, decision)| Event {
                id,
                at: String::new(),
                decision,
            })
            .collect();
        let effort = Effort::of(&three(), &replay(&three(), &events));
        // By hand: 2 facts, 1 rejected, 2 for the one added.
        let expected = Effort {
            items: 3,
            corrections: 5,
        };
        assert_eq!(effort, expected);
        assert_eq!(Effort::default().corrections_per_item(), None);
    }
}
