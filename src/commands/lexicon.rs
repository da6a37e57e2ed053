//! `callover lexicon`: look into the vocabulary and check it.

use super::arguments::{LexiconArguments, LexiconCommand};
use super::error::CliError;
use super::shared;
use crate::lexicon::{Gravity, How, Kind, Lexicon, SOUND_LIMIT};
use crate::limits::Limits;

/// Runs the subcommand.
///
/// # Errors
/// For `check`, where the vocabulary cannot be used, after printing every problem; advice alone is
/// no error. For `show`, where there is no such entry.
pub(crate) fn run(arguments: &LexiconArguments) -> Result<(), CliError> {
    match &arguments.command {
        LexiconCommand::Check { files } => check(files),
        LexiconCommand::Find { words } => find(&words.join(" ")),
        LexiconCommand::History { words } => history(&words.join(" ")),
        LexiconCommand::Show { name } => show(&name.join(" ")),
    }
}

/// Where files are given, advice is printed on the user's own files only: on the built-in ones there
/// is nothing that the user could change. Errors are printed wherever they are.
fn check(files: &[std::path::PathBuf]) -> Result<(), CliError> {
    let mut own = shared::user_lexicon();
    own.extend_from_slice(files);
    let mut problems = Lexicon::check(&shared::read_texts(&own)?);
    problems.extend(Limits::check_builtin());
    problems.retain(|problem| {
        problem.gravity == Gravity::Error || files.is_empty() || own.contains(&problem.file)
    });
    let text: String = problems
        .iter()
        .map(|problem| match problem.gravity {
            Gravity::Error => format!("error: {problem}\n"),
            Gravity::Advice => format!("advice: {problem}\n"),
        })
        .collect();
    shared::print(&text);
    let errors = problems
        .iter()
        .filter(|p| p.gravity == Gravity::Error)
        .count();
    let found = tally(errors, problems.len() - errors);
    if errors > 0 {
        return Err(CliError::input(format_args!(
            "the vocabulary cannot be used: {found}"
        )));
    }
    shared::say(found);
    Ok(())
}

/// Returns how many errors and pieces of advice there are, in words.
fn tally(errors: usize, advice: usize) -> String {
    let errors = match errors {
        0 if advice == 0 => return "no problems".to_owned(),
        0 => "no errors".to_owned(),
        1 => "1 error".to_owned(),
        _ => format!("{errors} errors"),
    };
    match advice {
        0 => errors,
        1 => format!("{errors}, 1 piece of advice"),
        _ => format!("{errors}, {advice} pieces of advice"),
    }
}

fn kind_name(kind: Kind) -> &'static str {
    match kind {
        Kind::Place => "place",
        Kind::Element => "element",
        Kind::Defect => "defect",
        Kind::Remedy => "remedy",
        Kind::Trade => "trade",
        Kind::Phrase => "phrase",
    }
}

fn find(sentence: &str) -> Result<(), CliError> {
    let lexicon = shared::lexicon(&[])?;
    let tokens = lexicon.tokens_of(sentence);
    let kinds = [
        Kind::Place,
        Kind::Element,
        Kind::Defect,
        Kind::Remedy,
        Kind::Trade,
    ];
    let mut hits = lexicon.spot(&tokens);
    hits.extend(
        lexicon
            .sounds_like(&tokens, 0..tokens.len(), &kinds, SOUND_LIMIT)
            .into_iter()
            .filter(|h| !matches!(h.how, How::Exact)),
    );
    let text: String = hits
        .iter()
        .map(|h| {
            let heard: Vec<&str> = tokens[h.tokens.clone()]
                .iter()
                .map(|t| t.norm.as_str())
                .collect();
            let how = match h.how {
                How::Exact => "exact".to_owned(),
                How::HeardAs => "known mishearing".to_owned(),
                How::SoundsLike { distance } => format!("sounds like, distance {distance:.2}"),
            };
            format!(
                "{:8} {} <- \"{}\" ({how})\n",
                kind_name(h.kind),
                lexicon.name(h.term),
                heard.join(" ")
            )
        })
        .collect();
    shared::print(&text);
    if hits.is_empty() {
        shared::say("no term found");
    }
    Ok(())
}

fn history(words: &str) -> Result<(), CliError> {
    let told = super::learn::history(words)?;
    shared::print(&told);
    if told.is_empty() {
        shared::say("nothing was learnt, refused or undone with these words");
    }
    Ok(())
}

fn show(name: &str) -> Result<(), CliError> {
    let lexicon = shared::lexicon(&[])?;
    let tokens = lexicon.tokens_of(name);
    let whole: Vec<_> = lexicon
        .spot(&tokens)
        .into_iter()
        .filter(|h| h.tokens == (0..tokens.len()))
        .collect();
    if whole.is_empty() {
        return Err(
            CliError::input(format_args!("no entry has the wording \"{name}\""))
                .hint("`callover lexicon find WORDS` shows what is found in a sentence"),
        );
    }
    let text: String = whole
        .iter()
        .map(|h| entry(&lexicon, h.kind, h.term))
        .collect();
    shared::print(&text);
    Ok(())
}

fn entry(lexicon: &Lexicon, kind: Kind, id: crate::lexicon::TermId) -> String {
    let name = lexicon.name(id);
    let list = |label: &str, values: &[String]| {
        if values.is_empty() {
            String::new()
        } else {
            format!("  {label}: {}\n", values.join(", "))
        }
    };
    let body = match kind {
        Kind::Place => {
            let p = lexicon.place(id);
            format!("{}  kind: {}\n", list("also", &p.also), p.kind.word())
        }
        Kind::Element => {
            let e = lexicon.element(id);
            let parts: Vec<String> = e
                .part_of
                .iter()
                .map(|&t| lexicon.name(t).to_owned())
                .collect();
            format!(
                "{}{}  group: {}\n  trade: {}\n{}",
                list("also", &e.also),
                list("part of", &parts),
                lexicon.group(e.group).name,
                lexicon.name(e.trade),
                e.gloss
                    .as_ref()
                    .map_or(String::new(), |g| format!("  meaning: {g}\n"))
            )
        }
        Kind::Defect => {
            let d = lexicon.defect(id);
            let befalls: Vec<String> = d
                .befalls
                .iter()
                .map(|&g| lexicon.group(g).name.clone())
                .collect();
            format!(
                "{}{}{}{}{}{}{}{}",
                list("also", &d.also),
                list("verb", &d.verb),
                list("not", &d.not),
                list("fails", &d.fails),
                list("signs", &d.signs),
                list("lacks", &d.lacks),
                list("befalls", &befalls),
                d.remedy.map_or(String::new(), |r| format!(
                    "  usual remedy: {}\n",
                    lexicon.name(r)
                ))
            )
        }
        Kind::Remedy => {
            let r = lexicon.remedy(id);
            format!("{}{}", list("also", &r.also), list("verb", &r.verb))
        }
        Kind::Trade => list("also", &lexicon.trade(id).also),
        Kind::Phrase => list("wordings", &lexicon.phrase(id).wordings),
    };
    format!("{} \"{name}\"\n{body}", kind_name(kind))
}
