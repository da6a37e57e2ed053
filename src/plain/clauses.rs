//! Clauses as they are spoken, put as they are written: *the hatch, it is skew* becomes *the hatch is
//! skew*.

/// Words that take up a thing named just before.
const PRONOUNS: &[&str] = &["it", "that", "they", "those", "these"];

/// Verbs that may follow such a word.
const AFTER_PRONOUN: &[&str] = &[
    "is", "are", "has", "have", "does", "do", "will", "was", "were", "cannot", "needs", "need",
    "wants", "want",
];

/// Words with which a clause begins that names no thing.
const NO_THING: &[&str] = &[
    "no", "not", "nothing", "none", "in", "on", "at", "to", "from", "down", "up", "over", "under",
    "round", "around", "behind", "above", "below", "by", "with", "when", "where", "if", "there",
    "here", "same", "this", "that", "it", "they",
];

/// What opens a clause in which the inspector speaks of what they will do themselves.
const PROMISES: &[&str] = &["i will ", "i shall ", "i am going to ", "let me "];

/// Most words of a thing that is named and then taken up: *the radiator on the back wall, it is skew*.
const LONGEST_NAME: usize = 10;

/// Returns the text with its clauses in written order: a thing that is named and taken up again is
/// said once, what begins anew goes on where it broke off, and what the inspector will do is left out.
pub(super) fn in_written_order(text: &str) -> String {
    let mut out: Vec<String> = Vec::new();
    for clause in text.split(", ") {
        let promise = PROMISES
            .iter()
            .any(|opening| clause.to_lowercase().starts_with(opening));
        if promise && !out.is_empty() || out.iter().any(|told| told == clause) {
            continue;
        }
        let alone = out.len() == 1;
        let told = out.last().and_then(|before| {
            gone_on(before, clause).or_else(|| alone.then(|| taken_up(before, clause)).flatten())
        });
        match (told, out.last_mut()) {
            (Some(told), Some(before)) => *before = told,
            _ => out.push(clause.to_owned()),
        }
    }
    passive(&uncleft(&out.join(", ")))
}

/// Returns a clause without the word that takes up what was named before.
fn without_pronoun(clause: &str) -> Option<&str> {
    let (first, rest) = clause.split_once(' ')?;
    PRONOUNS
        .contains(&first.to_lowercase().as_str())
        .then_some(rest)
}

/// *The hatch, it is skew* is *the hatch is skew*.
fn taken_up(before: &str, clause: &str) -> Option<String> {
    let rest = without_pronoun(clause)?;
    let lower = before.to_lowercase();
    let words: Vec<&str> = lower.split(' ').collect();
    let verb = |word: &str| AFTER_PRONOUN.contains(&word);
    let names = words.len() <= LONGEST_NAME
        && !NO_THING.contains(&words[0])
        && !words.iter().any(|word| verb(word));
    (names && rest.split(' ').next().is_some_and(verb)).then(|| format!("{before} {rest}"))
}

/// *The gully is full of, it is full of grit* is *the gully is full of grit*: the clause goes on from
/// the words that it shares with the end of the one before.
fn gone_on(before: &str, clause: &str) -> Option<String> {
    let rest: Vec<&str> = without_pronoun(clause)?.split(' ').collect();
    let told: Vec<&str> = before.split(' ').collect();
    let most = rest.len().min(told.len().saturating_sub(1));
    let shared = (2..=most)
        .rev()
        .find(|&n| told[told.len() - n..] == rest[..n])?;
    let more = rest[shared..].join(" ");
    Some(format!("{before} {more}").trim_end().to_owned())
}

/// *It is the newel post that is scratched* is *the newel post is scratched*.
fn uncleft(text: &str) -> String {
    let cleft = text.strip_prefix("it is the ").and_then(|rest| {
        let (thing, said) = rest.split_once(" that ")?;
        let verb = said.split(' ').next()?;
        (!thing.contains(',') && AFTER_PRONOUN.contains(&verb))
            .then(|| format!("the {thing} {said}"))
    });
    cleft.unwrap_or_else(|| text.to_owned())
}

/// *There is a patch been missed* is *there is a patch that has been missed*.
fn passive(text: &str) -> String {
    const GOES_BEFORE: &[&str] = &[
        "has", "have", "had", "not", "never", "just", "already", "also", "only", "all",
    ];
    let Some((before, after)) = text.split_once(" been ") else {
        return text.to_owned();
    };
    let last = before.rsplit(' ').next().unwrap_or_default();
    let one = before.starts_with("there is ");
    if !(one || before.starts_with("there are "))
        || before.contains(", ")
        || GOES_BEFORE.contains(&last)
    {
        return text.to_owned();
    }
    format!(
        "{before} that {} been {after}",
        if one { "has" } else { "have" }
    )
}

/// Words after *is no* that tell that it stands for *is not*, beside those in *-ed* and *-ing*.
const DENIED: &[&str] = &[
    "in", "down", "on", "up", "out", "great", "level", "plumb", "straight", "flush", "square",
    "right", "laid", "hung", "cut", "put", "set", "built", "shut", "dry", "clean", "very", "quite",
    "even", "too", "our", "the", "yet", "done", "tight", "stuck", "even", "bad", "well",
];

/// Things in *-ing*, which a home may have none of.
const NAMES: &[&str] = &[
    "lagging",
    "flashing",
    "coving",
    "edging",
    "skirting",
    "railing",
    "ceiling",
    "grating",
    "pointing",
    "beading",
    "cladding",
    "decking",
    "fixing",
    "fitting",
    "opening",
    "landing",
    "boxing",
    "fencing",
    "paving",
    "planting",
    "roofing",
    "guttering",
    "tiling",
    "wiring",
    "lighting",
    "heating",
    "bedding",
    "coping",
    "nosing",
    "guarding",
    "handling",
    "warning",
];

/// *The hatch is no painted*, as it is said in Scotland and the north, is *the hatch is not painted*;
/// *there is no flashing* stays.
pub(super) fn no_for_not(mut words: Vec<String>) -> Vec<String> {
    let low = |word: &str| {
        word.trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase()
    };
    for at in 1..words.len().saturating_sub(1) {
        let (no, verb, next) = (low(&words[at]), low(&words[at - 1]), low(&words[at + 1]));
        let of_there = at > 1 && matches!(low(&words[at - 2]).as_str(), "there" | "here");
        let state = matches!(verb.as_str(), "is" | "are" | "was" | "were");
        let denied = DENIED.contains(&next.as_str())
            || next.len() > 3 && next.ends_with("ed")
            || next.len() > 4 && next.ends_with("ing") && !NAMES.contains(&next.as_str());
        let been = matches!(verb.as_str(), "has" | "have") && next == "been";
        if no == "no" && !of_there && (state && denied || been) {
            words[at] = "not".to_owned();
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::super::tidy;

    #[test]
    fn what_is_spoken_in_pieces_is_written_in_one() {
        for (said, read) in [
            (
                "the loft hatch, it's sitting skew, there's a gap",
                "the loft hatch is sitting skew, there is a gap",
            ),
            (
                "the radiator on the back wall, it's on the skew",
                "the radiator on the back wall is on the skew",
            ),
            (
                "both the door locks, they don't catch",
                "both the door locks do not catch",
            ),
            (
                "the gully's full of, it's full of grit",
                "the gully is full of grit",
            ),
            ("the tap's dripping, it's dripping", "the tap is dripping"),
            (
                "not done, the track is bent, not done",
                "not done, the track is bent",
            ),
            (
                "it's the newel post that's scratched",
                "the newel post is scratched",
            ),
            (
                "there's a patch of pointing been missed",
                "there is a patch of pointing that has been missed",
            ),
            (
                "one board is cracked, I'll hand that in",
                "one board is cracked",
            ),
            // A clause that stands alone is left alone.
            (
                "the wall is out, there's a bow in it",
                "the wall is out, there is a bow in it",
            ),
            ("no trap, it's a dip", "no trap, it is a dip"),
            (
                "the tap is loose, it has no washer",
                "the tap is loose, it has no washer",
            ),
            ("on the stairs, it is dark", "on the stairs, it is dark"),
            (
                "there is paint that has been missed",
                "there is paint that has been missed",
            ),
        ] {
            assert_eq!(tidy(said), read, "{said}");
        }
    }

    #[test]
    fn no_for_not_is_written_out_and_no_for_none_stays() {
        for (said, read) in [
            ("the hatch is no painted", "the hatch is not painted"),
            ("the extractor's no working", "the extractor is not working"),
            ("the carpet's no down yet", "the carpet is not down yet"),
            ("it has no been pointed", "it has not been pointed"),
            ("there's no lagging", "there is no lagging"),
            ("there is no fixed panel", "there is no fixed panel"),
            ("the pipe has no lagging", "the pipe has no lagging"),
            ("the problem is no flashing", "the problem is no flashing"),
            ("the step has no handrail", "the step has no handrail"),
        ] {
            assert_eq!(tidy(said), read, "{said}");
        }
    }
}
