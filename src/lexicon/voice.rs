//! What is known of one speaker: the words for things and faults that he uses, and which of his sounds
//! are heard as others.
//!
//! A recogniser that does not know an accent writes the same name in ever other words (*slot*, *sack*,
//! *lack*: *slack*). Held against what this speaker is known to say, beside a fault or a thing that was
//! heard right, the sounds still tell.

use super::fit::{self, Costs, Step};
use super::near::SOUNDS;
use super::phonemes::Phoneme;
use super::{Hit, How, Kind, Lexicon, TermId, Token};
use std::ops::Range;
use std::sync::Arc;

/// A word or a short name that the speaker uses.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spoken {
    term: TermId,
    text: String,
    sounds: Vec<Phoneme>,
}

/// What is known of a speaker; empty for most.
#[derive(Debug, Clone, Default)]
pub(super) struct Voice {
    elements: Vec<Spoken>,
    defects: Vec<Spoken>,
    costs: Costs,
}

/// What files say of a speaker.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct VoiceData {
    /// Words for elements.
    pub elements: Vec<String>,
    /// Words for defects.
    pub defects: Vec<String>,
    /// Confusions, such as `R>L 40`.
    pub confusions: Vec<String>,
}

impl Lexicon {
    /// Returns a copy that knows a speaker, in place of any that it knew. Words that name nothing in the
    /// lexicon, and confusions that are none, are left out.
    pub fn with_voice(&self, data: &VoiceData) -> Lexicon {
        let spoken = |kind: Kind, texts: &[String]| -> Vec<Spoken> {
            let mut all: Vec<Spoken> = texts.iter().filter_map(|t| self.spoken(kind, t)).collect();
            all.sort_by(|a, b| (a.term, &a.text).cmp(&(b.term, &b.text)));
            all.dedup();
            all
        };
        let mut costs = Costs::default();
        for (step, cost) in data.confusions.iter().filter_map(|c| fit::read(c).ok()) {
            costs.set(step, cost);
        }
        let voice = Voice {
            elements: spoken(Kind::Element, &data.elements),
            defects: spoken(Kind::Defect, &data.defects),
            costs,
        };
        Lexicon {
            voice: Arc::new(voice),
            ..self.clone()
        }
    }

    fn spoken(&self, kind: Kind, text: &str) -> Option<Spoken> {
        let tokens = self.tokens_of(text);
        let hits = self.spot(&tokens);
        let hit = hits.into_iter().find(|hit| {
            hit.kind == kind && hit.how == How::Exact && hit.tokens == (0..tokens.len())
        })?;
        Some(Spoken {
            term: hit.term,
            text: text.to_owned(),
            sounds: self.pronounce(tokens.iter().map(|token| &*token.norm)),
        })
    }

    /// Returns true where some speaker is known.
    pub fn knows_voice(&self) -> bool {
        !self.voice.elements.is_empty() || !self.voice.defects.is_empty()
    }

    /// Returns the name of the speaker's kind that a stretch of tokens sounds most like as a whole, at
    /// most `limit` away (weighted edits over the sounds of the longer side); only names that may go
    /// with the fault or the thing `beside` it are looked for.
    pub fn familiar(
        &self,
        tokens: &[Token],
        within: Range<usize>,
        kind: Kind,
        beside: TermId,
        limit: f32,
    ) -> Option<Hit> {
        let voice = &*self.voice;
        let all = match kind {
            Kind::Element => &voice.elements,
            _ => &voice.defects,
        };
        let goes = |spoken: &&Spoken| {
            let worth = match kind {
                Kind::Element => self.befalls(beside, spoken.term),
                _ => self.befalls(spoken.term, beside),
            };
            worth > GOES_WITH && spoken.sounds.len() >= FEWEST_SOUNDS
        };
        let all: Vec<&Spoken> = all.iter().filter(goes).collect();
        let mut best: Option<(f32, &Spoken, Range<usize>)> = None;
        for first in within.clone() {
            let mut heard: Vec<Phoneme> = Vec::new();
            let stretch = &tokens[first..within.end.min(first + MOST_TOKENS)];
            for (last, token) in (first..).zip(stretch) {
                heard.extend(self.pronouncer.pronounce(&token.norm));
                for spoken in &all {
                    let cost = voice
                        .costs
                        .whole(&spoken.sounds, &heard, kind == Kind::Element);
                    let distance = cost / spoken.sounds.len().max(heard.len()) as f32;
                    if distance <= limit && best.as_ref().is_none_or(|b| distance < b.0) {
                        best = Some((distance, spoken, first..last + 1));
                    }
                }
            }
        }
        best.map(|(distance, spoken, tokens)| Hit {
            term: spoken.term,
            kind,
            tokens,
            wording: spoken.text.clone(),
            how: How::SoundsLike { distance },
            number: None,
        })
    }
}

/// Pairs that the lexicon does not let go together are not looked for.
const GOES_WITH: f32 = 0.1;

/// The most tokens that stand for one name.
const MOST_TOKENS: usize = 3;

/// Names with fewer sounds are like too much.
const FEWEST_SOUNDS: usize = 4;

/// What was said on one occasion: the words as they were meant, and those that were heard.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Occasion {
    /// What was meant, for instance *kicker loose*.
    pub meant: String,
    /// The tokens heard, in order.
    pub heard: Vec<String>,
}

/// Occasions on which what was meant is further away than this (weighted edits over its sounds) were
/// about something else.
const FARTHEST: f32 = 0.5;

/// How often the counts are taken anew with the costs of the last time.
const ROUNDS: usize = 3;

/// How many occasions the costs that hold for anybody are worth beside those counted.
const PRIOR: f32 = 8.0;

/// A cost is this many times smaller than the negative logarithm of the probability: with it the usual
/// cost of 1 is one in twenty.
const SCALE: f32 = 3.0;

/// Steps seen less often are chance.
const FEWEST_STEPS: f32 = 2.0;

/// Cheaper than this no confusion is: a sound that is right must stay better.
const CHEAPEST: f32 = 0.15;

/// A cost counts as changed where it falls by this much.
const WORTH_TELLING: f32 = 0.08;

impl Lexicon {
    /// Returns which sounds of a speaker are heard as others more often than anybody's, as
    /// [`VoiceData::confusions`] has them, in the order of the sounds.
    pub fn confusions(&self, occasions: &[Occasion]) -> Vec<String> {
        let pairs: Vec<(Vec<Phoneme>, Vec<Phoneme>)> = occasions
            .iter()
            .map(|one| {
                let meant = self.tokens_of(&one.meant);
                (
                    self.pronounce(meant.iter().map(|token| &*token.norm)),
                    self.pronounce(one.heard.iter().map(String::as_str)),
                )
            })
            .filter(|(meant, _)| !meant.is_empty())
            .collect();
        let usual = Costs::default();
        let mut costs = usual.clone();
        let mut told = Vec::new();
        for _ in 0..ROUNDS {
            let mut heard = [[0.0f32; SOUNDS + 1]; SOUNDS];
            let mut added = [0.0f32; SOUNDS];
            let mut all = 0.0;
            for (meant, said) in &pairs {
                let fitted = costs.fit(meant, said, false);
                if fitted.cost > FARTHEST * meant.len() as f32 {
                    continue;
                }
                all += meant.len() as f32;
                for (said, sound) in fitted.steps {
                    match (said, sound) {
                        (Some(said), sound) => {
                            heard[said as usize][sound.map_or(SOUNDS, |s| s as usize)] += 1.0;
                        }
                        (None, Some(sound)) => added[sound as usize] += 1.0,
                        (None, None) => {}
                    }
                }
            }
            costs = usual.clone();
            told.clear();
            let mut learn = |step: Step, count: f32, total: f32| {
                let before = usual.of(step);
                let likely = (count + PRIOR * (-SCALE * before).exp()) / (total + PRIOR);
                let cost = (-likely.ln() / SCALE).max(CHEAPEST);
                if count >= FEWEST_STEPS && cost < before - WORTH_TELLING {
                    let hundredths = (cost * 100.0).round();
                    costs.set(step, hundredths / 100.0);
                    told.push(format!("{} {hundredths}", fit::written(step)));
                }
            };
            for (said, _) in Phoneme::ALL {
                let row = &heard[said as usize];
                let total: f32 = row.iter().sum();
                for (sound, _) in Phoneme::ALL.into_iter().filter(|(sound, _)| *sound != said) {
                    learn((Some(said), Some(sound)), row[sound as usize], total);
                }
                learn((Some(said), None), row[SOUNDS], total);
            }
            for (sound, _) in Phoneme::ALL {
                // Anything may come between any two sounds.
                learn((None, Some(sound)), added[sound as usize], all / 10.0);
            }
        }
        told
    }

    /// Returns where in the tokens what was meant fits best, with its weighted edits over its sounds.
    pub fn best_fit(&self, tokens: &[Token], meant: &str) -> Option<(Range<usize>, f32)> {
        let meant_tokens = self.tokens_of(meant);
        let meant = self.pronounce(meant_tokens.iter().map(|token| &*token.norm));
        if meant.is_empty() {
            return None;
        }
        let (heard, of_token) = self.sounds_of(tokens);
        let fitted = self.voice.costs.fit(&meant, &heard, false);
        if fitted.at.is_empty() {
            return None;
        }
        let tokens = of_token[fitted.at.start]..of_token[fitted.at.end - 1] + 1;
        Some((tokens, fitted.cost / meant.len() as f32))
    }
}
