//! `callover photos`: photos go to the items that were being spoken about when they were taken.
//!
//! # Steps
//! 1. Photos are looked for in the folder and copied into the job, each as it is.
//! 2. Their times, the recordings' starts and the moments at which a photo was spoken of are laid
//!    side by side ([`crate::photos`]).
//! 3. What follows is kept as decisions and told, with what stayed loose.
//! 4. The pictures that documents embed are made of them.

mod find;
mod tell;

use super::arguments::{Photos, TakenAt};
use super::error::{CliError, Exit};
use super::{pictures, shared};
use crate::job::{Certainty, Decision, Job, KeptPhoto, Moment, PHOTOS_FOLDER, RECORDINGS_FOLDER};
use crate::photos::{
    ByHand, Shot, Taken, Tape, decide, photo_cues, place, read_facts, read_started,
};
use crate::speech::{Transcript, Word};
use crate::time::Millis;
use find::Found;

/// Takes the photos into the job and puts them to their items.
///
/// # Errors
/// What was given and cannot be used; [`Exit::Partly`] where some of the photos could not be read.
pub(crate) fn run(arguments: &Photos) -> Result<(), CliError> {
    let mut job = Job::open(&arguments.job)?;
    let found = find::photos_in(&arguments.folder, job.dir())?;
    let new = find::take_in(&job, &found)?;
    let known = job.photos()?;
    let mut photos: Vec<KeptPhoto> = known.iter().chain(&new.photos).cloned().collect();
    let transcript = job.transcript()?;
    let by_hand = by_hand(arguments, &photos, &known, &transcript)?;
    let list = job.list()?;
    let events = job.events()?;
    let cues = photo_cues(&transcript.words, &list.items);
    let tapes = tapes(&job, &transcript);
    let shots = shots(&job, &photos);
    let (placed, clocks) = place(&shots, &tapes, &cues, &by_hand);
    let places = job.proposal()?.places;
    let may_move = by_hand.offset_ms.is_some() || by_hand.taken_at.is_some();
    let decided = decide(&photos, &placed, &list, &places, &events, may_move);
    // A new photo is kept also where nothing is decided about it.
    let mut rows = decided.photos.clone();
    let is_row = |photo: &KeptPhoto| decided.photos.iter().any(|row| row.name == photo.name);
    rows.extend(new.photos.iter().filter(|photo| !is_row(photo)).cloned());
    let decisions: Vec<Decision> = decided.together().into_iter().collect();
    if !rows.is_empty() || !decisions.is_empty() {
        let last = events.last().map_or(0, |event| event.id);
        job.keep_photos(last, &rows, &decisions, &shared::now())?;
    }
    photos = job.photos()?;
    shared::print(&tell::report(&tell::Report {
        photos: &photos,
        decided: &decided,
        clocks: &clocks,
        transcript: &transcript,
        list: &job.list()?,
        places: &places,
    }));
    if by_hand.offset_ms.is_some() && by_hand.taken_at.is_none() {
        tell::say_unused_offset(&clocks, &transcript);
    }
    tell::say_unclear(&clocks, &photos, &transcript, &job);
    pictures::make_ready(job.dir(), &new.photos);
    outcome(&found, new.failed)
}

/// Returns what the command ends with.
fn outcome(found: &Found, failed: usize) -> Result<(), CliError> {
    match (found.photos.len(), failed) {
        (_, 0) => Ok(()),
        (all, failed) if failed < all => Err(CliError::input(format_args!(
            "{failed} of {all} photos could not be taken; the others were"
        ))
        .exit(Exit::Partly)),
        _ => Err(CliError::input("none of the photos could be taken")),
    }
}

/// Returns the photos with a time, as far as their files are still there. What the desk takes in is
/// written anew without its data, so its time and its camera are known to the job alone.
fn shots(job: &Job, photos: &[KeptPhoto]) -> Vec<Shot> {
    let folder = job.dir().join(PHOTOS_FOLDER);
    let shot = |photo: &KeptPhoto| {
        let facts = read_facts(&folder.join(&photo.name)).ok()??;
        let kept = || photo.taken.as_deref().and_then(Taken::parse);
        Some(Shot {
            name: photo.name.clone(),
            camera: match &photo.camera {
                Some(kept) if facts.camera.is_empty() => kept.clone(),
                _ => facts.camera,
            },
            taken: facts.taken.or_else(kept)?,
        })
    };
    photos.iter().filter_map(shot).collect()
}

/// Returns the recordings with their lengths and what their files tell of their starts.
fn tapes(job: &Job, transcript: &Transcript) -> Vec<Tape> {
    let last_word = |recording: u32| {
        let own = transcript
            .words
            .iter()
            .filter(|word| word.recording == recording);
        own.filter_map(|word: &Word| word.span)
            .map(|span| span.end)
            .max()
    };
    let folder = job.dir().join(RECORDINGS_FOLDER);
    let tapes = transcript.recordings.iter().map(|recording| {
        let told = Millis::from_seconds(recording.duration_s);
        let heard = last_word(recording.id).unwrap_or_default();
        Tape {
            recording: recording.id,
            length: told.max(heard),
            // A recording that is gone tells nothing; `callover doctor` finds it.
            started: read_started(&folder.join(&recording.file)).ok().flatten(),
        }
    });
    tapes.collect()
}

/// Checks what was given about the clocks; `known` are the photos of earlier runs.
fn by_hand(
    arguments: &Photos,
    photos: &[KeptPhoto],
    known: &[KeptPhoto],
    transcript: &Transcript,
) -> Result<ByHand, CliError> {
    let taken_at = match &arguments.taken_at {
        Some(given) => Some(anchor(given, photos, transcript)?),
        None => None,
    };
    // By the clocks alone a photo is at most a guess.
    let rests_on_more = |photo: &&KeptPhoto| photo.certainty >= Some(Certainty::Likely);
    let placed = known.iter().filter(rests_on_more);
    Ok(ByHand {
        offset_ms: arguments.offset,
        taken_at,
        before: placed
            .filter_map(|photo| Some((photo.name.clone(), photo.moment?)))
            .collect(),
    })
}

/// Returns the photo's name in the job and the moment given for it.
fn anchor(
    given: &TakenAt,
    photos: &[KeptPhoto],
    transcript: &Transcript,
) -> Result<(String, Moment), CliError> {
    let refuse = |why: String| CliError::input(format_args!("--taken-at {}: {why}", given.photo));
    let by_original = |photo: &&KeptPhoto| {
        let original = std::path::Path::new(&photo.original_path);
        original
            .file_name()
            .is_some_and(|name| name == given.photo.as_str())
    };
    let photo = photos
        .iter()
        .find(|photo| photo.name == given.photo)
        .or_else(|| photos.iter().find(by_original))
        .ok_or_else(|| refuse("there is no such photo in the job or the folder".into()))?;
    if photo.taken.is_none() {
        return Err(refuse(
            "its file tells no time; choose another photo".into(),
        ));
    }
    let recordings = &transcript.recordings;
    let recording = match (given.recording, recordings.as_slice()) {
        (Some(number), all) => all.iter().find(|recording| recording.id == number),
        (None, [only]) => Some(only),
        (None, _) => None,
    };
    let recording = recording.ok_or_else(|| {
        let list: Vec<String> = recordings
            .iter()
            .map(|r| format!("{} is {}", r.id, r.file))
            .collect();
        refuse(format!(
            "give the number of the recording before the time, as in 2/12:35 ({})",
            list.join(", ")
        ))
    })?;
    let at = Millis(given.at_ms);
    let length = Millis::from_seconds(recording.duration_s);
    if length > Millis(0) && at > length {
        return Err(refuse(format!("{} is only {length} long", recording.file)));
    }
    let moment = Moment {
        recording: recording.id,
        at,
    };
    Ok((photo.name.clone(), moment))
}
