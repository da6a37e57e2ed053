//! What is known around one confirmed item, and the lessons about its element and its defect.

use super::draw::{Drawn, sighting};
use super::lesson::{Called, Sighting, Teaching};
use super::name::{Facts, Name};
use super::stretch::{REACH, find, in_tokens, limit, names_something, spot, within, words_of};
use super::study::Study;
use super::voice::sought;
use crate::items::Item;
use crate::lexicon::{Hit, How, Kind, Lexicon, Token};
use crate::statements::grammar::{Class, class};
use std::collections::BTreeSet;
use std::ops::Range;

/// The longest run of unexplained words that is taken for one name.
const LONGEST_WORDING: usize = 3;

/// The most words of a name that is taken from a correction alone: longer ones describe.
const LONGEST_NAME: usize = 2;

/// What is known around one confirmed item.
pub(super) struct Corner<'a> {
    pub(super) study: &'a Study<'a>,
    pub(super) job: usize,
    pub(super) item: &'a Item,
    pub(super) chosen: Facts,
    /// What is proposed for it today.
    proposed: Option<&'a Item>,
    /// The tokens that it rests on; `None` where it was written by hand and nothing sounds like it.
    pub(super) said: Option<Range<usize>>,
    /// What today's lexicon finds in and before them.
    hits: Vec<Hit>,
}

impl<'a> Corner<'a> {
    pub(super) fn of(study: &'a Study<'a>, job: usize, index: usize) -> Corner<'a> {
        let lived = &study.jobs[job];
        let item = &lived.confirmed[index];
        let tokens = &study.tokens[job];
        let proposed = study.marks[job].found[index].map(|(p, _)| &study.proposed[job][p]);
        let words = [Some(item), proposed].into_iter().flatten();
        let said = words
            .filter_map(|item| lived.words_of(item))
            .reduce(|a, b| a.start.min(b.start)..a.end.max(b.end))
            .map(|words| in_tokens(tokens, &words))
            .or_else(|| sought(study, job, item));
        let hits = said.as_ref().map(|said| spot(&study.lexicon, tokens, said));
        Corner {
            chosen: Facts::of(&study.lexicon, item),
            study,
            job,
            item,
            proposed,
            said,
            hits: hits.unwrap_or_default(),
        }
    }

    pub(super) fn tokens(&self) -> &'a [Token] {
        &self.study.tokens[self.job]
    }

    pub(super) fn lexicon(&self) -> &'a Lexicon {
        &self.study.lexicon
    }

    pub(super) fn draw(&self, drawn: &mut Drawn) {
        let Some(said) = self.said.clone() else {
            for (kind, name) in [
                (Kind::Element, &self.chosen.element),
                (Kind::Defect, &self.chosen.defect),
            ] {
                self.own_name(kind, name, drawn);
            }
            return;
        };
        let now = self.proposed.map(|item| Facts::of(self.lexicon(), item));
        let wrong =
            |of: fn(&Facts) -> &Name| now.as_ref().is_none_or(|n| of(n) != of(&self.chosen));
        if wrong(|f| &f.element) {
            let text = &self.item.element;
            self.fact(Kind::Element, &self.chosen.element, text, &said, drawn);
        } else {
            self.used(&said, drawn);
        }
        if wrong(|f| &f.defect) {
            let text = &self.item.defect;
            self.fact(Kind::Defect, &self.chosen.defect, text, &said, drawn);
        }
        if wrong(|f| &f.place) && self.opens_place() {
            self.place(&said, drawn);
        }
    }

    /// Lessons about an element or a defect.
    fn fact(&self, kind: Kind, chosen: &Name, text: &str, said: &Range<usize>, drawn: &mut Drawn) {
        let tokens = self.tokens();
        let window = said.start.saturating_sub(REACH)..said.end;
        let heard_already =
            |hit: &Hit| Some(hit.term) == chosen.term() && within(&hit.tokens, said);
        if self.hits.iter().any(heard_already) {
            return;
        }
        let other = match kind {
            Kind::Element => &self.chosen.defect,
            _ => &self.chosen.element,
        };
        let free = |at: usize| {
            !self.hits.iter().any(|hit| {
                hit.how == How::Exact
                    && hit.tokens.contains(&at)
                    && (Some(hit.term) == other.term() || hit.kind == Kind::Remedy)
            })
        };
        match chosen {
            Name::Term(term, _) => {
                let called = self.called(kind, *term);
                if let Some(found) = self.lexicon().closest(tokens, window, *term, free)
                    && found.distance <= limit(self.lexicon(), tokens, &found)
                    && names_something(tokens, &found.tokens)
                {
                    self.heard(&called, &found.tokens, found.distance, other, drawn);
                }
                for run in self.unexplained(kind, said) {
                    self.worded(&called, &run, other, drawn);
                }
            }
            Name::Words(words) if !words.is_empty() => {
                let heard = match self.is_said(text, said) {
                    true => Some((BTreeSet::new(), 0.0)),
                    false => self
                        .lexicon()
                        .closest_words(tokens, window, text, free)
                        .filter(|found| found.distance <= limit(self.lexicon(), tokens, found))
                        .map(|found| {
                            // Everyday words are never the name, but they may have sounded like it.
                            let strange = !self.all_everyday(&found.tokens);
                            let heard = strange.then(|| words_of(tokens, &found.tokens));
                            (heard.into_iter().collect(), found.distance)
                        }),
                };
                if let (Some((heard, distance)), Some(of)) = (heard, self.belongs(kind)) {
                    let term = Called {
                        kind,
                        name: words.clone(),
                    };
                    let teaching = Teaching::Term { term, of, heard };
                    drawn.add(teaching, distance, self.sighting());
                } else {
                    self.own_name(kind, chosen, drawn);
                }
            }
            Name::Words(_) => {}
        }
    }

    /// Returns true where the words of a name stand among those said, of one or of several.
    fn is_said(&self, name: &str, said: &Range<usize>) -> bool {
        let one = self.lexicon().singular(name);
        [name, &one].into_iter().any(|name| {
            let words = self.lexicon().tokens_of(name);
            find(self.tokens(), said, &words_of(&words, &(0..words.len())))
        })
    }

    /// A thing that was understood under a name of the inspector's own: known, it is taken for nothing else.
    fn used(&self, said: &Range<usize>, drawn: &mut Drawn) {
        let Name::Words(name) = &self.chosen.element else {
            return;
        };
        let named =
            name.split(' ').count() <= LONGEST_NAME && self.is_said(&self.item.element, said);
        if named {
            let (kind, name) = (Kind::Element, name.clone());
            let of = self.belongs(kind);
            drawn.used(Called { kind, name }, of, self.sighting());
        }
    }

    /// A name of the inspector's own that nothing heard resembles: the recogniser does not write it, and
    /// is to expect it from now on.
    fn own_name(&self, kind: Kind, chosen: &Name, drawn: &mut Drawn) {
        let Name::Words(name) = chosen else { return };
        let strange = |word: &str| !self.lexicon().everyday(word) && !self.lexicon().has_word(word);
        let named = name.split(' ').count() <= LONGEST_NAME && name.split(' ').any(strange);
        if let (true, Some(of)) = (named, self.belongs(kind)) {
            let name = name.clone();
            let term = Called { kind, name };
            let heard = BTreeSet::new();
            drawn.add(Teaching::Term { term, of, heard }, 1.0, self.sighting());
        }
    }

    /// A stretch that sounds like the chosen term.
    fn heard(
        &self,
        term: &Called,
        stretch: &Range<usize>,
        distance: f32,
        other: &Name,
        drawn: &mut Drawn,
    ) {
        let Some(near) = self.licence(term.kind, stretch, other) else {
            return;
        };
        let teaching = Teaching::HeardAs {
            heard: words_of(self.tokens(), stretch),
            term: term.clone(),
            near,
        };
        drawn.add(teaching, distance, self.sighting());
    }

    /// Words that nothing explains, beside a chosen term that they do not sound like.
    fn worded(&self, term: &Called, run: &Range<usize>, other: &Name, drawn: &mut Drawn) {
        let words = words_of(self.tokens(), run);
        if !self.tokens()[run.clone()]
            .iter()
            .any(|t| self.lexicon().everyday(&t.norm))
        {
            let teaching = Teaching::Wording {
                wording: words,
                term: term.clone(),
            };
            drawn.add(teaching, 1.0, self.sighting());
        } else {
            self.heard(term, run, 1.0, other, drawn);
        }
    }

    /// Returns what must stand near for these words to be heard as a term of this kind: nothing for
    /// words that are not English, any defect (or element) for English ones, the item's own for
    /// everyday ones. `None` where everyday words stand alone.
    fn licence(
        &self,
        kind: Kind,
        stretch: &Range<usize>,
        other: &Name,
    ) -> Option<BTreeSet<String>> {
        let tokens = &self.tokens()[stretch.clone()];
        let own = |hit: &&Hit| {
            Some(hit.term) == other.term()
                && (hit.tokens.end <= stretch.start || stretch.end <= hit.tokens.start)
        };
        let own = self.hits.iter().find(own);
        if tokens.iter().any(|t| !self.lexicon().knows(&t.norm)) {
            return Some(BTreeSet::new());
        }
        if self.all_everyday(stretch) {
            let own = own?;
            return Some(BTreeSet::from([self.lexicon().name(own.term).to_owned()]));
        }
        let any = if kind == Kind::Element {
            "any defect"
        } else {
            "any element"
        };
        own.map(|_| BTreeSet::from([any.to_owned()]))
    }

    pub(super) fn all_everyday(&self, stretch: &Range<usize>) -> bool {
        let tokens = &self.tokens()[stretch.clone()];
        let is_term = |token: &Token| {
            let hits = self.lexicon().spot(std::slice::from_ref(token));
            hits.iter().any(|hit| hit.kind != Kind::Phrase)
        };
        tokens
            .iter()
            .all(|t| self.lexicon().everyday(&t.norm) || is_term(t))
    }

    /// Returns the runs of open words that no term explains, and what was proposed in place of the
    /// chosen term, each run whole and, where it is of several words, word by word.
    fn unexplained(&self, kind: Kind, said: &Range<usize>) -> Vec<Range<usize>> {
        let tokens = self.tokens();
        let explained = |at: usize| {
            let by_term = |hit: &Hit| hit.kind != Kind::Phrase && hit.tokens.contains(&at);
            self.hits.iter().any(by_term) || class(&tokens[at].norm) != Class::Open
        };
        let mut runs: Vec<Range<usize>> = Vec::new();
        for at in said.clone().filter(|at| !explained(*at)) {
            match runs.last_mut() {
                Some(run) if run.end == at => run.end = at + 1,
                _ => runs.push(at..at + 1),
            }
        }
        // What was taken for a term of this kind, and is none here.
        let wrong = |hit: &&Hit| hit.kind == kind && within(&hit.tokens, said);
        let named = self.hits.iter().filter(wrong).map(|hit| hit.tokens.clone());
        let shorter: Vec<_> = runs
            .iter()
            .filter(|run| run.len() > 1)
            .flat_map(|run| run.clone().map(|at| at..at + 1))
            .collect();
        runs.extend(named);
        runs.extend(shorter);
        runs.retain(|run| run.len() <= LONGEST_WORDING);
        runs.sort_by_key(|run| (run.start, run.end));
        runs.dedup();
        runs
    }

    pub(super) fn called(&self, kind: Kind, term: crate::lexicon::TermId) -> Called {
        Called {
            kind,
            name: self.lexicon().name(term).to_owned(),
        }
    }

    pub(super) fn sighting(&self) -> Sighting {
        sighting(&self.study.jobs[self.job].name, self.item)
    }
}
