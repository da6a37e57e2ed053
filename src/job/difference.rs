//! What another reading of a job's words changes in its list.

use super::severity_word;
use crate::items::Item;

/// One item that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// Its number: the new one where it has one.
    pub number: u32,
    /// Place, element, defect, remedy, trade and severity as listed; `None` for an item that is new.
    pub before: Option<String>,
    /// The same as it would be; `None` for an item that would be gone.
    pub after: Option<String>,
}

/// Returns the items of two lists of a job that differ in what is told of them, in the order of the later
/// list, then those that are gone. An item is the same where its identity is, or else where it
/// rests on some of the same words.
pub fn differences(before: &[Item], after: &[Item]) -> Vec<Difference> {
    let of_id = |list: &'_ [Item], id: &str| list.iter().any(|item| item.id == id);
    let gone: Vec<&Item> = before
        .iter()
        .filter(|item| !of_id(after, &item.id))
        .collect();
    let mut replaced = vec![false; gone.len()];
    let mut found = Vec::new();
    for item in after {
        let same = before.iter().find(|old| old.id == item.id);
        let old = same.or_else(|| {
            let at = (0..gone.len()).find(|&at| !replaced[at] && share_words(gone[at], item))?;
            replaced[at] = true;
            Some(gone[at])
        });
        let (before, after) = (old.map(told), told(item));
        if before.as_ref() != Some(&after) {
            found.push(Difference {
                number: item.number,
                before,
                after: Some(after),
            });
        }
    }
    let left = gone.iter().zip(replaced).filter(|(_, replaced)| !replaced);
    found.extend(left.map(|(item, _)| Difference {
        number: item.number,
        before: Some(told(item)),
        after: None,
    }));
    found
}

fn share_words(a: &Item, b: &Item) -> bool {
    let words = a.evidence.words.zip(b.evidence.words);
    a.evidence.recording == b.evidence.recording
        && words.is_some_and(|(a, b)| a.0 < b.1 && b.0 < a.1)
}

fn told(item: &Item) -> String {
    let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "none".into());
    format!(
        "{}: {}, {} ({}, {}, {})",
        item.place,
        item.element,
        item.defect,
        or_none(&item.remedy),
        or_none(&item.trade),
        severity_word(item.severity)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::samples;

    fn item(number: u32, id: &str, element: &str, words: (usize, usize)) -> Item {
        let mut item = samples::item(number, "hallway", element, "loose");
        item.id = id.to_owned();
        item.evidence.words = Some(words);
        item
    }

    #[test]
    fn changed_new_and_gone_items_are_told_and_the_rest_is_not() {
        let before = [
            item(1, "a", "door", (0, 4)),
            item(2, "b", "blenkit", (4, 8)),
            item(3, "c", "window", (8, 12)),
            item(4, "d", "sill", (12, 16)),
        ];
        let after = [
            item(1, "a", "door", (0, 4)),
            item(2, "b", "plinth", (4, 8)),
            item(5, "e", "window board", (9, 12)),
            item(6, "f", "tap", (20, 24)),
        ];
        let found: Vec<(u32, Option<String>, Option<String>)> = differences(&before, &after)
            .into_iter()
            .map(|d| (d.number, d.before, d.after))
            .collect();
        let loose = |element: &str| Some(told(&item(1, "", element, (0, 1))));
        let expected = [
            (2, loose("blenkit"), loose("plinth")),
            (5, loose("window"), loose("window board")),
            (6, None, loose("tap")),
            (4, loose("sill"), None),
        ];
        assert_eq!(found, expected);
        assert_eq!(differences(&before, &before), []);
    }
}
