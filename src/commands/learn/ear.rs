//! `learn --voice`: the recogniser is fitted to the voice of jobs and of the page read aloud.
//!
//! # Guard
//! Some of the speech is left out of the learning, and its words must become likelier. Of several
//! walk-rounds the last is left out; it is heard anew, and no fewer of its confirmed items may come of
//! that.

use super::super::error::{CliError, Exit, with_causes};
use super::super::interrupt::Interrupt;
use super::super::shared;
use super::super::take::{Intake, Steps};
use super::aloud;
use super::store::Store;
use crate::audio::{WindowSettings, all_windows};
use crate::items::{Item, Status, propose};
use crate::job::{FIRST_VISIT, Job, RECORDINGS_FOLDER};
use crate::learn::{heard_in, read_in};
use crate::speech::{LEAST_WINDOWS, Model, Spoken, Word, fit};
use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// The loss of a token must fall by this much: less may be chance.
const LEAST_FALL: f32 = 0.01;

/// What the act is called in the history.
pub(super) const LESSON: &str = "the sound of your voice";

/// A job's recordings, with what was said in them.
struct Sound {
    folder: PathBuf,
    spoken: Vec<Spoken>,
    is_page: bool,
}

/// Fits the recogniser to the voice of these jobs, and keeps what was learnt where the guard lets it pass or
/// the user insists.
///
/// # Errors
/// Jobs or recordings that cannot be read, too little speech, and what does not pass; with
/// [`Exit::Interrupted`] where the user stopped it.
pub(super) fn run(folders: &[PathBuf], store: &mut Store, insist: bool) -> Result<(), CliError> {
    let mut sounds = Vec::new();
    for folder in folders {
        sounds.push(sound_of(folder)?);
    }
    let last_walk = sounds.iter().rposition(|sound| !sound.is_page);
    let left_out = last_walk.filter(|_| sounds.len() > 1);
    let judge = left_out.map(|at| sounds.remove(at).folder);
    let spoken: Vec<Spoken> = sounds.into_iter().flat_map(|sound| sound.spoken).collect();
    if spoken.len() < LEAST_WINDOWS {
        return Err(CliError::input(format_args!(
            "there are {} stretches of speech to learn the voice from, and {LEAST_WINDOWS} of some 25 seconds are needed",
            spoken.len()
        ))
        .hint("give more jobs, or read the page aloud: callover learn --read-aloud prints it"));
    }

    let interrupt = Interrupt::listen()?;
    let mut steps = Steps::new("learning the voice");
    let [model, other] = Model::built_in()?;
    let fitted = fit(&model, &[other], &spoken, |done, of| {
        steps.show(done, of);
        match interrupt.is_set() {
            true => ControlFlow::Break(()),
            false => ControlFlow::Continue(()),
        }
    });
    steps.close();
    let Some(fitted) = fitted? else {
        return Err(
            CliError::input("interrupted; nothing was learnt of the voice")
                .exit(Exit::Interrupted)
                .hint("run the same command again to begin anew"),
        );
    };
    let [before, after] = fitted.loss;
    let mut why = format!(
        "from {} stretches of speech; in {} others each piece of a word was {} likely, and is {} now",
        fitted.learnt,
        fitted.judged,
        percent(before),
        percent(after)
    );
    let mut passes = after + LEAST_FALL <= before;
    if let Some(folder) = &judge {
        let (confirmed, [before, after]) = heard_anew(folder, model.fitted_to(&fitted.changes)?)?;
        let name = folder.file_stem().unwrap_or_default().to_string_lossy();
        why += &format!(
            "; {after} of the {confirmed} items of {name} come of it heard anew, {before} before"
        );
        passes &= after >= before;
    }
    shared::print(&format!("{LESSON}\n     {why}\n"));
    if !passes && !insist {
        return Err(
            CliError::input("this does not pass, so the recogniser stays as it was")
                .hint("read the page aloud, or give more jobs; --insist takes it all the same"),
        );
    }
    store.learn_voice(&fitted.changes, &shared::today(), why)?;
    shared::say(format_args!(
        "new recordings are heard with it; kept in {}; callover learn --undo voice takes it out",
        store.voice.display()
    ));
    Ok(())
}

/// Returns the probability that goes with a loss, in hundredths.
fn percent(loss: f32) -> String {
    format!("{:.0} %", (-loss).exp() * 100.0)
}

/// Returns the speech of a job's first visit, in windows, with what was said in each; says which recordings
/// give none.
///
/// # Errors
/// As reading the job has it.
fn sound_of(folder: &Path) -> Result<Sound, CliError> {
    let job = Job::open_to_read(folder)?;
    let is_page = aloud::is_reading(&job)?;
    let (transcript, _) = job.transcript_of(FIRST_VISIT)?;
    let page_lexicon = match is_page {
        true => Some(aloud::lexicon()?),
        false => None,
    };
    let mut spoken = Vec::new();
    for recording in &transcript.recordings {
        let of_it = |word: &&Word| word.recording == recording.id;
        let words: Vec<Word> = transcript.words.iter().filter(of_it).cloned().collect();
        if words.iter().all(|word| word.span.is_none()) {
            continue;
        }
        let path = recording_of(&job, &recording.file);
        // Words can come from a file of words, too.
        let windows = match all_windows(&path, WindowSettings::default()) {
            Ok(windows) => windows,
            Err(error) => {
                let folder = folder.display();
                shared::say(format_args!("{folder}: left out: {}", with_causes(&error)));
                continue;
            }
        };
        spoken.extend(match page_lexicon {
            Some(lexicon) => read_in(lexicon, &words, windows),
            None => heard_in(&words, windows),
        });
    }
    if spoken.is_empty() {
        shared::say(format_args!(
            "{}: has no recording to learn a voice from",
            folder.display()
        ));
    }
    Ok(Sound {
        folder: folder.to_path_buf(),
        spoken,
        is_page,
    })
}

fn recording_of(job: &Job, file: &str) -> PathBuf {
    job.dir().join(RECORDINGS_FOLDER).join(file)
}

/// Hears a job's recordings anew with another model; returns the number of confirmed items, and how many of
/// them come of the words as they were heard before, and as they are now.
///
/// # Errors
/// As reading the job and hearing its recordings have it.
fn heard_anew(folder: &Path, model: Model) -> Result<(usize, [usize; 2]), CliError> {
    let job = Job::open_to_read(folder)?;
    let (transcript, _) = job.transcript_of(FIRST_VISIT)?;
    let files = transcript.recordings.iter();
    let files: Vec<PathBuf> = files.map(|one| recording_of(&job, &one.file)).collect();
    let lexicon = shared::lexicon(&[])?;
    let scratch = tempfile::tempdir()?;
    let mut anew = Job::open_or_create(&scratch.path().join("anew.job"))?;
    Intake::with(&files, Some(model))?
        .into_job(&mut anew, FIRST_VISIT, &lexicon)?
        .result()?;
    let (now, _) = anew.transcript_of(FIRST_VISIT)?;
    let mut confirmed = job.list()?.items;
    confirmed.retain(|item| item.status == Status::Confirmed);
    let again = |transcript| again(&confirmed, &propose(&lexicon, transcript).items);
    Ok((confirmed.len(), [again(&transcript), again(&now)]))
}

/// Returns how many of the confirmed items are among those proposed: in the same place, of the same element
/// and with the same fault.
fn again(confirmed: &[Item], proposed: &[Item]) -> usize {
    let key = |item: &Item| {
        (
            item.place.clone(),
            item.element.clone(),
            item.defect.clone(),
        )
    };
    let mut there: BTreeMap<_, usize> = BTreeMap::new();
    for item in proposed {
        *there.entry(key(item)).or_default() += 1;
    }
    let found = confirmed.iter().filter(|item| {
        let left = there.get_mut(&key(item)).filter(|left| **left > 0);
        left.map(|left| *left -= 1).is_some()
    });
    found.count()
}
