//! A question at the foot of the screen, answered in one line, with texts offered for it.

use super::complete::{Choice, complete};
use super::help::field_key;
use super::line_editor::LineEditor;
use super::purpose::Purpose;
use super::{Change, Move, Session};
use crate::confirm::Filter;
use crate::job::Field;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// Texts offered at once: as many as have a digit of their own.
const MOST_OFFERED: usize = 9;

/// What an answer leads to.
pub(super) enum Answer {
    /// A change to decide on.
    Change(Change),
    /// Another item.
    Move(Move),
    /// Other items shown.
    Show(Filter),
    /// The next question.
    Ask(Purpose),
    /// The answer does not fit; the question stays.
    Wrong(String),
}

/// A question with its answer so far.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Prompt {
    pub(super) purpose: Purpose,
    pub(super) editor: LineEditor,
    /// True while the text is what was there before: the first letter typed replaces it.
    pub(super) untouched: bool,
    /// Everything that may be offered.
    choices: Vec<Choice>,
    /// What is offered for what was typed, the best first.
    pub(super) offered: Vec<String>,
    /// While Tab goes through what is offered: what was typed, and the place of the one shown.
    tabbed: Option<(String, usize)>,
}

impl Prompt {
    /// Asks for `purpose`; the answer starts as what is there now.
    pub(super) fn new(purpose: Purpose, session: &Session) -> Prompt {
        let start = purpose.start(session);
        let mut prompt = Prompt {
            choices: purpose.choices(session),
            untouched: !start.is_empty(),
            editor: LineEditor::new(&start),
            purpose,
            offered: Vec::new(),
            tabbed: None,
        };
        prompt.offer();
        prompt
    }

    /// Takes a key other than Enter and Esc. Returns true where the key is the whole answer.
    pub(super) fn key(&mut self, key: KeyEvent) -> bool {
        let control = key.modifiers.contains(KeyModifiers::CONTROL);
        match key.code {
            KeyCode::Tab | KeyCode::Down => self.tab(1),
            KeyCode::BackTab | KeyCode::Up => self.tab(-1),
            KeyCode::Char(digit) if !control && self.picks(digit).is_some() => {
                let picked = self.picks(digit).unwrap_or_default();
                self.put(&picked);
                return !self.purpose.takes_several();
            }
            KeyCode::Char(key) if !control && self.first_by(key) => {
                let first = self.offered[0].clone();
                self.put(&first);
                if key.is_ascii_uppercase() {
                    self.purpose.accept_too();
                }
                return true;
            }
            KeyCode::Char(_) if !control && self.untouched => {
                self.editor = LineEditor::default();
                self.typed(key);
            }
            _ => self.typed(key),
        }
        false
    }

    /// Returns the key that takes the first text offered where a digit would be part of the answer:
    /// the one that asked for the field, as long as nothing is typed.
    pub(super) fn first_key(&self) -> Option<char> {
        let figures = self.purpose.is_figures() && !self.offered.is_empty();
        let typed = !self.untouched && !self.editor.text().is_empty();
        let field = self.purpose.edited_field();
        field.filter(|_| figures && !typed).map(field_key)
    }

    fn first_by(&self, key: char) -> bool {
        self.first_key() == Some(key.to_ascii_lowercase())
    }

    /// Returns true where a figure was typed that can be kept as it stands: its next letter is then none
    /// of it. No unit goes on with an *a* where it could end as well.
    pub(super) fn is_whole_figure(&self, session: &Session) -> bool {
        let typed = !self.untouched && !self.editor.text().ends_with(' ');
        let (Some(field), Some(item)) = (self.purpose.edited_field(), session.current()) else {
            return false;
        };
        let figure = matches!(field, Field::Count | Field::Measurement);
        let fits = || field.write(&mut item.clone(), self.editor.text()).is_ok();
        figure && typed && !self.editor.text().is_empty() && fits()
    }

    /// Takes in pasted text.
    pub(super) fn paste(&mut self, text: &str) {
        if self.untouched {
            self.editor = LineEditor::default();
        }
        self.editor.insert(text);
        self.touched();
    }

    fn typed(&mut self, key: KeyEvent) {
        if self.editor.key(key) {
            self.touched();
        }
    }

    fn touched(&mut self) {
        self.untouched = false;
        self.tabbed = None;
        self.offer();
    }

    /// The text that a digit stands for; none where digits may be part of what is typed: after a
    /// space, and in figures.
    fn picks(&self, digit: char) -> Option<String> {
        let place = digit.to_digit(10)?.checked_sub(1)? as usize;
        let figures = self.purpose.is_figures();
        let after_space = !self.untouched && self.editor.text().ends_with([' ', ',']);
        let several = self.purpose.takes_several();
        let may = !figures && (!after_space || several) && self.tabbed.is_none();
        self.offered.get(place).filter(|_| may).cloned()
    }

    /// Puts a text in place of the part that is being typed.
    fn put(&mut self, text: &str) {
        let whole = format!("{}{text}", self.kept_part());
        self.editor = LineEditor::new(&whole);
        self.untouched = false;
    }

    /// What stays in front of the part being typed: of several places, all but the last.
    fn kept_part(&self) -> String {
        match self.parted() {
            (Some(kept), _) => format!("{}, ", kept.trim()),
            (None, _) => String::new(),
        }
    }

    /// What was typed, parted at its last comma where several may be given.
    fn parted(&self) -> (Option<&str>, &str) {
        let text = self.editor.text();
        match text.rsplit_once(',') {
            Some((kept, typed)) if self.purpose.takes_several() => (Some(kept), typed),
            _ => (None, text),
        }
    }

    /// Puts the next text offered, or the one before, in place of what was typed.
    fn tab(&mut self, step: isize) {
        if self.offered.is_empty() {
            return;
        }
        let count = self.offered.len();
        let (typed, place) = match self.tabbed.take() {
            Some((typed, place)) => (typed, place.wrapping_add_signed(step)),
            None if step < 0 => (self.editor.text().to_string(), count - 1),
            None => (self.editor.text().to_string(), 0),
        };
        let place = if place == usize::MAX {
            count - 1
        } else {
            place % count
        };
        let text = self.offered[place].clone();
        self.put(&text);
        self.tabbed = Some((typed, place));
    }

    /// Works out what is offered for what is typed.
    fn offer(&mut self) {
        let (now, typed) = match self.untouched {
            true => (self.editor.text().to_string(), String::new()),
            false => (String::new(), self.parted().1.trim().to_string()),
        };
        let field = self.purpose.field().unwrap_or(Field::Description);
        self.offered = complete(field, &typed, &now, &self.choices);
        self.offered.truncate(MOST_OFFERED);
    }

    /// Returns the place of the text offered that Tab has put in, if it has.
    pub(super) fn shown_offer(&self) -> Option<usize> {
        self.tabbed.as_ref().map(|(_, place)| *place)
    }

    /// Returns what the answer leads to.
    pub(super) fn answer(&self, session: &Session) -> Answer {
        self.purpose.answer(self.editor.text().trim(), session)
    }
}
