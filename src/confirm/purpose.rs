//! What a question asks for: its words, and what an answer means.

use super::filter::Filter;
use super::parse::{filter_of, numbers_of, places_of, split_at};
use super::prompt::Answer;
use super::visit::{STANDING_HINT, standing_and_note};
use super::{Change, Move, NewItem, Session};
use crate::items::Status;
use crate::job::Field;

/// From this confidence on the rest of a place may be accepted unseen, unless told otherwise:
/// nearly all such items are right.
const REST_FROM: &str = "0.8";

/// What is being asked for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Purpose {
    /// A field's new text; `last` where the item is accepted with it.
    Edit {
        number: u32,
        field: Field,
        last: bool,
    },
    /// Why an item is rejected.
    Reject { number: u32 },
    /// How an item's work stands.
    Stand { number: u32 },
    /// An item's number.
    GoTo,
    /// A confidence.
    AcceptAbove,
    /// A confidence, for the rest of one place.
    AcceptPlace { place: String },
    /// Where the quote of an item is divided.
    Split { number: u32 },
    /// The item that another goes into.
    Merge { number: u32 },
    /// Other places with the same.
    Copy { number: u32 },
    /// Which items to move, then where to.
    Move,
    /// See [`Purpose::Move`].
    MoveTo { numbers: Vec<u32> },
    /// An item's new number, or none to number all.
    Renumber { number: u32 },
    /// A photo's name.
    Attach { number: u32 },
    /// The same.
    Detach { number: u32 },
    /// Which items to show.
    Filter,
    /// Words to look for.
    Search,
    /// A new item's place, element and defect, one after the other; of a statement where given.
    New {
        facts: NewItem,
        statement: Option<usize>,
    },
}

impl Purpose {
    /// Returns the field that is asked for, if it is one.
    pub(super) fn field(&self) -> Option<Field> {
        match self {
            Purpose::Edit { field, .. } => Some(*field),
            Purpose::Copy { .. } | Purpose::MoveTo { .. } => Some(Field::Place),
            Purpose::New { facts, .. } if facts.place.is_empty() => Some(Field::Place),
            Purpose::New { facts, .. } if facts.element.is_empty() => Some(Field::Element),
            Purpose::New { .. } => Some(Field::Defect),
            _ => None,
        }
    }

    /// Returns the field of the item shown that is being changed.
    pub(super) fn edited_field(&self) -> Option<Field> {
        match self {
            Purpose::Edit { field, .. } => Some(*field),
            _ => None,
        }
    }

    /// Has the item accepted with the change of a field.
    pub(super) fn accept_too(&mut self) {
        if let Purpose::Edit { last, .. } = self {
            *last = true;
        }
    }

    /// Returns true where a digit is always part of the answer.
    pub(super) fn is_figures(&self) -> bool {
        match self {
            Purpose::GoTo
            | Purpose::AcceptAbove
            | Purpose::AcceptPlace { .. }
            | Purpose::Merge { .. }
            | Purpose::Move
            | Purpose::Renumber { .. }
            | Purpose::Search => true,
            Purpose::Edit { field, .. } => matches!(
                field,
                Field::Count | Field::Measurement | Field::Description | Field::Remark
            ),
            _ => false,
        }
    }

    /// Returns true where several texts may be given, separated by commas.
    pub(super) fn takes_several(&self) -> bool {
        matches!(self, Purpose::Copy { .. })
    }

    /// Returns what the answer starts as.
    pub(super) fn start(&self, session: &Session) -> String {
        let item = session.current();
        match self {
            Purpose::Edit { field, .. } => item.map(|item| field.read(item)).unwrap_or_default(),
            Purpose::New { facts, .. } if facts.place.is_empty() => {
                item.map(|item| item.place.clone()).unwrap_or_default()
            }
            Purpose::AcceptAbove => "0.95".into(),
            Purpose::AcceptPlace { .. } => REST_FROM.into(),
            Purpose::Move => item.map(|item| item.number.to_string()).unwrap_or_default(),
            Purpose::Search => session.filter().search.clone(),
            _ => String::new(),
        }
    }

    /// Returns the question.
    pub(super) fn label(&self) -> String {
        match self {
            Purpose::Edit {
                field, last: true, ..
            } => format!("{field}, and accept"),
            Purpose::Edit { field, .. } => field.name().to_string(),
            Purpose::Reject { .. } => "reject because".into(),
            Purpose::Stand { number } => format!("item {number} stands"),
            Purpose::GoTo => "go to item".into(),
            Purpose::AcceptAbove => "accept all from confidence".into(),
            Purpose::AcceptPlace { place } => format!("accept the rest of {place} from confidence"),
            Purpose::Split { .. } => "the second item begins with".into(),
            Purpose::Merge { number } => format!("merge into item {number} the item"),
            Purpose::Copy { .. } => "the same in".into(),
            Purpose::Move => "move items".into(),
            Purpose::MoveTo { .. } => "move them to".into(),
            Purpose::Renumber { number } => format!("new number of item {number}"),
            Purpose::Attach { .. } => "photo to attach".into(),
            Purpose::Detach { .. } => "photo to detach".into(),
            Purpose::Filter => "show".into(),
            Purpose::Search => "search".into(),
            Purpose::New { .. } => {
                format!("new item, {}", self.field().unwrap_or(Field::Place))
            }
        }
    }

    /// Returns what may be answered, in short; empty where any text will do.
    pub(super) fn hint(&self, session: &Session) -> String {
        match self {
            Purpose::Edit {
                field: Field::Severity,
                ..
            } => "safety, repair, finish, clean or watch; the first letter will do".into(),
            Purpose::Edit {
                field: Field::Remark,
                ..
            } => "several are separated by ;".into(),
            Purpose::Edit {
                field: Field::Measurement,
                ..
            } => {
                "such as 6, which is mm, 1/4 in, 5 mm in 2 m; several with ; between; a accepts too"
                    .into()
            }
            Purpose::Reject { .. } => "a digit, or your own words".into(),
            Purpose::Stand { .. } => STANDING_HINT.into(),
            Purpose::AcceptAbove => "0 to 1; they are confirmed unseen, and u undoes it".into(),
            Purpose::AcceptPlace { place } => {
                let items = session.items().iter();
                let left = items.filter(|i| i.place == *place && i.status == Status::Proposed);
                format!(
                    "0 to 1; {} undecided there; they are confirmed unseen, and u undoes it",
                    left.count()
                )
            }
            Purpose::Split { .. } => "its first word or words, as heard".into(),
            Purpose::Merge { .. } => "its number; it is kept as rejected".into(),
            Purpose::Copy { .. } => "places, such as bedrooms two and three".into(),
            Purpose::Move => "numbers, such as 4-7, 9".into(),
            Purpose::Renumber { .. } => "nothing given numbers all from 1 in order".into(),
            Purpose::Filter => {
                "a place, trade or severity; undecided, confirmed, rejected; unsure (first); \
                 outside (limits); no photo; all"
                    .into()
            }
            Purpose::Search => "words in an item or in what was heard; empty shows all".into(),
            _ => String::new(),
        }
    }

    /// Returns what an answer leads to.
    pub(super) fn answer(&self, text: &str, session: &Session) -> Answer {
        match self {
            Purpose::Edit {
                number,
                field,
                last,
            } => {
                let (number, field, text) = (*number, *field, text.to_owned());
                Answer::Change(match last {
                    true => Change::EditAndAccept {
                        number,
                        field,
                        text,
                    },
                    false => Change::Edit {
                        number,
                        field,
                        text,
                    },
                })
            }
            Purpose::Reject { number } => Answer::Change(Change::Reject {
                number: *number,
                reason: text.into(),
            }),
            Purpose::Stand { number } => match standing_and_note(text) {
                Ok((standing, note)) => Answer::Change(Change::Stand {
                    number: *number,
                    standing,
                    note,
                }),
                Err(wrong) => Answer::Wrong(wrong),
            },
            Purpose::GoTo => number(text, |number| Answer::Move(Move::Number(number))),
            Purpose::AcceptAbove => {
                confidence(text, |confidence| Change::AcceptAbove { confidence })
            }
            Purpose::AcceptPlace { place } => confidence(text, |confidence| Change::AcceptPlace {
                place: place.clone(),
                confidence,
            }),
            Purpose::Split { number } => match split_at(session, *number, text) {
                Ok(at) => Answer::Change(Change::Split {
                    number: *number,
                    at,
                }),
                Err(wrong) => Answer::Wrong(wrong),
            },
            Purpose::Merge { number: into } => number(text, |other| {
                Answer::Change(Change::Merge {
                    number: *into,
                    other,
                })
            }),
            Purpose::Copy { number } => Answer::Change(Change::Copy {
                number: *number,
                places: places_of(text),
            }),
            Purpose::Move => match numbers_of(text) {
                Ok(numbers) => Answer::Ask(Purpose::MoveTo { numbers }),
                Err(wrong) => Answer::Wrong(wrong),
            },
            Purpose::MoveTo { numbers } => Answer::Change(Change::Move {
                numbers: numbers.clone(),
                place: text.into(),
            }),
            Purpose::Renumber { .. } if text.is_empty() => Answer::Change(Change::RenumberAll),
            Purpose::Renumber { number: of } => number(text, |to| {
                Answer::Change(Change::Renumber { number: *of, to })
            }),
            Purpose::Attach { number } => Answer::Change(Change::AttachPhoto {
                number: *number,
                photo: text.into(),
            }),
            Purpose::Detach { number } => Answer::Change(Change::DetachPhoto {
                number: *number,
                photo: text.into(),
            }),
            Purpose::Filter => match filter_of(text, session) {
                Ok(filter) => Answer::Show(filter),
                Err(wrong) => Answer::Wrong(wrong),
            },
            Purpose::Search => Answer::Show(Filter {
                search: text.into(),
                ..session.filter().clone()
            }),
            Purpose::New { .. } if text.is_empty() => {
                Answer::Wrong("it cannot be empty: give it, or press Esc".into())
            }
            Purpose::New { facts, statement } => {
                let mut facts = facts.clone();
                match self.field() {
                    Some(Field::Place) => facts.place = text.into(),
                    Some(Field::Element) => facts.element = text.into(),
                    _ => facts.defect = text.into(),
                }
                match (facts.defect.is_empty(), *statement) {
                    (true, statement) => Answer::Ask(Purpose::New { facts, statement }),
                    (_, Some(statement)) => Answer::Change(Change::Promote {
                        statement,
                        new: facts,
                    }),
                    _ => Answer::Change(Change::Add { new: facts }),
                }
            }
        }
    }
}

fn number(text: &str, make: impl Fn(u32) -> Answer) -> Answer {
    match text.parse() {
        Ok(number) => make(number),
        Err(_) => Answer::Wrong(format!("`{text}` is no number: give an item's number")),
    }
}

fn confidence(text: &str, make: impl Fn(f64) -> Change) -> Answer {
    match text.parse() {
        Ok(confidence) => Answer::Change(make(confidence)),
        Err(_) => Answer::Wrong(format!("`{text}` is no number: give 0 to 1, such as 0.95")),
    }
}
