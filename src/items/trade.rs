//! Who puts an item right: as said, else as remedy, fault and element point to.
//!
//! One rule for the list as it is first made, and for what follows when the inspector changes a fact.

use crate::lexicon::{GroupId, Kind, Lexicon, TermId};

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
    /// True where it is on a roof.
    pub(crate) on_roof: bool,
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
        let mut faults = signs.faults.iter().filter(befalls);
        faults.find_map(|d| lexicon.defect(*d).trade)
    };
    let by_text = || signs.texts.iter().find_map(|text| told_by(lexicon, text));
    signs
        .said
        .or_else(|| remedy(signs.spoken))
        .or_else(by_text)
        .or_else(by_fault)
        .or_else(|| own.or_else(|| remedy(signs.usual)))
        .or_else(|| roofer(lexicon, signs.on_roof, group))
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
    let (_, trade) = TELLING.iter().find(|(words, _)| text == *words)?;
    lexicon.find(Kind::Trade, trade)
}

/// Tiles of a roof and the mortar under them are the roofer's.
fn roofer(lexicon: &Lexicon, on_roof: bool, group: Option<GroupId>) -> Option<TermId> {
    let tiling = group.is_some_and(|g| matches!(&*lexicon.group(g).name, "tiling" | "masonry"));
    (on_roof && tiling)
        .then(|| lexicon.find(Kind::Trade, "roofer"))
        .flatten()
}

fn works_on(lexicon: &Lexicon, trade: TermId, group: Option<GroupId>) -> bool {
    let works_on = &lexicon.trade(trade).works_on;
    works_on.is_empty() || group.is_none_or(|group| works_on.contains(&group))
}

/// Returns the element that tells the trade: the one understood, but another that its words contain
/// where that one belongs to no trade (the *cover* of a *fan cover*), or where there is none. Of several
/// the last counts, since English names end in their head (*decking board*).
fn element(lexicon: &Lexicon, signs: &Signs) -> Option<TermId> {
    let nobodys = |e: &TermId| {
        let element = lexicon.element(*e);
        let group = lexicon.group(element.group);
        group.name == OF_NO_TRADE && group.trade == element.trade
    };
    if let Some(element) = signs.element.filter(|e| !nobodys(e)) {
        return Some(element);
    }
    let tokens = lexicon.tokens_of(signs.words);
    let hits = lexicon.spot(&tokens);
    hits.iter()
        .filter(|hit| hit.kind == Kind::Element && !nobodys(&hit.term))
        .max_by_key(|hit| (hit.tokens.end, hit.tokens.len()))
        .map(|hit| hit.term)
        .or(signs.element)
}
