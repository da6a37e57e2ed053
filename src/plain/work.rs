//! What is to be done, as a sentence about the item's own element: *insulate* is *Insulate the pipe*.

use super::subject::thing;
use super::{capitals, lower_first};

/// How the usual remedies are said of an element, which stands for `{}`. Remedies that are not here
/// name what they are done to by themselves (*seal the gap*), or are done to the defect and not to the
/// element (*fill and paint*).
const ASKED: &[(&str, &str)] = &[
    ("adjust", "adjust {}"),
    ("box in", "box in {}"),
    ("clean off", "clean {}"),
    ("clean thoroughly", "clean {} thoroughly"),
    ("connect up", "connect up {}"),
    ("cut back", "cut {} back"),
    ("draught-proof", "draught-proof {}"),
    ("ease and adjust", "ease and adjust {}"),
    ("extend", "extend {}"),
    ("fit missing cover", "fit the missing cover"),
    ("fit missing part", "fit the missing part"),
    ("glue back", "glue {} back"),
    ("insulate", "insulate {}"),
    ("investigate", "investigate the cause"),
    ("loosen", "loosen {}"),
    ("lower to the right height", "lower {} to the right height"),
    ("lubricate", "lubricate {}"),
    ("make good", "make good {}"),
    ("make watertight", "make {} watertight"),
    ("monitor", "keep an eye on {}"),
    ("pack out", "pack {} out"),
    ("paint to prevent rust", "paint {} to prevent rust"),
    ("plane down", "plane {} down"),
    ("plumb up", "set {} plumb"),
    ("prime and seal", "prime and seal {}"),
    ("protect", "protect {}"),
    ("pull tight", "pull {} tight"),
    ("raise to the right height", "raise {} to the right height"),
    ("re-align", "re-align {}"),
    ("re-grout", "re-grout {}"),
    ("re-hang", "re-hang {}"),
    ("re-joint", "re-joint {}"),
    ("re-lay", "re-lay {}"),
    ("re-level", "re-level {}"),
    ("re-mitre", "re-mitre {}"),
    ("re-plaster", "re-plaster {}"),
    ("re-point", "re-point {}"),
    ("re-position", "re-position {}"),
    ("re-render", "re-render {}"),
    ("re-route", "re-route {}"),
    ("re-seal", "re-seal {}"),
    ("re-wire", "re-wire {}"),
    ("rebuild", "rebuild {}"),
    ("redecorate", "redecorate {}"),
    ("refit", "refit {}"),
    ("refix", "refix {}"),
    ("reinforce", "reinforce {}"),
    ("renew", "renew {}"),
    ("repaint", "repaint {}"),
    ("repair", "repair {}"),
    ("repair in place", "repair {} in place"),
    ("replace", "replace {}"),
    ("sand smooth", "sand {} smooth"),
    ("screw down", "screw {} down"),
    ("scribe", "scribe {}"),
    ("secure firmly", "secure {} firmly"),
    ("soundproof", "soundproof {}"),
    ("straighten", "straighten {}"),
    ("tighten", "tighten {}"),
    ("touch in", "touch in {}"),
    ("trim to fit", "trim {} to fit"),
    ("turn round", "turn {} round"),
    ("unblock", "unblock {}"),
    ("ventilate", "ventilate {}"),
];

/// The same of elements that are themselves what the remedy brings: by the beginning of a word of
/// their name. Nobody insulates insulation.
const OF_ITSELF: &[(&str, &str, &str)] = &[
    ("insulate", "insul", "fit {}"),
    ("insulate", "lagging", "fit {}"),
    ("re-grout", "grout", "re-grout the joints"),
    ("re-plaster", "plaster", "re-plaster the area"),
    ("re-point", "point", "re-point the joints"),
    ("re-render", "render", "re-render the area"),
    ("re-seal", "seal", "renew {}"),
    ("re-wire", "wir", "renew {}"),
    ("repaint", "paint", "repaint the surface"),
];

/// Verbs that take what follows them as a thing of the home: *replace tile*.
const TAKE_A_THING: &[&str] = &[
    "adjust",
    "clear",
    "clip",
    "fix",
    "level",
    "re-fix",
    "re-lay",
    "re-set",
    "re-stretch",
    "refit",
    "refix",
    "repair",
    "replace",
    "reset",
    "secure",
    "straighten",
    "undercut",
];

/// Words with which no thing begins.
const NO_THING: &[&str] = &["the", "a", "an", "with", "in", "or", "and", "away"];

/// Returns what is to be done, with a capital and without a stop. `plural` gives the plural of a name.
pub(crate) fn work(
    remedy: &str,
    element: &str,
    count: u32,
    plural: &dyn Fn(&str) -> String,
) -> String {
    let named = remedy.trim().to_lowercase();
    let lower = element.to_lowercase();
    let is_itself = |begins: &str| lower.split([' ', '-']).any(|word| word.starts_with(begins));
    let special = OF_ITSELF
        .iter()
        .find(|(name, begins, _)| *name == named && is_itself(begins));
    let asked = special.map(|(_, _, asked)| *asked).or_else(|| {
        ASKED
            .iter()
            .find(|(name, _)| *name == named)
            .map(|(_, asked)| *asked)
    });
    let text = match asked {
        Some(asked) if element.trim().is_empty() && asked.contains("{}") => {
            remedy.trim().to_owned()
        }
        Some(asked) => asked.replace("{}", &thing(&lower_first(element.trim()), count, plural)),
        None => with_article(&named, remedy.trim(), count, plural),
    };
    let text = capitals(&text);
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().collect());
    first.map_or_else(String::new, |first: String| first + letters.as_str())
}

/// Returns *replace the tile* for *replace tile*, and other texts as they are.
fn with_article(named: &str, remedy: &str, count: u32, plural: &dyn Fn(&str) -> String) -> String {
    let Some((verb, what)) = named.split_once(' ') else {
        return remedy.to_owned();
    };
    let begins = what.split(' ').next().unwrap_or_default();
    if !TAKE_A_THING.contains(&verb) || NO_THING.contains(&begins) {
        return remedy.to_owned();
    }
    let what = thing(what, count, plural);
    format!("{verb} {what}")
}

#[cfg(test)]
mod tests {
    use super::work;
    use crate::lexicon::Lexicon;

    /// Remedy, element, count, and what is to be done.
    #[test]
    fn a_usual_remedy_is_a_sentence_about_the_element() {
        let lexicon = Lexicon::embedded().unwrap();
        for (remedy, element, count, want) in [
            ("insulate", "pipe", 1, "Insulate the pipe"),
            ("insulate", "loft insulation", 1, "Fit the loft insulation"),
            ("insulate", "lagging", 1, "Fit the lagging"),
            ("repaint", "wall", 1, "Repaint the wall"),
            ("repaint", "paintwork", 1, "Repaint the surface"),
            (
                "secure firmly",
                "skirting board",
                1,
                "Secure the skirting board firmly",
            ),
            ("replace", "wall tile", 3, "Replace the wall tiles"),
            ("replace tile", "wall tile", 2, "Replace the tiles"),
            ("refix radiator", "radiator", 1, "Refix the radiator"),
            (
                "ease and adjust",
                "patio doors",
                1,
                "Ease and adjust the patio doors",
            ),
            ("replace", "LED strip", 1, "Replace the LED strip"),
            ("investigate", "wall", 1, "Investigate the cause"),
            ("replace", "", 1, "Replace"),
            ("", "door", 1, ""),
            // These name what they are done to.
            ("seal the gap", "window", 1, "Seal the gap"),
            ("fill and paint", "ceiling", 1, "Fill and paint"),
            (
                "replace the damaged part",
                "sill",
                1,
                "Replace the damaged part",
            ),
            (
                "replace with fire door",
                "door",
                1,
                "Replace with fire door",
            ),
            ("fit RCD protection", "socket", 1, "Fit RCD protection"),
            // What nobody has a rule for stays.
            ("give it a wipe", "window", 1, "Give it a wipe"),
        ] {
            let said = work(remedy, element, count, &|name| lexicon.plural(name));
            assert_eq!(said, want, "{remedy}, {element}");
        }
    }

    /// A remedy that was renamed in the vocabulary would lose its sentence unseen.
    #[test]
    fn every_remedy_with_a_rule_is_one_of_the_vocabulary() {
        let lexicon = Lexicon::embedded().unwrap();
        let of_itself = super::OF_ITSELF.iter().map(|(name, _, _)| *name);
        for name in super::ASKED.iter().map(|(name, _)| *name).chain(of_itself) {
            assert!(
                lexicon.find(crate::lexicon::Kind::Remedy, name).is_some(),
                "{name}"
            );
        }
    }
}
