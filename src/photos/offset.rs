//! How far the camera's clock is from the recorder's: found by laying the shots over the moments
//! at which a photo was spoken of.
//!
//! All times are whole milliseconds. A walk's times are the recorder's, a shot's the camera's; the
//! offset is what must be added to the first to get the second. Nothing is assumed about either
//! clock: a camera set to last year is found as well as one that is a minute late.

/// Moments of a walk-round on the recorder's clock.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Walk {
    /// Start and end of each recording.
    pub recordings: Vec<(i64, i64)>,
    /// When a photo was spoken of, rising.
    pub cues: Vec<i64>,
}

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finding {
    /// One offset explains the shots, and no other does nearly as well.
    Found(Offset),
    /// Several offsets explain them about as well.
    Ambiguous {
        /// The best two, the better first.
        rivals: [Offset; 2],
    },
    /// Too few shots were taken when one was spoken of for it to be more than chance.
    TooFew {
        /// The best.
        best: Offset,
    },
    /// There is no cue, or no shot.
    Nothing,
}

/// An offset and what speaks for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offset {
    /// Milliseconds by which the camera's clock is ahead of the recorder's.
    pub millis: i64,
    /// How many cues a shot was taken at.
    pub matched: usize,
    /// How many shots were taken while a recording ran.
    pub inside: usize,
}

/// From the word *photo* to the shutter: the phone is taken up, held still, pressed. Common
/// practice, no source.
pub(crate) const LAG_MS: i64 = 4_000;

/// A shot this far from a cue and its lag still belongs to it: some speak first, some after.
pub(crate) const REACH_MS: i64 = 8_000;

/// Offsets closer than this are the same one, told by other pairs of cue and shot.
const SAME_MS: i64 = 2 * REACH_MS;

/// Candidates closer than this are weighed once: a folder of thousands of photos makes hundreds of
/// thousands, and the best is centred afterwards.
const STEP_MS: i64 = 500;

/// A shot this long before or after a recording still belongs to the walk.
const MARGIN_MS: i64 = 60_000;

/// Highest probability that chance made the best offset, for it to be believed. Of 400 simulated
/// walk-rounds (8 to 24 cues of which three in four have a shot, up to 60 shots beside) 295 are then
/// right, none wrong and 105 asked for; of 400 with shots that have nothing to do with the cues all
/// are asked for, or nearly (`tests/offset.rs`).
const MOST_CHANCE: f64 = 0.01;

/// A rival with more than this part of the best one's matches makes it ambiguous.
const RIVAL_PART: f64 = 0.75;

/// An expected offset this near to one found counts for it: clocks of phones agree with each other
/// to a second or two, and a recording's start is told to the second.
const EXPECTED_MS: i64 = 60_000;

/// Returns the offset at which most cues have a shot. `expected` holds offsets that the clocks
/// make likely, as where the recording tells its start and the photo its zone; an offset near one
/// of them needs fewer cues to be believed.
///
/// `shots` must be rising.
pub fn find_offset(walk: &Walk, shots: &[i64], expected: &[i64]) -> Finding {
    let mut candidates: Vec<i64> = walk
        .cues
        .iter()
        .flat_map(|cue| shots.iter().map(move |shot| shot - cue - LAG_MS))
        .collect();
    candidates.sort_unstable();
    candidates.dedup_by(|later, kept| *later - *kept < STEP_MS);
    let mut found: Vec<Offset> = candidates
        .iter()
        .map(|&millis| weigh(walk, shots, millis))
        .collect();
    // The most matches first; of as many, the one with more shots inside, then the nearest to what
    // is expected, then the earliest, so that the same input gives the same answer.
    let strangeness = |offset: &Offset| {
        let nearest = expected.iter().map(|e| (e - offset.millis).abs()).min();
        nearest.unwrap_or(0)
    };
    found.sort_by_key(|o| {
        (
            usize::MAX - o.matched,
            usize::MAX - o.inside,
            strangeness(o),
            o.millis,
        )
    });
    let Some(&best) = found.first() else {
        return Finding::Nothing;
    };
    // Among offsets that the clocks make likely chance has far fewer tries.
    let likely = found
        .iter()
        .find(|offset| !expected.is_empty() && strangeness(offset) <= EXPECTED_MS);
    if let Some(&likely) = likely {
        let tries = expected.len() as f64 * (2 * EXPECTED_MS / SAME_MS) as f64;
        let is_best = likely.matched as f64 > RIVAL_PART * best.matched as f64;
        if is_best && chance(walk, shots, likely) * tries <= MOST_CHANCE {
            return Finding::Found(centred(walk, shots, likely));
        }
    }
    let best = centred(walk, shots, best);
    let rival = found
        .iter()
        .find(|o| (o.millis - best.millis).abs() > SAME_MS);
    if chance(walk, shots, best) * distinct(&candidates) as f64 > MOST_CHANCE {
        return Finding::TooFew { best };
    }
    match rival {
        Some(&rival) if rival.matched as f64 > RIVAL_PART * best.matched as f64 => {
            Finding::Ambiguous {
                rivals: [best, rival],
            }
        }
        _ => Finding::Found(best),
    }
}

/// Returns which of the offsets that the clocks make likely, each on its own reading of when the
/// recordings began, has most shots inside, where that is at least half of them and no other
/// offset has nearly as many.
pub(crate) fn by_clocks(hypotheses: &[(&Walk, i64)], shots: &[i64]) -> Option<(usize, Offset)> {
    let mut weighed: Vec<(usize, i64, Offset)> = hypotheses
        .iter()
        .enumerate()
        .map(|(place, &(walk, millis))| {
            let began = walk.recordings.first().map_or(0, |&(start, _)| start);
            (place, began + millis, weigh(walk, shots, millis))
        })
        .collect();
    weighed.sort_by_key(|&(place, _, o)| (usize::MAX - o.inside, usize::MAX - o.matched, place));
    let &(place, began, best) = weighed.first()?;
    let enough = best.inside > 0 && best.inside * 2 >= shots.len();
    let alone = weighed
        .iter()
        .filter(|(_, other, _)| (other - began).abs() > MARGIN_MS)
        .all(|(_, _, rival)| (rival.inside as f64) < RIVAL_PART * best.inside as f64);
    (enough && alone).then_some((place, best))
}

/// Counts what speaks for an offset.
pub(crate) fn weigh(walk: &Walk, shots: &[i64], millis: i64) -> Offset {
    let inside = walk
        .recordings
        .iter()
        .map(|&(start, end)| {
            between(shots, start + millis - MARGIN_MS, end + millis + MARGIN_MS).len()
        })
        .sum::<usize>()
        .min(shots.len());
    Offset {
        millis,
        matched: walk
            .cues
            .iter()
            .filter(|&&cue| !shots_at(shots, cue + millis).is_empty())
            .count(),
        inside,
    }
}

/// Returns the shots that a cue at this moment of the camera's clock was followed by.
fn shots_at(shots: &[i64], cue: i64) -> &[i64] {
    between(shots, cue + LAG_MS - REACH_MS, cue + LAG_MS + REACH_MS)
}

/// Returns the shots from `first` to `last`, both included.
fn between(shots: &[i64], first: i64, last: i64) -> &[i64] {
    let from = shots.partition_point(|&shot| shot < first);
    let to = shots.partition_point(|&shot| shot <= last);
    &shots[from..to.max(from)]
}

/// Returns the offset moved so that the middle lag of its matches is the usual one.
fn centred(walk: &Walk, shots: &[i64], offset: Offset) -> Offset {
    let mut off: Vec<i64> = walk
        .cues
        .iter()
        .filter_map(|cue| {
            let aim = cue + offset.millis + LAG_MS;
            let near = shots_at(shots, cue + offset.millis).iter();
            near.map(|shot| shot - aim).min_by_key(|off| off.abs())
        })
        .collect();
    off.sort_unstable();
    let middle = off.get(off.len() / 2).copied().unwrap_or(0);
    let moved = weigh(walk, shots, offset.millis + middle);
    // Moving must not cost a match.
    if moved.matched >= offset.matched {
        moved
    } else {
        offset
    }
}

/// Returns the probability that at least as many cues as matched would have a shot if shots were
/// taken without regard to them: binomial, with the part of the walk that is near a shot.
fn chance(walk: &Walk, shots: &[i64], offset: Offset) -> f64 {
    let total: i64 = walk.recordings.iter().map(|(start, end)| end - start).sum();
    let near: i64 = walk
        .recordings
        .iter()
        .map(|&(start, end)| near_a_shot(shots, start + offset.millis, end + offset.millis))
        .sum();
    // Never quite 0 or 1: a walk shorter than a cue's reach tells nothing.
    let part = (near as f64 / total.max(1) as f64).clamp(0.001, 0.999);
    at_least(offset.matched, walk.cues.len(), part)
}

/// Returns how many milliseconds from `start` to `end` a cue could stand at and have a shot.
fn near_a_shot(shots: &[i64], start: i64, end: i64) -> i64 {
    let mut covered = 0;
    let mut reached = start;
    for shot in between(shots, start - REACH_MS, end + LAG_MS + REACH_MS) {
        let from = (shot - LAG_MS - REACH_MS).max(reached);
        let to = (shot - LAG_MS + REACH_MS).min(end);
        covered += (to - from).max(0);
        reached = reached.max(to);
    }
    covered
}

/// Returns the probability of at least `wanted` successes in `tries` of probability `part` each.
fn at_least(wanted: usize, tries: usize, part: f64) -> f64 {
    let mut exactly = (1.0 - part).powi(i32::try_from(tries).unwrap_or(i32::MAX));
    let mut fewer = 0.0;
    for successes in 0..wanted {
        fewer += exactly;
        let ways = (tries - successes) as f64 / (successes + 1) as f64;
        exactly *= ways * part / (1.0 - part);
    }
    // The tail term by term would be more exact; far below the limit it does not matter.
    (1.0 - fewer).max(0.0)
}

/// Returns how many of the rising candidates are apart enough to be different offsets.
fn distinct(candidates: &[i64]) -> usize {
    let mut count = 0;
    let mut last: Option<i64> = None;
    for &candidate in candidates {
        if last.is_none_or(|last| candidate - last > SAME_MS) {
            count += 1;
            last = Some(candidate);
        }
    }
    count
}
