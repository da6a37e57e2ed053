//! What a job folder promises.

mod folder;
mod killed;
mod locked;
mod proposal;
mod recordings;
