//! The terminal face without a terminal and without a job: keys in, list out, nothing kept.
//!
//! For measuring how many keys a pass takes, and for whoever wants to try keys out.

use super::Session;
use super::draw::draw;
use super::keep::{ConfirmError, Start};
use super::screen::{Ask, Mode, Screen};
use crate::items::Unplaced;
use crate::job::Event;
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;

/// A pass whose decisions are kept in memory only.
#[derive(Debug, Clone)]
pub struct Rehearsal {
    screen: Screen,
    pressed: usize,
}

impl Rehearsal {
    /// Starts with the card of the session's item.
    pub fn new(session: Session) -> Rehearsal {
        let start = Start {
            session,
            title: String::new(),
            recordings: Vec::new(),
            told: String::new(),
        };
        Rehearsal {
            screen: Screen::new(start),
            pressed: 0,
        }
    }

    /// Presses a key. Returns false where it ends the pass.
    pub fn press(&mut self, key: KeyCode) -> bool {
        self.pressed += 1;
        match self.screen.key(KeyEvent::new(key, KeyModifiers::NONE)) {
            Ask::Nothing | Ask::Play => {}
            Ask::Quit => return false,
            Ask::Keep(change) => {
                let session = &mut self.screen.session;
                let first = session.last_event() + 1;
                match session.decide(&change) {
                    Ok(decisions) => {
                        let events = decisions.into_iter().zip(first..);
                        let events: Vec<Event> = events
                            .map(|(decision, id)| Event {
                                id,
                                at: format!("rehearsed {first}"),
                                decision,
                            })
                            .collect();
                        session.apply(events.clone());
                        let told = session.told(&events);
                        self.screen.kept(told);
                    }
                    Err(refusal) => self.screen.failed(&ConfirmError::Refused(refusal)),
                }
            }
        }
        true
    }

    /// Returns how many keys were pressed.
    pub fn pressed(&self) -> usize {
        self.pressed
    }

    /// Returns the session as it stands.
    pub fn session(&self) -> &Session {
        &self.screen.session
    }

    /// Returns what is offered for the question that is open, each under the digit that takes it;
    /// none where no question is open.
    pub fn offered(&self) -> &[String] {
        match &self.screen.mode {
            Mode::Prompt(prompt) => &prompt.offered,
            _ => &[],
        }
    }

    /// Returns true while a question is open.
    pub fn asked(&self) -> bool {
        matches!(self.screen.mode, Mode::Prompt(_))
    }

    /// Returns the statements shown and the place of the one chosen, while they are shown.
    pub fn statements(&self) -> Option<(Vec<&Unplaced>, usize)> {
        let Mode::Statements(chosen) = self.screen.mode else {
            return None;
        };
        let all = self.session().unplaced();
        Some((all.map(|(_, statement)| statement).collect(), chosen))
    }

    /// Returns what the card shows as said before its item and in none, each under its digit, and
    /// whether there is more of it.
    pub fn passed_over(&self) -> (Vec<&Unplaced>, bool) {
        let (shown, count) = self.session().passed_over();
        let more = count > shown.len();
        let shown = shown.into_iter().map(|(_, statement)| statement);
        (shown.collect(), more)
    }

    /// Returns the numbers of the items that the key P would take along, after another place was
    /// given; none where it would do nothing.
    pub fn taken_along(&self) -> Vec<u32> {
        let session = self.session();
        let item = session.current();
        item.map_or(Vec::new(), |item| session.taken_along(item).0)
    }

    /// Returns what did not work, where the last key did not; empty otherwise.
    pub fn trouble(&self) -> &str {
        match self.screen.message.trouble {
            true => &self.screen.message.text,
            false => "",
        }
    }

    /// Returns the screen as lines of text, without colours.
    pub fn lines(&self, width: u16, height: u16) -> Vec<String> {
        let area = Rect::new(0, 0, width, height);
        let mut buffer = Buffer::empty(area);
        draw(&self.screen, false, area, &mut buffer);
        let rows = buffer.content.chunks(usize::from(width.max(1)));
        let line = |row: &[ratatui::buffer::Cell]| -> String {
            row.iter().map(ratatui::buffer::Cell::symbol).collect()
        };
        rows.map(|row| line(row).trim_end().to_string()).collect()
    }
}
