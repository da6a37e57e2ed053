//! What a pass took, and what typing the same list takes.

use crate::agreement::Gold;
use crate::face::Waited;
use std::collections::BTreeMap;
use std::fmt;

/// Which facts are to be right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Facts {
    /// Place, element and defect.
    Main,
    /// Measurement, count and trade as well, where they are expected.
    All,
}

impl Facts {
    pub(crate) fn words(self) -> &'static str {
        match self {
            Facts::Main => "place, element and defect right:",
            Facts::All => "place, element, defect, measurement, count and trade right:",
        }
    }
}

/// How often each field was put right, and in how many keys.
pub(crate) type Spent = BTreeMap<&'static str, (usize, usize)>;

/// What a pass took.
#[derive(Debug, Clone, Default)]
pub(crate) struct Pass {
    pub(crate) expected: usize,
    pub(crate) right: usize,
    pub(crate) mended: usize,
    pub(crate) added: usize,
    pub(crate) rejected: usize,
    /// Keys for accepting right items, mending, adding, rejecting.
    pub(crate) keys: [usize; 4],
    pub(crate) fields: Spent,
    pub(crate) typed: usize,
    pub(crate) wrong: usize,
    pub(crate) waited: Waited,
}

impl Pass {
    pub(crate) fn with(mut self, other: &Pass) -> Pass {
        self.expected += other.expected;
        self.right += other.right;
        self.mended += other.mended;
        self.added += other.added;
        self.rejected += other.rejected;
        self.typed += other.typed;
        self.wrong += other.wrong;
        self.waited = self.waited.with(&other.waited);
        for (field, (times, keys)) in &other.fields {
            let mine = self.fields.entry(field).or_default();
            *mine = (mine.0 + times, mine.1 + keys);
        }
        for (mine, other) in self.keys.iter_mut().zip(other.keys) {
            *mine += other;
        }
        self
    }
}

impl fmt::Display for Pass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let share = |keys: usize| keys as f64 / self.expected.max(1) as f64;
        let [accepting, mending, adding, rejecting] = self.keys;
        write!(
            f,
            "{:.2} keys an item ({} keys, {} items): {} right in {accepting}, {} mended in \
             {mending}, {} added in {adding}, {} rejected in {rejecting}; typed by hand {:.1}",
            share(self.keys.iter().sum()),
            self.keys.iter().sum::<usize>(),
            self.expected,
            self.right,
            self.mended,
            self.added,
            self.rejected,
            share(self.typed),
        )?;
        for (field, (times, keys)) in &self.fields {
            write!(f, "; {field} {times} times in {keys}")?;
        }
        match self.wrong {
            0 => Ok(()),
            wrong => write!(f, "; {wrong} NOT AS EXPECTED at the end"),
        }
    }
}

/// Keys of typing the same list: each text and a key after it; a place only where it changes.
pub(crate) fn typed_by_hand(gold: &[Gold], facts: Facts) -> usize {
    let length = |text: &str| text.chars().count() + 1;
    let mut keys = 0;
    let mut place = "";
    for item in gold {
        keys += if item.place[0] == place {
            1
        } else {
            length(&item.place[0])
        };
        place = &item.place[0];
        keys += length(&item.element[0]) + length(&item.defect[0]);
        if facts == Facts::All {
            keys += item.measure.as_deref().map_or(0, length);
            keys += if item.count > 1 {
                length(&item.count.to_string())
            } else {
                0
            };
            keys += item.trade.first().map_or(0, |trade| length(trade));
        }
    }
    keys
}
