//! What each operation does to the list: a script in, the list out.

mod divide;
mod filter;
mod follow;
mod rearrange;
mod said;

use super::{Change, Session, act, describe};
use crate::items::Item;
use crate::job::Event;
use crate::job::samples::walk;
use crate::lexicon::Lexicon;
use crate::speech::Word;
use crate::time::{Millis, Span};
use std::sync::{Arc, OnceLock};

/// `number. place: element defect, status`, one item a line, after what was told.
pub(super) fn check(session: Session, changes: Vec<Change>) -> String {
    let (mut session, mut log) = (session, Vec::<Event>::new());
    let mut lines = Vec::new();
    for change in changes {
        lines.push(match act(&mut session, &mut log, &change) {
            Ok(events) => session.told(&events),
            Err(refusal) => format!("no: {refusal}"),
        });
    }
    lines.extend(session.items().iter().map(line));
    lines.join("\n")
}

pub(super) fn line(item: &Item) -> String {
    let status = crate::confirm::status_word(item.status);
    let (number, place) = (item.number, &item.place);
    format!(
        "{number}. {place}: {} {}, {status}",
        item.element, item.defect
    )
}

pub(super) fn start() -> Session {
    Session::new(walk(), vec![], describe)
}

/// The lexicon that the program carries, made once.
pub(super) fn lexicon() -> Arc<Lexicon> {
    static LEXICON: OnceLock<Arc<Lexicon>> = OnceLock::new();
    Arc::clone(LEXICON.get_or_init(|| Arc::new(Lexicon::builtin().unwrap())))
}

/// Half a second for each word.
pub(super) fn words(text: &str) -> Vec<Word> {
    let word = |(at, text): (u64, &str)| Word {
        text: text.into(),
        recording: 1,
        span: Some(Span::new(Millis(at * 500), Millis(at * 500 + 400))),
        probability: 0.9,
        line_end: false,
        meant: None,
    };
    (0..).zip(text.split_whitespace()).map(word).collect()
}
