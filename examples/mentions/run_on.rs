//! A text with times, and its stops and commas as a recogniser writes them.

use callover::speech::Transcript;
use callover::time::{Millis, Span};

/// Of a hundred stops, how many a recogniser writes as commas and leaves out: of 3,563 in recordings of synthetic
/// voices, 17 and 2.
const STOPS: (u64, u64) = (17, 2);

/// Of a hundred commas, how many it leaves out: of 3,833 there, 5.
const COMMAS: u64 = 5;

/// How long a word takes, and the pause behind a stop, in milliseconds; half of those in the recordings are longer.
const WORD: u64 = 300;
const PAUSE: u64 = 800;

/// Takes some stops for commas and some of both for nothing, and gives every word a time; `seed` tells which. Returns
/// the indexes of the words before a comma that was a stop.
pub(crate) fn run_on(transcript: &mut Transcript, seed: u64) -> Vec<usize> {
    let mut out = Vec::new();
    // Constants of Knuth's MMIX generator.
    let mut random = seed.wrapping_add(1);
    let mut now = 0;
    for (at, word) in transcript.words.iter_mut().enumerate() {
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let chance = (random >> 33) % 100;
        word.span = Some(Span::new(Millis(now), Millis(now + WORD)));
        now += WORD;
        let (commas, none) = match word.text.chars().last() {
            Some('.' | '!' | '?') => {
                now += PAUSE;
                STOPS
            }
            Some(',') => (0, COMMAS),
            _ => continue,
        };
        if chance < commas + none {
            word.text.pop();
            word.line_end = false;
        }
        if chance < commas {
            word.text.push(',');
            out.push(at);
        }
    }
    out
}
