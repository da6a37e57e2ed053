//! The trade words of the list in plain words, each with the items that use it.

use crate::export::pdf::make::{Make, unbroken};
use crate::export::pdf::tags::Kind;
use crate::export::wording::capitalised;

/// The section's title.
pub(super) const TITLE: &str = "Words explained";
/// Width of the column of words, in points: *downstairs toilet* and *condensation* fit.
const LABEL: f32 = 136.0;

/// Lays out the words; nothing where the list needs none explained.
pub(super) fn lay_out(make: &mut Make<'_>) {
    let words = make.document.explained(make.include_rejected);
    if words.is_empty() {
        return;
    }
    make.paper.head(TITLE);
    make.paper.new_page();
    let section = make.tree.add(None, Kind::Section);
    let mut stack = make.heading(Some(section), 1, TITLE, "words", "");
    let list = make.tree.add(Some(section), Kind::List);
    for word in words {
        let heading = unbroken(&capitalised(&word.term));
        let row = make.explained(list, heading, unbroken(&word.meaning), LABEL);
        stack.then(row, 4.0, true);
    }
    make.paper.flow(stack);
}
