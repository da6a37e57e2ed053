//! How long a decision takes the inspector, from the times of the latest ones.

use crate::job::{Decision, Event};
use jiff::Timestamp;

/// Decisions looked at: enough to even out a hard item, few enough to follow a change of pace.
const LATEST: usize = 30;
/// Decisions needed before anything is said.
const LEAST: usize = 5;
/// A longer gap is a break, not a decision. Own choice: listening again, measuring on a plan and
/// typing a remark stay below it.
const BREAK_S: f64 = 180.0;

/// Returns the mean number of seconds that each of the latest decisions on an item took; `None` where
/// there are too few to say. Items accepted together unseen do not count, nor do breaks.
pub(crate) fn seconds_per_item(events: &[Event]) -> Option<f64> {
    let decided = events.iter().rev().filter(|event| {
        matches!(
            event.decision,
            Decision::Accept { above: None, .. } | Decision::Reject { .. }
        )
    });
    let times: Vec<Timestamp> = decided
        .take(LATEST)
        .filter_map(|event| event.at.parse().ok())
        .collect();
    let gaps = times
        .windows(2)
        .map(|pair| (pair[0].as_millisecond() - pair[1].as_millisecond()) as f64 / 1000.0)
        .filter(|gap| (0.0..=BREAK_S).contains(gap));
    let gaps: Vec<f64> = gaps.collect();
    let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
    (gaps.len() >= LEAST && mean > 0.0).then_some(mean)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn events(seconds: &[i64]) -> Vec<Event> {
        let event = |(id, second): (i64, &i64)| Event {
            id,
            at: Timestamp::from_second(*second).unwrap().to_string(),
            decision: Decision::Accept {
                item: id.to_string(),
                above: None,
            },
        };
        (1..).zip(seconds).map(event).collect()
    }

    #[test]
    fn the_pace_is_the_mean_gap_without_breaks() {
        for (seconds, pace) in [
            (&[][..], None),
            (&[0, 4, 8, 12, 16], None),
            (&[0, 4, 8, 12, 16, 20], Some(4.0)),
            (&[0, 2, 8, 10, 16, 20, 24], Some(4.0)),
            (&[0, 4, 8, 12, 5000, 5004, 5008], Some(4.0)),
            (&[7, 7, 7, 7, 7, 7, 7], None),
        ] {
            assert_eq!(seconds_per_item(&events(seconds)), pace, "{seconds:?}");
        }
    }

    #[test]
    fn items_accepted_together_say_nothing_about_the_pace() {
        let mut events = events(&[0, 4, 8, 12, 16, 20]);
        for event in &mut events {
            event.decision = Decision::Accept {
                item: "1".into(),
                above: Some(0.9),
            };
        }
        assert_eq!(seconds_per_item(&events), None);
    }
}
