//! Spotting, pairing and loading on a small lexicon of the tests' own.

use super::*;

/// A lexicon of one term per rule.
const SMALL: &str = r#"
[[trade]]
name = "joiner"
[[trade]]
name = "plumber"
[[group]]
name = "door"
trade = "joiner"
about = "doors"
[[group]]
name = "trim"
trade = "joiner"
about = "trims"
[[group]]
name = "sanitary"
trade = "plumber"
about = "baths and basins"

[[place]]
name = "bedroom"
also = ["bed room"]
kind = "room"
numbered = true
numbered_also = ["bed"]
[[place]]
name = "hallway"
also = ["hall"]
kind = "room"
[[place]]
name = "plot"
kind = "whole"
numbered = true
[[place]]
name = "rear elevation"
kind = "elevation"

[[element]]
name = "door"
group = "door"
weak = true
[[element]]
name = "door leaf"
group = "door"
part_of = ["door"]
[[element]]
name = "skirting board"
also = ["skirting"]
group = "trim"
found = ["room"]
[[element]]
name = "downpipe"
group = "trim"
found = ["rear elevation"]
[[element]]
name = "bath"
group = "sanitary"
trade = "plumber"
[[element]]
name = "mould"
group = "trim"

[[remedy]]
name = "ease and adjust"
verb = ["ease", "adjust"]
[[remedy]]
name = "reseal"
verb = ["seal"]
[[remedy]]
name = "replace"
also = ["renew"]
verb = ["replace"]

[[defect]]
name = "cracked"
also = ["crack"]
verb = ["crack"]
befalls = ["any"]
remedy = "replace"
[[defect]]
name = "coming away"
verb = ["come away"]
befalls = ["trim"]
[[defect]]
name = "unsealed"
not = ["seal"]
befalls = ["sanitary"]
remedy = "reseal"
[[defect]]
name = "not closing"
fails = ["close", "latch"]
befalls = ["door"]
elements = ["bath"]
remedy = "ease and adjust"
remedy_for = { door = "replace", bath = "reseal" }
[[defect]]
name = "out of level"
lacks = ["level"]
befalls = ["trim"]

[[phrase]]
kind = "hedge"
wordings = ["i think", "looks like"]

[[spelling]]
british = "mould"
american = "mold"

[[heard]]
heard = "downpup"
term = "downpipe"
kind = "element"
[[heard]]
heard = "bone pipe"
term = "downpipe"
kind = "element"
near = ["rear elevation"]
"#;

fn small() -> Lexicon {
    let file = (PathBuf::from("small.toml"), SMALL.to_owned());
    Lexicon::read(false, &[file], None).expect("no problems in the tests' own lexicon")
}

fn words(text: &str) -> Vec<Word> {
    let word = |text: &str| Word {
        text: text.to_owned(),
        recording: 1,
        span: None,
        probability: 1.0,
        line_end: false,
        meant: None,
    };
    text.split_whitespace().map(word).collect()
}

/// Returns each hit as `name number @start..end`, in order.
fn hits(lexicon: &Lexicon, text: &str) -> Vec<String> {
    let tokens = lexicon.tokens(&words(text));
    let shown = |hit: Hit| {
        let number = hit
            .number
            .map(|number| format!(" {number}"))
            .unwrap_or_default();
        format!(
            "{}{number} @{}..{}",
            lexicon.name(hit.term),
            hit.tokens.start,
            hit.tokens.end
        )
    };
    lexicon.spot(&tokens).into_iter().map(shown).collect()
}

#[test]
fn hits_cover_exact_and_inflected_forms() {
    let lexicon = small();
    let table: &[(&str, &[&str])] = &[
        (
            "the skirting board",
            &["skirting board @1..3", "skirting board @1..2"],
        ),
        (
            "Skirting-boards!",
            &["skirting board @0..2", "skirting board @0..1"],
        ),
        ("down pipes", &["downpipe @0..2"]),
        ("downpipe", &["downpipe @0..1"]),
        ("the door leaves", &["door leaf @1..3", "door @1..2"]),
        ("door's cracked", &["door @0..1", "cracked @2..3"]),
        ("a hairline crack", &["cracked @2..3"]),
        ("it came away", &["coming away @1..3"]),
        ("coming away", &["coming away @0..2"]),
        ("molds", &["mould @0..1"]),
        ("downpup", &["downpipe @0..1"]),
        ("bone pipe", &[]),
        (
            "rear elevation bone pipe",
            &["rear elevation @0..2", "downpipe @2..4"],
        ),
        ("I think the hall", &["hedge @0..2", "hallway @3..4"]),
        ("indoors", &[]),
        ("hallmark", &[]),
    ];
    for (text, expected) in table {
        assert_eq!(hits(&lexicon, text), *expected, "{text}");
    }
}

#[test]
fn work_not_done_is_understood_in_its_forms() {
    let lexicon = small();
    let table: &[(&str, &[&str])] = &[
        ("bath not sealed", &["bath @0..1", "unsealed @1..3"]),
        ("bath isn't sealed", &["bath @0..1", "unsealed @2..4"]),
        ("hasn't been sealed properly", &["unsealed @1..4"]),
        ("not been very well sealed", &["unsealed @0..5"]),
        ("never properly sealed", &["unsealed @0..3"]),
        ("unsealed", &["unsealed @0..1"]),
        ("bath un-sealed", &["bath @0..1", "unsealed @1..3"]),
        (
            "nobody's sealed the bath",
            &["unsealed @0..3", "bath @4..5"],
        ),
        (
            "they forgot to seal it",
            &["unsealed @1..4", "reseal @3..4"],
        ),
        ("yet to be sealed", &["unsealed @0..4", "reseal @1..4"]),
        ("doesn't appear to have been sealed", &["unsealed @1..7"]),
        ("the bath has been sealed", &["bath @1..2"]),
        ("well sealed", &[]),
    ];
    for (text, expected) in table {
        assert_eq!(hits(&lexicon, text), *expected, "{text}");
    }
}

#[test]
fn failing_and_lacking_are_understood_in_their_forms() {
    let lexicon = small();
    let table: &[(&str, &[&str])] = &[
        ("door won't close", &["door @0..1", "not closing @1..4"]),
        ("does not quite latch", &["not closing @0..4"]),
        ("not closing", &["not closing @0..2"]),
        (
            "isn't closing or latching",
            &["not closing @1..3", "not closing @4..5"],
        ),
        ("fails to close", &["not closing @0..3"]),
        ("refuses to latch", &["not closing @0..3"]),
        ("never closes", &["not closing @0..2"]),
        ("doesn't want to close", &["not closing @1..5"]),
        ("can't get it to close", &["not closing @1..6"]),
        ("closes nicely", &[]),
        ("not close to the wall", &[]),
        ("isn't level", &["out of level @1..3"]),
        ("not quite level", &["out of level @0..3"]),
        ("nowhere near level", &["out of level @0..3"]),
        ("not sitting level", &["out of level @0..3"]),
        ("dead level", &[]),
    ];
    for (text, expected) in table {
        assert_eq!(hits(&lexicon, text), *expected, "{text}");
    }
}

#[test]
fn remedies_are_asked_for_not_told() {
    let lexicon = small();
    let table: &[(&str, &[&str])] = &[
        (
            "ease and adjust",
            &[
                "ease and adjust @0..3",
                "ease and adjust @0..1",
                "ease and adjust @2..3",
            ],
        ),
        ("needs easing", &["ease and adjust @0..2"]),
        (
            "wants easing and adjusting",
            &[
                "ease and adjust @0..4",
                "ease and adjust @0..2",
                "ease and adjust @3..4",
            ],
        ),
        ("could do with resealing", &["reseal @1..4"]),
        (
            "the bath wants the joint resealing",
            &["bath @1..2", "reseal @5..6"],
        ),
        ("needs to be replaced", &["replace @0..4"]),
        ("to be renewed", &["replace @0..3"]),
        ("have it replaced", &["replace @0..3"]),
        (
            "get the door eased",
            &["ease and adjust @0..4", "door @2..3"],
        ),
        (
            "have the door and the frame eased",
            &["ease and adjust @0..7", "door @2..3"],
        ),
        ("needs replaced", &["replace @0..2"]),
        ("has been replaced", &[]),
        ("they have replaced it", &[]),
        ("sealing", &[]),
    ];
    for (text, expected) in table {
        assert_eq!(hits(&lexicon, text), *expected, "{text}");
    }
}

#[test]
fn numbered_places_carry_their_number() {
    let lexicon = small();
    let table: &[(&str, &[&str])] = &[
        ("bedroom two", &["bedroom two @0..2", "bedroom @0..1"]),
        ("Bedroom 2.", &["bedroom two @0..2", "bedroom @0..1"]),
        (
            "bed room number two",
            &["bedroom two @0..4", "bedroom @0..2"],
        ),
        (
            "the second bedroom",
            &["bedroom two @1..3", "bedroom @2..3"],
        ),
        ("bed 2", &["bedroom two @0..2"]),
        ("a bed of mortar", &[]),
        ("3rd bedroom", &["bedroom three @0..2", "bedroom @1..2"]),
        ("bedroom B", &["bedroom b @0..2", "bedroom @0..1"]),
        ("bedroom a crack", &["bedroom @0..1", "cracked @2..3"]),
        (
            "bedrooms two and three",
            &["bedroom three @0..4", "bedroom two @0..4", "bedroom @0..1"],
        ),
        ("plot 4", &["plot four @0..2", "plot @0..1"]),
        ("plot 14b", &["plot fourteen b @0..3", "plot @0..1"]),
        (
            "plot one oh four",
            &["plot one hundred and four @0..4", "plot @0..1"],
        ),
        (
            "plot one hundred and four",
            &["plot one hundred and four @0..5", "plot @0..1"],
        ),
        ("plot A", &["plot a @0..2", "plot @0..1"]),
        ("hallway two", &["hallway @0..1"]),
    ];
    for (text, expected) in table {
        assert_eq!(hits(&lexicon, text), *expected, "{text}");
    }
}

#[test]
fn pairings_are_graded() {
    let lexicon = small();
    let id = |kind, name| lexicon.find(kind, name).unwrap();
    let defect = |name| id(Kind::Defect, name);
    let element = |name| id(Kind::Element, name);
    let place = |name| id(Kind::Place, name);
    assert_eq!(lexicon.befalls(defect("not closing"), element("bath")), 1.0);
    assert_eq!(
        lexicon.befalls(defect("not closing"), element("door leaf")),
        0.9
    );
    assert_eq!(lexicon.befalls(defect("cracked"), element("bath")), 0.6);
    assert_eq!(
        lexicon.befalls(defect("out of level"), element("bath")),
        0.1
    );
    assert_eq!(
        lexicon.likely_in(element("downpipe"), place("rear elevation")),
        1.0
    );
    assert_eq!(
        lexicon.likely_in(element("skirting board"), place("hallway")),
        0.9
    );
    assert_eq!(lexicon.likely_in(element("bath"), place("hallway")), 0.6);
    assert_eq!(
        lexicon.likely_in(element("downpipe"), place("hallway")),
        0.1
    );
    let remedy = |defect_name, element_name: Option<&'static str>| {
        let remedy = lexicon.usual_remedy(defect(defect_name), element_name.map(element));
        remedy.map(|remedy| lexicon.name(remedy).to_owned())
    };
    assert_eq!(
        remedy("not closing", Some("bath")).as_deref(),
        Some("reseal")
    );
    assert_eq!(
        remedy("not closing", Some("door leaf")).as_deref(),
        Some("replace")
    );
    assert_eq!(
        remedy("not closing", None).as_deref(),
        Some("ease and adjust")
    );
    assert_eq!(remedy("coming away", Some("bath")), None);
    assert_eq!(
        lexicon.trade(lexicon.element(element("bath")).trade).name,
        "plumber"
    );
    assert_eq!(
        lexicon.trade(lexicon.element(element("door")).trade).name,
        "joiner"
    );
}

#[test]
fn the_embedded_files_load() {
    let problems = Lexicon::builtin().err().unwrap_or_default();
    assert!(problems.is_empty(), "{problems:#?}");
}

#[test]
fn americans_are_shown_their_own_words() {
    let lexicon = Lexicon::builtin().expect("sound files");
    let table = [
        (Kind::Element, "tap", "faucet"),
        (Kind::Element, "skirting board", "baseboard"),
        (Kind::Element, "door", "door"),
    ];
    for (kind, name, shown) in table {
        let id = lexicon.find(kind, name).unwrap();
        assert_eq!((lexicon.name(id), lexicon.american_name(id)), (name, shown));
    }
}

proptest::proptest! {
    #[test]
    fn hits_are_in_order_and_in_bounds(
        words in proptest::collection::vec(
            proptest::sample::select(vec![
                "bedroom", "two", "second", "not", "been", "sealed", "door", "leaf", "to", "be", "and",
                "easing", "needs", "down", "pipe", "won't", "close", "3b", "number", "a", "the",
                "bone", "rear", "elevation", "'s", "plent", "cracking", "have", "it", "adjusted",
            ]),
            0..14,
        ),
        start in 0usize..16,
        length in 0usize..16,
    ) {
        static SMALL_LEXICON: std::sync::LazyLock<Lexicon> = std::sync::LazyLock::new(small);
        let text = words.join(" ");
        let tokens = SMALL_LEXICON.tokens(&self::words(&text));
        let hits = SMALL_LEXICON.spot(&tokens);
        let place = |hit: &Hit| (hit.tokens.start, std::cmp::Reverse(hit.tokens.end));
        proptest::prop_assert!(hits.windows(2).all(|pair| place(&pair[0]) <= place(&pair[1])));
        for hit in &hits {
            proptest::prop_assert!(hit.tokens.start < hit.tokens.end && hit.tokens.end <= tokens.len());
        }
        let kinds = [Kind::Place, Kind::Element, Kind::Defect, Kind::Remedy];
        for hit in SMALL_LEXICON.sounds_like(&tokens, start..start + length, &kinds, 0.6) {
            proptest::prop_assert!(start <= hit.tokens.start && hit.tokens.end <= start + length);
            proptest::prop_assert!(hit.tokens.end <= tokens.len());
        }
    }
}
