//! Faults told by the shape of the words, whatever the vocabulary: *no closer*, *won't trip*,
//! *not been sanded*, *too near*, *should be four fifty*.
//!
//! They let a defect be found that no lexicon lists. Where a lexicon wording covers the same words,
//! the two compete and the longer reading wins ([`super::piece::choose`]).

mod absent;
mod adrift;
mod beside_others;
mod described;
mod due;
mod failing;
mod handled;
mod mishap;
mod partly;
mod required;
mod scalding;
mod short;
mod soiled;
mod steps;
mod unable;
mod undone;
mod wished;

use super::grammar::{self, Class};
use super::piece::Piece;
use super::sentence::Sentence;
use crate::lexicon::{Hit, Kind, Token};
use absent::{absent, gone, none_there, not_a_one, nothing_happens, where_it_should_be};
use adrift::off_its;
pub(super) use adrift::with_verb;
pub(super) use beside_others::{DAMP, MISMATCHED};
use beside_others::{damp_reading, unlike_the_rest};
pub(crate) use described::HEARD_WELL;
use described::described;
use due::{due, has_to_be_forced};
use failing::{full_of, out_of, stands_open, too_much, will_not};
use handled::{can_be_moved, it_moves, no_grip, up_at_one_end};
use mishap::{
    coated, done_in, done_over, done_so, heap_in, nobody_did, nothing_doing, packed_with,
    still_got_on, still_on, through_it,
};
use partly::{gives_nothing, none_of_them, nothing_comes, only_works, unlike_the_other};
use required::{below_what, both_ends, required};
use scalding::would_scald;
use short::{
    compared, gives, lies_below, light_out, measured_out, off, one_end_only, only_if,
    only_part_way, only_so_many, short_of_some, stops_short, when_tried,
};
use soiled::soiled;
use std::ops::Range;
use steps::unlike_the_other_steps;
use unable::{cannot_get, hard_to};
use undone::{left_undone, not_done, not_there, un_done};
use wished::{not_happy, wants_more};

/// The lexicon name of the defect *something that ought to be there is not*.
pub const MISSING: &str = "missing";

/// What is so far from where it should be, and nothing tells in which way.
pub(super) const OUT: &str = "out";

/// The lexicon name of the defect *somebody has painted what is not to be painted*.
pub(super) const OVERPAINTED: &str = "overpainted";

/// Particles that belong to the verb before them: *put back*, *dressed down*.
const PARTICLES: &[&str] = &[
    "in", "up", "down", "off", "back", "on", "out", "over", "through", "together", "away", "to",
    "round",
];

/// Returns the candidates found in one sentence.
pub fn faults(tokens: &[Token], sentence: &Sentence, hits: &[Hit]) -> Vec<Piece> {
    let mut out = Vec::new();
    for clause in &sentence.clauses {
        let range = clause.tokens.clone();
        for at in range.clone() {
            let shapes = [
                absent,
                none_there,
                not_a_one,
                gone,
                nothing_happens,
                where_it_should_be,
                not_done,
                will_not,
                cannot_get,
                hard_to,
                due,
                has_to_be_forced,
                too_much,
                left_undone,
                un_done,
                out_of,
                not_there,
                full_of,
                described,
                soiled,
                done_over,
                coated,
                done_so,
                done_in,
                nobody_did,
                through_it,
                heap_in,
                stops_short,
                short_of_some,
                packed_with,
                still_on,
                still_got_on,
                nothing_doing,
                only_part_way,
                only_so_many,
                light_out,
                measured_out,
                gives,
                only_if,
                only_works,
                gives_nothing,
                nothing_comes,
                stands_open,
                none_of_them,
                not_happy,
                wants_more,
                unlike_the_other,
                when_tried,
                off,
                off_its,
                compared,
                lies_below,
                one_end_only,
                can_be_moved,
                it_moves,
                no_grip,
                up_at_one_end,
                unlike_the_rest,
                damp_reading,
                would_scald,
            ];
            out.extend(
                shapes
                    .iter()
                    .filter_map(|shape| shape(tokens, at, range.clone(), hits)),
            );
            for figures in [required, below_what, both_ends, unlike_the_other_steps] {
                out.extend(figures(tokens, at, sentence.tokens.clone()));
            }
        }
    }
    out
}

fn starts_with(tokens: &[Token], at: usize, cue: &[&str]) -> bool {
    let said = &tokens[at..];
    said.len() >= cue.len() && cue.iter().zip(said).all(|(c, t)| *c == t.norm)
}

fn word(tokens: &[Token], at: usize) -> &str {
    tokens.get(at).map_or("", |t| t.norm.as_str())
}

fn said(tokens: &[Token], range: Range<usize>) -> String {
    tokens[range]
        .iter()
        .map(|t| t.norm.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

/// *isn't leaking*: what is denied is itself a fault, so all is well.
fn denied(hits: &[Hit], verb: usize) -> bool {
    hits.iter()
        .any(|h| h.kind == Kind::Defect && h.tokens.start == verb)
}

/// The speaker is the subject: *I can't see*, *we've not checked*.
fn speaker_before(tokens: &[Token], at: usize, clause: &Range<usize>) -> bool {
    (clause.start..at).rev().take(3).any(|i| {
        matches!(
            word(tokens, i),
            "i" | "we" | "you" | "he" | "she" | "they" | "nobody" | "somebody" | "someone"
        )
    })
}

/// A noun phrase starts at `at`: then the word before it is a preposition, not a particle.
fn noun_after(tokens: &[Token], at: usize, clause: &Range<usize>) -> bool {
    at < clause.end
        && matches!(
            grammar::class(word(tokens, at)),
            Class::Determiner | Class::Open
        )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::statements::sentence::{Clause, Join};

    pub(super) fn found(text: &str) -> Vec<String> {
        let tokens: Vec<Token> = text
            .split_whitespace()
            .enumerate()
            .map(|(word, norm)| Token {
                norm: norm.into(),
                word,
                probability: 1.0,
            })
            .collect();
        let all = 0..tokens.len();
        let sentence = Sentence {
            tokens: all.clone(),
            clauses: vec![Clause {
                tokens: all,
                join: Join::Start,
            }],
            pause: 0,
            question: false,
        };
        faults(&tokens, &sentence, &[])
            .into_iter()
            .map(|p| p.text)
            .collect()
    }

    #[test]
    fn the_shape_of_the_words_tells_a_fault() {
        let cases: [(&str, &[&str]); 14] = [
            ("it has got no closer on it", &["missing", "missing"]),
            ("lead has not been dressed down", &["not dressed down"]),
            ("the breaker will not trip", &["will not trip"]),
            ("key does not turn from the outside", &["does not turn"]),
            ("flap is not moving", &["not moving"]),
            ("sleeve never put back", &["not put back"]),
            ("socket 's too near the sink", &["too near"]),
            ("i can not see a thing", &[]),
            ("no complaints there", &[]),
            ("not too bad", &[]),
            ("we have not tested it", &[]),
            ("there is not one", &["missing"]),
            ("the trim has been left off", &["left off"]),
            ("not fixed to the wall", &["not fixed"]),
        ];
        for (text, expected) in cases {
            assert_eq!(found(text), expected, "{text}");
        }
    }
}
