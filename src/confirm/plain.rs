//! The line-by-line face: for pipes, scripts and screen readers. One card as lines, one command
//! a line.

use super::card::card;
use super::command::{Command, parse};
use super::help::COMMANDS;
use super::keep::{ConfirmError, Options, Outcome, keep, start};
use super::play::{Playing, play};
use super::text::safe;
use super::{Session, status_word};
use crate::job::{Field, Job};
use crate::speech::Recording;
use std::io::{BufRead, ErrorKind, Write};

/// Texts listed for a field: as many as one takes in at a glance.
const MOST_OFFERED: usize = 9;

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
        lessons: session.list().taught.len(),
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
    let mut playing: Option<Playing> = None;
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
            Ok(Command::Said) => {
                face.print_said(session)?;
                continue;
            }
            Ok(Command::Offer(field, typed)) => {
                face.print_offered(session, field, &typed)?;
                continue;
            }
            Ok(Command::Show(filter)) => session
                .show(filter)
                .map(|()| {
                    let shown = session.shown().len();
                    let words = session.filter().words();
                    let words = if words.is_empty() {
                        "all".into()
                    } else {
                        words
                    };
                    let all = session.items().len();
                    Some(format!("shown: {words}, {shown} of {all}"))
                })
                .map_err(|refusal| refusal.to_string()),
            Ok(Command::Play) => {
                drop(playing.take());
                play(face.job, session, face.options.player.as_ref()).map(|(told, sound)| {
                    playing = sound;
                    Some(told)
                })
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
                    if let Some(offer) = session.offer() {
                        face.print(&format!("always learns: {}", offer.words))?;
                    }
                }
                if session.progress().waiting() == 0 && session.progress().total > 0 {
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
        for item in session.shown() {
            let status = status_word(item.status);
            let (number, place) = (item.number, &item.place);
            self.print(&format!("{number} {status}, {place}: {}", item.description))?;
        }
        Ok(())
    }

    fn print_said(&mut self, session: &Session) -> Result<(), ConfirmError> {
        for (at, statement) in session.unplaced() {
            let time = statement.span.map(|span| format!("at {}: ", span.start));
            let (time, at) = (time.unwrap_or_default(), at + 1);
            let (quote, why) = (&statement.quote, &statement.why);
            self.print(&format!("{at} {time}“{quote}” ({why})"))?;
        }
        Ok(())
    }

    fn print_offered(
        &mut self,
        session: &Session,
        field: Field,
        typed: &str,
    ) -> Result<(), ConfirmError> {
        let Some(item) = session.current() else {
            return self.print("the list has no items");
        };
        let offered = session.complete(field, typed, item);
        for text in offered.iter().take(MOST_OFFERED) {
            self.print(&format!("  {text}"))?;
        }
        match offered.is_empty() {
            true => self.print(&format!("nothing is known for the {field}: give any text")),
            false => Ok(()),
        }
    }

    fn print_help(&mut self) -> Result<(), ConfirmError> {
        for (command, what) in COMMANDS {
            self.print(&format!("{command}: {what}"))?;
        }
        let fields = Field::ALL.map(Field::name).join(", ");
        self.print(&format!("fields: {fields}"))
    }
}
