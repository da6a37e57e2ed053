//! In which sort of place a sentence is spoken, judged by all of its words at once.
//!
//! Who speaks of hob and worktop is in the kitchen, whether something is wrong with them or not, and whatever the
//! last place was that was named. A multinomial logistic regression over words tells how much likelier a sentence is
//! in each sort of place than speech at large. Its weights are fitted to walk-rounds whose list is known
//! (`examples/whereabouts`, which writes `models/whereabouts.toml`).

use super::grammar::{Class, class};
use super::reading::Reading;
use crate::lexicon::{Lexicon, TermId};
use rustc_hash::FxHashMap;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::OnceLock;

/// The sorts of places (`sort` in `lexicon/places.toml`) that can be told by what is in them.
pub const SORTS: [&str; 20] = [
    "balcony",
    "bedroom",
    "below",
    "common",
    "cupboard",
    "drive",
    "elevation",
    "garage",
    "garden",
    "hall",
    "kitchen",
    "landing",
    "living",
    "loft",
    "porch",
    "roof",
    "stairs",
    "toilet",
    "utility",
    "washroom",
];

/// A kitchen that one lives in, of either sort.
pub const LIVING_KITCHEN: (&str, [&str; 2]) = ("living kitchen", ["kitchen", "living"]);

/// What leads the name that the lexicon has for a thing, so that no word is taken for it.
const NAMED: &str = "thing ";

static FITTED: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/models/whereabouts.toml"
));

/// For each sort of place, in the order of [`SORTS`], a natural logarithm of odds.
pub type Odds = [f32; SORTS.len()];

/// Weights as the file has them.
#[derive(Deserialize, Default)]
struct Fitted {
    /// How likely a sentence is in each sort, whatever it says.
    always: FxHashMap<String, f32>,
    /// By sign and sort.
    signs: FxHashMap<String, FxHashMap<String, f32>>,
}

struct Weights {
    always: Odds,
    signs: FxHashMap<String, Odds>,
}

fn weights() -> &'static Weights {
    static WEIGHTS: OnceLock<Weights> = OnceLock::new();
    WEIGHTS.get_or_init(|| {
        // That the built-in file is whole is a test's to keep.
        let fitted: Fitted = toml::from_str(FITTED).unwrap_or_default();
        let odds = |of: &FxHashMap<String, f32>| {
            SORTS.map(|sort| of.get(sort).copied().unwrap_or_default())
        };
        Weights {
            always: odds(&fitted.always),
            signs: fitted
                .signs
                .iter()
                .map(|(sign, of)| (sign.clone(), odds(of)))
                .collect(),
        }
    })
}

/// Returns how much likelier what the sentence at `index` says is in each sort of place than anywhere.
pub fn surroundings(lexicon: &Lexicon, reading: &Reading, index: usize) -> Odds {
    let mut sum = Odds::default();
    signs(lexicon, reading, index, &mut |sign| add(&mut sum, sign));
    level(sum)
}

/// Returns the same for a thing by itself: the words for it, and what it is in the lexicon.
pub fn surroundings_of(lexicon: &Lexicon, words: &str, thing: Option<TermId>) -> Odds {
    let mut sum = Odds::default();
    let telling = words.split(' ').filter(|word| tells(word));
    telling.for_each(|word| add(&mut sum, word));
    if let Some(thing) = thing {
        add(&mut sum, &name(lexicon, thing));
    }
    level(sum)
}

/// Hands out what is known of a sentence, each sign once: its words of open classes and those that tell where, and the
/// lexicon's names of things.
pub fn signs(lexicon: &Lexicon, reading: &Reading, index: usize, sign: &mut dyn FnMut(&str)) {
    let said = &reading.sentences[index].tokens;
    let words = reading.tokens[said.clone()]
        .iter()
        .map(|token| token.norm.as_str());
    let words: BTreeSet<&str> = words.filter(|word| tells(word)).collect();
    words.into_iter().for_each(&mut *sign);
    let things = reading
        .elements_within(said)
        .iter()
        .filter_map(|thing| thing.term);
    for thing in things.collect::<BTreeSet<_>>() {
        sign(&name(lexicon, thing));
    }
}

fn tells(word: &str) -> bool {
    matches!(class(word), Class::Open | Class::Position)
}

fn name(lexicon: &Lexicon, thing: TermId) -> String {
    format!("{NAMED}{}", lexicon.name(thing))
}

fn add(sum: &mut Odds, sign: &str) {
    if let Some(odds) = weights().signs.get(sign) {
        sum.iter_mut()
            .zip(odds)
            .for_each(|(sum, odds)| *sum += odds);
    }
}

/// Takes off what the sorts have in common: one is somewhere.
fn level(sum: Odds) -> Odds {
    let always = &weights().always;
    let likely: f32 = sum
        .iter()
        .zip(always)
        .map(|(sum, always)| (sum + always).exp())
        .sum();
    let usually: f32 = always.iter().map(|always| always.exp()).sum();
    sum.map(|sum| sum - (likely / usually).ln())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_weights_are_whole() {
        let fitted: Fitted = toml::from_str(FITTED).unwrap();
        for sort in SORTS {
            assert!(fitted.always.contains_key(sort), "{sort}");
        }
        assert!(fitted.signs.len() > 1000);
    }

    #[test]
    fn things_tell_where_one_is() {
        let lexicon = Lexicon::embedded().unwrap();
        let cases = [
            ("hob", "kitchen"),
            ("shower tray", "washroom"),
            ("wardrobe", "bedroom"),
            ("ridge tiles", "roof"),
            ("newel post", "stairs"),
            ("truss", "loft"),
        ];
        for (thing, expected) in cases {
            let odds = surroundings_of(lexicon, thing, None);
            let likeliest = (0..SORTS.len()).max_by(|a, b| odds[*a].total_cmp(&odds[*b]));
            assert_eq!(likeliest.map(|at| SORTS[at]), Some(expected), "{thing}");
        }
    }
}
