//! Hears one recording as the program does, window by window.

use callover::audio::{Window, WindowSettings, windows};
use callover::lexicon::Lexicon;
use callover::speech::{
    Manner, Paced, Prompt, Recording, Transcript, WhisperRecogniser, Word, place, recognise_all,
};
use callover::statements::second_look::look_again;
use callover::time::Millis;
use std::error::Error;
use std::ops::ControlFlow;
use std::path::Path;

/// Returns how sure a recogniser is of each word in a recording's first windows, `most` at most, as the program
/// asks before it chooses an ear.
pub(crate) fn sureness(
    lexicon: &Lexicon,
    recogniser: &mut WhisperRecogniser,
    manner: Manner,
    most: usize,
    file: &Path,
) -> Result<Option<Vec<f32>>, Box<dyn Error>> {
    let heard = hear(lexicon, recogniser, manner, &|_| None, most, None, file)?;
    Ok(Some(
        heard.words.iter().map(|word| word.probability).collect(),
    ))
}

/// Returns what is heard in a recording, looked at a second time as in the program. `prompt` tells for the
/// words so far what the recogniser is told before the next window, where that is anything else than usual;
/// after `most` windows it stops; `known` are the words, where they are known and only looked at again.
pub(crate) fn hear(
    lexicon: &Lexicon,
    recogniser: &mut WhisperRecogniser,
    manner: Manner,
    prompt: &dyn Fn(&[Word]) -> Option<Prompt>,
    most: usize,
    known: Option<Vec<Word>>,
    file: &Path,
) -> Result<Transcript, Box<dyn Error>> {
    let mut heard = Transcript::default();
    let mut step = |window: &Window| -> Result<(), Box<dyn Error>> {
        if let Some(prompt) = prompt(&heard.words) {
            recogniser.tell(&prompt)?;
        }
        let recogniser = &mut Paced::new(recogniser, manner.pace);
        let span = window.map.span();
        let inside = |word: &&Word| {
            word.span.is_some_and(|s| {
                let middle = Millis((s.start.0 + s.end.0) / 2);
                span.start <= middle && middle < span.end
            })
        };
        let mut words: Vec<Word> = match &known {
            Some(words) => words.iter().filter(inside).cloned().collect(),
            None => {
                let found = recognise_all(recogniser, &window.samples, &window.pauses())?;
                place(&found.words, 1, &window.map)
            }
        };
        let before = heard.words.clone();
        look_again(lexicon, recogniser, &window.samples, before, &mut words)?;
        heard.words.extend(words);
        Ok(())
    };
    let mut failed = None;
    let mut done = 0;
    let on_window = |window: Window| match step(&window) {
        Ok(()) => {
            done += 1;
            match done < most {
                true => ControlFlow::Continue(()),
                false => ControlFlow::Break(()),
            }
        }
        Err(error) => {
            failed = Some(error);
            ControlFlow::Break(())
        }
    };
    let summary = windows(
        file,
        manner.windows(WindowSettings::default()),
        on_window,
        |_| {},
    )?;
    if let Some(error) = failed {
        return Err(error);
    }
    heard.recordings = vec![Recording {
        id: 1,
        file: file
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into(),
        sha256: "0".repeat(64),
        duration_s: summary.duration.seconds(),
        speech_s: summary.speech_seconds(),
    }];
    Ok(heard)
}
