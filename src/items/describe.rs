//! The sentence that describes an item, from the speaker's own words, tidied.

use super::draft::{Draft, Named};
use super::item::Item;
use crate::lexicon::{How, Lexicon};
use crate::speech::Transcript;
use crate::statements::faults::MISSING;
use crate::statements::grammar::{hesitation, opener};
use crate::statements::reading::Reading;
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
    names.join(", ")
}

/// How wordings end that say only that a thing named before is not there.
const NONE_THERE: &[&str] = &[" one", " any", " none", " there"];

/// So many defects of one element are named together; the description has the rest.
const MOST_DEFECTS: usize = 2;

/// Returns one plain sentence: the speaker's words on the item, led by the element where they do
/// not name it.
pub(crate) fn description(reading: &Reading, transcript: &Transcript, draft: &Draft) -> String {
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
    let mut text = said.join(", ");
    let lead = &draft.element.text;
    let head = lead.rsplit(' ').next().unwrap_or(lead);
    if !text.to_lowercase().contains(head) {
        text = if text.is_empty() {
            format!("{lead} {}", draft.defects[0].text)
        } else {
            format!("{lead}: {text}")
        };
    }
    if draft.defect_carried && !text.contains(draft.defects[0].text.as_str()) {
        text = format!("{text} ({})", draft.defects[0].text);
    }
    sentence(&text)
}

/// Returns the description of an item whose fields were edited: element, position, defect.
pub fn describe(item: &Item) -> String {
    let position = item
        .position
        .as_deref()
        .map(|p| format!(" {p}"))
        .unwrap_or_default();
    sentence(&format!("{}{position}: {}", item.element, item.defect))
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
        if token.word != last_word && !hesitation(&token.norm) {
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
    lower_first(text)
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.clone().next()) {
        // "TRV head", "I can rock it": a capital that stands for itself.
        (Some(first), Some(second))
            if first.is_uppercase()
                && (second.is_lowercase() || (second == ' ' && first == 'A')) =>
        {
            first.to_lowercase().chain(chars).collect()
        }
        _ => text.to_owned(),
    }
}

fn sentence(text: &str) -> String {
    let mut chars = text.trim().chars();
    let first = chars
        .next()
        .map(|c| c.to_uppercase().to_string())
        .unwrap_or_default();
    let body = format!("{first}{}", chars.as_str());
    if body.is_empty() || body.ends_with(['.', '!', '?']) {
        body
    } else {
        format!("{body}.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_begin_with_a_capital_and_end_with_a_full_stop() {
        for (text, expected) in [
            ("sill loose", "Sill loose."),
            ("TRV head gone.", "TRV head gone."),
            ("", ""),
        ] {
            assert_eq!(sentence(text), expected);
        }
    }

    #[test]
    fn capitals_that_stand_for_themselves_are_kept() {
        for (text, expected) in [
            ("Sill's loose", "sill's loose"),
            ("TRV gone", "TRV gone"),
            ("I can rock it", "I can rock it"),
            ("A gap", "a gap"),
        ] {
            assert_eq!(lower_first(text), expected);
        }
    }
}
