//! What a field of an item might be given: from what was heard, this job's items, the vocabulary.

use super::complete::{Choice, complete};
use super::state::Session;
use crate::items::{self, Item, Measurement, Severity};
use crate::job::{Field, severity_word};
use crate::lexicon::{Hit, How, Kind, Lexicon, SUPPORTED_SOUND_LIMIT, TermId, Token};
use crate::speech::Word;
use crate::statements::{counts, measurements};
use std::collections::BTreeMap;
use std::ops::Range;

/// How well a choice fits, by where it comes from. What was heard with the item is the likeliest:
/// somebody corrects an item because its words were understood wrongly, not because they were
/// silent. Only the order matters. Chosen by trying on the development walk-rounds.
const HEARD: f32 = 1.0;
const HEARD_NEAR: f32 = 0.75;
const SOUNDS_LIKE: f32 = 0.7;
const USUAL: f32 = 0.9;
const SAME_PLACE: f32 = 0.5;
const SAME_JOB: f32 = 0.4;
const OWN_PHRASE: f32 = 0.55;
/// The vocabulary's fit of a pairing (0.1 to 1, [`Lexicon::befalls`]) counts this share.
const VOCABULARY: f32 = 0.45;

/// A figure beside those that an item has is likelier than one in their stead, by more than a longer
/// text counts against it.
const BESIDE: f32 = 0.1;

/// So many words before and after a quote may belong to the same matter: a sentence or so.
const NEAR_WORDS: usize = 14;

/// Further from the quote nothing is looked for by its sound: it takes time, and much sounds alike.
const MISHEARD_NEAR: usize = 4;

/// Phrases of one's own words have at most so many words.
const LONGEST_PHRASE: usize = 5;

/// Words that no name begins or ends with.
const NO_NAME: &[&str] = &[
    "a", "an", "the", "and", "or", "but", "is", "are", "was", "were", "it", "its", "it's", "of",
    "to", "in", "on", "at", "by", "for", "with", "that", "this", "so", "there", "there's", "has",
    "have", "i", "we", "you", "then", "as", "be", "here",
];

impl Session {
    /// Returns texts for a field of the item, the best first: what agrees with what was typed so
    /// far, ranked by how well it fits the item.
    pub fn complete(&self, field: Field, typed: &str, item: &Item) -> Vec<String> {
        complete(field, typed, &field.read(item), &self.choices(field, item))
    }

    /// Returns everything that the field might be given, each with how well it fits the item.
    pub fn choices(&self, field: Field, item: &Item) -> Vec<Choice> {
        let mut choices = Vec::new();
        match field {
            Field::Severity => {
                use Severity::{Clean, Finish, Repair, Safety, Watch};
                let all = [Safety, Repair, Finish, Clean, Watch].map(severity_word);
                return all.map(|word| Choice::new(word, USUAL)).into();
            }
            Field::Count | Field::Measurement => self.figures(field, item, &mut choices),
            Field::Description | Field::Remark => {}
            Field::Place => self.places(item, &mut choices),
            Field::Position | Field::Element | Field::Defect | Field::Remedy | Field::Trade => {
                self.heard(field, item, &mut choices);
                self.used(field, item, &mut choices);
                self.vocabulary(field, item, &mut choices);
            }
        }
        choices
    }

    /// Places: those of the items around this one first, then the others of the job, then all.
    fn places(&self, item: &Item, choices: &mut Vec<Choice>) {
        let items = self.items();
        let here = items.iter().position(|other| other.id == item.id);
        let here = here.unwrap_or(items.len().saturating_sub(1));
        for (place, other) in items.iter().enumerate() {
            let distance = place.abs_diff(here).min(40) as f32;
            choices.push(Choice::new(&other.place, HEARD_NEAR - distance / 100.0));
        }
        if let Some(lexicon) = self.around.lexicon.as_deref() {
            for hit in self.hits(lexicon, item, Kind::Place) {
                choices.push(Choice::new(hit.0, hit.1));
            }
            for id in lexicon.ids(Kind::Place) {
                choices.push(Choice::typed(lexicon.name(id), VOCABULARY / 2.0));
                if lexicon.place(id).numbered {
                    for number in ["one", "two", "three", "four", "five"] {
                        let name = format!("{} {number}", lexicon.name(id));
                        choices.push(Choice::typed(name, VOCABULARY / 4.0));
                    }
                }
            }
        }
    }

    /// What was heard with the item: terms of the kind, and phrases of its words as they are.
    fn heard(&self, field: Field, item: &Item, choices: &mut Vec<Choice>) {
        let kind = kind_of(field);
        if let (Some(lexicon), Some(kind)) = (self.around.lexicon.as_deref(), kind) {
            for (text, fit) in self.hits(lexicon, item, kind) {
                choices.push(Choice::new(text, fit));
            }
        }
        if field == Field::Trade {
            return;
        }
        let words = self.near(item);
        for phrase in phrases(words.iter().map(|(word, _)| &*word.text)) {
            choices.push(Choice::typed(phrase, OWN_PHRASE));
        }
    }

    /// Figures heard with the item or near it: its own are what it has already, others go beside them.
    fn figures(&self, field: Field, item: &Item, choices: &mut Vec<Choice>) {
        let Some(lexicon) = self.around.lexicon.as_deref() else {
            return;
        };
        let near = self.near(item);
        let words: Vec<Word> = near.iter().map(|(word, _)| word.clone()).collect();
        let tokens = lexicon.tokens(&words);
        let fit = |range: &Range<usize>| {
            let first = tokens.get(range.start);
            fit_of(first.map_or(NEAR_WORDS, |token| near[token.word].1))
        };
        if field == Field::Count {
            let heard = counts(&tokens).into_iter();
            choices.extend(heard.map(|(at, count)| Choice::new(count.to_string(), fit(&at))));
            return;
        }
        for (at, measurement) in measurements(&tokens, &words) {
            let same = |own: &Measurement| own.value == measurement.value;
            if item.measurements.iter().any(same) {
                continue;
            }
            let mut other = item.clone();
            other.measurements = vec![measurement];
            let alone = field.read(&other);
            if !item.measurements.is_empty() {
                let both = format!("{}; {alone}", field.read(item));
                choices.push(Choice::new(both, fit(&at)));
            }
            choices.push(Choice::new(alone, fit(&at) - BESIDE));
        }
    }

    /// What other items of this job have in the field.
    fn used(&self, field: Field, item: &Item, choices: &mut Vec<Choice>) {
        let lexicon = self.around.lexicon.as_deref();
        let mut texts: BTreeMap<String, f32> = BTreeMap::new();
        for other in self.items().iter().filter(|other| other.id != item.id) {
            let alike = match field {
                Field::Position | Field::Defect | Field::Trade => other.element == item.element,
                Field::Remedy => other.defect == item.defect,
                _ => other.place == item.place,
            };
            let fit = if alike { SAME_PLACE } else { SAME_JOB };
            let best = texts.entry(field.read(other)).or_insert(fit);
            *best = best.max(fit);
        }
        for (text, fit) in texts {
            let pairing = lexicon.map_or(1.0, |lexicon| match field {
                Field::Element => goes_with(lexicon, &item.defect, &text),
                Field::Defect => goes_with(lexicon, &text, &item.element),
                _ => 1.0,
            });
            choices.push(Choice::new(text, fit * pairing));
        }
    }

    /// What the vocabulary has, by how well it goes with the rest of the item.
    fn vocabulary(&self, field: Field, item: &Item, choices: &mut Vec<Choice>) {
        let (Some(lexicon), Some(kind)) = (self.around.lexicon.as_deref(), kind_of(field)) else {
            return;
        };
        let usual = items::usual(lexicon, item);
        match field {
            Field::Trade => choices.extend(usual.trade.map(|text| Choice::new(text, USUAL))),
            Field::Remedy => choices.extend(usual.remedy.map(|text| Choice::new(text, USUAL))),
            _ => {}
        }
        let element = items::named(lexicon, &item.element, Kind::Element);
        let defect = items::named(lexicon, &item.defect, Kind::Defect);
        let place = items::named(lexicon, &item.place, Kind::Place);
        for id in lexicon.ids(kind) {
            let fit = match field {
                Field::Element => {
                    let befalls = defect.map_or(0.5, |defect| lexicon.befalls(defect, id));
                    befalls * place.map_or(0.5, |place| lexicon.likely_in(id, place))
                }
                Field::Defect => element.map_or(0.5, |element| lexicon.befalls(id, element)),
                _ => 0.5,
            };
            // What is said of the element by name is worth offering before a letter is typed.
            let known = field == Field::Defect && element.is_some() && fit > 0.8;
            choices.push(Choice {
                unasked: known,
                ..Choice::new(lexicon.name(id), fit * VOCABULARY)
            });
            let also = match kind {
                Kind::Element => &lexicon.element(id).also[..],
                Kind::Defect => &lexicon.defect(id).also[..],
                _ => &[],
            };
            // Other wordings are offered too: inspectors have their own.
            for wording in also {
                choices.push(Choice::typed(wording, fit * VOCABULARY * 0.9));
            }
        }
    }

    /// Terms of a kind heard with the item or near it, with their fits: by name, and in the words
    /// in which they were heard.
    fn hits(&self, lexicon: &Lexicon, item: &Item, kind: Kind) -> Vec<(String, f32)> {
        let words = self.near(item);
        let heard: Vec<Word> = words.iter().map(|(word, _)| word.clone()).collect();
        let tokens = lexicon.tokens(&heard);
        let hits = lexicon.spot(&tokens);
        let hits: Vec<&Hit> = hits.iter().filter(|hit| hit.kind == kind).collect();
        let inside = |hit: &Hit| {
            let longer = |other: &&&Hit| {
                other.tokens.start <= hit.tokens.start
                    && hit.tokens.end <= other.tokens.end
                    && other.tokens.len() > hit.tokens.len()
            };
            hits.iter().any(|other| longer(&other))
        };
        let mut texts = Vec::new();
        for hit in hits.iter().filter(|hit| !inside(hit)) {
            let range = &tokens[hit.tokens.clone()];
            let (Some(first), Some(last)) = (range.first(), range.last()) else {
                continue;
            };
            let fit = fit_of(words[first.word].1);
            let own: Vec<&str> = heard[first.word..=last.word]
                .iter()
                .map(|word| bare(&word.text))
                .collect();
            texts.push((lexicon.name(hit.term).to_string(), fit));
            texts.push((own.join(" ").to_lowercase(), fit - 0.02));
        }
        // What was misheard may still sound like what was said.
        let close = |token: &Token| words[token.word].1 <= MISHEARD_NEAR;
        let start = tokens.iter().position(close).unwrap_or(0);
        let end = tokens.iter().rposition(close).map_or(0, |last| last + 1);
        let sounding = lexicon.sounds_like(&tokens, start..end, &[kind], SUPPORTED_SOUND_LIMIT);
        for hit in sounding {
            let How::SoundsLike { distance } = hit.how else {
                continue;
            };
            let near = tokens
                .get(hit.tokens.start)
                .map_or(0, |token| words[token.word].1);
            let name = lexicon.name(hit.term);
            let pairing = match kind {
                Kind::Element => goes_with(lexicon, &item.defect, name),
                Kind::Defect => goes_with(lexicon, name, &item.element),
                _ => 1.0,
            };
            let fit = (SOUNDS_LIKE - distance / 2.0 - near as f32 / 50.0) * pairing;
            texts.push((name.to_string(), fit));
        }
        texts
    }

    /// The words of the item's quote and around it, each with its distance from the quote.
    fn near(&self, item: &Item) -> Vec<(Word, usize)> {
        let evidence = &item.evidence;
        if let Some((from, to)) = evidence.words
            && self.around.said((from, to)).is_some()
        {
            let start = from.saturating_sub(NEAR_WORDS);
            let end = (to + NEAR_WORDS).min(self.around.words.len());
            let distance = |at: usize| from.saturating_sub(at).max((at + 1).saturating_sub(to));
            return (start..end)
                .map(|at| (self.around.words[at].clone(), distance(at)))
                .collect();
        }
        let words = self.words_of(evidence.recording, evidence.span, &evidence.quote);
        words.into_iter().map(|word| (word, 0)).collect()
    }
}

/// How well something heard so many words from the item's own fits it.
fn fit_of(distance: usize) -> f32 {
    match distance {
        0 => HEARD,
        _ => HEARD_NEAR - distance as f32 / 100.0,
    }
}

fn kind_of(field: Field) -> Option<Kind> {
    match field {
        Field::Place => Some(Kind::Place),
        Field::Element => Some(Kind::Element),
        Field::Defect => Some(Kind::Defect),
        Field::Remedy => Some(Kind::Remedy),
        Field::Trade => Some(Kind::Trade),
        _ => None,
    }
}

/// How well a defect goes with an element, both as worded; what the vocabulary does not know may.
fn goes_with(lexicon: &Lexicon, defect: &str, element: &str) -> f32 {
    let defect: Option<TermId> = items::named(lexicon, defect, Kind::Defect);
    let element = items::named(lexicon, element, Kind::Element);
    match (defect, element) {
        (Some(defect), Some(element)) => lexicon.befalls(defect, element),
        _ => 0.5,
    }
}

/// The word without punctuation around it.
fn bare(word: &str) -> &str {
    word.trim_matches(|c: char| !c.is_alphanumeric())
}

/// Phrases of words as they were heard, not across punctuation, that might be a name.
fn phrases<'a>(words: impl Iterator<Item = &'a str>) -> Vec<String> {
    let words: Vec<&str> = words.collect();
    let no_name = |word: &str| NO_NAME.contains(&&*bare(word).to_lowercase());
    let ends = |word: &str| word.ends_with(['.', ',', ';', ':', '?', '!']);
    let mut phrases = Vec::new();
    for start in 0..words.len() {
        for length in 1..=LONGEST_PHRASE.min(words.len() - start) {
            let part = &words[start..start + length];
            let (first, last) = (part[0], part[length - 1]);
            if no_name(first) || part[..length - 1].iter().any(|word| ends(word)) {
                break;
            }
            if !no_name(last) && !bare(last).is_empty() {
                let part: Vec<&str> = part.iter().map(|word| bare(word)).collect();
                phrases.push(part.join(" ").to_lowercase());
            }
        }
    }
    phrases
}
