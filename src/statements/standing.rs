//! What words say of a defect that was listed before: *done*, *still*, *they say*.

mod classes;
mod words;

#[cfg(test)]
pub(crate) use words::all_wordings;
pub(crate) use words::{Said, Says, Vocabulary, words};

use super::grammar::{Class, class, participle};
use super::piece::{Piece, PieceKind};
use crate::lexicon::Token;
use classes::{DENIALS, DONE_BY, IN_FULL, NO_WORK, NOW, TRANSPARENT};
use std::ops::Range;

/// What one stretch of words means for the item it stands with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sign {
    /// Found in order.
    Right,
    /// Found in order, by words that are less plain: *it latches now*, *been eased*.
    LikelyRight,
    /// As it was.
    Outstanding,
    /// As it was, if nothing stronger is said: *still*.
    LikelyOutstanding,
    /// A fault is named: the item's own again, or another one.
    Fault,
    /// Something was done and is not in order.
    Changed,
    /// Others say it is done.
    Claim,
    /// Not looked at.
    Unseen,
    /// Left by agreement.
    Agreed,
    /// *yes* or *no* right after the item.
    Yes,
    /// See [`Sign::Yes`].
    No,
}

/// A sign and where it was said.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Signal {
    pub(crate) sign: Sign,
    pub(crate) tokens: Range<usize>,
}

/// Returns the signs in a stretch of one sentence. `said` are its wordings, `pieces` its pieces, and
/// `clauses` its clauses.
pub(crate) fn signals(
    tokens: &[Token],
    said: &[Said],
    pieces: &[Piece],
    clauses: &[Range<usize>],
) -> Vec<Signal> {
    let scene = Scene {
        tokens,
        said,
        pieces,
        clauses,
    };
    let mut signals: Vec<Signal> = said
        .iter()
        .filter_map(|one| scene.of_wording(one))
        .collect();
    let taken = |signals: &[Signal], range: &Range<usize>| {
        signals.iter().any(|signal| {
            !matches!(signal.sign, Sign::Yes | Sign::No)
                && signal.tokens.start < range.end
                && range.start < signal.tokens.end
        })
    };
    for clause in clauses {
        for at in clause.clone() {
            if taken(&signals, &(at..at + 1)) || said_over(said, at) {
                continue;
            }
            signals.extend(scene.of_work(at).or_else(|| scene.of_denied_end(at)));
        }
    }
    for piece in pieces
        .iter()
        .filter(|piece| piece.kind == PieceKind::Defect)
    {
        if !taken(&signals, &piece.tokens) {
            signals.extend(scene.of_fault(piece));
        }
    }
    let stated = |signal: &Signal| {
        !matches!(
            signal.sign,
            Sign::LikelyOutstanding | Sign::Fault | Sign::No
        )
    };
    for clause in clauses {
        let quiet = !signals
            .iter()
            .any(|signal| clause.contains(&signal.tokens.start) && stated(signal));
        if quiet && let Some(signal) = scene.of_now(clause) {
            signals.push(signal);
        }
    }
    signals.retain(|signal| !scene.conditional(signal.tokens.start));
    signals.sort_by_key(|signal| signal.tokens.start);
    signals
}

fn said_over(said: &[Said], at: usize) -> bool {
    said.iter()
        .any(|one| one.tokens.contains(&at) && !matches!(one.says, Says::Partly | Says::Reply))
}

struct Scene<'a> {
    tokens: &'a [Token],
    said: &'a [Said],
    pieces: &'a [Piece],
    clauses: &'a [Range<usize>],
}

impl Scene<'_> {
    fn word(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", |token| token.norm.as_str())
    }

    fn clause(&self, at: usize) -> Range<usize> {
        let found = self.clauses.iter().find(|clause| clause.contains(&at));
        found.cloned().unwrap_or(at..at + 1)
    }

    /// True where the words before leave open whether it is so: *if*, *when*.
    fn conditional(&self, at: usize) -> bool {
        let clause = self.clause(at);
        self.said.iter().any(|one| {
            one.says == Says::Condition
                && clause.contains(&one.tokens.start)
                && one.tokens.end <= at
        })
    }

    fn of_wording(&self, one: &Said) -> Option<Signal> {
        let sign = match one.says {
            Says::Right => self.governed(one.tokens.clone(), Sign::Right)?,
            Says::Outstanding
                if one.tokens.len() == 1 && self.word(one.tokens.start) == "still" =>
            {
                Sign::LikelyOutstanding
            }
            Says::Outstanding => Sign::Outstanding,
            Says::Changed => Sign::Changed,
            Says::Claim => Sign::Claim,
            Says::Unseen => Sign::Unseen,
            Says::Agreed if self.denied(one.tokens.start).is_some() => Sign::Outstanding,
            Says::Agreed => Sign::Agreed,
            Says::Reply => match self.word(one.tokens.start) {
                "no" | "nope" | "naw" | "nah" | "not" | "cross" | "nae" | "none" => Sign::No,
                _ => Sign::Yes,
            },
            _ => return None,
        };
        Some(Signal {
            sign,
            tokens: one.tokens.clone(),
        })
    }

    /// What becomes of words of work done by what stands before them.
    fn governed(&self, range: Range<usize>, plain: Sign) -> Option<Sign> {
        if let Some(turned) = self.denied(range.start) {
            return Some(turned);
        }
        // "a fine crack", "a good few scratches": said of the fault, not of the work.
        let of_fault = self.pieces.iter().any(|piece| {
            let own = piece.tokens.contains(&range.start) && self.word(range.start) != "gone";
            let praise = matches!(self.word(range.start), "fine" | "good" | "tidy" | "perfect");
            piece.kind == PieceKind::Defect
                && !piece.negated
                && (own || praise && piece.tokens.start == range.end)
        });
        if of_fault && range.len() == 1 {
            return None;
        }
        let vanished = matches!(self.word(range.start), "gone" | "disappeared" | "away");
        if vanished && self.thing_before(range.start) {
            return Some(Sign::Changed);
        }
        Some(plain)
    }

    /// *the handle's gone*: a thing that is gone is missing; a fault that is gone is mended.
    fn thing_before(&self, start: usize) -> bool {
        let clause = self.clause(start);
        let within =
            |piece: &&Piece| piece.tokens.start >= clause.start && piece.tokens.end <= start;
        let named: Vec<_> = self.pieces.iter().filter(within).collect();
        named.iter().any(|piece| piece.kind == PieceKind::Element)
            && !named.iter().any(|piece| piece.kind == PieceKind::Defect)
    }

    /// Returns what a denial, a wish or *half* before `start` makes of words of work done.
    fn denied(&self, start: usize) -> Option<Sign> {
        let clause = self.clause(start);
        let (mut at, mut in_full) = (start, false);
        while at > clause.start {
            let ending = self.said.iter().find(|one| one.tokens.end == at);
            match ending.map(|one| one.says) {
                Some(Says::Partly) => return Some(Sign::Changed),
                Some(Says::Pending) => return Some(Sign::Outstanding),
                _ => {}
            }
            let word = self.word(at - 1);
            if DENIALS.contains(&word) {
                let sign = if in_full {
                    Sign::Changed
                } else {
                    Sign::Outstanding
                };
                return Some(sign);
            }
            in_full |= IN_FULL.contains(&word);
            if !TRANSPARENT.contains(&word) {
                return None;
            }
            at -= 1;
        }
        None
    }

    /// *been eased*, *they've replaced it*: work done by its participle.
    fn of_work(&self, at: usize) -> Option<Signal> {
        let word = self.word(at);
        let fault = self
            .pieces
            .iter()
            .any(|piece| piece.kind == PieceKind::Defect && piece.tokens.contains(&at));
        if !participle(word) || NO_WORK.contains(&word) || fault {
            return None;
        }
        let clause = self.clause(at);
        let mut before = at;
        let mut done = false;
        while before > clause.start {
            let word = self.word(before - 1);
            done |= DONE_BY.contains(&word);
            let light = DONE_BY.contains(&word)
                || TRANSPARENT.contains(&word)
                || word == "re"
                || word == "now";
            if !light {
                break;
            }
            before -= 1;
        }
        let sign = match self.denied(at) {
            Some(sign) => sign,
            None if done => Sign::LikelyRight,
            None => return None,
        };
        // A participle alone after a denial is a fault that was named again: "not sealed".
        let tokens = at..at + 1;
        Some(Signal { sign, tokens })
    }

    /// *they say it's done but it isn't*: a denial that ends its clause.
    fn of_denied_end(&self, at: usize) -> Option<Signal> {
        let ends = self.clauses.iter().any(|clause| clause.end == at + 1);
        let verb = at > 0
            && matches!(
                self.word(at - 1),
                "is" | "'s"
                    | "has"
                    | "have"
                    | "are"
                    | "was"
                    | "were"
                    | "do"
                    | "does"
                    | "did"
                    | "it"
            );
        (ends && verb && self.word(at) == "not").then(|| Signal {
            sign: Sign::Outstanding,
            tokens: at - 1..at + 1,
        })
    }

    /// A fault that is named: there again, or no more.
    fn of_fault(&self, piece: &Piece) -> Option<Signal> {
        let clause = self.clause(piece.tokens.start);
        let new = clause.clone().any(|at| NOW.contains(&self.word(at)));
        let sign = match (piece.negated, new) {
            (true, true) => Sign::LikelyRight,
            (true, false) => return None,
            (false, _) => Sign::Fault,
        };
        Some(Signal {
            sign,
            tokens: piece.tokens.clone(),
        })
    }

    /// *it latches now*, *runs smoothly now*: a state that is new, and nothing against it.
    fn of_now(&self, clause: &Range<usize>) -> Option<Signal> {
        let at = clause.clone().rev().find(|&at| self.word(at) == "now")?;
        let words = clause.start..at;
        let against = words.clone().any(|at| {
            DENIALS.contains(&self.word(at)) || matches!(self.word(at), "still" | "only" | "until")
        });
        // "It rocked then, it rocks now".
        let fault = |piece: &Piece| piece.kind == PieceKind::Defect && !piece.negated;
        let verb = words.len() >= 2
            && at + 1 == clause.end
            && !self
                .pieces
                .iter()
                .any(|piece| fault(piece) && clause.contains(&piece.tokens.start))
            && !self
                .pieces
                .iter()
                .any(|piece| piece.kind == PieceKind::Element && piece.tokens.end == at)
            && !self
                .said
                .iter()
                .any(|one| one.tokens.end == at || one.tokens.contains(&at))
            && class(self.word(at - 1)) != Class::Number;
        (verb && !against).then(|| Signal {
            sign: Sign::LikelyRight,
            tokens: at - 1..at + 1,
        })
    }
}
