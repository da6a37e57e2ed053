//! What the list is held against: the limits chosen, and the places to be visited. Each is
//! remembered in the job's details.

use crate::commands::arguments::Take;
use crate::commands::error::CliError;
use crate::commands::shared::{self, DETAIL_LIMITS, DETAIL_OWN_LIMITS};
use crate::coverage::{self, Usual};
use crate::items::Understood;
use crate::job::Job;
use crate::lexicon::{Kind, Lexicon};
use crate::limits::{Chosen, Limits};
use std::path::PathBuf;

/// Key of the job's detail with the places to be visited, one a line.
const DETAIL_PLACES: &str = "places";
/// Name under which messages show the places as vocabulary.
const PLACES_AS_VOCABULARY: &str = "the places to be visited";

/// What was given on the command line, checked before any slow work.
pub(super) struct Expected {
    limits: Option<Chosen>,
    own_limits: Option<String>,
    places: Option<String>,
}

/// Reads and checks what was given.
///
/// # Errors
/// Unknown countries, unreadable files, and every problem of the limits file.
pub(super) fn read(arguments: &Take) -> Result<Expected, CliError> {
    let limits = arguments.limits.as_deref().map(Chosen::parse).transpose();
    let limits = limits.map_err(|error| CliError::input(format_args!("--limits: {error}")))?;
    let text = |file: &Option<PathBuf>| -> Result<Option<(PathBuf, String)>, CliError> {
        let files: Vec<PathBuf> = file.iter().cloned().collect();
        Ok(shared::read_texts(&files)?.pop())
    };
    let own_limits = text(&arguments.limits_file)?;
    if let Some(own) = &own_limits {
        shared::limits(Limits::load(std::slice::from_ref(own)))?;
    }
    Ok(Expected {
        limits,
        own_limits: own_limits.map(|(_, text)| text),
        places: text(&arguments.places)?.map(|(_, text)| text),
    })
}

impl Expected {
    /// Keeps what was given in the job.
    ///
    /// # Errors
    /// As writing the job has it.
    pub(super) fn keep(&self, job: &mut Job) -> Result<(), CliError> {
        if let Some(limits) = &self.limits {
            job.set_detail(DETAIL_LIMITS, &limits.to_string())?;
        }
        if let Some(own) = &self.own_limits {
            job.set_detail(DETAIL_OWN_LIMITS, own)?;
        }
        if let Some(places) = &self.places {
            job.set_detail(DETAIL_PLACES, places)?;
        }
        Ok(())
    }
}

/// Returns the places to be visited; `None` where the job has no plan.
///
/// # Errors
/// As reading the job has it.
pub(super) fn plan(job: &Job) -> Result<Option<Vec<String>>, CliError> {
    let text = job.detail(DETAIL_PLACES)?;
    let names = |text: String| -> Vec<String> {
        let lines = text.lines().map(str::trim);
        lines
            .filter(|l| !l.is_empty() && !l.starts_with('#'))
            .map(str::to_owned)
            .collect()
    };
    Ok(text.map(names).filter(|names| !names.is_empty()))
}

/// Returns a vocabulary file with the planned places that the vocabulary does not know; `None` where
/// it knows them all.
pub(super) fn as_vocabulary(lexicon: &Lexicon, plan: &[String]) -> Option<(PathBuf, String)> {
    let mut text = String::new();
    for name in plan {
        let tokens = lexicon.tokens_of(name);
        let known = lexicon
            .spot(&tokens)
            .iter()
            .any(|hit| hit.kind == Kind::Place && hit.tokens == (0..tokens.len()));
        let wording: Vec<&str> = tokens.iter().map(|t| t.norm.as_str()).collect();
        if !known
            && !wording.is_empty()
            && wording.iter().all(|w| w.chars().all(char::is_alphanumeric))
        {
            text += &format!(
                "[[place]]\nname = \"{}\"\nkind = \"room\"\n",
                wording.join(" ")
            );
        }
    }
    (!text.is_empty()).then(|| (PLACES_AS_VOCABULARY.into(), text))
}

/// Returns the report of what was not reached; empty where all was.
///
/// # Errors
/// As reading the job has it.
pub(super) fn report(job: &Job, understood: &Understood) -> Result<String, CliError> {
    let plan = plan(job)?;
    let coverage = coverage::coverage(
        understood,
        &job.transcript()?,
        plan.as_deref(),
        &Usual::builtin(),
    );
    Ok(coverage::text(&coverage))
}
