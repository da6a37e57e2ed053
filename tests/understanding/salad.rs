//! Word salad: whatever is said, understanding answers, the same each time, and invents little.

use crate::{LEXICON, case};
use callover::items::propose;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use std::path::Path;
use std::sync::LazyLock;

/// Every word of the lexicon's files between quotes, and the everyday words.
static WORDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lexicon");
    let files = [
        "places.toml",
        "elements.toml",
        "defects.toml",
        "remedies.toml",
        "trades.toml",
        "phrases.toml",
    ];
    let mut words: Vec<String> = files
        .iter()
        .map(|file| std::fs::read_to_string(folder.join(file)).unwrap())
        .flat_map(|text| {
            text.split('"')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .flat_map(|wording| wording.split(' ').map(str::to_owned).collect::<Vec<_>>())
        .collect();
    let everyday = std::fs::read_to_string(folder.join("everyday.txt")).unwrap();
    words.extend(
        everyday
            .lines()
            .filter(|l| !l.starts_with('#'))
            .flat_map(str::split_whitespace)
            .map(str::to_owned),
    );
    words.sort();
    words.dedup();
    assert!(words.len() > 2000, "too few words to mix: {}", words.len());
    words
});

fn sentence() -> impl Strategy<Value = String> {
    let word = (0..WORDS.len()).prop_map(|at| WORDS[at].clone());
    (
        prop::collection::vec(word, 1..14),
        prop::sample::select(vec![".", ",", "?", "!", " -", ""]),
    )
        .prop_map(|(words, end)| words.join(" ") + end)
}

/// Sentences mixed for the average.
const SENTENCES: usize = 600;

/// Most words of the salad are of the trade, far more than in speech; still, only so many of its
/// sentences may make an item, on average (0.47 when first measured).
const MOST_PER_SENTENCE: f64 = 0.6;

#[test]
fn a_salad_makes_few_items_on_average() {
    let mut runner = TestRunner::deterministic();
    let said: Vec<String> = (0..SENTENCES)
        .map(|_| sentence().new_tree(&mut runner).unwrap().current())
        .collect();
    let lines: Vec<&str> = said.iter().map(String::as_str).collect();
    let items = propose(&LEXICON, &case::transcript(&lines)).items.len();
    let average = items as f64 / SENTENCES as f64;
    assert!(
        average <= MOST_PER_SENTENCE,
        "{average:.2} items for each sentence"
    );
    assert!(items > 0, "the salad holds no words of the trade");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_salad_of_words_makes_a_sound_list_and_the_same_each_time(
        said in prop::collection::vec(sentence(), 1..12),
    ) {
        let lines: Vec<&str> = said.iter().map(String::as_str).collect();
        let transcript = case::transcript(&lines);
        let proposal = propose(&LEXICON, &transcript);
        prop_assert!(proposal.items.len() <= transcript.words.len());
        prop_assert_eq!(&proposal, &propose(&LEXICON, &transcript));
        let mut places = proposal.places.iter().map(|p| &p.name);
        for (at, item) in proposal.items.iter().enumerate() {
            prop_assert_eq!(item.number as usize, at + 1);
            prop_assert!(places.clone().any(|p| *p == item.place));
            prop_assert!((0.0..=1.0).contains(&item.confidence) && item.count >= 1);
            prop_assert!(!item.element.is_empty() && !item.defect.is_empty() && !item.evidence.quote.is_empty());
        }
        prop_assert!(places.all(|p| !p.is_empty()));
    }

    #[test]
    fn any_text_is_survived(said in "\\PC{0,200}") {
        let transcript = case::transcript(&[&said.replace("[pause", "")]);
        prop_assert_eq!(propose(&LEXICON, &transcript), propose(&LEXICON, &transcript));
    }
}
