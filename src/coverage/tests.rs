//! Walk-rounds in plain text, and what they leave out.

use super::{Coverage, Usual, coverage, text};
use crate::items::understand;
use crate::lexicon::Lexicon;
use crate::limits::Yardstick;
use crate::speech::formats::{Format, Source, read};
use std::sync::LazyLock;

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::builtin().unwrap());

fn covered(said: &str, plan: Option<&[String]>) -> Coverage {
    let source = Source {
        file: "walk.txt",
        sha256: "0",
        recording: 1,
    };
    let transcript = read(source, Format::Text, said.as_bytes()).unwrap();
    let understood = understand(&LEXICON, &transcript, &Yardstick::default());
    coverage(&understood, &transcript, plan, &Usual::builtin())
}

#[test]
fn the_embedded_usual_home_is_read() {
    let usual = Usual::builtin();
    assert!(!usual.home.is_empty() && !usual.rooms.is_empty());
}

#[test]
fn tells_what_was_not_reached() {
    let said = "[0:01] Front elevation. The gutter bracket is missing.\n\
                [0:09] Kitchen. The worktop is scratched. The sink and the tap are good, so are the sockets.\n\
                [0:20] Loft.\n\
                [0:22] Bedroom two. The window handle is loose. It was raining all day yesterday.\n";
    insta::assert_snapshot!(text(&covered(said, None)), @r#"
    coverage:
      usual in a home and not visited: rear elevation or garden, hallway, living room, bathroom
      visited, and nothing said: loft
      usually looked at, not mentioned: front elevation (brick, window), kitchen (door, hob, window), bedroom two (door, socket, radiator)
      made no item: 7 s of speech, 11 of 37 words (30 %)
    "#);
}

#[test]
fn a_plan_tells_which_places_were_expected() {
    let plan = ["Kitchen", "Bedroom 1", "snug"].map(String::from);
    let found = covered("Kitchen. The worktop is scratched.", Some(&plan));
    assert_eq!(found.never_visited, ["Bedroom 1", "snug"]);
    assert!(text(&found).contains("planned and not visited: Bedroom 1, snug"));
}

#[test]
fn totals_counted_aloud_are_held_against_the_list() {
    let said = "Kitchen. The worktop is scratched. The tap drips. That's two so far. The sink's chipped.\n\
                [0:20] That makes five so far. The hob's cracked. That's three sockets so far. That's one in here.\n";
    let found = covered(said, Some(&["Kitchen".to_owned()]));
    insta::assert_snapshot!(text(&found), @r#"
    coverage:
      usually looked at, not mentioned: kitchen (door, window)
      counted aloud at 0:20: 5, where the list has 3 ("That makes five so far.")
      made no item: 7 s of speech, 18 of 32 words (56 %)
    "#);
}

#[test]
fn nothing_is_told_where_all_was_reached() {
    let plan = ["snug".to_owned()];
    assert_eq!(
        text(&covered("Snug. The ceiling is cracked.", Some(&plan))),
        ""
    );
}
