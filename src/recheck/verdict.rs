//! What all that was said of one item comes to.
//!
//! No item is ever taken for put right without words that say so: silence, a nod of the list's order
//! or a name alone make no finding.

use crate::items::Standing;
use crate::statements::standing::{Sign, Signal};

/// Sureness of plain words for it. First values, to be fitted on confirmed visits.
const SURE: f64 = 0.95;
/// Sureness of words that say it less plainly.
const LIKELY: f64 = 0.8;

/// What the signs of one item come to, and how sure that is from 0 to 1; `None` where they say
/// nothing. `before` is how the item stood, for one that was not looked at.
pub(super) fn verdict(signals: &[Signal], before: Standing) -> Option<(Standing, f64)> {
    let has = |sign| signals.iter().any(|signal| signal.sign == sign);
    let first_right = signals
        .iter()
        .filter(|signal| matches!(signal.sign, Sign::Right | Sign::LikelyRight))
        .map(|signal| signal.tokens.start)
        .min();
    // "still fine", "the crack's been filled": what stands before the good word is its subject.
    let doubt = signals.iter().any(|signal| {
        matches!(signal.sign, Sign::LikelyOutstanding | Sign::Fault)
            && first_right.is_none_or(|right| signal.tokens.start > right)
    });
    let right = has(Sign::Right);
    let likely = has(Sign::LikelyRight);
    let done = right || likely;
    let sure = if right { SURE } else { LIKELY };
    if has(Sign::Agreed) {
        return Some((Standing::Closed, SURE));
    }
    if has(Sign::Claim) && !has(Sign::Outstanding) && !has(Sign::Changed) && !doubt {
        let seen = done || has(Sign::Unseen);
        return seen.then_some((Standing::Offered, if done { SURE } else { LIKELY }));
    }
    if has(Sign::Unseen) && done {
        return Some((Standing::Offered, LIKELY));
    }
    if has(Sign::Changed) {
        return Some((Standing::Changed, SURE));
    }
    if done && (has(Sign::Outstanding) || doubt) {
        // A claim that turned out wrong is no change of the work.
        let standing = if has(Sign::Claim) {
            Standing::NotPutRight
        } else {
            Standing::Changed
        };
        return Some((standing, LIKELY));
    }
    if has(Sign::Outstanding) {
        return Some((Standing::NotPutRight, SURE));
    }
    if done {
        return Some((Standing::PutRight, sure));
    }
    if has(Sign::Unseen) {
        return Some((before, LIKELY));
    }
    if doubt {
        return Some((Standing::NotPutRight, LIKELY));
    }
    if has(Sign::No) {
        return Some((Standing::NotPutRight, LIKELY));
    }
    has(Sign::Yes).then_some((Standing::PutRight, LIKELY))
}
