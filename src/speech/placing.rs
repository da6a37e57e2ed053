//! Puts words heard in a window back where they were said in the recording.

use super::recogniser::HeardWord;
use super::transcript::Word;
use crate::audio::{RATE, SourceMap};
use crate::time::{Millis, Span};

/// Returns the words of a window in the time of `recording`, whose sound `map` leads back to.
pub fn place(words: &[HeardWord], recording: u32, map: &SourceMap) -> Vec<Word> {
    words
        .iter()
        .map(|word| Word {
            text: word.text.clone(),
            recording,
            span: Some(place_span(word.span, map)),
            probability: word.probability,
            line_end: false,
            meant: None,
        })
        .collect()
}

/// Returns when something heard at `span` of a window was said.
///
/// A window is put together from stretches of speech with the long pauses shortened. Word times
/// are not exact, so a word's span may reach over such a joint; mapped as it is, the word would last
/// as long as the pause. It belongs to the stretch that holds most of it and is cut to that.
pub fn place_span(span: Span, map: &SourceMap) -> Span {
    let millis = |samples: u64| Millis(samples * 1000 / u64::from(RATE));
    let inside = map
        .pieces()
        .iter()
        .map(|piece| {
            let within = Span::new(millis(piece.at), millis(piece.at + piece.source.length()));
            Span::new(span.start.max(within.start), span.end.min(within.end))
        })
        // Of two equal parts the first counts.
        .rev()
        .max_by_key(|part| part.length())
        .filter(|part| part.length() > 0)
        .unwrap_or(span);
    // The last moment of a stretch would map to the start of the next where they touch.
    let start = map.to_source(inside.start);
    let end = map.to_source(inside.end.earlier(1)).later(1);
    Span::new(start, if inside.length() > 0 { end } else { start })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::{PackSettings, Packer, Stretch};

    /// Two stretches, at 1 to 5 s and at 20 to 24 s of the recording, joined in one window.
    fn map() -> SourceMap {
        let second = u64::from(RATE);
        let mut packer = Packer::new(PackSettings::default());
        for (start, end) in [(1, 5), (20, 24)] {
            let full = packer.push(Stretch {
                start: start * second,
                end: end * second,
            });
            assert!(full.is_empty());
        }
        packer.finish().unwrap().map
    }

    #[test]
    fn words_over_a_joint_go_to_the_stretch_that_holds_most_of_them() {
        let map = map();
        let joint = map.pieces()[1].at * 1000 / u64::from(RATE);
        for (start, end, expected) in [
            (500, 900, (1500, 1900)),
            (3000, joint + 100, (4000, 5000)),
            (3900, joint + 500, (20_000, 20_500)),
            (joint + 200, joint + 200, (20_200, 20_200)),
            (joint, joint + 4000, (20_000, 24_000)),
        ] {
            let placed = place_span(Span::new(Millis(start), Millis(end)), &map);
            assert_eq!((placed.start.0, placed.end.0), expected, "{start} to {end}");
        }
    }
}
