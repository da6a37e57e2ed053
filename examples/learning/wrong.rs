//! Corrections that are wrong on purpose, and what the guard lets through of them.
//!
//! The stream is parted in three: walk-rounds that were put right honestly, walk-rounds whose lists are
//! spoilt, and walk-rounds that are only read. The last tell by how much the share of items right (F1)
//! changes for what was learnt from the first two.

use super::inspector::put_right;
use super::{Learnt, Result, Walk, f1_of, round};
use callover::items::{Item, Status, propose};
use callover::learn::{
    Called, Judged, Lesson, Lived, Study, Teaching, Verdict, judge, lessons, overlay,
};
use callover::lexicon::{Kind, Lexicon};
use std::collections::BTreeSet;

/// One item in this many is spoilt at random.
const SPOILT: u64 = 3;

/// How a list is spoilt, or what comes in its place.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Wrong {
    /// The list is as it was put right: what the others are to be held against.
    Not,
    /// Every third item gets the element or the defect of another, by chance.
    Random,
    /// In every second walk-round each thing is called by the name of the next in the alphabet.
    Contradictory,
    /// A colleague's overlay that hears each known thing and fault as the next in the alphabet.
    Overlay,
}

/// Prints, for each kind of wrong corrections, how many lessons were drawn and passed, and F1 of the
/// walk-rounds that are only read, with the honest lessons and with those from the wrong ones as well.
pub(crate) fn measure(stream: &[Walk]) -> Result<()> {
    let third = stream.len().div_ceil(3);
    let (honest, rest) = stream.split_at(third.min(stream.len()));
    let (spoilt, read) = rest.split_at(third.min(rest.len()));
    let base = Learnt::default().lexicon()?;
    let jobs: Vec<Lived> = honest.iter().map(|walk| lived(&base, walk)).collect();
    let mut known = Learnt::default();
    let accepted = known.learn(&jobs, false, false)?;
    let before = f1(&known.lexicon()?, read);
    println!(
        "{accepted} honest lessons; F1 of {} others {before:.4}",
        read.len()
    );
    for wrong in [
        Wrong::Not,
        Wrong::Random,
        Wrong::Contradictory,
        Wrong::Overlay,
    ] {
        let mut jobs = jobs.clone();
        let spoil = |(at, walk)| spoilt_list(wrong, lived(&base, walk), at, stream);
        jobs.extend(spoilt.iter().enumerate().map(spoil));
        let lexicon = known.lexicon()?;
        let study = Study::new(&lexicon, &jobs);
        let found = match wrong {
            Wrong::Overlay => colleague(stream),
            _ => lessons(&study),
        };
        let judged =
            judge(&study, &known.files(), found).map_err(|problems| format!("{problems:?}"))?;
        let passes = |one: &&Judged| one.verdict == Verdict::Passes;
        let passed = judged.iter().filter(passes);
        let passed: Vec<Lesson> = passed.map(|one| one.lesson.clone()).collect();
        let after = f1(&with(&known, &passed)?, read);
        println!(
            "{wrong:?}: {} lessons, {} passed; F1 {before:.4} -> {after:.4} ({:+.4})",
            judged.len(),
            passed.len(),
            after - before
        );
        for lesson in passed {
            println!("    passed: {}", lesson.teaching.in_words());
        }
    }
    Ok(())
}

fn lived(lexicon: &Lexicon, walk: &Walk) -> Lived {
    let right = put_right(&walk.gold, &propose(lexicon, &walk.heard));
    Lived::new(&walk.name, walk.heard.clone(), &right.items)
}

fn f1(lexicon: &Lexicon, walks: &[Walk]) -> f64 {
    let rounds: Vec<_> = walks.iter().map(|walk| round(lexicon, walk)).collect();
    f1_of(&rounds.iter().collect::<Vec<_>>())
}

fn with(known: &Learnt, lessons: &[Lesson]) -> Result<Lexicon> {
    let text = lessons.iter().fold(known.text.clone(), |text, lesson| {
        overlay::with(&text, lesson, "2026-03-02", "passed the guard")
    });
    Learnt::of(text).lexicon()
}

/// The names of things, or of faults, that the stream has, ordered.
fn names(stream: &[Walk], kind: Kind) -> Vec<String> {
    let gold = stream.iter().flat_map(|walk| &walk.gold);
    let first = gold.filter_map(|gold| match kind {
        Kind::Element => gold.element.first(),
        _ => gold.defect.first(),
    });
    first
        .cloned()
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect()
}

/// The name after this one; the first after the last.
fn next(names: &[String], name: &str) -> String {
    let at = names.partition_point(|one| one.as_str() <= name);
    names[at % names.len()].clone()
}

fn spoilt_list(wrong: Wrong, job: Lived, at: usize, stream: &[Walk]) -> Lived {
    let (elements, defects) = (names(stream, Kind::Element), names(stream, Kind::Defect));
    let mut items: Vec<Item> = job.confirmed.clone();
    for item in &mut items {
        item.status = Status::Confirmed;
        let chance = mixed((at as u64) << 32 | u64::from(item.number));
        match wrong {
            Wrong::Random if chance.is_multiple_of(SPOILT) => {
                let pick = |all: &[String]| all[(chance >> 8) as usize % all.len()].clone();
                match (chance >> 4) % 2 {
                    0 => item.element = pick(&elements),
                    _ => item.defect = pick(&defects),
                }
            }
            Wrong::Contradictory if at % 2 == 1 => item.element = next(&elements, &item.element),
            _ => {}
        }
    }
    Lived::new(&job.name, job.transcript, &items)
}

fn colleague(stream: &[Walk]) -> Vec<Lesson> {
    let mut all = Vec::new();
    for kind in [Kind::Element, Kind::Defect] {
        let names = names(stream, kind);
        all.extend(names.iter().map(|name| {
            Lesson::of(Teaching::HeardAs {
                heard: name.to_lowercase(),
                term: Called {
                    kind,
                    name: next(&names, name),
                },
                near: BTreeSet::new(),
            })
        }));
    }
    all
}

/// Spreads a number evenly over all (the finisher of SplitMix64, from memory): the same on every run.
fn mixed(number: u64) -> u64 {
    let mut z = number.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}
