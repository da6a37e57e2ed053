//! Single sentences of which it is known whether they tell a fault, of which thing, and in which words.

use crate::agreement::{agrees, words};
use callover::items::{Item, propose};
use callover::lexicon::{Lexicon, Token};
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};
use std::error::Error;
use std::fmt;
use std::path::Path;

/// A sentence.
pub(crate) struct Known {
    /// What is said.
    pub(crate) said: String,
    /// The thing and the fault, in words of the sentence; `None` where no fault is told.
    pub(crate) told: Option<(String, String)>,
}

impl Known {
    /// Returns the sentences of a file, one a line: what is said, the thing and the fault, between tabs; `-`
    /// for both where no fault is told.
    pub(crate) fn of_file(file: &Path) -> Result<Vec<Known>, Box<dyn Error>> {
        let text = std::fs::read_to_string(file)?;
        let lines = text
            .lines()
            .zip(1..)
            .filter(|(line, _)| !line.starts_with('#'));
        lines
            .map(
                |(line, number)| match line.split('\t').collect::<Vec<_>>()[..] {
                    [said, thing, fault] => Ok(Known {
                        said: said.to_owned(),
                        told: (thing != "-").then(|| (thing.to_owned(), fault.to_owned())),
                    }),
                    _ => Err(format!("{}:{number}: not three columns", file.display()).into()),
                },
            )
            .collect()
    }

    /// Tells whether a sentence of these tokens, of several or alone, tells the fault: most of the fault's
    /// words are in it.
    pub(crate) fn tells(&self, said: &[Token], alone: bool) -> bool {
        self.told.as_ref().is_some_and(|(_, fault)| {
            let fault = words(fault);
            let said = said.iter().map(|token| words(&token.norm));
            let shared = said
                .filter(|word| !word.is_empty() && word.is_subset(&fault))
                .count();
            alone || shared * 2 >= fault.len()
        })
    }

    /// Returns the sentence said in some room.
    pub(crate) fn transcript(&self) -> Result<Transcript, Box<dyn Error>> {
        let sha256 = "0".repeat(64);
        let source = Source {
            file: "sentence.txt",
            sha256: &sha256,
            recording: 1,
        };
        let text = format!("Hallway.\n{}\n", self.said);
        Ok(read(
            source,
            Format::from_file_name("sentence.txt")?,
            text.as_bytes(),
        )?)
    }
}

/// How many sentences make the item that they should.
#[derive(Default)]
pub(crate) struct Made {
    telling: usize,
    made: usize,
    thing: usize,
    fault: usize,
    both: usize,
    silent: usize,
    made_of_silent: usize,
}

impl Made {
    /// Counts a sentence; returns what is not as it should be.
    pub(crate) fn add(
        &mut self,
        lexicon: &Lexicon,
        known: &Known,
    ) -> Result<Option<String>, Box<dyn Error>> {
        let items = propose(lexicon, &known.transcript()?).items;
        let shown = || {
            let shown: Vec<String> = items
                .iter()
                .map(|item| format!("{} | {}", item.element, item.defect))
                .collect();
            format!("{}   <- {}", known.said, shown.join("; "))
        };
        let Some((thing, fault)) = &known.told else {
            self.silent += 1;
            self.made_of_silent += usize::from(!items.is_empty());
            return Ok((!items.is_empty()).then(|| format!("none  {}", shown())));
        };
        self.telling += 1;
        self.made += usize::from(!items.is_empty());
        let grade = |item: &Item| {
            let mut context = words(&item.description);
            context.extend(words(item.position.as_deref().unwrap_or_default()));
            context.extend(words(&item.element).into_iter().chain(words(&item.defect)));
            let thing = agrees(std::slice::from_ref(thing), &item.element, &context);
            let fault = agrees(std::slice::from_ref(fault), &item.defect, &context);
            (thing, fault)
        };
        let best = items
            .iter()
            .map(grade)
            .max_by_key(|(a, b)| usize::from(*a) + usize::from(*b));
        let (has_thing, has_fault) = best.unwrap_or_default();
        self.thing += usize::from(has_thing);
        self.fault += usize::from(has_fault);
        self.both += usize::from(has_thing && has_fault);
        let kind = match (items.is_empty(), has_thing, has_fault) {
            (true, ..) => "miss ",
            (_, true, true) => return Ok(None),
            (_, true, false) => "fault",
            (_, false, true) => "thing",
            _ => "both ",
        };
        Ok(Some(format!("{kind} [{thing} | {fault}] {}", shown())))
    }
}

impl fmt::Display for Made {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Made {
            telling,
            made,
            thing,
            fault,
            both,
            silent,
            made_of_silent,
        } = self;
        write!(
            f,
            "of {telling} that tell a fault: item {made}, thing {thing}, fault {fault}, both {both}; of {silent} others: item {made_of_silent}"
        )
    }
}
