//! Which items carry which caution, and what a caution may and may not say.
//!
//! Which work calls for which warning is common practice, no source.

use super::*;
use crate::items::{RemedySource, Severity};
use crate::job::samples;

fn lexicon() -> &'static Lexicon {
    Lexicon::embedded().expect("a test keeps the embedded files free of errors")
}

fn item(place: &str, element: &str, defect: &str, severity: Severity) -> Item {
    Item {
        severity,
        ..samples::item(1, place, element, defect)
    }
}

fn names(item: &Item) -> Vec<&'static str> {
    applying(lexicon(), item)
        .iter()
        .map(|caution| caution.name.as_str())
        .collect()
}

#[test]
fn an_item_carries_the_cautions_of_what_it_touches() {
    use Severity::{Clean, Finish, Repair, Safety, Watch};
    for (place, element, defect, severity, expected) in [
        (
            "kitchen",
            "double socket",
            "loose",
            Repair,
            &["electricity"][..],
        ),
        (
            "kitchen",
            "double sockets",
            "not level",
            Finish,
            &["electricity"],
        ),
        ("kitchen", "socket", "dirty", Clean, &[]),
        ("kitchen", "telephone point", "not working", Repair, &[]),
        (
            "utility",
            "consumer unit",
            "not labelled",
            Repair,
            &["electricity"],
        ),
        (
            "hallway",
            "some box",
            "exposed cable",
            Safety,
            &["electricity"],
        ),
        (
            "hallway",
            "panel",
            "bare wires behind it",
            Repair,
            &["electricity"],
        ),
        ("rear elevation", "flue", "not sealed", Repair, &["gas"]),
        ("utility", "boiler", "leaking", Repair, &["gas"]),
        (
            "kitchen",
            "hob",
            "leaking gas",
            Safety,
            &["gas", "electricity"],
        ),
        ("kitchen", "pipe", "smell of gas", Repair, &["gas"]),
        ("kitchen", "window gasket", "missing", Repair, &[]),
        ("loft", "truss", "cut into", Repair, &["structure", "loft"]),
        ("lounge", "wall", "settlement crack", Watch, &["structure"]),
        ("lounge", "ceiling", "hairline crack", Finish, &[]),
        ("stairs", "spindle", "loose", Repair, &["falls"]),
        ("stairs", "stair string", "scuffed", Finish, &[]),
        (
            "rear elevation",
            "gutter joint",
            "leaking",
            Repair,
            &["height"],
        ),
        (
            "roof",
            "solar panel",
            "not working",
            Repair,
            &["solar", "height"],
        ),
        (
            "front elevation",
            "ridge tiles",
            "slipped",
            Repair,
            &["height"],
        ),
        ("front elevation", "fascia", "scratched", Finish, &[]),
        ("bathroom", "shower screen", "shattered", Safety, &["glass"]),
        ("bedroom two", "pane", "scratched", Finish, &[]),
        ("bathroom", "basin tap", "scalding", Safety, &["hot water"]),
        (
            "airing cupboard",
            "cylinder",
            "leaking",
            Repair,
            &["stored hot water"],
        ),
        ("en suite", "ceiling", "mould", Repair, &["damp"]),
        (
            "bathroom",
            "extractor fan",
            "not working",
            Repair,
            &["electricity", "ventilation"],
        ),
        ("bedroom one", "trickle vent", "missing", Repair, &[]),
        (
            "hallway",
            "fire door",
            "not self-closing",
            Safety,
            &["fire"],
        ),
        ("hallway", "fire door", "too short", Finish, &["fire"]),
        (
            "landing",
            "smoke alarm",
            "with the dust cover left on",
            Safety,
            &["alarms"],
        ),
        (
            "riser cupboard",
            "pipe",
            "not fire stopped",
            Safety,
            &["fire"],
        ),
        (
            "garage",
            "old asbestos sheet",
            "cracked",
            Repair,
            &["asbestos"],
        ),
        (
            "front garden",
            "manhole cover",
            "loose",
            Repair,
            &["openings in the ground"],
        ),
        ("rear garden", "drain", "blocked", Repair, &["sewage"]),
        (
            "garage",
            "garage door spring",
            "loose",
            Repair,
            &["moving doors"],
        ),
        ("hallway", "skirting board", "not level", Finish, &[]),
        ("hallway", "internal door", "binding", Repair, &[]),
        ("", "", "", Repair, &[]),
    ] {
        let item = item(place, element, defect, severity);
        assert_eq!(names(&item), expected, "{place}: {element} {defect}");
    }
}

#[test]
fn a_remedy_can_call_for_a_caution() {
    let mut item = item("hallway", "wall", "rough", Severity::Finish);
    assert_eq!(names(&item), [""; 0]);
    item.remedy = Some("scrape off the old textured coating".into());
    item.remedy_source = Some(RemedySource::Spoken);
    assert_eq!(names(&item), ["asbestos"]);
}

#[test]
fn every_defect_that_is_a_matter_of_safety_carries_a_caution() {
    let lexicon = lexicon();
    let without: Vec<&str> = lexicon
        .ids(Kind::Defect)
        .map(|id| lexicon.defect(id))
        .filter(|defect| defect.severity == Some(Severity::Safety))
        .map(|defect| defect.name.as_str())
        .filter(|defect| {
            let item = item("hallway", "something", defect, Severity::Safety);
            applying(lexicon, &item).is_empty()
        })
        .collect();
    assert!(without.is_empty(), "{without:?}");
}

#[test]
fn the_readers_region_chooses_the_wording() {
    let boiler = item("utility", "boiler", "leaking", Severity::Repair);
    for (region, detail, licensed) in [
        (Region::Britain, Some("en-GB"), "a registered gas engineer"),
        (
            Region::America,
            Some("EN-us"),
            "a licensed plumber or gas fitter",
        ),
        (Region::Elsewhere, Some("en-AU"), "a licensed gas fitter"),
        (Region::Elsewhere, None, "a licensed gas fitter"),
    ] {
        assert_eq!(Region::named(detail), region);
        let text = caution(lexicon(), &boiler, region).unwrap();
        assert!(text.contains(licensed), "{text}");
    }
}

/// Returns every text with the name of its caution.
fn texts() -> Vec<(&'static str, &'static str)> {
    lexicon()
        .cautions()
        .iter()
        .flat_map(|c| {
            [Region::Elsewhere, Region::Britain, Region::America]
                .map(|region| (c.name.as_str(), c.worded(region)))
        })
        .collect()
}

#[test]
fn every_caution_warns_and_leaves_the_work_to_others() {
    for (name, text) in texts() {
        assert!(
            text.ends_with('.') && !text.contains("  "),
            "{name}: {text}"
        );
        assert!(text.starts_with(char::is_uppercase), "{name}: {text}");
        let words = text.split_whitespace().count();
        assert!(words <= 45, "{name} has {words} words");
        let lower = text.to_lowercase();
        let defers = [
            "competent",
            "licensed",
            "qualified",
            "registered",
            "certified",
            "engineer",
        ];
        let stays_away = ["keep people away", "keep clear", "until it is put right"];
        assert!(
            defers
                .iter()
                .chain(&stays_away)
                .any(|word| lower.contains(word)),
            "{name} defers to nobody: {text}"
        );
    }
}

/// A caution tells nobody to try, open, isolate or measure anything, and names no scheme or firm.
#[test]
fn no_caution_instructs_a_dangerous_act() {
    let asks = regex::Regex::new(
        r"(?i)(?:^|\. |; )(?:test|try|check|open|remove|isolate|measure|press|turn|switch|probe|drill|climb|lift|touch|sniff|light|reset)\b",
    )
    .unwrap();
    let told = regex::Regex::new(r"(?i)\b(?:yourself|by hand|you can|simply|just)\b").unwrap();
    for (name, text) in texts() {
        assert!(!asks.is_match(text), "{name}: {text}");
        assert!(!told.is_match(text), "{name}: {text}");
        assert!(!text.contains('®') && !text.contains('!'), "{name}: {text}");
        let shouted = |w: &str| w.len() > 1 && w.chars().all(char::is_uppercase);
        assert!(!text.split(' ').any(shouted), "{name}: {text}");
    }
}

#[test]
fn every_caution_is_carried_by_something() {
    for caution in lexicon().cautions() {
        let covers = caution.groups.len()
            + caution.elements.len()
            + caution.defects.len()
            + caution.words.len()
            + caution.places.len();
        assert!(covers > 0, "{}", caution.name);
        assert!(!caution.heading.is_empty());
    }
}

#[test]
fn a_users_own_file_adds_to_what_a_caution_covers() {
    let own = r#"
[[element]]
name = "sauna heater"
group = "sanitary"
[[caution]]
name = "electricity"
heading = "Electricity"
text = "Electricity can kill. Leave it to a licensed electrician."
elements = ["sauna heater"]
"#;
    let lexicon = Lexicon::load(&[("own.toml".into(), own.to_owned())]).unwrap();
    for element in ["sauna heater", "socket"] {
        let item = item("bathroom", element, "loose", Severity::Repair);
        let text = caution(&lexicon, &item, Region::Elsewhere).unwrap();
        assert_eq!(
            text,
            "Electricity can kill. Leave it to a licensed electrician."
        );
    }
}
