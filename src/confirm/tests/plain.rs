//! The plain face: a script in, what is printed out.

use super::{clock, job, options};
use crate::confirm::{ConfirmError, Options, Outcome, run_plain};
use crate::job::Job;
use std::io::{self, Write};

fn run(job: &mut Job, options: &Options, script: &str) -> (Outcome, String) {
    let mut printed = Vec::new();
    let outcome = run_plain(job, options, &clock, &mut script.as_bytes(), &mut printed).unwrap();
    (outcome, String::from_utf8(printed).unwrap())
}

/// What is printed, without the cards.
fn check(script: &str) -> String {
    let (_home, mut job) = job();
    let (_, printed) = run(&mut job, &options(), script);
    let lines = printed
        .lines()
        .filter(|line| !line.starts_with("  ") && !line.is_empty());
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_card_is_read_as_lines() {
    let (_home, mut job) = job();
    insta::assert_snapshot!(run(&mut job, &options(), "").1, @r"
    plot 7
    0 of 4 confirmed, 4 to go

    Item 1 of 4, undecided, likely right, 0.83, you were not sure
      heard: at 0:46: “and the new will post left of the lounge door is about nineteen millimetres out of plumb over the storey I think”
      place: hallway
      position: left of the lounge door
      element: newel post
      defect: out of plumb
      description: The newel post is out of plumb by 19 mm over the storey.
      measurement: about 19 mm over 1 storey, “nineteen millimetres over the storey”
      limit: outside: at most 10 mm in one storey (an invented limit for this test)
      count: 2
      remedy: straighten and refix (suggested)
      trade: joiner
      severity: safety
      remark: moves when pushed; the base looks short
      ! caution: Do not lean on the balustrade until it is fixed.
      photo: you asked for one here
      why: the place is carried from 0:24; “new will post” taken as newel post (sounds like, 0.87)
    0 of 4 confirmed, 4 to go
    ");
}

#[test]
fn commands_decide_and_show_the_next_item() {
    insta::assert_snapshot!(check("a\nr said twice\ne trade=joiner\n# a remark\nu\ny\nz\ns\nq\na\n"), @r"
    plot 7
    0 of 4 confirmed, 4 to go
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    item 1 confirmed. 1 of 4 confirmed, 3 to go
    Item 2 of 4, undecided, likely right, 0.90
    item 2 rejected: said twice. 1 of 4 confirmed, 1 rejected, 2 to go
    Item 3 of 4, undecided, almost certain, 0.97
    item 3: the trade is now joiner. 1 of 4 confirmed, 1 rejected, 2 to go
    Item 3 of 4, undecided, almost certain, 0.97
    undone: item 3: the trade is now joiner. 1 of 4 confirmed, 1 rejected, 2 to go
    Item 3 of 4, undecided, almost certain, 0.97
    redone: item 3: the trade is now joiner. 1 of 4 confirmed, 1 rejected, 2 to go
    Item 3 of 4, undecided, almost certain, 0.97
    not done: item 3 is undecided: there is nothing to restore
    Item 3 of 4, undecided, almost certain, 0.97
    Item 4 of 4, undecided, doubtful, 0.42
    1 of 4 confirmed, 1 rejected, 2 to go
    ");
}

#[test]
fn a_bad_line_gives_one_message_and_the_same_item() {
    insta::assert_snapshot!(
        check("accept\na now\ne place\ne colour=red\ne count=many\ng\ng 99\nabove\nabove 7\nnew loft\n\u{1b}[2J\nr"),
        @r"
    plot 7
    0 of 4 confirmed, 4 to go
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: `accept` is no command: ? shows all
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: `a` takes nothing after it, but `now` was given
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: give FIELD=TEXT after e, such as e place=bedroom two
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: there is no field `colour`: the fields are place, position, element, defect, description, measurement, count, remedy, trade, severity, remark
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: the count `many` is not a whole number from 1 to 9999: give digits, such as 3
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: give a number after g, such as g 12
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: there is no item 99: the numbers go from 1 to 4
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: give a number after above, such as above 0.95
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: 7 is not a confidence: give a number from 0 to 1, such as 0.95
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: give PLACE; ELEMENT; DEFECT after new, such as new loft; hatch; loose
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    not done: `�[2J` is no command: ? shows all
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    item 1 rejected. 0 of 4 confirmed, 1 rejected, 3 to go
    Item 2 of 4, undecided, likely right, 0.90
    0 of 4 confirmed, 1 rejected, 3 to go
    "
    );
}

#[test]
fn the_list_and_the_help_are_lines_too() {
    insta::assert_snapshot!(check("a\nnew loft; hatch; loose\nl\n?\n"), @"
    plot 7
    0 of 4 confirmed, 4 to go
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    item 1 confirmed. 1 of 4 confirmed, 3 to go
    Item 2 of 4, undecided, likely right, 0.90
    item 5 added and confirmed. 2 of 5 confirmed, 3 to go
    Item 5 of 5, confirmed, written by hand
    1 confirmed, hallway: The newel post is out of plumb by 19 mm over the storey.
    2 undecided, hallway: skirting gap at the mitre
    3 undecided, kitchen: worktop scratched
    4 undecided, kitchen: larder unit loose
    5 confirmed, loft: <hatch loose in loft, 1>
    a: accept the item as it stands, and show the next undecided one
    r REASON: reject it; the reason may be left out
    stands HOW; NOTE: say how its work stands since a later visit, such as stands changed; patchy
    dismiss: drop what a later visit is said to have found about it; a keeps it
    s: skip it: leave it undecided, and show the next undecided one
    e FIELD=TEXT: change a field, such as e place=bedroom two; no text empties it
    o FIELD [TEXT]: show what a field might be given, such as o element
    z: restore it: make it undecided again
    u: undo the last decision, also one from an earlier sitting
    y: do again what was undone
    always: after a correction: learn from it, as was offered
    n: the item after, decided or not
    b: the item before, decided or not
    g NUMBER: go to an item by its number
    new PLACE; ELEMENT; DEFECT: write a new item by hand
    said: list what was said and is in no item
    promote NUMBER [PLACE; ELEMENT; DEFECT]: make an item of a statement that `said` lists
    also PLACES: the same at other places, such as also bedrooms two and three
    split WORDS: split it in two; the second begins with these words
    merge NUMBER: join that item into this one
    move NUMBERS to PLACE: move items, such as move 4-7, 9 to loft
    along: after another place: take the items after it along that stand where it stood
    number NUMBER: give this item another number
    renumber: number all items from 1, in order
    photo NAME: attach a photo of the job's photos folder
    unphoto NAME: detach it
    rest CONFIDENCE: accept the undecided items of this place of at least this confidence
    above CONFIDENCE: accept all undecided items of at least this confidence, 0 to 1
    show WHAT: show some only: a place, trade, severity, unsure, outside, no photo, undecided; or all
    find WORDS: show the items with these words; no words for all
    p: hear the moment, from a second before
    l: list the items shown, one a line
    c, empty line: the card again
    q: quit; everything decided is kept, and you can go on later
    fields: place, position, element, defect, description, measurement, count, remedy, trade, severity, remark
    2 of 5 confirmed, 3 to go
    ");
}

#[test]
fn everything_that_keys_do_is_done_by_lines_too() {
    insta::assert_snapshot!(
        check(
            "split left of\nu\nmerge 2\nu\nalso bedrooms two and three\nmove 2, 3 to loft\nnumber 9\n\
             renumber\nphoto a.jpg\nunphoto a.jpg\nunphoto a.jpg\nshow kitchen\nl\nfind worktop\nfind\n\
             show all\nrest 0.1\nsaid\npromote 1\nsplit\np\no place k"
        ),
        @r"
    plot 7
    0 of 4 confirmed, 4 to go
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    item 1 split: the rest is item 5 now. 0 of 5 confirmed, 5 to go
    Item 1 of 5, undecided, likely right, 0.83, you were not sure
    undone: item 1 split: the rest is item 5 now. 0 of 4 confirmed, 4 to go
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    item 2 merged into item 1. 0 of 4 confirmed, 1 rejected, 3 to go
    Item 1 of 4, undecided, likely right, 0.83
    undone: item 2 merged into item 1. 0 of 4 confirmed, 4 to go
    Item 1 of 4, undecided, likely right, 0.83, you were not sure
    item 1 copied: 6 in bedroom two, 7 in bedroom three. 0 of 6 confirmed, 6 to go
    Item 1 of 6, undecided, likely right, 0.83, you were not sure
    2 items are in loft now. 0 of 6 confirmed, 6 to go
    Item 1 of 6, undecided, likely right, 0.83, you were not sure
    the item is number 9 now. 0 of 6 confirmed, 6 to go
    Item 9, 1 of 6, undecided, likely right, 0.83, you were not sure
    6 items numbered from 1. 0 of 6 confirmed, 6 to go
    Item 1 of 6, undecided, likely right, 0.83, you were not sure
    item 1 has the photo a.jpg. 0 of 6 confirmed, 6 to go
    Item 1 of 6, undecided, likely right, 0.83, you were not sure
    item 1: not the photo a.jpg. 0 of 6 confirmed, 6 to go
    Item 1 of 6, undecided, likely right, 0.83, you were not sure
    not done: item 1 has no photo a.jpg
    Item 1 of 6, undecided, likely right, 0.83, you were not sure
    shown: kitchen, 1 of 6. 0 of 6 confirmed, 6 to go
    Item 4 of 6, undecided, doubtful, 0.42
    4 undecided, kitchen: larder unit loose
    not done: no item fits: kitchen, “worktop”
    Item 4 of 6, undecided, doubtful, 0.42
    shown: kitchen, 1 of 6. 0 of 6 confirmed, 6 to go
    Item 4 of 6, undecided, doubtful, 0.42
    shown: all, 6 of 6. 0 of 6 confirmed, 6 to go
    Item 4 of 6, undecided, doubtful, 0.42
    item 4 confirmed. 1 of 6 confirmed, 5 to go
    Item 5 of 6, undecided, likely right, 0.83, you were not sure
    not done: there is no statement 1: 0 made no item
    Item 5 of 6, undecided, likely right, 0.83, you were not sure
    not done: give what `split` is for, such as split and the loft hatch
    Item 5 of 6, undecided, likely right, 0.83, you were not sure
    not done: no player is installed: to hear the moment, install one of mpv, ffplay (FFmpeg), play (SoX), cvlc (VLC)
    Item 5 of 6, undecided, likely right, 0.83, you were not sure
    1 of 6 confirmed, 5 to go
    "
    );
}

#[test]
fn resuming_begins_at_the_first_undecided_item_and_accepts_what_is_sure() {
    let (_home, mut job) = job();
    run(&mut job, &options(), "a\na\n");
    let sure = Options {
        accept_above: Some(0.95),
        ..options()
    };
    let (outcome, printed) = run(&mut job, &sure, "");
    assert!(
        printed.contains("item 3 confirmed\n3 of 4 confirmed, 1 to go\n\nItem 4 of 4,"),
        "{printed}"
    );
    assert_eq!((outcome.progress.to_go(), outcome.refused), (1, 0));
    let (outcome, printed) = run(&mut job, &sure, "what\na\n");
    assert!(
        printed.contains("no undecided item has a confidence of 0.95 or more"),
        "{printed}"
    );
    assert!(
        printed.contains("every item is decided: q quits"),
        "{printed}"
    );
    assert_eq!((outcome.progress.to_go(), outcome.refused), (0, 1));
}

#[test]
fn every_decision_is_in_the_job_with_its_time() {
    let (_home, mut job) = job();
    run(&mut job, &options(), "e element=balustrade\na\nr\n");
    let events = job.events().unwrap();
    let kinds: Vec<String> = events
        .iter()
        .map(|event| serde_json::to_value(&event.decision).unwrap()["kind"].to_string())
        .collect();
    assert_eq!(
        kinds,
        [r#""proposed""#, r#""edit""#, r#""accept""#, r#""reject""#]
    );
    assert!(events[1..].iter().all(|event| event.at == clock()));
    let item = &job.list().unwrap().items[0];
    assert_eq!(item.description, "<balustrade out of plumb in hallway, 2>");
}

#[test]
fn a_decision_made_elsewhere_is_taken_in_and_not_decided_over() {
    let (home, mut job) = job();
    /// Hands out one line at a time, and lets another program decide before the second.
    struct Interrupted(std::path::PathBuf, Vec<&'static str>);
    impl io::Read for Interrupted {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            if self.1.len() == 1 {
                let mut other = Job::open(&self.0).unwrap();
                run(&mut other, &options(), "g 2\nr\n");
            }
            let line = self.1.pop().unwrap_or_default();
            buffer[..line.len()].copy_from_slice(line.as_bytes());
            Ok(line.len())
        }
    }
    let lines = Interrupted(home.path().join("plot 7.job"), vec!["g 2\na\n", "a\n"]);
    let mut input = io::BufReader::new(lines);
    let mut printed = Vec::new();
    run_plain(&mut job, &options(), &clock, &mut input, &mut printed).unwrap();
    let printed = String::from_utf8(printed).unwrap();
    assert!(
        printed.contains("not done: another program changed the list"),
        "{printed}"
    );
    assert!(printed.contains("Item 2 of 4, rejected"), "{printed}");
}

#[test]
fn a_closed_output_is_no_error_and_keeps_what_was_decided() {
    struct Closed;
    impl Write for Closed {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(io::ErrorKind::BrokenPipe.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }
    let (_home, mut job) = job();
    run_plain(
        &mut job,
        &options(),
        &clock,
        &mut "a\n".as_bytes(),
        &mut Closed,
    )
    .unwrap();
}

#[test]
fn a_job_that_cannot_be_written_ends_the_pass_and_shows_nothing_as_done() {
    let (home, job) = job();
    drop(job);
    let mut job = Job::open_to_read(&home.path().join("plot 7.job")).unwrap();
    let mut printed = Vec::new();
    let ended = run_plain(
        &mut job,
        &options(),
        &clock,
        &mut "a\na\n".as_bytes(),
        &mut printed,
    );
    assert!(matches!(ended, Err(ConfirmError::Job(_))));
    assert!(
        !String::from_utf8(printed)
            .unwrap()
            .contains("item 1 confirmed")
    );
}
