//! What a job folder promises.

mod decisions;
mod folder;
mod killed;
mod locked;
mod photos;
mod proposal;
mod recordings;
