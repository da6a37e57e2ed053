//! How sure an item is: a logistic reading of what is doubtful about it, with weights fitted to
//! walk-rounds whose list is known (`examples/calibrate`, which writes `models/confidence.toml`).

use super::draft::Draft;
use super::mentions;
use super::walk::{GUESSED, NO_FAULT_NAMED, SEEN};
use super::whereabouts;
use crate::lexicon::{How, Lexicon, Sureness, TermId};
use crate::score::probability;
use crate::statements::grammar::{Class, class};
use crate::statements::reading::Reading;
use crate::statements::telling::tells;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

/// What is doubtful about an item, in the order of the values; the weights go by these names.
pub const FEATURES: [&str; 40] = [
    "always",
    "unlisted_place",
    "own_words_for_element",
    "own_words_for_fault",
    "element_carried",
    "fault_carried",
    "hedged",
    "element_sounds_alike",
    "fault_sounds_alike",
    "element_heard_badly",
    "fault_heard_badly",
    "words_heard_badly",
    "unlikely_pair",
    "unlikely_place",
    "everyday_element",
    "far_apart",
    "remedy_said",
    "measured",
    "several_faults",
    "long",
    "unlikely_words",
    "words_left_over",
    "fault_guessed",
    "recording_heard_badly",
    "long_here",
    "place_moved",
    "elsewhere",
    "passed",
    "of_another",
    "more_of_it",
    "place_unnamed",
    "seen_from_elsewhere",
    "fault_implied",
    "several_in_sentence",
    "own_words_in_list",
    "unlikely_places_in_list",
    "unlikely_words_in_list",
    "words_left_over_in_list",
    "places_moved_in_list",
    "narrow_in_list",
];

/// What is told of the whole list, behind what is told of each item: who names places and things outright does so all
/// along. The mean over the list of these features of its items.
const IN_LIST: [&[&str]; 6] = [
    &["own_words_for_element", "own_words_for_fault"],
    &["unlikely_place", "unlisted_place"],
    &["unlikely_words"],
    &["words_left_over"],
    &["place_moved"],
    &["elsewhere", "passed", "of_another", "more_of_it"],
];

/// The values of [`FEATURES`] for one item, most of them from 0 (no doubt) to 1.
pub type Features = [f64; FEATURES.len()];

/// The weights and how they came about.
static FITTED: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/models/confidence.toml"
));

/// Nothing is certain: beyond these the fit has too few items to tell.
const BOUNDS: (f64, f64) = (0.02, 0.98);

/// Tokens between element and fault beyond which they are simply far apart.
const FAR: f64 = 10.0;

/// The length of a long statement in tokens, as a natural logarithm: about 50.
const LONG: f64 = 4.0;

/// What a known mishearing counts for beside a sound-alike, whose distance is added to it.
const MISHEARD: f64 = 0.5;

#[derive(Deserialize)]
struct Fitted {
    weights: BTreeMap<String, f64>,
}

fn weights() -> &'static Features {
    static WEIGHTS: OnceLock<Features> = OnceLock::new();
    WEIGHTS.get_or_init(|| {
        // That the built-in file is whole is a test's to keep.
        let named =
            toml::from_str::<Fitted>(FITTED).map_or_else(|_| BTreeMap::new(), |f| f.weights);
        FEATURES.map(|name| named.get(name).copied().unwrap_or_default())
    })
}

/// Returns how likely an item of these features is right, from 0.02 to 0.98 in steps of 0.01; `sureness`
/// is what is known of this inspector's items.
pub(crate) fn of(features: &Features, sureness: Sureness) -> f64 {
    let p = sureness.of(probability(weights(), features));
    (p.clamp(BOUNDS.0, BOUNDS.1) * 100.0).round() / 100.0
}

/// Where an item stands among the others.
#[derive(Clone, Copy)]
pub(crate) struct Around {
    /// The lexicon entry of its place, where it has one.
    pub(crate) place: Option<TermId>,
    /// How many items before it, one after the other, are in the same place.
    pub(crate) before_it_here: usize,
    /// How many other items its sentence has.
    pub(crate) of_its_sentence: usize,
    /// The recogniser's doubt of all words, on average.
    pub(crate) doubt: f64,
}

/// Other items of a sentence beyond which there are simply several.
const SEVERAL: f64 = 3.0;

/// Items in one place, one after the other, beyond which it is simply long: the next place may have been missed.
const LONG_HERE: f64 = 8.0;

/// Returns the recogniser's doubt of all words, on average, from 0 to 1.
pub(crate) fn doubt(reading: &Reading) -> f64 {
    let doubts = reading
        .tokens
        .iter()
        .map(|t| 1.0 - f64::from(t.probability));
    doubts.sum::<f64>() / reading.tokens.len().max(1) as f64
}

/// Returns what is doubtful about an item.
pub(crate) fn features(
    lexicon: &Lexicon,
    reading: &Reading,
    draft: &Draft,
    around: Around,
) -> Features {
    let place = around.place;
    let flag = |applies: bool| f64::from(u8::from(applies));
    let (element, fault) = (&draft.element, &draft.defects[0]);
    let probabilities = |tokens: &Range<usize>| {
        let tokens = &reading.tokens[tokens.clone()];
        tokens.iter().map(|t| f64::from(t.probability))
    };
    let badly = |tokens: &Range<usize>| 1.0 - probabilities(tokens).fold(1.0, f64::min);
    let all = draft.tokens.len().max(1) as f64;
    let between = match element.tokens.end <= fault.tokens.start {
        true => fault.tokens.start - element.tokens.end,
        false => element.tokens.start.saturating_sub(fault.tokens.end),
    };
    let has = |wanted: &str| draft.reasons.iter().any(|reason| reason == wanted);
    let unlikely_place = element.term.zip(place);
    let pair = element.term.zip(fault.term);
    [
        1.0,
        flag(place.is_none()),
        flag(element.term.is_none()),
        flag(fault.term.is_none()),
        flag(draft.element_carried),
        flag(draft.defect_carried),
        flag(draft.hedged),
        sounds_alike(element.how),
        sounds_alike(fault.how),
        flag(!draft.element_carried) * badly(&element.tokens),
        flag(!draft.defect_carried) * badly(&fault.tokens),
        1.0 - probabilities(&draft.tokens).sum::<f64>() / all,
        pair.map_or(0.0, |(e, d)| 1.0 - f64::from(lexicon.befalls(d, e))),
        unlikely_place.map_or(0.0, |(e, p)| 1.0 - f64::from(lexicon.likely_in(e, p))),
        flag(element.term.is_some_and(|t| lexicon.element(t).weak)),
        flag(!draft.element_carried && !draft.defect_carried) * (between as f64).min(FAR) / FAR,
        flag(!draft.remedies.is_empty()),
        flag(!draft.measures.is_empty()),
        flag(draft.defects.len() > 1),
        all.ln() / LONG,
        1.0 - tells(
            reading,
            draft.sentence,
            reading.sentences[draft.sentence].tokens.start,
        ),
        left_over(reading, draft),
        flag(has(GUESSED)),
        around.doubt,
        (around.before_it_here as f64).min(LONG_HERE) / LONG_HERE,
        flag(has(mentions::REASON) || has(whereabouts::REASON)),
        draft.narrowly.elsewhere,
        draft.narrowly.passed,
        draft.narrowly.of_another,
        draft.narrowly.more_of_it,
        draft.narrowly.unnamed,
        flag(has(SEEN)),
        flag(
            !has(GUESSED)
                && draft
                    .reasons
                    .iter()
                    .any(|reason| reason.starts_with(NO_FAULT_NAMED)),
        ),
        (around.of_its_sentence as f64).min(SEVERAL) / SEVERAL,
        // Those of the list: see `compare`.
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    ]
}

/// Fills in what is told of the whole list.
pub(crate) fn compare(list: &mut [Features]) {
    let items = list.len().max(1) as f64;
    let column = |name: &&str| FEATURES.iter().position(|feature| feature == name);
    let means = IN_LIST.map(|of| {
        let columns: Vec<usize> = of.iter().filter_map(column).collect();
        let sum: f64 = list
            .iter()
            .map(|features| columns.iter().map(|&at| features[at]).sum::<f64>())
            .sum();
        sum / items
    });
    for features in list {
        features[FEATURES.len() - IN_LIST.len()..].copy_from_slice(&means);
    }
}

/// Returns which share of the words that mean something nothing was made of.
fn left_over(reading: &Reading, draft: &Draft) -> f64 {
    let own = |at: usize| {
        draft.element.tokens.contains(&at) || draft.defects.iter().any(|d| d.tokens.contains(&at))
    };
    let words = draft.clauses.iter().flat_map(Clone::clone);
    let open: Vec<usize> = words
        .filter(|&at| class(&reading.tokens[at].norm) == Class::Open)
        .collect();
    let over = open
        .iter()
        .filter(|&&at| !own(at) && reading.piece_at(at).is_none());
    over.count() as f64 / open.len().max(1) as f64
}

fn sounds_alike(how: How) -> f64 {
    match how {
        How::Exact => 0.0,
        How::HeardAs => MISHEARD,
        How::SoundsLike { distance } => MISHEARD + f64::from(distance),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_feature_has_a_weight_and_no_weight_is_left_over() {
        let fitted: Fitted = toml::from_str(FITTED).unwrap();
        let named: Vec<&str> = fitted.weights.keys().map(String::as_str).collect();
        let mut wanted = FEATURES.to_vec();
        wanted.sort_unstable();
        assert_eq!(named, wanted);
    }

    #[test]
    fn an_item_without_doubt_is_surer_than_one_in_own_words_with_no_place() {
        let mut sure = [0.0; FEATURES.len()];
        sure[0] = 1.0;
        let mut doubtful = sure;
        (doubtful[1], doubtful[2], doubtful[3]) = (1.0, 1.0, 1.0);
        let of = |features| of(features, Sureness::default());
        assert!(of(&sure) > of(&doubtful), "{} {}", of(&sure), of(&doubtful));
        let doubted = Sureness {
            shift: -1.0,
            slope: 0.5,
        };
        assert!(super::of(&sure, doubted) < of(&sure));
    }
}
