//! A second look at words that may have been misheard: which of them are taken for what they sound
//! like.
//!
//! How likely a suspicion is right is a logistic reading of what is known of it, in two steps. What
//! speaks for it in the words ([`super::doubts`]) chooses the few for which the sound is asked; how
//! likely the recogniser finds them for that sound decides. The weights are fitted to walk-rounds
//! whose text is known (`examples/second_look`, which writes `models/second_look.toml`).

use super::doubts::{BEFORE, MightBe, SCALE, Suspicion, suspicions, unsure};
use crate::lexicon::{Kind, Lexicon};
use crate::score::probability;
use crate::speech::{Doubt, Likelihoods, Recogniser, SpeechError, Transcript, Word};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

/// For how many suspicions of a window the sound is asked. Each takes about as long as half a dozen
/// tokens of the recognition itself.
const MOST_ASKED: usize = 8;

/// Less likely than this before the sound is asked, it is not: one in seventy of these is right, and
/// hardly any of them is taken (`models/second_look.toml`).
const WORTH_ASKING: f64 = 0.08;

/// From this probability on a suspicion is taken for right: two in three then are, held out
/// (`models/second_look.toml`), and words that mean nothing in the trade lose little by a wrong one.
const TAKEN: f64 = 0.4;

/// Less likely than this much, as a natural logarithm, is as good as impossible.
const IMPOSSIBLE: f64 = -15.0;

/// What the sound says of a suspicion, behind the values of [`BEFORE`].
pub const SOUND: [&str; 3] = ["likelier_than_heard", "likelihood", "likelier_than_rivals"];

static FITTED: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/models/second_look.toml"
));

#[derive(Deserialize, Default)]
struct Fitted {
    before: BTreeMap<String, f64>,
    after: BTreeMap<String, f64>,
}

struct Weights {
    before: Vec<f64>,
    after: Vec<f64>,
}

fn weights() -> &'static Weights {
    static WEIGHTS: OnceLock<Weights> = OnceLock::new();
    WEIGHTS.get_or_init(|| {
        // That the built-in file is whole is a test's to keep.
        let fitted = toml::from_str::<Fitted>(FITTED).unwrap_or_default();
        let of = |named: &BTreeMap<String, f64>, names: &[&str]| {
            let weight = |name: &&str| named.get(*name).copied().unwrap_or_default();
            names.iter().map(weight).collect()
        };
        Weights {
            before: of(&fitted.before, &BEFORE),
            after: of(&fitted.after, &[&BEFORE[..], &SOUND].concat()),
        }
    })
}

/// Returns the likeliest suspicions as far as is known before the sound is asked, at most `most`, in
/// the order of their words.
pub fn likeliest(mut suspicions: Vec<Suspicion>, most: usize) -> Vec<Suspicion> {
    let likely = |s: &Suspicion| probability(&weights().before, &s.before);
    suspicions.sort_by(|a, b| likely(b).total_cmp(&likely(a)));
    suspicions.truncate(most);
    suspicions.sort_by_key(|s| (s.words.start, s.words.end));
    suspicions
}

/// Marks the words of a window that are taken for others at a second look; `before` are those said
/// before it.
///
/// # Errors
/// As [`Recogniser::weigh`].
pub fn look_again(
    lexicon: &Lexicon,
    recogniser: &mut dyn Recogniser,
    samples: &[f32],
    before: Vec<Word>,
    words: &mut [Word],
) -> Result<(), SpeechError> {
    let first = before.len();
    let so_far = Transcript {
        recordings: Vec::new(),
        words: [before, words.to_vec()].concat(),
    };
    let might_be = might_be(recogniser, samples, &so_far.words, first)?;
    let suspicions = worth_asking(suspicions(lexicon, &so_far, first, &might_be));
    let heard: Vec<&str> = words.iter().map(|word| word.text.as_str()).collect();
    let questions = questions(&suspicions, first);
    let weighed = answers(recogniser.weigh(samples, &heard, &questions)?);
    for (taken, _) in settle(&suspicions, &weighed) {
        let heard = taken.words.start - first..taken.words.end - first;
        take_for(&mut words[heard.clone()], &taken.rival.text);
        // An announced place stands by itself: *Front bedroom are doors catching*.
        words[heard.end - 1].line_end |= taken.rival.kind == Kind::Place;
    }
    Ok(())
}

/// Returns what else a recogniser might have written in the window whose first word is word number `first`.
///
/// # Errors
/// As [`Recogniser::next_best`].
pub fn might_be(
    recogniser: &mut dyn Recogniser,
    samples: &[f32],
    words: &[Word],
    first: usize,
) -> Result<MightBe, SpeechError> {
    let heard: Vec<&str> = words[first..].iter().map(|w| w.text.as_str()).collect();
    let unsure = unsure(words, first);
    let which: Vec<usize> = unsure.iter().map(|at| at - first).collect();
    let found = recogniser.next_best(samples, &heard, &which)?;
    Ok(unsure.into_iter().zip(found).collect())
}

/// How likely the recogniser finds a suspicion for the sound, as natural logarithms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// The words as heard, with the words after them.
    pub heard: f32,
    /// The suspected wording in their place.
    pub instead: f32,
}

/// Returns the suspicions for which the sound is asked.
fn worth_asking(suspicions: Vec<Suspicion>) -> Vec<Suspicion> {
    let mut chosen = likeliest(suspicions, MOST_ASKED);
    chosen.retain(|s| probability(&weights().before, &s.before) >= WORTH_ASKING);
    chosen
}

/// Returns what to ask a recogniser about suspicions of one window, in order; the window's first word is
/// word number `first` of the transcript.
pub fn questions(suspicions: &[Suspicion], first: usize) -> Vec<Doubt> {
    suspicions
        .chunk_by(|a, b| a.words == b.words)
        .map(|same| Doubt {
            words: same[0].words.start - first..same[0].words.end - first,
            instead: same.iter().map(|s| s.written.clone()).collect(),
        })
        .collect()
}

/// Returns the recogniser's answers, one for each suspicion that [`questions`] were made of.
pub fn answers(likely: Vec<Likelihoods>) -> Vec<Weighed> {
    let of = |Likelihoods { heard, instead }| {
        let weighed = move |instead| Weighed { heard, instead };
        instead.into_iter().map(weighed)
    };
    likely.into_iter().flat_map(of).collect()
}

/// Returns for each suspicion the values of [`BEFORE`] and [`SOUND`].
pub fn features(suspicions: &[Suspicion], weighed: &[Weighed]) -> Vec<Vec<f64>> {
    let likelier = |w: &Weighed| f64::from(w.instead - w.heard).max(IMPOSSIBLE);
    let of = |(at, (suspicion, own)): (usize, (&Suspicion, &Weighed))| {
        let rivals = suspicions.iter().zip(weighed).enumerate();
        let best = rivals
            .filter(|(other, (s, _))| *other != at && s.words == suspicion.words)
            .map(|(_, (_, w))| likelier(w))
            .fold(IMPOSSIBLE, f64::max);
        let margin = likelier(own) - best;
        let sound = [
            likelier(own) / SCALE,
            f64::from(own.instead).max(4.0 * -SCALE) / SCALE,
            margin.clamp(-SCALE, SCALE) / SCALE,
        ];
        [&suspicion.before[..], &sound].concat()
    };
    suspicions.iter().zip(weighed).enumerate().map(of).collect()
}

/// Returns the suspicions that are taken for right, none of which overlap, with how likely each is.
fn settle<'a>(suspicions: &'a [Suspicion], weighed: &[Weighed]) -> Vec<(&'a Suspicion, f64)> {
    let features = features(suspicions, weighed);
    let likely = |f: &Vec<f64>| probability(&weights().after, f);
    let mut by: Vec<(&Suspicion, f64)> = suspicions
        .iter()
        .zip(features.iter().map(likely))
        .filter(|(_, p)| *p >= TAKEN)
        .collect();
    by.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut taken: Vec<(&Suspicion, f64)> = Vec::new();
    for (suspicion, p) in by {
        let overlaps = |other: &Range<usize>| {
            other.start < suspicion.words.end && suspicion.words.start < other.end
        };
        if !taken.iter().any(|(t, _)| overlaps(&t.words)) {
            taken.push((suspicion, p));
        }
    }
    taken
}

/// Marks words as taken for a wording; the first of them stands for all.
fn take_for(words: &mut [Word], wording: &str) {
    for (at, word) in words.iter_mut().enumerate() {
        let meant = if at == 0 { wording } else { "" };
        word.meant = Some(meant.to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::{Rival, TermId};

    #[test]
    fn every_value_has_a_weight_and_no_weight_is_left_over() {
        let fitted: Fitted = toml::from_str(FITTED).unwrap();
        for (named, values) in [
            (&fitted.before, BEFORE.to_vec()),
            (&fitted.after, [&BEFORE[..], &SOUND].concat()),
        ] {
            let mut values = values;
            values.sort_unstable();
            let named: Vec<&str> = named.keys().map(String::as_str).collect();
            assert_eq!(named, values);
        }
    }

    fn suspicion(words: Range<usize>, text: &str) -> Suspicion {
        let rival = Rival {
            term: TermId(0),
            kind: Kind::Element,
            text: text.to_owned(),
            distance: 0.1,
            sounds: 8,
        };
        let mut before = [0.0; BEFORE.len()];
        // As for a doubted word that goes with its fault and its place.
        for (value, name) in before.iter_mut().zip(BEFORE) {
            *value = match name {
                "always" | "goes" | "likely_in_place" => 1.0,
                "distance" => 0.1,
                "edits" => 0.8,
                "sounds_that_agree" | "doubted" | "doubted_on_average" => 0.7,
                "words" => 0.5,
                _ => 0.0,
            };
        }
        Suspicion {
            words,
            rival,
            written: text.to_owned(),
            before,
        }
    }

    #[test]
    fn the_likeliest_of_overlapping_suspicions_is_taken_if_the_sound_bears_it_out() {
        let suspicions = [
            suspicion(3..5, "basin tap"),
            suspicion(3..5, "bath tap"),
            suspicion(4..5, "trap"),
            suspicion(8..9, "screed"),
        ];
        let weighed = |instead: [f32; 4]| {
            instead.map(|instead| Weighed {
                heard: -8.0,
                instead,
            })
        };
        for (instead, taken) in [
            ([-4.0, -14.0, -12.0, -3.0], vec!["basin tap", "screed"]),
            ([-14.0, -4.0, -12.0, -30.0], vec!["bath tap"]),
            ([-30.0, -30.0, -30.0, -30.0], vec![]),
        ] {
            let settled = settle(&suspicions, &weighed(instead));
            let mut texts: Vec<&str> = settled.iter().map(|(s, _)| &*s.rival.text).collect();
            texts.sort_unstable();
            assert_eq!(texts, taken, "{instead:?}");
        }
    }

    #[test]
    fn the_first_word_stands_for_all_and_each_stays_as_it_was_heard() {
        let mut words = ["The", "Mason", "tap,", "drips"].map(Word::written);
        take_for(&mut words[1..3], "basin tap");
        let meant: Vec<Option<&str>> = words.iter().map(|w| w.meant.as_deref()).collect();
        assert_eq!(meant, [None, Some("basin tap"), Some(""), None]);
        assert_eq!(words[1].text, "Mason");
        let lexicon = crate::lexicon::Lexicon::embedded().unwrap();
        let read = |lexicon: &crate::lexicon::Lexicon| -> Vec<(String, usize)> {
            let tokens = lexicon.tokens(&words).into_iter();
            tokens.map(|t| (t.norm, t.word)).collect()
        };
        let expected =
            |norms: [(&str, usize); 4]| norms.map(|(norm, word)| (norm.to_owned(), word));
        let looked_again = [("the", 0), ("basin", 1), ("tap", 1), ("drips", 3)];
        assert_eq!(read(lexicon), expected(looked_again));
        // A vocabulary that has learnt the words since takes them as they were heard.
        let learnt = "[[element]]\nname = \"mason tap\"\ngroup = \"plumbing\"\n";
        let own = [("own.toml".into(), learnt.to_owned())];
        let own = crate::lexicon::Lexicon::load(&own).unwrap();
        let as_heard = [("the", 0), ("mason", 1), ("tap", 2), ("drips", 3)];
        assert_eq!(read(&own), expected(as_heard));
    }
}
