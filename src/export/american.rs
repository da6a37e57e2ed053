//! A document for American readers: things by their American names, words in American spelling.
//!
//! Names are nouns and are put in place of nouns; what was said is never changed.

use super::document::Document;
use crate::items::Item;
use crate::lexicon::{Hit, How, Kind, Lexicon};

/// Puts American names and spellings into the texts of the document, all but the words as heard.
pub(super) fn rename(lexicon: &Lexicon, document: &mut Document) {
    for place in &mut document.places {
        place.name = american(lexicon, &place.name);
    }
    for item in &mut document.items {
        rename_item(lexicon, item);
    }
    for gloss in &mut document.reader.glossary {
        gloss.term = american(lexicon, &gloss.term);
        gloss.meaning = spelt(lexicon, &gloss.meaning);
    }
    document.reader.glossary.sort_by(|a, b| a.term.cmp(&b.term));
    document.reader.glossary.dedup_by(|b, a| {
        let same = a.term == b.term;
        if same {
            a.items.extend_from_slice(&b.items);
            a.items.sort_unstable();
            a.items.dedup();
        }
        same
    });
}

fn rename_item(lexicon: &Lexicon, item: &mut Item) {
    for text in [
        &mut item.place,
        &mut item.element,
        &mut item.defect,
        &mut item.description,
    ] {
        *text = american(lexicon, text);
    }
    for text in [&mut item.position, &mut item.trade].into_iter().flatten() {
        *text = american(lexicon, text);
    }
    if let Some(remedy) = &mut item.remedy {
        // A usual remedy is named whole: *ease and adjust* is *adjust*.
        *remedy = match lexicon.find(Kind::Remedy, remedy) {
            Some(id) => lexicon.american_name(id).to_owned(),
            None => american(lexicon, remedy),
        };
    }
}

/// Returns the text with the names of elements, places and trades in American, and its words in
/// American spelling. A plural stays one; a capital and what follows the word stay.
fn american(lexicon: &Lexicon, text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let tokens = lexicon.tokens_of(text);
    let mut hits: Vec<Hit> = lexicon
        .spot(&tokens)
        .into_iter()
        .filter(|hit| {
            hit.how == How::Exact && matches!(hit.kind, Kind::Place | Kind::Element | Kind::Trade)
        })
        .collect();
    // The longest name at a word wins, whether it has an American one or not: a *tap hole* is none.
    hits.sort_by_key(|hit| (std::cmp::Reverse(hit.tokens.len()), hit.tokens.start));
    let mut taken: Vec<Hit> = Vec::new();
    for hit in hits {
        let free = |other: &Hit| {
            other.tokens.end <= hit.tokens.start || hit.tokens.end <= other.tokens.start
        };
        if taken.iter().all(free) {
            taken.push(hit);
        }
    }
    taken.sort_by_key(|hit| hit.tokens.start);
    let mut out: Vec<String> = Vec::new();
    let mut at = 0;
    for hit in taken {
        let name = lexicon.name(hit.term);
        let shown = lexicon.american_name(hit.term);
        let (first, last) = (
            tokens[hit.tokens.start].word,
            tokens[hit.tokens.end - 1].word,
        );
        // Part of a hyphenated word, or another wording that says something else, stays.
        let whole = (hit.tokens.start == 0 || tokens[hit.tokens.start - 1].word != first)
            && tokens.get(hit.tokens.end).is_none_or(|t| t.word != last);
        let its_name = name == hit.wording || name.starts_with(&format!("{} ", hit.wording));
        if shown == name || !whole || !its_name || hit.number.is_some() || first < at {
            continue;
        }
        out.extend(words[at..first].iter().map(|word| spelt(lexicon, word)));
        let said = tokens[hit.tokens.clone()].iter().map(|t| t.norm.as_str());
        let plural = !said.eq(hit.wording.split([' ', '-'])) && words[last].contains('s');
        let mut new = if plural {
            lexicon.plural(shown)
        } else {
            shown.to_owned()
        };
        if words[first].starts_with(char::is_uppercase) {
            new = super::wording::capitalised(&new);
        }
        let tail =
            words[last].trim_start_matches(|c: char| c.is_alphanumeric() || "-'’".contains(c));
        out.push(new + tail);
        at = last + 1;
    }
    out.extend(words[at..].iter().map(|word| spelt(lexicon, word)));
    out.join(" ")
}

/// Returns the text with each word in American spelling, capitals and punctuation kept.
fn spelt(lexicon: &Lexicon, text: &str) -> String {
    let word = |word: &str| {
        let core = word.trim_matches(|c: char| !c.is_alphanumeric());
        match lexicon.american_spelling(&core.to_lowercase()) {
            Some(other) if !core.is_empty() => {
                let other = if core.starts_with(char::is_uppercase) {
                    super::wording::capitalised(other)
                } else {
                    other.to_owned()
                };
                word.replacen(core, &other, 1)
            }
            _ => word.to_owned(),
        }
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cautions::Region;
    use crate::export::sample;

    #[test]
    fn things_go_by_their_american_names() {
        let lexicon = Lexicon::embedded().unwrap();
        for (british, expected) in [
            ("The kitchen tap is loose.", "The kitchen faucet is loose."),
            (
                "Taps dripping, both of them.",
                "Faucets dripping, both of them.",
            ),
            (
                "The skirting behind the door",
                "The baseboard behind the door",
            ),
            ("Skirting boards loose", "Baseboards loose"),
            ("worktop joint", "countertop seam"),
            (
                "Mould on the wall, wrong colour.",
                "Mold on the wall, wrong color.",
            ),
            ("The drawer is stiff.", "The drawer is stiff."),
            ("rear garden", "backyard"),
            ("bedroom two", "bedroom two"),
            ("", ""),
        ] {
            assert_eq!(american(lexicon, british), expected, "{british}");
        }
    }

    #[test]
    fn what_was_said_stays_as_it_was_said() {
        let mut document = sample::document();
        document.items[0].element = "tap".into();
        document.items[0].evidence.quote = "the tap's loose".into();
        let places = document.places.len();
        document.word_for(Lexicon::embedded().unwrap(), Region::America);
        assert_eq!(document.items[0].element, "faucet");
        assert_eq!(document.items[0].evidence.quote, "the tap's loose");
        assert_eq!(document.places.len(), places);
        let trades: Vec<_> = document
            .items
            .iter()
            .filter_map(|i| i.trade.clone())
            .collect();
        assert!(
            trades.contains(&"finish carpenter".to_owned()),
            "{trades:?}"
        );
    }

    /// Every place that an item names is still among the places, so that the walking order holds.
    #[test]
    fn items_and_places_keep_one_name() {
        let mut document = sample::document();
        document.places[1].name = "rear garden".into();
        document.items[1].place = "rear garden".into();
        document.word_for(Lexicon::embedded().unwrap(), Region::America);
        assert_eq!(document.items[1].place, document.places[1].name);
        assert_eq!(document.places[1].name, "backyard");
    }
}
