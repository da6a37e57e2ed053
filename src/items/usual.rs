//! What the vocabulary says of an item's element and defect: usual remedy, trade, severity.

use super::item::{Item, RemedySource, Severity};
use super::trade;
use crate::lexicon::{Hit, How, Kind, Lexicon, TermId};

/// What usually goes with an element and a defect.
#[derive(Debug, Clone, PartialEq)]
pub struct Usual {
    /// Who usually puts it right.
    pub trade: Option<String>,
    /// How much it usually matters; `repair` where the vocabulary has no opinion.
    pub severity: Severity,
    /// What usually puts it right.
    pub remedy: Option<String>,
}

/// Returns what the vocabulary says of the item as its facts are worded. A trade that was said is not
/// among them, and so not in what is returned.
pub fn usual(lexicon: &Lexicon, item: &Item) -> Usual {
    let element = named(lexicon, &item.element, Kind::Element);
    let defect = named(lexicon, &item.defect, Kind::Defect);
    let remedy = defect.and_then(|defect| lexicon.usual_remedy(defect, element));
    let was_said = item.remedy_source == Some(RemedySource::Spoken);
    let spoken = item.remedy.as_deref().filter(|_| was_said);
    let signs = trade::Signs {
        said: None,
        spoken: spoken.and_then(|text| named(lexicon, text, Kind::Remedy)),
        faults: faults(lexicon, &item.defect),
        usual: remedy,
        element,
        texts: item.defect.split(", ").collect(),
        words: &item.element,
        quote: &item.evidence.quote,
        place: &item.place,
        kind: named(lexicon, &item.place, Kind::Place)
            .map_or("", |place| lexicon.place(place).kind.word()),
    };
    let severity = defect
        .and_then(|defect| lexicon.defect(defect).severity)
        .unwrap_or(Severity::Repair);
    Usual {
        trade: trade::of(lexicon, &signs).map(|trade| lexicon.name(trade).to_owned()),
        severity,
        remedy: remedy.map(|remedy| lexicon.name(remedy).to_owned()),
    }
}

/// The faults that a text names, in its order, none within the words of another.
fn faults(lexicon: &Lexicon, text: &str) -> Vec<TermId> {
    let hits = lexicon.spot(&lexicon.tokens_of(text));
    let mut exact: Vec<&Hit> = hits
        .iter()
        .filter(|hit| hit.kind == Kind::Defect && hit.how == How::Exact)
        .collect();
    exact.sort_by_key(|hit| (hit.tokens.start, usize::MAX - hit.tokens.end));
    let mut end = 0;
    exact.retain(|hit| {
        let beyond = hit.tokens.end > end;
        end = end.max(hit.tokens.end);
        beyond
    });
    exact.iter().map(|hit| hit.term).collect()
}

/// Returns the term that a typed text names: of that kind, the longest; of equally long ones the
/// last for elements (*shower tray waste* is a waste), the first otherwise.
pub fn named(lexicon: &Lexicon, text: &str, kind: Kind) -> Option<TermId> {
    let tokens = lexicon.tokens_of(text);
    let exact = |hit: &Hit| hit.kind == kind && hit.how == How::Exact;
    let hits = lexicon.spot(&tokens).into_iter().filter(exact);
    let rank = |hit: &Hit| match kind {
        Kind::Element => (hit.tokens.len(), hit.tokens.end),
        _ => (hit.tokens.len(), usize::MAX - hit.tokens.start),
    };
    hits.max_by_key(rank).map(|hit| hit.term)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::items::propose;
    use crate::speech::formats::{Format, Source, read};
    use std::sync::OnceLock;

    fn lexicon() -> &'static Lexicon {
        static LEXICON: OnceLock<Lexicon> = OnceLock::new();
        LEXICON.get_or_init(|| Lexicon::builtin().unwrap())
    }

    fn heard(text: &str) -> Vec<Item> {
        let source = Source {
            file: "walk.txt",
            sha256: "0",
            recording: 1,
        };
        let transcript = read(source, Format::Text, text.as_bytes()).unwrap();
        propose(lexicon(), &transcript).items
    }

    #[test]
    fn who_puts_it_right_is_the_same_as_when_the_list_was_made() {
        for (text, trade) in [
            // The fault decides, whatever it is on.
            ("Kitchen. Paint splashes on the worktop.", "decorator"),
            // What is nobody's is told by its other words.
            ("Bathroom. Fan cover cracked.", "electrician"),
            // A part is put right by who fits the whole, which its own words name, or those beside it, or the place.
            ("Hall. Handle loose.", "joiner"),
            ("Kitchen. Handle loose.", "kitchen fitter"),
            ("Kitchen. Window handle loose.", "window fitter"),
            (
                "Kitchen. The handle on the window's loose.",
                "window fitter",
            ),
            ("Bathroom. Toilet seat hinge broken.", "plumber"),
            ("Garage. Roller door seal torn.", "garage door fitter"),
            ("Loft. The water tank's got no lid.", "plumber"),
            ("Patio. Pointing missing.", "landscaper"),
            ("Front elevation. Pointing missing.", "bricklayer"),
            // What a part is fixed to is not what it is a part of.
            ("Hall. Bracket pulled out of the wall.", "site manager"),
            // The place tells.
            ("Roof. Mortar missing on the ridge tile.", "roofer"),
            ("Garage. Crack in the floor.", "groundworker"),
            ("Lounge. Scuff on the floor.", "flooring fitter"),
            ("Kitchen. Worktop loose.", "kitchen fitter"),
        ] {
            let items = heard(text);
            let [item] = &items[..] else {
                panic!("{text}: {items:?}");
            };
            assert_eq!(item.trade.as_deref(), Some(trade), "{text}");
            assert_eq!(usual(lexicon(), item).trade, item.trade, "{text}");
        }
    }

    #[test]
    fn nearly_all_items_of_a_walk_round_follow_the_rule_by_which_they_were_made() {
        let items = heard(include_str!("../../examples/plot-seven.txt"));
        let differ: Vec<String> = items
            .iter()
            .filter(|item| usual(lexicon(), item).trade != item.trade)
            .map(|item| format!("{} {}: {:?}", item.element, item.defect, item.trade))
            .collect();
        // Only those whose trade was said outright.
        insta::assert_snapshot!(differ.join("\n"), @"");
    }
}
