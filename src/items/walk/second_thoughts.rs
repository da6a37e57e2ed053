//! Second thoughts: a sentence or a few later, what looked like a fault turns out to be none. *Door sticks.
//! **No, that's my boot.***, *shelf's sagging. Straight edge on it. **No, dead flat.***
//!
//! It takes two signs: that the speaker doubts what was said (*no*, *hang on*, *is it?*), and an account of
//! it that is harmless (*it's a shadow*, *my eyes*, *wipes off*, *works*). Praise alone takes nothing
//! back: it mostly goes on about something else.

use super::denial::HARMLESS;
use super::{TAKEN_BACK, Walk};
use crate::lexicon::TermId;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind};
use std::ops::Range;

/// How many sentences after the fault a second thought may come: in between one looks, tries and measures.
pub(super) const LOOKS_AGAIN: usize = 4;

/// Words with which one stops to look again. Everyday English, no source.
#[rustfmt::skip]
const DOUBTS: &[&str] = &[
    "no", "wait", "hang", "hold", "hm", "hmm", "oh", "ah", "actually", "otherwise", "sorry", "lie", "let",
];

/// What is said of a thing that is as it should be after all.
#[rustfmt::skip]
pub(super) const SOUND: &[&str] = &[
    "flat", "plumb", "level", "true", "straight", "solid", "tight", "dry", "clean", "fine", "good", "okay",
    "ok", "central", "square", "sound", "perfect", "works", "working", "live", "running", "shuts", "closes",
    "latches", "correct",
];

/// What is the speaker's own, and deceives: *no, that's my boot*, *my eyes*.
#[rustfmt::skip]
const OWN: &[&str] = &[
    "boot", "boots", "foot", "feet", "hand", "hands", "thumb", "finger", "fingers", "eye", "eyes", "ears",
    "torch", "light", "shadow", "level", "tape", "rule", "mistake", "fault", "coat", "sleeve", "bag", "phone",
    "imagination", "weight", "angle", "nail", "glasses", "bottle", "knee", "knees", "pencil", "pen",
];

/// What comes off is no fault: *wipes off*, *comes off on my thumb*.
const COMES: &[&str] = &[
    "wipes", "brushes", "rubs", "comes", "coming", "came", "wiped", "brushed", "rubbed",
];

/// How many words may stand in front of what is said of it: *oh no, hang on, it's …*.
const LONGEST_WAY_IN: usize = 6;

/// The most tokens of an echo that denies: *it does not*.
const LONGEST_ECHO: usize = 4;

impl Walk<'_> {
    /// Takes the last item back where this sentence says that its fault was none. True if it did.
    pub(super) fn thinks_again(&mut self, index: usize, range: &Range<usize>) -> bool {
        let Some(draft) = self.drafts.last().filter(|d| {
            let later = index.saturating_sub(d.sentence);
            d.withdrawn.is_none() && (1..=LOOKS_AGAIN).contains(&later) && d.place == self.place
        }) else {
            return false;
        };
        let about = draft.element.term;
        // "And a scratch on the frame, is it? **No, that's film, it's peeled away, scrub that.**"
        let asked = draft.sentence + 1 == index && self.reading.sentences[index - 1].question;
        let scrubbed =
            self.phrase(range, "withdrawal").is_some() || self.takes_off_in_doubt(index).is_some();
        if asked && scrubbed && self.word(range.start) == "no" {
            if let Some(draft) = self.drafts.last_mut() {
                draft.withdrawn = Some(TAKEN_BACK.into());
            }
            return true;
        }
        // "Is that a crack? No, it's a hair.": of what was asked, which is no item.
        let asked = &self.reading.sentences[index - 1];
        let other = draft.sentence + 1 < index
            && asked.question
            && !self.kinds_in(&asked.tokens, PieceKind::Defect).is_empty();
        if other {
            return false;
        }
        let harmless =
            self.doubted_since(draft.sentence, index, about) && self.harmless(index, range, about);
        if harmless && let Some(draft) = self.drafts.last_mut() {
            draft.withdrawn = Some(TAKEN_BACK.into());
        }
        harmless
    }

    /// *The cistern lid's cracked. **Actually no, the lid's fine**, it's just dirty*: takes the last item back
    /// where its thing is named and found to be in order. True if that is all that is said.
    pub(super) fn sound_after_all(&mut self, index: usize, range: &Range<usize>) -> bool {
        let Some(draft) = self.drafts.last().filter(|d| {
            let later = index.saturating_sub(d.sentence);
            d.withdrawn.is_none() && (1..=LOOKS_AGAIN).contains(&later) && d.place == self.place
        }) else {
            return false;
        };
        let start = range.clone().find(|&at| {
            let word = self.word(at);
            !opener(word) && !DOUBTS.contains(&word) && class(word) != Class::Determiner
        });
        let doubts = |start: usize| {
            let stops = |at: usize| matches!(self.word(at), "no" | "actually" | "wait" | "sorry");
            (range.start..start).any(stops)
        };
        let Some(start) = start.filter(|&start| doubts(start)) else {
            return false;
        };
        let Some(is) = (start..range.end).find(|&at| matches!(self.word(at), "'s" | "is" | "are"))
        else {
            return false;
        };
        let named = self.text(&(start..is));
        let of_it =
            draft.element.text == named || draft.element.text.ends_with(&format!(" {named}"));
        let sound = (is + 1..range.end.min(is + 3)).any(|at| SOUND.contains(&self.word(at)));
        let denied = class(self.word(is + 1)) == Class::Negation;
        if !of_it || !sound || denied {
            return false;
        }
        if let Some(draft) = self.drafts.last_mut() {
            draft.withdrawn = Some(TAKEN_BACK.into());
        }
        self.kinds_in(range, PieceKind::Defect).is_empty()
    }

    /// True where the speaker stopped to look again after the sentence `since`, up to that at `index`, and
    /// spoke of nothing else than `about`.
    pub(super) fn doubted_since(&self, since: usize, index: usize, about: Option<TermId>) -> bool {
        let sentences = &self.reading.sentences;
        let doubted = (since + 1..=index).any(|at| {
            let mut words = sentences[at].tokens.clone().map(|t| self.word(t));
            let opens = words
                .find(|word| DOUBTS.contains(word) || !opener(word))
                .is_some_and(|word| DOUBTS.contains(&word));
            opens || sentences[at].question || words.any(|word| word == "otherwise")
        });
        let between = sentences[since].tokens.end..sentences[index].tokens.start;
        // "The other one's the same. No, that's fluff".
        let mut words = between.clone().map(|at| self.word(at));
        let another = words.any(|word| matches!(word, "other" | "another" | "same" | "next"));
        doubted && !another && !self.names_other(&between, about)
    }

    /// True where a thing is named that is not `about` and no harmless one.
    fn names_other(&self, range: &Range<usize>, about: Option<TermId>) -> bool {
        self.kinds_in(range, PieceKind::Element)
            .into_iter()
            .any(|i| {
                let piece = &self.reading.pieces[i];
                piece.term != about && !piece.tokens.clone().any(|at| self.is_harmless_thing(at))
            })
    }

    /// A shadow, dust, water: not the *water* of a *water heater*.
    fn is_harmless_thing(&self, at: usize) -> bool {
        let part = |piece: &Piece| piece.kind == PieceKind::Element && piece.tokens.len() > 1;
        HARMLESS.contains(&self.word(at)) && !self.reading.piece_at(at).is_some_and(part)
    }

    /// True where the words give a harmless account of what was taken for a fault.
    fn harmless(&self, index: usize, range: &Range<usize>, about: Option<TermId>) -> bool {
        let word = |at: usize| {
            if range.contains(&at) {
                self.word(at)
            } else {
                ""
            }
        };
        let light = |at: &usize| {
            opener(word(*at)) || DOUBTS.contains(&word(*at)) || matches!(word(*at), "on" | "me")
        };
        let start = range.clone().find(|at| !light(at)).unwrap_or(range.end);
        let asks = self.reading.sentences[index].question;
        if asks || start == range.end || start - range.start > LONGEST_WAY_IN {
            return false;
        }
        let no = (range.start..start).any(|at| self.word(at) == "no");
        // "No, I'd the level the wrong way round": the speaker's own slip.
        let slips = matches!(word(start + 1), "'d" | "had" | "was")
            && class(word(start + 2)) != Class::Negation;
        if no && word(start) == "i" && slips {
            return true;
        }
        let rest = start..range.end;
        let counts = |&i: &usize| {
            let piece = &self.reading.pieces[i];
            let mut words = piece.tokens.clone().map(|at| self.word(at));
            !words.any(|word| HARMLESS.contains(&word) || SOUND.contains(&word))
        };
        let corrects = [
            PieceKind::Defect,
            PieceKind::Measure,
            PieceKind::Count,
            PieceKind::Place,
        ];
        // "Level says not, so that's my eyes".
        let mine = rest
            .clone()
            .any(|at| matches!(word(at), "my" | "your") && OWN.contains(&word(at + 1)));
        let more = ["but", "still", "same", "another", "wants", "needs"];
        let goes_on = |at: usize| more.contains(&word(at)) || word(at) == "so" && !mine;
        if corrects
            .iter()
            .any(|&kind| self.kinds_in(&rest, kind).iter().any(counts))
            || rest.clone().any(goes_on)
        {
            return false;
        }
        let is = |at: usize| {
            matches!(
                word(at),
                "'s" | "is" | "are" | "'re" | "was" | "be" | "only" | "just" | "off"
            )
        };
        let quite = |at: usize| matches!(word(at), "dead" | "bang" | "spot" | "perfectly");
        let it =
            |at: usize| at < start || matches!(word(at), "it" | "that" | "they" | "those" | "both");
        let other = self.names_other(&rest, about);
        rest.clone().any(|at| {
            let first = at == start;
            let before = at.wrapping_sub(1);
            let article = class(word(before)) == Class::Determiner || is(before);
            // "No light in the cupboard": one is missing.
            let mut clauses = self.reading.sentences[index].clauses.iter();
            let apart = clauses.any(|c| c.tokens.start == at);
            let absent = first
                && !apart
                && at.checked_sub(1).is_some_and(|b| self.word(b) == "no")
                && class(word(at + 1)) == Class::Preposition;
            let harmless_thing = self.is_harmless_thing(at) && (first || article) && !absent;
            let own = word(at) == "me" && is(before)
                || matches!(word(at), "my" | "your") && OWN.contains(&word(at + 1));
            let well = is(before) && it(before.wrapping_sub(1)) || quite(before) || no && first;
            let sound = !other && SOUND.contains(&word(at)) && (well || word(before) == "it");
            let off = COMES.contains(&word(at)) && word(at + 1) == "off";
            let meant = matches!(
                (word(at), word(at + 1), word(at + 2)),
                ("meant" | "supposed", "to", _)
                    | ("on", "purpose", _)
                    | ("as", "drawn" | "designed", _)
                    | ("in", "the", "middle")
                    | ("there", "it" | "they", "goes" | "go" | "is" | "are")
            ) || word(at) == "designed";
            // "Does it? It doesn't."
            let echo =
                at + 1 == range.end && word(at) == "not" && range.end - start <= LONGEST_ECHO;
            harmless_thing || own || sound || off || meant || echo
        })
    }
}
