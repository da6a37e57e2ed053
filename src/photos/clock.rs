//! Placing photos in the recordings: whose clock says what, and what speaks for it.
//!
//! Each camera has a clock of its own, and so has whatever each group of recordings was made with.
//! For every pair of camera and group one offset is looked for: the one given by hand, else the one
//! at which shots were taken when a photo was spoken of, else the one that the clocks tell. An offset
//! by which an earlier run placed photos stays until another is given by hand.

use super::offset::{Finding, LAG_MS, REACH_MS, Walk, by_clocks, find_offset, weigh};
use super::started::Started;
use super::taken::Taken;
use crate::job::Moment;
use crate::time::Millis;
use std::collections::BTreeMap;

/// A photo with a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shot {
    /// Its name, unique.
    pub name: String,
    /// The camera, as [`super::PhotoFacts::camera`].
    pub camera: String,
    /// When it was taken.
    pub taken: Taken,
}

/// A recording as far as clocks are concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tape {
    /// Its number.
    pub recording: u32,
    /// Its length.
    pub length: Millis,
    /// When it began or ended.
    pub started: Option<Started>,
}

/// What the inspector knows about the clocks.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ByHand {
    /// Milliseconds by which every camera's clock is ahead of the recorder's.
    pub offset_ms: Option<i64>,
    /// A photo, by [`Shot::name`], and the moment at which it was taken.
    pub taken_at: Option<(String, Moment)>,
    /// Where an earlier run placed photos, by [`Shot::name`], by more than the clocks alone: what was
    /// given by hand then holds for photos that the same camera took and that come later.
    pub before: BTreeMap<String, Moment>,
}

/// What an offset rests on, from the weakest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ground {
    /// When the recording's file was last changed.
    Changed,
    /// The start that the recording tells and the times that the photos tell.
    Clocks,
    /// Shots at the moments at which a photo was spoken of.
    Cues,
    /// The places that an earlier run gave to photos of the camera.
    Before,
    /// What the inspector gave.
    Hand,
}

/// What was found out about one camera and the recordings of one recorder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clock {
    /// The camera.
    pub camera: String,
    /// How many photos it took.
    pub shots: usize,
    /// The recordings, by number, with the moment at which each began by the camera's clock
    /// where that was found.
    pub recordings: Vec<(u32, Option<Taken>)>,
    /// How many times a photo was spoken of in them.
    pub cues: usize,
    /// What was found.
    pub finding: Finding,
    /// What it rests on; `None` where nothing is known well enough to place the photos.
    pub ground: Option<Ground>,
}

/// A photo's place in the walk-round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// The moment at which it was taken.
    pub moment: Moment,
    /// The moment at which it was spoken of, where it was.
    pub cue: Option<Moment>,
    /// What its place rests on.
    pub ground: Ground,
}

/// Zones to try where the photos do not tell theirs, in minutes: every half hour in use. Those
/// three quarters past an hour have few homes, and would make long recordings ambiguous.
const ZONES: std::ops::RangeInclusive<i64> = -24..=28;

const MINUTE_MS: i64 = 60_000;

/// Places the shots in the recordings. Returns where each shot that has a place is, by its name,
/// and what was found for each camera and group of recordings.
pub fn place(
    shots: &[Shot],
    tapes: &[Tape],
    cues: &[Moment],
    by_hand: &ByHand,
) -> (BTreeMap<String, Placed>, Vec<Clock>) {
    let mut placed: BTreeMap<String, Placed> = BTreeMap::new();
    let mut clocks = Vec::new();
    for (camera, shots) in by_camera(shots) {
        for group in groups(tapes) {
            let roll = Roll::new(camera, &shots);
            let found = roll.against(&group, cues, by_hand);
            let clock = roll
                .as_before(&group, cues, &by_hand.before, &found)
                .unwrap_or(found);
            for (name, place) in roll.places(&clock, tapes, cues) {
                // A place on firmer ground wins; the earlier recording wins over a later one.
                if placed
                    .get(&name)
                    .is_none_or(|known| known.ground < place.ground)
                {
                    placed.insert(name, place);
                }
            }
            clocks.push(clock);
        }
    }
    (placed, clocks)
}

fn by_camera(shots: &[Shot]) -> BTreeMap<&str, Vec<&Shot>> {
    let mut cameras: BTreeMap<&str, Vec<&Shot>> = BTreeMap::new();
    for shot in shots {
        cameras.entry(&shot.camera).or_default().push(shot);
    }
    cameras
}

/// Returns the recordings that share a clock: all that tell their start in the same way; each of
/// the others alone.
fn groups(tapes: &[Tape]) -> Vec<Vec<Tape>> {
    let mut groups: Vec<Vec<Tape>> = Vec::new();
    for &tape in tapes {
        let known = groups.iter_mut().find(|group| {
            let kind = |tape: Tape| tape.started.map(|s| std::mem::discriminant(&s));
            tape.started.is_some() && kind(group[0]) == kind(tape)
        });
        match known {
            Some(group) => group.push(tape),
            None => groups.push(vec![tape]),
        }
    }
    groups
}

/// The shots of one camera, on one clock.
struct Roll<'a> {
    camera: &'a str,
    /// The zone that most shots tell.
    zone: Option<i16>,
    /// Each shot's time in that zone, rising, with its name.
    shots: Vec<(i64, &'a str)>,
    times: Vec<i64>,
}

impl<'a> Roll<'a> {
    fn new(camera: &'a str, shots: &[&'a Shot]) -> Self {
        let mut told: BTreeMap<i16, usize> = BTreeMap::new();
        for zone in shots.iter().filter_map(|shot| shot.taken.zone_minutes) {
            *told.entry(zone).or_default() += 1;
        }
        let zone = told
            .into_iter()
            .max_by_key(|&(_, count)| count)
            .map(|(zone, _)| zone);
        let mut shots: Vec<(i64, &str)> = shots
            .iter()
            .map(|shot| {
                let own = shot.taken.zone_minutes.or(zone).unwrap_or(0);
                let ahead = i64::from(zone.unwrap_or(0)) - i64::from(own);
                (shot.taken.local_ms + ahead * MINUTE_MS, shot.name.as_str())
            })
            .collect();
        shots.sort_unstable();
        let times = shots.iter().map(|&(at, _)| at).collect();
        Roll {
            camera,
            zone,
            shots,
            times,
        }
    }

    /// Finds the offset to a group of recordings.
    fn against(&self, group: &[Tape], cues: &[Moment], by_hand: &ByHand) -> Clock {
        let as_told = bases(group, false);
        let walk = walk(group, &as_told, cues);
        let anchor = by_hand.taken_at.as_ref().and_then(|(name, moment)| {
            let (at, _) = self.shots.iter().find(|(_, other)| other == name)?;
            let base = group
                .iter()
                .zip(&as_told)
                .find(|(t, _)| t.recording == moment.recording)?
                .1;
            Some(at - base - ms(moment.at))
        });
        if let Some(millis) = anchor {
            let found = Finding::Found(weigh(&walk, &self.times, millis));
            return self.clock(group, &as_told, &walk, found, Some(Ground::Hand));
        }
        let expected = self.expected(group, by_hand.offset_ms.unwrap_or(0));
        // A file's time may be that of the recording's end.
        let ended = bases(group, true);
        let shifted = self::walk(group, &ended, cues);
        let hypotheses: Vec<(&Walk, &[i64], i64)> = expected
            .iter()
            .flat_map(|&e| [(&walk, &*as_told, e), (&shifted, &*ended, e)])
            .collect();
        let told = by_clocks(
            &hypotheses
                .iter()
                .map(|&(w, _, e)| (w, e))
                .collect::<Vec<_>>(),
            &self.times,
        )
        .map(|(place, offset)| (hypotheses[place].0, hypotheses[place].1, offset));
        if by_hand.offset_ms.is_some() && group[0].started.is_some() {
            let sure = self
                .zone
                .and(expected.first())
                .map(|&millis| (&walk, &*as_told, weigh(&walk, &self.times, millis)));
            return match told.or(sure) {
                Some((walk, bases, offset)) => self.clock(
                    group,
                    bases,
                    walk,
                    Finding::Found(offset),
                    Some(Ground::Hand),
                ),
                None => self.clock(group, &as_told, &walk, Finding::Nothing, None),
            };
        }
        let mut by_cues = (&walk, &*as_told, find_offset(&walk, &self.times, &expected));
        if !matches!(by_cues.2, Finding::Found(_)) {
            let other = find_offset(&shifted, &self.times, &expected);
            if matches!(other, Finding::Found(_)) {
                by_cues = (&shifted, &*ended, other);
            }
        }
        let (found_walk, found_bases, finding) = by_cues;
        if matches!(finding, Finding::Found(_)) {
            return self.clock(group, found_bases, found_walk, finding, Some(Ground::Cues));
        }
        match told {
            Some((walk, bases, offset)) => {
                let weak = matches!(group[0].started, Some(Started::Changed(_)))
                    || (walk.cues.len() >= CUES_THAT_SPEAK && offset.matched == 0);
                let ground = if weak {
                    Ground::Changed
                } else {
                    Ground::Clocks
                };
                self.clock(group, bases, walk, Finding::Found(offset), Some(ground))
            }
            None => self.clock(group, &as_told, &walk, finding, None),
        }
    }

    /// Returns the clock by which an earlier run placed shots, where what is found now is another and
    /// was not given by hand: items already have the photos that go by it.
    fn as_before(
        &self,
        group: &[Tape],
        cues: &[Moment],
        before: &BTreeMap<String, Moment>,
        found: &Clock,
    ) -> Option<Clock> {
        if found.ground == Some(Ground::Hand) {
            return None;
        }
        // A start told may have been read as the end then; all shots agree on which it was.
        let (bases, millis) = [false, true].into_iter().find_map(|told_is_end| {
            let bases = bases(group, told_is_end);
            let millis = self.offset_before(group, &bases, before)?;
            Some((bases, millis))
        })?;
        let (_, began) = found.recordings.first()?;
        let began_then = bases.first()? + millis;
        if began.is_some_and(|now| (now.local_ms - began_then).abs() <= SAME_MS) {
            return None;
        }
        let walk = walk(group, &bases, cues);
        let kept = Finding::Found(weigh(&walk, &self.times, millis));
        Some(self.clock(group, &bases, &walk, kept, Some(Ground::Before)))
    }

    /// Returns the offset by which an earlier run placed shots in the group; `None` where there are
    /// none, or where they do not agree.
    fn offset_before(
        &self,
        group: &[Tape],
        bases: &[i64],
        before: &BTreeMap<String, Moment>,
    ) -> Option<i64> {
        let mut offsets = self.shots.iter().filter_map(|&(at, name)| {
            let moment = before.get(name)?;
            let place = group.iter().position(|t| t.recording == moment.recording)?;
            Some(at - bases.get(place)? - ms(moment.at))
        });
        let first = offsets.next()?;
        offsets
            .all(|offset| (offset - first).abs() <= SAME_MS)
            .then_some(first)
    }

    /// Returns the offsets that the clocks make likely, `ahead` being what the camera's clock is
    /// ahead of a right one.
    fn expected(&self, group: &[Tape], ahead: i64) -> Vec<i64> {
        match (group[0].started, self.zone) {
            (None, _) => vec![],
            (Some(Started::Local(_)), _) => vec![ahead],
            (Some(_), Some(zone)) => vec![i64::from(zone) * MINUTE_MS + ahead],
            (Some(_), None) => ZONES.map(|half| half * 30 * MINUTE_MS + ahead).collect(),
        }
    }

    fn clock(
        &self,
        group: &[Tape],
        bases: &[i64],
        walk: &Walk,
        finding: Finding,
        ground: Option<Ground>,
    ) -> Clock {
        let offset = match (finding, ground) {
            (Finding::Found(offset), Some(_)) => Some(offset.millis),
            _ => None,
        };
        let began = |base: i64| {
            offset.map(|offset| Taken {
                local_ms: base + offset,
                zone_minutes: self.zone,
            })
        };
        Clock {
            camera: self.camera.into(),
            shots: self.shots.len(),
            recordings: group
                .iter()
                .zip(bases)
                .map(|(t, &b)| (t.recording, began(b)))
                .collect(),
            cues: walk.cues.len(),
            finding,
            ground,
        }
    }

    /// Returns the shots that lie in the clock's recordings.
    fn places(&self, clock: &Clock, tapes: &[Tape], cues: &[Moment]) -> Vec<(String, Placed)> {
        let Some(ground) = clock.ground else {
            return vec![];
        };
        let mut places = Vec::new();
        for &(recording, began) in &clock.recordings {
            let length = tapes
                .iter()
                .find(|t| t.recording == recording)
                .map(|t| ms(t.length));
            let (Some(began), Some(length)) = (began, length) else {
                continue;
            };
            for &(at, name) in &self.shots {
                let at = at - began.local_ms;
                if !(0..=length).contains(&at) {
                    continue;
                }
                let cue = cues
                    .iter()
                    .filter(|cue| cue.recording == recording)
                    .filter(|cue| (at - ms(cue.at) - LAG_MS).abs() <= REACH_MS)
                    .min_by_key(|cue| (at - ms(cue.at) - LAG_MS).abs());
                let at = Millis(u64::try_from(at).unwrap_or(0));
                let placed = Placed {
                    moment: Moment { recording, at },
                    cue: cue.copied(),
                    ground,
                };
                places.push((name.to_owned(), placed));
            }
        }
        places
    }
}

/// Two offsets this near are one: many files tell their time in whole seconds.
const SAME_MS: i64 = 1_000;

/// With this many cues and no shot at any of them the clocks are not trusted.
const CUES_THAT_SPEAK: usize = 3;

/// Returns when each recording began by the recorder's clock, taking a start told as told or as
/// the end; 0 where nothing is told.
fn bases(group: &[Tape], told_is_end: bool) -> Vec<i64> {
    group
        .iter()
        .map(|tape| match tape.started {
            Some(Started::Utc(at) | Started::Local(at)) if !told_is_end => at,
            Some(Started::Utc(at) | Started::Local(at) | Started::Changed(at)) => {
                at - ms(tape.length)
            }
            None => 0,
        })
        .collect()
}

fn walk(group: &[Tape], bases: &[i64], cues: &[Moment]) -> Walk {
    let mut walk = Walk::default();
    for (tape, base) in group.iter().zip(bases) {
        walk.recordings.push((*base, base + ms(tape.length)));
        let own = cues.iter().filter(|cue| cue.recording == tape.recording);
        walk.cues.extend(own.map(|cue| base + ms(cue.at)));
    }
    walk.cues.sort_unstable();
    walk
}

fn ms(at: Millis) -> i64 {
    i64::try_from(at.0).unwrap_or(i64::MAX)
}
