//! Weighs other words against those that were heard: how likely the recogniser finds each for the same
//! sound.
//!
//! The likeliest words for a sound are often near misses of the trade's words (*the mask out of level*
//! for *the bath's out of level*), with the right words not far behind and other terms of the trade
//! far behind. Reading a row of words into the model, one after the other, gives their probability
//! (teacher forcing); whether they are meant, others decide with what the sentence is about.

use super::expected::tokens_of;
use super::recogniser::{Doubt, Likelihoods, NextBest};
use whisper_rs::{WhisperContext, WhisperError, WhisperState};

/// How many words after a stretch are weighed with it: they show whether it leads on to them.
const WORDS_AFTER: usize = 2;

/// How much less likely than what was heard, as a natural logarithm, other words may become before
/// they are given up.
const GIVEN_UP: f32 = 12.0;

/// Tokens of a wording, with the words after it, that are read at most: four words in pieces, and two
/// more. A model's memory for text is short, and whisper.cpp does not check it.
const MOST_TOKENS: usize = 48;

/// How many words are told that may stand in the place of one: each takes two readings or more.
const NEXT_BEST: usize = 5;

/// How much less likely than the likeliest piece, as a natural logarithm, the first piece of a word may be
/// that stands in its place.
const HARDLY_LIKELY: f32 = 4.0;

/// Pieces of a word that are read at most.
const MOST_PIECES: usize = 6;

/// Returns how many tokens a model can hold at once.
fn room(context: &WhisperContext) -> usize {
    usize::try_from(context.n_text_ctx()).unwrap_or(0).max(2)
}

/// Returns the tokens before a window's first word, where `prompt` came before, as `whisper_full` has them.
pub(super) fn opening(context: &WhisperContext, prompt: &[i32]) -> Vec<i32> {
    let mut opening = Vec::new();
    if !prompt.is_empty() {
        // As much of its end as whisper.cpp itself goes by.
        let room = room(context) / 2 - 1;
        opening.push(context.token_prev());
        opening.extend_from_slice(&prompt[prompt.len().saturating_sub(room)..]);
    }
    opening.push(context.token_sot());
    if context.is_multilingual() {
        let english = whisper_rs::get_lang_id("en").unwrap_or(0);
        opening.extend([context.token_lang(english), context.token_transcribe()]);
    }
    opening.push(context.token_not());
    opening
}

/// The sound of one window, listened to and ready to be held against words.
pub(super) struct Weigher<'a> {
    context: &'a WhisperContext,
    state: WhisperState,
    threads: usize,
    /// Tokens that the state has read, from the first.
    read: Vec<i32>,
    /// Tokens before the window's first word.
    opening: Vec<i32>,
}

impl<'a> Weigher<'a> {
    /// Takes a state that has listened to the window; `prompt` is what it was told came before.
    pub(super) fn new(
        context: &'a WhisperContext,
        state: WhisperState,
        threads: usize,
        prompt: &[i32],
    ) -> Weigher<'a> {
        Weigher {
            context,
            state,
            threads,
            read: Vec::new(),
            opening: opening(context, prompt),
        }
    }

    /// Returns how likely the words and their other wordings are.
    pub(super) fn weigh(
        &mut self,
        words: &[&str],
        doubts: &[Doubt],
    ) -> Result<Vec<Likelihoods>, WhisperError> {
        let mut out = Vec::new();
        for doubt in doubts {
            let end = words.len().min(doubt.words.end + WORDS_AFTER);
            let before = self.tokens(&words[..doubt.words.start])?;
            let before = [self.opening.clone(), before].concat();
            let after = self.tokens(&words[doubt.words.end..end])?;
            if before.len() + MOST_TOKENS > room(self.context) {
                let instead = vec![-GIVEN_UP; doubt.instead.len()];
                out.push(Likelihoods {
                    heard: 0.0,
                    instead,
                });
                continue;
            }
            let first = self.after(&before)?;
            let row = [self.tokens(&words[doubt.words.clone()])?, after.clone()].concat();
            let heard = self.likelihood(&before, &first, &row, f32::MIN)?;
            let mut instead = Vec::new();
            for wording in &doubt.instead {
                let words: Vec<&str> = wording.split_whitespace().collect();
                let row = [self.tokens(&words)?, after.clone()].concat();
                instead.push(self.likelihood(&before, &first, &row, heard - GIVEN_UP)?);
            }
            out.push(Likelihoods { heard, instead });
        }
        Ok(out)
    }

    /// Returns what may stand in the place of one of the words: each likely first piece, with the likeliest
    /// pieces that end the word.
    pub(super) fn next_best(
        &mut self,
        words: &[&str],
        at: usize,
    ) -> Result<Vec<NextBest>, WhisperError> {
        let before = [self.opening.clone(), self.tokens(&words[..at])?].concat();
        if before.len() + MOST_TOKENS > room(self.context) {
            return Ok(Vec::new());
        }
        let first = self.after(&before)?;
        let likeliest = first.iter().copied().fold(f32::MIN, f32::max);
        // Tokens of text come first.
        let text = (0..self.context.token_eot()).zip(first);
        let mut likely: Vec<(i32, f32)> = text
            .filter(|(_, score)| *score >= likeliest - HARDLY_LIKELY)
            .collect();
        likely.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut found = Vec::new();
        for (token, likelihood) in likely {
            if found.len() == NEXT_BEST {
                break;
            }
            if let [b' ', letters @ ..] = self.context.token_to_bytes(token)?
                && letters.first().is_some_and(u8::is_ascii_alphanumeric)
            {
                found.push(self.finished(&before, token, likelihood, letters)?);
            }
        }
        Ok(found)
    }

    /// Returns the word that most likely begins with a token behind others.
    fn finished(
        &mut self,
        before: &[i32],
        token: i32,
        mut likelihood: f32,
        letters: &[u8],
    ) -> Result<NextBest, WhisperError> {
        let mut row = [before, &[token]].concat();
        let mut text = letters.to_vec();
        for _ in 1..MOST_PIECES {
            let scores = self.after(&row)?;
            let next = (0..).zip(&scores).max_by(|a, b| a.1.total_cmp(b.1));
            let Some((next, score)) = next.filter(|(next, _)| *next < self.context.token_eot())
            else {
                break;
            };
            let piece = self.context.token_to_bytes(next)?;
            let goes_on = |byte: &u8| byte.is_ascii_alphanumeric() || *byte == b'\'';
            if !piece.first().is_some_and(goes_on) {
                break;
            }
            text.extend_from_slice(piece);
            likelihood += score;
            row.push(next);
        }
        Ok(NextBest {
            text: String::from_utf8_lossy(&text).into_owned(),
            likelihood,
        })
    }

    /// Returns the state that has listened to the window.
    pub(super) fn into_state(self) -> WhisperState {
        self.state
    }

    fn tokens(&self, words: &[&str]) -> Result<Vec<i32>, WhisperError> {
        let tokens = words.iter().map(|word| tokens_of(self.context, word));
        Ok(tokens.collect::<Result<Vec<_>, _>>()?.concat())
    }

    /// Returns the logarithms of the probabilities of all tokens after `tokens`.
    fn after(&mut self, tokens: &[i32]) -> Result<Vec<f32>, WhisperError> {
        let last = tokens.len() - 1;
        let same = self.read.iter().zip(tokens).take_while(|(a, b)| a == b);
        let known = same.count().min(last);
        // whisper.cpp gives scores after the last token of a call only, and whisper-rs shows the first row.
        if known < last {
            self.state
                .decode(&tokens[known..last], known, self.threads)?;
        }
        self.state.decode(&tokens[last..], last, self.threads)?;
        self.read = tokens.to_vec();
        Ok(logarithms(self.state.get_logits()?))
    }

    /// Returns the logarithm of the probability of `tokens` after `before`, or something below
    /// `least` as soon as it is below it. `first` is what [`Self::after`] gives for `before`.
    fn likelihood(
        &mut self,
        before: &[i32],
        first: &[f32],
        tokens: &[i32],
        least: f32,
    ) -> Result<f32, WhisperError> {
        let mut row = before.to_vec();
        let mut sum = 0.0;
        let mut scores = first.to_vec();
        for (at, &token) in tokens.iter().take(MOST_TOKENS).enumerate() {
            sum += scores[token as usize];
            if sum < least {
                return Ok(sum);
            }
            if at + 1 < tokens.len().min(MOST_TOKENS) {
                row.push(token);
                scores = self.after(&row)?;
            }
        }
        Ok(sum)
    }
}

/// Returns the logarithms of the probabilities for scores (log-softmax).
fn logarithms(scores: &[f32]) -> Vec<f32> {
    let most = scores.iter().copied().fold(f32::MIN, f32::max);
    let sum: f32 = scores.iter().map(|s| (s - most).exp()).sum();
    let whole = most + sum.ln();
    scores.iter().map(|s| s - whole).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn logarithms_are_of_probabilities_that_add_up_to_one() {
        let likely = logarithms(&[2.0, 1.0, 0.1]);
        // By hand: e^2 / (e^2 + e^1 + e^0.1) = 7.389 / 11.213, and so on.
        for (value, expected) in likely.iter().zip([0.659_f32, 0.242, 0.099]) {
            assert!((value.exp() - expected).abs() < 5e-4, "{likely:?}");
        }
        // Large scores do not overflow.
        assert!(logarithms(&[1000.0, 999.0]).iter().all(|l| l.is_finite()));
    }
}
