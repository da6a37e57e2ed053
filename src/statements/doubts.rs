//! Words that may have been misheard for words of the trade: *Mason tap* for *basin tap*.
//!
//! Recognisers write what is likeliest in everyday speech. Stretches of a clause that mean nothing in
//! the trade are held against the sound of every place, element and fault; which of those were meant
//! is decided with the sound itself ([`super::second_look`]).

use super::grammar::{Class, class, opener};
use super::piece::{Piece, PieceKind};
use super::reader::Reader;
use super::reading::{Reading, read};
use super::sentence::Sentence;
use super::units::unit_word;
use crate::lexicon::{How, Kind, Lexicon, PlaceKind, Rival, TermId};
use crate::speech::{Transcript, Word};
use std::ops::Range;

/// The most words that may together have been misheard for a wording.
const MOST_WORDS: usize = 4;

/// Below this probability a word that is no noun, verb or adjective is doubted too.
const DOUBTED: f32 = 0.65;

/// Below this probability a thing or a fault is doubted too that does not fit what is beside it: the
/// recogniser at times writes one word of the trade for another (*pops* for *perps*).
const DOUBTED_TERM: f32 = 0.5;

/// What goes together no better than this does not fit.
const UNFITTING: f32 = 0.1;

/// Sounds of a long wording, for the scale: the more of them agree, the less likely by chance.
const LONG_WORDING: f64 = 10.0;

/// How many tokens into a sentence the place may be named that it changes to.
const OPENING: usize = 3;

/// What is known of a suspicion before the sound is asked, in the order of the values.
pub const BEFORE: [&str; 18] = [
    "always",
    "distance",
    "edits",
    "sounds_that_agree",
    "nothing_to_go_with",
    "goes",
    "sentence_lacks_it",
    "no_place",
    "likely_in_place",
    "doubted",
    "doubted_on_average",
    "everyday",
    "fault",
    "place",
    "place_after_pause",
    "place_alone",
    "words",
    "vocabulary",
];

/// A stretch of words, with a wording that it may have been.
#[derive(Debug, Clone)]
pub struct Suspicion {
    /// Words of the transcript.
    pub words: Range<usize>,
    /// What they may have been.
    pub rival: Rival,
    /// The same with the capital and the punctuation of the words.
    pub written: String,
    /// The values of [`BEFORE`].
    pub before: [f64; BEFORE.len()],
}

/// Returns what the words from `from` on may have been instead; the words before them tell where the
/// speaker is.
pub fn suspicions(lexicon: &Lexicon, transcript: &Transcript, from: usize) -> Vec<Suspicion> {
    let reading = read(lexicon, transcript);
    let mut out = Vec::new();
    let mut place: Option<TermId> = None;
    for sentence in &reading.sentences {
        let opening = sentence.tokens.start + OPENING;
        let mut named = reading
            .places_within(&sentence.tokens)
            .iter()
            .filter(|p| p.tokens.start <= opening);
        place = named.next_back().map_or(place, |p| p.term);
        if reading.tokens[sentence.tokens.end - 1].word < from {
            continue;
        }
        let scene = Scene {
            lexicon,
            reading: &reading,
            sentence,
            pieces: &reading.pieces[reading.within(&sentence.tokens)],
            place,
        };
        for clause in &sentence.clauses {
            scene.suspect(&transcript.words, &clause.tokens, from, &mut out);
        }
    }
    out
}

/// A sentence with what is around it.
struct Scene<'a> {
    lexicon: &'a Lexicon,
    reading: &'a Reading,
    sentence: &'a Sentence,
    pieces: &'a [Piece],
    place: Option<TermId>,
}

impl Scene<'_> {
    fn suspect(
        &self,
        words: &[Word],
        clause: &Range<usize>,
        from: usize,
        out: &mut Vec<Suspicion>,
    ) {
        let tokens = &self.reading.tokens;
        let begins = |t: &usize| *t == 0 || tokens[t - 1].word != tokens[*t].word;
        let starts: Vec<usize> = clause.clone().filter(begins).collect();
        for (at, &start) in starts.iter().enumerate() {
            if tokens[start].word < from {
                continue;
            }
            for count in 1..=MOST_WORDS.min(starts.len() - at) {
                let end = starts.get(at + count).copied().unwrap_or(clause.end);
                let stretch = start..end;
                if !stretch.clone().any(|t| self.doubtful(t)) {
                    continue;
                }
                let opens = (self.sentence.tokens.start..start).all(|t| opener(&tokens[t].norm));
                let kinds: &[Kind] = match opens {
                    true => &[Kind::Element, Kind::Defect, Kind::Place],
                    false => &[Kind::Element, Kind::Defect],
                };
                let said = tokens[stretch.clone()].iter().map(|t| t.norm.as_str());
                let said = said.collect::<Vec<_>>().join(" ");
                let heard = tokens[start].word..tokens[end - 1].word + 1;
                for rival in self.lexicon.rivals(&tokens[stretch.clone()], kinds) {
                    // "Been bedded": what follows is work done or a fault, never a thing (*bedding*).
                    let been = start > clause.start && tokens[start - 1].norm == "been";
                    if rival.text != said
                        && !(been && rival.kind == Kind::Element)
                        && self.may_be(&rival)
                        && self.keeps(&stretch, &rival)
                    {
                        out.push(Suspicion {
                            written: written(&rival.text, &words[heard.clone()]),
                            before: self.before(&stretch, heard.len(), &rival),
                            words: heard.clone(),
                            rival,
                        });
                    }
                }
            }
        }
    }

    /// Returns what a token belongs to that was understood as it was heard.
    fn understood(&self, token: usize) -> Option<&Piece> {
        self.pieces.iter().find(|p| {
            let certain = match p.kind {
                PieceKind::Phrase => p.text == "positive",
                PieceKind::Measure | PieceKind::Count => true,
                _ => p.term.is_some() && !matches!(p.how, How::SoundsLike { .. }),
            };
            certain && p.tokens.contains(&token)
        })
    }

    /// True for a word of a thing or a fault that the recogniser doubted and that does not fit: a thing
    /// beside faults of other things, a fault beside things that it does not befall, or beside none.
    fn doubted_term(&self, token: usize) -> bool {
        let unfitting = |p: &Piece| {
            let goes = self.goes_with_others(p.kind, p.term, &p.tokens);
            match p.kind {
                PieceKind::Element => goes.is_some_and(|goes| goes <= UNFITTING),
                PieceKind::Defect => goes.is_none_or(|goes| goes <= UNFITTING),
                _ => false,
            }
        };
        self.reading.tokens[token].probability < DOUBTED_TERM
            && self.understood(token).is_some_and(unfitting)
    }

    /// Returns the terms of a kind that are named outside some tokens.
    fn others(&self, kind: PieceKind, tokens: &Range<usize>) -> impl Iterator<Item = TermId> {
        let apart = move |p: &&Piece| {
            p.kind == kind && (p.tokens.end <= tokens.start || tokens.end <= p.tokens.start)
        };
        self.pieces.iter().filter(apart).filter_map(|p| p.term)
    }

    /// Returns how well a thing or a fault goes with the faults or things beside it.
    fn goes_with_others(
        &self,
        kind: PieceKind,
        term: Option<TermId>,
        tokens: &Range<usize>,
    ) -> Option<f32> {
        let term = term?;
        match kind {
            PieceKind::Element => self
                .others(PieceKind::Defect, tokens)
                .map(|defect| self.lexicon.befalls(defect, term))
                .reduce(f32::max),
            PieceKind::Defect => self
                .others(PieceKind::Element, tokens)
                .map(|element| self.lexicon.befalls(term, element))
                .reduce(f32::max),
            _ => None,
        }
    }

    /// True for a word that says nothing here: one outside the vocabulary, or one that the recogniser
    /// doubted.
    fn doubtful(&self, token: usize) -> bool {
        let heard = &self.reading.tokens[token];
        let foreign = class(&heard.norm) == Class::Open && !self.lexicon.has_word(&heard.norm);
        let unit = unit_word(Reader::new(&self.reading.tokens, &[]), token).is_some();
        match self.understood(token) {
            Some(_) => self.doubted_term(token),
            None => !unit && (foreign || heard.probability < DOUBTED),
        }
    }

    /// True for what may be meant at all: no place that is the whole home or an everyday word.
    fn may_be(&self, rival: &Rival) -> bool {
        rival.kind != Kind::Place || {
            let place = self.lexicon.place(rival.term);
            place.kind != PlaceKind::Whole && !place.weak
        }
    }

    /// True where a rival has all words of the stretch that were understood without doubt, none of
    /// them cut off from what it belongs to, no room taken into the name of a thing (*front **bedroom
    /// are doors** catching*), and where it is not understood already.
    fn keeps(&self, stretch: &Range<usize>, rival: &Rival) -> bool {
        let mut fixed = stretch
            .clone()
            .filter(|t| self.understood(*t).is_some() && !self.doubted_term(*t));
        let has_all = fixed.all(|t| {
            let word = &self.reading.tokens[t].norm;
            rival.text.split(' ').any(|w| w == word)
        });
        let mut touched = self
            .pieces
            .iter()
            .filter(|p| p.tokens.start < stretch.end && stretch.start < p.tokens.end);
        has_all
            && touched.all(|p| {
                let certain = p.term.is_some() && !matches!(p.how, How::SoundsLike { .. });
                let whole = stretch.start <= p.tokens.start && p.tokens.end <= stretch.end;
                let room = p.kind == PieceKind::Place && rival.kind != Kind::Place;
                let same = p.term == Some(rival.term);
                !certain
                    || whole && !room && !(same && stretch.clone().any(|t| self.doubted_term(t)))
            })
    }

    fn before(&self, stretch: &Range<usize>, words: usize, rival: &Rival) -> [f64; BEFORE.len()] {
        let flag = |applies: bool| f64::from(u8::from(applies));
        let tokens = &self.reading.tokens[stretch.clone()];
        let kind = match rival.kind {
            Kind::Element => PieceKind::Element,
            Kind::Defect => PieceKind::Defect,
            _ => PieceKind::Place,
        };
        let goes = self.goes_with_others(kind, Some(rival.term), stretch);
        let likely = self
            .place
            .filter(|_| rival.kind == Kind::Element)
            .map(|place| self.lexicon.likely_in(rival.term, place));
        let least = tokens.iter().map(|t| t.probability).fold(1.0, f32::min);
        let mean = tokens.iter().map(|t| t.probability).sum::<f32>() / tokens.len() as f32;
        let edits = f64::from(rival.distance) * rival.sounds as f64;
        let is_place = rival.kind == Kind::Place;
        let lacks = !is_place && self.others(kind, stretch).next().is_none();
        let mut clauses = self.sentence.clauses.iter();
        let alone = clauses.any(|c| c.tokens == *stretch);
        [
            1.0,
            f64::from(rival.distance),
            edits,
            (rival.sounds as f64 - edits) / LONG_WORDING,
            flag(goes.is_none()),
            goes.map_or(0.0, f64::from),
            flag(lacks),
            flag(likely.is_none()),
            likely.map_or(0.0, f64::from),
            1.0 - f64::from(least),
            1.0 - f64::from(mean),
            flag(tokens.iter().all(|t| self.lexicon.everyday(&t.norm))),
            flag(rival.kind == Kind::Defect),
            flag(is_place),
            flag(is_place && self.sentence.paused()),
            flag(is_place && alone),
            words as f64 / MOST_WORDS as f64,
            flag(stretch.clone().any(|t| self.doubted_term(t))),
        ]
    }
}

/// Returns a wording as it would be written in place of these words.
fn written(wording: &str, heard: &[Word]) -> String {
    let mut text = wording.replace(" 's", "'s");
    let capital = heard
        .first()
        .is_some_and(|w| w.text.starts_with(char::is_uppercase));
    if let Some(first) = text.chars().next().filter(|_| capital) {
        text.replace_range(..first.len_utf8(), &first.to_uppercase().to_string());
    }
    let last = heard.last().map_or("", |w| w.text.as_str());
    let ends = last.trim_end_matches(|c: char| !c.is_alphanumeric()).len();
    text + &last[ends..]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lexicon() -> &'static Lexicon {
        Lexicon::embedded().unwrap()
    }

    fn transcript(text: &str) -> Transcript {
        Transcript {
            recordings: Vec::new(),
            words: text.split(' ').map(Word::written).collect(),
        }
    }

    /// Returns `heard -> written` for what may have been meant, nearest first.
    fn suspected(text: &str, doubted: &[&str]) -> Vec<String> {
        let mut transcript = transcript(text);
        for word in &mut transcript.words {
            if doubted.contains(&word.text.as_str()) {
                word.probability = 0.2;
            }
        }
        let mut found = suspicions(lexicon(), &transcript, 0);
        found.sort_by(|a, b| a.rival.distance.total_cmp(&b.rival.distance));
        let heard = |s: &Suspicion| {
            let words = transcript.words[s.words.clone()].iter();
            words.map(|w| w.text.as_str()).collect::<Vec<_>>().join(" ")
        };
        found
            .iter()
            .map(|s| format!("{} -> {}", heard(s), s.written))
            .collect()
    }

    #[test]
    fn words_that_mean_nothing_here_are_held_against_what_they_sound_like() {
        // Made up in the manner of what recognisers write for hard voices.
        for (said, doubted, wanted) in [
            (
                "Bathroom. The mason tap drips.",
                "mason",
                "mason tap -> basin tap",
            ),
            (
                "Hall. Skittings, scratched.",
                "Skittings,",
                "Skittings, -> Skirtings,",
            ),
            (
                "Kitchen. Tap is stripping.",
                "stripping.",
                "stripping. -> dripping.",
            ),
            (
                "Garden. The shed mace is cracked.",
                "mace",
                "shed mace -> shed base",
            ),
            // A word of the trade, but one that goes with nothing here.
            ("Front elevation. Pops not filled.", "Pops", "Pops -> Perps"),
        ] {
            let found = suspected(said, &[doubted]);
            assert!(found.iter().any(|f| f == wanted), "{said}: {found:?}");
        }
    }

    #[test]
    fn what_was_understood_is_not_doubted() {
        for said in [
            "Kitchen. Worktop scratched.",
            "Bathroom. Basin tap drips, plumb and level.",
            "Hall. Door handle loose.",
        ] {
            let whole = suspected(said, &[]);
            let only_own = whole.iter().all(|found| {
                let (heard, _) = found.split_once(" -> ").unwrap_or_default();
                !["Worktop", "scratched.", "tap", "Door", "handle", "loose."].contains(&heard)
            });
            assert!(only_own, "{said}: {whole:?}");
        }
    }

    #[test]
    fn a_doubted_word_of_the_trade_that_fits_stays() {
        for (said, doubted) in [
            ("Kitchen. Worktop scratched.", "Worktop"),
            ("Kitchen. Worktop scratched.", "scratched."),
            // A thing that nothing is said of, or praise.
            ("Kitchen. Worktops good.", "Worktops"),
        ] {
            assert_eq!(suspected(said, &[doubted]), Vec::<String>::new(), "{said}");
        }
    }

    #[test]
    fn only_words_from_the_given_one_on_are_doubted() {
        let transcript = transcript("Hall. The skittings marked. The skittings marked.");
        let found = suspicions(lexicon(), &transcript, 4);
        assert!(!found.is_empty() && found.iter().all(|s| s.words.start >= 4));
    }
}
