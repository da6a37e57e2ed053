//! The walk through the sentences: carries the place and what was spoken of, makes items, and
//! applies what the speaker takes back, corrects, repeats or adds.

use super::draft::{Draft, Named};
use super::item::{Visit, VisitedPlace};
use super::pair::{Choice, Scene, wants_object};
use super::position;
use crate::lexicon::{Found, Lexicon, PlaceKind};
use crate::score::{Costs, distance};
use crate::speech::Transcript;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::{self, Noun};
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place::{self, PlaceChange};
use crate::statements::reading::Reading;
use crate::statements::sentence::{Join, Sentence};
use std::ops::Range;

/// Name shown for items spoken before any place was named.
pub(crate) const NO_PLACE: &str = "unplaced";

/// Where walk-rounds begin.
const FRONT: &str = "front elevation";

/// How many sentences later a sentence without a subject of its own still adds to an item.
const REACH: usize = 2;

/// What a walk leaves behind.
pub(crate) struct Walked {
    pub(crate) places: Vec<VisitedPlace>,
    pub(crate) drafts: Vec<Draft>,
    pub(crate) unused: Vec<(Range<usize>, &'static str)>,
}

pub(crate) struct Walk<'a> {
    lexicon: &'a Lexicon,
    reading: &'a Reading,
    transcript: &'a Transcript,
    places: Vec<VisitedPlace>,
    /// [`PlaceChange::identity`] of each place.
    identities: Vec<String>,
    place: usize,
    drafts: Vec<Draft>,
    unused: Vec<(Range<usize>, &'static str)>,
    /// What was spoken of last, and in which sentence.
    last: Option<(Named, usize)>,
    /// A sentence that only announced a correction (*No, right.*).
    correcting: bool,
}

/// Walks through all sentences.
pub(crate) fn walk(lexicon: &Lexicon, reading: &Reading, transcript: &Transcript) -> Walked {
    let mut walk = Walk {
        lexicon,
        reading,
        transcript,
        places: Vec::new(),
        identities: Vec::new(),
        place: usize::MAX,
        drafts: Vec::new(),
        unused: Vec::new(),
        last: None,
        correcting: false,
    };
    for (index, sentence) in reading.sentences.iter().enumerate() {
        walk.sentence(index, sentence);
    }
    Walked {
        places: walk.places,
        drafts: walk.drafts,
        unused: walk.unused,
    }
}

impl Walk<'_> {
    fn sentence(&mut self, index: usize, sentence: &Sentence) {
        let whole = sentence.tokens.clone();
        let again = matches!(self.word(whole.start), "same" | "ditto")
            || self.phrase(&whole, "same-again").is_some();
        let recap = self.phrase_opens("recap", &whole) && !self.drafts.is_empty() && !again;
        if recap || self.phrase(&whole, "running-total").is_some() {
            self.unused.push((whole, "said again or counted"));
            return;
        }
        let from = self.follow_places(sentence);
        let rest = from..sentence.tokens.end;
        let announced = std::mem::take(&mut self.correcting);
        if self.correct_last(index, &rest, announced) {
            return;
        }
        if self.measured_again(index, &rest) {
            return;
        }
        let struck = self.replaced(sentence, from);
        let last = self
            .last
            .as_ref()
            .filter(|(_, at)| index - at <= REACH)
            .map(|(named, _)| named.clone());
        let scene = Scene {
            lexicon: self.lexicon,
            reading: self.reading,
            sentence,
            from,
            struck: &struck,
            last: last.as_ref(),
        };
        let again = self
            .phrase(&rest, "same-again")
            .map(|i| self.reading.pieces[i].tokens.clone());
        let made_from = self.drafts.len();
        let added_to_last = self.frames(index, &scene, again.as_ref());
        if let Some(again) = again.filter(|a| {
            self.drafts.len() == made_from
                || self.drafts[made_from..]
                    .iter()
                    .all(|d| d.tokens.end <= a.start + 1)
        }) {
            self.repeat(index, &scene, &again);
        }
        self.withdraw(index, &scene, made_from);
        self.attach(index, &scene, made_from, added_to_last);
        self.remember(index, &scene, made_from);
        if self.drafts.len() == made_from && !added_to_last {
            self.note_unused(&scene);
        }
    }

    /// Moves to the places that the sentence names; returns where the sentence goes on.
    fn follow_places(&mut self, sentence: &Sentence) -> usize {
        let mut from = sentence.tokens.start;
        let inside = self
            .places
            .get(self.place)
            .is_some_and(|p| matches!(p.kind.as_str(), "room" | "common" | "loft" | "garage"));
        for change in place::changes(self.lexicon, self.reading, sentence, inside) {
            // A subject stays in the sentence: "Landing's damp".
            if change.outright {
                from = change.tokens.end;
            }
            self.go_to(&change, sentence);
        }
        if self.place != usize::MAX
            && let Some(visit) = self.places[self.place].visits.last_mut()
        {
            extend(visit, self.transcript, self.reading, &sentence.tokens);
        }
        from
    }

    fn go_to(&mut self, change: &PlaceChange, sentence: &Sentence) {
        let recording = self.recording(change.tokens.start);
        self.place = match self.identities.iter().position(|p| *p == change.identity) {
            Some(at) => at,
            None => {
                self.places.push(VisitedPlace {
                    name: change.name.clone(),
                    kind: change.kind.clone(),
                    visits: Vec::new(),
                });
                self.identities.push(change.identity.clone());
                self.places.len() - 1
            }
        };
        let mut visit = Visit {
            recording,
            span: None,
        };
        extend(
            &mut visit,
            self.transcript,
            self.reading,
            &(change.tokens.start..sentence.tokens.end),
        );
        self.places[self.place].visits.push(visit);
        self.last = None;
    }

    fn recording(&self, token: usize) -> u32 {
        self.reading
            .tokens
            .get(token)
            .map_or(1, |t| self.transcript.words[t.word].recording)
    }

    fn here(&mut self) -> usize {
        if self.place == usize::MAX {
            self.places.push(VisitedPlace {
                name: NO_PLACE.into(),
                kind: "whole".into(),
                visits: Vec::new(),
            });
            self.identities.push(NO_PLACE.into());
            self.place = self.places.len() - 1;
        }
        self.place
    }

    /// The current place; before any was named, the front for things that are outside, since
    /// walk-rounds begin at the front (common practice, no source).
    fn here_for(&mut self, scene: &Scene<'_>, reasons: &mut Vec<String>) -> usize {
        let named = scene.pieces(PieceKind::Element);
        let outside = named
            .iter()
            .filter_map(|&i| self.reading.pieces[i].term)
            .any(|t| {
                self.lexicon.element(t).found.iter().any(|f| {
                    matches!(
                        f,
                        Found::Kind(PlaceKind::Elevation | PlaceKind::Outside | PlaceKind::Roof)
                    )
                })
            });
        if self.place == usize::MAX && outside {
            reasons.push("no place named yet: taken to be the front".into());
            self.places.push(VisitedPlace {
                name: FRONT.into(),
                kind: "elevation".into(),
                visits: Vec::new(),
            });
            self.identities.push(FRONT.into());
            self.place = self.places.len() - 1;
        }
        self.here()
    }

    /// Returns the index of the first phrase of a kind in `range`.
    fn phrase(&self, range: &Range<usize>, kind: &str) -> Option<usize> {
        self.reading.within(range).find(|&i| {
            self.reading.pieces[i].kind == PieceKind::Phrase && self.reading.pieces[i].text == kind
        })
    }

    fn phrase_opens(&self, kind: &str, range: &Range<usize>) -> bool {
        self.phrase(range, kind).is_some_and(|i| {
            let start = self.reading.pieces[i].tokens.start;
            (range.start..start)
                .all(|at| opener(self.word(at)) || class(self.word(at)) != Class::Open)
        })
    }

    fn word(&self, at: usize) -> &str {
        &self.reading.tokens[at].norm
    }

    fn kinds_in(&self, range: &Range<usize>, kind: PieceKind) -> Vec<usize> {
        self.reading
            .within(range)
            .filter(|&i| self.reading.pieces[i].kind == kind && !self.reading.pieces[i].negated)
            .collect()
    }

    /// A sentence that corrects the last item: *Sorry, I mean the right hand one.* True if it was one.
    fn correct_last(&mut self, index: usize, range: &Range<usize>, announced: bool) -> bool {
        let opens = self.phrase_opens("correction", range)
            || (range.len() > 1
                && self.word(range.start) == "no"
                && self.reading.sentences[index].clauses.len() > 1
                && self.kinds_in(range, PieceKind::Defect).is_empty()
                && range.len() <= 8);
        let wrong = self.kinds_in(range, PieceKind::Defect);
        let recent = self
            .drafts
            .last()
            .is_some_and(|d| index - d.sentence <= REACH && d.withdrawn.is_none());
        if !(opens || announced) || !wrong.is_empty() || !recent {
            return false;
        }
        let reading = self.reading;
        // What counts is what follows the last correction: "I say left. It's the right hand one".
        let positions = position::of_words(&reading.tokens, range.clone());
        let measures = self.kinds_in(range, PieceKind::Measure);
        let counts = self.kinds_in(range, PieceKind::Count);
        let element = self.kinds_in(range, PieceKind::Element);
        let place = self.kinds_in(range, PieceKind::Place);
        if positions.is_none()
            && measures.is_empty()
            && counts.is_empty()
            && place.is_empty()
            && element.is_empty()
        {
            self.correcting = !announced && range.len() <= 4;
            return self.correcting;
        }
        let named_place = place
            .last()
            .map(|&p| place::identity(self.lexicon, &reading.pieces[p]));
        let target = named_place.and_then(|name| self.identities.iter().position(|p| *p == name));
        let Some(draft) = self.drafts.last_mut() else {
            return false;
        };
        if let Some(position) = positions {
            draft.positions.retain(|p| !position::opposes(p, &position));
            draft.positions.push(position);
        }
        if let Some(&m) = measures.first() {
            draft.measures = vec![reading.pieces[m].value as usize];
        }
        if let Some(&c) = counts.first() {
            draft.count = Some(reading.pieces[c].value);
        }
        if let Some(at) = target {
            draft.place = at;
        }
        draft.cover(range);
        draft.clauses.push(range.clone());
        draft
            .reasons
            .push("corrected by the sentence after it".into());
        true
    }

    /// *Gap of fifteen, no, cancel that, I can't read my tape. Five mil.*: what was taken back stands
    /// again with the new figure.
    fn measured_again(&mut self, index: usize, range: &Range<usize>) -> bool {
        let measures = self.kinds_in(range, PieceKind::Measure);
        let only = !measures.is_empty()
            && [PieceKind::Element, PieceKind::Defect]
                .iter()
                .all(|&k| self.kinds_in(range, k).is_empty());
        let Some(draft) = self
            .drafts
            .last_mut()
            .filter(|d| only && d.withdrawn.is_some() && d.sentence + 1 == index)
        else {
            return false;
        };
        draft.withdrawn = None;
        draft.measures = vec![self.reading.pieces[measures[0]].value as usize];
        draft.cover(range);
        draft.reasons.push("measured again".into());
        true
    }

    /// Tokens that the rest of the same sentence replaces: *right hand, no, left hand corner*.
    fn replaced(&self, sentence: &Sentence, from: usize) -> Vec<Range<usize>> {
        let mut struck = Vec::new();
        for (at, clause) in sentence.clauses.iter().enumerate() {
            let start = clause.tokens.start.max(from);
            let bare_no =
                clause.tokens.len() <= 2 && self.word(clause.tokens.start) == "no" && at > 0;
            let cue = self
                .phrase(&clause.tokens, "correction")
                .map(|i| self.reading.pieces[i].tokens.clone());
            let Some(cue) = cue
                .or(bare_no.then(|| clause.tokens.clone()))
                .filter(|c| c.start >= start && c.start > from)
            else {
                continue;
            };
            let before = from..cue.start;
            // The corrected words follow in the same clause, or in the next one or two.
            let until = sentence.clauses[at..]
                .iter()
                .take(3)
                .last()
                .map_or(cue.end, |c| c.tokens.end);
            let after = cue.end..until;
            for kind in [
                PieceKind::Measure,
                PieceKind::Count,
                PieceKind::Defect,
                PieceKind::Place,
            ] {
                let next = self.kinds_in(&after, kind);
                let previous = self.kinds_in(&before, kind);
                if let (Some(_), Some(&old)) = (next.first(), previous.last()) {
                    struck.push(self.reading.pieces[old].tokens.clone());
                }
            }
            if position::of_words(&self.reading.tokens, after.clone()).is_some()
                && let Some(old) = position::last_words(&self.reading.tokens, before)
            {
                struck.push(old);
            }
        }
        struck
    }

    /// Makes items from the sentence's defects; returns true where it only added to the last item.
    fn frames(&mut self, index: usize, scene: &Scene<'_>, again: Option<&Range<usize>>) -> bool {
        let made_from = self.drafts.len();
        let mut added = false;
        for at in scene.pieces(PieceKind::Defect) {
            let defect = &self.reading.pieces[at];
            let clause = scene.clause(defect.tokens.start);
            if defect.negated || self.set_aside(scene, &clause, defect) {
                continue;
            }
            let elsewhere = self.elsewhere(&(scene.from..defect.tokens.start));
            let weak = defect.term.is_some_and(|t| self.lexicon.defect(t).weak);
            let with_no = wants_object(&self.reading.tokens, defect)
                && self.drafts[made_from..]
                    .last()
                    .is_some_and(|d| d.defects[0].text != crate::statements::faults::MISSING);
            let join = scene
                .sentence
                .clauses
                .iter()
                .rfind(|c| c.tokens.start <= defect.tokens.start)
                .map(|c| c.join);
            let own_element = scene
                .pieces(PieceKind::Element)
                .into_iter()
                .any(|i| clause.contains(&self.reading.pieces[i].tokens.start));
            // "That's a trip hazard": how much the last item matters.
            if defect.text.ends_with("hazard") || defect.text.ends_with("risk") {
                let named = scene.pieces(PieceKind::Element).into_iter().any(|i| {
                    clause.contains(&self.reading.pieces[i].tokens.start)
                        && !scene.in_phrase(&scene.noun(i))
                        && self.reading.pieces[i].tokens.end <= defect.tokens.start
                });
                if let (false, Some(draft)) = (
                    named,
                    self.drafts
                        .last_mut()
                        .filter(|d| index - d.sentence <= REACH),
                ) {
                    draft.safety = true;
                    draft.cover(&clause);
                    added = true;
                    continue;
                }
            }
            let Some(choice) = scene.element_for(defect) else {
                continue;
            };
            // An everyday word is a fault only of a thing that the sentence names.
            if weak
                && (choice.carried
                    || choice.element.term.is_none()
                        && !choice
                            .here
                            .as_ref()
                            .is_some_and(|h| clause.contains(&h.start)))
            {
                continue;
            }
            if again.is_some_and(|a| defect.tokens.start >= a.start)
                && (choice.carried
                    || choice.element.term.is_none() && wants_object(&self.reading.tokens, defect))
            {
                continue;
            }
            let strong = defect.term.is_some_and(|t| !self.lexicon.defect(t).weak);
            if self.drafts.len() > made_from {
                let current = self.drafts.len() - 1;
                let same = choice.here.is_some()
                    && self.drafts[made_from..]
                        .iter()
                        .any(|d| d.element.tokens == choice.element.tokens);
                let further = with_no
                    && (join == Some(Join::Comma)
                        || self.word(defect.tokens.start) == "without"
                        || self.word(defect.tokens.start) == "with");
                let figure = defect.term.is_none()
                    && (defect.text.starts_with("too ") || defect.text.starts_with("gap too "));
                let aside = further
                    || figure
                    || join == Some(Join::So) && !own_element
                    || choice.carried
                    || (choice.element.term.is_none() && join != Some(Join::And));
                if same || aside {
                    let draft = if same {
                        self.drafts[made_from..]
                            .iter()
                            .position(|d| d.element.tokens == choice.element.tokens)
                            .map_or(current, |p| p + made_from)
                    } else {
                        current
                    };
                    self.also(draft, defect, &choice, &clause);
                    continue;
                }
            } else if choice.carried {
                let joined = self
                    .drafts
                    .len()
                    .checked_sub(1)
                    .filter(|_| !elsewhere)
                    .filter(|&d| {
                        let draft = &self.drafts[d];
                        draft.withdrawn.is_none()
                            && index - draft.sentence <= REACH
                            && draft.element.tokens == choice.element.tokens
                    });
                if let Some(draft) = joined {
                    self.also(draft, defect, &choice, &clause);
                    added = true;
                    continue;
                }
                if !strong && !wants_object(&self.reading.tokens, defect) && defect.term.is_some() {
                    continue;
                }
            } else if choice.element.term.is_none()
                && defect.term.is_none_or(|t| self.lexicon.defect(t).weak)
                && !FAULT_SHAPES.iter().any(|s| defect.text.starts_with(s))
            {
                // Neither the thing nor the fault is known: too little to go by.
                self.unused
                    .push((clause.clone(), "neither element nor defect known"));
                continue;
            }
            if self.place == usize::MAX && !self.certain(scene, defect, &choice) {
                continue;
            }
            self.make(index, scene, defect, choice, &clause);
        }
        added
    }

    /// *on the other one*, *next one along*: another thing of the same kind.
    fn elsewhere(&self, range: &Range<usize>) -> bool {
        range.clone().any(|t| {
            matches!(self.word(t), "other" | "next" | "second" | "third" | "last")
                && self.reading.tokens.get(t + 1).is_some_and(|n| {
                    matches!(n.norm.as_str(), "one" | "ones" | "side" | "door" | "window")
                })
        })
    }

    /// Before any place is named, most of what is said is introduction: only a known element with a
    /// fault that befalls it counts.
    fn certain(&self, scene: &Scene<'_>, defect: &Piece, choice: &Choice) -> bool {
        let known = scene.pieces(PieceKind::Element).into_iter().any(|i| {
            self.reading.pieces[i]
                .term
                .is_some_and(|t| !self.lexicon.element(t).weak)
        });
        known
            && choice.element.term.or(defect.term).is_some()
            && defect.term.is_some_and(|t| !self.lexicon.defect(t).weak)
    }

    /// True where the clause only supposes, asks, or goes on to say that all is well.
    fn set_aside(&self, scene: &Scene<'_>, clause: &Range<usize>, defect: &Piece) -> bool {
        let supposed = self
            .phrase(clause, "hypothetical")
            .is_some_and(|i| self.reading.pieces[i].tokens.start < defect.tokens.start);
        let asked = scene.sentence.question && self.phrase_opens("question", clause);
        let fine = self.phrase(clause, "positive").is_some();
        supposed || asked || fine
    }

    fn also(&mut self, draft: usize, defect: &Piece, choice: &Choice, clause: &Range<usize>) {
        let mut named = fault(defect);
        if wants_object(&self.reading.tokens, defect) {
            named.text = format!("no {}", choice.element.text);
        }
        let draft = &mut self.drafts[draft];
        if !draft.defects.iter().any(|d| d.text == named.text) {
            draft.defects.push(named);
        }
        draft.cover(clause);
        if !draft.clauses.contains(clause) {
            draft.clauses.push(clause.clone());
        }
    }

    fn make(
        &mut self,
        index: usize,
        scene: &Scene<'_>,
        defect: &Piece,
        choice: Choice,
        clause: &Range<usize>,
    ) {
        let host = self.host(scene, defect, &choice);
        let mut element = choice.element;
        let mut main = fault(defect);
        let mut reasons = Vec::new();
        match host {
            // "Extract valve, there's no airflow": what is missing is no part that could be fitted.
            Some(host) if element.term.is_none() && wants_object(&self.reading.tokens, defect) => {
                main.text = format!("no {}", element.text);
                element = host;
            }
            Some(host) => element.text = format!("{} {}", host.text, element.text),
            None => {}
        }
        if choice.carried {
            reasons.push("element from the sentence before".into());
        }
        let mut clauses = vec![clause.clone()];
        if let Some(here) = &choice.here {
            let own = scene.clause(here.start);
            if own != *clause {
                clauses.insert(usize::from(own.start > clause.start), own);
            }
        }
        let mut positions: Vec<String> = choice.position.into_iter().collect();
        for range in &clauses {
            for phrase in position::phrases(self.reading, range, &element.tokens) {
                if !positions.contains(&phrase) {
                    positions.push(phrase);
                }
            }
        }
        let mut tokens = clause.clone();
        for c in &clauses {
            tokens = tokens.start.min(c.start)..tokens.end.max(c.end);
        }
        let place = self.here_for(scene, &mut reasons);
        self.drafts.push(Draft {
            place,
            element,
            element_carried: choice.carried,
            defects: vec![main],
            defect_carried: false,
            positions,
            count: None,
            measures: Vec::new(),
            remedies: Vec::new(),
            trade: None,
            hedged: false,
            watch: false,
            photo: false,
            safety: false,
            remarks: Vec::new(),
            tokens,
            clauses,
            sentence: index,
            withdrawn: None,
            reasons,
        });
    }

    /// The larger thing that a part belongs to, where the sentence or the one before names it:
    /// *Meter box door, **hinge** snapped*; *it's got no **closer***.
    fn host(&self, scene: &Scene<'_>, defect: &Piece, choice: &Choice) -> Option<Named> {
        let here = choice.here.as_ref()?;
        let clause = scene.clause(defect.tokens.start);
        // "it's got no closer": what has it is the host; "there's no restrictor on the window" names it after.
        let has_got = wants_object(&self.reading.tokens, defect)
            && clause.clone().take_while(|&t| t < here.start).any(|t| {
                matches!(
                    self.word(t),
                    "got" | "has" | "have" | "lost" | "missing" | "without" | "it"
                )
            });
        let part_of = choice
            .element
            .term
            .map_or(&[][..], |t| &self.lexicon.element(t).part_of);
        let belongs = |host: &Named| {
            let fits = match (choice.element.term, host.term) {
                (None, _) => true,
                (Some(_), Some(h)) => part_of.contains(&h) || has_got,
                _ => has_got,
            };
            fits && !choice.element.text.contains(host.text.as_str())
                && !host.text.contains(choice.element.text.as_str())
        };
        let earlier = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .rev()
            .map(|i| (i, scene.noun(i)))
            .find(|(_, noun)| noun.tokens.end <= here.start && !scene.in_phrase(noun));
        if let Some((piece, noun)) = earlier {
            let how = self.reading.pieces[piece].how;
            let host = Named {
                text: noun.text,
                term: noun.term,
                how,
                tokens: noun.tokens,
            };
            return belongs(&host).then_some(host);
        }
        let pronoun = scene
            .clause(defect.tokens.start)
            .any(|t| matches!(self.word(t), "it" | "they" | "them"));
        scene.last.filter(|host| pronoun && belongs(host)).cloned()
    }

    /// *Same again on the other window*: a new item like an earlier one.
    fn repeat(&mut self, index: usize, scene: &Scene<'_>, again: &Range<usize>) {
        let rest = again.end.min(scene.sentence.tokens.end)..scene.sentence.tokens.end;
        let before = scene.from..again.start;
        let acceptable = |noun: &Noun| {
            let mut at = noun.tokens.start;
            while at > scene.from
                && matches!(
                    class(self.word(at - 1)),
                    Class::Determiner | Class::Number | Class::Position
                )
            {
                at -= 1;
            }
            at == scene.from
                || class(self.word(at - 1)) != Class::Preposition
                || matches!(
                    self.word(at - 1),
                    "with" | "on" | "to" | "for" | "of" | "round" | "around" | "in"
                )
                || at <= again.end
        };
        let find = |range: &Range<usize>| {
            scene
                .pieces(PieceKind::Element)
                .into_iter()
                .filter(|&i| range.contains(&self.reading.pieces[i].tokens.start))
                .map(|i| (i, scene.noun(i)))
                .find(|(_, noun)| acceptable(noun))
        };
        let element = find(&rest).or_else(|| {
            if self.drafts.last().is_some_and(|d| d.sentence == index) {
                None
            } else {
                find(&before)
            }
        });
        let named_place = self
            .reading
            .within(&rest)
            .find(|&i| self.reading.pieces[i].kind == PieceKind::Place)
            .map(|i| place::identity(self.lexicon, &self.reading.pieces[i]));
        let said_defects = self.kinds_in(&scene.sentence.tokens, PieceKind::Defect);
        // "Ditto the beard": an unknown word may be the misheard name of an earlier item's element.
        let unknown = element
            .is_none()
            .then(|| {
                noun::object_after(
                    &self.reading.tokens,
                    &self.reading.pieces,
                    again.end.min(rest.end),
                    rest.end,
                )
            })
            .flatten();
        let likeness = |draft: &Draft| -> f32 {
            let mut score = 0.0;
            if unknown
                .as_ref()
                .is_some_and(|n| sounds_near(&n.text, &draft.element.text))
            {
                score += 1.0;
            }
            if named_place
                .as_ref()
                .is_some_and(|p| self.identities[draft.place] == *p)
            {
                score += 2.0;
            }
            if let Some((_, noun)) = &element {
                let shares = |a: &str, b: &str| {
                    a.split(' ').any(|w| {
                        w.len() > 2
                            && b.split(' ')
                                .any(|v| v.trim_end_matches('s') == w.trim_end_matches('s'))
                    })
                };
                if noun.term.is_some() && noun.term == draft.element.term {
                    score += 2.0;
                } else if shares(&noun.text, &draft.element.text) {
                    score += 1.5;
                }
            }
            if said_defects.iter().any(|&d| {
                draft
                    .defects
                    .iter()
                    .any(|n| n.term.is_some() && n.term == self.reading.pieces[d].term)
            }) {
                score += 2.0;
            }
            score
        };
        let referent = self
            .drafts
            .iter()
            .enumerate()
            .rev()
            .filter(|(_, d)| d.withdrawn.is_none())
            .map(|(at, d)| (likeness(d), at))
            .fold(None, |best: Option<(f32, usize)>, next| {
                if best.is_none_or(|b| next.0 > b.0) {
                    Some(next)
                } else {
                    best
                }
            });
        let Some((_, at)) = referent else { return };
        let earlier = self.drafts[at].clone();
        let range = scene.clause(again.start);
        let whole = scene.from.min(range.start)..scene.sentence.tokens.end;
        let tokens = if self.drafts.last().is_some_and(|d| d.sentence == index) {
            range.start..scene.sentence.tokens.end
        } else {
            whole
        };
        let named = element.map(|(i, noun)| Named {
            text: noun.text,
            term: noun.term,
            how: self.reading.pieces[i].how,
            tokens: noun.tokens,
        });
        let carried = named.is_none();
        let element = named.unwrap_or(earlier.element);
        let which = tokens
            .clone()
            .find(|&t| {
                t > again.end
                    && matches!(self.word(t), "one" | "ones")
                    && class(self.word(t - 1)) != Class::Determiner
                    && class(self.word(t - 1)) != Class::Preposition
            })
            .map(|t| {
                let start = (again.start..t)
                    .rev()
                    .take_while(|&b| {
                        !matches!(
                            class(self.word(b)),
                            Class::Determiner | Class::Preposition | Class::Verb | Class::Pronoun
                        )
                    })
                    .last()
                    .unwrap_or(t);
                (start..=t)
                    .map(|b| self.word(b))
                    .collect::<Vec<_>>()
                    .join(" ")
            });
        let positions: Vec<String> = position::phrases(self.reading, &tokens, &element.tokens)
            .into_iter()
            .chain(position::of_words(&self.reading.tokens, tokens.clone()))
            .chain(which)
            .collect();
        let place = self.here();
        if carried && positions.is_empty() && place == earlier.place {
            return;
        }
        self.drafts.push(Draft {
            place,
            element,
            element_carried: carried,
            defects: earlier.defects[..1].to_vec(),
            defect_carried: true,
            positions,
            count: None,
            measures: Vec::new(),
            remedies: earlier.remedies,
            trade: earlier.trade,
            hedged: false,
            watch: false,
            photo: false,
            safety: earlier.safety,
            remarks: Vec::new(),
            clauses: vec![tokens.clone()],
            tokens,
            sentence: index,
            withdrawn: None,
            reasons: vec!["said to be the same as an earlier item".into()],
        });
    }

    /// *…, call it two mil, and that's within what I'd allow, so pass*: a later clause without an
    /// element of its own that finds it in order takes back what stands before it.
    fn dismiss(&mut self, scene: &Scene<'_>, made_from: usize) {
        for clause in &scene.sentence.clauses {
            let range = clause.tokens.start.max(scene.from)..clause.tokens.end;
            let names = self.kinds_in(&range, PieceKind::Element);
            let verdict = range.clone().any(|t| {
                matches!(
                    self.word(t),
                    "that"
                        | "it"
                        | "this"
                        | "so"
                        | "they"
                        | "pass"
                        | "passes"
                        | "within"
                        | "happy"
                        | "fine"
                        | "okay"
                        | "ok"
                )
            });
            let fine = self.phrase(&range, "positive").is_some() && names.is_empty() && verdict;
            let last = clause.tokens.end == scene.sentence.tokens.end;
            let no = last
                && range.len() == 1
                && matches!(
                    self.word(range.start),
                    "no" | "pass" | "passes" | "fine" | "okay" | "nothing"
                )
                && clause.join != Join::Start;
            if !(fine || no) || !self.kinds_in(&range, PieceKind::Defect).is_empty() {
                continue;
            }
            for draft in &mut self.drafts[made_from..] {
                if draft.tokens.end <= range.start + 1 {
                    draft.withdrawn = Some("found to be in order".into());
                }
            }
        }
    }

    /// *scratch that*, *leave it*: takes back this sentence's items, or else the last one.
    fn withdraw(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) {
        self.dismiss(scene, made_from);
        let rest = scene.from..scene.sentence.tokens.end;
        let Some(cue) = self
            .phrase(&rest, "withdrawal")
            .map(|i| self.reading.pieces[i].tokens.clone())
        else {
            return;
        };
        let why = "taken back by the speaker";
        let said = scene
            .sentence
            .clauses
            .iter()
            .find(|c| c.tokens.contains(&cue.start))
            .map_or(cue.clone(), |c| c.tokens.clone());
        if self.drafts.len() > made_from {
            for draft in &mut self.drafts[made_from..] {
                if draft.defects[0].tokens.start < cue.start || draft.defect_carried {
                    draft.withdrawn = Some(why.into());
                }
            }
            return;
        }
        let named = self
            .kinds_in(&(said.start..rest.end), PieceKind::Element)
            .first()
            .map(|&i| self.reading.pieces[i].term);
        let light = (scene.from..cue.start)
            .all(|t| class(self.word(t)) != Class::Open || opener(self.word(t)))
            && self
                .kinds_in(&(scene.from..cue.start), PieceKind::Measure)
                .is_empty();
        // What was spoken of last is still the last item's element.
        let unchanged = match (&self.last, self.drafts.last()) {
            (Some((last, _)), Some(draft)) => {
                last.tokens == draft.element.tokens
                    && !scene
                        .pieces(PieceKind::Element)
                        .into_iter()
                        .any(|i| !scene.in_phrase(&scene.noun(i)))
            }
            _ => false,
        };
        let target = match named {
            Some(term) => self
                .drafts
                .iter()
                .rposition(|d| d.element.term == term && d.withdrawn.is_none()),
            None if light || unchanged => self
                .drafts
                .len()
                .checked_sub(1)
                .filter(|&d| index - self.drafts[d].sentence <= REACH),
            None => None,
        };
        if let Some(at) = target {
            self.drafts[at].withdrawn = Some(why.into());
        }
    }

    /// Gives measurements, counts, remedies, hedges and the rest to the items they belong to.
    fn attach(&mut self, index: usize, scene: &Scene<'_>, made_from: usize, added: bool) {
        let reading = self.reading;
        let rest = scene.from..scene.sentence.tokens.end;
        let made = made_from..self.drafts.len();
        let own_subject = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| !scene.in_phrase(&scene.noun(i)));
        let positive = self.phrase(&rest, "positive").is_some();
        let previous = made_from.checked_sub(1).filter(|&d| {
            let draft = &self.drafts[d];
            index - draft.sentence <= REACH
                && draft.place == self.place
                && draft.withdrawn.is_none()
                && !positive
                && (added || !own_subject)
        });
        let nearest = |drafts: &[Draft], at: usize| -> Option<usize> {
            if made.is_empty() {
                return previous;
            }
            made.clone().min_by_key(|&d| {
                let draft = &drafts[d];
                let gap = |r: &Range<usize>| {
                    if at < r.start {
                        (r.start - at) * 2
                    } else {
                        at.saturating_sub(r.end)
                    }
                };
                draft
                    .defects
                    .iter()
                    .map(|n| gap(&n.tokens))
                    .min()
                    .unwrap_or(usize::MAX)
            })
        };
        for i in reading.within(&rest) {
            let piece = &reading.pieces[i];
            if scene.struck.iter().any(|r| r.contains(&piece.tokens.start)) {
                continue;
            }
            let Some(target) = nearest(&self.drafts, piece.tokens.start) else {
                continue;
            };
            let clause = scene.clause(piece.tokens.start);
            let draft = &mut self.drafts[target];
            match piece.kind {
                PieceKind::Measure if !draft.measures.contains(&(piece.value as usize)) => {
                    draft.measures.push(piece.value as usize);
                    draft.cover(&clause);
                }
                PieceKind::Count if draft.count.is_none() && counts_things(reading, i) => {
                    draft.count = Some(piece.value)
                }
                PieceKind::Remedy => {
                    draft
                        .remedies
                        .retain(|(r, _)| r.start >= draft.tokens.start || !draft.defect_carried);
                    if !draft.remedies.iter().any(|(r, _)| {
                        r.start == piece.tokens.start
                            || (clause.start..=r.start).contains(&piece.tokens.start)
                                && clause.contains(&r.start)
                    }) {
                        draft.remedies.push((
                            piece.tokens.start..clause.end.max(piece.tokens.end),
                            piece.term,
                        ));
                    }
                    draft.cover(&clause);
                }
                PieceKind::Trade => draft.trade = draft.trade.or(piece.term),
                PieceKind::Phrase => match piece.text.as_str() {
                    "hedge" if made.contains(&target) => draft.hedged = true,
                    "watch" => draft.watch = true,
                    "photo" => draft.photo = true,
                    "severity-word" => {
                        draft.safety |= safety_words(
                            &reading.tokens[piece.tokens.clone()]
                                .iter()
                                .map(|t| t.norm.as_str())
                                .collect::<Vec<_>>(),
                        );
                    }
                    _ => {}
                },
                _ => {}
            }
        }
        if made.is_empty()
            && let Some(at) = previous
            && self
                .kinds_in(&rest, PieceKind::Phrase)
                .iter()
                .all(|&i| !matches!(reading.pieces[i].text.as_str(), "chat" | "question"))
        {
            self.drafts[at].remarks.push(rest);
        }
    }

    /// Keeps what the sentence is about for the next one.
    fn remember(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) {
        if let Some(draft) = self.drafts.get(made_from..).and_then(|d| d.last()) {
            self.last = Some((draft.element.clone(), index));
            return;
        }
        let rest = scene.from..scene.sentence.tokens.end;
        let subject = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .map(|i| (i, scene.noun(i)))
            .find(|(_, noun)| !scene.in_phrase(noun));
        if self.phrase(&rest, "positive").is_some() || self.phrase(&rest, "withdrawal").is_some() {
            self.last = None;
        } else if let Some((piece, noun)) = subject {
            let how = self.reading.pieces[piece].how;
            self.last = Some((
                Named {
                    text: noun.text,
                    term: noun.term,
                    how,
                    tokens: noun.tokens,
                },
                index,
            ));
        }
    }

    fn note_unused(&mut self, scene: &Scene<'_>) {
        let elements = scene
            .pieces(PieceKind::Element)
            .into_iter()
            .any(|i| !self.reading.pieces[i].negated);
        let rest = scene.from..scene.sentence.tokens.end;
        if rest.is_empty() || self.previous_remark(&rest) {
            return;
        }
        let why = if self.phrase(&rest, "positive").is_some() {
            "said to be in order"
        } else if elements {
            "no defect named"
        } else {
            "nothing of the building named"
        };
        self.unused.push((rest, why));
    }

    fn previous_remark(&self, range: &Range<usize>) -> bool {
        self.drafts
            .last()
            .is_some_and(|d| d.remarks.contains(range))
    }
}

/// Nobody counts more than this of one defect in one breath; larger numbers are sizes.
const LARGEST_COUNT: u32 = 50;

/// True where the number stands before *of*, or shortly before what it counts.
fn counts_things(reading: &Reading, count: usize) -> bool {
    let piece = &reading.pieces[count];
    let end = piece.tokens.end;
    let of = reading.tokens[piece.tokens.clone()]
        .iter()
        .any(|t| t.norm == "of")
        || reading.tokens.get(end).is_some_and(|t| t.norm == "of");
    let next = reading.pieces.get(count + 1).is_some_and(|p| {
        p.tokens.start < end + 3 && matches!(p.kind, PieceKind::Element | PieceKind::Defect)
    });
    piece.value <= LARGEST_COUNT && (of || next)
}

fn fault(defect: &Piece) -> Named {
    Named {
        text: defect.text.clone(),
        term: defect.term,
        how: defect.how,
        tokens: defect.tokens.clone(),
    }
}

/// How the faults begin that are told by the shape of the words alone; with an element in the
/// speaker's own words they still make an item.
const FAULT_SHAPES: &[&str] = &[
    "not ",
    "too ",
    "gap too ",
    "will not ",
    "does not ",
    "cannot ",
    "out of ",
    "full of ",
    "left ",
];

/// Letters that may differ between a misheard word and the name it repeats.
const LETTERS_APART: u64 = 1;

/// True where the last words of both differ by a letter or none.
fn sounds_near(heard: &str, name: &str) -> bool {
    let last = |text: &str| {
        text.rsplit(' ')
            .next()
            .unwrap_or_default()
            .chars()
            .collect::<Vec<_>>()
    };
    let (a, b) = (last(heard), last(name));
    a.len().min(b.len()) > 3 && distance(&a, &b, Costs::UNIT) <= LETTERS_APART
}

fn safety_words(words: &[&str]) -> bool {
    words.iter().any(|w| {
        w.starts_with("safe")
            || matches!(
                *w,
                "danger"
                    | "dangerous"
                    | "hazard"
                    | "unsafe"
                    | "risk"
                    | "shock"
                    | "burn"
                    | "scald"
                    | "trip"
                    | "fall"
                    | "fire"
                    | "high"
            )
    })
}

fn extend(visit: &mut Visit, transcript: &Transcript, reading: &Reading, tokens: &Range<usize>) {
    for token in &reading.tokens[tokens.clone()] {
        let word = &transcript.words[token.word];
        if let (true, Some(span)) = (word.recording == visit.recording, word.span) {
            visit.span = Some(visit.span.map_or(span, |v| v.cover(span)));
        }
    }
}
