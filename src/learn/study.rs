//! Jobs read again with a lexicon, and what that changes.

use super::lived::Lived;
use super::marks::{ALL_FACTS, Marks, marks};
use crate::items::{Item, Proposal, propose};
use crate::lexicon::{Hit, Lexicon, Sureness, Token};
use crate::workers::each;
use std::cmp::Ordering;

/// Jobs as a lexicon reads them today, ready to be compared with another one.
#[derive(Debug, Clone)]
pub struct Study<'a> {
    pub(super) jobs: &'a [Lived],
    pub(super) lexicon: Lexicon,
    /// The words of each job.
    pub(super) tokens: Vec<Vec<Token>>,
    /// What the spotter finds in them.
    hits: Vec<Vec<Hit>>,
    /// What each is proposed.
    pub(super) proposed: Vec<Vec<Item>>,
    pub(super) marks: Vec<Marks>,
}

/// One thing that a lesson changes in a past job.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Change {
    /// The job's name.
    pub job: String,
    /// The confirmed item's number; `None` for proposed items that belong to none.
    pub item: Option<u32>,
    /// How it was proposed before.
    pub before: String,
    /// How it is proposed with the lesson.
    pub after: String,
}

/// What lessons do to past jobs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Effect {
    /// Confirmed items proposed more nearly as they were confirmed, places of theirs that were missed,
    /// and false items gone.
    pub mended: Vec<Change>,
    /// Confirmed items proposed less nearly as they were confirmed, places lost, and new false items.
    pub broken: Vec<Change>,
}

impl<'a> Study<'a> {
    /// Returns the jobs as `lexicon` reads them, with confidences as the program claims them.
    pub fn new(lexicon: &Lexicon, jobs: &'a [Lived]) -> Study<'a> {
        let lexicon = &lexicon.with_sureness(Sureness::default()).with_memory();
        let proposals: Vec<Proposal> = each(jobs, |job| propose(lexicon, &job.transcript));
        let tokens = jobs.iter().map(|job| lexicon.tokens(&job.transcript.words));
        let tokens: Vec<Vec<Token>> = tokens.collect();
        let each = jobs.iter().zip(&proposals);
        Study {
            marks: each
                .map(|(job, one)| marks(lexicon, lexicon, job, one))
                .collect(),
            hits: tokens.iter().map(|tokens| lexicon.spot(tokens)).collect(),
            tokens,
            lexicon: lexicon.clone(),
            jobs,
            proposed: proposals
                .into_iter()
                .map(|proposal| proposal.items)
                .collect(),
        }
    }

    /// Returns the shares of the confirmed items that are proposed with all three facts right: as
    /// parts of the confirmed and of the proposed items, and the harmonic mean of the two (F1). 1
    /// where there is nothing.
    pub fn right(&self) -> f64 {
        let right: usize = self
            .marks
            .iter()
            .map(|m| {
                (0..m.found.len())
                    .filter(|&i| m.facts(i) == ALL_FACTS)
                    .count()
            })
            .sum();
        let confirmed: usize = self.jobs.iter().map(|job| job.confirmed.len()).sum();
        let known: usize = self
            .marks
            .iter()
            .map(|m| m.surplus.len() + m.found.iter().flatten().count())
            .sum();
        f1(right, confirmed, known)
    }

    /// Returns what reading the jobs that `touches` selects with `lexicon` changes. With `habits`
    /// trades, severities and remedies count as well.
    pub(super) fn effect(
        &self,
        lexicon: &Lexicon,
        habits: bool,
        touches: impl Fn(usize) -> bool,
    ) -> Effect {
        let mut effect = Effect::default();
        let touched: Vec<usize> = (0..self.jobs.len()).filter(|&j| touches(j)).collect();
        let read = each(&touched, |&j| {
            let job = &self.jobs[j];
            let proposal = propose(lexicon, &job.transcript);
            let now = marks(&self.lexicon, lexicon, job, &proposal);
            (j, now, proposal.items)
        });
        for (j, now, items) in read {
            let job = &self.jobs[j];
            for (i, item) in job.confirmed.iter().enumerate() {
                let worth = |m: &Marks| m.facts(i) + if habits { m.rest[i] } else { 0 };
                let (was, is) = (worth(&self.marks[j]), worth(&now));
                if was == is {
                    continue;
                }
                let told = |m: &Marks, items: &[Item]| match m.found[i] {
                    Some((p, _)) => tell(&items[p], habits),
                    None => "not proposed".to_owned(),
                };
                let change = Change {
                    job: job.name.clone(),
                    item: Some(item.number),
                    before: told(&self.marks[j], &self.proposed[j]),
                    after: told(&now, &items),
                };
                match was < is {
                    true => effect.mended.push(change),
                    false => effect.broken.push(change),
                }
            }
            let (was, is) = (self.marks[j].surplus.len(), now.surplus.len());
            effect.whole(&job.name, was.cmp(&is), (was, is), "false item");
            let (was, is) = (self.marks[j].places, now.places);
            effect.whole(&job.name, is.cmp(&was), (was, is), "place visited");
        }
        effect
    }

    /// Returns false for a job that a lexicon with more mishearings and nothing else reads as before.
    pub(super) fn heard_otherwise(&self, lexicon: &Lexicon, job: usize) -> bool {
        lexicon.spot(&self.tokens[job]) != self.hits[job]
    }
}

impl Effect {
    /// Adds a change of a whole job: a count that became better (greater) or worse (less).
    fn whole(&mut self, job: &str, better: Ordering, (was, is): (usize, usize), what: &str) {
        let change = Change {
            job: job.to_owned(),
            item: None,
            before: format!("{what}: {was}"),
            after: format!("{what}: {is}"),
        };
        match better {
            Ordering::Greater => self.mended.push(change),
            Ordering::Less => self.broken.push(change),
            Ordering::Equal => {}
        }
    }
}

/// Returns the harmonic mean of precision and recall; 1 where nothing was expected nor proposed.
pub(super) fn f1(right: usize, expected: usize, proposed: usize) -> f64 {
    match expected + proposed {
        0 => 1.0,
        sum => 2.0 * right as f64 / sum as f64,
    }
}

fn tell(item: &Item, habits: bool) -> String {
    let main = format!("{}: {}, {}", item.place, item.element, item.defect);
    if !habits {
        return main;
    }
    let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "none".into());
    format!(
        "{main} ({}, {}, {})",
        or_none(&item.remedy),
        or_none(&item.trade),
        crate::job::severity_word(item.severity)
    )
}
