//! English plurals and verb forms, by rule and from the table of irregular ones.
//!
//! The rules are the spelling rules of any English grammar: sibilants take *-es*, a consonant
//! before *y* turns it into *i*, a silent *e* drops before *-ed* and *-ing*, a single final
//! consonant after a single vowel doubles in a word of one syllable (*fit*, *fitted*), and British
//! spelling doubles a final *l* in longer words too (*level*, *levelled*).

use super::irregular::{PLURALS, VERBS};

/// The forms of a verb. Each list holds at least one form; where usage differs, several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct VerbForms {
    /// *break*.
    pub(super) base: String,
    /// *breaks*.
    pub(super) third: String,
    /// *broke*.
    pub(super) past: Vec<String>,
    /// *broken*.
    pub(super) participle: Vec<String>,
    /// *breaking*.
    pub(super) ing: Vec<String>,
}

/// Prefixes that leave the irregular forms of a verb as they are: *rehang*, *rehung*.
const PREFIXES: &[&str] = &[
    "re", "un", "over", "under", "out", "mis", "with", "fore", "up",
];

/// Words that stay as they are while the verb before them is inflected: *come away*, *make good*.
const PARTICLES: &[&str] = &[
    "a", "about", "across", "against", "ahead", "along", "an", "any", "apart", "around", "as",
    "at", "away", "back", "bare", "behind", "below", "between", "by", "clean", "clear", "dirty",
    "down", "dry", "flat", "flush", "for", "forward", "free", "from", "good", "home", "in", "into",
    "it", "itself", "level", "loose", "low", "of", "off", "on", "onto", "open", "out", "over",
    "past", "plumb", "proud", "right", "round", "safe", "short", "shut", "smooth", "straight",
    "the", "them", "through", "tight", "to", "together", "true", "under", "up", "water", "with",
    "wet",
];

/// Prepositions before which the head of a wording may stand: *area of damp*, *areas of damp*.
const AFTER_HEAD: &[&str] = &[
    "of", "to", "for", "in", "on", "at", "with", "under", "between",
];

/// Letters that a plural has at least: shorter words in *-s* are mostly no plurals (*gas*, *lens*).
const SHORTEST_PLURAL: usize = 5;

/// Returns the plurals of a word; several where usage differs.
pub(super) fn plurals(word: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (singular, plural) in PLURALS {
        // `bookshelf` follows `shelf`; the rest must be a word of its own, not a letter or two.
        if let Some(front) = word.strip_suffix(singular)
            && (front.is_empty() || front.len() >= 3)
        {
            found.push(format!("{front}{plural}"));
        }
    }
    // *human*, *german* and the like never occur here, so *-man* is left to the table.
    if found.is_empty() {
        let regular = add_s(word);
        if regular.ends_with("oes") {
            found.push(format!("{word}s"));
        }
        found.push(regular);
    }
    found
}

/// Returns the word that this one is a plural of by rule or table; `None` for others, of a few letters, and
/// in *-is* or *-us* (*chassis*).
pub(super) fn singular(plural: &str) -> Option<String> {
    if plural.chars().count() < SHORTEST_PLURAL || plural.ends_with("is") || plural.ends_with("us")
    {
        return None;
    }
    let by_rule = [
        ("ies", "y"),
        ("hes", "h"),
        ("sses", "ss"),
        ("xes", "x"),
        ("s", ""),
    ];
    let by_table = PLURALS
        .iter()
        .map(|(singular, plural)| (*plural, *singular));
    by_table.chain(by_rule).find_map(|(ending, instead)| {
        let word = format!("{}{instead}", plural.strip_suffix(ending)?);
        plurals(&word)
            .iter()
            .any(|one| one == plural)
            .then_some(word)
    })
}

/// Returns the plurals of a wording of one or more words: of its last word, or of the last word
/// before a preposition.
pub(super) fn wording_plurals(words: &[String]) -> Vec<Vec<String>> {
    let mut heads = Vec::new();
    if !words.is_empty() {
        heads.push(words.len() - 1);
    }
    if let Some(at) = words
        .iter()
        .position(|word| AFTER_HEAD.contains(&word.as_str()))
        && at > 0
        && at + 1 < words.len()
    {
        heads.push(at - 1);
    }
    let mut all = Vec::new();
    for head in heads {
        for plural in plurals(&words[head]) {
            let mut changed = words.to_vec();
            changed[head] = plural;
            all.push(changed);
        }
    }
    all
}

/// Returns the forms of a verb of one or more words. Of several words, the first one is inflected
/// where particles or adjectives follow it (*come away*, *make good*), the last one otherwise
/// (*water damage*), and each side of an *and* (*ease and adjust*).
pub(super) fn verb(words: &[String]) -> VerbForms {
    if let Some(at) = words.iter().position(|word| word == "and")
        && at > 0
        && at + 1 < words.len()
    {
        return both(&verb(&words[..at]), &verb(&words[at + 1..]));
    }
    let Some(last) = words.len().checked_sub(1) else {
        return one_word("");
    };
    let first_inflects = words[1..]
        .iter()
        .any(|word| PARTICLES.contains(&word.as_str()))
        || irregular(&words[0]).is_some();
    let at = if first_inflects { 0 } else { last };
    let place = |form: &String| {
        let mut changed = words.to_vec();
        changed[at] = form.clone();
        changed.join(" ")
    };
    let forms = one_word(&words[at]);
    VerbForms {
        base: place(&forms.base),
        third: place(&forms.third),
        past: forms.past.iter().map(place).collect(),
        participle: forms.participle.iter().map(place).collect(),
        ing: forms.ing.iter().map(place).collect(),
    }
}

fn both(left: &VerbForms, right: &VerbForms) -> VerbForms {
    let pairs = |a: &[String], b: &[String]| {
        a.iter()
            .flat_map(|a| b.iter().map(move |b| format!("{a} and {b}")))
            .collect()
    };
    VerbForms {
        base: format!("{} and {}", left.base, right.base),
        third: format!("{} and {}", left.third, right.third),
        past: pairs(&left.past, &right.past),
        participle: pairs(&left.participle, &right.participle),
        ing: pairs(&left.ing, &right.ing),
    }
}

/// Returns past forms and participles of an irregular verb, prefixed ones too.
fn irregular(word: &str) -> Option<(Vec<String>, Vec<String>)> {
    let prefixes = PREFIXES
        .iter()
        .filter(|prefix| word.len() > prefix.len() + 1);
    for prefix in std::iter::once(&"").chain(prefixes) {
        let Some(rest) = word.strip_prefix(prefix) else {
            continue;
        };
        if let Some((_, past, participle)) = VERBS.iter().find(|(base, _, _)| *base == rest) {
            let forms = |list: &str| {
                list.split('/')
                    .map(|form| format!("{prefix}{form}"))
                    .collect()
            };
            return Some((forms(past), forms(participle)));
        }
    }
    None
}

fn one_word(word: &str) -> VerbForms {
    let (stems, ing) = stems(word);
    let (past, participle) = irregular(word).unwrap_or_else(|| {
        let past: Vec<String> = stems.iter().map(|stem| format!("{stem}ed")).collect();
        (past.clone(), past)
    });
    VerbForms {
        base: word.to_owned(),
        third: add_s(word),
        past,
        participle,
        ing,
    }
}

/// Returns the stems before *-ed*, and the forms in *-ing*.
fn stems(word: &str) -> (Vec<String>, Vec<String>) {
    let letters: Vec<char> = word.chars().collect();
    let ing = |stem: &str| format!("{stem}ing");
    let Some(&last) = letters.last() else {
        return (vec![String::new()], vec![String::new()]);
    };
    let before = letters.len().checked_sub(2).map(|at| letters[at]);
    if let Some(stem) = word.strip_suffix("ie") {
        return (vec![stem.to_owned() + "i"], vec![format!("{stem}ying")]);
    }
    if last == 'e' {
        let stem = &word[..word.len() - 1];
        let keeps = matches!(before, Some('e' | 'o' | 'y')) || word == "singe";
        return (
            vec![stem.to_owned()],
            vec![ing(if keeps { word } else { stem })],
        );
    }
    if last == 'y' && before.is_some_and(|c| !is_vowel(c)) {
        return (
            vec![format!("{}i", &word[..word.len() - 1])],
            vec![ing(word)],
        );
    }
    if last == 'c' {
        return (vec![format!("{word}k")], vec![ing(&format!("{word}k"))]);
    }
    let doubled = format!("{word}{last}");
    if closes_single_vowel(&letters) {
        let prefixed = PREFIXES
            .iter()
            .filter_map(|prefix| word.strip_prefix(prefix));
        let one_syllable = syllables(word) == 1
            || prefixed
                .into_iter()
                .any(|rest| syllables(rest) == 1 && begins_a_syllable(rest))
            || word.ends_with("quip");
        if one_syllable {
            return (vec![doubled.clone()], vec![ing(&doubled)]);
        }
        if last == 'l' {
            // British first; American spelling leaves the l single.
            return (
                vec![doubled.clone(), word.to_owned()],
                vec![ing(&doubled), ing(word)],
            );
        }
    }
    (vec![word.to_owned()], vec![ing(word)])
}

/// Returns true where a word could begin so, which tells *re-trim* from *render*.
fn begins_a_syllable(rest: &str) -> bool {
    let mut letters = rest.chars();
    match (letters.next(), letters.next(), letters.next()) {
        (Some(first), Some(second), Some(_)) => {
            is_vowel(first)
                || is_vowel(second)
                || first == 's'
                || matches!(second, 'l' | 'r' | 'h' | 'w')
        }
        _ => false,
    }
}

/// Returns true where a single vowel letter and a single consonant that can double end the word.
fn closes_single_vowel(letters: &[char]) -> bool {
    let [.., second, vowel, last] = letters else {
        return matches!(letters, [vowel, last] if is_vowel(*vowel) && !is_vowel(*last));
    };
    let doubles = !is_vowel(*last) && !matches!(last, 'w' | 'x' | 'y' | 'h');
    let after_q = *second == 'u' && letters.len() >= 4 && letters[letters.len() - 4] == 'q';
    doubles && is_vowel(*vowel) && (!is_vowel(*second) || after_q)
}

fn is_vowel(c: char) -> bool {
    matches!(c, 'a' | 'e' | 'i' | 'o' | 'u')
}

/// Returns the number of groups of vowel letters, *y* included.
fn syllables(word: &str) -> usize {
    let mut count = 0;
    let mut in_vowels = false;
    for c in word.chars() {
        let vowel = is_vowel(c) || (c == 'y' && count > 0);
        if vowel && !in_vowels {
            count += 1;
        }
        in_vowels = vowel;
    }
    count
}

fn add_s(word: &str) -> String {
    let consonant_before_last = word.chars().rev().nth(1).is_some_and(|c| !is_vowel(c));
    if word.ends_with('y') && consonant_before_last {
        return format!("{}ies", &word[..word.len() - 1]);
    }
    let sibilant = ["s", "x", "z", "ch", "sh"]
        .iter()
        .any(|end| word.ends_with(end));
    if sibilant || (word.ends_with('o') && consonant_before_last) {
        return format!("{word}es");
    }
    format!("{word}s")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<String> {
        text.split(' ').map(str::to_owned).collect()
    }

    fn shown(text: &str) -> String {
        let forms = verb(&words(text));
        let all = |list: &[String]| list.join("/");
        [
            forms.third,
            all(&forms.past),
            all(&forms.participle),
            all(&forms.ing),
        ]
        .join(", ")
    }

    #[test]
    fn verbs_take_all_their_forms() {
        // Forms as in any English dictionary; from memory.
        let table = [
            ("crack", "cracks, cracked, cracked, cracking"),
            ("chip", "chips, chipped, chipped, chipping"),
            ("ease", "eases, eased, eased, easing"),
            ("dry", "dries, dried, dried, drying"),
            ("spray", "sprays, sprayed, sprayed, spraying"),
            ("fix", "fixes, fixed, fixed, fixing"),
            ("catch", "catches, caught, caught, catching"),
            ("leak", "leaks, leaked, leaked, leaking"),
            ("weld", "welds, welded, welded, welding"),
            ("equip", "equips, equipped, equipped, equipping"),
            ("open", "opens, opened, opened, opening"),
            (
                "level",
                "levels, levelled/leveled, levelled/leveled, levelling/leveling",
            ),
            ("blister", "blisters, blistered, blistered, blistering"),
            ("stick", "sticks, stuck, stuck, sticking"),
            ("blow", "blows, blew, blown, blowing"),
            ("come away", "comes away, came away, come away, coming away"),
            (
                "rehang",
                "rehangs, rehung/rehanged, rehung/rehanged, rehanging",
            ),
            ("refit", "refits, refitted/refit, refitted/refit, refitting"),
            ("reseal", "reseals, resealed, resealed, resealing"),
            ("undercut", "undercuts, undercut, undercut, undercutting"),
            ("render", "renders, rendered, rendered, rendering"),
            ("retrim", "retrims, retrimmed, retrimmed, retrimming"),
            ("tie", "ties, tied, tied, tying"),
            ("make good", "makes good, made good, made good, making good"),
            (
                "water damage",
                "water damages, water damaged, water damaged, water damaging",
            ),
            ("panic", "panics, panicked, panicked, panicking"),
            (
                "ease and adjust",
                "eases and adjusts, eased and adjusted, eased and adjusted, easing and adjusting",
            ),
        ];
        for (infinitive, expected) in table {
            assert_eq!(shown(infinitive), expected, "{infinitive}");
        }
    }

    #[test]
    fn a_singular_is_what_the_plural_is_of() {
        // As in any English dictionary; from memory.
        for (plural, one) in [
            ("rhones", Some("rhone")),
            ("facings", Some("facing")),
            ("hatches", Some("hatch")),
            ("gullies", Some("gully")),
            ("cleats", Some("cleat")),
            ("trusses", Some("truss")),
            ("shelves", Some("shelf")),
            ("brass", None),
            ("chassis", None),
            ("gas", None),
            ("rhone", None),
        ] {
            assert_eq!(singular(plural).as_deref(), one, "{plural}");
        }
    }

    #[test]
    fn plurals_follow_rule_and_table() {
        // Plurals as in any English dictionary; from memory.
        let table = [
            ("skirting board", "skirting boards"),
            ("door leaf", "door leaves"),
            ("shelf", "shelves"),
            ("bookshelf", "bookshelves"),
            ("loft hatch", "loft hatches"),
            ("gully", "gullies"),
            ("quay", "quays"),
            ("glass", "glasses"),
            ("box", "boxes"),
            ("roof", "roofs/rooves"),
            ("patio", "patios"),
            ("stucco", "stuccos/stuccoes"),
            ("area of damp", "area of damps/areas of damp"),
        ];
        for (singular, expected) in table {
            let found: Vec<_> = wording_plurals(&words(singular))
                .iter()
                .map(|words| words.join(" "))
                .collect();
            assert_eq!(found.join("/"), expected, "{singular}");
        }
    }
}
