//! Learns from a stream of walk-rounds by one voice, and measures what that is worth.
//!
//! ```text
//! cargo run --release --example learning -- STREAM [--listen] [--ear] [--page RECORDING] [--insist]
//!     [--turns] [--others FOLDER] [--show] [--wrong] [--with OVERLAY] [--jobs N] [--out OVERLAY]
//! ```
//!
//! A folder holds `NAME.gold.json` (the expected list) with `NAME.json` or `heard/NAME.json` (what was
//! recognised; without it the words spoken are taken). With --listen the recordings `NAME.opus` are
//! heard anew with what was learnt so far, as a new recording would be, half a minute each; with --ear
//! the recogniser is fitted besides to the voice of all walk-rounds so far, after every third one, which
//! takes minutes (`ear.rs`); with --page to a recording of the page read aloud, before the first. The
//! walk-rounds of STREAM are taken in the order of their names. Each is proposed with what was learnt
//! so far and put right by a simulated inspector (`inspector.rs`); then every lesson that passes the
//! guard is accepted, and every one taken out that is found to do harm. With --insist he also insists
//! on names of his own that mend nothing and break nothing: the words of old jobs cannot tell whether
//! the recogniser will write a name that it leans towards. Printed for each: corrections an item, and
//! the share of items right before correction (F1), with the lexicon as it comes and with what was
//! learnt; with --show also each lesson with its effect. Texts differ in how hard they are, so with
//! --turns the stream is taken as often as it has walk-rounds, each time beginning with another one: each
//! is then as often among the first three as among the last three. OTHERS are walk-rounds by other voices, read
//! before and after. With an overlay given by --with nothing is learnt: printed is what that is worth.
//! With --jobs it is timed how long learning from so many takes. With --wrong the corrections are wrong
//! on purpose, and printed is what that changes (`wrong.rs`).

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "shared with the other program")]
mod agreement;
mod ear;
mod inspector;
#[path = "../hearing/listen.rs"]
mod listen;
mod wrong;

use agreement::Gold;
use callover::items::propose;
use callover::learn::{
    Change, Lived, Study, Teaching, Verdict, entries, harmful, judge, lessons, overlay,
};
use callover::lexicon::Lexicon;
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};
use ear::Ear;
use inspector::{PutRight, put_right};
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

/// The name under which the overlay is given.
const LEARNT: &str = "learnt.toml";

/// What was learnt so far: the text of an overlay.
#[derive(Default)]
struct Learnt {
    text: String,
    /// Lessons taken out again: they are not accepted a second time.
    withdrawn: Vec<Teaching>,
}

impl Learnt {
    fn of(text: String) -> Learnt {
        Learnt {
            text,
            ..Learnt::default()
        }
    }

    fn files(&self) -> Vec<(PathBuf, String)> {
        vec![(PathBuf::from(LEARNT), self.text.clone())]
    }

    fn lexicon(&self) -> Result<Lexicon> {
        Lexicon::load(&self.files()).map_err(|problems| format!("{problems:?}").into())
    }

    /// Learns from the jobs whatever passes the guard, and takes out what they speak against; returns how
    /// many lessons were accepted.
    fn learn(&mut self, jobs: &[Lived], show: bool, insist: bool) -> Result<usize> {
        let lexicon = self.lexicon()?;
        let study = Study::new(&lexicon, jobs);
        let mut new = lessons(&study);
        new.retain(|lesson| !self.withdrawn.contains(&lesson.teaching));
        let judged =
            judge(&study, &self.files(), new).map_err(|problems| format!("{problems:?}"))?;
        let against = harmful(&study, &self.files(), Path::new(LEARNT));
        let mut accepted = 0;
        for one in judged {
            if show {
                let words = one.lesson.teaching.in_words();
                println!(
                    "    {:?}: {words} ({} for, {} against, {} mended, {} broken)",
                    one.verdict,
                    one.lesson.sightings.len(),
                    one.lesson.against,
                    one.effect.mended.len(),
                    one.effect.broken.len()
                );
                for (what, changes) in [
                    ("mends", &one.effect.mended),
                    ("breaks", &one.effect.broken),
                ] {
                    for Change {
                        job,
                        item,
                        before,
                        after,
                    } in changes
                    {
                        let item = item.map(|n| format!(" item {n}")).unwrap_or_default();
                        println!("        {what} {job}{item}: {before} -> {after}");
                    }
                }
            }
            let own_name = matches!(one.lesson.teaching, Teaching::Term { .. });
            let insisted = insist && own_name && one.verdict == Verdict::MendsNothing;
            if one.verdict == Verdict::Passes || insisted {
                accepted += 1;
                self.text =
                    overlay::with(&self.text, &one.lesson, "2026-03-02", "passed the guard");
            }
        }
        for harm in against {
            println!("  withdrawn: {}", harm.teaching.in_words());
            let (head, mut all) = entries(&self.text);
            all.retain(|entry| entry.teaching.as_ref() != Some(&harm.teaching));
            self.text = head + &all.into_iter().map(|entry| entry.lines).collect::<String>();
            self.withdrawn.push(harm.teaching);
        }
        Ok(accepted)
    }
}

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let show = arguments.iter().any(|argument| argument == "--show");
    let insist = arguments.iter().any(|argument| argument == "--insist");
    let grows = arguments.iter().any(|argument| argument == "--ear");
    let after = |name: &str| {
        let at = arguments.iter().position(|argument| argument == name)?;
        arguments.get(at + 1).map(PathBuf::from)
    };
    let page = after("--page");
    let listens =
        grows || page.is_some() || arguments.iter().any(|argument| argument == "--listen");
    let stream = arguments.first().ok_or("give a folder of walk-rounds")?;
    let stream = walks(Path::new(stream))?;
    if arguments.iter().any(|argument| argument == "--wrong") {
        return wrong::measure(&stream);
    }
    if let Some(count) = after("--jobs") {
        let count = count.to_string_lossy().parse()?;
        return timed(&stream, count);
    }
    let others = after("--others").map(|folder| walks(&folder)).transpose()?;
    let base = Learnt::default().lexicon()?;
    if let Some(file) = after("--with") {
        let text = fs::read_to_string(file)?;
        return with(&stream, &base, &Learnt::of(text).lexicon()?);
    }
    if arguments.iter().any(|argument| argument == "--turns") {
        return in_turns(stream, &base, insist);
    }
    let mut learnt = Learnt::default();
    let mut ear = Ear::new()?;
    let mut jobs: Vec<Lived> = Vec::new();
    let mut table = Vec::new();
    if let Some(page) = page {
        ear.read_aloud(&base, &page)?;
    }
    for walk in &stream {
        let before = round(&base, walk);
        let lexicon = learnt.lexicon()?;
        let heard = match listens && (ear.is_fitted() || !learnt.text.is_empty()) {
            true => ear.hear(&lexicon, &walk.recording)?,
            false => walk.heard.clone(),
        };
        let now = put_right(&walk.gold, &propose(&lexicon, &heard));
        println!(
            "{}: F1 {:.3} -> {:.3}; corrections an item {:.2} -> {:.2}",
            walk.name,
            before.f1(),
            now.f1(),
            per_item(&[&before]),
            per_item(&[&now]),
        );
        if grows {
            ear.grow(&walk.recording, &heard)?;
        }
        jobs.push(Lived::new(&walk.name, heard, &now.items));
        let accepted = learnt.learn(&jobs, show, insist)?;
        println!("  {accepted} lessons accepted");
        table.push((before, now));
    }
    summary(&table);
    if let Some(others) = others {
        let lexicon = learnt.lexicon()?;
        let f1 = |lexicon: &Lexicon| {
            let rounds: Vec<PutRight> = others.iter().map(|walk| round(lexicon, walk)).collect();
            f1_of(&rounds.iter().collect::<Vec<_>>())
        };
        println!("other voices: F1 {:.4} -> {:.4}", f1(&base), f1(&lexicon));
    }
    if let Some(file) = after("--out") {
        fs::write(file, format!("{}\n{}", overlay::HEAD, learnt.text))?;
    }
    Ok(())
}

/// Takes the stream as it was heard, beginning with each of its walk-rounds in turn; prints corrections an
/// item and F1 in all first threes and all last threes.
fn in_turns(mut stream: Vec<Walk>, base: &Lexicon, insist: bool) -> Result<()> {
    let (mut first, mut last) = (Vec::new(), Vec::new());
    for _ in 0..stream.len() {
        let mut learnt = Learnt::default();
        let mut jobs: Vec<Lived> = Vec::new();
        for (position, walk) in stream.iter().enumerate() {
            let now = round(&learnt.lexicon()?, walk);
            jobs.push(Lived::new(&walk.name, walk.heard.clone(), &now.items));
            learnt.learn(&jobs, false, insist)?;
            if position < 3 {
                first.push(now);
            } else if position + 3 >= stream.len() {
                last.push(now);
            }
        }
        stream.rotate_left(1);
    }
    let unlearnt: Vec<PutRight> = stream.iter().map(|walk| round(base, walk)).collect();
    for (what, rounds) in [
        ("nothing learnt", &unlearnt),
        ("all first threes", &first),
        ("all last threes", &last),
    ] {
        let rounds: Vec<&PutRight> = rounds.iter().collect();
        println!(
            "{what}: corrections an item {:.3}, F1 {:.3}",
            per_item(&rounds),
            f1_of(&rounds)
        );
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

fn summary(table: &[(PutRight, PutRight)]) {
    let now: Vec<&PutRight> = table.iter().map(|(_, now)| now).collect();
    let before: Vec<&PutRight> = table.iter().map(|(before, _)| before).collect();
    let third = now.len().min(3);
    let (first, last) = (&now[..third], &now[now.len() - third..]);
    let last_before = &before[before.len() - third..];
    println!(
        "corrections an item: first three {:.2}, last three {:.2} (with nothing learnt {:.2})",
        per_item(first),
        per_item(last),
        per_item(last_before)
    );
    let kinds = |rounds: &[&PutRight]| {
        let sum = |kind: usize| rounds.iter().map(|round| round.kinds[kind]).sum::<usize>();
        let [place, element, defect, missed, surplus] = std::array::from_fn(sum);
        format!(
            "{place} places, {element} elements and {defect} defects wrong, {missed} items missed, \
             {surplus} too many"
        )
    };
    println!("  first three: {}", kinds(first));
    println!("  last three: {}", kinds(last));
    println!("  with nothing learnt: {}", kinds(last_before));
    println!(
        "F1 before correction: first three {:.3}, last three {:.3} (with nothing learnt {:.3})",
        f1_of(first),
        f1_of(last),
        f1_of(last_before)
    );
    println!("F1 of all: {:.3} -> {:.3}", f1_of(&before), f1_of(&now));
    let fall = table.iter().map(|(before, now)| now.f1() - before.f1());
    println!(
        "least gain at a step: {:+.3}",
        fall.fold(f64::INFINITY, f64::min)
    );
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
