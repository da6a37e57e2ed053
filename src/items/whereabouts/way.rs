//! The likeliest way through the places, sentence by sentence.

use super::worth;
use crate::statements::surroundings::{LIVING_KITCHEN, Odds, SORTS};

/// What a sentence tells of the place: the one that the walk has, its sort, and what speaks for each sort.
#[derive(Debug, Clone)]
pub(super) struct Step<'a> {
    pub(super) place: Option<usize>,
    pub(super) sort: &'a str,
    pub(super) odds: Odds,
}

/// How much of what a sentence says for a place counts: sentences next to each other speak of the same things, so
/// they do not say as much as they would each by itself.
const SHARE: f32 = 0.5;
/// The most that one sentence says for or against a place, before that: a misheard thing, or one that is only passed,
/// must not move the walk.
const MOST_OF_ONE: f32 = 6.0;
/// What it costs to be elsewhere without a word of it. The four costs were searched over walk-rounds left out of the
/// fit: a lower one moves more items, and in walk-rounds that the rules know well more wrongly than rightly.
const LEAVING: f32 = 5.0;
/// What it costs besides to be elsewhere when the walk goes on to another place just then, or has come to one with the
/// sentence before: who names a room is in it.
const NOT_GOING: f32 = 4.0;
/// What it costs to come back where the walk still is, without a word of that either.
const COMING_BACK: f32 = 2.0;

/// The state of being where the walk is, before those of the sorts.
const WITH_THE_WALK: usize = 0;
const STATES: usize = SORTS.len() + 1;

/// Returns the sort of place that each sentence is spoken in where it is not that of the walk, by its index in
/// [`SORTS`].
pub(super) fn likeliest_way(steps: &[Step<'_>]) -> Vec<Option<usize>> {
    let mut best: Vec<[(f32, usize); STATES]> = Vec::with_capacity(steps.len());
    for (at, step) in steps.iter().enumerate() {
        let (stays, just_come) = goes_on(steps, at);
        let before = best.last().copied().unwrap_or_else(|| {
            // The walk begins where it begins.
            let mut first = [(f32::NEG_INFINITY, WITH_THE_WALK); STATES];
            first[WITH_THE_WALK].0 = 0.0;
            first
        });
        let mut row = [(f32::NEG_INFINITY, WITH_THE_WALK); STATES];
        let odds = step.counted();
        for (state, cell) in row.iter_mut().enumerate() {
            let Some(seen) = step.seen_from(&odds, state) else {
                continue;
            };
            for (from, (so_far, _)) in before.iter().enumerate() {
                let value = so_far - cost(from, state, stays, just_come);
                if value > cell.0 {
                    *cell = (value, from);
                }
            }
            cell.0 += seen;
        }
        best.push(row);
    }
    let mut state = best.last().map_or(WITH_THE_WALK, |last| {
        let likeliest = (0..STATES).max_by(|a, b| last[*a].0.total_cmp(&last[*b].0));
        likeliest.unwrap_or(WITH_THE_WALK)
    });
    let mut way = Vec::with_capacity(best.len());
    for row in best.iter().rev() {
        way.push(state.checked_sub(1));
        state = row[state].1;
    }
    way.reverse();
    way
}

/// Returns for each sentence how likely each state is, over all ways (the forward-backward algorithm: L. Rabiner, *A
/// tutorial on hidden Markov models*, Proceedings of the IEEE 77, 1989).
pub(super) fn likelihoods(steps: &[Step<'_>]) -> Vec<[f32; STATES]> {
    // How likely each passage is from one state to another, by whether the walk stays and has just come.
    let passages = [false, true].map(|stays| {
        [false, true].map(|just_come| -> [[f32; STATES]; STATES] {
            let passage = |from, to| (-cost(from, to, stays, just_come)).exp();
            std::array::from_fn(|from| std::array::from_fn(|to| passage(from, to)))
        })
    });
    let passages = |at: usize| {
        let (stays, just_come) = goes_on(steps, at);
        &passages[usize::from(stays)][usize::from(just_come)]
    };
    let seen: Vec<[f32; STATES]> = steps
        .iter()
        .map(|step| {
            let odds = step.counted();
            std::array::from_fn(|state| step.seen_from(&odds, state).map_or(0.0, f32::exp))
        })
        .collect();
    let scaled = |row: [f32; STATES]| {
        let sum: f32 = row.iter().sum();
        row.map(|value| value / sum)
    };
    let mut begins = [0.0; STATES];
    begins[WITH_THE_WALK] = 1.0;
    let mut so_far = Vec::with_capacity(steps.len());
    let mut before = begins;
    for (at, seen) in seen.iter().enumerate() {
        let mut now = [0.0; STATES];
        for (before, passage) in before.iter().zip(passages(at)) {
            for (now, passage) in now.iter_mut().zip(passage) {
                *now += before * passage;
            }
        }
        before = scaled(std::array::from_fn(|state| now[state] * seen[state]));
        so_far.push(before);
    }
    let mut after = [1.0; STATES];
    let mut out = vec![[0.0; STATES]; steps.len()];
    for at in (0..steps.len()).rev() {
        out[at] = scaled(std::array::from_fn(|state| {
            so_far[at][state] * after[state]
        }));
        let then: [f32; STATES] = std::array::from_fn(|state| seen[at][state] * after[state]);
        let likely = |passage: &[f32; STATES]| passage.iter().zip(&then).map(|(a, b)| a * b).sum();
        after = scaled(passages(at).each_ref().map(likely));
    }
    out
}

/// Returns whether the walk stays where it is with a step, and whether it had just come there with the one before.
fn goes_on(steps: &[Step<'_>], at: usize) -> (bool, bool) {
    let came = |at: usize| at == 0 || steps[at - 1].place != steps[at].place;
    (!came(at), at > 0 && came(at - 1))
}

/// What it costs to go from one state to another; `stays` tells that the walk does not go on meanwhile, `just_come` that
/// it did with the sentence before.
fn cost(from: usize, to: usize, stays: bool, just_come: bool) -> f32 {
    let not_going = if stays { 0.0 } else { NOT_GOING };
    match (from, to) {
        (WITH_THE_WALK, WITH_THE_WALK) => 0.0,
        (_, WITH_THE_WALK) if stays => COMING_BACK,
        (_, WITH_THE_WALK) => 0.0,
        (from, to) if from == to => not_going,
        (WITH_THE_WALK, _) if just_come => LEAVING + NOT_GOING,
        _ => LEAVING + not_going,
    }
}

impl Step<'_> {
    /// Returns how much of what the sentence says for each sort counts.
    fn counted(&self) -> Odds {
        let counted = |odds: f32| odds.clamp(-MOST_OF_ONE, MOST_OF_ONE) * SHARE;
        self.odds.map(counted)
    }

    /// Returns what that says for a state; `None` for the sort of place that the walk has anyway.
    fn seen_from(&self, odds: &Odds, state: usize) -> Option<f32> {
        let Some(sort) = state.checked_sub(1) else {
            return Some(worth(odds, self.sort));
        };
        let both = self.sort == LIVING_KITCHEN.0 && LIVING_KITCHEN.1.contains(&SORTS[sort]);
        (SORTS[sort] != self.sort && !both).then_some(odds[sort])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns a source of odds by chance, from -8 to 8.
    fn chance() -> impl FnMut() -> f32 {
        let mut seed: u64 = 7;
        move || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            ((seed >> 33) % 800) as f32 / 50.0 - 8.0
        }
    }

    /// Returns what a way is worth; `None` for one through the sort of place that the walk has anyway.
    fn worth_of(steps: &[Step<'_>], way: &[usize]) -> Option<f32> {
        let (mut sum, mut from) = (0.0, WITH_THE_WALK);
        let comes = |at: usize| at == 0 || steps[at].place != steps[at - 1].place;
        for (at, (step, &state)) in steps.iter().zip(way).enumerate() {
            sum += step.seen_from(&step.counted(), state)?
                - cost(from, state, !comes(at), at > 0 && comes(at - 1));
            from = state;
        }
        Some(sum)
    }

    /// Held against every way there is, over sentences that speak for one place or another by chance.
    #[test]
    fn the_way_is_the_likeliest_of_all_ways() {
        let mut random = chance();
        let sort = |name: &str| SORTS.iter().position(|sort| *sort == name).unwrap();
        let (kitchen, roof, hall) = (sort("kitchen"), sort("roof"), sort("hall"));
        for _ in 0..50 {
            let steps: Vec<Step<'_>> = (0..6)
                .map(|at| {
                    let mut odds = [-MOST_OF_ONE; SORTS.len()];
                    for sort in [kitchen, roof, hall] {
                        odds[sort] = random();
                    }
                    let (place, sort) = if at < 5 { (0, "hall") } else { (1, "kitchen") };
                    Step {
                        place: Some(place),
                        sort,
                        odds,
                    }
                })
                .collect();
            let choices = [WITH_THE_WALK, kitchen + 1, roof + 1];
            let every = (0..3usize.pow(6)).map(|number| -> Vec<usize> {
                (0..6)
                    .map(|at| choices[number / 3usize.pow(at) % 3])
                    .collect()
            });
            let most = every
                .filter_map(|way| worth_of(&steps, &way))
                .fold(f32::NEG_INFINITY, f32::max);
            let found: Vec<usize> = likeliest_way(&steps)
                .iter()
                .map(|state| state.map_or(WITH_THE_WALK, |sort| sort + 1))
                .collect();
            assert!(
                (worth_of(&steps, &found).unwrap() - most).abs() < 1e-3,
                "{found:?}"
            );
        }
    }

    /// Held against the share of all ways, each as likely as the exponential of what it is worth.
    #[test]
    fn a_state_is_as_likely_as_all_ways_through_it() {
        let mut random = chance();
        for _ in 0..5 {
            let steps: Vec<Step<'_>> = (0..3)
                .map(|at| Step {
                    place: Some(usize::from(at == 2)),
                    sort: if at < 2 { "hall" } else { "kitchen" },
                    odds: std::array::from_fn(|_| random()),
                })
                .collect();
            let (mut all, mut through) = (0.0, [[0.0; STATES]; 3]);
            for number in 0..STATES.pow(3) {
                let way = [
                    number % STATES,
                    number / STATES % STATES,
                    number / STATES / STATES,
                ];
                let Some(worth) = worth_of(&steps, &way) else {
                    continue;
                };
                all += worth.exp();
                for (at, state) in way.into_iter().enumerate() {
                    through[at][state] += worth.exp();
                }
            }
            for (found, expected) in likelihoods(&steps).iter().zip(through) {
                for (found, expected) in found.iter().zip(expected) {
                    assert!(
                        (found - expected / all).abs() < 1e-4,
                        "{found} {}",
                        expected / all
                    );
                }
            }
        }
    }
}
