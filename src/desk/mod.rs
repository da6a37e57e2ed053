//! The confirm pass as one page of the browser, served from the binary on this machine only.
//!
//! # Parts
//! - [`open`] reads the job, takes a port of 127.0.0.1 and makes the address; [`Desk::serve`] answers.
//! - `guard` decides who may ask: Host, cross-site, cookie; `entry` gives the cookie for the address's
//!   secret.
//! - `seat` holds the job and the pass over it; `asked` is what the page may ask for; `view` what it is
//!   shown; `routes` ties these to addresses.
//! - `sound`, `peaks`, `pictures` serve recordings, their outline and photos, and keep what is made of
//!   them in the job's `cache/` folder; it can be deleted at any time.
//! - `page` and `assets/` are the page itself: plain HTML, CSS and JavaScript, without anything from
//!   elsewhere.
//!
//! Every action keeps its decision in the job before it is answered ([`crate::confirm::keep`]). An
//! action that rests on an older state of the list is refused with what has changed since.

mod assets;
mod cache;
mod entry;
mod error;
mod growth;
mod guard;
mod pace;
mod page;
mod paragraphs;
mod peaks;
mod pictures;
mod routes;
mod seat;
mod server;
mod sound;
mod view;

pub use error::DeskError;
pub use server::{Desk, Options, open};
