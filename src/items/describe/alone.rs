//! Whether the speaker's own words on an item are a sentence of their own, and what makes them one.

use crate::plain;

/// Longest sentence, in words: longer ones lose their last clauses. Common advice on plain English
/// asks for 15 to 20 words on average; twice that is the most that is read in one go.
pub(super) const LONGEST: usize = 40;

/// Verbs by one of which a sentence is known.
const FINITE: &[&str] = &[
    "is", "are", "has", "have", "does", "do", "will", "was", "were", "needs", "need", "cannot",
    "can", "should", "might", "may", "must", "could", "would",
];

/// Words before which a sentence needs no article.
const OPENERS: &[&str] = &[
    "the", "a", "an", "this", "that", "these", "those", "there", "it", "one", "two", "three",
    "four", "five", "six", "seven", "eight", "nine", "ten", "some", "several", "both", "all",
    "each", "every", "no", "over", "under", "round", "around", "on", "in", "at", "behind", "above",
    "below", "beside", "down", "up", "when", "where", "if", "what", "they", "nothing", "any",
    "half", "most", "many", "i", "we", "you", "somebody", "someone", "not", "only", "just", "here",
    "its", "to", "from", "by", "with", "another", "next", "along", "across", "between", "outside",
    "inside", "could", "might",
];

/// Returns the text with its element named and an article before it, where it is a sentence of its
/// own; `None` where it is but a note. `act` is a verb in it that says what the element does.
pub(super) fn standing_alone(text: &str, element: &str, act: Option<&str>) -> Option<String> {
    let lower = text.to_lowercase();
    let element = element.to_lowercase();
    let head = element.rsplit(' ').next().unwrap_or(&element);
    let words: Vec<&str> = lower.split_whitespace().collect();
    let acts = act.is_some_and(|act| words.contains(&act));
    let doing = act.filter(|act| act.ends_with("ing"));
    if let Some(doing) = doing
        && let Some((before, _)) = lower.split_once(&format!("{head} {doing}"))
    {
        let first = words.first().copied().unwrap_or_default();
        let subject = lower.starts_with(&element) || OPENERS.contains(&first) && first != "there";
        let be = if plain::is_plural(head) { "are" } else { "is" };
        let (before, after) = text.split_at(before.len() + head.len());
        let said = format!("{before} {be}{after}");
        return subject
            .then(|| standing_alone(&said, &element, None))
            .flatten();
    }
    let finite = |word: &&str| FINITE.contains(&word.trim_matches(','));
    if doing.is_some() || !acts && !words.iter().any(finite) {
        let told = ["the", "a", "an", "there", "one", "no"].contains(words.first()?);
        return (told && words.len() > 3 && lower.contains(head)).then(|| text.to_owned());
    }
    if lower.contains(head) {
        let first = words.first()?.trim_matches(',');
        let second = words.get(1).copied().unwrap_or_default();
        // *Will not lock* is not about a lock, *it has lost its cover* not a name of the cover, and in
        // *ran the shower* the thing is not what the sentence is about.
        let of_another = FINITE.contains(&first)
            || first == "it"
            || !OPENERS.contains(&first) && ["the", "a", "an"].contains(&second);
        if of_another {
            return None;
        }
        let text = &with_articles(text);
        // An *up and over door* begins like a place.
        if lower.starts_with(&element) || !OPENERS.contains(&first) {
            return Some(format!("the {}", plain::lower_first(text)));
        }
        return Some(text.clone());
    }
    let rest = ["it is ", "it has ", "that is ", "it does ", "it will "]
        .iter()
        .find_map(|it| lower.starts_with(it).then(|| it.find(' ')).flatten())?;
    Some(format!("the {element}{}", &text[rest..]))
}

/// Words that need no article before them, though a verb follows.
const NO_NAMES: &[&str] = &[
    "which",
    "who",
    "that",
    "and",
    "but",
    "so",
    "or",
    "he",
    "she",
    "everything",
    "nobody",
    "nothing",
    "something",
    "anything",
    "somebody",
    "mine",
    "water",
    "paint",
    "mortar",
    "which's",
    "though",
    "because",
    "as",
    "still",
    "also",
    "even",
    "other",
    "others",
];

/// Returns the text with an article before what a later clause is about: *the sill is chipped, ingo has
/// a crack* has *the ingo*.
fn with_articles(text: &str) -> String {
    let article = |clause: &str| {
        let (first, rest) = clause.split_once(' ')?;
        let verb = rest.split(' ').next()?;
        let name = first.len() > 2
            && first.chars().all(|letter| letter.is_lowercase())
            && !first.ends_with('s')
            && ![OPENERS, FINITE, NO_NAMES]
                .iter()
                .any(|some| some.contains(&first));
        (name && ["is", "has", "does", "was"].contains(&verb)).then(|| format!("the {clause}"))
    };
    let clauses = text.split(", ").enumerate().map(|(at, clause)| {
        let told = (at > 0).then(|| article(clause)).flatten();
        told.unwrap_or_else(|| clause.to_owned())
    });
    clauses.collect::<Vec<_>>().join(", ")
}

/// Leaves the last clauses out of a text that is too long to be read in one go.
pub(super) fn shortened(text: &str) -> String {
    let mut clauses: Vec<&str> = text.split(", ").collect();
    let words = |clauses: &[&str]| clauses.iter().map(|c| c.split(' ').count()).sum::<usize>();
    while clauses.len() > 1 && words(&clauses) > LONGEST {
        clauses.pop();
    }
    let text = clauses.join(", ");
    let kept: Vec<&str> = text.split(' ').take(LONGEST).collect();
    kept.join(" ")
}

#[cfg(test)]
mod tests {
    use super::standing_alone;

    /// Words, element, and the sentence that they are; none where they are not about the element.
    #[test]
    fn words_stand_alone_where_they_are_a_sentence_about_the_element() {
        for (text, element, act, sentence) in [
            ("tap is dripping", "tap", None, Some("the tap is dripping")),
            (
                "up and over door is out of plumb",
                "up and over door",
                None,
                Some("the up and over door is out of plumb"),
            ),
            (
                "the sill is chipped, ingo has a crack in it",
                "sill",
                None,
                Some("the sill is chipped, the ingo has a crack in it"),
            ),
            (
                "the pan is loose, nobody has fixed it",
                "pan",
                None,
                Some("the pan is loose, nobody has fixed it"),
            ),
            ("it is stiff", "window", None, Some("the window is stiff")),
            (
                "bottom of the door is bare",
                "door",
                None,
                Some("the bottom of the door is bare"),
            ),
            ("will not lock", "lock", None, None),
            ("it has lost its cover", "fan cover", None, None),
            ("ran the shower, that leak is cured", "shower", None, None),
            ("out of plumb", "door", None, None),
            (
                "gate latch misses its keep",
                "gate latch",
                Some("misses"),
                Some("the gate latch misses its keep"),
            ),
            (
                "gripper poking up through the carpet",
                "gripper",
                Some("poking"),
                Some("the gripper is poking up through the carpet"),
            ),
            (
                "listen to that hinge squeaking",
                "hinge",
                Some("squeaking"),
                None,
            ),
        ] {
            assert_eq!(
                standing_alone(text, element, act).as_deref(),
                sentence,
                "{text}"
            );
        }
    }
}
