//! What the stages of finding a photo's item promise.

mod clock;
mod decide;
mod files;
mod offset;
mod pictures;
mod samples;
mod starts;
