//! The wordings of all terms, and the surface forms in which each may be heard.

use super::entry::{Defect, PlaceKind};
use super::inflect;
use super::leads::Lead;
use super::numbers::Reach;
use super::spellings::Spellings;
use super::term::{Kind, TermId};
use super::{Data, Term};

/// One wording of a term, as written in the files or, for verbs, as its defect reads.
#[derive(Debug, Clone)]
pub(super) struct Wording {
    pub(super) term: TermId,
    pub(super) kind: Kind,
    pub(super) text: String,
    /// How far a number after it may reach, where one may follow.
    pub(super) numbered: Option<Reach>,
    /// True where it only counts with a number.
    pub(super) number_needed: bool,
    /// Forms in which it may be heard.
    pub(super) forms: Vec<Form>,
}

/// One surface form of a wording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Form {
    /// Normal words in British spelling.
    pub(super) words: Vec<String>,
    /// What must stand before it.
    pub(super) lead: Lead,
}

/// Returns the wordings of a term.
pub(super) fn wordings(id: TermId, term: &Term, spellings: &Spellings) -> Vec<Wording> {
    let mut maker = Maker {
        id,
        kind: term.kind,
        spellings,
        made: Vec::new(),
    };
    match &term.data {
        Data::Place(place) => {
            let reach = match place.kind {
                PlaceKind::Whole | PlaceKind::Common => Reach::Large,
                _ => Reach::Small,
            };
            let also = place.also.iter().chain(&place.alone_also);
            for text in std::iter::once(&place.name).chain(also) {
                maker.noun(text, place.numbered.then_some(reach));
            }
            let first_short = maker.made.len();
            for text in &place.numbered_also {
                maker.noun(text, Some(reach));
            }
            for short in &mut maker.made[first_short..] {
                short.number_needed = true;
            }
        }
        Data::Element(element) => maker.nouns(&element.name, &element.also),
        Data::Trade(trade) => maker.nouns(&trade.name, &trade.also),
        Data::Defect(defect) => maker.defect(defect),
        Data::Remedy(remedy) => {
            for text in std::iter::once(&remedy.name)
                .chain(&remedy.also)
                .chain(&remedy.verb)
            {
                maker.remedy(text);
            }
        }
        Data::Phrase(phrase) => {
            for text in phrase.wordings.iter().chain(&phrase.weak) {
                maker.fixed(text);
            }
        }
    }
    maker.made
}

struct Maker<'a> {
    id: TermId,
    kind: Kind,
    spellings: &'a Spellings,
    made: Vec<Wording>,
}

impl Maker<'_> {
    fn split(&self, text: &str) -> Vec<String> {
        self.spellings.split(text)
    }

    fn push(&mut self, text: &str, numbered: Option<Reach>, forms: Vec<(Vec<String>, Lead)>) {
        let mut kept: Vec<Form> = Vec::with_capacity(forms.len());
        for (words, lead) in forms {
            // Inflected forms have spellings of their own: *molds* counts as *moulds*.
            let words = words
                .iter()
                .map(|word| self.spellings.british(word))
                .collect();
            let form = Form { words, lead };
            if !form.words.is_empty() && !kept.contains(&form) {
                kept.push(form);
            }
        }
        if !kept.is_empty() {
            let (term, kind) = (self.id, self.kind);
            self.made.push(Wording {
                term,
                kind,
                text: text.to_owned(),
                numbered,
                number_needed: false,
                forms: kept,
            });
        }
    }

    fn fixed(&mut self, text: &str) {
        let words = self.split(text);
        self.push(text, None, vec![(words, Lead::None)]);
    }

    fn noun(&mut self, text: &str, numbered: Option<Reach>) {
        let words = self.split(text);
        let mut forms = vec![(words.clone(), Lead::None)];
        forms.extend(
            inflect::wording_plurals(&words)
                .into_iter()
                .map(|words| (words, Lead::None)),
        );
        self.push(text, numbered, forms);
    }

    fn nouns(&mut self, name: &str, also: &[String]) {
        self.noun(name, None);
        for text in also {
            self.noun(text, None);
        }
    }

    fn defect(&mut self, defect: &Defect) {
        self.nouns(&defect.name, &defect.also);
        for text in &defect.signs {
            self.noun(text, None);
        }
        for text in &defect.verb {
            let forms = inflect::verb(&self.split(text));
            let mut all = vec![forms.base, forms.third];
            all.extend(
                forms
                    .past
                    .into_iter()
                    .chain(forms.participle)
                    .chain(forms.ing),
            );
            let all = all.iter().map(|form| (words(form), Lead::None)).collect();
            self.push(text, None, all);
        }
        for text in &defect.not {
            let verb = self.split(text);
            let forms = inflect::verb(&verb);
            let wording = format!("not {}", forms.participle[0]);
            let mut all = vec![(verb.clone(), Lead::NotDo)];
            for participle in &forms.participle {
                all.push((words(participle), Lead::NotDone));
                if verb.len() == 1 {
                    all.push((vec![format!("un{participle}")], Lead::None));
                }
            }
            self.push(&wording, None, all);
        }
        for text in &defect.fails {
            let forms = inflect::verb(&self.split(text));
            let wording = format!("not {}", forms.ing[0]);
            let mut all = vec![(words(&forms.base), Lead::FailsBase)];
            all.extend(forms.ing.iter().map(|form| (words(form), Lead::FailsIng)));
            let finite = std::iter::once(&forms.third).chain(&forms.past);
            all.extend(finite.map(|form| (words(form), Lead::FailsFinite)));
            self.push(&wording, None, all);
        }
        for text in &defect.lacks {
            let words = self.split(text);
            self.push(&format!("not {text}"), None, vec![(words, Lead::Lacks)]);
        }
    }

    /// Remedies are imperatives: the bare infinitive asks for the work, its other forms only after
    /// a word that asks (*has been eased* tells that it was done).
    fn remedy(&mut self, text: &str) {
        let verb = self.split(text);
        let forms = inflect::verb(&verb);
        // "Glue it back": the object stands before the particle.
        let parted = verb
            .split_last()
            .filter(|(last, rest)| !rest.is_empty() && PARTICLES.contains(&last.as_str()));
        let mut all: Vec<_> = parted
            .into_iter()
            .flat_map(|(last, rest)| {
                ["it", "them", "that"].map(|object| {
                    let object = [object.to_owned(), last.clone()];
                    ([rest, &object].concat(), Lead::None)
                })
            })
            .collect();
        all.insert(0, (verb.clone(), Lead::None));
        all.extend(forms.ing.iter().map(|form| (words(form), Lead::NeedsIng)));
        all.extend(
            forms
                .participle
                .iter()
                .map(|form| (words(form), Lead::BeDone)),
        );
        self.push(text, None, all);
    }
}

/// Particles that an object may stand before: *put it back*.
const PARTICLES: &[&str] = &[
    "back", "down", "up", "in", "off", "out", "on", "over", "round",
];

fn words(text: &str) -> Vec<String> {
    text.split(' ').map(str::to_owned).collect()
}
