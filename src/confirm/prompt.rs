//! A question at the foot of the screen, answered in one line.

use super::line_editor::LineEditor;
use super::{Change, Move, NewItem, Session};
use crate::job::Field;
use ratatui::crossterm::event::{KeyCode, KeyEvent};
use std::collections::BTreeSet;

/// Reasons for rejecting that are one digit away. Own wording.
pub(super) const USUAL_REASONS: [&str; 4] = ["misheard", "not a defect", "said twice", "put right"];

/// What is being asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Purpose {
    /// A field's new text.
    Edit { number: u32, field: Field },
    /// Why an item is rejected.
    Reject { number: u32 },
    /// An item's number.
    GoTo,
    /// A confidence.
    AcceptAbove,
    /// A new item's place, then its element, then its defect.
    NewPlace,
    /// See [`Purpose::NewPlace`].
    NewElement { place: String },
    /// See [`Purpose::NewPlace`].
    NewDefect { place: String, element: String },
}

/// What an answer leads to.
pub(super) enum Answer {
    /// A change to decide on.
    Change(Change),
    /// Another item.
    Move(Move),
    /// The next question.
    Ask(Prompt),
    /// The answer does not fit; the question stays.
    Wrong(String),
}

/// Returns true for fields whose texts are often used again.
fn is_vocabulary(field: Field) -> bool {
    use Field::{Defect, Element, Place, Position, Remedy, Trade};
    matches!(field, Place | Position | Element | Defect | Remedy | Trade)
}

/// A question with its answer so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Prompt {
    pub(super) purpose: Purpose,
    pub(super) editor: LineEditor,
    /// Texts of the same kind used elsewhere in the list.
    choices: Vec<String>,
    /// While going through choices: what was typed, and the next choice.
    typed: Option<(String, usize)>,
}

impl Prompt {
    /// Asks for `purpose`; the answer starts as what is there now.
    pub(super) fn new(purpose: Purpose, session: &Session) -> Prompt {
        let item = session.current();
        let (start, field) = match &purpose {
            Purpose::Edit { field, .. } => (
                item.map(|item| field.read(item)).unwrap_or_default(),
                Some(*field),
            ),
            Purpose::NewPlace => (
                item.map(|item| item.place.clone()).unwrap_or_default(),
                Some(Field::Place),
            ),
            Purpose::NewElement { .. } => (String::new(), Some(Field::Element)),
            Purpose::NewDefect { .. } => (String::new(), Some(Field::Defect)),
            Purpose::AcceptAbove => ("0.95".into(), None),
            Purpose::Reject { .. } | Purpose::GoTo => (String::new(), None),
        };
        let field = field.filter(|field| is_vocabulary(*field));
        let used = field.map(|field| session.items().iter().map(move |item| field.read(item)));
        let used: BTreeSet<String> = used.into_iter().flatten().collect();
        let choices = used.into_iter().filter(|text| !text.is_empty()).collect();
        Prompt {
            purpose,
            editor: LineEditor::new(&start),
            choices,
            typed: None,
        }
    }

    /// Returns the field whose text is asked for, if it is one.
    pub(super) fn edited_field(&self) -> Option<Field> {
        match self.purpose {
            Purpose::Edit { field, .. } => Some(field),
            _ => None,
        }
    }

    /// Returns the question.
    pub(super) fn label(&self) -> String {
        match &self.purpose {
            Purpose::Edit { field, .. } => field.name().to_string(),
            Purpose::Reject { .. } => "reject because".into(),
            Purpose::GoTo => "go to item".into(),
            Purpose::AcceptAbove => "accept all from confidence".into(),
            Purpose::NewPlace => "new item, place".into(),
            Purpose::NewElement { .. } => "new item, element".into(),
            Purpose::NewDefect { .. } => "new item, defect".into(),
        }
    }

    /// Returns what may be answered, in short; empty where any text will do.
    pub(super) fn hint(&self) -> String {
        match &self.purpose {
            Purpose::Edit {
                field: Field::Severity,
                ..
            } => "safety, repair, finish, clean or watch; the first letter will do".into(),
            Purpose::Edit {
                field: Field::Remark,
                ..
            } => "several are separated by ;".into(),
            Purpose::Reject { .. } => {
                let reasons = USUAL_REASONS.iter().zip(1..);
                let reasons: Vec<String> = reasons
                    .map(|(reason, digit)| format!("{digit} {reason}"))
                    .collect();
                format!("{}, or your own words", reasons.join(", "))
            }
            Purpose::AcceptAbove => "0 to 1; they are confirmed unseen, and u undoes it".into(),
            _ if !self.choices.is_empty() => "Tab: words used elsewhere in the list".into(),
            _ => String::new(),
        }
    }

    /// Takes a key other than Enter and Esc.
    pub(super) fn key(&mut self, key: KeyEvent) {
        if key.code == KeyCode::Tab {
            self.complete();
        } else if self.editor.key(key) {
            self.typed = None;
        }
    }

    /// Takes in pasted text.
    pub(super) fn paste(&mut self, text: &str) {
        self.editor.insert(text);
        self.typed = None;
    }

    /// Puts the next choice that begins with what was typed in its place. Where nothing was
    /// changed yet, all choices follow.
    fn complete(&mut self) {
        let (typed, next) = self.typed.clone().unwrap_or_else(|| {
            let text = self.editor.text();
            let untouched = self.choices.iter().any(|choice| choice == text);
            (
                if untouched {
                    String::new()
                } else {
                    text.to_lowercase()
                },
                0,
            )
        });
        let fits = |choice: &&String| choice.to_lowercase().starts_with(&typed);
        let fitting: Vec<&String> = self.choices.iter().filter(fits).collect();
        if let Some(choice) = fitting.get(next % fitting.len().max(1)) {
            self.editor = LineEditor::new(choice);
            self.typed = Some((typed, next + 1));
        }
    }

    /// Returns what the answer leads to.
    pub(super) fn answer(&self, session: &Session) -> Answer {
        let text = self.editor.text().trim().to_string();
        match &self.purpose {
            Purpose::Edit { number, field } => Answer::Change(Change::Edit {
                number: *number,
                field: *field,
                text,
            }),
            Purpose::Reject { number } => {
                let usual = text
                    .parse::<usize>()
                    .ok()
                    .and_then(|digit| digit.checked_sub(1));
                let usual = usual.and_then(|place| USUAL_REASONS.get(place));
                let reason = usual.map_or(text, |reason| reason.to_string());
                Answer::Change(Change::Reject {
                    number: *number,
                    reason,
                })
            }
            Purpose::GoTo => match text.parse() {
                Ok(number) => Answer::Move(Move::Number(number)),
                Err(_) => Answer::Wrong(format!("`{text}` is no number: give an item's number")),
            },
            Purpose::AcceptAbove => match text.parse() {
                Ok(confidence) => Answer::Change(Change::AcceptAbove { confidence }),
                Err(_) => {
                    Answer::Wrong(format!("`{text}` is no number: give 0 to 1, such as 0.95"))
                }
            },
            Purpose::NewPlace | Purpose::NewElement { .. } if text.is_empty() => {
                Answer::Wrong("it cannot be empty: give it, or press Esc".into())
            }
            Purpose::NewPlace => {
                Answer::Ask(Prompt::new(Purpose::NewElement { place: text }, session))
            }
            Purpose::NewElement { place } => {
                let place = place.clone();
                Answer::Ask(Prompt::new(
                    Purpose::NewDefect {
                        place,
                        element: text,
                    },
                    session,
                ))
            }
            Purpose::NewDefect { place, element } => {
                let (place, element) = (place.clone(), element.clone());
                Answer::Change(Change::Add(NewItem {
                    place,
                    element,
                    defect: text,
                }))
            }
        }
    }
}
