use super::*;

fn lexicon() -> &'static Lexicon {
    Lexicon::embedded().unwrap()
}

fn transcript(text: &str) -> Transcript {
    Transcript {
        recordings: Vec::new(),
        words: text.split(' ').map(Word::written).collect(),
    }
}

/// Returns `heard -> written` for what may have been meant, nearest first.
fn suspected(text: &str, doubted: &[&str]) -> Vec<String> {
    let mut transcript = transcript(text);
    for word in &mut transcript.words {
        if doubted.contains(&word.text.as_str()) {
            word.probability = 0.2;
        }
    }
    let mut found = suspicions(lexicon(), &transcript, 0, &MightBe::new());
    found.sort_by(|a, b| a.rival.distance.total_cmp(&b.rival.distance));
    let heard = |s: &Suspicion| {
        let words = transcript.words[s.words.clone()].iter();
        words.map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ")
    };
    found
        .iter()
        .map(|s| format!("{} -> {}", heard(s), s.written))
        .collect()
}

#[test]
fn words_that_mean_nothing_here_are_held_against_what_they_sound_like() {
    // Made up in the manner of what recognisers write for hard voices.
    for (said, doubted, wanted) in [
        (
            "Bathroom. The mason tap drips.",
            "mason",
            "mason tap -> basin tap",
        ),
        (
            "Hall. Skittings, scratched.",
            "Skittings,",
            "Skittings, -> Skirtings,",
        ),
        (
            "Kitchen. Tap is stripping.",
            "stripping.",
            "stripping. -> dripping.",
        ),
        (
            "Garden. The shed mace is cracked.",
            "mace",
            "shed mace -> shed base",
        ),
        // A word of the trade, but one that goes with nothing here.
        ("Front elevation. Pops not filled.", "Pops", "Pops -> Perps"),
        // Words that mean something each, and less than what they sound like together.
        (
            "Living room. Two nail pots over the fireplace.",
            "pots",
            "nail pots -> nail pops",
        ),
        (
            "Garage. Outside tack, dripping.",
            "tack,",
            "Outside tack, -> Outside tap,",
        ),
        // An everyday word for a place, alone.
        ("Steves. Riser's high.", "Steves.", "Steves. -> Stairs."),
    ] {
        let found = suspected(said, &[doubted]);
        assert!(found.iter().any(|f| f == wanted), "{said}: {found:?}");
    }
}

#[test]
fn what_the_recogniser_might_have_written_is_held_against_terms_as_well() {
    // Made up likewise. The first word of each sentence is doubted.
    for (said, instead, wanted) in [
        (
            "Kitchen. Huffle. Wall is dented.",
            "hall",
            "Huffle. -> Hall.",
        ),
        (
            "Hall. And panel scratched.",
            "end",
            "And panel -> End panel",
        ),
        // Understood as it was heard, and another word of the trade.
        (
            "Lounge. Stove. Handrail loose.",
            "stairs",
            "Stove. -> Stairs.",
        ),
        // What it might have written sounds like a term.
        ("Hall. Hotline crack.", "hellline", "Hotline -> Hairline"),
    ] {
        let mut transcript = transcript(said);
        transcript.words[1].probability = 0.3;
        let instead = NextBest {
            text: instead.to_owned(),
            likelihood: -1.0,
        };
        let might_be = MightBe::from([(1, vec![instead])]);
        let found = suspicions(lexicon(), &transcript, 1, &might_be);
        let found = found.iter().map(|s| {
            let words = transcript.words[s.words.clone()].iter();
            let heard = words.map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ");
            format!("{heard} -> {}", s.written)
        });
        let found: Vec<String> = found.collect();
        assert!(found.iter().any(|f| f == wanted), "{said}: {found:?}");
    }
}

#[test]
fn what_was_understood_is_not_doubted() {
    for said in [
        "Kitchen. Worktop scratched.",
        "Bathroom. Basin tap drips, plumb and level.",
        "Hall. Door handle loose.",
    ] {
        let whole = suspected(said, &[]);
        let only_own = whole.iter().all(|found| {
            let (heard, _) = found.split_once(" -> ").unwrap_or_default();
            !["Worktop", "scratched.", "tap", "Door", "handle", "loose."].contains(&heard)
        });
        assert!(only_own, "{said}: {whole:?}");
    }
}

#[test]
fn a_doubted_word_of_the_trade_that_fits_stays() {
    for (said, doubted) in [
        ("Kitchen. Worktop scratched.", "Worktop"),
        ("Kitchen. Worktop scratched.", "scratched."),
        // A thing that nothing is said of, or praise.
        ("Kitchen. Worktops good.", "Worktops"),
    ] {
        assert_eq!(suspected(said, &[doubted]), Vec::<String>::new(), "{said}");
    }
}

#[test]
fn only_words_from_the_given_one_on_are_doubted() {
    let transcript = transcript("Hall. The skittings marked. The skittings marked.");
    let found = suspicions(lexicon(), &transcript, 4, &MightBe::new());
    assert!(!found.is_empty() && found.iter().all(|s| s.words.start >= 4));
}
