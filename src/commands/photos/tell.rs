//! What the command tells: what was attached and how sure that is, what stayed loose and why, and
//! whose clock says what.

use crate::commands::shared;
use crate::items::{Item, VisitedPlace};
use crate::job::{Certainty, DecidedList, Decision, Job, KeptPhoto, PhotoFormat};
use crate::photos::{Clock, Decided, Finding, Ground, place_at};
use crate::speech::Transcript;
use std::collections::BTreeSet;
use std::fmt::Write;

/// Everything that the report is made of.
pub(super) struct Report<'a> {
    pub(super) photos: &'a [KeptPhoto],
    pub(super) decided: &'a Decided,
    pub(super) clocks: &'a [Clock],
    pub(super) transcript: &'a Transcript,
    pub(super) list: &'a DecidedList,
    pub(super) places: &'a [VisitedPlace],
}

/// Returns the report as text, one photo a line.
pub(super) fn report(report: &Report<'_>) -> String {
    let mut text = String::new();
    for clock in report.clocks {
        for line in clock_lines(clock, report.transcript) {
            let _ = writeln!(text, "{line}");
        }
    }
    let widest = report
        .photos
        .iter()
        .map(|p| p.name.chars().count())
        .max()
        .unwrap_or(0);
    let mut line = |what: &str, photo: &KeptPhoto, rest: &str| {
        let at = match photo.moment {
            Some(moment) if report.transcript.recordings.len() > 1 => {
                format!("{}/{}", moment.recording, moment.at)
            }
            Some(moment) => moment.at.to_string(),
            None => "-".into(),
        };
        let _ = writeln!(text, "{what:<9} {:<widest$}  {at:>7}  {rest}", photo.name);
    };
    let decided: BTreeSet<&str> = report
        .decided
        .decisions
        .iter()
        .filter_map(|decision| match decision {
            Decision::AttachPhoto { photo, .. } => Some(photo.as_str()),
            _ => None,
        })
        .collect();
    for photo in report
        .photos
        .iter()
        .filter(|photo| decided.contains(&*photo.name))
    {
        for item in owners(report.list, photo) {
            let sure = photo.certainty.map_or("", Certainty::word);
            line("attached", photo, &format!("{sure:<6}  {}", named(item)));
        }
    }
    let loose: Vec<&KeptPhoto> = report
        .photos
        .iter()
        .filter(|photo| owners(report.list, photo).next().is_none())
        .collect();
    for photo in &loose {
        line("loose", photo, &why_loose(photo, report));
    }
    let _ = writeln!(text, "{}", totals(report, decided.len(), loose.len()));
    text
}

fn owners<'a>(list: &'a DecidedList, photo: &'a KeptPhoto) -> impl Iterator<Item = &'a Item> {
    list.items
        .iter()
        .filter(|item| item.photos.contains(&photo.name))
}

fn named(item: &Item) -> String {
    format!(
        "item {}, {}: {}, {}",
        item.number, item.place, item.element, item.defect
    )
}

fn why_loose(photo: &KeptPhoto, report: &Report<'_>) -> String {
    let Some(taken) = &photo.taken else {
        return "its file does not tell when it was taken".into();
    };
    let Some(moment) = photo.moment else {
        return format!("taken {taken}, outside the recordings as far as is known");
    };
    let place = place_at(report.places, moment);
    let place = place.map_or(String::new(), |place| format!("{place}: "));
    match photo.attached {
        Some(_) => format!("{place}taken off its item"),
        None => format!("{place}no item was spoken of near it"),
    }
}

fn totals(report: &Report<'_>, new: usize, loose: usize) -> String {
    let all = report.photos.len();
    let attached = all - loose;
    let count = |sure| {
        let of = report
            .photos
            .iter()
            .filter(|photo| photo.certainty == Some(sure));
        of.filter(|photo| owners(report.list, photo).next().is_some())
            .count()
    };
    let by_hand = report
        .photos
        .iter()
        .filter(|photo| photo.certainty.is_none());
    let by_hand = by_hand
        .filter(|photo| owners(report.list, photo).next().is_some())
        .count();
    let mut parts: Vec<String> = [Certainty::Sure, Certainty::Likely, Certainty::Guess]
        .into_iter()
        .map(|sure| (count(sure), sure.word()))
        .chain([(by_hand, "by hand")])
        .filter(|&(count, _)| count > 0)
        .map(|(count, word)| format!("{count} {word}"))
        .collect();
    if new < attached && new > 0 {
        parts.push(format!("{new} of them now"));
    }
    let parts = match parts.is_empty() {
        true => String::new(),
        false => format!(" ({})", parts.join(", ")),
    };
    let photos = if all == 1 { "photo" } else { "photos" };
    format!("{all} {photos}: {attached} attached{parts}, {loose} loose")
}

/// Returns a line for each recording whose start is known by the camera's clock, and why.
fn clock_lines(clock: &Clock, transcript: &Transcript) -> Vec<String> {
    let (Some(ground), Finding::Found(offset)) = (clock.ground, clock.finding) else {
        return vec![];
    };
    let spoken = match clock.cues {
        0 => "no photo was spoken of".to_owned(),
        cues => format!(
            "{} of the {cues} times that a photo was spoken of, one was taken",
            offset.matched
        ),
    };
    let why = match ground {
        Ground::Hand => format!("as given; {spoken}"),
        Ground::Before => format!("as for the earlier photos; {spoken}"),
        Ground::Cues => spoken,
        Ground::Clocks => format!("by what the files tell; {spoken}"),
        Ground::Changed => format!("a guess by the recording file's own time; {spoken}"),
    };
    let camera = match clock.camera.as_str() {
        "" => "the camera's clock".to_owned(),
        camera => format!("the clock of the {camera}"),
    };
    let line = |(recording, began): &(u32, Option<crate::photos::Taken>)| {
        let began = (*began)?.to_the_second();
        Some(format!(
            "{} began at {began} by {camera}: {why}",
            file(transcript, *recording)
        ))
    };
    clock.recordings.iter().filter_map(line).collect()
}

fn file(transcript: &Transcript, recording: u32) -> &str {
    let found = transcript.recordings.iter().find(|r| r.id == recording);
    found.map_or("the recording", |recording| recording.file.as_str())
}

fn files(clock: &Clock, transcript: &Transcript) -> String {
    let recordings = clock.recordings.iter();
    let names: Vec<&str> = recordings.map(|&(r, _)| file(transcript, r)).collect();
    names.join(", ")
}

/// Says for which recordings the offset that was given counts for nothing.
pub(super) fn say_unused_offset(clocks: &[Clock], transcript: &Transcript) {
    let unused = clocks
        .iter()
        .filter(|clock| clock.ground != Some(Ground::Hand));
    for clock in unused {
        shared::say(format_args!(
            "note: --offset could not be used for {}: the file does not tell when it began, or no photo \
             lies in it by that clock",
            files(clock, transcript)
        ));
    }
}

/// Says what the inspector has to give, or should know.
pub(super) fn say_unclear(
    clocks: &[Clock],
    photos: &[KeptPhoto],
    transcript: &Transcript,
    job: &Job,
) {
    if !transcript.words.iter().any(|word| word.span.is_some()) {
        shared::say("note: the words have no times, so no photo can be put to an item by its time");
    }
    let loose = photos
        .iter()
        .any(|photo| photo.taken.is_some() && photo.moment.is_none());
    for clock in clocks
        .iter()
        .filter(|clock| clock.ground.is_none() && loose)
    {
        let recordings = files(clock, transcript);
        let why = match clock.finding {
            Finding::Ambiguous {
                rivals: [best, rival],
            } => format!(
                "two starts fit about as well ({} and {} of the {} times that a photo was spoken of)",
                best.matched, rival.matched, clock.cues
            ),
            Finding::TooFew { best } => format!(
                "at most {} of the {} times that a photo was spoken of have one, which may be chance",
                best.matched, clock.cues
            ),
            Finding::Found(_) | Finding::Nothing => {
                "no photo was spoken of in it, and the files do not tell".into()
            }
        };
        shared::say(format_args!(
            "note: when {recordings} began by the camera's clock is not clear: {why}"
        ));
        shared::say(format_args!(
            "hint: find one photo whose moment you know and give it: \
             callover photos {} FOLDER --taken-at PHOTO=M:SS",
            shared::quoted(job.dir())
        ));
    }
    let heic = photos
        .iter()
        .filter(|photo| photo.format == PhotoFormat::Heic)
        .count();
    if heic > 0 {
        let what = if heic == 1 {
            "1 photo is"
        } else {
            &format!("{heic} photos are")
        };
        shared::say(format_args!(
            "note: {what} HEIC, which documents cannot show: save as JPEG and add those too"
        ));
    }
}
