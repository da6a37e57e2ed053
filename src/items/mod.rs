//! From statements to the proposed list.

mod item;

pub use item::{
    Evidence, Item, LimitCheck, Measurement, Over, Proposal, RemedySource, Severity, Status,
    TermEvidence, Unplaced, Visit, VisitedPlace,
};
