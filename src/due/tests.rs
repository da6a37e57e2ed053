//! Dates against what calendars say.

use super::*;
use crate::items::Item;
use crate::items::Seen;
use crate::job::samples;
use proptest::prelude::*;

fn sample(number: u32) -> Item {
    samples::item(number, "hallway", "newel post", "loose")
}

fn on(text: &str) -> Date {
    date(text).unwrap()
}

/// Leap years and lengths of months by the Gregorian rule (ISO 8601: every fourth year, of the full
/// centuries every fourth); weekdays by published calendars: 2 March 2026 was a Monday, 29 February
/// 2024 a Thursday. Ends of months and working days as computed with the datetime and calendar modules of Python 3.11.
#[test]
fn periods_end_where_the_calendar_says() {
    for (start, period, end) in [
        ("2026-03-02", "30 days", "2026-04-01"),
        ("2026-01-31", "1 month", "2026-02-28"),
        ("2024-01-31", "1 month", "2024-02-29"),
        ("2000-01-31", "1 month", "2000-02-29"),
        ("1900-01-31", "1 month", "1900-02-28"),
        ("2024-02-28", "1 day", "2024-02-29"),
        ("2026-02-28", "1 day", "2026-03-01"),
        ("2025-12-18", "14 days", "2026-01-01"),
        ("2026-03-31", "3 months", "2026-06-30"),
        ("2026-03-02", "2 weeks", "2026-03-16"),
        ("2026-03-02", "5 working days", "2026-03-09"),
        ("2026-03-06", "1 working day", "2026-03-09"),
        ("2026-03-07", "1 working day", "2026-03-09"),
        ("2024-02-29", "10 working days", "2024-03-14"),
    ] {
        let period: Period = period.parse().unwrap();
        assert_eq!(
            period.after(on(start)),
            Some(on(end)),
            "{start} and {period}"
        );
    }
    let last = Date::MAX;
    for period in ["1 day", "1 month", "1 working day"] {
        assert_eq!(period.parse::<Period>().unwrap().after(last), None);
    }
}

#[test]
fn periods_are_read_as_people_write_them() {
    for (text, shown) in [
        ("30 days", "30 days"),
        ("1 Day", "1 day"),
        (" 10  working days ", "10 working days"),
        ("10 business days", "10 working days"),
        ("2 weeks", "2 weeks"),
        ("1 month", "1 month"),
    ] {
        assert_eq!(text.parse::<Period>().unwrap().to_string(), shown);
    }
    for wrong in [
        "",
        "30",
        "days",
        "0 days",
        "-1 days",
        "1.5 days",
        "30 fortnights",
        "4000 days",
        "30 days or so",
    ] {
        let message = wrong.parse::<Period>().unwrap_err().to_string();
        assert!(message.contains(&format!("`{wrong}`")), "{message}");
    }
}

#[test]
fn a_severity_may_have_a_period_of_its_own() {
    assert_eq!(rule("30 days").unwrap().0, "within");
    assert_eq!(rule("safety = 1 day").unwrap().0, "within/safety");
    assert_eq!(
        rule("grave=1 day"),
        Err(PeriodError::Severity("grave".into()))
    );
    let details = [("within", "30 days"), ("within/safety", "1 day")];
    let details = details.map(|(key, value)| (key.to_owned(), value.to_owned()));
    let rules = Rules::of_details(&details.into()).unwrap();
    let found = on("2026-03-02");
    assert_eq!(rules.due(Severity::Safety, found), Some(on("2026-03-03")));
    assert_eq!(rules.due(Severity::Finish, found), Some(on("2026-04-01")));
    assert_eq!(Rules::default().due(Severity::Safety, found), None);
}

#[test]
fn only_whole_dates_are_dates() {
    assert!(date("2024-02-29").is_some());
    for wrong in [
        "",
        "2026-02-29",
        "2026-2-9",
        "20260302",
        "2026-03-02T10:00:00Z",
        "2 March 2026",
        "+002026-03-02",
    ] {
        assert_eq!(date(wrong), None, "{wrong}");
    }
}

fn seen(date: &str, standing: Standing) -> Seen {
    Seen {
        visit: 2,
        date: date.into(),
        standing,
        note: String::new(),
        recording: None,
        span: None,
        quote: String::new(),
    }
}

#[test]
fn an_item_is_overdue_after_its_day_until_it_is_dealt_with() {
    let mut item = sample(1);
    item.due = Some("2026-04-01".into());
    assert!(!overdue(&item, on("2026-04-01")));
    assert!(overdue(&item, on("2026-04-02")));
    for (standing, still) in [
        (Standing::Offered, true),
        (Standing::Changed, true),
        (Standing::NotPutRight, true),
        (Standing::PutRight, false),
        (Standing::Closed, false),
    ] {
        item.standing = standing;
        assert_eq!(overdue(&item, on("2026-04-02")), still, "{standing:?}");
    }
    item.due = None;
    item.standing = Standing::Open;
    assert!(!overdue(&item, on("2026-04-02")));
}

#[test]
fn days_open_end_with_the_visit_that_found_it_dealt_with() {
    let (found, today) = (on("2026-03-02"), on("2026-05-01"));
    let mut item = sample(1);
    assert_eq!(days_open(&item, found, today), 60);
    item.history = vec![
        seen("2026-03-20", Standing::NotPutRight),
        seen("2026-04-01", Standing::PutRight),
        seen("2026-04-20", Standing::PutRight),
    ];
    item.standing = Standing::PutRight;
    assert_eq!(days_open(&item, found, today), 30);
    // Come back: open again, and counted from the beginning.
    item.history.push(seen("2026-04-25", Standing::NotPutRight));
    item.standing = Standing::NotPutRight;
    assert_eq!(days_open(&item, found, today), 60);
}

proptest! {
    #[test]
    fn working_days_never_end_at_a_weekend_and_never_come_early(
        start in 0i64..40_000, count in 1u32..400,
    ) {
        use jiff::{ToSpan, civil::{Weekday, date}};
        let start = date(1970, 1, 1).checked_add(start.days()).unwrap();
        let end = Period { count, unit: Unit::WorkingDays }.after(start).unwrap();
        prop_assert!(!matches!(end.weekday(), Weekday::Saturday | Weekday::Sunday));
        let days = days_between(start, end);
        prop_assert!(days >= count as i32 && days <= (count as i32 / 5 + 1) * 7 + 2);
    }
}
