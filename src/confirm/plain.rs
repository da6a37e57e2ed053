//! The line-by-line face: for pipes, scripts and screen readers. One card as lines, one command
//! a line.

use super::card::card;
use super::help::COMMANDS;
use super::keep::{ConfirmError, Options, Outcome, keep, start};
use super::text::safe;
use super::{Change, Move, NewItem, Session};
use crate::items::Status;
use crate::job::{Field, Job};
use crate::speech::Recording;
use std::io::{BufRead, ErrorKind, Write};

/// What a line asks for.
#[derive(Debug, PartialEq)]
enum Command {
    Change(Change),
    Move(Move),
    Card,
    List,
    Help,
    Quit,
}

/// Goes through the list by reading commands from `input`, one a line, and printing to `output`.
/// Every decision is kept in the job before it is printed. A line that cannot be understood gives
/// one message and the same item again. The end of the input quits.
///
/// # Errors
/// [`ConfirmError`] where the job cannot be read or written, or the streams fail. A closed output
/// is no error: whoever read it has seen enough.
pub fn run_plain(
    job: &mut Job,
    options: &Options,
    clock: &dyn Fn() -> String,
    input: &mut dyn BufRead,
    output: &mut dyn Write,
) -> Result<Outcome, ConfirmError> {
    let begin = start(job, options, clock)?;
    let mut session = begin.session;
    let mut refused = 0;
    let served = serve(
        &mut Face {
            job,
            options,
            clock,
            input,
            output,
            recordings: begin.recordings,
        },
        &mut session,
        &mut refused,
        &[safe(&begin.title), begin.told],
    );
    match served {
        Err(ConfirmError::Terminal { source, .. }) if source.kind() == ErrorKind::BrokenPipe => {}
        served => served?,
    }
    Ok(Outcome {
        progress: session.progress(),
        refused,
    })
}

struct Face<'a> {
    job: &'a mut Job,
    options: &'a Options,
    clock: &'a dyn Fn() -> String,
    input: &'a mut dyn BufRead,
    output: &'a mut dyn Write,
    recordings: Vec<Recording>,
}

fn serve(
    face: &mut Face,
    session: &mut Session,
    refused: &mut usize,
    opening: &[String],
) -> Result<(), ConfirmError> {
    for line in opening.iter().filter(|line| !line.is_empty()) {
        face.print(line)?;
    }
    face.print(&session.progress().to_string())?;
    face.print_card(session)?;
    let mut line = Vec::new();
    loop {
        if face.options.prompt {
            face.write("command (? for all): ")?;
        }
        line.clear();
        let read = face.input.read_until(b'\n', &mut line);
        let read = read.map_err(|source| ConfirmError::Terminal {
            doing: "read a line",
            source,
        })?;
        if read == 0 {
            break;
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim();
        if text.starts_with('#') {
            continue;
        }
        let done = match parse(text, session) {
            Ok(Command::Quit) => break,
            Ok(Command::Card) => Ok(None),
            Ok(Command::List) => {
                face.print_list(session)?;
                continue;
            }
            Ok(Command::Help) => {
                face.print_help()?;
                continue;
            }
            Ok(Command::Move(to)) => session.go(to).map(|()| None).map_err(|e| e.to_string()),
            Ok(Command::Change(change)) => {
                let at = (face.clock)();
                match keep(face.job, session, &change, &at) {
                    Ok(told) => Ok(Some(told)),
                    // Without a job that can be written there is no use in going on.
                    Err(error @ ConfirmError::Job(_)) => return Err(error),
                    Err(error) => Err(error.to_string()),
                }
            }
            Err(message) => Err(message),
        };
        match done {
            Ok(told) => {
                if let Some(told) = told {
                    face.print(&format!("{told}. {}", session.progress()))?;
                }
                if session.progress().to_go() == 0 && session.progress().total > 0 {
                    face.print("every item is decided: q quits")?;
                }
                face.print_card(session)?;
            }
            Err(message) => {
                *refused += 1;
                face.print(&format!("not done: {message}"))?;
                face.print_card(session)?;
            }
        }
    }
    face.print(&session.progress().to_string())
}

impl Face<'_> {
    fn write(&mut self, text: &str) -> Result<(), ConfirmError> {
        let written = self
            .output
            .write_all(text.as_bytes())
            .and_then(|()| self.output.flush());
        written.map_err(|source| ConfirmError::Terminal {
            doing: "print a line",
            source,
        })
    }

    fn print(&mut self, line: &str) -> Result<(), ConfirmError> {
        self.write(&format!("{}\n", safe(line)))
    }

    fn print_card(&mut self, session: &Session) -> Result<(), ConfirmError> {
        let Some(item) = session.current() else {
            return self.print("the list has no items");
        };
        let card = card(session, item, &self.recordings);
        let mut text = format!("\n{}, {}, {}\n", card.title, card.status, card.sureness);
        for row in card.rows.iter().filter(|row| !row.text.is_empty()) {
            let mark = if row.alarm { "! " } else { "" };
            text.push_str(&format!("  {mark}{}: {}\n", row.label, row.text));
        }
        self.write(&text)
    }

    fn print_list(&mut self, session: &Session) -> Result<(), ConfirmError> {
        for item in session.items() {
            let status = match item.status {
                Status::Proposed => "undecided",
                Status::Confirmed => "confirmed",
                Status::Rejected => "rejected",
            };
            let (number, place) = (item.number, &item.place);
            self.print(&format!("{number} {status}, {place}: {}", item.description))?;
        }
        Ok(())
    }

    fn print_help(&mut self) -> Result<(), ConfirmError> {
        for (command, what) in COMMANDS {
            self.print(&format!("{command}: {what}"))?;
        }
        let fields = Field::ALL.map(Field::name).join(", ");
        self.print(&format!("fields: {fields}"))
    }
}

/// Understands one line, for the item shown.
fn parse(line: &str, session: &Session) -> Result<Command, String> {
    let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let number = || {
        session
            .current()
            .map(|item| item.number)
            .ok_or_else(|| "the list has no items".to_string())
    };
    let command = match word {
        "" | "c" => Command::Card,
        "a" => Command::Change(Change::Accept { number: number()? }),
        "r" => Command::Change(Change::Reject {
            number: number()?,
            reason: rest.into(),
        }),
        "z" => Command::Change(Change::Restore { number: number()? }),
        "u" => Command::Change(Change::Undo),
        "y" => Command::Change(Change::Redo),
        "s" => Command::Move(Move::Undecided),
        "n" => Command::Move(Move::Next),
        "b" => Command::Move(Move::Previous),
        "l" => Command::List,
        "?" => Command::Help,
        "q" => Command::Quit,
        "e" => {
            let (field, text) = rest
                .split_once('=')
                .ok_or("give FIELD=TEXT after e, such as e place=bedroom two")?;
            let field = Field::named(field).map_err(|error| error.to_string())?;
            let (number, text) = (number()?, text.trim().into());
            return Ok(Command::Change(Change::Edit {
                number,
                field,
                text,
            }));
        }
        "g" => {
            let number = rest.parse();
            Command::Move(Move::Number(
                number.map_err(|_| "give a number after g, such as g 12")?,
            ))
        }
        "above" => {
            let confidence = rest.parse();
            let confidence =
                confidence.map_err(|_| "give a number after above, such as above 0.95")?;
            Command::Change(Change::AcceptAbove { confidence })
        }
        "new" => {
            let parts: Vec<&str> = rest.split(';').map(str::trim).collect();
            let [place, element, defect] = parts[..] else {
                return Err(
                    "give PLACE; ELEMENT; DEFECT after new, such as new loft; hatch; loose".into(),
                );
            };
            let (place, element) = (place.into(), element.into());
            return Ok(Command::Change(Change::Add(NewItem {
                place,
                element,
                defect: defect.into(),
            })));
        }
        _ => return Err(format!("`{word}` is no command: ? shows all")),
    };
    let takes_more = matches!(word, "r" | "g" | "above");
    if !rest.is_empty() && !takes_more {
        return Err(format!(
            "`{word}` takes nothing after it, but `{rest}` was given"
        ));
    }
    Ok(command)
}
