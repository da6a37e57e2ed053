//! The terminal face's state, and what each key does to it. No drawing, no terminal.

use super::help::field_of;
use super::keep::Start;
use super::prompt::{Answer, Prompt};
use super::purpose::Purpose;
use super::{Change, ConfirmError, Filter, Move, NewItem, Refusal, Session};
use crate::items::Status;
use crate::speech::Recording;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// Lines that PageUp and PageDown scroll: most of a small terminal's card.
const PAGE: usize = 10;

/// What takes the keys.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Mode {
    /// The card.
    Card,
    /// A question at the foot.
    Prompt(Box<Prompt>),
    /// The page of all keys.
    Help,
    /// The statements that made no item; the one chosen, by its position among those shown.
    Statements(usize),
}

/// What a key asks of the loop around the screen.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Ask {
    /// Nothing but drawing again.
    Nothing,
    /// A change to be kept; [`Screen::kept`] or [`Screen::failed`] follows.
    Keep(Change),
    /// Play what was heard with the item shown, or stop; [`Screen::tell`] follows.
    Play,
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
    /// True right after a digit was a whole answer: an Enter pressed from habit then decides
    /// nothing.
    picked: bool,
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
            picked: false,
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
            Mode::Prompt(prompt) => self.prompt_key(*prompt.clone(), key),
            Mode::Statements(chosen) => {
                self.statements_key(*chosen, key.code);
                Ask::Nothing
            }
            Mode::Help => {
                if !self.scroll_key(key.code) {
                    (self.mode, self.scroll) = (Mode::Card, 0);
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
        (self.mode, self.scroll) = (Mode::Card, 0);
        self.tell(Ok(told));
        if let Some(offer) = self.session.offer() {
            self.message.text += &format!("; L learns: {}", offer.words);
        }
        match self.session.may_go_along() {
            0 => {}
            1 => self.message.text += "; P takes the one after it along",
            count => self.message.text += &format!("; P takes the {count} after it along"),
        }
        self.tell_the_end();
    }

    /// The change was refused or could not be kept. A question stays, so that nothing typed is
    /// lost, unless there was nothing to change.
    pub(super) fn failed(&mut self, error: &ConfirmError) {
        let unchanged = matches!(error, ConfirmError::Refused(Refusal::Unchanged { .. }));
        if unchanged || matches!(error, ConfirmError::ReadAgain) {
            self.mode = Mode::Card;
        }
        self.tell(Err(error.to_string()));
    }

    /// Tells what was done, or what did not work.
    pub(super) fn tell(&mut self, told: Result<String, String>) {
        let trouble = told.is_err();
        let text = told.unwrap_or_else(|text| text);
        self.message = Message { text, trouble };
    }

    /// Says so when the last item has been decided.
    fn tell_the_end(&mut self) {
        let progress = self.session.progress();
        if progress.total > 0 && progress.waiting() == 0 {
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
        let answered = match key.code {
            KeyCode::Esc => {
                self.mode = Mode::Card;
                return Ask::Nothing;
            }
            KeyCode::Enter => true,
            KeyCode::Char('a') if prompt.is_whole_figure(&self.session) => {
                prompt.purpose.accept_too();
                true
            }
            _ => {
                self.picked = prompt.key(key);
                self.picked
            }
        };
        let answer = answered.then(|| prompt.answer(&self.session));
        self.mode = Mode::Prompt(Box::new(prompt));
        match answer {
            None => {}
            Some(Answer::Ask(next)) => self.ask(next),
            Some(Answer::Change(change)) => return Ask::Keep(change),
            Some(Answer::Move(to)) if self.go(to) => self.mode = Mode::Card,
            Some(Answer::Move(_)) => {}
            Some(Answer::Show(filter)) => self.show(filter),
            Some(Answer::Wrong(text)) => self.tell(Err(text)),
        }
        Ask::Nothing
    }

    fn card_key(&mut self, key: KeyEvent) -> Ask {
        if std::mem::take(&mut self.picked) && key.code == KeyCode::Enter {
            return Ask::Nothing;
        }
        self.message = Message::default();
        match key.code {
            KeyCode::Char('q') => return Ask::Quit,
            KeyCode::Char('?') => (self.mode, self.scroll) = (Mode::Help, 0),
            KeyCode::Char('u') => return Ask::Keep(Change::Undo),
            KeyCode::Char('y') => return Ask::Keep(Change::Redo),
            KeyCode::Char('L') => match self.session.to_teach() {
                Some(number) => return Ask::Keep(Change::Teach { number }),
                None => self.tell(Err("nothing was corrected that could be learnt from".into())),
            },
            KeyCode::Char('n') => self.ask(Purpose::New {
                facts: NewItem::default(),
                statement: None,
            }),
            KeyCode::Char('g') => self.ask(Purpose::GoTo),
            KeyCode::Char('A') => self.ask(Purpose::AcceptAbove),
            KeyCode::Char('f') => self.ask(Purpose::Filter),
            KeyCode::Char('/') => self.ask(Purpose::Search),
            KeyCode::Char('i') => self.statements(),
            KeyCode::Esc if *self.session.filter() != Filter::default() => {
                self.show(Filter::default());
            }
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
        let Some(item) = self.session.current() else {
            self.tell(Err("the list has no items: n writes one by hand".into()));
            return Ask::Nothing;
        };
        let (number, place) = (item.number, item.place.clone());
        let confirmed = item.status == Status::Confirmed;
        let waiting = self.session.has_finding(item);
        match code {
            // Confirmed already, such as one just written: then it is only gone on from.
            KeyCode::Char('a') | KeyCode::Enter if confirmed && !waiting => {
                _ = self.go(Move::Undecided)
            }
            KeyCode::Char('a') | KeyCode::Enter => return Ask::Keep(Change::Accept { number }),
            KeyCode::Char('z') => return Ask::Keep(Change::Restore { number }),
            KeyCode::Char(' ' | 'l') => return Ask::Play,
            KeyCode::Char('x') if waiting => return Ask::Keep(Change::Dismiss { number }),
            KeyCode::Char('S') => self.ask(Purpose::Stand { number }),
            KeyCode::Char('x') => self.ask(Purpose::Reject { number }),
            KeyCode::Char('X') => {
                let reason = self.session.usual_reason().to_owned();
                return Ask::Keep(Change::Reject { number, reason });
            }
            KeyCode::Char('P') => return Ask::Keep(Change::Along { number }),
            KeyCode::Char(digit @ '1'..='9') => {
                let place = digit as usize - '1' as usize;
                let passed = self.session.passed_over().0;
                match passed.get(place).map(|(at, _)| *at) {
                    Some(statement) => self.list_statement(statement),
                    None => self.tell(Err(format!("no statement {digit} is shown here"))),
                }
            }
            KeyCode::Char('C') => self.ask(Purpose::AcceptPlace { place }),
            KeyCode::Char('h') => self.ask(Purpose::Split { number }),
            KeyCode::Char('j') => self.ask(Purpose::Merge { number }),
            KeyCode::Char('b') => self.ask(Purpose::Copy { number }),
            KeyCode::Char('M') => self.ask(Purpose::Move),
            KeyCode::Char('N') => self.ask(Purpose::Renumber { number }),
            KeyCode::Char('+') => self.ask(Purpose::Attach { number }),
            KeyCode::Char('-') => self.ask(Purpose::Detach { number }),
            KeyCode::Char(c) => match field_of(c) {
                Some((field, last)) => self.ask(Purpose::Edit {
                    number,
                    field,
                    last,
                }),
                None => self.tell(Err(format!(
                    "the key {c} does nothing here; ? shows all keys"
                ))),
            },
            _ => {}
        }
        Ask::Nothing
    }

    pub(super) fn ask(&mut self, purpose: Purpose) {
        let prompt = Prompt::new(purpose, &self.session);
        self.mode = Mode::Prompt(Box::new(prompt));
    }

    fn show(&mut self, filter: Filter) {
        match self.session.show(filter) {
            Ok(()) => {
                (self.mode, self.scroll) = (Mode::Card, 0);
                let shown = self.session.shown().len();
                let told = match self.session.filter().words().as_str() {
                    "" => "everything is shown".into(),
                    words => {
                        let all = self.session.items().len();
                        format!("shown: {words}, {shown} of {all}; Esc shows all")
                    }
                };
                self.tell(Ok(told));
            }
            Err(refusal) => self.tell(Err(refusal.to_string())),
        }
    }

    fn go(&mut self, to: Move) -> bool {
        match self.session.go(to) {
            Ok(()) => {
                self.scroll = 0;
                true
            }
            Err(refusal) => {
                self.tell(Err(refusal.to_string()));
                false
            }
        }
    }
}
