//! What a job folder promises.

mod folder;
mod killed;
mod locked;
mod photos;
mod proposal;
mod recordings;
