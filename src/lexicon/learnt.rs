//! Mishearings on trial: known to a copy of the lexicon for as long as it is asked about them.
//!
//! Loading a lexicon takes long enough to matter when hundreds of lessons are tried one by one; a
//! copy with a few more mishearings shares everything else.

use super::spot::{HeardAs, Mishearings, Near};
use super::{Kind, Lexicon, TermId, Token};
use std::sync::Arc;

/// Words that the recogniser writes for a term.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mishearing {
    /// The words as [`Lexicon::tokens`] gives them, in order.
    pub words: Vec<String>,
    /// What they stand for.
    pub term: TermId,
    /// Terms of which one must stand near, beside `near_kinds`.
    pub near: Vec<TermId>,
    /// Kinds of terms of which one must stand near. Where both are empty nothing must.
    pub near_kinds: Vec<Kind>,
}

impl Lexicon {
    /// Returns a copy that knows these mishearings as well. Mishearings without words, and more than
    /// can be looked for, are left out.
    pub fn with_mishearings(&self, more: &[Mishearing]) -> Lexicon {
        let heard = |one: &Mishearing| HeardAs {
            words: one.words.clone(),
            term: one.term,
            kind: self.kind(one.term),
            name: self.name(one.term).to_owned(),
            near: Near {
                terms: one.near.clone(),
                kinds: one.near_kinds.clone(),
            },
        };
        let more = more.iter().filter(|one| !one.words.is_empty()).map(heard);
        let all = self.trial.all().iter().cloned().chain(more).collect();
        Lexicon {
            trial: Arc::new(Mishearings::new(all).unwrap_or_default()),
            ..self.clone()
        }
    }

    /// Returns true where these words stand in the tokens, however they are joined.
    pub fn has_words(tokens: &[Token], words: &[String]) -> bool {
        let wanted = words.concat();
        (0..tokens.len()).any(|first| {
            let mut rest = wanted.as_str();
            for token in &tokens[first..] {
                match rest.strip_prefix(token.norm.as_str()) {
                    Some(more) => rest = more,
                    None => return false,
                }
                if rest.is_empty() {
                    return true;
                }
            }
            false
        })
    }
}
