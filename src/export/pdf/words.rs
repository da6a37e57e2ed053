//! The standard texts of the paper, in one place.

use crate::items::Severity;

/// What stands above the title of a report.
pub(super) const REPORT: &str = "Defect list of a new home";

/// Who does dangerous work; the last paragraph of the cautions.
pub(super) const WHO_WORKS: &str = "Leave work on gas, electricity and structure, and work at height, \
     to people licensed or trained for it. Do not test such things yourself. Local codes and the advice \
     of a licensed practitioner come before anything on this list.";

/// Shown where no item is marked as a matter of safety.
pub(super) const NO_SAFETY_ITEM: &str = "No item on this list is marked as a matter of safety. That \
     is not a finding that the home is safe.";

/// Shown where there is nothing beyond a limit.
pub(super) const NO_LIMIT_ITEM: &str = "No measurement on this list was found outside a published \
     limit. Most items are judged by eye, and have no measurement.";

/// How to read the list: what is shown, and what it means.
pub(super) const READING: [(&str, &str); 7] = [
    (
        "The number",
        "Each item keeps its number, on this list and on later visits. Use it when you write or call.",
    ),
    (
        "Measured, and limit",
        "What was measured on the walk-round, held against a published limit with its source. \u{201c}Cannot \
         tell\u{201d} means that the measurement does not decide it.",
    ),
    (
        "To put right",
        "What would put the item right: as the inspector said it, or, where it is marked as suggested, \
         what is usual.",
    ),
    (
        "Trade",
        "Who usually does such work. The builder may give it to somebody else.",
    ),
    (
        "Caution",
        "Stands where the item or its repair could hurt someone. Please read it first.",
    ),
    (
        "Heard",
        "The moment in the recording and the words as a program heard them, mishearings included. The \
         recording is what counts.",
    ),
    (
        "Not yet confirmed",
        "The inspector has not checked this item yet. It may change or go.",
    ),
];

/// Returns what a severity means to a buyer.
pub(super) fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Safety => "Someone could be hurt. To be seen to first.",
        Severity::Repair => "Does not work, leaks, is missing, or will get worse.",
        Severity::Finish => "Looks wrong, and works.",
        Severity::Clean => "Needs cleaning only.",
        Severity::Watch => "To be looked at again after some time.",
    }
}
