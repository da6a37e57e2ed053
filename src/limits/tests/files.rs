//! Files of limits: the embedded one, the user's own, and wrong ones.

use super::{figure, said};
use crate::lexicon::{Kind, Lexicon};
use crate::limits::{Chosen, Limits, Yardstick, check};
use crate::speech::Word;

#[test]
fn the_embedded_file_has_no_problem() {
    let problems: Vec<String> = Limits::check_builtin()
        .iter()
        .map(ToString::to_string)
        .collect();
    assert!(problems.is_empty(), "{}", problems.join("\n"));
}

/// An element that a row is about is one that the vocabulary finds, in nearly all its wordings.
#[test]
fn every_subject_is_an_element_or_place_of_the_lexicon() {
    let lexicon = Lexicon::builtin().unwrap();
    for subject in &Limits::builtin().subjects {
        let known = subject.words.iter().any(|wording| {
            let words: Vec<Word> = wording
                .iter()
                .map(|word| Word {
                    text: word.clone(),
                    recording: 1,
                    span: None,
                    probability: 1.0,
                    line_end: false,
                    meant: None,
                })
                .collect();
            let hits = lexicon.spot(&lexicon.tokens(&words));
            hits.iter()
                .any(|hit| matches!(hit.kind, Kind::Element | Kind::Place))
        });
        assert!(known, "{}: {:?}", subject.name, subject.words);
    }
}

/// A fault that a bare figure stands for is one that the vocabulary knows, so that it has a remedy.
#[test]
fn every_fault_named_for_a_figure_is_in_the_lexicon_or_reads_as_one() {
    let lexicon = Lexicon::builtin().unwrap();
    let unknown: Vec<&str> = Limits::builtin()
        .senses
        .iter()
        .flat_map(|sense| [&sense.above, &sense.below])
        .filter_map(|fault| fault.as_deref())
        .filter(|fault| lexicon.find(Kind::Defect, fault).is_none())
        .collect();
    insta::assert_snapshot!(unknown.join(", "), @"too large, too far, too little overlap, not enough fall, too hot, not flat, not straight, not flat, too far apart, gap too narrow, cupped, too far");
}

const OWN: &str = r#"
[[limit]]
id = "contract-riser"
element = "stair riser"
quantity = "rise"
on = ["riser"]
sense = ["rise"]
comparison = "max"
max = 200
unit = "mm"
limit = "200 mm"
kind = "contract"
source = "the contract's schedule of finishes"
edition = "revision C"
status = "read"
"#;

#[test]
fn the_users_own_limits_count_besides_and_replace_those_of_the_same_name() {
    let own = |text: &str| Yardstick {
        limits: Limits::load(&[("own.toml".into(), text.into())]).unwrap(),
        chosen: Chosen::parse("us").unwrap(),
    };
    let item = said("stairs", "riser", "too high", "", figure("205 mm"));
    let found = |text: &str, id: &str| {
        let checks = check(&item, &own(text));
        checks
            .into_iter()
            .find(|c| c.id == id)
            .map(|c| format!("{}: {}", c.verdict, c.why))
    };
    assert_eq!(
        found(OWN, "contract-riser").as_deref(),
        Some(
            "outside: 205 mm: outside the contract's schedule of finishes (revision C), at most 200 mm"
        )
    );
    // International Residential Code: 7 3/4 in is 196.85 mm; replaced by 210 mm.
    let replaced = OWN
        .replace("contract-riser", "IRC-riser")
        .replace("200", "210");
    assert!(
        found(&replaced, "IRC-riser")
            .unwrap()
            .starts_with("within: ")
    );
    assert!(found(OWN, "IRC-riser").unwrap().starts_with("outside: "));
}

#[test]
fn every_problem_is_told_with_its_line() {
    let text = r#"[[limit]]
id = "a"
element = "wall"
quantity = "plumb"
on = ["moon"]
sense = ["plumb"]
comparison = "max"
min = 3
unit = "furlong"
limit = "3"
kind = "rumour"
source = "s"
edition = "e"
status = "read"
colour = "red"

[[limit]]
id = "a"
max = "three"

[[condition]]
name = "c"
unsaid = "ask"

[[subject]]
name = "s"
words = []

[rule]
x = 1
"#;
    let problems = Limits::load(&[("own.toml".into(), text.into())]).unwrap_err();
    let shown: Vec<String> = problems.iter().map(ToString::to_string).collect();
    insta::assert_snapshot!(shown.join("\n"), @r#"
    own.toml:1: limit "a" names "moon", but no [[subject]] has that name
    own.toml:7: "comparison": expected "max" with max, "min" with min, or "range" with min below max
    own.toml:9: "unit": "furlong" is unknown, expected one of mm, in, mm/m, deg, °C, l/s, m², %
    own.toml:11: "kind": "rumour" is unknown, expected one of code, statutory guidance, standard, model specification, warranty tolerance, performance guideline, government guidance, industry guide, contract
    own.toml:15: unknown key "colour", expected one of id, role, element, quantity, on, sense, at, needs, comparison, strict, min, max, unit, limit, gauge, gauge_mm, whole, longest_mm, pro_rata, kind, jurisdiction, source, edition, clause, scope, status, superseded, unattributed, confidence
    own.toml:17: "comparison": is missing, and every entry needs it
    own.toml:17: "edition": is missing, and every entry needs it
    own.toml:17: "element": is missing, and every entry needs it
    own.toml:17: "kind": is missing, and every entry needs it
    own.toml:17: "limit": is missing, and every entry needs it
    own.toml:17: "on": expected at least one text
    own.toml:17: "quantity": is missing, and every entry needs it
    own.toml:17: "sense": expected at least one text
    own.toml:17: "source": is missing, and every entry needs it
    own.toml:17: "status": is missing, and every entry needs it
    own.toml:17: "unit": is missing, and every entry needs it
    own.toml:18: "id": "a" stands twice in this file
    own.toml:19: "max": expected a number
    own.toml:23: "unsaid": a condition to ask for needs "ask": what to ask
    own.toml:27: "words": expected at least one text
    own.toml:29: unknown table "rule", expected [[limit]], [[subject]], [[sense]] or [[condition]]
    "#);
    let broken = Limits::load(&[("own.toml".into(), "[[limit]\n".into())]).unwrap_err();
    assert!(
        broken[0]
            .to_string()
            .starts_with("own.toml:1: this is not TOML: "),
        "{}",
        broken[0]
    );
}
