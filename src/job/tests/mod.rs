//! What a job folder promises.

mod decisions;
mod folder;
mod full;
mod killed;
mod locked;
mod older;
mod photos;
mod proposal;
mod recordings;
mod salvage;
