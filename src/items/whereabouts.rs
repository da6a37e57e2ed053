//! Where one must have gone without a word of it that was understood: who speaks of hob, worktop and sink is in the
//! kitchen, though the list still has him in the hall.
//!
//! A hidden Markov model over the items in spoken order. Its states are the sorts of places; an item stays where the
//! walk has it unless what is spoken of, over several items, is so much likelier elsewhere that it outweighs what
//! a change without a word costs. How likely a thing is in a sort of place is counted in walk-rounds whose list is
//! known (`models/whereabouts.toml`, written by `examples/whereabouts`). The likeliest way through is Viterbi's
//! (A. Viterbi, *Error bounds for convolutional codes*, IEEE Transactions on Information Theory 13, 1967).

use super::draft::Draft;
use super::finish;
use super::walk::Walked;
use crate::lexicon::{Kind, Lexicon, TermId};
use crate::speech::Transcript;
use crate::statements::reading::Reading;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Why an item is where it is.
pub(super) const REASON: &str = "place told by what is spoken of";

/// Natural logarithms of odds. One item says no more than this for or against a place: a misheard thing, or one that
/// is only passed, must not move the walk.
const MOST_OF_ONE: f64 = 4.0;
/// What it costs to be elsewhere without a word of it. Two or three items that belong elsewhere, and not here, outweigh
/// it. In walk-rounds left out of the counts, and in those kept for a check, a lower cost moves as many items wrongly as
/// rightly.
const LEAVING: f64 = 15.0;
/// What it costs to come back where the walk still is, without a word of that either.
const COMING_BACK: f64 = 6.0;

/// How often counted things are taken to have been seen in the usual proportions beforehand.
const BEFOREHAND: f64 = 2.0;

/// What a place of a sort is called where none was visited. Sorts without a name are not gone to unnoticed.
const CALLED: [(&str, &str); 17] = [
    ("kitchen", "kitchen"),
    ("living", "living room"),
    ("washroom", "bathroom"),
    ("toilet", "cloakroom"),
    ("bedroom", "bedroom"),
    ("utility", "utility"),
    ("hall", "hallway"),
    ("stairs", "stairs"),
    ("landing", "landing"),
    ("loft", "loft"),
    ("garage", "garage"),
    ("elevation", "front elevation"),
    ("roof", "roof"),
    ("garden", "rear garden"),
    ("drive", "drive"),
    ("balcony", "balcony"),
    ("below", "crawl space"),
];

/// Sorts of which homes have several: a further one is another room.
const SEVERAL: &[&str] = &["bedroom", "washroom", "living", "elevation"];

/// A kitchen that one lives in, of either sort.
const LIVING_KITCHEN: &str = "living kitchen";

static FITTED: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/models/whereabouts.toml"
));

/// How often things were spoken of in each sort of place.
#[derive(Debug, Deserialize, Default)]
struct Counts {
    /// All things.
    all: BTreeMap<String, f64>,
    /// By the last word of what they were called.
    words: BTreeMap<String, BTreeMap<String, f64>>,
    /// By their names in the lexicon.
    things: BTreeMap<String, BTreeMap<String, f64>>,
}

fn counts() -> &'static Counts {
    static COUNTS: OnceLock<Counts> = OnceLock::new();
    // That the built-in file is whole is a test's to keep.
    COUNTS.get_or_init(|| toml::from_str(FITTED).unwrap_or_default())
}

/// How much more of a thing's mentions are in each sort of place than of things at large, as natural logarithms, in
/// the order of [`CALLED`].
fn evidence(counts: &Counts, lexicon: &Lexicon, draft: &Draft) -> [f64; CALLED.len()] {
    let total: f64 = counts.all.values().sum::<f64>().max(1.0);
    let usual = CALLED.map(|(sort, _)| counts.all.get(sort).copied().unwrap_or(1.0) / total);
    let mut share = usual;
    let mut learn = |seen: Option<&BTreeMap<String, f64>>| {
        let Some(seen) = seen else { return };
        let times: f64 = seen.values().sum();
        for (share, (sort, _)) in share.iter_mut().zip(CALLED) {
            let here = seen.get(sort).copied().unwrap_or_default();
            *share = (here + BEFOREHAND * *share) / (times + BEFOREHAND);
        }
    };
    let last = draft.element.text.rsplit(' ').next().unwrap_or_default();
    learn(counts.words.get(last));
    learn(
        draft
            .element
            .term
            .and_then(|term| counts.things.get(lexicon.name(term))),
    );
    let mut out = [0.0; CALLED.len()];
    for (at, out) in out.iter_mut().enumerate() {
        *out = (share[at] / usual[at])
            .ln()
            .clamp(-MOST_OF_ONE, MOST_OF_ONE);
    }
    out
}

/// Returns how much more an item's thing is of one place than of another, as a natural logarithm of odds.
pub(super) fn likelier(
    lexicon: &Lexicon,
    draft: &Draft,
    there: Option<TermId>,
    here: Option<TermId>,
) -> f64 {
    let seen = evidence(counts(), lexicon, draft);
    worth(&seen, sort(lexicon, there)) - worth(&seen, sort(lexicon, here))
}

/// Returns what speaks for a place of some sort.
fn worth(seen: &[f64; CALLED.len()], sort: &str) -> f64 {
    let of = |wanted: &str| CALLED.iter().position(|(sort, _)| *sort == wanted);
    match sort {
        LIVING_KITCHEN => ["kitchen", "living"]
            .iter()
            .filter_map(|sort| of(sort))
            .map(|sort| seen[sort])
            .fold(f64::NEG_INFINITY, f64::max),
        sort => of(sort).map_or(0.0, |sort| seen[sort]),
    }
}

/// Moves items to the sort of place that they must be in.
pub(crate) fn settle(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    walked: &mut Walked,
) {
    let drafts: Vec<usize> = (0..walked.drafts.len())
        .filter(|&at| walked.drafts[at].withdrawn.is_none())
        .collect();
    let sorts: Vec<&str> = walked
        .places
        .terms
        .iter()
        .map(|term| sort(lexicon, *term))
        .collect();
    let seen: Vec<[f64; CALLED.len()]> = drafts
        .iter()
        .map(|&at| evidence(counts(), lexicon, &walked.drafts[at]))
        .collect();
    let here: Vec<(usize, &str)> = drafts
        .iter()
        .map(|&at| walked.drafts[at].place)
        .map(|place| (place, sorts.get(place).copied().unwrap_or_default()))
        .collect();
    let moved = likeliest_way(&here, &seen);
    for (at, (&draft, there)) in drafts.iter().zip(&moved).enumerate() {
        let Some(there) = *there else { continue };
        let before = at
            .checked_sub(1)
            .filter(|&before| moved[before] == Some(there));
        let place = match before {
            Some(before) => walked.drafts[drafts[before]].place,
            None => place_of(lexicon, walked, there, here[at].1),
        };
        let draft = &mut walked.drafts[draft];
        let said = finish::span(reading, transcript, &draft.tokens);
        let visits = &mut walked.places.visited[place].visits;
        let first = &transcript.words[reading.tokens[draft.tokens.start].word];
        match visits.last_mut().filter(|_| before.is_some()) {
            Some(visit) => visit.span = visit.span.zip(said).map(|(a, b)| a.cover(b)).or(said),
            None => walked.places.visit(place, first.recording, said),
        }
        draft.place = place;
        draft.reasons.push(REASON.into());
    }
}

fn sort(lexicon: &Lexicon, place: Option<TermId>) -> &str {
    place.map_or("", |place| lexicon.place(place).sort.as_str())
}

/// Returns the sort that each item is of where the walk does not have it, as a place in [`CALLED`]; `here` is the
/// place that the walk has each at, and its sort.
fn likeliest_way(here: &[(usize, &str)], seen: &[[f64; CALLED.len()]]) -> Vec<Option<usize>> {
    /// The state of being where the walk is, before those of the sorts.
    const WITH_THE_WALK: usize = 0;
    const STATES: usize = CALLED.len() + 1;
    let mut best: Vec<[(f64, usize); STATES]> = Vec::with_capacity(here.len());
    for (at, ((place, sort), seen)) in here.iter().zip(seen).enumerate() {
        let stays = at > 0 && here[at - 1].0 == *place;
        let own = worth(seen, sort);
        let mut row = [(f64::NEG_INFINITY, WITH_THE_WALK); STATES];
        let before = best.last().copied().unwrap_or_else(|| {
            // The walk begins where it begins.
            let mut first = row;
            first[WITH_THE_WALK].0 = 0.0;
            first
        });
        for (state, cell) in row.iter_mut().enumerate() {
            if state > WITH_THE_WALK && CALLED[state - 1].0 == *sort {
                continue;
            }
            for (from, (so_far, _)) in before.iter().enumerate() {
                let cost = match (from, state) {
                    (WITH_THE_WALK, WITH_THE_WALK) => 0.0,
                    (_, WITH_THE_WALK) if stays => COMING_BACK,
                    (_, WITH_THE_WALK) => 0.0,
                    (from, state) if from == state && stays => 0.0,
                    _ => LEAVING,
                };
                if so_far - cost > cell.0 {
                    *cell = (so_far - cost, from);
                }
            }
            cell.0 += if state == WITH_THE_WALK {
                own
            } else {
                seen[state - 1]
            };
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

/// Returns the place of a sort that is meant: the one visited, or a new one.
fn place_of(lexicon: &Lexicon, walked: &mut Walked, there: usize, from: &str) -> usize {
    let (sort_there, called) = CALLED[there];
    let several = SEVERAL.contains(&sort_there);
    let mut visited = (0..walked.places.visited.len())
        .filter(|&place| sort(lexicon, walked.places.terms[place]) == sort_there);
    // Off a bedroom one washes in its own.
    let name = match (sort_there, from) {
        ("washroom", "bedroom") => "en-suite",
        _ => called,
    };
    let known = (0..walked.places.visited.len())
        .find(|&place| walked.places.terms[place].is_some_and(|term| lexicon.name(term) == name));
    if let Some(place) = known.or_else(|| visited.next_back().filter(|_| !several)) {
        return place;
    }
    let term = lexicon.find(Kind::Place, name);
    let kind = term.map_or("room", |term| lexicon.place(term).kind.word());
    walked.places.add(name, kind, name, term)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::items::propose;
    use crate::speech::{Transcript, Word};

    #[test]
    fn the_built_in_counts_are_whole() {
        let counts: Counts = toml::from_str(FITTED).unwrap();
        for (sort, _) in CALLED {
            assert!(counts.all.contains_key(sort), "{sort}");
        }
        assert!(counts.things.len() > 100 && counts.words.len() > 100);
    }

    /// Held against every way there is, over things that speak for one place or another by chance.
    #[test]
    fn the_way_is_the_likeliest_of_all_ways() {
        let mut seed: u64 = 7;
        let mut random = move || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            ((seed >> 33) % 800) as f64 / 100.0 - 4.0
        };
        let kitchen = CALLED
            .iter()
            .position(|(sort, _)| *sort == "kitchen")
            .unwrap();
        let roof = CALLED.iter().position(|(sort, _)| *sort == "roof").unwrap();
        for _ in 0..50 {
            let mut here = vec![(0, "hall"); 5];
            here.push((1, "kitchen"));
            let hall = CALLED.iter().position(|(sort, _)| *sort == "hall").unwrap();
            let seen: Vec<[f64; CALLED.len()]> = here
                .iter()
                .map(|_| {
                    let mut of = [-MOST_OF_ONE; CALLED.len()];
                    for sort in [kitchen, roof, hall] {
                        of[sort] = random();
                    }
                    of
                })
                .collect();
            let worth = |way: &[Option<usize>]| -> f64 {
                let mut sum = 0.0;
                for at in 0..way.len() {
                    let own = if here[at].1 == "hall" { hall } else { kitchen };
                    let stays = at > 0 && here[at - 1].0 == here[at].0;
                    let before = at.checked_sub(1).and_then(|before| way[before]);
                    sum -= match (before, way[at]) {
                        (None, None) => 0.0,
                        (Some(_), None) => {
                            if stays {
                                COMING_BACK
                            } else {
                                0.0
                            }
                        }
                        (from, to) if from == to && stays => 0.0,
                        _ => LEAVING,
                    };
                    sum += seen[at][way[at].unwrap_or(own)];
                }
                sum
            };
            let choices = [None, Some(kitchen), Some(roof)];
            let mut most = f64::NEG_INFINITY;
            for number in 0..3usize.pow(6) {
                let way: Vec<Option<usize>> = (0..6)
                    .map(|at| choices[number / 3usize.pow(at) % 3])
                    .collect();
                if way[5] != Some(kitchen) {
                    most = most.max(worth(&way));
                }
            }
            let found = likeliest_way(&here, &seen);
            assert!((worth(&found) - most).abs() < 1e-9, "{found:?}");
        }
    }

    fn listed(text: &str) -> Vec<String> {
        let transcript = Transcript {
            recordings: Vec::new(),
            words: text.split(' ').map(Word::written).collect(),
        };
        let items = propose(Lexicon::embedded().unwrap(), &transcript).items;
        items
            .iter()
            .map(|item| format!("{}: {}", item.place, item.element))
            .collect()
    }

    #[test]
    fn several_things_of_another_room_tell_where_one_is() {
        let said = "Hallway. The mat's torn. Now this is nice. The hob's not working. The worktop's chipped. The sink's \
                    loose. The oven door's stiff. The plinth's come away.";
        assert_eq!(
            listed(said)[1..],
            [
                "kitchen: hob",
                "kitchen: worktop",
                "kitchen: sink",
                "kitchen: oven door",
                "kitchen: plinth"
            ]
        );
    }

    #[test]
    fn one_thing_of_another_room_tells_nothing() {
        let said = "Hallway. The mat's torn. The hob's not working. The newel post is loose. The doorbell's dead.";
        assert!(
            listed(said).iter().all(|item| !item.starts_with("kitchen")),
            "{:?}",
            listed(said)
        );
    }
}
