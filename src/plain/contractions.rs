//! Contractions written out: *the tap's dripping*, *won't lock*.

/// Contractions with what they stand for.
const WRITTEN_OUT: &[(&str, &str)] = &[
    ("isn't", "is not"),
    ("aren't", "are not"),
    ("wasn't", "was not"),
    ("weren't", "were not"),
    ("hasn't", "has not"),
    ("haven't", "have not"),
    ("hadn't", "had not"),
    ("doesn't", "does not"),
    ("don't", "do not"),
    ("didn't", "did not"),
    ("won't", "will not"),
    ("can't", "cannot"),
    ("couldn't", "could not"),
    ("wouldn't", "would not"),
    ("shouldn't", "should not"),
    ("they're", "they are"),
    ("we're", "we are"),
    ("you're", "you are"),
    ("there're", "there are"),
    ("i'm", "I am"),
    ("i've", "I have"),
    ("we've", "we have"),
    ("you've", "you have"),
    ("they've", "they have"),
    ("i'd", "I would"),
    ("it'd", "it would"),
    ("i'll", "I will"),
    ("it'll", "it will"),
    ("that'll", "that will"),
    ("they'll", "they will"),
    ("there'll", "there will"),
    ("ain't", "is not"),
    ("isnae", "is not"),
    ("arenae", "are not"),
    ("wasnae", "was not"),
    ("hasnae", "has not"),
    ("havenae", "have not"),
    ("doesnae", "does not"),
    ("dinnae", "do not"),
    ("didnae", "did not"),
    ("cannae", "cannot"),
    ("willnae", "will not"),
    ("winnae", "will not"),
    ("nowt", "nothing"),
    ("owt", "anything"),
    ("summat", "something"),
    ("'em", "them"),
];

/// After *'s*, these tell that it stands for *has*.
const AFTER_HAS: &[&str] = &[
    "been", "got", "lost", "come", "gone", "fallen", "had", "dropped", "opened", "shrunk", "sunk",
];

/// After *'s*, these tell that it stands for *is* and not for what belongs to something. Words in
/// *-ing* and *-ed* do so too.
const AFTER_IS: &[&str] = &[
    "not",
    "never",
    "a",
    "an",
    "the",
    "too",
    "only",
    "just",
    "way",
    "quite",
    "very",
    "so",
    "really",
    "out",
    "off",
    "on",
    "in",
    "up",
    "down",
    "all",
    "still",
    "also",
    "proud",
    "loose",
    "missing",
    "stiff",
    "wet",
    "shy",
    "short",
    "blown",
    "skew",
    "full",
    "bare",
    "low",
    "high",
    "dead",
    "cold",
    "hot",
    "upside",
    "over",
    "under",
    "at",
    "broken",
    "gone",
    "torn",
    "bent",
    "split",
    "damp",
    "slack",
    "rough",
    "thin",
    "tight",
    "wonky",
    "hollow",
    "nearly",
    "about",
    "no",
    "left",
    "back",
    "open",
    "patchy",
    "dirty",
    "wrong",
    "there",
    "here",
    "badly",
    "poorly",
    "well",
    "behind",
    "squint",
    "level",
    "plumb",
    "square",
    "empty",
    "stuck",
    "filthy",
    "dusty",
    "straight",
    "hung",
    "hanging",
    "cut",
    "short",
    "burst",
    "worn",
    "sharp",
    "soft",
    "uneven",
    "lumpy",
    "rusty",
    "backwards",
    "sideways",
    "warped",
    "draughty",
    "noisy",
    "minging",
    "clarty",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "one",
];

/// Words whose *'s* is always a verb.
const SHORT: &[&str] = &[
    "there", "it", "that", "what", "where", "here", "one", "who", "he", "she",
];

/// Returns the words with contractions written out.
pub(super) fn written_out(words: &[String]) -> Vec<String> {
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    for (at, word) in words.iter().enumerate() {
        let plain = word.replace('’', "'");
        let core = plain.trim_end_matches(|c: char| !c.is_alphanumeric() && c != '\'');
        let tail = &plain[core.len()..];
        let lower = core.to_lowercase();
        if let Some((_, full)) = WRITTEN_OUT.iter().find(|(short, _)| *short == lower) {
            let full = if core.starts_with(char::is_uppercase) {
                super::tidy::upper_first(full)
            } else {
                (*full).to_owned()
            };
            out.push(format!("{full}{tail}"));
            continue;
        }
        match (lower.strip_suffix("'s"), tail.is_empty()) {
            (Some(stem), true) if !stem.is_empty() => {
                let next = |n: usize| {
                    words.get(at + n).map(|w| {
                        w.to_lowercase()
                            .trim_matches(|c: char| !c.is_alphanumeric())
                            .to_owned()
                    })
                };
                match verb(stem, next(1).as_deref(), next(2).as_deref()) {
                    Some(verb) => {
                        let stem = &core[..core.len() - 2];
                        out.push(stem.to_owned());
                        out.push(verb.to_owned());
                    }
                    None => out.push(word.clone()),
                }
            }
            _ => out.push(word.clone()),
        }
    }
    out
}

/// Returns the verb that *'s* stands for after `stem`; `None` where it tells what belongs to it.
fn verb(stem: &str, next: Option<&str>, after: Option<&str>) -> Option<&'static str> {
    let next = next?;
    let has = AFTER_HAS.contains(&next)
        || matches!(
            next,
            "not" | "never" | "just" | "only" | "already" | "all" | "still" | "also" | "really"
        ) && after.is_some_and(|word| AFTER_HAS.contains(&word));
    let number = super::tidy::is_number(next);
    let participle = next.len() > 4 && (next.ends_with("ing") || next.ends_with("ed"));
    let person = matches!(stem, "somebody" | "someone" | "nobody");
    if has || person && next == "left" {
        Some("has")
    } else if SHORT.contains(&stem) || AFTER_IS.contains(&next) || number || participle {
        Some("is")
    } else {
        None
    }
}
