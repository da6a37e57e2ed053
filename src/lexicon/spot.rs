//! Exact and inflected hits, and known mishearings.

use super::Lexicon;
use super::form_index::FormIndex;
use super::leads::{self, Family};
use super::numbers;
use super::term::{Hit, How, Kind, TermId, Token};
use super::wordings::{Form, Wording};
use aho_corasick::BuildError;
use rustc_hash::FxHashSet;
use std::ops::Range;

/// How far, in tokens, a term that a known mishearing must stand near may be: about one spoken
/// clause. Common practice, no source.
const NEAR_TOKENS: usize = 12;

/// Finds the surface forms of all wordings.
#[derive(Debug)]
pub(super) struct Spotter {
    wordings: Vec<Wording>,
    index: FormIndex,
    /// What each form of the index stands for.
    entries: Vec<Entry>,
}

/// A wording that the recogniser is known to write for a term.
#[derive(Debug, Clone)]
pub(super) struct HeardAs {
    pub(super) words: Vec<String>,
    pub(super) term: TermId,
    pub(super) kind: Kind,
    /// The term's name.
    pub(super) name: String,
    /// What must stand near.
    pub(super) near: Near,
}

/// What must stand near a known mishearing: one of these terms, or any term of one of these kinds.
/// Nothing where both are empty.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Near {
    pub(super) terms: Vec<TermId>,
    pub(super) kinds: Vec<Kind>,
}

impl Near {
    fn is_nothing(&self) -> bool {
        self.terms.is_empty() && self.kinds.is_empty()
    }

    fn has(&self, hit: &Hit) -> bool {
        self.terms.contains(&hit.term) || self.kinds.contains(&hit.kind)
    }
}

/// Known mishearings, with where they stand.
#[derive(Debug, Default)]
pub(in crate::lexicon) struct Mishearings {
    all: Vec<HeardAs>,
    /// `None` where there are none.
    index: Option<FormIndex>,
}

impl Mishearings {
    /// Returns these mishearings, ready to be found.
    ///
    /// # Errors
    /// As [`FormIndex::new`] has it.
    pub(super) fn new(all: Vec<HeardAs>) -> Result<Mishearings, BuildError> {
        let forms: Vec<String> = all.iter().map(|heard| heard.words.concat()).collect();
        let index = match forms.is_empty() {
            true => None,
            false => Some(FormIndex::new(&forms)?),
        };
        Ok(Mishearings { all, index })
    }

    /// Returns them as they were given.
    pub(super) fn all(&self) -> &[HeardAs] {
        &self.all
    }
}

#[derive(Debug, Clone, Copy)]
struct Entry {
    wording: usize,
    form: usize,
}

impl Spotter {
    /// Returns a spotter for these wordings.
    ///
    /// # Errors
    /// As [`FormIndex::new`] has it.
    pub(super) fn new(wordings: Vec<Wording>) -> Result<Spotter, BuildError> {
        let (mut forms, mut entries) = (Vec::new(), Vec::new());
        for (wording, entry) in wordings.iter().enumerate() {
            for (form, Form { words, .. }) in entry.forms.iter().enumerate() {
                forms.push(words.concat());
                entries.push(Entry { wording, form });
            }
        }
        Ok(Spotter {
            index: FormIndex::new(&forms)?,
            wordings,
            entries,
        })
    }

    /// Returns the wordings it was made from.
    pub(super) fn wordings(&self) -> &[Wording] {
        &self.wordings
    }
}

/// Returns every hit, overlapping ones too, ordered by start, then longest first, then by term.
pub(super) fn spot(lexicon: &Lexicon, tokens: &[Token]) -> Vec<Hit> {
    let mut found = Vec::new();
    for layer in lexicon.layers() {
        let spotter = layer.spotter();
        for (range, form) in spotter.index.find(tokens) {
            let entry = spotter.entries[form];
            let wording = &spotter.wordings[entry.wording];
            if layer.counts(wording) {
                found.push((range, entry, wording));
            }
        }
    }
    // One after the other, as of one vocabulary: chains are told from what ended before.
    if lexicon.changed.is_some() {
        found.sort_by_key(|(range, entry, wording)| {
            (
                range.start,
                range.end,
                wording.term,
                entry.wording,
                entry.form,
            )
        });
    }
    let mut search = Search {
        tokens,
        hits: Vec::new(),
        waiting: Vec::new(),
        ends: FxHashSet::default(),
    };
    for (range, entry, wording) in found {
        search.form(wording, &wording.forms[entry.form], range);
    }
    for known in [&*lexicon.heard, &lexicon.trial] {
        for (range, heard) in known.index.iter().flat_map(|index| index.find(tokens)) {
            search.heard(&known.all[heard], range);
        }
    }
    search.finish()
}

struct Search<'a> {
    tokens: &'a [Token],
    hits: Vec<Hit>,
    /// Known mishearings that need another term near them.
    waiting: Vec<(Hit, &'a Near)>,
    /// Where forms with a lead ended, for chains.
    ends: FxHashSet<(Family, usize)>,
}

impl<'a> Search<'a> {
    fn form(&mut self, wording: &Wording, form: &Form, range: Range<usize>) {
        let family = form.lead.family();
        let chained = family != Family::Plain && self.is_chained(family, range.start);
        let start = match leads::start_with_lead(form.lead, self.tokens, range.start) {
            Some(start) => start,
            None if chained => range.start,
            None => return,
        };
        self.ends.insert((family, range.end));
        let hit = Hit {
            term: wording.term,
            kind: wording.kind,
            tokens: start..range.end,
            wording: wording.text.clone(),
            how: How::Exact,
            number: None,
        };
        if let Some(reach) = wording.numbered {
            self.numbered(&hit, reach);
        }
        if !wording.number_needed {
            self.hits.push(hit);
        }
    }

    /// Returns true where a form of the same family ended right before `start` or before a joining
    /// word there.
    fn is_chained(&self, family: Family, start: usize) -> bool {
        let joined = start > 0
            && matches!(
                self.tokens[start - 1].norm.as_str(),
                "and" | "or" | "nor" | "then" | "but"
            );
        self.ends.contains(&(family, start)) || (joined && self.ends.contains(&(family, start - 1)))
    }

    fn numbered(&mut self, hit: &Hit, reach: numbers::Reach) {
        let Range { start, end } = hit.tokens;
        if let Some((number, first)) = numbers::before(self.tokens, start) {
            self.hits.push(Hit {
                tokens: first..end,
                number: Some(number),
                ..hit.clone()
            });
        }
        let Some((number, mut last)) = numbers::after(self.tokens, end, reach) else {
            return;
        };
        // "And **the garage one's** no different": of another thing like it.
        let word = |at: usize| self.tokens.get(at).map_or("", |token| &*token.norm);
        let of_its_kind = word(end) == "one"
            && start > 0
            && word(start - 1) == "the"
            && matches!(word(end + 1), "'s" | "is" | "has" | "was" | "does");
        if of_its_kind {
            return;
        }
        let mut said = vec![number];
        // *bedrooms two and three* stands for both; after a singular, *and three* begins anew.
        let plural = self.tokens[end - 1].norm.ends_with('s');
        while plural
            && self
                .tokens
                .get(last)
                .is_some_and(|token| token.norm == "and")
            && let Some((number, after)) = numbers::after(self.tokens, last + 1, reach)
        {
            said.push(number);
            last = after;
        }
        for number in said {
            self.hits.push(Hit {
                tokens: start..last,
                number: Some(number),
                ..hit.clone()
            });
        }
    }

    fn heard(&mut self, heard: &'a HeardAs, range: Range<usize>) {
        let hit = Hit {
            term: heard.term,
            kind: heard.kind,
            tokens: range,
            wording: heard.name.clone(),
            how: How::HeardAs,
            number: None,
        };
        if heard.near.is_nothing() {
            self.hits.push(hit);
        } else {
            self.waiting.push((hit, &heard.near));
        }
    }

    fn finish(mut self) -> Vec<Hit> {
        let supported: Vec<Hit> = self
            .waiting
            .iter()
            .filter(|(hit, near)| {
                self.hits.iter().any(|other| {
                    let apart = other.tokens.end <= hit.tokens.start
                        || hit.tokens.end <= other.tokens.start;
                    (near.has(other) && (apart || near.kinds.is_empty()))
                        && other.tokens.start < hit.tokens.end + NEAR_TOKENS
                        && hit.tokens.start < other.tokens.end + NEAR_TOKENS
                })
            })
            .map(|(hit, _)| hit.clone())
            .collect();
        // Beside what licenses it a known mishearing goes before what the words are elsewhere (*master*
        // for *mastic*, near *split*).
        let misheard = |hit: &Hit| supported.iter().any(|s| s.tokens == hit.tokens);
        self.hits
            .retain(|hit| hit.how != How::Exact || !misheard(hit));
        self.hits.extend(supported);
        self.hits.sort_by(|a, b| {
            let exact_first = |hit: &Hit| hit.how != How::Exact;
            (
                a.tokens.start,
                std::cmp::Reverse(a.tokens.end),
                a.term,
                &a.number,
            )
                .cmp(&(
                    b.tokens.start,
                    std::cmp::Reverse(b.tokens.end),
                    b.term,
                    &b.number,
                ))
                .then(exact_first(a).cmp(&exact_first(b)))
        });
        // Two wordings of a term may have a form in common (*crack*, noun and verb).
        self.hits
            .dedup_by(|b, a| (a.term, &a.tokens, &a.number) == (b.term, &b.tokens, &b.number));
        self.hits
    }
}
