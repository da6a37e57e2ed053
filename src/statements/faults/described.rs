//! Faults in the speaker's own words: *the skirting's all scrimped*, *there's a snick in the worktop*,
//! *the flap grates on the sill*, *wants dismantling*. Only where no lexicon entry covers the words and
//! the clause has the shape of a fault; which thing it befalls is decided elsewhere, and an unlisted
//! fault of an unlisted thing counts only in the few shapes that hardly ever say anything else.

use super::super::grammar::{Class, class, hesitation, participle};
use super::super::piece::{Piece, PieceKind};
use super::{PARTICLES, said, speaker_before, word};
use crate::lexicon::{Hit, Kind, Token};
use std::collections::HashSet;
use std::ops::Range;
use std::sync::LazyLock;

/// Words that describe, praise, or tell what was done, and so are no fault by themselves. Everyday
/// English of site talk; common practice, no source.
#[rustfmt::skip]
const NO_FAULT: &[&str] = &[
    "fine", "good", "nice", "lovely", "great", "perfect", "clean", "neat", "tidy", "sound", "solid",
    "smooth", "straight", "square", "plumb", "level", "tight", "secure", "firm", "flush", "even",
    "clear", "dry", "new", "correct", "consistent", "happy", "pleased", "sure", "careful", "ready",
    "complete", "acceptable", "better", "white", "black", "grey", "gray", "brown", "red", "blue",
    "green", "cream", "magnolia", "chrome", "oak", "pine", "timber", "wooden", "plastic", "metal",
    "steel", "upvc", "aluminium", "brass", "glass", "big", "small", "large", "long", "tall", "wide",
    "deep", "old", "modern", "similar", "different", "same", "identical", "standard", "fitted",
    "installed", "done", "finished", "completed", "painted", "decorated", "sealed", "fixed",
    "tested", "checked", "commissioned", "connected", "sorted", "cleaned", "tiled", "laid",
    "plastered", "built", "made", "put", "moved", "changed", "ordered", "delivered", "supplied",
    "specified", "approved", "signed", "agreed", "noted", "recorded", "mentioned", "said", "seen",
    "shown", "used", "called", "listed", "located", "placed", "positioned", "covered", "insulated",
    "lined", "mounted", "hung", "open", "opened", "closed", "shut", "locked", "switched", "turned",
    "left", "set", "run", "running", "working", "opening", "closing", "going", "coming", "looking",
    "getting", "doing", "being", "having", "making", "taking", "trying", "talking", "saying",
    "facing", "leading", "standing", "sitting", "using", "waiting", "supposed", "meant", "required",
    "allowed", "needed", "included", "related", "based", "concerned", "worth", "possible",
    "available", "visible", "present", "like", "because", "per", "via", "fire", "rated", "decent",
    "okay", "ok", "accessible", "original", "existing", "temporary", "finishing", "starting",
    "measuring", "reading", "showing", "holding", "sloping", "sliding", "folding", "locking",
    "self", "double", "single", "integrated", "concealed", "recessed", "vented", "heated",
    "treated", "pre", "textured", "matching", "matched", "tied", "carried", "passed", "minute",
    "today", "yesterday", "tomorrow", "week", "day", "time", "way", "lot", "thing", "things", "one",
    "ones", "place", "people", "issue", "problem", "photo", "picture", "look", "note", "view",
    "chance", "go", "idea", "feel", "touch", "drawing", "plan", "key", "keys", "cat", "dog",
    "radio", "cup", "tea", "coffee", "van", "car", "ladder", "torch", "tape", "phone", "pen",
    "coat", "bag", "box", "chair", "table", "sofa", "bed", "curtain", "curtains", "window", "door",
    "wall", "room", "house", "home", "garden", "gentleman", "lady", "man", "woman", "lad", "bloke",
    "builder", "buyer", "owner", "couple", "few", "several", "number", "mil", "millimetre",
    "millimetres", "metre", "metres", "inch", "inches", "foot", "feet", "degrees", "percent",
    "nearly", "after", "yours", "mine", "ours", "theirs", "hers", "right", "wrong", "warm", "live",
    "crisp", "snug", "full", "taken", "hooked", "eased",
    "straightened", "cured", "adjusted", "tightened", "trimmed", "papered", "skimmed", "filled",
    "sanded", "levelled", "aligned", "swapped", "renewed", "bled", "lagged", "balanced", "serviced",
    "attended", "addressed", "rectified", "remedied", "resolved", "water", "own", "nowt", "lefty",
    "quiet", "drying", "settling", "bright", "light", "dark", "hot", "cold", "free", "busy",
    "empty", "quick", "slow", "easy", "hard", "january", "february", "march", "april", "june",
    "july", "august", "september", "october", "november", "december", "monday", "tuesday",
    "wednesday", "thursday", "friday", "saturday", "sunday", "spotless", "immaculate", "generous",
    "comfortable", "responsive", "sensible", "reasonable", "respectable", "heard", "asked", "told",
    "written", "explained", "discussed", "promised", "expected", "bought", "sold", "paid",
    "charged", "planned", "designed", "drawn", "marked", "measured", "cut", "fed", "wired",
    "plumbed", "piped", "lit", "served", "accessed", "operated", "rendered", "roofed", "boarded",
    "felted", "slated", "planted", "turfed", "fenced", "gated", "paved", "edged", "primed",
    "varnished", "stained", "grouted", "bedded", "patched", "touched", "glued", "screwed", "nailed",
    "bolted", "packed", "shimmed", "planed", "greased", "oiled", "topped", "dressed", "clipped",
    "strapped", "secured", "rodded", "jetted", "flushed", "polished", "scrubbed", "wiped", "swept",
    "mended", "tidied", "guarded", "rolled", "capped", "upright", "parallel", "interlocking",
    "stretched", "lifted", "stamped", "limited", "budged", "latched", "bonded", "braced",
    "anchored", "tethered", "fastened", "hinged", "coursed", "stooled", "keyed", "toothed",
    "dowelled", "mitred", "scribed", "coped", "butted", "jointed", "brushed", "buffed", "combed",
    "floated", "trowelled", "raked", "compacted", "graded", "seeded", "mown", "mulched", "watered",
    "sleeved", "terminated", "crimped", "soldered", "brazed", "welded", "threaded", "boxed",
    "cased", "framed", "beaded", "rebated", "chamfered", "rounded", "netted", "meshed", "louvred",
    "glazed", "toughened", "laminated", "obscured", "tinted", "curtained", "carpeted", "spaced",
    "centred", "centered", "grouped", "numbered", "registered", "certified", "dated", "witnessed",
    "programmed", "paired", "flourishing", "thriving", "growing", "blooming", "floating",
    "skipping", "powered", "purged", "drained", "dusted", "hoovered", "washed", "inspected",
    "photographed", "siliconed", "caulked", "masticked", "pointed", "ducted", "earthed", "labelled",
    "isolated", "equal", "matched", "symmetrical", "pulling", "pushing", "smashing", "cute", "thick", "passing",
    "grippy", "viewed", "lush", "lines", "belting", "cracking", "jaunty", "tidy",
    "weighty", "chunky", "hefty", "sturdy", "stout", "robust", "roomy", "airy", "cosy", "handy", "useful", "stylish",
    "sleek", "clever", "demisting", "seated", "lapped", "firing", "walked", "humming", "opens", "closes", "slides",
    "glides", "shuts", "turns", "pulls", "fires", "fills", "empties", "clears", "holds", "fits", "locks", "latches",
    "demists", "heats", "dims", "responds", "returns", "continuous", "silent", "unbroken", "toasty", "kicks", "kicking", "freed",
];

/// Below this probability of any word of its clause a word that is not listed may as well be misheard.
pub(crate) const HEARD_WELL: f32 = 0.6;

/// Verbs that bring what a thing is like.
const COPULAS: &[&str] = &[
    "is", "are", "'s", "'re", "was", "were", "been", "looks", "look", "feels", "feel", "seems",
    "sits", "keeps", "got", "gone", "come", "has", "have",
];

/// Returns the fault in the speaker's own words that begins at `at`.
pub(super) fn described(
    tokens: &[Token],
    at: usize,
    clause: Range<usize>,
    hits: &[Hit],
) -> Option<Piece> {
    let sure = clause.clone().all(|t| tokens[t].probability >= HEARD_WELL);
    // "As tight as a hatband": likened.
    let likened = (clause.start..at).any(|t| {
        matches!(word(tokens, t), "as" | "like")
            && t > clause.start
            && word(tokens, t - 1) != "looks"
    });
    let own = sure && !likened && own_word(tokens, at, hits);
    if !own || at == clause.start || speaker_before(tokens, at, &clause) {
        return None;
    }
    wanted(tokens, at, &clause).or_else(|| {
        let guess = state(tokens, at, &clause, hits)
            .or_else(|| noun(tokens, at, &clause))
            .or_else(|| verb(tokens, at, &clause, hits))?;
        Some(Piece {
            guessed: true,
            ..guess
        })
    })
}

/// A word that no entry of the lexicon covers and that may name a fault.
fn own_word(tokens: &[Token], at: usize, hits: &[Hit]) -> bool {
    let said = word(tokens, at);
    // Asked of nearly every word that is spoken.
    static NO_FAULTS: LazyLock<HashSet<&str>> =
        LazyLock::new(|| NO_FAULT.iter().copied().collect());
    class(said) == Class::Open
        && said.len() > 2
        && !hesitation(said)
        && !said.ends_with("ly")
        && !hits.iter().any(|h| h.tokens.contains(&at))
        && !NO_FAULTS.contains(said)
        && !said
            .strip_prefix("re")
            .is_some_and(|verb| NO_FAULTS.contains(verb))
}

/// What may follow a fault: the end of the clause, or a word that leads to where and how.
fn ends(tokens: &[Token], at: usize, clause: &Range<usize>) -> bool {
    at >= clause.end
        || matches!(
            class(word(tokens, at)),
            Class::Preposition
                | Class::Conjunction
                | Class::Adverb
                | Class::Filler
                | Class::Pronoun
                | Class::Determiner
                | Class::Number
                | Class::Position
                | Class::Verb
        )
}

/// Returns the end of the fault with the particle of its verb (*hanging off*).
fn with_particle(tokens: &[Token], at: usize, clause: &Range<usize>) -> usize {
    let next = at + 1;
    let particle = next < clause.end && PARTICLES.contains(&word(tokens, next));
    let goes_on = matches!(
        class(word(tokens, next + 1)),
        Class::Determiner | Class::Open
    );
    next + usize::from(particle && (next + 1 >= clause.end || !goes_on))
}

/// *wants dismantling*, *needs bleeding*.
fn wanted(tokens: &[Token], at: usize, clause: &Range<usize>) -> Option<Piece> {
    let before = word(tokens, at - 1);
    let wants = matches!(before, "wants" | "needs" | "want" | "need" | "requires");
    let doing = word(tokens, at).ends_with("ing") && word(tokens, at).len() > 5;
    let end = with_particle(tokens, at, clause);
    (wants && doing && at > clause.start + 1 && ends(tokens, end, clause)).then(|| {
        let text = format!("needs {}", said(tokens, at..end));
        Piece::own_words(PieceKind::Defect, at - 1..end, text)
    })
}

/// *is scrimped*, *been butchered*, *looks manky*; without a verb only participles (*skirting scrimped*).
fn state(tokens: &[Token], at: usize, clause: &Range<usize>, hits: &[Hit]) -> Option<Piece> {
    let mut before = at - 1;
    while before > clause.start && class(word(tokens, before)) == Class::Adverb {
        before -= 1;
    }
    let is = COPULAS.contains(&word(tokens, before));
    // "The opener's sensors aren't aligned": a thing that something has.
    let owned = word(tokens, before) == "'s"
        && word(tokens, at).ends_with('s')
        && class(word(tokens, at + 1)) == Class::Verb;
    let denied = (clause.start..at).any(|t| matches!(word(tokens, t), "not" | "no" | "never"));
    let done = participle(word(tokens, at)) || word(tokens, at).ends_with("ing");
    let of_a_thing = hits
        .iter()
        .any(|h| h.kind == Kind::Element && h.tokens.end == before + 1);
    let end = with_particle(tokens, at, clause);
    let alone = ends(tokens, end, clause) && !leads_on(tokens, end, clause);
    (!denied && !owned && alone && (is || done && of_a_thing)).then(|| {
        let been = word(tokens, before) == "been" && done;
        let text = said(tokens, at..end);
        let text = if been { format!("been {text}") } else { text };
        Piece::own_words(PieceKind::Defect, if been { before } else { at }..end, text)
    })
}

/// *is **solid** oak*, *is **attached** to*: the word goes on to something else.
fn leads_on(tokens: &[Token], at: usize, clause: &Range<usize>) -> bool {
    at < clause.end
        && matches!(
            word(tokens, at),
            // "Has knocked a hole".
            "to" | "as" | "for" | "than" | "of" | "that" | "a" | "an"
        )
}

/// *there's a snick in the worktop*, *has a dink*, *got snicks along it*.
fn noun(tokens: &[Token], at: usize, clause: &Range<usize>) -> Option<Piece> {
    let mut first = at;
    while first > clause.start
        && (matches!(
            class(word(tokens, first - 1)),
            Class::Determiner | Class::Number | Class::Adverb
        ) || matches!(
            word(tokens, first - 1),
            "big" | "small" | "little" | "long" | "great" | "nasty" | "slight" | "deep"
        ))
    {
        first -= 1;
    }
    let has = first > clause.start
        && matches!(
            word(tokens, first - 1),
            "'s" | "is" | "are" | "has" | "got" | "have" | "with" | "see"
        );
    let definite =
        (first..at).any(|t| matches!(word(tokens, t), "the" | "this" | "that" | "its" | "their"));
    let where_ = matches!(
        word(tokens, at + 1),
        "in" | "on"
            | "across"
            | "along"
            | "down"
            | "round"
            | "around"
            | "through"
            | "between"
            | "at"
            | "near"
            | "up"
    );
    let counted = first < at || word(tokens, at).ends_with('s');
    (has && counted && !definite && at + 1 < clause.end && where_)
        .then(|| Piece::own_words(PieceKind::Defect, at..at + 1, said(tokens, at..at + 1)))
}

/// *the flap **grates** on the sill*: a verb right behind the thing.
fn verb(tokens: &[Token], at: usize, clause: &Range<usize>, hits: &[Hit]) -> Option<Piece> {
    let does = word(tokens, at);
    let of_a_thing = hits
        .iter()
        .any(|h| h.kind == Kind::Element && h.tokens.end == at);
    let verb = does.ends_with('s') && !does.ends_with("ss");
    let end = with_particle(tokens, at, clause);
    let goes_on = end > at + 1
        || matches!(
            word(tokens, end),
            "on" | "against" | "when" | "at" | "past" | "if" | "over"
        );
    (of_a_thing && verb && end < clause.end + 1 && goes_on)
        .then(|| Piece::own_words(PieceKind::Defect, at..end, said(tokens, at..end)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::{How, TermId};

    fn found(text: &str) -> Vec<String> {
        let tokens: Vec<Token> = text
            .split_whitespace()
            .enumerate()
            .map(|(word, norm)| Token {
                norm: norm.into(),
                word,
                probability: 1.0,
            })
            .collect();
        let things: Vec<Hit> = (0..tokens.len())
            .filter(|at| matches!(tokens[*at].norm.as_str(), "skirting" | "worktop" | "flap"))
            .map(|at| Hit {
                term: TermId(0),
                kind: Kind::Element,
                tokens: at..at + 1,
                wording: tokens[at].norm.clone(),
                how: How::Exact,
                number: None,
            })
            .collect();
        let clause = 0..tokens.len();
        (0..tokens.len())
            .filter_map(|at| described(&tokens, at, clause.clone(), &things))
            .map(|piece| piece.text)
            .collect()
    }

    #[test]
    fn a_fault_is_told_by_its_clause() {
        for (text, expected) in [
            ("the boot scraper 's hanging off", "hanging off"),
            ("that cornice return 's been butchered", "been butchered"),
            ("the log store wants dismantling", "needs dismantling"),
            ("skirting 's all scrimped along the wall", "scrimped"),
            ("there 's a snick in the worktop", "snick"),
            ("flap grates on the sill", "grates"),
            ("skirting scrimped by the door", "scrimped"),
            ("worktop 's got two snicks along it", "snicks"),
        ] {
            assert_eq!(found(text), [expected], "{text}");
        }
    }

    #[test]
    fn what_only_describes_or_praises_is_none() {
        for text in [
            "the skirting 's white",
            "skirting fitted throughout",
            "the worktop is solid oak",
            "we 're knackered",
            "the flap is not scrimped",
            "there 's a window in the wall",
            "the worktop is attached to the wall",
            "skirting 's lovely",
        ] {
            assert_eq!(found(text), Vec::<String>::new(), "{text}");
        }
    }
}
