//! A one-line text editor for terminals: text and cursor, no drawing.

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// One line being edited.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct LineEditor {
    text: String,
    /// Byte place of the cursor, always between characters.
    cursor: usize,
}

impl LineEditor {
    /// Starts with `text` and the cursor after it.
    pub(super) fn new(text: &str) -> LineEditor {
        LineEditor {
            text: text.to_string(),
            cursor: text.len(),
        }
    }

    /// Returns the text.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Takes a key; returns false where it has no meaning here.
    pub(super) fn key(&mut self, key: KeyEvent) -> bool {
        let control = key.modifiers.contains(KeyModifiers::CONTROL);
        match key.code {
            KeyCode::Char('a') if control => self.cursor = 0,
            KeyCode::Char('e') if control => self.cursor = self.text.len(),
            KeyCode::Char('u') if control => *self = LineEditor::default(),
            KeyCode::Char('w') if control => self.cut_word(),
            KeyCode::Char('k') if control => self.text.truncate(self.cursor),
            KeyCode::Char(_) if control => return false,
            KeyCode::Char(c) => self.insert(&c.to_string()),
            KeyCode::Backspace => {
                let before = self.before();
                self.text.replace_range(before..self.cursor, "");
                self.cursor = before;
            }
            KeyCode::Delete => {
                let after = self.after();
                self.text.replace_range(self.cursor..after, "");
            }
            KeyCode::Left => self.cursor = self.before(),
            KeyCode::Right => self.cursor = self.after(),
            KeyCode::Home => self.cursor = 0,
            KeyCode::End => self.cursor = self.text.len(),
            _ => return false,
        }
        true
    }

    /// Puts text in at the cursor; line ends and other control characters become spaces.
    pub(super) fn insert(&mut self, text: &str) {
        let plain: String = text
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        self.text.insert_str(self.cursor, &plain);
        self.cursor += plain.len();
    }

    /// Returns the part to show in `width` columns as before, under and after the cursor. The
    /// cursor is always inside; past the end it stands on a space.
    pub(super) fn view(&self, width: usize) -> (String, String, String) {
        let under_end = self.after();
        let under = if self.cursor == self.text.len() {
            " ".to_string()
        } else {
            self.text[self.cursor..under_end].to_string()
        };
        let room = width.saturating_sub(under.width());
        let mut start = 0;
        while self.text[start..self.cursor].width() > room {
            start += self.text[start..].chars().next().map_or(1, char::len_utf8);
        }
        let before = self.text[start..self.cursor].to_string();
        let mut left = room.saturating_sub(before.width());
        let mut after = String::new();
        for c in self.text[under_end..].chars() {
            let columns = c.width().unwrap_or(0);
            if columns > left {
                break;
            }
            left -= columns;
            after.push(c);
        }
        (before, under, after)
    }

    /// The place one visible character before the cursor: combining marks go with their letter.
    fn before(&self) -> usize {
        let mut place = self.cursor;
        for (start, c) in self.text[..self.cursor].char_indices().rev() {
            place = start;
            if c.width().unwrap_or(0) > 0 {
                break;
            }
        }
        place
    }

    /// The place one visible character after the cursor.
    fn after(&self) -> usize {
        let rest = &self.text[self.cursor..];
        let next = rest
            .char_indices()
            .skip(1)
            .find(|(_, c)| c.width().unwrap_or(0) > 0);
        next.map_or(self.text.len(), |(place, _)| self.cursor + place)
    }

    fn cut_word(&mut self) {
        let head = self.text[..self.cursor].trim_end();
        let start = head.rfind(' ').map_or(0, |space| space + 1);
        self.text.replace_range(start..self.cursor, "");
        self.cursor = start;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Keys as text: `<` left, `>` right, `^` home, `$` end, `-` backspace, `*` delete, `~` word.
    fn typed(start: &str, keys: &str) -> String {
        let mut line = LineEditor::new(start);
        for c in keys.chars() {
            let (code, modifiers) = match c {
                '<' => (KeyCode::Left, KeyModifiers::NONE),
                '>' => (KeyCode::Right, KeyModifiers::NONE),
                '^' => (KeyCode::Home, KeyModifiers::NONE),
                '$' => (KeyCode::End, KeyModifiers::NONE),
                '-' => (KeyCode::Backspace, KeyModifiers::NONE),
                '*' => (KeyCode::Delete, KeyModifiers::NONE),
                '~' => (KeyCode::Char('w'), KeyModifiers::CONTROL),
                c => (KeyCode::Char(c), KeyModifiers::NONE),
            };
            assert!(line.key(KeyEvent::new(code, modifiers)));
        }
        let (before, under, after) = line.view(40);
        format!("{before}[{under}]{after}")
    }

    #[test]
    fn keys_edit_the_line() {
        for (start, keys, shown) in [
            ("", "ab", "ab[ ]"),
            ("hall", "<<-", "h[l]l"),
            ("hall", "^*", "[a]ll"),
            ("hall", "^<-x", "x[h]all"),
            ("hall", "$>*y", "hally[ ]"),
            ("left of the door", "~~", "left of [ ]"),
            ("cafe\u{301}", "-", "caf[ ]"),
            ("cafe\u{301}s", "<<", "caf[e\u{301}]s"),
            ("東京", "<-", "[京]"),
        ] {
            assert_eq!(typed(start, keys), shown, "{start} {keys}");
        }
    }

    #[test]
    fn the_cursor_stays_in_view() {
        let mut line = LineEditor::new("a long line of text");
        assert_eq!(line.view(8), ("of text".into(), " ".into(), String::new()));
        line.key(KeyEvent::new(KeyCode::Home, KeyModifiers::NONE));
        assert_eq!(line.view(8), (String::new(), "a".into(), " long l".into()));
        for width in 0..30 {
            let _ = line.view(width);
        }
    }

    #[test]
    fn pasted_lines_become_one() {
        let mut line = LineEditor::new("a");
        line.insert("b\r\nc\u{1b}");
        assert_eq!(line.text(), "ab  c ");
    }
}
