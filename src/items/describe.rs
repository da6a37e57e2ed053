//! The sentence that describes an item, from the speaker's own words, tidied.

mod alone;

use super::draft::{Draft, Named};
use super::item::Item;
use crate::lexicon::{How, Kind, Lexicon};
use crate::plain;
use crate::speech::Transcript;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{Class, class, hesitation, opener};
use crate::statements::reading::Reading;
use alone::{shortened, standing_alone};
use std::ops::Range;

/// Returns what is wrong, as the list names it: the speaker's wording, or the lexicon's name where
/// the words were misheard; further defects of the same element are joined by commas.
pub(crate) fn defect(lexicon: &Lexicon, element: &Named, defects: &[Named]) -> String {
    let shown = |d: &Named| match (d.how, d.term) {
        // "Gap between the balusters": the lexicon's name does not say the element again.
        (_, Some(term))
            if d.tokens.start <= element.tokens.start
                && element.tokens.end <= d.tokens.end
                && lexicon.name(term).split(' ').next() == d.text.split(' ').next() =>
        {
            lexicon.name(term).to_owned()
        }
        // "There isn't one".
        (_, Some(term))
            if lexicon.name(term) == MISSING
                && NONE_THERE.iter().any(|end| d.text.ends_with(end)) =>
        {
            MISSING.to_owned()
        }
        (How::Exact, _) | (_, None) => d.text.clone(),
        // "Rockin'": the wording that was meant, where it reads as a fault.
        (_, Some(term)) if lexicon.defect(term).also.contains(&d.text) => d.text.clone(),
        (_, Some(term)) => lexicon.name(term).to_owned(),
    };
    let mut names: Vec<String> = Vec::new();
    for defect in defects {
        let name = shown(defect);
        if !names
            .iter()
            .any(|n| n.contains(&name) || name.contains(n.as_str()))
        {
            names.push(name);
        }
    }
    names.truncate(MOST_DEFECTS);
    names
        .iter()
        .map(|name| as_spoken(name))
        .collect::<Vec<_>>()
        .join(", ")
}

/// How faults that are told by the shape of the words begin, and how people say it: a list's column
/// has *won't shut*, its sentence *will not shut*.
const SPOKEN: &[(&str, &str)] = &[
    ("will not ", "won't "),
    ("does not ", "doesn't "),
    ("do not ", "don't "),
    ("cannot ", "can't "),
];

fn as_spoken(name: &str) -> String {
    // "Won't shut", but also "key won't turn".
    SPOKEN
        .iter()
        .find_map(|(written, spoken)| {
            let (before, after) = name.split_once(written)?;
            let whole_words = before.is_empty() || before.ends_with(' ');
            whole_words.then(|| format!("{before}{spoken}{after}"))
        })
        .unwrap_or_else(|| name.to_owned())
}

/// How wordings end that say only that a thing named before is not there.
const NONE_THERE: &[&str] = &[" one", " any", " none", " there"];

/// So many defects of one element are named together; the description has the rest.
const MOST_DEFECTS: usize = 3;

/// Returns one plain sentence: the speaker's words on the item, tidied, where they stand alone; else
/// the sentence that its facts make.
pub(crate) fn description(
    lexicon: &Lexicon,
    reading: &Reading,
    transcript: &Transcript,
    draft: &Draft,
) -> String {
    let named: Vec<&Named> = std::iter::once(&draft.element)
        .chain(&draft.defects)
        .collect();
    let remedies: Vec<Range<usize>> = draft.remedies.iter().map(|(r, _)| r.clone()).collect();
    let said: Vec<String> = draft
        .clauses
        .iter()
        .filter(|c| {
            !remedies
                .iter()
                .any(|r| r.start <= c.start && c.end <= r.end)
        })
        .map(|c| clean(reading, transcript, c, &named))
        .filter(|c| !c.is_empty())
        .collect();
    let said = said.join(", ");
    if !draft.defect_carried
        && !plain::speaks_of_others(&said)
        && let Some(text) = standing_alone(
            &plain::tidy(&said),
            &draft.element.text,
            act(reading, draft),
        )
    {
        return plain::sentence(&shortened(&text));
    }
    let position = (!draft.positions.is_empty()).then(|| draft.positions.join(", "));
    let defect = defect(lexicon, &draft.element, &draft.defects);
    let count = draft.count.unwrap_or(1);
    of_facts(
        Some(lexicon),
        &draft.element.text,
        position.as_deref(),
        &defect,
        count,
    )
}

/// Returns the verb by which the fault begins and that says what the element does, with nothing but where
/// it is between: *gate latch **misses** its keep*, *gripper **poking** up through the carpet*.
fn act<'a>(reading: &'a Reading, draft: &Draft) -> Option<&'a str> {
    let element = &draft.element.tokens;
    let within =
        |from: usize, to: usize| draft.clauses.iter().any(|c| c.start <= from && to < c.end);
    let fault = draft.defects.iter().find(|fault| {
        let begins = fault.tokens.start;
        element.end <= begins
            && within(element.start, begins)
            && (element.end..begins).all(|at| {
                !matches!(
                    class(&reading.tokens[at].norm),
                    Class::Verb | Class::Negation
                )
            })
    })?;
    let verb = reading.tokens[fault.tokens.start].norm.as_str();
    let doing = verb.len() > "ring".len() && verb.ends_with("ing") && verb != MISSING;
    let does = doing && element.end == fault.tokens.start
        || verb.ends_with('s') && !verb.ends_with("ss") && !plain::is_plural(&draft.element.text);
    (!draft.element_carried && does && class(verb) == Class::Open).then_some(verb)
}

/// Returns the description of an item whose fields were edited: element, position, defect.
pub fn describe(item: &Item) -> String {
    of_facts(
        Lexicon::embedded(),
        &item.element,
        item.position.as_deref(),
        &item.defect,
        item.count,
    )
}

fn of_facts(
    lexicon: Option<&Lexicon>,
    element: &str,
    position: Option<&str>,
    defect: &str,
    count: u32,
) -> String {
    let own = |defect: &str| own_predicate(lexicon?, defect);
    let plural = |name: &str| lexicon.map_or_else(|| name.to_owned(), |l| l.plural(name));
    plain::facts(element, position, defect, count, &own, &plural)
}

/// Returns the predicate that the lexicon gives a defect of that name; where the words fit no
/// pattern of their own, that of the defect that they are a wording of (*crack* is *cracked*).
fn own_predicate(lexicon: &Lexicon, text: &str) -> Option<String> {
    let of = |id| lexicon.defect(id).predicate.clone();
    if let Some(id) = lexicon.find(Kind::Defect, text) {
        return of(id);
    }
    if plain::predicate(text, None, false).is_some() {
        return None;
    }
    let tokens = lexicon.tokens_of(text);
    let whole = lexicon
        .spot(&tokens)
        .into_iter()
        .find(|hit| hit.kind == Kind::Defect && hit.tokens == (0..tokens.len()))?;
    of(whole.term).or_else(|| plain::predicate(lexicon.name(whole.term), None, false))
}

/// Returns the spoken remedies as one phrase, or `None`.
pub(crate) fn remedy(reading: &Reading, transcript: &Transcript, draft: &Draft) -> Option<String> {
    let said: Vec<String> = draft
        .remedies
        .iter()
        .map(|(r, _)| clean(reading, transcript, r, &[]))
        .filter(|r| !r.is_empty())
        .collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// Returns the words under `range` without hesitations, openers and punctuation at the edges; words
/// that were misheard are shown as what they stand for.
pub(crate) fn clean(
    reading: &Reading,
    transcript: &Transcript,
    range: &Range<usize>,
    named: &[&Named],
) -> String {
    let tokens = &reading.tokens;
    let mut start = range.start;
    while start < range.end && opener(&tokens[start].norm) && range.end - start > 1 {
        start += 1;
    }
    let mut out: Vec<String> = Vec::new();
    let mut last_word = usize::MAX;
    let mut at = start;
    while at < range.end {
        let misheard = named.iter().find(|n| {
            !matches!(n.how, How::Exact) && n.tokens.start == at && n.tokens.end <= range.end
        });
        if let Some(named) = misheard {
            out.push(named.text.clone());
            at = named.tokens.end;
            last_word = tokens[at - 1].word;
            continue;
        }
        let token = &tokens[at];
        if hesitation(&token.norm) {
            // The comma before a hesitation belongs to it, unless a new clause begins.
            if let Some(before) = out.last_mut()
                && !tokens
                    .get(at + 1)
                    .is_some_and(|next| plain::begins_clause(&next.norm))
            {
                before.truncate(before.trim_end_matches(',').len());
            }
        } else if token.word != last_word {
            out.push(
                transcript.words[token.word]
                    .text
                    .trim_matches(['"', '“', '”'])
                    .to_owned(),
            );
        }
        last_word = token.word;
        at += 1;
    }
    let text = out.join(" ");
    let text = text.trim_matches(|c: char| {
        c.is_whitespace() || matches!(c, ',' | '.' | ';' | ':' | '!' | '?' | '-' | '…')
    });
    plain::lower_first(text)
}

#[cfg(test)]
mod tests;
