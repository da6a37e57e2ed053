//! The terminal face's list of what was said and is in no item.

use super::purpose::Purpose;
use super::screen::{Message, Mode, Screen};
use super::{NewItem, Session};
use crate::items::Unplaced;
use ratatui::crossterm::event::KeyCode;

impl Screen {
    /// Shows the statements that made no item, beginning with the first one said after the item
    /// before the one shown: whoever misses something has just passed it.
    pub(super) fn statements(&mut self) {
        let places = &self.session.placed;
        let current = self.session.current().map(|item| item.id.clone());
        let items = self.session.items();
        let here = items
            .iter()
            .position(|item| Some(&item.id) == current.as_ref());
        let before =
            here.and_then(|here| items[..here].iter().rev().find_map(|i| i.evidence.words));
        let after = |at: usize| {
            let said = places.get(at).copied().flatten();
            said.is_some_and(|said| before.is_none_or(|before| said.0 >= before.0))
        };
        let open: Vec<usize> = self.session.unplaced().map(|(at, _)| at).collect();
        let Some(last) = open.len().checked_sub(1) else {
            self.tell(Err("every statement is in an item".into()));
            return;
        };
        let chosen = open.iter().position(|at| after(*at)).unwrap_or(last);
        (self.mode, self.scroll) = (Mode::Statements(chosen), 0);
    }

    pub(super) fn statements_key(&mut self, chosen: usize, code: KeyCode) {
        self.message = Message::default();
        let count = self.session.unplaced().count();
        match code {
            KeyCode::Down | KeyCode::Char('j') => {
                self.mode = Mode::Statements((chosen + 1).min(count.saturating_sub(1)));
            }
            KeyCode::Up | KeyCode::Char('k') => {
                self.mode = Mode::Statements(chosen.saturating_sub(1));
            }
            KeyCode::Enter | KeyCode::Char('1'..='9') => {
                let digit = match code {
                    KeyCode::Char(digit) => digit.to_digit(10).unwrap_or(1) as usize,
                    _ => 1,
                };
                let statement = self.session.unplaced().nth(chosen + digit - 1);
                let statement = statement.map(|(at, _)| at);
                if let Some(statement) = statement {
                    self.list_statement(statement);
                }
            }
            _ => (self.mode, self.scroll) = (Mode::Card, 0),
        }
    }

    /// Asks for the facts of an item to be made of a statement, by its position among all.
    pub(super) fn list_statement(&mut self, statement: usize) {
        let facts = NewItem {
            place: self.session.place_said(statement),
            ..NewItem::default()
        };
        self.ask(Purpose::New {
            facts,
            statement: Some(statement),
        });
    }
}

/// Statements that a card shows at most: each has a digit, and the item keeps the room.
const MOST_PASSED_OVER: usize = 3;

impl Session {
    /// Returns what was said since the item before the one shown, up to it, and is in no item: the
    /// position among all statements and the statement, at most [`MOST_PASSED_OVER`], and how many
    /// there are. After the last item the rest of the walk-round counts too.
    pub(super) fn passed_over(&self) -> (Vec<(usize, &Unplaced)>, usize) {
        let Some(item) = self.current() else {
            return (Vec::new(), 0);
        };
        let (Some(here), id) = (item.evidence.words, &item.id) else {
            return (Vec::new(), 0);
        };
        let others = self.items().iter().filter(|other| other.id != *id);
        let said = others.filter_map(|other| other.evidence.words);
        let from = said
            .clone()
            .map(|words| words.0)
            .filter(|at| *at < here.0)
            .max();
        let is_last = said.clone().all(|words| words.0 <= here.0);
        let between = |at: &usize| {
            self.placed[*at].is_some_and(|(start, _)| {
                from.is_none_or(|from| start >= from) && (is_last || start < here.1)
            })
        };
        let mut passed: Vec<(usize, &Unplaced)> =
            self.unplaced().filter(|(at, _)| between(at)).collect();
        let count = passed.len();
        passed.truncate(MOST_PASSED_OVER);
        (passed, count)
    }
}
