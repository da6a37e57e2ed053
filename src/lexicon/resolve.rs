//! Merged entries become terms whose references are resolved.

use super::entry::{
    Caution, Defect, Element, Found, Group, GroupId, Phrase, Place, PlaceKind, Remedy,
    RemedyTarget, Storey, Trade,
};
use super::names::{Names, TERM_TABLES, in_order_of_ids, kind_word};
use super::phonemes::Phoneme;
use super::problem::Problem;
use super::read::RawEntry;
use super::schema::Table;
use super::spellings::Spellings;
use super::spot::{HeardAs, Near};
use super::term::{Kind, TermId};
use super::{Data, Sureness, Term, VoiceData, fit, inflect, phonemes, tokens};
use crate::items::Severity;
use std::collections::{BTreeMap, HashMap};

/// The severities at which a caution's groups, elements and places count unless it gives its own:
/// what is only a matter of looks or cleaning needs no warning.
const ANSWERED_FOR: [Severity; 3] = [Severity::Safety, Severity::Repair, Severity::Watch];

/// What `near` of a mishearing may name instead of a term: any term of a kind.
pub(crate) const ANY: [(&str, Kind); 3] = [
    ("any place", Kind::Place),
    ("any element", Kind::Element),
    ("any defect", Kind::Defect),
];

/// What the files say, resolved.
#[derive(Debug, Default)]
pub(super) struct Resolved {
    pub(super) terms: Vec<Term>,
    pub(super) groups: Vec<Group>,
    pub(super) by_name: HashMap<(Kind, String), TermId>,
    pub(super) spellings: Spellings,
    pub(super) heard: Vec<HeardAs>,
    /// Pronunciations by normal word.
    pub(super) sounds: BTreeMap<String, Vec<Phoneme>>,
    pub(super) cautions: Vec<Caution>,
    pub(super) voice: VoiceData,
    pub(super) sureness: Sureness,
}

/// Returns the terms, groups, spellings, mishearings and sounds of the entries, adding what is
/// wrong to `problems`. Entries whose required references cannot be resolved are left out.
pub(super) fn resolve(entries: &[RawEntry], problems: &mut Vec<Problem>) -> Resolved {
    let of = |table: Table| entries.iter().filter(move |entry| entry.table == table);
    let mut resolved = Resolved::default();
    for pair in of(Table::Spelling) {
        if let (Some(british), Some(american)) = (pair.text("british"), pair.text("american")) {
            for text in [british, american] {
                if tokens::split(&text.text).len() != 1 {
                    let message = format!("{:?} is not one word: a spelling pairs two", text.text);
                    problems.push(text.at.error(message));
                }
            }
            resolved.spellings.add(&british.text, &american.text);
        }
    }

    let ids = Names::new(entries);
    for entry in of(Table::Group) {
        let trade = ids.term(Kind::Trade, entry.text("trade"), problems);
        resolved.groups.push(Group {
            name: entry.identity.clone(),
            trade: trade.unwrap_or(TermId(0)),
            about: text(entry, "about").unwrap_or_default(),
        });
    }
    let mut ids = Resolver {
        names: ids,
        problems,
    };
    for (kind, entry) in in_order_of_ids(entries) {
        let id = TermId(resolved.terms.len() as u32);
        let data = ids.data(kind, entry, &resolved.groups);
        resolved
            .heard
            .extend(heard_itself(id, kind, entry, &resolved.spellings));
        resolved.by_name.insert((kind, entry.identity.clone()), id);
        resolved.terms.push(Term {
            name: entry.identity.clone(),
            shown: text(entry, "shown"),
            kind,
            data,
        });
    }
    for entry in of(Table::Heard) {
        resolved.heard.extend(ids.heard(entry, &resolved.spellings));
    }
    for entry in of(Table::Caution) {
        let caution = ids.caution(entry, &resolved.spellings);
        resolved.cautions.push(caution);
    }
    for entry in of(Table::Voice) {
        for confusion in entry.texts("confusions") {
            if let Err(message) = fit::read(&confusion.text) {
                ids.problems.push(confusion.at.error(message));
            }
        }
        let voice = &mut resolved.voice;
        voice.elements.extend(entry.words("elements"));
        voice.defects.extend(entry.words("defects"));
        voice.confusions.extend(entry.words("confusions"));
    }
    for entry in of(Table::Sureness) {
        match Sureness::read(&entry.words("claims")) {
            Ok(sureness) => resolved.sureness = sureness,
            Err(message) => {
                let at = entry.texts("claims").first().map(|text| &text.at);
                ids.problems.extend(at.map(|at| at.error(message)));
            }
        }
    }
    for entry in of(Table::Sound) {
        let (Some(word), Some(say)) = (entry.text("word"), entry.text("say")) else {
            continue;
        };
        let words = resolved.spellings.split(&word.text);
        if words.len() != 1 {
            let message = format!("{:?} is not one word: a sound belongs to one", word.text);
            ids.problems.push(word.at.error(message));
        }
        match phonemes::parse(&say.text) {
            Ok(sounds) => {
                resolved.sounds.insert(words.concat(), sounds);
            }
            Err(error) => ids.problems.push(say.at.error(error.to_string())),
        }
    }
    resolved
}

fn text(entry: &RawEntry, key: &str) -> Option<String> {
    entry.text(key).map(|text| text.text.clone())
}

struct Resolver<'a> {
    names: Names,
    problems: &'a mut Vec<Problem>,
}

impl Resolver<'_> {
    fn term(&mut self, kind: Kind, entry: &RawEntry, key: &str) -> Option<TermId> {
        self.names.term(kind, entry.text(key), self.problems)
    }

    fn terms(&mut self, kind: Kind, entry: &RawEntry, key: &str) -> Vec<TermId> {
        let texts = entry.texts(key).iter();
        texts
            .filter_map(|text| self.names.term(kind, Some(text), self.problems))
            .collect()
    }

    fn groups(&mut self, entry: &RawEntry, key: &str) -> Vec<GroupId> {
        let names = entry.texts(key).iter();
        names
            .filter_map(|name| self.names.group(Some(name), self.problems))
            .collect()
    }

    fn data(&mut self, kind: Kind, entry: &RawEntry, groups: &[Group]) -> Data {
        match kind {
            Kind::Place => Data::Place(place(entry)),
            Kind::Element => Data::Element(self.element(entry, groups)),
            Kind::Defect => Data::Defect(Box::new(self.defect(entry))),
            Kind::Remedy => Data::Remedy(Remedy {
                name: entry.identity.clone(),
                also: entry.words("also"),
                verb: entry.words("verb"),
                trade: self.term(Kind::Trade, entry, "trade"),
                gloss: text(entry, "gloss"),
            }),
            Kind::Trade => Data::Trade(Trade {
                name: entry.identity.clone(),
                also: entry.words("also"),
                works_on: self.groups(entry, "works_on"),
                gloss: text(entry, "gloss"),
            }),
            Kind::Phrase => Data::Phrase(Phrase {
                kind: entry.identity.clone(),
                wordings: entry.words("wordings"),
                weak: entry.words("weak"),
            }),
        }
    }

    fn element(&mut self, entry: &RawEntry, groups: &[Group]) -> Element {
        let group = self
            .names
            .group(entry.text("group"), self.problems)
            .unwrap_or(GroupId(0));
        let group_trade = groups
            .get(group.0 as usize)
            .map_or(TermId(0), |group| group.trade);
        let mut found = Vec::new();
        for name in entry.texts("found") {
            match PlaceKind::from_word(&name.text) {
                Some(kind) => found.push(Found::Kind(kind)),
                None => {
                    let place = self.names.term(Kind::Place, Some(name), self.problems);
                    found.extend(place.map(Found::Place));
                }
            }
        }
        Element {
            name: entry.identity.clone(),
            also: entry.words("also"),
            group,
            trade: self
                .term(Kind::Trade, entry, "trade")
                .unwrap_or(group_trade),
            found,
            by_whole: entry.flag("by_whole"),
            weak: entry.flag("weak"),
            part_of: self.terms(Kind::Element, entry, "part_of"),
            gloss: text(entry, "gloss"),
        }
    }

    fn defect(&mut self, entry: &RawEntry) -> Defect {
        let (any, named): (Vec<_>, Vec<_>) = entry
            .texts("befalls")
            .iter()
            .partition(|text| text.text == "any");
        let befalls = named
            .into_iter()
            .filter_map(|text| self.names.group(Some(text), self.problems))
            .collect();
        Defect {
            name: entry.identity.clone(),
            also: entry.words("also"),
            verb: entry.words("verb"),
            not: entry.words("not"),
            fails: entry.words("fails"),
            signs: entry.words("signs"),
            lacks: entry.words("lacks"),
            befalls,
            befalls_any: !any.is_empty(),
            elements: self.terms(Kind::Element, entry, "elements"),
            implies: self.term(Kind::Element, entry, "implies"),
            brings: self.terms(Kind::Defect, entry, "brings"),
            remedy: self.term(Kind::Remedy, entry, "remedy"),
            remedy_for: self.remedy_for(entry),
            trade: self.term(Kind::Trade, entry, "trade"),
            severity: entry.text("severity").and_then(|text| severity(&text.text)),
            weak: entry.flag("weak"),
            predicate: text(entry, "predicate"),
            gloss: text(entry, "gloss"),
        }
    }

    /// A name that is both an element and a group (*door*) stands for both.
    fn remedy_for(&mut self, entry: &RawEntry) -> Vec<(RemedyTarget, TermId)> {
        let mut all = Vec::new();
        for (target, remedy) in entry.pairs("remedy_for") {
            let Some(remedy) = self.names.term(Kind::Remedy, Some(remedy), self.problems) else {
                continue;
            };
            let element = self.names.terms.get(&(Kind::Element, target.text.clone()));
            let group = self.names.groups.get(&target.text);
            all.extend(element.map(|&element| (RemedyTarget::Element(element), remedy)));
            all.extend(group.map(|&group| (RemedyTarget::Group(group), remedy)));
            if element.is_none() && group.is_none() {
                let message = self.names.unknown(Kind::Element, &target.text);
                self.problems.push(
                    target
                        .at
                        .error(format!("neither group nor element: {message}")),
                );
            }
        }
        all
    }

    fn caution(&mut self, entry: &RawEntry, spellings: &Spellings) -> Caution {
        let words = |text: &String| spellings.split(text);
        let groups = self.groups(entry, "groups");
        let places = self.each(entry, "places", "kind of place", PlaceKind::from_word);
        let mut severities = self.each(entry, "severities", "severity", severity);
        if severities.is_empty() {
            severities = ANSWERED_FOR.to_vec();
        }
        Caution {
            name: entry.identity.clone(),
            heading: text(entry, "heading").unwrap_or_default(),
            text: text(entry, "text").unwrap_or_default(),
            britain: text(entry, "britain"),
            america: text(entry, "america"),
            groups,
            elements: self.terms(Kind::Element, entry, "elements"),
            except: self.terms(Kind::Element, entry, "except"),
            defects: self.terms(Kind::Defect, entry, "defects"),
            words: entry.words("words").iter().map(words).collect(),
            places,
            severities,
        }
    }

    /// Returns what each word of a key stands for, adding a problem where it stands for nothing.
    fn each<T>(
        &mut self,
        entry: &RawEntry,
        key: &str,
        what: &str,
        of: fn(&str) -> Option<T>,
    ) -> Vec<T> {
        let mut all = Vec::new();
        for word in entry.texts(key) {
            match of(&word.text) {
                Some(known) => all.push(known),
                None => {
                    let message = format!("{key:?} holds {:?}, which is no {what}", word.text);
                    self.problems.push(word.at.error(message));
                }
            }
        }
        all
    }

    fn heard(&mut self, entry: &RawEntry, spellings: &Spellings) -> Option<HeardAs> {
        let kind_name = entry.text("kind")?;
        let (_, kind) = TERM_TABLES
            .into_iter()
            .find(|(_, kind)| kind_word(*kind) == kind_name.text)?;
        let term = self.term(kind, entry, "term")?;
        let mut near = Near::default();
        for name in entry.texts("near") {
            if let Some((_, kind)) = ANY.iter().find(|(any, _)| *any == name.text) {
                near.kinds.push(*kind);
                continue;
            }
            let found: Vec<_> = TERM_TABLES
                .iter()
                .filter_map(|(_, kind)| self.names.terms.get(&(*kind, name.text.clone())))
                .collect();
            if found.is_empty() {
                let message = self.names.unknown(Kind::Element, &name.text);
                self.problems.push(name.at.error(message));
            }
            near.terms.extend(found);
        }
        Some(HeardAs {
            words: spellings.split(&entry.identity),
            term,
            kind,
            name: text(entry, "term")?,
            near,
        })
    }
}

/// Returns how a term's own entry says that it is written by the recogniser; of a thing the plurals as well.
fn heard_itself(term: TermId, kind: Kind, entry: &RawEntry, spellings: &Spellings) -> Vec<HeardAs> {
    let mut heard = Vec::new();
    for text in entry.words("heard") {
        let words = spellings.split(&text);
        if kind == Kind::Element {
            heard.extend(inflect::wording_plurals(&words));
        }
        heard.push(words);
    }
    let as_term = |words| HeardAs {
        words,
        term,
        kind,
        name: entry.identity.clone(),
        near: Near::default(),
    };
    heard.into_iter().map(as_term).collect()
}

fn place(entry: &RawEntry) -> Place {
    let storey = entry.text("storey").map(|text| match text.text.as_str() {
        "ground" => Storey::Ground,
        "first" => Storey::First,
        "second" => Storey::Second,
        _ => Storey::Any,
    });
    let kind = entry
        .text("kind")
        .and_then(|text| PlaceKind::from_word(&text.text));
    Place {
        name: entry.identity.clone(),
        also: entry.words("also"),
        // A missing or wrong kind was reported, and the lexicon does not load.
        kind: kind.unwrap_or(PlaceKind::Room),
        sort: entry
            .text("sort")
            .map_or_else(String::new, |text| text.text.clone()),
        numbered: entry.flag("numbered"),
        numbered_also: entry.words("numbered_also"),
        alone_also: entry.words("alone_also"),
        storey,
        weak: entry.flag("weak"),
        usual: entry.flag("usual"),
    }
}

fn severity(word: &str) -> Option<Severity> {
    match word {
        "safety" => Some(Severity::Safety),
        "repair" => Some(Severity::Repair),
        "finish" => Some(Severity::Finish),
        "clean" => Some(Severity::Clean),
        "watch" => Some(Severity::Watch),
        _ => None,
    }
}
