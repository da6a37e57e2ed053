//! `callover learn`: what decisions teach becomes vocabulary, where the guard and the user agree.
//!
//! # Steps
//! 1. The jobs are read: what was heard, and what was confirmed; a page read aloud becomes one
//!    (`aloud`).
//! 2. Lessons are drawn from them, or taken from a colleague's overlay, and each is tried on all jobs.
//! 3. So are the active lessons that newer jobs speak against, to be taken out.
//! 4. With `--voice` the recogniser is fitted to how these jobs and the page sound instead (`ear`).
//! 5. Lessons are listed with evidence and effect; those chosen go into the user's overlay or out of it, and
//!    every act into the history.

mod aloud;
mod ear;
mod store;
mod tell;

use super::arguments::Learn;
use super::error::CliError;
use super::shared;
use crate::items::Item;
use crate::job::{FIRST_VISIT, Job};
use crate::learn::{
    Harm, INSISTED, Judged, Lesson, Lived, Study, Verdict, contradict, entries, harmful, judge,
    lessons, overlay,
};
use crate::lexicon::Lexicon;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

pub(super) use tell::history;

use store::Store;

/// Runs the subcommand.
///
/// # Errors
/// Jobs or overlays that cannot be read, numbers of lessons that are not listed, and lessons that break
/// something unless the user insists.
pub(crate) fn run(arguments: &Learn) -> Result<(), CliError> {
    let mut store = Store::open()?;
    if let Some(lesson) = &arguments.undo {
        return undo(&mut store, lesson);
    }
    let mut folders = arguments.jobs.clone();
    match &arguments.read_aloud {
        Some(None) => {
            aloud::print_page();
            return Ok(());
        }
        Some(Some(file)) => folders.push(aloud::take_in(file)?),
        None => {}
    }
    if arguments.voice {
        return ear::run(&folders, &mut store, arguments.insist);
    }
    let jobs = lived(&folders)?;
    let offers = offers(&store, &jobs, arguments)?;
    let accept = chosen(arguments, &offers)?;
    let refuse = numbers(&arguments.refuse, offers.len())?;
    if accept.is_empty() && refuse.is_empty() {
        shared::print(&tell::list(&offers, &store));
        tell::next(&offers, &folders);
        // Words that somebody typed are certain.
        let heard = |job: &Lived| {
            job.transcript
                .words
                .iter()
                .any(|word| word.probability < 1.0)
        };
        if jobs.iter().any(heard) && !store.voice.exists() {
            tell::next_voice(&folders);
        }
        return Ok(());
    }
    let (mut kept, mut withdrawn) = (Vec::new(), Vec::new());
    for at in accept {
        match &offers[at] {
            Offer::Lesson(judged) => kept.push(judged),
            Offer::Withdrawal(harm) => withdrawn.push(harm),
        }
    }
    let today = shared::today();
    store.accept(&kept, &today, arguments.insist)?;
    store.withdraw(&withdrawn, &today)?;
    let refused: Vec<String> = refuse.iter().map(|&at| offers[at].in_words()).collect();
    store.refuse(&refused, &today)?;
    let taken_out = match withdrawn.len() {
        0 => String::new(),
        n => format!(", {n} withdrawn"),
    };
    shared::say(format_args!(
        "{} accepted{taken_out}, {} refused; kept in {}",
        tell::count(kept.len(), "lesson"),
        refused.len(),
        store.overlay.display()
    ));
    Ok(())
}

/// What may be accepted.
enum Offer {
    /// A lesson that is not known yet.
    Lesson(Judged),
    /// Taking out one that is.
    Withdrawal(Harm),
}

impl Offer {
    /// Returns it in one line of plain words, which also serves as its name.
    fn in_words(&self) -> String {
        match self {
            Offer::Lesson(judged) => judged.lesson.teaching.in_words(),
            Offer::Withdrawal(harm) => format!("no longer: {}", harm.teaching.in_words()),
        }
    }

    fn passes(&self) -> bool {
        match self {
            Offer::Lesson(judged) => judged.verdict == Verdict::Passes,
            Offer::Withdrawal(_) => true,
        }
    }
}

fn undo(store: &mut Store, lesson: &str) -> Result<(), CliError> {
    shared::say(store.undo(lesson, &shared::today())?);
    Ok(())
}

/// Returns the jobs as learning sees them: the first visit's words, and the list as it stands; of a
/// reading of the page, what the page says.
///
/// # Errors
/// As opening and reading the jobs has it, and where a reading is none.
pub(super) fn lived(folders: &[PathBuf]) -> Result<Vec<Lived>, CliError> {
    let mut jobs = Vec::new();
    for folder in folders {
        let job = Job::open_current(folder)?;
        let name = folder.file_stem().unwrap_or_default().to_string_lossy();
        let (transcript, places) = job.transcript_of(FIRST_VISIT)?;
        if aloud::is_reading(&job)? {
            jobs.push(aloud::reading(folder, &name, transcript)?);
            continue;
        }
        let of_first = |item: &Item| {
            let recording = item.evidence.recording;
            transcript.recordings.iter().any(|one| one.id == recording)
        };
        let list = job.list()?;
        let asked = list.taught.into_iter();
        let asked = asked.flat_map(|(entry, item)| {
            let all = entries(&entry).1.into_iter();
            all.filter_map(move |one| Some((one.teaching?, item.clone())))
        });
        let mut items = list.items;
        items.retain(of_first);
        for item in &mut items {
            let place = |word: usize| places.partition_point(|&kept| kept < word);
            let words = &mut item.evidence.words;
            *words = words.map(|(from, to)| (place(from), place(to)));
        }
        let lived = Lived::new(&name, transcript, &items);
        jobs.push(Lived {
            asked: asked.collect(),
            ..lived
        });
    }
    Ok(jobs)
}

/// Returns the lessons of the jobs, or of a colleague's overlay, tried on the jobs; without those that
/// the user has, has refused, or that contradict what is known. After them come those that the jobs
/// speak against.
fn offers(store: &Store, jobs: &[Lived], arguments: &Learn) -> Result<Vec<Offer>, CliError> {
    let overlays = shared::read_texts(&shared::user_lexicon())?;
    let lexicon = shared::lexicon(&[])?;
    let study = Study::new(&lexicon, jobs);
    let found = match &arguments.from {
        Some(file) => of_overlay(store, file)?,
        None => lessons(&study),
    };
    let refused = store.refused()?;
    let own = store.lessons();
    let wanted = found.into_iter().filter(|lesson| {
        let teaching = &lesson.teaching;
        !refused.contains(&teaching.in_words()) && !own.contains(teaching)
    });
    let mut wanted: Vec<Lesson> = wanted.collect();
    for edit in &arguments.edit {
        change(edit, &overlays, &mut wanted)?;
    }
    let judged = judge(&study, &overlays, wanted).map_err(|problems| {
        let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
        CliError::input(format_args!(
            "the lessons cannot be used together:\n  {}",
            lines.join("\n  ")
        ))
    })?;
    let against = match arguments.from {
        Some(_) => Vec::new(),
        None => harmful(&study, &overlays, &store.overlay),
    };
    let mut offers: Vec<Offer> = judged.into_iter().map(Offer::Lesson).collect();
    let against = against.into_iter().map(Offer::Withdrawal);
    offers.extend(against.filter(|offer| !refused.contains(&offer.in_words())));
    Ok(offers)
}

/// Changes one of the lessons as it is asked for: its number, and a key with its text.
fn change(
    edit: &str,
    overlays: &[(PathBuf, String)],
    lessons: &mut [Lesson],
) -> Result<(), CliError> {
    let parts = edit.trim().split_once(' ').and_then(|(number, rest)| {
        let (key, value) = rest.split_once('=')?;
        Some((number.parse().ok()?, key.trim(), value.trim()))
    });
    let (number, key, value) = parts.ok_or_else(|| {
        CliError::input(format_args!("--edit {edit:?}: cannot be understood"))
            .hint("give number, key and text, such as --edit \"3 near=door, any defect\"")
    })?;
    let at = numbers(&[number], lessons.len())?[0];
    let of_lesson = |message: &str| CliError::input(format_args!("lesson {number}: {message}"));
    let lesson = &mut lessons[at];
    lesson.teaching =
        overlay::edited(&lesson.teaching, key, value).map_err(|message| of_lesson(&message))?;
    let entry = overlay::wanted(&lesson.teaching);
    let mut files = overlays.to_vec();
    files.push((PathBuf::from("as edited"), entry));
    Lexicon::load(&files).map_err(|problems| {
        let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
        of_lesson(&problems.join("\n"))
    })?;
    Ok(())
}

/// Returns the lessons of an overlay that the user does not have, saying which contradict the user's
/// own: these are left out.
fn of_overlay(store: &Store, file: &Path) -> Result<Vec<Lesson>, CliError> {
    let own = store.lessons();
    let texts = shared::read_texts(&[file.to_path_buf()])?;
    let mut found = Vec::new();
    for entry in texts.iter().flat_map(|(_, text)| entries(text).1) {
        let Some(teaching) = entry.teaching else {
            let first = entry.lines.lines().nth(1).unwrap_or_default();
            shared::say(format_args!("left out, since it is no lesson: {first}"));
            continue;
        };
        if own.contains(&teaching) {
            continue;
        }
        match own.iter().find(|mine| contradict(mine, &teaching)) {
            Some(mine) => shared::say(format_args!(
                "conflict, yours stays: {}\n  theirs: {}",
                mine.in_words(),
                teaching.in_words()
            )),
            None => found.push(Lesson::of(teaching)),
        }
    }
    Ok(found)
}

/// Returns the positions of the lessons to accept.
fn chosen(arguments: &Learn, offers: &[Offer]) -> Result<Vec<usize>, CliError> {
    if arguments.all {
        let passes = |at: &usize| offers[*at].passes();
        return Ok((0..offers.len()).filter(passes).collect());
    }
    let chosen = numbers(&arguments.accept, offers.len())?;
    let held: Vec<String> = chosen
        .iter()
        .filter(|&&at| !offers[at].passes())
        .map(|&at| format!("lesson {}: {}", at + 1, tell::of(&offers[at])))
        .collect();
    match held.is_empty() || arguments.insist {
        true => Ok(chosen),
        false => Err(CliError::input(held.join("\n"))
            .hint("--insist accepts it all the same; it is marked so in your overlay")),
    }
}

fn numbers(given: &[usize], count: usize) -> Result<Vec<usize>, CliError> {
    let all: BTreeSet<usize> = given.iter().copied().collect();
    match all.iter().find(|&&n| n == 0 || n > count) {
        Some(wrong) => Err(CliError::input(format_args!(
            "there is no lesson {wrong}: {} listed",
            tell::count(count, "lesson")
        ))),
        None => Ok(all.into_iter().map(|n| n - 1).collect()),
    }
}

/// Returns why a lesson is accepted, as the overlay has it.
fn reason(judged: &Judged, insisted: bool) -> String {
    match (judged.verdict == Verdict::Passes, insisted) {
        (false, true) => format!("{INSISTED}, although: {}", tell::verdict(judged)),
        _ => tell::verdict(judged),
    }
}
