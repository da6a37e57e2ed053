//! Which item a photo shows: the one that was being spoken about when it was taken.

use crate::items::{Item, Status, VisitedPlace};
use crate::job::{Certainty, Moment};
use crate::time::{Millis, Span};

/// A photo this long after the last word of an item, and before the next is spoken of, is likely
/// of it: time to bend down, take it and look whether it is sharp. Common practice, no source.
const FOLLOWS_MS: u64 = 15_000;

/// A photo this long before the first word of an item is likely of it: seen, taken, then told.
/// Shorter than [`FOLLOWS_MS`], because most speak first. Common practice, no source.
const LEADS_MS: u64 = 5_000;

/// Beyond this no item is near enough even to guess.
const NEAR_MS: u64 = 45_000;

/// Returns the item that a photo of this moment shows, and how sure that is; `None` where none is
/// near. `cue` is the moment at which the photo was spoken of, where it was.
///
/// Items that were rejected get no photos. Where the inspector had gone on to another place, no
/// item of the place before is guessed.
pub fn item_shown<'a>(
    items: &'a [Item],
    places: &[VisitedPlace],
    moment: Moment,
    cue: Option<Moment>,
) -> Option<(&'a Item, Certainty)> {
    if let Some((item, Nearness::During | Nearness::Soon)) =
        cue.and_then(|cue| nearest(items, places, cue))
    {
        return Some((item, Certainty::Sure));
    }
    let (item, nearness) = nearest(items, places, moment)?;
    let sure = match nearness {
        Nearness::During | Nearness::Soon => Certainty::Likely,
        Nearness::Near => Certainty::Guess,
    };
    Some((item, sure))
}

/// Returns the place that the inspector was at; `None` where the walk-round does not tell.
pub fn place_at(places: &[VisitedPlace], moment: Moment) -> Option<&str> {
    let visits = places.iter().flat_map(|place| {
        let spans = place
            .visits
            .iter()
            .filter(|v| v.recording == moment.recording);
        spans.filter_map(move |visit| Some((visit.span?, place.name.as_str())))
    });
    // Between two stays the earlier one goes on until a word is said at the next.
    visits
        .filter(|(span, _)| span.start <= moment.at)
        .max_by_key(|(span, _)| span.start)
        .map(|(_, name)| name)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Nearness {
    /// While it was spoken of.
    During,
    /// So shortly before or after that it is likely of it.
    Soon,
    /// Near enough to guess.
    Near,
}

/// Returns the item spoken of nearest to a moment; of two as near, the one that began last. Merely
/// near are only items of the place that the inspector was at.
fn nearest<'a>(
    items: &'a [Item],
    places: &[VisitedPlace],
    moment: Moment,
) -> Option<(&'a Item, Nearness)> {
    let here = place_at(places, moment);
    items
        .iter()
        .filter(|item| item.status != Status::Rejected)
        .filter(|item| item.evidence.recording == moment.recording)
        .filter_map(|item| {
            let span = item.evidence.span?;
            let (nearness, gap) = nearness(span, moment.at)?;
            let elsewhere = here.is_some_and(|place| place != item.place);
            if nearness == Nearness::Near && elsewhere {
                return None;
            }
            Some((nearness, gap, u64::MAX - span.start.0, item))
        })
        .min_by_key(|&(nearness, gap, start, _)| (nearness, gap, start))
        .map(|(nearness, _, _, item)| (item, nearness))
}

fn nearness(span: Span, at: Millis) -> Option<(Nearness, u64)> {
    let before = span.start.0.saturating_sub(at.0);
    let after = at.0.saturating_sub(span.end.0);
    let gap = before.max(after);
    let nearness = match (before, after) {
        (0, 0) => Nearness::During,
        (0, after) if after <= FOLLOWS_MS => Nearness::Soon,
        (before, 0) if before <= LEADS_MS => Nearness::Soon,
        _ if gap <= NEAR_MS => Nearness::Near,
        _ => return None,
    };
    Some((nearness, gap))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::items::Visit;
    use crate::job::samples::item;

    fn at(seconds: u64) -> Moment {
        Moment {
            recording: 1,
            at: Millis(seconds * 1000),
        }
    }

    fn visited(name: &str, from: u64, to: u64) -> VisitedPlace {
        let span = Some(Span::new(Millis(from * 1000), Millis(to * 1000)));
        VisitedPlace {
            name: name.into(),
            kind: "room".into(),
            visits: vec![Visit { recording: 1, span }],
        }
    }

    /// Items 1 and 2 are spoken of from 0:10 to 0:14 and from 0:20 to 0:24 in the hallway, item 9
    /// from 1:30 to 1:34 in the kitchen.
    fn walk() -> (Vec<Item>, Vec<VisitedPlace>) {
        let items = vec![
            item(1, "hallway", "newel post", "out of plumb"),
            item(2, "hallway", "skirting", "loose"),
            item(9, "kitchen", "worktop", "scratched"),
        ];
        (
            items,
            vec![visited("hallway", 5, 30), visited("kitchen", 80, 100)],
        )
    }

    #[test]
    fn a_photo_shows_what_is_being_spoken_about() {
        let (items, places) = walk();
        let cases = [
            ("while item 1 is told", 12, None, "1 likely"),
            ("between two, nearer to the first", 16, None, "1 likely"),
            ("just before the second", 19, None, "2 likely"),
            ("a while after the second", 36, None, "2 likely"),
            ("long after it, still in the hallway", 60, None, "2 guess"),
            ("before anything was told", 0, None, "1 guess"),
            ("in the kitchen, nearer to its item", 82, None, "9 guess"),
            ("far from everything", 400, None, "loose"),
            ("asked for while item 1 was told", 18, Some(13), "1 sure"),
            ("asked for just after item 2", 34, Some(26), "2 sure"),
            ("asked for where nothing was told", 72, Some(60), "loose"),
        ];
        for (case, moment, cue, want) in cases {
            let found = item_shown(&items, &places, at(moment), cue.map(at));
            let found = found.map_or("loose".into(), |(item, sure)| {
                format!("{} {sure}", item.number)
            });
            assert_eq!(found, want, "{case}");
        }
    }

    #[test]
    fn another_room_is_not_guessed() {
        let (mut items, places) = walk();
        items.truncate(2);
        assert_eq!(place_at(&places, at(60)), Some("hallway"));
        assert_eq!(place_at(&places, at(81)), Some("kitchen"));
        assert!(item_shown(&items, &places, at(69), None).is_some());
        let soon = [visited("hallway", 5, 30), visited("kitchen", 60, 100)];
        assert_eq!(item_shown(&items, &soon, at(65), None), None);
    }

    #[test]
    fn rejected_items_and_other_recordings_get_none() {
        let (mut items, places) = walk();
        items[0].status = Status::Rejected;
        let found = item_shown(&items, &places, at(12), None).map(|(item, _)| item.number);
        assert_eq!(found, Some(2));
        let other = Moment {
            recording: 2,
            ..at(12)
        };
        assert_eq!(item_shown(&items, &places, other, None), None);
    }
}
