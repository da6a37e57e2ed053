//! What is spoken to learn how the recogniser mishears: the lexicon's names in sentences that vary.

use callover::lexicon::{Kind, Lexicon, PlaceKind, TermId};
use std::collections::BTreeMap;

/// What goes together well enough to be said together: by name or by group, not *anything goes*.
const GOES: f32 = 0.9;

/// Names of things in a line.
const TOGETHER: usize = 3;

/// Returns lines in which each element with a name of its own is said once, three in a line, with a fault
/// that befalls the last of them and a place where it is found. Another `turn` gives them other
/// company and another sentence.
pub(crate) fn lines(lexicon: &Lexicon, turn: usize) -> Vec<String> {
    let mut used: BTreeMap<TermId, usize> = BTreeMap::new();
    let defects: Vec<TermId> = lexicon.ids(Kind::Defect).collect();
    let usual = |place: &TermId| {
        let place = lexicon.place(*place);
        place.kind != PlaceKind::Whole && !place.weak
    };
    let places: Vec<TermId> = lexicon.ids(Kind::Place).filter(usual).collect();
    // Everyday words are heard well, and what is written for them means itself.
    let own = |id: &TermId| {
        let mut words = lexicon.name(*id).split([' ', '-']);
        !words.all(|word| lexicon.everyday(word))
    };
    let mut elements: Vec<TermId> = lexicon.ids(Kind::Element).filter(own).collect();
    let from = turn % elements.len();
    elements.rotate_left(from);
    let mut lines = Vec::new();
    for together in elements.chunks(TOGETHER) {
        let at = lines.len() + turn;
        let mut said_least = |of: &[TermId], goes: &dyn Fn(TermId) -> f32| {
            let from = (at * 7) % of.len();
            let fits = of[from..].iter().chain(&of[..from]);
            let fits = fits.filter(|id| goes(**id) >= GOES);
            let least = *fits.min_by_key(|id| used.get(id).copied().unwrap_or(0))?;
            *used.entry(least).or_default() += 1;
            Some(least)
        };
        let last = together[together.len() - 1];
        let defect = said_least(&defects, &|defect| lexicon.befalls(defect, last));
        let place = said_least(&places, &|place| lexicon.likely_in(last, place));
        let place = place.map_or("property", |place| lexicon.name(place));
        let fault = defect.map_or("damaged", |defect| lexicon.name(defect));
        let is = defect.and_then(|defect| lexicon.defect(defect).predicate.clone());
        let is = is.unwrap_or_else(|| format!("is {fault}"));
        let remedy = defect.and_then(|defect| lexicon.usual_remedy(defect, Some(last)));
        let remedy = remedy.map_or("to be looked at", |remedy| lexicon.name(remedy));
        let names: Vec<&str> = together.iter().map(|id| lexicon.name(*id)).collect();
        lines.push(match at % 3 {
            0 => format!("{place}. {}, {fault}, {remedy}.", names.join(", ")),
            1 => format!(
                "In the {place}, check the {} {is}.",
                names.join(", and the ")
            ),
            _ => format!(
                "Right, {}, in the {place}: it {is}, so {remedy}.",
                names.join(" and ")
            ),
        });
    }
    lines
}
