//! The terminal face: keys in, cells out.

use super::{clock, job, options};
use crate::confirm::draw::draw;
use crate::confirm::keep::{keep, start};
use crate::confirm::play::play;
use crate::confirm::screen::{Ask, Screen};
use crate::confirm::{Around, Session};
use crate::items::Unplaced;
use crate::job::Job;
use crate::job::samples::walk;
use crate::time::Millis;
use proptest::prelude::*;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::{Buffer, Cell};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::style::{Color, Modifier};
use unicode_width::UnicodeWidthStr;

fn open(job: &mut Job) -> Screen {
    Screen::new(start(job, &options(), &clock).unwrap())
}

/// Keys as text: `⏎` Enter, `⎋` Esc, `⇥` Tab, `⌫` Ctrl-U, `→ ← ↓` arrows. Returns false after quit.
fn press(job: &mut Job, screen: &mut Screen, keys: &str) -> bool {
    for c in keys.chars() {
        let (code, modifiers) = match c {
            '⏎' => (KeyCode::Enter, KeyModifiers::NONE),
            '⎋' => (KeyCode::Esc, KeyModifiers::NONE),
            '⇥' => (KeyCode::Tab, KeyModifiers::NONE),
            '⌫' => (KeyCode::Char('u'), KeyModifiers::CONTROL),
            '→' => (KeyCode::Right, KeyModifiers::NONE),
            '←' => (KeyCode::Left, KeyModifiers::NONE),
            '↓' => (KeyCode::Down, KeyModifiers::NONE),
            c => (KeyCode::Char(c), KeyModifiers::NONE),
        };
        match screen.key(KeyEvent::new(code, modifiers)) {
            Ask::Nothing => {}
            Ask::Quit => return false,
            Ask::Play => screen.tell(play(job, &screen.session, None).map(|(told, _)| told)),
            Ask::Keep(change) => match keep(job, &mut screen.session, &change, &clock()) {
                Ok(told) => screen.kept(told),
                Err(error) => screen.failed(&error),
            },
        }
    }
    true
}

fn cells(screen: &Screen, colour: bool, width: u16, height: u16) -> Buffer {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
    terminal
        .draw(|frame| _ = draw(screen, colour, frame.area(), frame.buffer_mut()))
        .unwrap();
    terminal.backend().buffer().clone()
}

/// What is on the screen, without space at the ends of lines.
fn text(screen: &Screen, width: u16, height: u16) -> String {
    let cells = cells(screen, false, width, height);
    let line = |row: &[Cell]| {
        let (mut line, mut place) = (String::new(), 0);
        while let Some(cell) = row.get(place) {
            line.push_str(cell.symbol());
            // A wide character covers the next cell.
            place += cell.symbol().width().max(1);
        }
        line.trim_end().to_string()
    };
    cells
        .content
        .chunks(width.into())
        .map(line)
        .collect::<Vec<_>>()
        .join("\n")
}

fn check(keys: &str) -> String {
    let (_home, mut job) = job();
    let mut screen = open(&mut job);
    press(&mut job, &mut screen, keys);
    text(&screen, 80, 24)
}

/// The lowest lines only.
fn foot(keys: &str, lines: usize) -> String {
    let all = check(keys);
    let all: Vec<&str> = all.lines().collect();
    all[all.len() - lines..].join("\n")
}

#[test]
fn the_card_of_a_full_item_at_80_by_24() {
    insta::assert_snapshot!(check(""), @r"
    plot 7                                               0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────────────────────────────────────────
    hallway                      │ Item 1 of 4, undecided
    1 · newel post out of plumb  │ likely right, 0.83, you were not sure
    2 · skirting gap at the mit… │
    kitchen                      │    heard        at 0:46: “and the new will post
    3 · worktop scratched        │                 left of the lounge door is
    4 · larder unit loose        │                 about nineteen millimetres out
                                 │                 of plumb over the storey I
                                 │                 think”
                                 │ p  place        hallway
                                 │ o  position     left of the lounge door
                                 │ e  element      newel post
                                 │ d  defect       out of plumb
                                 │ t  description  The newel post is out of plumb
                                 │                 by 19 mm over the storey.
                                 │ m  measurement  about 19 mm over 1 storey,
                                 │                 “nineteen millimetres over the
                                 │                 storey”
                                 │    limit        outside: at most 10 mm in one
                                 │                 storey (an invented limit for
                                 │ … 14 more lines: Down
    ──────────────────────────────────────────────────────────────────────────────
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
}

#[test]
fn the_card_of_a_plain_item_after_accepting() {
    insta::assert_snapshot!(check("⏎"), @r"
    plot 7                                               1 of 4 confirmed, 3 to go
    ━━━━━━━━━━━━━━━━━━━───────────────────────────────────────────────────────────
    hallway                      │ Item 2 of 4, undecided       likely right, 0.90
    1 ✓ newel post out of plumb  │
    2 · skirting gap at the mit… │    heard        at 0:20: “the skirting is gap
    kitchen                      │                 at the mitre”
    3 · worktop scratched        │ p  place        hallway
    4 · larder unit loose        │ o  position     –
                                 │ e  element      skirting
                                 │ d  defect       gap at the mitre
                                 │ t  description  skirting gap at the mitre
                                 │ m  measurement  –
                                 │ c  count        1
                                 │ w  trade        –
                                 │ v  severity     finish
                                 │ r  remedy       –
                                 │ k  remark       –
                                 │
                                 │
                                 │
                                 │
    ──────────────────────────────────────────────────────────────────────────────
    item 1 confirmed
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
}

#[test]
fn a_question_at_the_foot_with_the_field_marked() {
    insta::assert_snapshot!(check("sd⌫cracked"), @r"
    plot 7                                               0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────────────────────────────────────────
    hallway                      │ Item 2 of 4, undecided       likely right, 0.90
    1 · newel post out of plumb  │
    2 · skirting gap at the mit… │    heard        at 0:20: “the skirting is gap
    kitchen                      │                 at the mitre”
    3 · worktop scratched        │ p  place        hallway
    4 · larder unit loose        │ o  position     –
                                 │ e  element      skirting
                                 │ d  defect       gap at the mitre
                                 │ t  description  skirting gap at the mitre
                                 │ m  measurement  –
                                 │ c  count        1
                                 │ w  trade        –
                                 │ v  severity     finish
                                 │ r  remedy       –
                                 │ k  remark       –
                                 │
                                 │
                                 │
                                 │
    ──────────────────────────────────────────────────────────────────────────────
    defect: cracked
    Enter keep it   Esc leave it
    ");
}

#[test]
fn rejecting_offers_usual_reasons() {
    insta::assert_snapshot!(foot("x", 3), @r"
    1 misheard   2 not a defect   3 said twice   4 put right
    reject because:
    Enter keep it   Esc leave it   Tab take the first   1-9 take that one
    ");
    insta::assert_snapshot!(foot("x3⏎", 2), @r"
    item 1 rejected: said twice
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
    insta::assert_snapshot!(foot("x⏎←", 2), @r"
    ──────────────────────────────────────────────────────────────────────────────
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
}

#[test]
fn tab_goes_through_words_used_in_the_list() {
    insta::assert_snapshot!(foot("sp⌫⇥", 2), @r"
    place: hallway
    Enter keep it   Esc leave it   Tab take the first   1-9 take that one
    ");
    insta::assert_snapshot!(foot("sp⌫⇥⇥", 2), @r"
    place: kitchen
    Enter keep it   Esc leave it   Tab take the first   1-9 take that one
    ");
    insta::assert_snapshot!(foot("sp⌫ki⇥⇥⏎", 2), @r"
    item 2: the place is now kitchen
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
}

#[test]
fn what_was_typed_stays_after_a_refusal_and_goes_with_esc() {
    insta::assert_snapshot!(foot("c⌫many⏎", 3), @r"
    the count `many` is not a whole number from 1 to 9999: give digits, such as 3
    count: many
    Enter keep it   Esc leave it
    ");
    insta::assert_snapshot!(foot("c⌫many⏎⎋", 1), @" a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear");
    insta::assert_snapshot!(foot("gx⏎", 3), @r"
    `x` is no number: give an item's number
    go to item: x
    Enter keep it   Esc leave it
    ");
}

#[test]
fn a_new_item_is_asked_for_in_three_questions() {
    insta::assert_snapshot!(check("n⌫loft⏎hatch⏎loose⏎"), @r"
    plot 7                                               1 of 5 confirmed, 4 to go
    ━━━━━━━━━━━━━━━───────────────────────────────────────────────────────────────
    hallway                      │ Item 5 of 5, confirmed          written by hand
    1 · newel post out of plumb  │
    2 · skirting gap at the mit… │ p  place        loft
    kitchen                      │ o  position     –
    3 · worktop scratched        │ e  element      hatch
    4 · larder unit loose        │ d  defect       loose
    loft                         │ t  description  <hatch loose in loft, 1>
    5 ✓ hatch loose              │ m  measurement  –
                                 │ c  count        1
                                 │ w  trade        –
                                 │ v  severity     repair
                                 │ r  remedy       –
                                 │ k  remark       –
                                 │    why          added by hand
                                 │
                                 │
                                 │
                                 │
                                 │
    ──────────────────────────────────────────────────────────────────────────────
    item 5 added and confirmed
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
}

#[test]
fn all_keys_on_one_page() {
    insta::assert_snapshot!(check("?"), @"
    plot 7                                               0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────────────────────────────────────────
    a, Enter     accept the item as it stands, and show the next undecided one
    x            reject it, with a reason
    X            reject it for the reason given last
    s            skip it: leave it undecided, and show the next undecided one
    z            restore it: make it undecided again
    S            say how its work stands since a later visit: put right, not put
                 right, changed, …
    u            undo the last decision, also one from an earlier sitting
    y            do again what was undone
    Space, l     hear the moment, from a second before; again stops it
    p o e d      change place, position, element, defect
    P            after another place: take the items after it along that stand
                 where it stood
    t            change the description: your own sentence is then kept
    m c r w v k  change measurements, count, remedy, trade, severity, remark
    E D O W …    as capitals: change it and accept the item (T R V K too);
                 figures: a behind them
    L            after a correction: learn from it, as the lowest line offers
    n            write a new item by hand
    … 23 more lines: Down
    ──────────────────────────────────────────────────────────────────────────────
    Any other key goes back to the item.
    ");
}

#[test]
fn the_end_is_told() {
    insta::assert_snapshot!(foot("A⌫0.5⏎x⏎", 2), @r"
    item 4 rejected; every item is decided, q quits
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
}

#[test]
fn a_small_terminal_scrolls() {
    let (_home, mut job) = job();
    let mut screen = open(&mut job);
    insta::assert_snapshot!(text(&screen, 44, 12), @r"
    plot 7           0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────
    Item 1 of 4, undecided
    likely right, 0.83, you were not sure

       heard        at 0:46: “and the new will
                    post left of the lounge
                    door is about nineteen
                    millimetres out of plumb
    … 29 more lines: Down
    ──────────────────────────────────────────
    a accept   x reject   s skip   u undo
    ");
    press(&mut job, &mut screen, "↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓↓");
    insta::assert_snapshot!(text(&screen, 44, 12), @r"
    plot 7           0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────
                    base looks short
    !  caution      Do not lean on the
                    balustrade until it is
                    fixed.
       photo        you asked for one here
       why          the place is carried from
                    0:24; “new will post”
    … 2 more lines: Down
    ──────────────────────────────────────────
    a accept   x reject   s skip   u undo
    ");
}

#[test]
fn wide_characters_keep_their_columns() {
    let (_home, mut job) = job();
    let mut screen = open(&mut job);
    press(&mut job, &mut screen, "se⌫東京の床板⏎");
    insta::assert_snapshot!(text(&screen, 60, 9), @r"
    plot 7                           0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────────────────────
    Item 2 of 4, undecided                  likely right, 0.90

       heard        at 0:20: “the skirting is gap at the
    … 11 more lines: Down
    ──────────────────────────────────────────────────────────
    item 2: the element is now 東京の床板
    a accept   x reject   s skip   u undo   ? all keys   n new
    ");
}

#[test]
fn heard_terms_are_underlined_and_unsure_words_dim() {
    let heard = "and the new will post left of the lounge door is about nineteen millimetres \
                 out of plumb over the storey I think";
    let words = heard.split(' ').map(|text| crate::speech::Word {
        text: text.into(),
        recording: 1,
        span: None,
        probability: if text == "plumb" { 0.3 } else { 0.9 },
        line_end: false,
        meant: None,
    });
    let silence = crate::speech::Word {
        text: "so".into(),
        recording: 1,
        span: None,
        probability: 0.1,
        line_end: false,
        meant: None,
    };
    let around = Around {
        words: std::iter::repeat_n(silence, 40).chain(words).collect(),
        ..Around::default()
    };
    let (_home, mut job) = job();
    let mut screen = open(&mut job);
    // One word more than the sample names, as the quote has.
    let mut items = walk();
    items[0].evidence.words = Some((40, 62));
    screen.session = Session::new(items, vec![], super::describe).with(around.into());
    let cells = cells(&screen, false, 100, 30);
    let with = |modifier: Modifier| -> String {
        let column = 36..;
        let rows = cells.content.chunks(100).skip(4).take(6);
        let cells = rows.flat_map(|row| &row[column.clone()]);
        let marked = cells.filter(|cell| cell.modifier.contains(modifier));
        marked.map(Cell::symbol).collect()
    };
    assert_eq!(with(Modifier::UNDERLINED), "newwillpost");
    assert!(
        with(Modifier::DIM).contains("plumb"),
        "{}",
        with(Modifier::DIM)
    );
}

#[test]
fn what_is_offered_is_taken_by_its_digit() {
    insta::assert_snapshot!(foot("sp", 4), @r"
    ──────────────────────────────────────────────────────────────────────────────
    1 kitchen
    place: hallway
    Enter keep it   Esc leave it   Tab take the first   1-9 take that one
    ");
    // The digit is the whole answer, and an Enter from habit does not accept the item.
    insta::assert_snapshot!(foot("sp1⏎", 3), @r"
    ──────────────────────────────────────────────────────────────────────────────
    item 2: the place is now kitchen
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
    insta::assert_snapshot!(foot("sp1⏎a", 3), @r"
    ──────────────────────────────────────────────────────────────────────────────
    item 2 confirmed
    a accept   x reject   s skip   u undo   ? all keys   q quit   Space hear
    ");
    // After a space a digit is part of the text.
    insta::assert_snapshot!(foot("spbedroom 1", 2), @r"
    place: bedroom 1
    Enter keep it   Esc leave it
    ");
}

#[test]
fn the_operations_have_keys() {
    for (keys, told) in [
        ("X", "item 1 rejected: not a defect"),
        ("x1X", "item 2 rejected: misheard"),
        (
            "ploft⏎",
            "item 1: the place is now loft; P takes the one after it along",
        ),
        ("ploft⏎Pa", "item 1 confirmed"),
        ("ploft⏎P", "item 2: the place is now loft"),
        (
            "P",
            "no item goes along with item 1: change its place first",
        ),
        // Behind a whole figure the key that accepts is none of it.
        ("c3a", "item 1: the count is now 3; confirmed"),
        ("m⌫6 mma", "item 1: the measurement is now 6 mm; confirmed"),
        ("m⌫2 bar⏎", "item 1: the measurement is now 2 bar"),
        ("ca", "count: a"),
        ("1", "no statement 1 is shown here"),
        ("hleft⏎", "item 1 split: the rest is item 5 now"),
        ("j3⏎", "item 3 merged into item 1"),
        (
            "bbedrooms two and three⏎",
            "item 1 copied: 5 in bedroom two, 6 in bedroom three",
        ),
        ("M1-2⏎loft⏎", "2 items are in loft now"),
        ("N9⏎", "the item is number 9 now"),
        ("N⏎", "the items are numbered in order already"),
        ("C⏎", "2 items confirmed with a confidence of 0.8 or more"),
        ("fkitchen⏎", "shown: kitchen, 2 of 4; Esc shows all"),
        ("fkitchen⏎⎋", "everything is shown"),
        ("fmoon⏎", "nothing is called `moon`"),
        ("/worktop⏎", "shown: “worktop”, 1 of 4; Esc shows all"),
        ("+a.jpg⏎", "item 1 has the photo a.jpg"),
        ("+a.jpg⏎-1", "item 1: not the photo a.jpg"),
        (
            " ",
            "no player is installed: to hear the moment, install one of mpv, ffplay",
        ),
        ("i", "every statement is in an item"),
    ] {
        let shown = check(keys);
        let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(told), "{keys}:\n{shown}");
    }
}

#[test]
fn statements_that_made_no_item_are_listed_and_promoted() {
    let (_home, mut job) = job();
    let mut screen = open(&mut job);
    let statement = |quote: &str, why: &str| Unplaced {
        recording: 1,
        span: Some(crate::time::Span::new(Millis(61_000), Millis(64_000))),
        quote: quote.into(),
        why: why.into(),
    };
    let around = Around {
        unplaced: vec![
            statement("the blind could do with another look", "no defect named"),
            statement("tiles are lovely", "said to be in order"),
        ],
        ..Around::default()
    };
    screen.session = Session::new(walk(), vec![], super::describe).with(around.into());
    screen.key(KeyCode::Char('i').into());
    screen.key(KeyCode::Up.into());
    insta::assert_snapshot!(text(&screen, 60, 12), @r"
    plot 7                           0 of 4 confirmed, 4 to go
    ──────────────────────────────────────────────────────────
    Said, but in no item

    1 1:01 “the blind could do with another look”
        no defect named
    2 1:01 “tiles are lovely”
        said to be in order


    ──────────────────────────────────────────────────────────
    Enter make it an item   1-9 that one   Up, Down choose
    ");
    screen.key(KeyCode::Enter.into());
    insta::assert_snapshot!(text(&screen, 60, 12).lines().rev().take(2).collect::<Vec<_>>().join("\n"), @r"
    Enter keep it   Esc leave it   Tab take the first
    new item, element:
    ");
}

#[test]
fn what_was_said_before_an_item_stands_on_its_card_and_is_listed_by_a_digit() {
    let (_home, mut job) = job();
    let mut screen = open(&mut job);
    let word = |text: &str| crate::speech::Word {
        text: text.into(),
        recording: 1,
        span: None,
        probability: 0.9,
        line_end: false,
        meant: None,
    };
    let heard = "skirting loose the blind sags door scratched";
    let around = Around {
        words: heard.split(' ').map(word).collect(),
        unplaced: vec![Unplaced {
            recording: 1,
            span: Some(crate::time::Span::new(Millis(61_000), Millis(64_000))),
            quote: "the blind sags".into(),
            why: "no defect named".into(),
        }],
        ..Around::default()
    };
    let mut items = walk();
    items[0].evidence.words = Some((0, 2));
    items[1].evidence.words = Some((5, 7));
    screen.session = Session::new(items, vec![], super::describe).with(around.into());
    assert!(!text(&screen, 80, 24).contains("not listed"));
    screen.key(KeyCode::Char('s').into());
    let shown = text(&screen, 80, 24);
    assert!(
        shown.contains("1  not listed   1:01 “the blind sags”"),
        "{shown}"
    );
    screen.key(KeyCode::Char('1').into());
    let shown = text(&screen, 80, 24);
    assert!(shown.contains("new item, element:"), "{shown}");
}

#[test]
fn an_empty_list_says_so() {
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(home.path()).unwrap();
    let mut screen = open(&mut job);
    press(&mut job, &mut screen, "a");
    let shown = text(&screen, 80, 24);
    assert!(shown.contains("The list has no items. Press n"), "{shown}");
    assert!(!press(&mut job, &mut screen, "q"));
}

#[test]
fn without_colours_there_are_none_and_the_words_are_the_same() {
    let (_home, mut job) = job();
    let screen = open(&mut job);
    let (plain, colourful) = (cells(&screen, false, 80, 24), cells(&screen, true, 80, 24));
    let colours = |buffer: &Buffer| {
        buffer
            .content
            .iter()
            .filter(|cell| (cell.fg, cell.bg) != (Color::Reset, Color::Reset))
            .count()
    };
    assert_eq!(colours(&plain), 0);
    assert!(colours(&colourful) > 0);
    let words = |buffer: &Buffer| -> String {
        buffer
            .content
            .iter()
            .map(|cell| cell.symbol().to_string())
            .collect()
    };
    assert_eq!(words(&plain), words(&colourful));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn no_key_and_no_size_can_break_it(
        keys in "[asuynzxX?pPdcrwvkgAbfhijlCMN/+\\-0-9⏎⎋⇥⌫→←↓東,; ]{0,40}", width in 0u16..100, height in 0u16..30,
    ) {
        let (_home, mut job) = job();
        let mut screen = open(&mut job);
        press(&mut job, &mut screen, &keys);
        cells(&screen, true, width, height);
        let kept = job.list().unwrap();
        prop_assert_eq!(&kept, screen.session.list(), "the screen shows what the job keeps");
        prop_assert!(kept.items.len() >= 4);
    }
}
