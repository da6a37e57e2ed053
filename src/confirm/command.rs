//! The plain face's commands: one line of text understood, for the item shown.

use super::parse::{filter_of, numbers_of, places_of, split_at};
use super::visit::standing_and_note;
use super::{Change, Filter, Move, NewItem, Session};
use crate::job::Field;

/// What a line asks for.
#[derive(Debug, PartialEq)]
pub(super) enum Command {
    Change(Change),
    Move(Move),
    Show(Filter),
    /// Texts for a field, as far as it is typed.
    Offer(Field, String),
    /// What made no item.
    Said,
    Play,
    Card,
    List,
    Help,
    Quit,
}

/// Understands one line, for the item shown.
///
/// # Errors
/// What is wrong with it, in words.
pub(super) fn parse(line: &str, session: &Session) -> Result<Command, String> {
    let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let takes_nothing = [
        "", "c", "a", "z", "u", "y", "s", "n", "b", "l", "?", "q", "p", "said", "renumber",
        "dismiss", "always",
    ];
    if takes_nothing.contains(&word) && !rest.is_empty() {
        return Err(format!(
            "`{word}` takes nothing after it, but `{rest}` was given"
        ));
    }
    let number = || {
        let item = session.current();
        item.map(|item| item.number)
            .ok_or_else(|| "the list has no items".to_string())
    };
    let given = |example: &str| match rest {
        "" => Err(format!("give what `{word}` is for, such as {example}")),
        rest => Ok(rest.to_string()),
    };
    Ok(match word {
        "" | "c" => Command::Card,
        "s" => Command::Move(Move::Undecided),
        "n" => Command::Move(Move::Next),
        "b" => Command::Move(Move::Previous),
        "g" => Command::Move(Move::Number(read(rest, "a number after g, such as g 12")?)),
        "l" => Command::List,
        "?" => Command::Help,
        "q" => Command::Quit,
        "p" => Command::Play,
        "said" => Command::Said,
        "show" => Command::Show(filter_of(rest, session)?),
        "find" => Command::Show(Filter {
            search: rest.into(),
            ..session.filter().clone()
        }),
        "o" => {
            let (field, typed) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
            let field = Field::named(field).map_err(|error| error.to_string())?;
            Command::Offer(field, typed.trim().into())
        }
        _ => Command::Change(match word {
            "a" => Change::Accept { number: number()? },
            "stands" => {
                let (standing, note) = standing_and_note(&given("stands put right")?)?;
                Change::Stand {
                    number: number()?,
                    standing,
                    note,
                }
            }
            "dismiss" => Change::Dismiss { number: number()? },
            "r" => Change::Reject {
                number: number()?,
                reason: rest.into(),
            },
            "z" => Change::Restore { number: number()? },
            "u" => Change::Undo,
            "y" => Change::Redo,
            "always" => Change::Teach {
                number: session
                    .to_teach()
                    .ok_or("nothing was corrected that could be learnt from")?,
            },
            "e" => edit(rest, number)?,
            "above" => Change::AcceptAbove {
                confidence: read(rest, "a number after above, such as above 0.95")?,
            },
            "rest" => {
                let confidence = read(rest, "a number after rest, such as rest 0.8")?;
                let place = session.current().map(|item| item.place.clone());
                let place = place.ok_or("the list has no items")?;
                Change::AcceptPlace { place, confidence }
            }
            "new" => Change::Add {
                new: facts(rest, "new")?,
            },
            "promote" => promote(rest)?,
            "also" => Change::Copy {
                number: number()?,
                places: places_of(rest),
            },
            "split" => {
                let number = number()?;
                let at = split_at(session, number, &given("split and the loft hatch")?)?;
                Change::Split { number, at }
            }
            "merge" => Change::Merge {
                number: number()?,
                other: read(rest, "a number after merge, such as merge 12")?,
            },
            "move" => {
                let example = "give NUMBERS to PLACE after move, such as move 4-7, 9 to loft";
                let (numbers, place) = rest.split_once(" to ").ok_or(example)?;
                Change::Move {
                    numbers: numbers_of(numbers)?,
                    place: place.trim().into(),
                }
            }
            "along" => Change::Along { number: number()? },
            "number" => Change::Renumber {
                number: number()?,
                to: read(rest, "a number after number, such as number 3")?,
            },
            "renumber" => Change::RenumberAll,
            "photo" => Change::AttachPhoto {
                number: number()?,
                photo: given("photo IMG_0007.jpg")?,
            },
            "unphoto" => Change::DetachPhoto {
                number: number()?,
                photo: given("unphoto IMG_0007.jpg")?,
            },
            _ => return Err(format!("`{word}` is no command: ? shows all")),
        }),
    })
}

fn read<T: std::str::FromStr>(text: &str, what: &str) -> Result<T, String> {
    text.parse().map_err(|_| format!("give {what}"))
}

fn edit(rest: &str, number: impl Fn() -> Result<u32, String>) -> Result<Change, String> {
    let (field, text) = rest
        .split_once('=')
        .ok_or("give FIELD=TEXT after e, such as e place=bedroom two")?;
    Ok(Change::Edit {
        field: Field::named(field).map_err(|error| error.to_string())?,
        number: number()?,
        text: text.trim().into(),
    })
}

fn facts(text: &str, word: &str) -> Result<NewItem, String> {
    let parts: Vec<&str> = text.split(';').map(str::trim).collect();
    let [place, element, defect] = parts[..] else {
        return Err(format!(
            "give PLACE; ELEMENT; DEFECT after {word}, such as {word} loft; hatch; loose"
        ));
    };
    Ok(NewItem {
        place: place.into(),
        element: element.into(),
        defect: defect.into(),
    })
}

/// A statement by its number, with its facts or without.
fn promote(rest: &str) -> Result<Change, String> {
    let (number, text) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    let position: usize = read(number, "a number after promote, such as promote 3")?;
    let statement = position
        .checked_sub(1)
        .ok_or("statements are numbered from 1")?;
    let new = match text.trim() {
        "" => NewItem::default(),
        text => facts(text, &format!("promote {number}"))?,
    };
    Ok(Change::Promote { statement, new })
}
