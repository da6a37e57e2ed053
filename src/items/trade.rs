//! Who puts an item right: as said, else as remedy, fault and element point to.
//!
//! One rule for the list as it is first made, and for what follows when the inspector changes a fact.

use crate::lexicon::{GroupId, Hit, Kind, Lexicon, TermId};

/// The group of things that are everybody's; its trade is whoever runs the site.
const OF_NO_TRADE: &str = "common";

/// How well a fault must befall an element to decide who puts it right.
const LEAST_FIT: f32 = 0.5;

/// What points to a trade.
#[derive(Debug, Clone, Default)]
pub(crate) struct Signs<'a> {
    /// The trade that was said outright.
    pub(crate) said: Option<TermId>,
    /// The remedy that was said.
    pub(crate) spoken: Option<TermId>,
    /// The faults, the main one first.
    pub(crate) faults: Vec<TermId>,
    /// The usual remedy of the main fault.
    pub(crate) usual: Option<TermId>,
    /// The element, where the vocabulary knows it.
    pub(crate) element: Option<TermId>,
    /// The faults as worded.
    pub(crate) texts: Vec<&'a str>,
    /// The element as worded.
    pub(crate) words: &'a str,
    /// What was said, as heard.
    pub(crate) quote: &'a str,
    /// The name of the place.
    pub(crate) place: &'a str,
    /// What kind of place it is, as a word: `room`, `roof`, …
    pub(crate) kind: &'a str,
}

/// Returns the trade that the signs point to, from the surest to the least: said outright; the remedy
/// that was said; the fault, where it decides (*paint run*); the usual remedy; the element. A remedy
/// counts only where its trade works on such an element (nobody's *make good* makes a plasterer mend a
/// roof), and a usual one not where the element has a trade of its own within its group (timber decking
/// in paving).
pub(crate) fn of(lexicon: &Lexicon, signs: &Signs) -> Option<TermId> {
    let element = element(lexicon, signs);
    let group = element.map(|e| lexicon.element(e).group);
    let own = element.map(|e| lexicon.element(e).trade);
    let own = own.filter(|trade| group.is_some_and(|g| lexicon.group(g).trade != *trade));
    let fits = |trade: &TermId| works_on(lexicon, *trade, group);
    let remedy = |term: Option<TermId>| term.and_then(|t| lexicon.remedy(t).trade).filter(fits);
    // What befalls only other things says nothing here: *the plug pops back up* is no nail pop.
    let befalls =
        |fault: &&TermId| element.is_none_or(|e| lexicon.befalls(**fault, e) >= LEAST_FIT);
    let by_fault = || {
        let main = signs.faults.first().filter(befalls)?;
        lexicon.defect(*main).trade
    };
    let by_text = || signs.texts.iter().find_map(|text| told_by(lexicon, text));
    signs
        .said
        .or_else(|| remedy(signs.spoken))
        .or_else(by_text)
        .or_else(by_fault)
        .or_else(|| own.or_else(|| remedy(signs.usual)))
        .or_else(|| told_by_place(lexicon, signs.kind, element?))
        .or_else(|| element.map(|e| lexicon.element(e).trade))
}

/// Who left a material on the work of another (*paint on it*), and who stops gaps against fire, where
/// the words of a fault tell. Common practice, no source.
const TELLING: &[(&str, &str)] = &[
    ("no fire stopping", "fire stopping contractor"),
    ("paint on it", "decorator"),
    ("gloss on it", "decorator"),
    ("emulsion on it", "decorator"),
    ("overspray on it", "decorator"),
    ("plaster on it", "plasterer"),
    ("render on it", "renderer"),
    ("mortar on it", "bricklayer"),
    ("grout on it", "tiler"),
    ("adhesive on it", "tiler"),
    ("silicone on it", "sealant applicator"),
    ("sealant on it", "sealant applicator"),
    ("mastic on it", "sealant applicator"),
];

fn told_by(lexicon: &Lexicon, text: &str) -> Option<TermId> {
    // Words of the speaker's own may be the name of a fault: *they haven't painted it* is *not painted*.
    let fault = lexicon.find(Kind::Defect, text);
    let by_fault = fault.and_then(|fault| lexicon.defect(fault).trade);
    if by_fault.is_some() {
        return by_fault;
    }
    let (_, trade) = TELLING.iter().find(|(words, _)| text == *words)?;
    lexicon.find(Kind::Trade, trade)
}

/// Whose things of a group, or called so, are where the kind of place is this one: the tiles of a roof and the mortar
/// under them are the roofer's, a garage's floor is of concrete, a wall seen from outside of brick, a drain in a room
/// is a waste. Common practice, no source.
const HERE: &[(&str, &[&str], &str)] = &[
    (
        "roof",
        &["tiling", "masonry", "floor", "worktop upstand"],
        "roofer",
    ),
    ("loft", &["underlay"], "roofer"),
    ("elevation", &["wall"], "bricklayer"),
    ("garage", &["floor"], "groundworker"),
    ("room", &["drain", "gully grid"], "plumber"),
];

fn told_by_place(lexicon: &Lexicon, kind: &str, element: TermId) -> Option<TermId> {
    let name = lexicon.name(element);
    let group = &lexicon.group(lexicon.element(element).group).name;
    let told = |(at, what, _): &&(&str, &[&str], &str)| {
        *at == kind && what.iter().any(|what| *what == name || what == group)
    };
    let (_, _, trade) = HERE.iter().find(told)?;
    lexicon.find(Kind::Trade, trade)
}

fn works_on(lexicon: &Lexicon, trade: TermId, group: Option<GroupId>) -> bool {
    let works_on = &lexicon.trade(trade).works_on;
    works_on.is_empty() || group.is_none_or(|group| works_on.contains(&group))
}

/// Returns the element that tells the trade: the one understood; but where that is of no trade (a *cover*) or a
/// part that many things have (a *handle*), or where there is none, another that its words contain (*fan cover*),
/// or else, for such a part, what is named beside it (*the handle on the window*). Of several that the words
/// contain the last counts, since English names end in their head (*decking board*). Where no such thing is named
/// it is that of the place, where that is one (*patio*).
fn element(lexicon: &Lexicon, signs: &Signs) -> Option<TermId> {
    let part = signs.element.filter(|e| is_part(lexicon, *e));
    if part.is_none() && signs.element.is_some() {
        return signs.element;
    }
    let spot = |text: &str| lexicon.spot(&lexicon.tokens_of(text));
    let whole = |hit: &Hit| hit.kind == Kind::Element && !is_part(lexicon, hit.term);
    let in_its_words = || {
        let wholes = spot(signs.words).into_iter().filter(whole);
        wholes.max_by_key(|hit| (hit.tokens.end, hit.tokens.len()))
    };
    // "The pointing round the kitchen window" is of the wall.
    let of_masonry =
        part.is_some_and(|part| lexicon.group(lexicon.element(part).group).name == "masonry");
    let beside = || {
        let hits = spot(signs.quote);
        let at = hits.iter().find(|hit| Some(hit.term) == part)?.tokens.start;
        hits.into_iter()
            .filter(|hit| whole(hit) && !is_no_whole(lexicon, hit.term))
            .filter(|hit| !of_masonry || !is_set_in(lexicon, hit.term))
            .min_by_key(|hit| hit.tokens.start.abs_diff(at))
    };
    let place = || {
        lexicon
            .find(Kind::Element, signs.place)
            .filter(|_| part.is_some())
    };
    in_its_words()
        .or_else(beside)
        .map(|hit| hit.term)
        .or_else(place)
        .or(signs.element)
}

/// A part that many things have, or a thing that is of no trade.
fn is_part(lexicon: &Lexicon, element: TermId) -> bool {
    let element = lexicon.element(element);
    let group = lexicon.group(element.group);
    element.by_whole || (group.name == OF_NO_TRADE && group.trade == element.trade)
}

/// What stands in a wall or on it, and is not part of it.
fn is_set_in(lexicon: &Lexicon, element: TermId) -> bool {
    let group = lexicon.group(lexicon.element(element).group);
    matches!(
        &*group.name,
        "door"
            | "window"
            | "glazing"
            | "kitchen"
            | "sanitary"
            | "electrical"
            | "heating"
            | "ironmongery"
    )
}

/// What parts are fixed to, and not part of: walls, ceilings, floors; and the lift, which is more often a verb.
fn is_no_whole(lexicon: &Lexicon, element: TermId) -> bool {
    let group = lexicon.group(lexicon.element(element).group);
    matches!(
        &*group.name,
        "plaster" | "floor" | "masonry" | "render" | OF_NO_TRADE
    )
}
