//! Moments at which the inspector spoke of a photo.

use crate::items::Item;
use crate::job::Moment;
use crate::speech::Word;
use crate::time::{Millis, Span};

/// Words that are said when a photo is taken. *Shot* and *snap* are left out: they are also said of
/// other things.
const CUE_WORDS: [&str; 10] = [
    "photo",
    "photos",
    "photograph",
    "photographs",
    "photographed",
    "photographing",
    "picture",
    "pictures",
    "pic",
    "pics",
];

/// Words shortly before that turn the meaning round: *no photo needed*.
const DENIALS: [&str; 6] = ["no", "not", "don't", "without", "didn't", "never"];

/// How many words before a cue a denial may stand: *didn't take a photo*.
const DENIAL_REACH: usize = 3;

/// Mentions closer than this are about one photo: *photo of that, just get a picture*.
const ONE_CUE_MS: u64 = 8_000;

/// Returns the moments at which a photo was spoken of, in order: where a word for it was said, and
/// the ends of items that want one although no such word was heard within them.
pub fn photo_cues(words: &[Word], items: &[Item]) -> Vec<Moment> {
    let mut cues: Vec<Moment> = Vec::new();
    for (place, word) in words.iter().enumerate() {
        let before = &words[place.saturating_sub(DENIAL_REACH)..place];
        if let Some(span) = word.span
            && CUE_WORDS.contains(&&*plain(&word.text))
            && !before
                .iter()
                .any(|word| DENIALS.contains(&&*plain(&word.text)))
        {
            cues.push(Moment {
                recording: word.recording,
                at: span.start,
            });
        }
    }
    let spoken = cues.clone();
    for item in items.iter().filter(|item| item.photo_wanted) {
        let Some(span) = item.evidence.span else {
            continue;
        };
        let recording = item.evidence.recording;
        let heard = |cue: &Moment| cue.recording == recording && is_within(cue.at, span);
        if !spoken.iter().any(heard) {
            cues.push(Moment {
                recording,
                at: span.end,
            });
        }
    }
    cues.sort();
    cues.dedup_by(|later, kept| {
        later.recording == kept.recording && later.at.0 - kept.at.0 < ONE_CUE_MS
    });
    cues
}

fn is_within(at: Millis, span: Span) -> bool {
    span.start <= at && at <= span.end
}

fn plain(text: &str) -> String {
    text.trim_matches(|c: char| !c.is_alphanumeric())
        .to_lowercase()
        .replace('’', "'")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::samples::item;

    /// Words of half a second each, one after another.
    fn said(text: &str) -> Vec<Word> {
        text.split_whitespace()
            .zip(0u64..)
            .map(|(text, place)| Word {
                text: text.into(),
                recording: 1,
                span: Some(Span::new(Millis(place * 500), Millis(place * 500 + 400))),
                probability: 1.0,
                line_end: false,
                meant: None,
            })
            .collect()
    }

    fn starts(text: &str) -> Vec<u64> {
        photo_cues(&said(text), &[])
            .iter()
            .map(|cue| cue.at.0)
            .collect()
    }

    #[test]
    fn words_for_a_photo_are_cues_and_their_denials_are_not() {
        for (text, cues) in [
            ("Hinge loose, photo of that.", vec![1000]),
            ("Photographed. Now the lounge", vec![0]),
            ("get a picture of it", vec![1000]),
            ("No photo needed here", vec![]),
            ("I didn't take a photo", vec![]),
            ("I don’t want a picture", vec![]),
            ("the photocell is out", vec![]),
            ("pick it up, the topic is photovoltaic", vec![]),
            ("epic shot of plaster", vec![]),
        ] {
            assert_eq!(starts(text), cues, "{text}");
        }
    }

    #[test]
    fn mentions_of_one_photo_are_one_cue() {
        let text = format!("photo of that, a photo {}photo", "and so on ".repeat(6));
        assert_eq!(starts(&text), [0, 11_500]);
    }

    #[test]
    fn an_item_that_wants_a_photo_is_a_cue_where_no_word_was_heard_in_it() {
        let mut items = vec![
            item(1, "hallway", "door", "sticks"),
            item(2, "hallway", "door", "scratched"),
        ];
        for item in &mut items {
            item.photo_wanted = true;
        }
        let mut words = said("photo");
        words[0].span = Some(Span::new(Millis(12_000), Millis(12_300)));
        let at: Vec<u64> = photo_cues(&words, &items)
            .iter()
            .map(|cue| cue.at.0)
            .collect();
        assert_eq!(at, [12_000, 24_000]);
    }
}
