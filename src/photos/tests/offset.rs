//! The offset between two clocks, on walk-rounds made up for it.

use crate::photos::{Finding, Walk, find_offset};
use proptest::prelude::*;

const SECOND: i64 = 1000;
const MINUTE: i64 = 60 * SECOND;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

/// A walk of so many minutes with cues at these seconds.
fn walk(minutes: i64, cues: &[i64]) -> Walk {
    Walk {
        recordings: vec![(0, minutes * MINUTE)],
        cues: cues.iter().map(|cue| cue * SECOND).collect(),
    }
}

/// Shots taken at these seconds of the walk, by a clock that is ahead by `offset`.
fn shots(seconds: &[i64], offset: i64) -> Vec<i64> {
    seconds
        .iter()
        .map(|second| second * SECOND + offset)
        .collect()
}

/// Says what was found: the offset in whole seconds with matches and shots inside, or why not.
fn told(finding: Finding) -> String {
    match finding {
        Finding::Found(o) => {
            let seconds = o.millis.div_euclid(SECOND);
            format!("{seconds} s: {} matched, {} inside", o.matched, o.inside)
        }
        Finding::Ambiguous { rivals: [a, b] } => {
            format!("ambiguous: {} and {}", a.matched, b.matched)
        }
        Finding::TooFew { best } => format!("too few: {}", best.matched),
        Finding::Nothing => "nothing".into(),
    }
}

#[test]
fn the_offset_is_found_where_shots_follow_the_cues_and_asked_for_where_they_do_not() {
    let cues = [31, 95, 260, 410, 505, 770];
    let taken = [36, 98, 264, 413, 509, 776];
    let with_others = [8, 36, 98, 180, 264, 320, 413, 509, 650, 776, 820];
    let cases = [
        (
            "every cue has a shot",
            &cues[..],
            &taken[..],
            0,
            "0 s: 6 matched, 6 inside",
        ),
        (
            "other shots among them",
            &cues,
            &with_others,
            0,
            "0 s: 6 matched, 11 inside",
        ),
        (
            "a clock 1:23 slow",
            &cues,
            &with_others,
            -83 * SECOND,
            "-83 s: 6 matched, 11 inside",
        ),
        (
            "the wrong day",
            &cues,
            &with_others,
            -412 * DAY,
            "-35596800 s: 6 matched, 11 inside",
        ),
        (
            "a clock never set",
            &cues,
            &taken,
            -20_500 * DAY,
            "-1771200000 s: 6 matched, 6 inside",
        ),
        (
            "one cue without a shot",
            &cues,
            &taken[1..],
            0,
            "0 s: 5 matched, 5 inside",
        ),
        ("no cue", &[], &taken, 0, "nothing"),
        ("no shot", &cues, &[], 0, "nothing"),
        ("one of each", &cues[..1], &taken[..1], 0, "too few: 1"),
        (
            "one cue, many shots",
            &cues[..1],
            &with_others,
            0,
            "too few: 1",
        ),
        (
            "two cues, many shots",
            &cues[..2],
            &with_others,
            0,
            "too few: 2",
        ),
        (
            "one shot a minute, one cue a minute",
            &[60, 120, 180, 240, 300, 360, 420, 480],
            &[64, 124, 184, 244, 304, 364, 424, 484],
            0,
            "ambiguous: 8 and 7",
        ),
    ];
    for (case, cues, seconds, offset, want) in cases {
        let finding = find_offset(&walk(15, cues), &shots(seconds, offset), &[]);
        assert_eq!(told(finding), want, "{case}");
    }
}

#[test]
fn an_offset_that_the_clocks_make_likely_needs_fewer_cues() {
    let (cues, taken) = ([310, 890], [200, 314, 500, 893, 1200]);
    let without = find_offset(&walk(36, &cues), &shots(&taken, 0), &[]);
    assert_eq!(told(without), "too few: 2");
    let with = find_offset(&walk(36, &cues), &shots(&taken, 0), &[5 * SECOND]);
    assert_eq!(told(with), "0 s: 2 matched, 5 inside");
    let elsewhere = find_offset(&walk(36, &cues), &shots(&taken, 0), &[HOUR]);
    assert_eq!(told(elsewhere), "too few: 2");
}

#[test]
fn a_camera_that_contradicts_the_clocks_is_believed_where_the_cues_are_clear() {
    let cues = [31, 95, 260, 410, 505, 770];
    let taken = [36, 98, 264, 413, 509, 776];
    let finding = find_offset(&walk(15, &cues), &shots(&taken, 3 * DAY), &[0]);
    assert_eq!(told(finding), "259200 s: 6 matched, 6 inside");
}

/// A walk-round as one might go: `cues` moments spread at random over the walk, a shot at most of
/// them after a pause, others in between, a clock that is off by anything.
#[derive(Debug, Clone)]
struct Simulated {
    walk: Walk,
    shots: Vec<i64>,
    offset: i64,
}

fn simulated(
    cues: std::ops::Range<usize>,
    others: std::ops::Range<usize>,
    related: bool,
) -> impl Strategy<Value = Simulated> {
    let minutes = 10..90i64;
    let offset = -400 * DAY..400 * DAY;
    (
        minutes,
        offset,
        prop::collection::vec((0.0..1.0f64, 1.0..9.0f64, 0.0..1.0f64), cues),
        prop::collection::vec(0.0..1.0f64, others),
    )
        .prop_map(move |(minutes, offset, cues, others)| {
            let length = minutes * MINUTE;
            let at = |part: f64| (part * length as f64) as i64;
            let mut walk = Walk {
                recordings: vec![(0, length)],
                cues: vec![],
            };
            let mut shots: Vec<i64> = others.iter().map(|&part| at(part) + offset).collect();
            for (part, lag, taken) in cues {
                walk.cues.push(at(part));
                // Three of four are taken.
                if taken < 0.75 {
                    let after = if related {
                        at(part) + (lag * SECOND as f64) as i64
                    } else {
                        at(taken / 0.75)
                    };
                    shots.push(after + offset);
                }
            }
            walk.cues.sort_unstable();
            shots.sort_unstable();
            Simulated {
                walk,
                shots,
                offset,
            }
        })
}

/// Runs `count` simulations and returns how many were right, wrong and undecided. A right offset is
/// within ten seconds: no item's photo is then taken for that of the item two sentences away.
fn outcomes(strategy: impl Strategy<Value = Simulated>, count: usize) -> (usize, usize, usize) {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let (mut right, mut wrong, mut undecided) = (0, 0, 0);
    for _ in 0..count {
        let simulated = strategy.new_tree(&mut runner).unwrap().current();
        match find_offset(&simulated.walk, &simulated.shots, &[]) {
            Finding::Found(found) if (found.millis - simulated.offset).abs() <= 10 * SECOND => {
                right += 1
            }
            Finding::Found(_) => wrong += 1,
            _ => undecided += 1,
        }
    }
    (right, wrong, undecided)
}

#[test]
fn on_simulated_walk_rounds_it_is_right_or_asks() {
    let (right, wrong, undecided) = outcomes(simulated(8..25, 0..60, true), 400);
    println!("with cues: {right} right, {wrong} wrong, {undecided} undecided");
    assert!(
        wrong <= 2 && right >= 280,
        "{right} right, {wrong} wrong, {undecided} undecided"
    );
    let (right, wrong, undecided) = outcomes(simulated(8..25, 0..60, false), 400);
    println!("cues that mean nothing: {right} right, {wrong} wrong, {undecided} undecided");
    assert!(
        right + wrong <= 8,
        "{right} right, {wrong} wrong, {undecided} undecided"
    );
}

proptest! {
    #[test]
    fn moving_a_clock_moves_the_offset_by_as_much(
        simulated in simulated(0..12, 0..12, true),
        by in -1_000_000_000i64..1_000_000_000,
    ) {
        let moved: Vec<i64> = simulated.shots.iter().map(|shot| shot + by).collect();
        let before = find_offset(&simulated.walk, &simulated.shots, &[]);
        let after = find_offset(&simulated.walk, &moved, &[]);
        match (before, after) {
            (Finding::Found(before), Finding::Found(after)) => {
                prop_assert_eq!(before.millis + by, after.millis);
                prop_assert_eq!(before.matched, after.matched);
            }
            (before, after) => prop_assert_eq!(
                std::mem::discriminant(&before),
                std::mem::discriminant(&after)
            ),
        }
    }
}
