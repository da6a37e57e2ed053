//! Words as heard, made fit to read: no hesitations, nothing said twice, no loose ends.

use super::clauses;
use super::contractions::written_out;
use std::borrow::Cow;

const HESITATIONS: &[&str] = &["uh", "um", "er", "erm", "ah", "hmm", "eh", "umm", "uhm"];

/// Openings that lead up to a fact and say nothing of it.
const LEAD_INS: &[&str] = &[
    "all i have is",
    "i would say",
    "i reckon",
    "i think",
    "i suspect",
    "i can see",
    "all i have got is",
    "what i will write down is",
    "as i say",
    "to be fair",
    "you know",
    "to be honest",
    "basically",
    "obviously",
    "so",
    "and",
    "but",
    "right",
    "okay",
    "ok",
    "well",
    "then",
    "also",
    "now",
    "again",
    "anyway",
    "plus",
    "oh",
    "yes",
    "yeah",
];

/// Openings that say that something is there.
const HAVING: &[&str] = &[
    "i have got",
    "we have got",
    "you have got",
    "i have",
    "we have",
    "you have",
];

/// Words with which a thing is named: *I have a gap here*, but not *I have put*.
const THINGS: &[&str] = &["a", "an", "no", "some", "several", "another"];

/// Endings that tie a sentence to the one before.
const TIES: &[&str] = &[
    "as well",
    "too",
    "again",
    "either",
    "also",
    "though",
    "i think",
    "you know",
    "to be fair",
];

/// Words on which no sentence ends: what followed them stands elsewhere in the item.
const LOOSE_ENDS: &[&str] = &[
    "by", "of", "a", "an", "the", "like", "and", "but", "or", "to", "with", "its", "is", "are",
    "at", "for", "from", "that", "has", "only", "than", "it's", "there's",
];

/// Words that blame or shout; what they say of the work is said by the defect.
const BLAME: &[&str] = &[
    "shocking",
    "disgraceful",
    "disgusting",
    "lazy",
    "cowboy",
    "cowboys",
    "idiot",
    "idiots",
    "useless",
    "bodge",
    "bodged",
    "bodge-job",
    "shambles",
    "pathetic",
    "appalling",
    "careless",
    "sloppy",
    "botched",
    "joke",
    "ridiculous",
    "diabolical",
    "terrible",
    "awful",
    "dreadful",
    "rubbish",
    "hopeless",
    "incompetent",
    "horrendous",
    "abysmal",
    "atrocious",
];

/// Words that speak of another item or take something back: such a sentence does not stand alone.
const OF_OTHERS: &[&str] = &[
    "ditto",
    "sorry",
    "i mean",
    "i say",
    "tell a lie",
    "hang on",
    "scrap that",
    "scratch that",
    "same story",
    "same issue",
    "same problem",
    "same thing",
    "same again",
    "same deal",
    "same as",
    "the same",
    "exactly the same",
    "likewise",
    "as before",
    "as above",
    "my wife",
    "this one",
    "no,",
];

/// Tells whether the words need the sentences around them to be understood.
pub(crate) fn speaks_of_others(text: &str) -> bool {
    let text = format!(" {} ", text.to_lowercase());
    OF_OTHERS.iter().any(|words| {
        text.match_indices(words).any(|(at, _)| {
            let end = text[at + words.len()..].chars().next();
            text[..at].ends_with(' ') && (words.ends_with(',') || matches!(end, Some(' ' | ',')))
        })
    })
}

/// Returns the words made fit to read, without a capital first or a full stop last.
pub(crate) fn tidy(text: &str) -> String {
    let words = without_hesitations(text);
    let words = calm(said_once(units(clauses::no_for_not(written_out(&words)))));
    let text = words.join(" ").replace(" has got to ", " has to ");
    let text = text
        .replace(" has got ", " has ")
        .replace(" have got ", " have ");
    let clauses: Vec<&str> = text.split(", ").collect();
    let fair: Vec<&str> = clauses
        .iter()
        .copied()
        .filter(|clause| !blames(clause))
        .collect();
    let mut text = if fair.is_empty() {
        text.clone()
    } else {
        fair.join(", ")
    };
    text = without_lead_in(&text);
    text = agreeing(&clauses::in_written_order(&text));
    without_loose_ends(&text)
}

fn without_hesitations(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let all: Vec<&str> = text.split_whitespace().collect();
    for (at, word) in all.iter().enumerate() {
        let word = *word;
        if !HESITATIONS.contains(&&*bare(word)) {
            words.push(word.to_owned());
        } else if let Some(before) = words.last_mut() {
            // The comma before a hesitation belongs to it, unless a new clause begins.
            let next = all.get(at + 1).map(|next| bare(next)).unwrap_or_default();
            if !begins_clause(&next) {
                before.truncate(before.trim_end_matches(',').len());
            }
        }
    }
    words
}

/// Tells whether a word after a comma begins a clause of its own.
pub(crate) fn begins_clause(word: &str) -> bool {
    matches!(
        word,
        "there" | "there's" | "it" | "it's" | "they" | "that" | "the" | "one" | "a" | "i"
    )
}

/// Returns the word without punctuation around it, in small letters.
fn bare(word: &str) -> Cow<'_, str> {
    let word = word.trim_matches(|c: char| !c.is_alphanumeric());
    match word.is_ascii() && !word.bytes().any(|letter| letter.is_ascii_uppercase()) {
        true => word.into(),
        false => word.to_lowercase().into(),
    }
}

pub(super) fn upper_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// Words and short runs of words that stand twice in a row stand once: *on the, on the architrave*.
pub(super) fn said_once(mut words: Vec<String>) -> Vec<String> {
    const LONGEST_RUN: usize = 4;
    let mut bare: Vec<String> = words.iter().map(|word| bare(word).into_owned()).collect();
    let mut at = 0;
    while at < words.len() {
        let run = (1..=LONGEST_RUN).rev().find(|&n| {
            at + 2 * n <= words.len()
                && bare[at..at + n] == bare[at + n..at + 2 * n]
                && !bare[at].is_empty()
                && !(n == 1 && (is_number(&bare[at]) || bare[at] == "had"))
        });
        match run {
            Some(n) => {
                words.drain(at..at + n);
                bare.drain(at..at + n);
            }
            None => at += 1,
        }
    }
    words
}

/// Words cried out in capitals become small ones; short ones are names of things (PVC).
fn calm(words: Vec<String>) -> Vec<String> {
    words
        .into_iter()
        .map(|word| {
            let letters: String = word.chars().filter(|c| c.is_alphabetic()).collect();
            let shouted = letters.chars().count() > 4 && letters.chars().all(char::is_uppercase);
            let word = if shouted { word.to_lowercase() } else { word };
            word.replace('!', ".").trim_end_matches("..").to_owned()
        })
        .collect()
}

const NUMBERS: &[&str] = &[
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
    "thirty",
    "forty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
    "hundred",
    "thousand",
    "point",
    "half",
];

pub(super) fn is_number(word: &str) -> bool {
    !word.is_empty()
        && (word.chars().all(|c| c.is_ascii_digit() || c == '.')
            || word.split('-').all(|part| NUMBERS.contains(&part)))
}

/// Slang for millimetres after a number is written out: *six mil* is *six millimetres*, *a twelve
/// mil gap* is *a twelve-millimetre gap*.
fn units(words: Vec<String>) -> Vec<String> {
    /// Words that follow a length without being measured by it.
    const AFTER_LENGTH: &[&str] = &[
        "by", "over", "of", "out", "under", "in", "at", "along", "proud", "high", "wide", "long",
        "deep", "short", "too", "from", "on", "and", "or", "up", "down", "off", "below", "above",
        "to", "the", "across", "each", "here", "there", "is", "apart", "thick", "low", "with",
        "where", "between", "last", "when", "now", "still", "again", "this", "that", "so", "which",
        "if", "then", "today", "instead", "before", "behind", "along", "all",
    ];
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    for (at, word) in words.iter().enumerate() {
        let slang = matches!(&*bare(word), "mil" | "mils" | "mill" | "mills");
        let number = out
            .last()
            .map(|w| bare(w).into_owned())
            .filter(|w| is_number(w) || w == "a");
        let (true, Some(number)) = (slang, number) else {
            out.push(word.clone());
            continue;
        };
        let tail: String = word.chars().skip_while(|c| c.is_alphanumeric()).collect();
        let next = words.get(at + 1).map(|w| bare(w)).unwrap_or_default();
        let figures = number.starts_with(|c: char| c.is_ascii_digit());
        let before_noun = tail.is_empty() && !next.is_empty() && !AFTER_LENGTH.contains(&&*next);
        match (figures, before_noun) {
            (true, _) => out.push(format!("mm{tail}")),
            (false, true) if number != "a" => {
                let number = out.pop().unwrap_or_default();
                out.push(format!("{number}-millimetre"));
            }
            (false, _) if number == "one" || number == "a" => out.push(format!("millimetre{tail}")),
            (false, _) => out.push(format!("millimetres{tail}")),
        }
    }
    out
}

fn blames(clause: &str) -> bool {
    clause
        .split_whitespace()
        .any(|word| BLAME.contains(&&*bare(word)))
}

fn without_lead_in(text: &str) -> String {
    let mut text = text.trim().to_owned();
    'again: loop {
        let lower = text.to_lowercase();
        for lead in HAVING {
            if let Some(rest) = after(&lower, lead)
                && rest
                    .split(' ')
                    .next()
                    .is_some_and(|word| THINGS.contains(&word) || is_number(word))
            {
                let at = text.len() - rest.len();
                text = format!("there is {}", &text[at..]);
                continue 'again;
            }
        }
        for lead in LEAD_INS {
            if let Some(rest) = after(&lower, lead) {
                text = text[text.len() - rest.len()..].to_owned();
                continue 'again;
            }
        }
        return text;
    }
}

/// Returns what follows the words `lead` and a space or comma at the start; `None` where nothing does.
fn after<'a>(text: &'a str, lead: &str) -> Option<&'a str> {
    let rest = text.strip_prefix(lead)?;
    let trimmed = rest.trim_start_matches([',', ' ']);
    (rest.starts_with([' ', ',']) && !trimmed.is_empty()).then_some(trimmed)
}

/// Words in *-s* that are no plurals.
const NO_PLURALS: &[&str] = &[
    "gas",
    "always",
    "perhaps",
    "sometimes",
    "plus",
    "across",
    "as",
    "its",
    "his",
    "is",
    "was",
    "has",
    "this",
    "canvas",
    "lens",
    "bias",
];

/// Words before which *there is* says nothing of how many.
const ARTICLES: &[&str] = &[
    "a", "an", "the", "no", "one", "some", "any", "another", "each", "every",
];

/// Tells whether several things are named: *holes*, *bare patches*.
fn several(first: &str, second: &str) -> bool {
    let plural = |word: &str| {
        word.len() > 3
            && word.ends_with('s')
            && !word.ends_with("ss")
            && !word.ends_with("us")
            && !NO_PLURALS.contains(&word)
    };
    let quality = super::predicate::is_quality(first);
    !ARTICLES.contains(&first) && (plural(first) || quality && plural(second))
}

/// *There is two* becomes *there are two*, *there is holes* becomes *there are holes*.
fn agreeing(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
    for at in 0..words.len().saturating_sub(2) {
        let there = bare(words[at]) == "there" && words[at + 1] == "is";
        let next = bare(words[at + 2]);
        let many = is_number(&next) && !matches!(&*next, "one" | "half" | "1" | "point")
            || matches!(&*next, "several" | "many" | "both");
        let many = many
            || several(
                words[at + 2].trim_end_matches(','),
                &bare(words.get(at + 3).unwrap_or(&"")),
            );
        if there && many && bare(words.get(at + 3).unwrap_or(&"")) != "millimetre" {
            out[at + 1] = "are".to_owned();
        }
    }
    out.join(" ")
}

fn without_loose_ends(text: &str) -> String {
    let edge =
        |c: char| c.is_whitespace() || matches!(c, ',' | '.' | ';' | ':' | '!' | '?' | '-' | '…');
    let mut text = text.trim_matches(edge).to_owned();
    loop {
        let lower = text.to_lowercase();
        let cut = TIES
            .iter()
            .filter_map(|tie| lower.strip_suffix(tie))
            .chain(LOOSE_ENDS.iter().filter_map(|end| lower.strip_suffix(end)))
            .find(|rest| rest.ends_with([' ', ',']) && rest.split_whitespace().count() > 1)
            .map(str::len);
        match cut {
            Some(length) => text = text[..length].trim_end_matches(edge).to_owned(),
            None => return text,
        }
    }
}
