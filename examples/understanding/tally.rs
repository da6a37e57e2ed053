//! How many items of a list are found and right, and how far its confidence can be believed.

use crate::agreement::{Gold, pair};
use callover::items::Item;
use callover::lexicon::{Kind, Lexicon};
use callover::score::calibration_error;
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};
use serde_json::Value;
use std::error::Error;
use std::fmt;
use std::path::{Path, PathBuf};

/// A walk-round with the list that a careful person would write.
pub(crate) struct WalkRound {
    pub(crate) name: String,
    pub(crate) transcript: Transcript,
    pub(crate) gold: Vec<Gold>,
    pub(crate) american: bool,
}

impl WalkRound {
    /// Returns the walk-round of a gold file as it was said, word for word.
    pub(crate) fn said(file: &Path) -> Result<WalkRound, Box<dyn Error>> {
        let (name, mut value) = gold_of(file)?;
        // The spoken text has no times that those of the recording could be held against.
        for item in value["items"].as_array_mut().into_iter().flatten() {
            item["start_s"] = Value::Null;
        }
        let text = value["text"].as_str().ok_or("the gold file has no text")?;
        Self::new(&name, &format!("{name}.txt"), text.as_bytes(), &value)
    }

    /// Returns it as it was recognised: `NAME.json` of `folder`.
    pub(crate) fn heard(file: &Path, folder: &Path) -> Result<WalkRound, Box<dyn Error>> {
        let (name, value) = gold_of(file)?;
        let transcript = folder.join(format!("{name}.json"));
        let bytes = std::fs::read(&transcript)
            .map_err(|error| format!("{}: {error}", transcript.display()))?;
        Self::new(&name, &format!("{name}.json"), &bytes, &value)
    }

    fn new(name: &str, file: &str, bytes: &[u8], gold: &Value) -> Result<Self, Box<dyn Error>> {
        let items = gold["items"]
            .as_array()
            .ok_or("the gold file has no items")?;
        Ok(WalkRound {
            name: name.to_owned(),
            transcript: transcript(file, bytes)?,
            gold: items.iter().map(Gold::read).collect(),
            american: gold["region"] == "en-US",
        })
    }

    /// Gives trades the names that the list shows in the region of the walk-round.
    #[allow(dead_code, reason = "only the scores print trades")]
    pub(crate) fn name_trades(&self, lexicon: &Lexicon, items: &mut [Item]) {
        let named = items.iter_mut().filter_map(|item| item.trade.as_mut());
        for trade in named.filter(|_| self.american) {
            if let Some(term) = lexicon.find(Kind::Trade, trade) {
                *trade = lexicon.american_name(term).to_owned();
            }
        }
    }
}

/// Returns the words of a file of this name.
pub(crate) fn transcript(file: &str, bytes: &[u8]) -> Result<Transcript, Box<dyn Error>> {
    let source = Source {
        file,
        sha256: &"0".repeat(64),
        recording: 1,
    };
    Ok(read(source, Format::from_file_name(file)?, bytes)?)
}

/// Returns a gold file, or all that a folder holds, in order.
pub(crate) fn gold_files(path: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path)? {
        let file = entry?.path();
        if file.to_string_lossy().ends_with(".gold.json") {
            files.push(file);
        }
    }
    files.sort();
    Ok(files)
}

/// Takes out the walk-rounds that a text names, one a line: those kept for a check.
pub(crate) fn leave_out(golds: &mut Vec<PathBuf>, names: &str) {
    golds.retain(|file| {
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        let name = name.strip_suffix(".gold.json");
        name.is_some_and(|name| !names.lines().any(|line| line.trim() == name))
    });
}

fn gold_of(file: &Path) -> Result<(String, Value), Box<dyn Error>> {
    let bytes = std::fs::read(file).map_err(|error| format!("{}: {error}", file.display()))?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let name = name.trim_end_matches(".gold.json").to_owned();
    Ok((name, serde_json::from_slice(&bytes)?))
}

/// Counts over a list, or over several.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tally {
    expected: usize,
    listed: usize,
    found: usize,
    right: usize,
    /// Right over stated, of the items that are right.
    measures: (usize, usize),
    counts: (usize, usize),
    trades: (usize, usize),
    /// The confidence of each item, and whether it is right.
    claims: Vec<(f64, bool)>,
}

impl Tally {
    /// Returns how well a list agrees with the expected one.
    pub(crate) fn of(gold: &[Gold], items: &[Item]) -> Tally {
        let mut tally = Tally {
            expected: gold.len(),
            listed: items.len(),
            ..Tally::default()
        };
        let mut right = vec![false; items.len()];
        for (gold, at) in gold.iter().zip(pair(gold, items)) {
            let Some(at) = at else { continue };
            tally.found += 1;
            right[at] = gold.grade(&items[at]).right();
            if right[at] {
                tally.right += 1;
                tally.add_facts(gold, &items[at]);
            }
        }
        tally.claims = items
            .iter()
            .map(|item| item.confidence)
            .zip(right)
            .collect();
        tally
    }

    fn add_facts(&mut self, gold: &Gold, item: &Item) {
        let count = |(right, stated): &mut (usize, usize), is_stated: bool, agrees: bool| {
            *stated += usize::from(is_stated);
            *right += usize::from(is_stated && agrees);
        };
        count(
            &mut self.measures,
            gold.measure.is_some(),
            gold.measure_agrees(item),
        );
        count(&mut self.counts, gold.count > 1, gold.count == item.count);
        count(
            &mut self.trades,
            !gold.trade.is_empty(),
            gold.trade_agrees(item.trade.as_deref()),
        );
    }

    pub(crate) fn add(&mut self, other: &Tally) {
        self.expected += other.expected;
        self.listed += other.listed;
        self.found += other.found;
        self.right += other.right;
        for (sum, more) in [
            (&mut self.measures, other.measures),
            (&mut self.counts, other.counts),
            (&mut self.trades, other.trades),
        ] {
            sum.0 += more.0;
            sum.1 += more.1;
        }
        self.claims.extend(&other.claims);
    }

    /// Returns precision, recall and their harmonic mean of so many hits.
    fn rates(&self, hits: usize) -> [f64; 3] {
        let share = |of: usize| hits as f64 / of.max(1) as f64;
        let both = (self.listed + self.expected).max(1) as f64;
        [
            share(self.listed),
            share(self.expected),
            2.0 * hits as f64 / both,
        ]
    }

    /// Returns the F1 of the items that are right in place, element and defect.
    pub(crate) fn right_f1(&self) -> f64 {
        self.rates(self.right)[2]
    }

    /// Returns for each item its confidence, and whether it is right.
    pub(crate) fn claims(&self) -> &[(f64, bool)] {
        &self.claims
    }

    /// Returns the expected calibration error of the confidence.
    pub(crate) fn calibration_error(&self) -> f64 {
        calibration_error(&self.claims)
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "gold {} listed {}", self.expected, self.listed)?;
        for (name, hits) in [("found", self.found), ("right", self.right)] {
            let [precision, recall, f1] = self.rates(hits);
            write!(f, " | {name} P {precision:.3} R {recall:.3} F1 {f1:.3}")?;
        }
        let of = |(right, stated): (usize, usize)| format!("{right}/{stated}");
        write!(
            f,
            " | measure {} count {} trade {}",
            of(self.measures),
            of(self.counts),
            of(self.trades)
        )
    }
}
