//! What is to be done, as a sentence about the item's own element: *insulate* is *Insulate the pipe*.

use super::subject::{is_plural, thing};
use super::{capitals, lower_first};

/// How the usual remedies are said of an element, which stands for `{}`. Remedies that are not here
/// name what they are done to by themselves (*seal the gap*), or are done to the defect and not to the
/// element (*fill and paint*).
const ASKED: &[(&str, &str)] = &[
    ("acid wash", "acid wash {}"),
    ("apply varnish", "varnish {}"),
    ("backfill and level", "backfill and level the ground"),
    ("brush down", "brush {} down"),
    ("commission", "commission {}"),
    ("compact the ground", "compact the ground"),
    ("cut in", "cut in the paint at the edges"),
    ("drain down", "drain {} down"),
    ("dress down lead", "dress the lead down"),
    ("fill", "fill and make good {}"),
    (
        "fill and paint",
        "fill and make good {}, then paint over it",
    ),
    ("fill and sand", "fill {} and sand it smooth"),
    ("float out", "float out {} flat"),
    ("flush out", "flush {} out"),
    ("foam and trim", "fill the gap with foam and trim it"),
    (
        "have a structural engineer assess",
        "have a structural engineer assess {}",
    ),
    ("isolate and make safe", "have {} isolated and made safe"),
    ("measure and report", "measure {} and report the result"),
    ("patch and make good", "patch and make good {}"),
    ("polish out", "polish out the mark"),
    ("prune", "prune {}"),
    ("provide", "provide {}"),
    (
        "punch in and fill",
        "punch in the fixings and fill over them",
    ),
    ("rake out", "rake out the joints"),
    ("re-bead", "re-bead {}"),
    ("re-pin", "pin {} again"),
    ("re-pressurise", "bring the heating back to its pressure"),
    ("re-screed", "re-screed {}"),
    ("re-turf", "re-turf the area"),
    ("regrade", "regrade the ground"),
    ("reinstate", "reinstate {}"),
    ("remove", "remove {}"),
    ("replant", "replant the area"),
    ("reset or set up", "reset {}, or set it up"),
    (
        "seal with intumescent mastic",
        "seal the gap with intumescent mastic",
    ),
    ("skim over", "skim over {}"),
    ("strip and re-paper", "strip and re-paper {}"),
    ("supply and fit", "supply and fit {}"),
    ("tape and joint", "tape and joint the boards"),
    ("test and report", "have {} tested, and the result reported"),
    ("tidy up", "tidy up {}"),
    ("tint to match", "tint {} to match"),
    ("tooth in", "tooth in {}"),
    ("top up topsoil", "top up the topsoil"),
    ("treat cut ends", "treat the cut ends"),
    (
        "treat mould",
        "have the cause of the mould found, and the mould treated",
    ),
    ("treat pests", "have the pests dealt with"),
    ("underpin", "underpin {}"),
    ("vacuum", "vacuum {}"),
    ("clear away rubbish", "clear the rubbish away"),
    ("form access", "form an access"),
    ("improve drainage", "improve the drainage"),
    (
        "measure and set air flow",
        "have the air flow measured and set",
    ),
    ("produce paperwork", "hand over the paperwork"),
    ("set up controls", "set up the controls"),
    (
        "take up and replace flooring",
        "take up and replace the flooring",
    ),
    ("tool off sealant", "tool off the sealant"),
    ("wash down", "wash {} down"),
    (
        "run a bead of sealant",
        "run a bead of sealant along the joint",
    ),
    (
        "change to match the specification",
        "change {} to match the specification",
    ),
    (
        "confirm against the drawings",
        "check {} against the drawings",
    ),
    ("replace with fire door", "replace {} with a fire door"),
    ("fit tile trim", "fit a tile trim"),
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
    "balance",
    "bleed",
    "clear",
    "clip",
    "connect",
    "fix",
    "interlink",
    "lag",
    "level",
    "lower",
    "pack",
    "patch",
    "raise",
    "re-bed",
    "re-fall",
    "re-fix",
    "re-lap",
    "re-make",
    "re-point",
    "re-lay",
    "re-set",
    "re-stretch",
    "refit",
    "refix",
    "remove",
    "repair",
    "replace",
    "reposition",
    "reset",
    "secure",
    "stake",
    "supply",
    "straighten",
    "undercut",
];

/// Things of which there is some and not one, by the last word of their name; all in *-ing* are too.
const SOME: &[&str] = &["glass", "protection", "restraint", "course", "restraints"];

/// Words with which no thing begins.
const NO_THING: &[&str] = &["the", "a", "an", "with", "in", "or", "and", "away"];

/// How a remedy begins that was said of the element: *needs easing*; with what is said of one, and of
/// several.
const SAID_OF_IT: &[(&str, &str, &str)] = &[
    ("needs", "needs", "need"),
    ("need", "needs", "need"),
    ("wants", "wants", "want"),
    ("want", "wants", "want"),
    ("requires", "requires", "require"),
    ("require", "requires", "require"),
    ("should", "should", "should"),
    ("must", "must", "must"),
];

/// Between two remedies of one item.
const BETWEEN: &str = "; ";

/// Returns what is to be done, with a capital and without a stop: usual remedies as sentences about the
/// element, those that only say what it needs with a subject, other words as they are. `plural` gives
/// the plural of a name.
pub(crate) fn work(
    remedy: &str,
    element: &str,
    count: u32,
    plural: &dyn Fn(&str) -> String,
) -> String {
    let parts = remedy.split(BETWEEN).map(|part| {
        said_of_it(part.trim(), element, count)
            .unwrap_or_else(|| named_work(part, element, count, plural))
    });
    let text = capitals(&parts.collect::<Vec<_>>().join(BETWEEN));
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().collect());
    first.map_or_else(String::new, |first: String| first + letters.as_str())
}

/// Returns *it needs easing* for *needs easing*; `None` for what begins otherwise.
fn said_of_it(remedy: &str, element: &str, count: u32) -> Option<String> {
    let (verb, rest) = remedy.split_once(' ')?;
    let verb = verb.to_lowercase();
    let (_, one, several) = SAID_OF_IT.iter().find(|(said, _, _)| *said == verb)?;
    Some(match count > 1 || is_plural(&element.to_lowercase()) {
        true => format!("they {several} {rest}"),
        false => format!("it {one} {rest}"),
    })
}

/// Returns a remedy of the vocabulary as a sentence about the element, other words as they are.
fn named_work(remedy: &str, element: &str, count: u32, plural: &dyn Fn(&str) -> String) -> String {
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
    match asked {
        Some(asked) if element.trim().is_empty() && asked.contains("{}") => {
            remedy.trim().to_owned()
        }
        Some(asked) => asked.replace("{}", &thing(&lower_first(element.trim()), count, plural)),
        None => with_article(&named, remedy.trim(), count, plural),
    }
}

/// Returns *replace the tile* for *replace tile*, and other texts as they are.
fn with_article(named: &str, remedy: &str, count: u32, plural: &dyn Fn(&str) -> String) -> String {
    let Some((verb, what)) = named.split_once(' ') else {
        return remedy.to_owned();
    };
    let begins = what.split(' ').next().unwrap_or_default();
    if verb == "fit" && !NO_THING.contains(&begins) {
        return format!("{verb} {}", one_or_some(what));
    }
    if !TAKE_A_THING.contains(&verb) || NO_THING.contains(&begins) {
        return remedy.to_owned();
    }
    let what = thing(what, count, plural);
    format!("{verb} {what}")
}

/// Returns what is fitted with the article that it takes: *a door closer*, *flashing*, *weep vents*.
fn one_or_some(what: &str) -> String {
    let last = what.rsplit(' ').next().unwrap_or_default();
    let some = last.ends_with("ing") || SOME.contains(&last) || is_plural(what);
    let article = match what.chars().next() {
        _ if some => "",
        Some('a' | 'e' | 'i' | 'o' | 'u') => "an ",
        _ => "a ",
    };
    format!("{article}{what}")
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
            (
                "fill and paint",
                "ceiling",
                1,
                "Fill and make good the ceiling, then paint over it",
            ),
            (
                "fill",
                "worktop joint",
                1,
                "Fill and make good the worktop joint",
            ),
            (
                "test and report",
                "smoke alarm",
                1,
                "Have the smoke alarm tested, and the result reported",
            ),
            ("fit door closer", "fire door", 1, "Fit a door closer"),
            ("fit flashing", "roof", 1, "Fit flashing"),
            ("fit alarm", "ceiling", 1, "Fit an alarm"),
            ("fit weep vents", "wall", 1, "Fit weep vents"),
            ("supply keys", "window", 1, "Supply the keys"),
            ("connect duct", "extractor fan", 1, "Connect the duct"),
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
                "Replace the door with a fire door",
            ),
            ("fit RCD protection", "socket", 1, "Fit RCD protection"),
            // Said of it, not named.
            (
                "needs bedding properly",
                "front doorstep",
                1,
                "It needs bedding properly",
            ),
            ("want refixing", "bracket", 1, "It wants refixing"),
            ("wants easing", "french doors", 1, "They want easing"),
            ("should be re-hung", "door", 2, "They should be re-hung"),
            ("needs", "door", 1, "Needs"),
            (
                "fill; touch in",
                "ceiling",
                1,
                "Fill and make good the ceiling; touch in the ceiling",
            ),
            // What nobody has a rule for stays.
            ("give it a wipe", "window", 1, "Give it a wipe"),
        ] {
            let said = work(remedy, element, count, &|name| lexicon.plural(name));
            assert_eq!(said, want, "{remedy}, {element}");
        }
    }

    /// Remedies that say all they have to without an article.
    const WHOLE: &[&str] = &["Investigate the cause", "Check again when dry"];

    /// Reads every usual remedy of a thing: two words at least, and what it is done to is named.
    #[test]
    fn every_usual_remedy_is_a_whole_sentence() {
        let lexicon = Lexicon::embedded().unwrap();
        let article = regex::Regex::new(r" (?:the|a|an|some|it) ").unwrap();
        let terse: Vec<String> = lexicon
            .ids(crate::lexicon::Kind::Remedy)
            .map(|id| lexicon.name(id))
            .map(|name| {
                (
                    name,
                    work(name, "door panel", 1, &|name| lexicon.plural(name)),
                )
            })
            .filter(|(name, said)| {
                let fitted = name.starts_with("fit ") && said.split(' ').count() > 1;
                !article.is_match(said) && !fitted && !WHOLE.contains(&said.as_str())
            })
            .map(|(name, said)| format!("{name}: {said}"))
            .collect();
        assert!(terse.is_empty(), "{terse:#?}");
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
