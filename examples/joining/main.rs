//! Fits whether a fault says more of an item that is there to walk-rounds of which the list is known.
//!
//! ```text
//! cargo run --release --example joining -- [OPTIONS] GOLD...
//!
//!   --cases FILE      cases as tests/understanding has them (can be repeated)
//!   --heard FOLDER    what was recognised of them: NAME.json, where there is one, counts beside what was said
//!   --except FILE     names of walk-rounds that are left out, one a line: those kept for a check
//!   --show            also print the faults of walk-rounds that were taken wrongly
//!   --out FILE        keeps the fit: models/joining.toml
//! ```
//!
//! GOLD are files `NAME.gold.json` as `examples/understanding` reads them, or folders of them. Every figure
//! is of walk-rounds left out of the fit, a sixth of them at a time.

#![allow(clippy::print_stdout, reason = "a program for the terminal")]

#[path = "../keystrokes/agreement.rs"]
#[allow(dead_code, reason = "the simulated inspector uses the rest")]
mod agreement;
#[path = "../../tests/understanding/case.rs"]
#[allow(
    dead_code,
    clippy::unwrap_used,
    reason = "the tests use the rest, and stop at a case written wrongly"
)]
mod case;
#[path = "../pairing/choices.rs"]
mod choices;
mod in_one_breath;
#[path = "../understanding/tally.rs"]
#[allow(dead_code, reason = "the scores use the rest")]
mod tally;

use agreement::{Gold, agrees, pair, words};
use callover::items::{Item, Joint, Spoken, propose, weighed};
use callover::lexicon::Lexicon;
use choices::{Asked, Example};
use std::error::Error;

/// What stands at the head of the file of weights.
const HEAD: &str = "\
# Whether a fault says more of an item that is there: weights of a logistic regression over signs.
# Written by examples/joining, which tells how; the signs are told in src/items/walk/joining.rs. Its
# report (a case counts six times), each walk-round judged by a fit to others:";

/// How many words are printed from where a fault begins.
const BEHIND: usize = 8;

/// How often a case counts: it is written to tell one thing from another.
const CASE_COUNTS: usize = 6;

fn main() -> Result<(), Box<dyn Error>> {
    let mut show = false;
    let asked = Asked::read(|option, _| {
        show |= option == "--show";
        option == "--show"
    })?;
    let lexicon = Lexicon::builtin().map_err(|problems| format!("{problems:?}"))?;
    let mut examples = Vec::new();
    for (walk_round, file) in asked.golds.iter().enumerate() {
        for known in asked.known(file)? {
            let items = propose(&lexicon, &known.transcript).items;
            let list = List::of(&known.gold, &items);
            for joint in weighed(&lexicon, &known.transcript).joints {
                let Some(more) = list.says_more(&joint) else {
                    continue;
                };
                if show && more != joint.joined {
                    let (earlier, fault) = (&joint.earlier, &joint.fault);
                    let until = known.transcript.words.len().min(fault.word + BEHIND);
                    let said = &known.transcript.words[earlier.word.min(fault.word)..until];
                    let said: Vec<&str> = said.iter().map(|word| word.text.as_str()).collect();
                    println!(
                        "{}: {} {}, {} {} {}: {}",
                        known.name,
                        earlier.element,
                        earlier.defect,
                        fault.element,
                        fault.defect,
                        if more {
                            "is more of it"
                        } else {
                            "is an item of its own"
                        },
                        said.join(" ")
                    );
                }
                examples.push(example(walk_round, &joint, more));
            }
            let right = |item: usize| list.is_right(item);
            for pair in in_one_breath::pairs(&known.transcript, &items, right) {
                for joint in weighed(&lexicon, &pair.transcript).joints {
                    if joint.earlier.word < pair.second && pair.second <= joint.fault.word {
                        examples.push(example(walk_round, &joint, false));
                    }
                }
            }
        }
    }
    for file in &asked.cases {
        for (walk_round, case) in case::read(file).iter().enumerate() {
            for joint in weighed(&lexicon, &case.transcript).joints {
                let holds = |named: &str, wanted: &str| words(wanted).is_subset(&words(named));
                let itself = case.items.iter().any(|wanted| {
                    holds(&joint.fault.element, &wanted.element)
                        && holds(&joint.fault.defect, &wanted.defect)
                });
                let of_case = example(walk_round, &joint, !itself);
                examples.extend(std::iter::repeat_n(of_case, CASE_COUNTS));
            }
        }
    }
    asked.fit(&examples, HEAD)
}

/// Returns the choice between an item of its own, for which nothing speaks, and more of the other.
fn example(walk_round: usize, joint: &Joint, more: bool) -> Example {
    Example {
        walk_round,
        things: vec![Vec::new(), joint.signs.clone()],
        right: vec![!more, more],
    }
}

/// A list that was made beside the one that ought to be.
struct List<'a> {
    gold: &'a [Gold],
    items: &'a [Item],
    /// The item of each expected one.
    pairs: Vec<Option<usize>>,
}

impl List<'_> {
    fn of<'a>(gold: &'a [Gold], items: &'a [Item]) -> List<'a> {
        List {
            gold,
            items,
            pairs: pair(gold, items),
        }
    }

    /// True where an item is expected and names its thing and its fault.
    fn is_right(&self, item: usize) -> bool {
        let of = self.pairs.iter().position(|at| *at == Some(item));
        of.is_some_and(|of| {
            let grade = self.gold[of].grade(&self.items[item]);
            grade.element && grade.defect
        })
    }

    /// Returns whether the fault ought to say more of the other item; nothing where that cannot be told.
    fn says_more(&self, joint: &Joint) -> Option<bool> {
        let made = |spoken: &Spoken| {
            (0..self.items.len()).find(|&at| {
                let item = &self.items[at];
                let (from, to) = item.evidence.words.unwrap_or_default();
                (from..to).contains(&spoken.word)
                    && item.element.contains(&spoken.element)
                    && item.defect.contains(&spoken.defect)
            })
        };
        let fault = &joint.fault;
        let expected = |item: usize| self.pairs.contains(&Some(item));
        let earlier = made(&joint.earlier)?;
        if joint.joined {
            // One of the two is expected beside the other, whichever of them the item was taken for.
            let missed = self.gold.iter().zip(&self.pairs).any(|(gold, at)| {
                let is = |spoken: &Spoken| {
                    let mut context = words(&spoken.defect);
                    context.extend(words(&spoken.element));
                    agrees(&gold.element, &spoken.element, &context)
                        && agrees(&gold.defect, &spoken.defect, &context)
                };
                at.is_none() && (is(fault) || is(&joint.earlier))
            });
            return (missed || expected(earlier)).then_some(!missed);
        }
        let own = made(fault).filter(|own| *own != earlier)?;
        match (expected(earlier), expected(own)) {
            (true, true) => Some(false),
            (true, false) => Some(true),
            _ => None,
        }
    }
}
