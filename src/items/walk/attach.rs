//! Measurements, counts, remedies, hedges and the rest, given to the items they belong to.

use super::{REACH, Walk};
use crate::items::draft::Draft;
use crate::items::scene::Scene;
use crate::items::usual::named;
use crate::lexicon::Kind;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::GOING;
use crate::statements::reading::Reading;
use std::ops::Range;

/// Nobody counts more than this of one defect in one breath; larger numbers are sizes.
const LARGEST_COUNT: u32 = 50;

/// Numbers larger than this before a comma are a line of an earlier list, not a count.
const MOST_HEADED: u32 = 9;

/// What is counted begins within so many words after the count: *two of the lower* drawer fronts.
const COUNTED_WITHIN: usize = 4;

/// Words with which a sentence begins that concludes from the one before.
const CONCLUDES: &[&str] = &["that", "so", "which", "i", "it", "over", "under", "too"];

/// More figures than this in one sentence are a round of measuring, of which most are in order.
const MOST_FIGURES: usize = 2;

impl Walk<'_> {
    /// Gives measurements, counts, remedies, hedges and the rest to the items they belong to.
    pub(super) fn attach(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        made_from: usize,
        added: bool,
    ) {
        let reading = self.reading;
        let rest = scene.from..scene.sentence.tokens.end;
        let made = made_from..self.drafts.len();
        let own_subject = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| !scene.in_phrase(&scene.noun(i)));
        let positive = self.phrase(&rest, "positive").is_some();
        let previous = made_from.checked_sub(1).filter(|&d| {
            let draft = &self.drafts[d];
            index - draft.sentence <= REACH
                && draft.place == self.place
                && draft.withdrawn.is_none()
                && !positive
                && (added || !own_subject)
        });
        let nearest = |drafts: &[Draft], at: usize| -> Option<usize> {
            if made.is_empty() {
                return previous;
            }
            made.clone().min_by_key(|&d| {
                let draft = &drafts[d];
                let gap = |r: &Range<usize>| {
                    if at < r.start {
                        (r.start - at) * 2
                    } else {
                        at.saturating_sub(r.end)
                    }
                };
                draft
                    .defects
                    .iter()
                    .map(|n| gap(&n.tokens))
                    .min()
                    .unwrap_or(usize::MAX)
            })
        };
        for i in reading.within(&rest) {
            let piece = &reading.pieces[i];
            if scene.struck.iter().any(|r| r.contains(&piece.tokens.start)) {
                continue;
            }
            // "… is loose, and two of the drawer fronts are out of line": what follows a count is counted.
            let counted = made.clone().find(|&d| {
                let follows = piece.tokens.end..piece.tokens.end + COUNTED_WITHIN;
                piece.kind == PieceKind::Count
                    && follows.contains(&self.drafts[d].element.tokens.start)
            });
            let Some(target) = counted.or_else(|| nearest(&self.drafts, piece.tokens.start)) else {
                continue;
            };
            let clause = scene.clause(piece.tokens.start);
            // "Four tiles, two cracked".
            let fault = self.drafts[target].defects[0].tokens.clone();
            let of_these = clause.contains(&fault.start) && self.told_off(&fault);
            // "Four downlights, *one of them*'s dead".
            let own = scene.clause(fault.start).start;
            let one_of_them = self.word(own) == "one"
                && self.word(own + 1) == "of"
                && matches!(self.word(own + 2), "them" | "these" | "those");
            let draft = &mut self.drafts[target];
            match piece.kind {
                PieceKind::Measure if !draft.measures.contains(&(piece.value as usize)) => {
                    draft.measures.push(piece.value as usize);
                    draft.cover(&clause);
                }
                PieceKind::Count
                    if (draft.count.is_none() || of_these)
                        && counts_things(scene, i)
                        && !counts_other(reading, draft, i)
                        && !one_of_them =>
                {
                    draft.count = Some(piece.value)
                }
                PieceKind::Remedy => {
                    draft
                        .remedies
                        .retain(|(r, _)| r.start >= draft.tokens.start || !draft.defect_carried);
                    if !draft.remedies.iter().any(|(r, _)| {
                        r.contains(&piece.tokens.start)
                            || (clause.start..=r.start).contains(&piece.tokens.start)
                                && clause.contains(&r.start)
                    }) {
                        draft.remedies.push((
                            piece.tokens.start..clause.end.max(piece.tokens.end),
                            piece.term,
                        ));
                    }
                    draft.cover(&clause);
                }
                PieceKind::Trade => draft.trade = draft.trade.or(piece.term),
                PieceKind::Phrase => match piece.text.as_str() {
                    "hedge" if made.contains(&target) => draft.hedged = true,
                    // "One for the joiner."
                    "remark" if draft.trade.is_none() => {
                        let said = &reading.tokens[piece.tokens.clone()];
                        let said: Vec<&str> = said.iter().map(|t| t.norm.as_str()).collect();
                        draft.trade = named(self.lexicon, &said.join(" "), Kind::Trade);
                        // "Threshold is loose, *could let water in*".
                        let apart = !clause.contains(&draft.defects[0].tokens.start)
                            && self.reading.elements_within(&clause).is_empty();
                        if apart && draft.trade.is_none() && !draft.remarks.contains(&clause) {
                            draft.cover(&clause);
                            draft.remarks.push(clause);
                        }
                    }
                    "watch" => draft.watch = true,
                    "photo" => draft.photo = true,
                    "severity-word" => {
                        let words: Vec<&str> = reading.tokens[piece.tokens.clone()]
                            .iter()
                            .map(|t| t.norm.as_str())
                            .collect();
                        draft.safety |= safety_words(&words);
                        draft.cosmetic |=
                            words.iter().any(|w| matches!(*w, "cosmetic" | "aesthetic"));
                    }
                    _ => {}
                },
                _ => {}
            }
        }
        self.concluded_from(&rest, made_from);
        // *Last of all, …* only leads on.
        let says = |at: usize| {
            let word = self.word(at);
            class(word) == Class::Open && !GOING.contains(&word) && !opener(word)
        };
        if made.is_empty()
            && let Some(at) = previous
            && rest.clone().any(says)
            && self
                .kinds_in(&rest, PieceKind::Phrase)
                .iter()
                .all(|&i| !matches!(reading.pieces[i].text.as_str(), "chat" | "question"))
        {
            self.drafts[at].remarks.push(rest);
        }
    }
}

impl Walk<'_> {
    /// *System pressure's two point nine cold. **That's far too high.***: the figure from which a fault is
    /// concluded may be told in the sentence before, which made nothing itself.
    fn concluded_from(&mut self, rest: &Range<usize>, made_from: usize) {
        let Some(draft) = self.drafts.get(made_from) else {
            return;
        };
        let Some((place, before)) = self.stays.iter().rev().nth(1).cloned() else {
            return;
        };
        let concludes = CONCLUDES.contains(&self.word(rest.start)) || draft.element_carried;
        let told = self.drafts[..made_from].iter().rev().take(REACH);
        let told = told.into_iter().any(|d| d.tokens.end > before.start);
        let figures = self.kinds_in(&before, PieceKind::Measure);
        if !draft.measures.is_empty()
            || place != self.place
            || !concludes
            || told
            || figures.is_empty()
            || figures.len() > MOST_FIGURES
            || self.phrase(&before, "positive").is_some()
        {
            return;
        }
        let figures: Vec<usize> = figures
            .iter()
            .map(|&i| self.reading.pieces[i].value as usize)
            .collect();
        self.unused.retain(|(range, _)| *range != before);
        let draft = &mut self.drafts[made_from];
        draft.measures = figures;
        draft.cover(&before);
    }
}

/// *There's no handrail and **there's four risers***: a number of other things than the item's.
fn counts_other(reading: &Reading, draft: &Draft, count: usize) -> bool {
    let piece = &reading.pieces[count].tokens;
    let word = |back: usize| {
        let at = piece.start.checked_sub(back);
        at.map_or("", |at| reading.tokens[at].norm.as_str())
    };
    let anew = word(2) == "there" && matches!(word(1), "'s" | "is" | "are");
    let thing = reading.pieces.get(count + 1);
    let thing = thing.filter(|p| p.kind == PieceKind::Element && p.tokens.start == piece.end);
    anew && thing.is_some_and(|thing| {
        draft.element.term != thing.term && draft.element.tokens.end <= piece.start
    })
}

/// True where the number stands before *of*, or shortly before what it counts.
fn counts_things(scene: &Scene<'_>, count: usize) -> bool {
    let reading = scene.reading;
    let piece = &reading.pieces[count];
    let end = piece.tokens.end;
    let of = reading.tokens[piece.tokens.clone()]
        .iter()
        .any(|t| matches!(t.norm.as_str(), "of" | "on"))
        || reading.tokens.get(end).is_some_and(|t| t.norm == "of");
    let next = reading.pieces.get(count + 1).is_some_and(|p| {
        // "Thirty-two, shower screen seal leaks": a number of the list.
        let heads =
            piece.value > MOST_HEADED && scene.clause(p.tokens.start) != scene.clause(end - 1);
        p.tokens.start < end + 3
            && matches!(p.kind, PieceKind::Element | PieceKind::Defect)
            && !heads
    });
    // "No, make that three".
    let word = |back: usize| {
        let at = piece.tokens.start.checked_sub(back);
        at.map_or("", |at| reading.tokens[at].norm.as_str())
    };
    let put_right = matches!(word(2), "make" | "call") && matches!(word(1), "that" | "it");
    // "Nail pops, *I count five*", "missing, *two off*".
    let told = matches!(word(1), "count" | "counted")
        || reading.tokens[piece.tokens.clone()]
            .iter()
            .any(|t| t.norm == "off");
    // "A lip between these two slabs".
    let far = usize::from(class(word(1)) == Class::Determiner) + 1;
    let between = word(far) == "between";
    piece.value <= LARGEST_COUNT && (of || next || put_right || told) && !between
}

fn safety_words(words: &[&str]) -> bool {
    words.iter().any(|w| {
        w.starts_with("safe")
            || matches!(
                *w,
                "danger"
                    | "dangerous"
                    | "hazard"
                    | "unsafe"
                    | "risk"
                    | "shock"
                    | "burn"
                    | "scald"
                    | "trip"
                    | "fall"
                    | "fire"
                    | "high"
            )
    })
}
