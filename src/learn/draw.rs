//! Lessons from decisions: what was heard where a person chose otherwise than was proposed.
//!
//! For each confirmed item that today's lexicon does not propose as it was confirmed, the words that it
//! rests on are searched for what may stand for the chosen term: the stretch that sounds most like it
//! (*artitrot*, architrave), or words that nothing else explains (*ingo*, window reveal). Whether a
//! lesson helps is not decided here but by the guard.

use super::habits::habits;
use super::lesson::{Called, Lesson, Sighting, Teaching};
use super::name::{Facts, Name};
use super::study::Study;
use super::voice::{sought, voice};
use crate::items::Item;
use crate::lexicon::{Closest, Hit, How, Kind, Lexicon, Token, kind_word};
use crate::statements::grammar::{Class, class};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// How far words may be from the chosen term's sounds where one of them is no English word: a
/// recogniser writes such words only for what it does not know. Beyond it the person meant something
/// else. Measured on the walk-rounds in `examples/learning.rs`.
const STRANGE_LIMIT: f32 = 0.6;

/// The same for a row of English words.
const ENGLISH_LIMIT: f32 = 0.5;

/// The same for places, which have no defect beside them to bear them out.
const PLACE_LIMIT: f32 = 0.45;

/// The same for places whose words are everyday ones (*from television*, front elevation).
const EVERYDAY_PLACE_LIMIT: f32 = 0.4;

/// Terms with fewer phonemes are like too many words; they need the same consonants nearly.
const FEW_PHONEMES: usize = 4;
/// The limit for them.
const SHORT_LIMIT: f32 = 0.34;

/// The longest run of unexplained words that is taken for one name.
const LONGEST_WORDING: usize = 3;

/// Tokens before an item's words that may belong to it: a misheard name often stands before the
/// words that were understood.
const REACH: usize = 4;

/// Chat is a habit only where it was mistaken for a defect more than once.
const FEWEST_CHATS: usize = 2;

/// Returns every lesson that the jobs of a study suggest, ordered by what they teach. The order of the
/// jobs plays no part.
pub fn lessons(study: &Study<'_>) -> Vec<Lesson> {
    let mut drawn = Drawn::default();
    for j in 0..study.jobs.len() {
        for i in 0..study.jobs[j].confirmed.len() {
            Corner::of(study, j, i).draw(&mut drawn);
        }
        chat(study, j, &mut drawn);
    }
    let mut lessons = drawn.finish();
    lessons.extend(habits(study));
    lessons.extend(voice(study));
    for lesson in &mut lessons {
        lesson.against = against(study, lesson);
    }
    lessons.sort_by(|a, b| a.teaching.cmp(&b.teaching));
    lessons
}

/// Lessons while they are collected: the same words for the same term are one lesson, whatever
/// stands near.
#[derive(Debug, Default)]
struct Drawn {
    all: BTreeMap<Teaching, Lesson>,
}

impl Drawn {
    fn add(&mut self, teaching: Teaching, distance: f32, sighting: Sighting) {
        let (key, near, also) = match teaching.clone() {
            Teaching::HeardAs { heard, term, near } => {
                let bare = BTreeSet::new();
                let key = Teaching::HeardAs {
                    heard,
                    term,
                    near: bare,
                };
                (key, near, BTreeSet::new())
            }
            Teaching::Term { term, of, also } => {
                let key = Teaching::Term {
                    term,
                    of,
                    also: BTreeSet::new(),
                };
                (key, BTreeSet::new(), also)
            }
            other => (other, BTreeSet::new(), BTreeSet::new()),
        };
        let lesson = self.all.entry(key).or_insert(Lesson {
            teaching,
            sightings: BTreeSet::new(),
            against: 0,
            distance: 1000,
        });
        match &mut lesson.teaching {
            // One occasion without need of context is no reason to drop the others' context.
            Teaching::HeardAs { near: known, .. } => known.extend(near),
            Teaching::Term { also: known, .. } => known.extend(also),
            _ => {}
        }
        lesson.distance = lesson.distance.min((distance * 1000.0) as u32);
        lesson.sightings.insert(sighting);
    }

    fn finish(self) -> Vec<Lesson> {
        let lessons = self.all.into_values();
        lessons
            .filter(|lesson| {
                !matches!(lesson.teaching, Teaching::NoDefect { .. })
                    || lesson.sightings.len() >= FEWEST_CHATS
            })
            .collect()
    }
}

/// What is known around one confirmed item.
struct Corner<'a> {
    study: &'a Study<'a>,
    job: usize,
    item: &'a Item,
    chosen: Facts,
    /// What is proposed for it today.
    proposed: Option<&'a Item>,
    /// The tokens that it rests on; `None` where it was written by hand.
    said: Option<Range<usize>>,
    /// What today's lexicon finds in and before them.
    hits: Vec<Hit>,
}

impl<'a> Corner<'a> {
    fn of(study: &'a Study<'a>, job: usize, index: usize) -> Corner<'a> {
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

    fn tokens(&self) -> &'a [Token] {
        &self.study.tokens[self.job]
    }

    fn lexicon(&self) -> &'a Lexicon {
        &self.study.lexicon
    }

    fn draw(&self, drawn: &mut Drawn) {
        let Some(said) = self.said.clone() else {
            return;
        };
        let now = self.proposed.map(|item| Facts::of(self.lexicon(), item));
        let wrong =
            |of: fn(&Facts) -> &Name| now.as_ref().is_none_or(|n| of(n) != of(&self.chosen));
        if wrong(|f| &f.element) {
            let text = &self.item.element;
            self.fact(Kind::Element, &self.chosen.element, text, &said, drawn);
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
                let also = match find(tokens, said, words) {
                    true => Some((BTreeSet::new(), 0.0)),
                    false => self
                        .lexicon()
                        .closest_words(tokens, window, text, free)
                        .filter(|found| {
                            found.distance <= limit(self.lexicon(), tokens, found)
                                && !self.all_everyday(&found.tokens)
                        })
                        .map(|found| {
                            let heard = words_of(tokens, &found.tokens);
                            (BTreeSet::from([heard]), found.distance)
                        }),
                };
                if let (Some((also, distance)), Some(of)) = (also, self.belongs(kind)) {
                    let term = Called {
                        kind,
                        name: words.clone(),
                    };
                    let teaching = Teaching::Term { term, of, also };
                    drawn.add(teaching, distance, self.sighting());
                }
            }
            Name::Words(_) => {}
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

    fn all_everyday(&self, stretch: &Range<usize>) -> bool {
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

    /// Returns true where the item before, as it was confirmed, is at another place: only there a
    /// change of place may have been missed.
    fn opens_place(&self) -> bool {
        self.before().is_none_or(|before| {
            Name::of(self.lexicon(), Kind::Place, &before.place) != self.chosen.place
        })
    }

    /// Returns the confirmed item said before this one.
    fn before(&self) -> Option<&'a Item> {
        let start = self.said.as_ref()?.start;
        let lived = &self.study.jobs[self.job];
        let begins = |item: &&Item| {
            let words = lived.words_of(item);
            words.map(|words| in_tokens(self.tokens(), &words).start)
        };
        lived
            .confirmed
            .iter()
            .filter(|item| begins(item).is_some_and(|at| at < start))
            .max_by_key(begins)
    }

    /// Lessons about a change of place that was missed.
    fn place(&self, said: &Range<usize>, drawn: &mut Drawn) {
        let Name::Term(term, None) = self.chosen.place else {
            return;
        };
        let lived = &self.study.jobs[self.job];
        let from = self.before().and_then(|before| lived.words_of(before));
        let from = from.map_or(0, |words| in_tokens(self.tokens(), &words).end);
        let window = from.min(said.start)..said.end;
        let tokens = self.tokens();
        let hits = spot(self.lexicon(), tokens, &window);
        if hits
            .iter()
            .any(|hit| hit.term == term && within(&hit.tokens, &window))
        {
            return;
        }
        let found = self.lexicon().closest(tokens, window, term, |_| true);
        let Some(found) = found.filter(|found| {
            let limit = match self.all_everyday(&found.tokens) {
                true if self.announced(&found.tokens) => EVERYDAY_PLACE_LIMIT,
                true => return false,
                false => PLACE_LIMIT.min(limit(self.lexicon(), tokens, found)),
            };
            found.distance <= limit
        }) else {
            return;
        };
        let teaching = Teaching::HeardAs {
            heard: words_of(tokens, &found.tokens),
            term: self.called(Kind::Place, term),
            near: BTreeSet::new(),
        };
        drawn.add(teaching, found.distance, self.sighting());
    }

    /// Returns true where several words stand alone between full stops or commas, as a place that is
    /// announced: the context without which everyday words are nothing else.
    fn announced(&self, stretch: &Range<usize>) -> bool {
        let words = &self.study.jobs[self.job].transcript.words;
        let tokens = self.tokens();
        let ends = |at: usize| words[tokens[at].word].text.ends_with(['.', ',', '!', '?']);
        stretch.len() > 1
            && (stretch.start == 0 || ends(stretch.start - 1))
            && ends(stretch.end - 1)
    }

    /// Returns the group that a new element belongs to, or that a new defect befalls: the one of the
    /// name's last word where that is known, else what the item's other fact or its trade tells.
    fn belongs(&self, kind: Kind) -> Option<String> {
        let lexicon = self.lexicon();
        let group = |group| lexicon.group(group).name.clone();
        let element = match kind {
            Kind::Element => {
                let words: Vec<&str> = self.item.element.split(' ').collect();
                let head = words
                    .last()
                    .map(|word| Name::of(lexicon, Kind::Element, word));
                let of_head = head.and_then(|head| head.term());
                let defect = self
                    .chosen
                    .defect
                    .term()
                    .map(|defect| lexicon.defect(defect));
                // A defect that befalls one group only tells the group; most befall many.
                if let (None, Some([only])) = (of_head, defect.map(|d| &d.befalls[..])) {
                    return Some(group(*only));
                }
                of_head.or(defect.and_then(|d| d.implies))
            }
            _ => self.chosen.element.term(),
        };
        match (element, kind) {
            (Some(element), _) => Some(group(lexicon.element(element).group)),
            (None, Kind::Element) => self.group_of_trade(),
            (None, _) => Some("any".to_owned()),
        }
    }

    /// Returns the first group that the item's trade usually deals with.
    fn group_of_trade(&self) -> Option<String> {
        let trade = self.item.trade.as_deref()?;
        let trade = self.lexicon().find(Kind::Trade, trade)?;
        let mut groups = self.lexicon().groups().iter();
        groups
            .find(|group| group.trade == trade)
            .map(|group| group.name.clone())
    }

    fn called(&self, kind: Kind, term: crate::lexicon::TermId) -> Called {
        Called {
            kind,
            name: self.lexicon().name(term).to_owned(),
        }
    }

    fn sighting(&self) -> Sighting {
        sighting(&self.study.jobs[self.job].name, self.item)
    }
}

pub(super) fn sighting(job: &str, item: &Item) -> Sighting {
    Sighting {
        job: job.to_owned(),
        item: item.number,
        at: item.evidence.span.map(|span| span.start),
        quote: item.evidence.quote.clone(),
    }
}

/// Words that made items which nobody wanted.
fn chat(study: &Study<'_>, job: usize, drawn: &mut Drawn) {
    let (lived, tokens) = (&study.jobs[job], &study.tokens[job]);
    for &p in &study.marks[job].surplus {
        let item = &study.proposed[job][p];
        let defect = item
            .evidence
            .terms
            .iter()
            .find(|t| t.kind == kind_word(Kind::Defect));
        let (Some(defect), Some(words)) = (defect, lived.words_of(item)) else {
            continue;
        };
        let said = in_tokens(tokens, &words);
        let heard: Vec<String> = study
            .lexicon
            .tokens_of(&defect.heard)
            .into_iter()
            .map(|t| t.norm)
            .collect();
        let Some(at) = said.clone().find(|at| {
            let here = tokens[*at..].iter().map(|t| &t.norm);
            !heard.is_empty() && here.take(heard.len()).eq(heard.iter())
        }) else {
            continue;
        };
        let from = at.saturating_sub(1).max(said.start);
        let stretch = from..(at + heard.len() + 1).min(said.end);
        if stretch.len() > heard.len() {
            let words = words_of(tokens, &stretch);
            drawn.add(
                Teaching::NoDefect { words },
                1.0,
                sighting(&lived.name, item),
            );
        }
    }
}

/// Returns how many confirmed items have the lesson's words and are not among its evidence.
fn against(study: &Study<'_>, lesson: &Lesson) -> usize {
    let Some(words) = lesson.teaching.words() else {
        return 0;
    };
    let mut count = 0;
    for (lived, tokens) in study.jobs.iter().zip(&study.tokens) {
        for item in &lived.confirmed {
            let Some(range) = lived.words_of(item) else {
                continue;
            };
            let said = in_tokens(tokens, &range);
            let speaks_for = lesson.sightings.contains(&sighting(&lived.name, item));
            count += usize::from(!speaks_for && Lexicon::has_words(&tokens[said], &words));
        }
    }
    count
}

/// Returns true where a stretch begins and ends with words that can belong to a name: *no* may, as in
/// *no painted*, but no preposition, article or pronoun.
fn names_something(tokens: &[Token], stretch: &Range<usize>) -> bool {
    let edge = |at: usize| class(&tokens[at].norm);
    matches!(
        edge(stretch.start),
        Class::Open | Class::Negation | Class::Position
    ) && matches!(edge(stretch.end - 1), Class::Open | Class::Position)
}

/// Returns how far words may be from the sounds of a term that they stand for.
fn limit(lexicon: &Lexicon, tokens: &[Token], found: &Closest) -> f32 {
    let strange = tokens[found.tokens.clone()]
        .iter()
        .any(|t| !lexicon.knows(&t.norm));
    match (found.phonemes < FEW_PHONEMES, strange) {
        (true, _) => SHORT_LIMIT,
        (false, true) => STRANGE_LIMIT,
        (false, false) => ENGLISH_LIMIT,
    }
}

pub(super) fn in_tokens(tokens: &[Token], words: &Range<usize>) -> Range<usize> {
    let at = |word: usize| tokens.partition_point(|token| token.word < word);
    at(words.start)..at(words.end)
}

fn spot(lexicon: &Lexicon, tokens: &[Token], said: &Range<usize>) -> Vec<Hit> {
    let start = said.start.saturating_sub(REACH * 2);
    let end = tokens.len().min(said.end + REACH * 2);
    let mut hits = lexicon.spot(&tokens[start..end]);
    for hit in &mut hits {
        hit.tokens = hit.tokens.start + start..hit.tokens.end + start;
    }
    hits
}

fn words_of(tokens: &[Token], stretch: &Range<usize>) -> String {
    let words: Vec<&str> = tokens[stretch.clone()].iter().map(|t| &*t.norm).collect();
    words.join(" ")
}

fn within(inner: &Range<usize>, outer: &Range<usize>) -> bool {
    outer.start <= inner.start && inner.end <= outer.end
}

fn find(tokens: &[Token], said: &Range<usize>, words: &str) -> bool {
    let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
    Lexicon::has_words(&tokens[said.clone()], &words)
}
