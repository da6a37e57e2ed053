//! What is said of the subject: *is loose*, *has a gap*, *does not lock*.

/// Verbs that open a predicate, with their plurals.
const VERBS: &[(&str, &str)] = &[
    ("is", "are"),
    ("has", "have"),
    ("does", "do"),
    ("was", "were"),
    ("will", "will"),
    ("cannot", "cannot"),
    ("can", "can"),
    ("should", "should"),
    ("needs", "need"),
    ("wants", "want"),
    ("could", "could"),
    ("might", "might"),
    ("may", "may"),
    ("lets", "let"),
    ("shows", "show"),
    ("drains", "drain"),
    ("slopes", "slope"),
    ("keeps", "keep"),
    ("looks", "look"),
    ("falls", "fall"),
    ("rocks", "rock"),
    ("drops", "drop"),
    ("creaks", "creak"),
    ("squeaks", "squeak"),
    ("rattles", "rattle"),
    ("sticks", "stick"),
    ("leaks", "leak"),
    ("drips", "drip"),
    ("moves", "move"),
    ("catches", "catch"),
    ("rubs", "rub"),
    ("binds", "bind"),
    ("sags", "sag"),
    ("spins", "spin"),
    ("holds", "hold"),
    ("hits", "hit"),
    ("wobbles", "wobble"),
    ("sits", "sit"),
    ("extracts", "extract"),
    ("smells", "smell"),
    ("sounds", "sound"),
    ("blocks", "block"),
    ("controls", "control"),
    ("bounces", "bounce"),
    ("flickers", "flicker"),
    ("trips", "trip"),
    ("opens", "open"),
    ("closes", "close"),
];

/// Participles of what has happened: *has come away*.
const HAPPENED: &[&str] = &[
    "come", "gone", "lost", "fallen", "dropped", "opened", "slipped", "snapped", "failed",
    "shrunk", "sunk", "moved", "been", "lifted", "popped", "settled", "started",
];

/// Qualities that do not show by their form.
const QUALITIES: &[&str] = &[
    "loose",
    "missing",
    "stiff",
    "wet",
    "damp",
    "short",
    "long",
    "skew",
    "bare",
    "low",
    "high",
    "dead",
    "cold",
    "hot",
    "proud",
    "flush",
    "level",
    "plumb",
    "square",
    "crooked",
    "rough",
    "smooth",
    "thin",
    "thick",
    "tight",
    "slack",
    "hollow",
    "open",
    "shut",
    "patchy",
    "dirty",
    "dusty",
    "wrong",
    "uneven",
    "unequal",
    "blown",
    "broken",
    "split",
    "bent",
    "torn",
    "worn",
    "burnt",
    "rotten",
    "rusty",
    "wobbly",
    "noisy",
    "draughty",
    "soft",
    "sharp",
    "slippery",
    "empty",
    "full",
    "upside",
    "back",
    "incomplete",
    "unfinished",
    "untidy",
    "unclean",
    "greasy",
    "gritty",
    "powdery",
    "swollen",
    "frozen",
    "faint",
    "visible",
    "incorrect",
    "unsafe",
    "dangerous",
    "absent",
    "hard",
    "heavy",
    "light",
    "dark",
    "bright",
    "steep",
    "shallow",
    "deep",
    "wide",
    "narrow",
    "big",
    "small",
    "large",
    "close",
    "sprung",
    "overlong",
    "undersize",
    "oversize",
    "wonky",
    "shy",
    "lumpy",
    "sticky",
    "stony",
    "bowed",
    "past",
    "left",
    "hung",
    "cut",
    "set",
    "laid",
    "put",
    "built",
    "fit",
    "free",
    "clear",
    "insufficient",
    "inadequate",
    "poor",
    "cross",
    "shattered",
    "frayed",
    "scratched",
    "over-cut",
    "over-driven",
    "self-opening",
    "insufficiently",
    "poorly",
    "badly",
    "only",
];

/// Words before what something is, where or how: *out of plumb*, *too short*, *not level*.
const BEFORE_STATE: &[&str] = &[
    "not",
    "never",
    "too",
    "out",
    "off",
    "on",
    "in",
    "under",
    "over",
    "with",
    "without",
    "above",
    "below",
    "against",
    "to",
    "slightly",
    "very",
    "really",
    "quite",
    "completely",
    "partly",
    "still",
];

/// Words before what something has: *a gap*, *no handle*.
const BEFORE_NOUN: &[&str] = &[
    "a", "an", "no", "one", "two", "three", "four", "five", "several", "some", "many", "another",
];

/// Tells whether the word is a quality: *loose*, *bare*.
pub(super) fn is_quality(word: &str) -> bool {
    QUALITIES.contains(&word)
}

/// What one thing has on it, several have on them.
fn theirs(text: &str) -> String {
    let text = text.replace(" its ", " their ");
    match text.strip_suffix(" on it") {
        Some(front) => format!("{front} on them"),
        None => text,
    }
}

/// Returns what is said of a subject: `is loose` for `loose`; `None` where the words fit no pattern.
/// `own` is the vocabulary's predicate for the defect, in the singular.
pub(crate) fn predicate(defect: &str, own: Option<&str>, plural: bool) -> Option<String> {
    let text = own.map_or_else(|| super::tidy(defect), str::to_owned);
    let text = super::lower_first(text.trim());
    let words: Vec<&str> = text.split(' ').collect();
    let first = *words.first()?;
    if first.is_empty() {
        return None;
    }
    // *Still has its dust cover on*, *all has to come off*: the verb is the second word.
    let verb_at = usize::from(first == "still" && words.len() > 1);
    if let Some((one, many)) = VERBS.iter().find(|(one, many)| {
        // *Open at the mitre* is how it stands and not what it does.
        let does = own.is_none() && one != many && !QUALITIES.contains(many);
        words[verb_at] == *one || does && words[verb_at] == *many
    }) {
        let mut words: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
        words[verb_at] = (if plural { many } else { one }).to_string();
        let text = words.join(" ");
        return Some(if plural { theirs(&text) } else { text });
    }
    let second = words.get(1).copied().unwrap_or_default();
    let (is, has) = if plural {
        ("are", "have")
    } else {
        ("is", "has")
    };
    let happened = HAPPENED.contains(&first)
        || matches!(first, "not" | "never" | "just") && matches!(second, "been" | "come");
    if happened {
        return Some(format!("{has} {text}"));
    }
    if BEFORE_NOUN.contains(&first) && words.len() > 1 {
        return Some(format!("{has} {text}"));
    }
    // *Fixing missing*, *screws missing*: what is missing is named before.
    if let [what, "missing"] = words[..]
        && !BEFORE_STATE.contains(&what)
        && !QUALITIES.contains(&what)
        && !what.ends_with("ly")
    {
        let article = match what.chars().next() {
            _ if what.ends_with('s') => "",
            Some('a' | 'e' | 'i' | 'o' | 'u') => "an ",
            _ => "a ",
        };
        return Some(format!("{has} {article}{text}"));
    }
    let participle = |w: &str| w.len() > 4 && (w.ends_with("ing") || w.ends_with("ed"));
    let state = BEFORE_STATE.contains(&first) && words.len() > 1
        || QUALITIES.contains(&first)
        || participle(first)
        || first.ends_with("ly") && participle(second);
    state.then(|| format!("{is} {text}"))
}
