//! The terminal face's list of what was said and is in no item.

use super::NewItem;
use super::purpose::Purpose;
use super::screen::{Message, Mode, Screen};
use ratatui::crossterm::event::KeyCode;

impl Screen {
    /// Shows the statements that made no item, beginning with the first one said after the item
    /// before the one shown: whoever misses something has just passed it.
    pub(super) fn statements(&mut self) {
        let places = self.session.around().placed();
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
            KeyCode::Enter => {
                let statement = self.session.unplaced().nth(chosen).map(|(at, _)| at);
                let Some(statement) = statement else {
                    return;
                };
                let facts = NewItem {
                    place: self.session.place_said(statement),
                    ..NewItem::default()
                };
                self.ask(Purpose::New {
                    facts,
                    statement: Some(statement),
                });
            }
            _ => (self.mode, self.scroll) = (Mode::Card, 0),
        }
    }
}
