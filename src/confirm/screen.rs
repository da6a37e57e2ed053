//! The terminal face's state, and what each key does to it. No drawing, no terminal.

use super::help::field_key;
use super::keep::Start;
use super::prompt::{Answer, Prompt, Purpose};
use super::{Change, ConfirmError, Move, Refusal, Session};
use crate::job::Field;
use crate::speech::Recording;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// Lines that PageUp and PageDown scroll: most of a small terminal's card.
const PAGE: usize = 10;

/// What takes the keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Mode {
    /// The card.
    Card,
    /// A question at the foot.
    Prompt(Prompt),
    /// The page of all keys.
    Help,
}

/// What a key asks of the loop around the screen.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Ask {
    /// Nothing but drawing again.
    Nothing,
    /// A change to be kept; [`Screen::kept`] or [`Screen::failed`] follows.
    Keep(Change),
    /// The end.
    Quit,
}

/// A line for the inspector.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Message {
    pub(super) text: String,
    /// True where something did not work.
    pub(super) trouble: bool,
}

/// Everything the terminal face shows.
#[derive(Debug, Clone)]
pub(super) struct Screen {
    pub(super) session: Session,
    pub(super) title: String,
    pub(super) recordings: Vec<Recording>,
    pub(super) mode: Mode,
    pub(super) message: Message,
    /// First line of the card that is shown. Drawing returns it kept within the card.
    pub(super) scroll: usize,
}

impl Screen {
    /// Starts with the card of the session's item.
    pub(super) fn new(start: Start) -> Screen {
        let mut screen = Screen {
            session: start.session,
            title: start.title,
            recordings: start.recordings,
            mode: Mode::Card,
            message: Message {
                text: start.told,
                trouble: false,
            },
            scroll: 0,
        };
        screen.tell_the_end();
        screen
    }

    /// Takes a key.
    pub(super) fn key(&mut self, key: KeyEvent) -> Ask {
        let control = key.modifiers.contains(KeyModifiers::CONTROL);
        if control && key.code == KeyCode::Char('c') {
            return Ask::Quit;
        }
        match &self.mode {
            Mode::Card => self.card_key(key),
            Mode::Prompt(prompt) => self.prompt_key(prompt.clone(), key),
            Mode::Help => {
                if !self.scroll_key(key.code) {
                    self.mode = Mode::Card;
                    self.scroll = 0;
                }
                Ask::Nothing
            }
        }
    }

    /// Takes in pasted text, where text is asked for.
    pub(super) fn paste(&mut self, text: &str) {
        if let Mode::Prompt(prompt) = &mut self.mode {
            prompt.paste(text);
        }
    }

    /// The change was kept and applied.
    pub(super) fn kept(&mut self, told: String) {
        self.mode = Mode::Card;
        self.scroll = 0;
        self.message = Message {
            text: told,
            trouble: false,
        };
        self.tell_the_end();
    }

    /// The change was refused or could not be kept. A question stays, so that nothing typed is
    /// lost, unless there was nothing to change.
    pub(super) fn failed(&mut self, error: &ConfirmError) {
        let unchanged = matches!(error, ConfirmError::Refused(Refusal::Unchanged { .. }));
        if unchanged || matches!(error, ConfirmError::ReadAgain) {
            self.mode = Mode::Card;
        }
        self.trouble(error.to_string());
    }

    fn trouble(&mut self, text: String) {
        self.message = Message {
            text,
            trouble: true,
        };
    }

    /// Says so when the last item has been decided.
    fn tell_the_end(&mut self) {
        let progress = self.session.progress();
        if progress.total > 0 && progress.to_go() == 0 {
            let gap = if self.message.text.is_empty() {
                ""
            } else {
                "; "
            };
            self.message.text.push_str(gap);
            self.message.text.push_str("every item is decided, q quits");
        }
    }

    fn prompt_key(&mut self, mut prompt: Prompt, key: KeyEvent) -> Ask {
        self.message = Message::default();
        let mut ask = Ask::Nothing;
        self.mode = match key.code {
            KeyCode::Esc => Mode::Card,
            KeyCode::Enter => match prompt.answer(&self.session) {
                Answer::Ask(next) => Mode::Prompt(next),
                Answer::Change(change) => {
                    ask = Ask::Keep(change);
                    Mode::Prompt(prompt)
                }
                Answer::Move(to) => {
                    if self.go(to) {
                        Mode::Card
                    } else {
                        Mode::Prompt(prompt)
                    }
                }
                Answer::Wrong(text) => {
                    self.trouble(text);
                    Mode::Prompt(prompt)
                }
            },
            _ => {
                prompt.key(key);
                Mode::Prompt(prompt)
            }
        };
        ask
    }

    fn card_key(&mut self, key: KeyEvent) -> Ask {
        self.message = Message::default();
        match key.code {
            KeyCode::Char('q') => return Ask::Quit,
            KeyCode::Char('?') => (self.mode, self.scroll) = (Mode::Help, 0),
            KeyCode::Char('u') => return Ask::Keep(Change::Undo),
            KeyCode::Char('y') => return Ask::Keep(Change::Redo),
            KeyCode::Char('n') => self.ask(Purpose::NewPlace),
            KeyCode::Char('g') => self.ask(Purpose::GoTo),
            KeyCode::Char('A') => self.ask(Purpose::AcceptAbove),
            KeyCode::Char('s') => _ = self.go(Move::Undecided),
            KeyCode::Right => _ = self.go(Move::Next),
            KeyCode::Left => _ = self.go(Move::Previous),
            KeyCode::Home => _ = self.go(Move::First),
            KeyCode::End => _ = self.go(Move::Last),
            code if self.scroll_key(code) => {}
            code => return self.item_key(code),
        }
        Ask::Nothing
    }

    /// Scrolls; returns false for keys that do not.
    fn scroll_key(&mut self, code: KeyCode) -> bool {
        self.scroll = match code {
            KeyCode::Down => self.scroll.saturating_add(1),
            KeyCode::Up => self.scroll.saturating_sub(1),
            KeyCode::PageDown => self.scroll.saturating_add(PAGE),
            KeyCode::PageUp => self.scroll.saturating_sub(PAGE),
            _ => return false,
        };
        true
    }

    /// Keys that need an item.
    fn item_key(&mut self, code: KeyCode) -> Ask {
        let Some(number) = self.session.current().map(|item| item.number) else {
            self.trouble("the list has no items: n writes one by hand".into());
            return Ask::Nothing;
        };
        match code {
            KeyCode::Char('a') | KeyCode::Enter => return Ask::Keep(Change::Accept { number }),
            KeyCode::Char('z') => return Ask::Keep(Change::Restore { number }),
            KeyCode::Char('x') => self.ask(Purpose::Reject { number }),
            KeyCode::Char(c) => match Field::ALL.into_iter().find(|f| field_key(*f) == c) {
                Some(field) => self.ask(Purpose::Edit { number, field }),
                None => self.trouble(format!("the key {c} does nothing here; ? shows all keys")),
            },
            _ => {}
        }
        Ask::Nothing
    }

    fn ask(&mut self, purpose: Purpose) {
        self.mode = Mode::Prompt(Prompt::new(purpose, &self.session));
    }

    fn go(&mut self, to: Move) -> bool {
        match self.session.go(to) {
            Ok(()) => {
                self.scroll = 0;
                true
            }
            Err(refusal) => {
                self.trouble(refusal.to_string());
                false
            }
        }
    }
}
