//! Where one must have gone without a word of it that was understood: who speaks of hob, worktop and sink is in the
//! kitchen, though the list still has him in the hall.
//!
//! A hidden Markov model over the sentences. Its states are the sorts of places; one stays where the walk is unless
//! what is spoken of is so much likelier elsewhere that it outweighs what a change without a word costs. How likely
//! that is, all words of a sentence tell (`surroundings.rs`). The likeliest way through is Viterbi's (A. Viterbi, *Error
//! bounds for convolutional codes*, IEEE Transactions on Information Theory 13, 1967).

mod way;

use super::draft::Draft;
use super::finish;
use super::mentions::said_at;
use super::walk::Walked;
use crate::lexicon::{Kind, Lexicon, TermId};
use crate::speech::Transcript;
use crate::statements::reading::Reading;
use crate::statements::surroundings::{LIVING_KITCHEN, Odds, SORTS, surroundings, surroundings_of};
use std::ops::Range;
use way::{Step, likeliest_way, likelihoods};

/// Why an item is where it is.
pub(super) const REASON: &str = "place told by what is spoken of";

/// What a place of a sort is called where none was visited, in the order of [`SORTS`].
const CALLED: [&str; SORTS.len()] = [
    "balcony",
    "bedroom",
    "crawl space",
    "communal area",
    "cupboard",
    "drive",
    "front elevation",
    "garage",
    "rear garden",
    "hallway",
    "kitchen",
    "landing",
    "living room",
    "loft",
    "porch",
    "roof",
    "stairs",
    "cloakroom",
    "utility",
    "bathroom",
];

/// Sorts of which homes have several: a further one is another room.
const SEVERAL: &[&str] = &["bedroom", "washroom", "living", "elevation"];

/// Returns how much more an item's thing is of one place than of another, as a natural logarithm of odds.
pub(super) fn likelier(
    lexicon: &Lexicon,
    draft: &Draft,
    there: Option<TermId>,
    here: Option<TermId>,
) -> f64 {
    let odds = surroundings_of(lexicon, &draft.element.text, draft.element.term);
    f64::from(worth(&odds, sort(lexicon, there)) - worth(&odds, sort(lexicon, here)))
}

/// Returns what speaks for a place of some sort.
fn worth(odds: &Odds, sort: &str) -> f32 {
    let of = |wanted: &str| {
        SORTS
            .iter()
            .position(|sort| *sort == wanted)
            .map(|at| odds[at])
    };
    match sort {
        sort if sort == LIVING_KITCHEN.0 => {
            let both = LIVING_KITCHEN.1.iter().filter_map(|sort| of(sort));
            both.fold(f32::NEG_INFINITY, f32::max)
        }
        sort => of(sort).unwrap_or_default(),
    }
}

/// Moves items to the sort of place that they must be in.
pub(crate) fn settle(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    walked: &mut Walked,
) {
    let steps: Vec<Step> = (0..reading.sentences.len())
        .map(|at| {
            let said = &reading.sentences[at].tokens;
            let place = said.end.checked_sub(1).and_then(|last| walked.at(last));
            let term = place.and_then(|place| walked.places.terms.get(place).copied().flatten());
            Step {
                place,
                sort: sort(lexicon, term),
                odds: surroundings(lexicon, reading, at),
            }
        })
        .collect();
    let told = said_in(reading, walked);
    let likely = likelihoods(&steps);
    // The sort of place that one went to last, and the place, once something is listed there.
    let mut stay: Option<(usize, Option<usize>)> = None;
    let ways = likeliest_way(&steps).into_iter().zip(&likely);
    for ((step, (there, likely)), told) in steps.iter().zip(ways).zip(&told) {
        for &draft in &told.drafts {
            let place = walked.places.terms[walked.drafts[draft].place];
            let of = match there.is_some() && Some(walked.drafts[draft].place) == step.place {
                true => there,
                false => SORTS
                    .iter()
                    .position(|s| *s == sort(lexicon, place) && *s != step.sort),
            };
            let here = likely[of.map_or(0, |of| of + 1)];
            walked.drafts[draft].narrowly.elsewhere = f64::from(1.0 - here);
        }
        let Some(there) = there else {
            stay = None;
            continue;
        };
        let before = stay
            .filter(|(sort, _)| *sort == there)
            .and_then(|(_, place)| place);
        let moved = told
            .drafts
            .iter()
            .filter(|&&draft| Some(walked.drafts[draft].place) == step.place);
        let moved: Vec<usize> = moved.copied().collect();
        let place = match before {
            None if moved.is_empty() => None,
            None => Some(place_of(lexicon, walked, there, step.sort)),
            known => known,
        };
        stay = Some((there, place));
        let Some(place) = place else { continue };
        for draft in moved {
            walked.drafts[draft].place = place;
            walked.drafts[draft].reasons.push(REASON.into());
        }
        let said = finish::span(reading, transcript, told.said);
        let recording = transcript.words[reading.tokens[told.said.start].word].recording;
        let last = walked.places.visited[place].visits.last_mut();
        match last.filter(|_| before.is_some()) {
            Some(visit) => visit.span = visit.span.zip(said).map(|(a, b)| a.cover(b)).or(said),
            None => walked.places.visit(place, recording, said),
        }
    }
}

/// A sentence with the items that are first told in it.
struct Said<'a> {
    said: &'a Range<usize>,
    drafts: Vec<usize>,
}

fn said_in<'a>(reading: &'a Reading, walked: &Walked) -> Vec<Said<'a>> {
    let sentences = reading.sentences.iter().map(|sentence| &sentence.tokens);
    let mut out: Vec<Said<'a>> = sentences
        .map(|said| Said {
            said,
            drafts: Vec::new(),
        })
        .collect();
    for (at, draft) in walked
        .drafts
        .iter()
        .enumerate()
        .filter(|(_, draft)| draft.withdrawn.is_none())
    {
        let told = said_at(draft);
        let sentence = out.partition_point(|sentence| sentence.said.end <= told);
        if let Some(sentence) = out.get_mut(sentence) {
            sentence.drafts.push(at);
        }
    }
    out
}

fn sort(lexicon: &Lexicon, place: Option<TermId>) -> &str {
    place.map_or("", |place| lexicon.place(place).sort.as_str())
}

/// Returns the place of a sort that is meant: the one visited, or a new one.
fn place_of(lexicon: &Lexicon, walked: &mut Walked, there: usize, from: &str) -> usize {
    let several = SEVERAL.contains(&SORTS[there]);
    let mut visited = (0..walked.places.visited.len())
        .filter(|&place| sort(lexicon, walked.places.terms[place]) == SORTS[there]);
    // Off a bedroom one washes in its own.
    let name = match (SORTS[there], from) {
        ("washroom", "bedroom") => "en-suite",
        _ => CALLED[there],
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
    fn every_sort_has_a_name_of_its_sort() {
        let lexicon = Lexicon::embedded().unwrap();
        for (name, expected) in CALLED.iter().zip(SORTS) {
            assert_eq!(
                sort(lexicon, lexicon.find(Kind::Place, name)),
                expected,
                "{name}"
            );
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
