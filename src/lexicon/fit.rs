//! One row of sounds fitted into a longer one, sound by sound, with costs that a speaker may change.

use super::near::{SOUNDS, SUBSTITUTION, gap};
use super::phonemes::{Phoneme, parse};
use std::ops::Range;

/// The *'s* between a thing and its fault.
const LINK: Phoneme = Phoneme::Z;

/// What each sound costs to be heard as another, to be lost, or to be heard where none was said.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Costs {
    /// By the sound that was said, then by the one that was heard.
    pub(super) heard: [[f32; SOUNDS]; SOUNDS],
    pub(super) lost: [f32; SOUNDS],
    pub(super) added: [f32; SOUNDS],
}

/// What happened to a sound: what was said, and what was heard; `None` where there was nothing.
pub(super) type Step = (Option<Phoneme>, Option<Phoneme>);

/// How a row of sounds fits into another.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fitted {
    pub(super) cost: f32,
    /// Where in the heard sounds.
    pub(super) at: Range<usize>,
    pub(super) steps: Vec<Step>,
}

impl Default for Costs {
    fn default() -> Costs {
        let mut gaps = [0.0; SOUNDS];
        for (sound, _) in Phoneme::ALL {
            gaps[sound as usize] = gap(sound);
        }
        Costs {
            heard: *SUBSTITUTION,
            lost: gaps,
            added: gaps,
        }
    }
}

impl Costs {
    pub(super) fn of(&self, step: Step) -> f32 {
        match step {
            (Some(said), Some(heard)) => self.heard[said as usize][heard as usize],
            (Some(said), None) => self.lost[said as usize],
            (None, Some(heard)) => self.added[heard as usize],
            (None, None) => 0.0,
        }
    }

    /// Sets what a step costs.
    pub(super) fn set(&mut self, step: Step, cost: f32) {
        match step {
            (Some(said), Some(heard)) => self.heard[said as usize][heard as usize] = cost,
            (Some(said), None) => self.lost[said as usize] = cost,
            (None, Some(heard)) => self.added[heard as usize] = cost,
            (None, None) => {}
        }
    }

    /// Returns what it costs to hear all of `said` as all of `heard`. With `linked` the *'s* of *kicker's
    /// loose* may have been heard at its end.
    pub(super) fn whole(&self, said: &[Phoneme], heard: &[Phoneme], linked: bool) -> f32 {
        let carry = |row: Vec<f32>, &sound: &Phoneme| self.carry(&row, sound, heard);
        let row = said.iter().fold(self.first_row(heard), carry);
        let cost = row[heard.len()];
        match linked {
            true => cost.min(self.carry(&row, LINK, heard)[heard.len()]),
            false => cost,
        }
    }

    /// Carries a row of costs on by one sound that was said: `row[j]` is the cost of all sounds before
    /// it against the first `j` heard ones.
    fn carry(&self, row: &[f32], said: Phoneme, heard: &[Phoneme]) -> Vec<f32> {
        let (costs, lost) = (&self.heard[said as usize], self.lost[said as usize]);
        let mut below = Vec::with_capacity(row.len());
        below.push(row[0] + lost);
        for (j, &sound) in heard.iter().enumerate() {
            let cost = (row[j] + costs[sound as usize])
                .min(row[j + 1] + lost)
                .min(below[j] + self.added[sound as usize]);
            below.push(cost);
        }
        below
    }

    /// Returns the row of costs before any sound was said.
    fn first_row(&self, heard: &[Phoneme]) -> Vec<f32> {
        let mut row = vec![0.0];
        for (j, &sound) in heard.iter().enumerate() {
            row.push(row[j] + self.added[sound as usize]);
        }
        row
    }

    /// Returns how all of `said` fits cheapest into a stretch of `heard`: the first of equally cheap
    /// ones. With `whole` the stretch is all of it (Needleman and Wunsch 1970, with costs for
    /// similarities); else what was heard before and after costs nothing.
    pub(super) fn fit(&self, said: &[Phoneme], heard: &[Phoneme], whole: bool) -> Fitted {
        let mut rows = vec![match whole {
            true => self.first_row(heard),
            false => vec![0.0; heard.len() + 1],
        }];
        for &sound in said {
            let row = self.carry(&rows[rows.len() - 1], sound, heard);
            rows.push(row);
        }
        let last = &rows[said.len()];
        let mut end = heard.len();
        if !whole {
            for j in (0..heard.len()).rev() {
                if last[j] <= last[end] {
                    end = j;
                }
            }
        }
        let (mut i, mut j) = (said.len(), end);
        let mut steps = Vec::new();
        let close = |a: f32, b: f32| (a - b).abs() < 1e-4;
        while i > 0 || whole && j > 0 {
            let here = rows[i][j];
            let both = (i > 0 && j > 0).then(|| (Some(said[i - 1]), Some(heard[j - 1])));
            if let Some(step) = both
                && close(here, rows[i - 1][j - 1] + self.of(step))
            {
                steps.push(step);
                (i, j) = (i - 1, j - 1);
            } else if i > 0 && close(here, rows[i - 1][j] + self.lost[said[i - 1] as usize]) {
                steps.push((Some(said[i - 1]), None));
                i -= 1;
            } else if j > 0 {
                steps.push((None, Some(heard[j - 1])));
                j -= 1;
            } else {
                break;
            }
        }
        steps.reverse();
        Fitted {
            cost: last[end],
            at: j..end,
            steps,
        }
    }
}

/// What stands for no sound in the files.
const NOTHING: &str = "-";

/// Returns a step as the files write it: `R>L`, `HH>-`.
pub(super) fn written(step: Step) -> String {
    let symbol =
        |sound: Option<Phoneme>| sound.map_or(NOTHING, |sound| Phoneme::ALL[sound as usize].1);
    format!("{}>{}", symbol(step.0), symbol(step.1))
}

/// Reads a step and its cost in hundredths: `R>L 40`.
///
/// # Errors
/// Says what is no such thing.
pub(super) fn read(text: &str) -> Result<(Step, f32), String> {
    let wrong =
        || format!("{text:?} is no confusion, expected sounds and hundredths like \"R>L 40\"");
    let (step, cost) = text.split_once(' ').ok_or_else(wrong)?;
    let (said, heard) = step.split_once('>').ok_or_else(wrong)?;
    let sound = |symbol: &str| match symbol {
        NOTHING => Ok(None),
        symbol => match parse(symbol).map_err(|error| error.to_string())?[..] {
            [sound] => Ok(Some(sound)),
            _ => Err(wrong()),
        },
    };
    let cost: u8 = cost.parse().map_err(|_| wrong())?;
    let step = (sound(said)?, sound(heard)?);
    match step != (None, None) && cost <= 100 {
        true => Ok((step, f32::from(cost) / 100.0)),
        false => Err(wrong()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sounds(text: &str) -> Vec<Phoneme> {
        parse(text).unwrap()
    }

    /// Needleman and Wunsch's method on a worked example of textbooks (Wikipedia, *Needleman-Wunsch
    /// algorithm*, GCATGCG and GATTACA: cited from memory: its best
    /// alignments have four matches and four edits), with four sounds for the letters.
    #[test]
    fn the_cheapest_way_of_a_worked_example_is_found() {
        let mut costs = Costs {
            heard: [[1.0; SOUNDS]; SOUNDS],
            lost: [1.0; SOUNDS],
            added: [1.0; SOUNDS],
        };
        for (sound, _) in Phoneme::ALL {
            costs.set((Some(sound), Some(sound)), 0.0);
        }
        let (said, heard) = (sounds("G K AA T G K G"), sounds("G AA T T AA K AA"));
        assert_eq!(costs.whole(&said, &heard, false), 4.0);
        let fitted = costs.fit(&said, &heard, true);
        let edits = fitted.steps.iter().filter(|(said, heard)| said != heard);
        assert_eq!((fitted.cost, edits.count(), fitted.at), (4.0, 4, 0..7));
    }

    /// By hand: *slack* heard as *sack* loses an l; only the stretch that fits is paid for.
    #[test]
    fn a_speakers_costs_replace_the_usual_ones() {
        let (slack, sack) = (sounds("S L AE K"), sounds("S AE K"));
        let mut costs = Costs::default();
        assert_eq!(costs.whole(&slack, &sack, false), 0.8);
        let (step, cost) = read("L>- 20").unwrap();
        costs.set(step, cost);
        assert_eq!(costs.whole(&slack, &sack, false), 0.2);
        let linked = sounds("S L AE K Z");
        assert_eq!(costs.whole(&slack, &linked, true), 0.0);
        let within = costs.fit(&slack, &sounds("M AH S AE K"), false);
        assert_eq!((within.cost, within.at), (0.2, 2..5));
    }

    #[test]
    fn a_confusion_is_written_as_it_is_read() {
        for text in ["R>L", "HH>-", "->L"] {
            let (step, cost) = read(&format!("{text} 40")).unwrap();
            assert_eq!((&*written(step), cost), (text, 0.4));
        }
        for wrong in ["", "R>L", "R>Q 40", "R>L 101", "->- 10", "R L>M 40"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
