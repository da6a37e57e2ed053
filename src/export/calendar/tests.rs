//! The calendar against the rules of RFC 5545; reading it with another program is in
//! `tests/readers.rs`.

use super::super::{Format, sample};
use super::*;
use crate::items::Standing;
use proptest::prelude::*;

fn written(document: &Document) -> String {
    String::from_utf8(
        Format::Calendar
            .bytes(document, &Options::default())
            .unwrap(),
    )
    .unwrap()
}

/// Returns the calendar's lines unfolded, without checking anything.
fn unfolded(calendar: &str) -> Vec<String> {
    let whole = calendar.replace("\r\n ", "");
    whole.split_terminator("\r\n").map(String::from).collect()
}

/// Returns the values of one property, in order.
fn values(calendar: &str, name: &str) -> Vec<String> {
    let value = |line: String| {
        let (found, value) = line.split_once(':')?;
        (found == name).then(|| value.to_string())
    };
    unfolded(calendar).into_iter().filter_map(value).collect()
}

/// Source: the examples of RFC 5545, sections 3.1 and 3.3.11.
#[test]
fn escapes_and_folds_as_the_standard_has_it() {
    assert_eq!(
        text("Project XYZ Final Review\nConference Room - 3B\nCome Prepared."),
        "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."
    );
    for (plain, value) in [
        ("a;b,c", "a\\;b\\,c"),
        ("back\\slash", "back\\\\slash"),
        ("it's \"so\": yes", "it's \"so\": yes"),
        ("tab\tbell\u{7}cr\r\n", "tabbellcr\\n"),
    ] {
        assert_eq!(text(plain), value);
    }
    // Exactly 75 octets stay whole; one more folds; a character of several octets moves as one.
    for (filler, folded) in [
        (
            "x".repeat(70),
            "NAME:".to_string() + &"x".repeat(70) + "\r\n",
        ),
        (
            "x".repeat(71),
            "NAME:".to_string() + &"x".repeat(70) + "\r\n x\r\n",
        ),
        (
            "x".repeat(69) + "é",
            "NAME:".to_string() + &"x".repeat(69) + "\r\n é\r\n",
        ),
        (
            "x".repeat(70 + 74) + "y",
            "NAME:".to_string() + &"x".repeat(70) + "\r\n " + &"x".repeat(74) + "\r\n y\r\n",
        ),
    ] {
        let mut lines = Lines::default();
        lines.add("NAME", &filler);
        assert_eq!(lines.0, folded);
    }
}

#[test]
fn shows_a_task_for_each_trade() {
    let calendar = unfolded(&written(&sample::document())).join("\n");
    // The version changes with every release; the snapshot should not.
    let shown = calendar.replace(TOOL, "[tool]");
    insta::assert_snapshot!(shown, @r"
    BEGIN:VCALENDAR
    VERSION:2.0
    PRODID:-//callover//[tool]//EN
    BEGIN:VTODO
    UID:4eda1cb3-00cb-5f1c-ae7f-ebc999b3de99
    DTSTAMP:20260302T170500Z
    SUMMARY:Decorator: 1 item\, Plot 14
    CATEGORIES:Decorator
    PRIORITY:5
    STATUS:NEEDS-ACTION
    PERCENT-COMPLETE:0
    DESCRIPTION:8. Loft: A hairline crack runs over the loft hatch.
    END:VTODO
    BEGIN:VTODO
    UID:b6799399-6dcf-53d1-98db-204f49fe5d02
    DTSTAMP:20260302T170500Z
    SUMMARY:Electrician: 1 item\, Plot 14
    CATEGORIES:Electrician
    PRIORITY:1
    STATUS:NEEDS-ACTION
    PERCENT-COMPLETE:0
    DESCRIPTION:3. Kitchen: The socket beside the hob is loose on the wall. Have it isolated\, checked and refixed (usual remedy). Caution: Do not use it. Only a licensed electrician should open it.
    END:VTODO
    BEGIN:VTODO
    UID:a2a7027e-c903-55d6-98f0-1325f50b3a62
    DTSTAMP:20260302T170500Z
    SUMMARY:Joiner: 2 items\, Plot 14
    DUE;VALUE=DATE:20260312
    CATEGORIES:Joiner
    PRIORITY:5
    STATUS:NEEDS-ACTION
    PERCENT-COMPLETE:0
    DESCRIPTION:2. Hallway: The newel post at the foot of the stairs is out of plumb by 19 mm over one storey. Reset the newel post plumb and refix it (usual remedy). (not yet confirmed)\n5. Hallway: The door rubs on the frame at the head. Ease the door. (not put right)
    END:VTODO
    BEGIN:VTODO
    UID:df9618bd-2934-50de-9868-9fd0b75dcd37
    DTSTAMP:20260302T170500Z
    SUMMARY:Plasterer: 1 item\, Plot 14
    CATEGORIES:Plasterer
    PRIORITY:5
    STATUS:NEEDS-ACTION
    PERCENT-COMPLETE:0
    DESCRIPTION:4. Kitchen: Two patches of plaster on the window wall may be hollow. (not yet confirmed)
    END:VTODO
    BEGIN:VTODO
    UID:b4f15adc-9c40-5697-bf9a-dfaa2b769a42
    DTSTAMP:20260302T170500Z
    SUMMARY:Roofer: 1 item\, Plot 14
    DUE;VALUE=DATE:20260330
    CATEGORIES:Roofer
    PRIORITY:5
    STATUS:NEEDS-ACTION
    PERCENT-COMPLETE:0
    DESCRIPTION:1. Front elevation: The gutter joint drips onto the path left of the porch. Remake the joint and test with water.
    END:VTODO
    BEGIN:VTODO
    UID:9cb4ce93-0674-5811-8b7a-e3569c91f983
    DTSTAMP:20260302T170500Z
    SUMMARY:Trade not named: 1 item\, Plot 14
    CATEGORIES:Trade not named
    PRIORITY:5
    STATUS:NEEDS-ACTION
    PERCENT-COMPLETE:0
    DESCRIPTION:7. Place not named: =SUM(A1) <b>is what the label says</b> & it should not | really.
    END:VTODO
    END:VCALENDAR
    ");
}

#[test]
fn a_task_follows_the_standing_of_its_items() {
    let joiner = |standing_2: Standing, standing_5: Standing| {
        let mut document = sample::document();
        document
            .items
            .retain(|item| item.trade.as_deref() == Some("joiner"));
        for item in &mut document.items {
            item.standing = if item.number == 2 {
                standing_2
            } else {
                standing_5
            };
            item.due = Some(format!("2026-03-1{}", item.number));
        }
        let calendar = written(&document);
        ["STATUS", "PERCENT-COMPLETE", "DUE;VALUE=DATE"]
            .map(|name| values(&calendar, name).join(""))
    };
    for (standings, told) in [
        (
            (Standing::Open, Standing::Changed),
            ["NEEDS-ACTION", "0", "20260312"],
        ),
        (
            (Standing::PutRight, Standing::Open),
            ["IN-PROCESS", "50", "20260315"],
        ),
        (
            (Standing::PutRight, Standing::Closed),
            ["COMPLETED", "100", "20260312"],
        ),
    ] {
        assert_eq!(joiner(standings.0, standings.1), told);
    }
}

#[test]
fn identities_stay_and_a_list_of_nothing_is_refused() {
    let mut document = sample::document();
    let before = values(&written(&document), "UID");
    document.created = "2026-04-01T08:00:00+01:00".to_string();
    document.items.reverse();
    document.items[0].due = Some("2026-05-01".to_string());
    let calendar = written(&document);
    assert_eq!(values(&calendar, "UID"), before);
    assert_eq!(values(&calendar, "DTSTAMP")[0], "20260401T070000Z");
    document.items.clear();
    let error = Format::Calendar
        .bytes(&document, &Options::default())
        .unwrap_err();
    assert!(error.to_string().starts_with("no item is shown"), "{error}");
}

proptest! {
    #[test]
    fn no_text_can_break_a_calendar(words in "(BEGIN:VEVENT|END:VTODO|[\\\\;:,\"\r\n\t a-c\u{0}é😀]){0,60}") {
        let mut document = sample::document();
        document.title = words.clone();
        for item in &mut document.items {
            item.description = words.clone();
            item.caution = Some(words.clone());
            item.trade = Some(words.clone());
        }
        let calendar = written(&document);
        for line in calendar.split_terminator("\r\n") {
            prop_assert!(line.len() <= LONGEST_LINE, "{:?}", line);
            prop_assert!(!line.chars().any(char::is_control), "{:?}", line);
        }
        prop_assert_eq!(values(&calendar, "BEGIN"), ["VCALENDAR", "VTODO"]);
        prop_assert_eq!(values(&calendar, "END"), ["VTODO", "VCALENDAR"]);
        prop_assert_eq!(values(&calendar, "SUMMARY").len(), 1);
    }
}
