//! Learns from a stream of walk-rounds by one voice, and measures what that is worth.
//!
//! ```text
//! cargo run --release --example learning -- STREAM [--listen] [--ear] [--page RECORDING [--alone]] [--insist]
//!     [--turns EVERY] [--others FOLDER] [--show] [--wrong] [--with OVERLAY] [--jobs N] [--out OVERLAY]
//! ```
//!
//! A folder holds `NAME.gold.json` (the expected list) with `NAME.json` or `heard/NAME.json` (what was
//! recognised; without it the words spoken are taken). With --listen the recordings `NAME.opus` are
//! heard anew with what was learnt so far, as a new recording would be, half a minute each; with --ear
//! the recogniser is fitted besides to the voice of all walk-rounds so far, after every third one, which
//! takes minutes (`ear.rs`); with --page to a recording of the page read aloud, before the first, whose words are
//! learnt from like those of a job, and with --alone nothing else is learnt. The walk-rounds of STREAM are taken in the order of their names. Each is
//! proposed with what was learnt so far and put right by a simulated inspector (`inspector.rs`); then every lesson that passes the
//! guard is accepted, and every one taken out that is found to do harm. With --insist he also insists
//! on names of his own that mend nothing and break nothing: the words of old jobs cannot tell whether
//! the recogniser will write a name that it leans towards. Printed for each: corrections an item, and
//! the share of items right before correction (F1), with the lexicon as it comes and with what was
//! learnt; with --show also each lesson with its effect. Texts differ in how hard they are; so with --turns
//! the stream is taken several times, beginning with every so manieth of its walk-rounds, and corrections
//! are printed of all first threes and all last threes together: with 1, and nearly with 3, each walk-round
//! is then as often among the first three as among the last. OTHERS are walk-rounds by other voices, read
//! before and after. With an overlay given by --with nothing is learnt: printed is what that is worth.
//! With --jobs it is timed how long learning from so many takes. With --wrong the corrections are wrong
//! on purpose, and printed is what that changes (`wrong.rs`).

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "shared with the other program")]
mod agreement;
mod course;
mod ear;
mod inspector;
mod learnt;
#[path = "../hearing/listen.rs"]
mod listen;
mod wrong;

use agreement::Gold;
use callover::items::propose;
use callover::learn::{Lived, Study, Verdict, judge, lessons, overlay};
use callover::lexicon::Lexicon;
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};
use course::{Course, Outcome, THREE};
use inspector::{PutRight, put_right};
use learnt::Learnt;
use serde_json::Value;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Instant;

type Result<T> = std::result::Result<T, Box<dyn Error>>;

/// A walk-round: what was heard, and what is expected.
struct Walk {
    name: String,
    recording: PathBuf,
    heard: Transcript,
    gold: Vec<Gold>,
}

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let has = |name: &str| arguments.iter().any(|argument| argument == name);
    let after = |name: &str| {
        let at = arguments.iter().position(|argument| argument == name)?;
        arguments.get(at + 1).map(PathBuf::from)
    };
    let number = |name: &str| -> Result<Option<usize>> {
        let given = after(name).map(|given| given.to_string_lossy().parse());
        Ok(given.transpose()?)
    };
    let stream = arguments.first().ok_or("give a folder of walk-rounds")?;
    let stream = walks(Path::new(stream))?;
    if has("--wrong") {
        return wrong::measure(&stream);
    }
    if let Some(count) = number("--jobs")? {
        return timed(&stream, count);
    }
    let others = after("--others").map(|folder| walks(&folder)).transpose()?;
    let base = Learnt::default().lexicon()?;
    if let Some(file) = after("--with") {
        let text = fs::read_to_string(file)?;
        return with(&stream, &base, &Learnt::of(text).lexicon()?);
    }
    if stream.len() < 2 * THREE {
        return Err(format!("fewer than {} walk-rounds in the folder", 2 * THREE).into());
    }
    let (page, grows) = (after("--page"), has("--ear"));
    let course = Course {
        listens: grows || page.is_some() || has("--listen"),
        base,
        grows,
        alone: has("--alone"),
        page,
        insist: has("--insist"),
        show: has("--show"),
    };
    if let Some(every) = number("--turns")? {
        let every = every.clamp(1, stream.len());
        return course.take_in_turns(stream, every);
    }
    let Outcome { rounds, learnt } = course.take(&stream)?;
    course::summary(&rounds);
    if let Some(others) = others {
        let f1 = |lexicon: &Lexicon| {
            let rounds: Vec<PutRight> = others.iter().map(|walk| round(lexicon, walk)).collect();
            f1_of(&rounds.iter().collect::<Vec<_>>())
        };
        let own = learnt.lexicon()?;
        println!(
            "other voices: F1 {:.4} -> {:.4}",
            f1(&course.base),
            f1(&own)
        );
    }
    if let Some(file) = after("--out") {
        fs::write(file, format!("{}\n{}", overlay::HEAD, learnt.text))?;
    }
    Ok(())
}

/// Prints how long learning from so many jobs takes: the stream's, each as often as it must be.
fn timed(stream: &[Walk], count: usize) -> Result<()> {
    let base = Learnt::default().lexicon()?;
    let put_right: Vec<PutRight> = stream.iter().map(|walk| round(&base, walk)).collect();
    let of = |at: usize| {
        let walk = &stream[at % stream.len()];
        let items = &put_right[at % stream.len()].items;
        Lived::new(&format!("{at} {}", walk.name), walk.heard.clone(), items)
    };
    let jobs: Vec<Lived> = (0..count).map(of).collect();
    let words: usize = jobs.iter().map(|job| job.transcript.words.len()).sum();
    let mut from = Instant::now();
    let mut lap = |what: &str| {
        println!("{what}: {:.1} s", from.elapsed().as_secs_f64());
        from = Instant::now();
    };
    let study = Study::new(&base, &jobs);
    lap(&format!("{count} jobs of {words} words read"));
    let lessons = lessons(&study);
    lap(&format!("{} lessons drawn", lessons.len()));
    let judged = judge(&study, &[], lessons).map_err(|problems| format!("{problems:?}"))?;
    let passed = judged.iter().filter(|one| one.verdict == Verdict::Passes);
    lap(&format!("tried, {} pass", passed.count()));
    Ok(())
}

/// Prints what an overlay is worth on walk-rounds that it was not learnt from.
fn with(stream: &[Walk], base: &Lexicon, own: &Lexicon) -> Result<()> {
    let read = |lexicon: &Lexicon| -> Vec<PutRight> {
        stream.iter().map(|walk| round(lexicon, walk)).collect()
    };
    let (before, now) = (read(base), read(own));
    for ((walk, before), now) in stream.iter().zip(&before).zip(&now) {
        println!("{}: F1 {:.3} -> {:.3}", walk.name, before.f1(), now.f1());
    }
    let all = |rounds: &[PutRight]| f1_of(&rounds.iter().collect::<Vec<_>>());
    println!("F1 of all: {:.3} -> {:.3}", all(&before), all(&now));
    Ok(())
}

fn round(lexicon: &Lexicon, walk: &Walk) -> PutRight {
    put_right(&walk.gold, &propose(lexicon, &walk.heard))
}

fn per_item(rounds: &[&PutRight]) -> f64 {
    let corrections: usize = rounds.iter().map(|round| round.corrections).sum();
    let items: usize = rounds.iter().map(|round| round.expected).sum();
    corrections as f64 / (items as f64).max(1.0)
}

fn f1_of(rounds: &[&PutRight]) -> f64 {
    let sum = |of: fn(&PutRight) -> usize| rounds.iter().map(|round| of(round)).sum::<usize>();
    2.0 * sum(|r| r.right) as f64 / (sum(|r| r.expected + r.proposed) as f64).max(1.0)
}

/// Reads the walk-rounds of a folder, by name.
fn walks(folder: &Path) -> Result<Vec<Walk>> {
    let mut names: Vec<String> = fs::read_dir(folder)?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| Some(name.strip_suffix(".gold.json")?.to_owned()))
        .collect();
    names.sort();
    names.into_iter().map(|name| walk(folder, name)).collect()
}

fn walk(folder: &Path, name: String) -> Result<Walk> {
    let gold: Value = serde_json::from_slice(&fs::read(folder.join(format!("{name}.gold.json")))?)?;
    let file = format!("{name}.json");
    let beside =
        fs::read(folder.join(&file)).or_else(|_| fs::read(folder.join("heard").join(&file)));
    let (file, bytes) = match beside {
        Ok(bytes) => (file, bytes),
        Err(_) => {
            let text = gold["text"].as_str().ok_or("no text")?;
            (format!("{name}.txt"), text.as_bytes().to_vec())
        }
    };
    let source = Source {
        file: &file,
        sha256: &"0".repeat(64),
        recording: 1,
    };
    let items = gold["items"].as_array().ok_or("no items")?;
    Ok(Walk {
        heard: read(source, Format::from_file_name(&file)?, &bytes)?,
        gold: items.iter().map(Gold::read).collect(),
        recording: folder.join(format!("{name}.opus")),
        name,
    })
}
