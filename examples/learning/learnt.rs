//! What was learnt so far of a stream, as an overlay.

use super::Result;
use callover::learn::{
    Change, Lived, Study, Teaching, Verdict, entries, harmful, judge, lessons, overlay,
};
use callover::lexicon::Lexicon;
use std::path::{Path, PathBuf};

/// The name under which the overlay is given.
const LEARNT: &str = "learnt.toml";

/// What was learnt so far: the text of an overlay.
#[derive(Default)]
pub(super) struct Learnt {
    pub(super) text: String,
    /// Lessons taken out again: they are not accepted a second time.
    withdrawn: Vec<Teaching>,
}

impl Learnt {
    pub(super) fn of(text: String) -> Learnt {
        Learnt {
            text,
            ..Learnt::default()
        }
    }

    pub(super) fn files(&self) -> Vec<(PathBuf, String)> {
        vec![(PathBuf::from(LEARNT), self.text.clone())]
    }

    pub(super) fn lexicon(&self) -> Result<Lexicon> {
        Lexicon::load(&self.files()).map_err(|problems| format!("{problems:?}").into())
    }

    /// Learns from the jobs whatever passes the guard, and takes out what they speak against; returns how
    /// many lessons were accepted.
    pub(super) fn learn(&mut self, jobs: &[Lived], show: bool, insist: bool) -> Result<usize> {
        let lexicon = self.lexicon()?;
        let study = Study::new(&lexicon, jobs);
        let mut new = lessons(&study);
        new.retain(|lesson| !self.withdrawn.contains(&lesson.teaching));
        let judged =
            judge(&study, &self.files(), new).map_err(|problems| format!("{problems:?}"))?;
        let against = harmful(&study, &self.files(), Path::new(LEARNT));
        let mut accepted = 0;
        for one in judged {
            if show {
                let words = one.lesson.teaching.in_words();
                println!(
                    "    {:?}: {words} ({} for, {} against, {} mended, {} broken)",
                    one.verdict,
                    one.lesson.sightings.len(),
                    one.lesson.against,
                    one.effect.mended.len(),
                    one.effect.broken.len()
                );
                for (what, changes) in [
                    ("mends", &one.effect.mended),
                    ("breaks", &one.effect.broken),
                ] {
                    for Change {
                        job,
                        item,
                        before,
                        after,
                    } in changes
                    {
                        let item = item.map(|n| format!(" item {n}")).unwrap_or_default();
                        println!("        {what} {job}{item}: {before} -> {after}");
                    }
                }
            }
            let own_name = matches!(one.lesson.teaching, Teaching::Term { .. });
            let insisted = insist && own_name && one.verdict == Verdict::MendsNothing;
            if one.verdict == Verdict::Passes || insisted {
                accepted += 1;
                self.text =
                    overlay::with(&self.text, &one.lesson, "2026-03-02", "passed the guard");
            }
        }
        for harm in against {
            println!("  withdrawn: {}", harm.teaching.in_words());
            let (head, mut all) = entries(&self.text);
            all.retain(|entry| entry.teaching.as_ref() != Some(&harm.teaching));
            self.text = head + &all.into_iter().map(|entry| entry.lines).collect::<String>();
            self.withdrawn.push(harm.teaching);
        }
        Ok(accepted)
    }
}
