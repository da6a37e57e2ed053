//! Sentences over the whole vocabulary, held against rules of plain English.

use super::alone::LONGEST;
use super::*;
use crate::job::samples;
use regex::Regex;

fn lexicon() -> &'static Lexicon {
    Lexicon::embedded().expect("a test keeps the embedded files free of errors")
}

/// Pairs less likely than this are never said: the lexicon's grade for an element named by neither
/// entry nor group is 0.1, for a defect of anything 0.6.
const LIKELY: f32 = 0.9;

/// Returns the sentence of every element with every defect that befalls it.
fn sentences() -> Vec<(String, String)> {
    let lexicon = lexicon();
    let defects: Vec<_> = lexicon.ids(Kind::Defect).collect();
    let mut all = Vec::new();
    for element in lexicon.ids(Kind::Element) {
        for &defect in &defects {
            if lexicon.befalls(defect, element) >= LIKELY {
                let (element, defect) = (lexicon.name(element), lexicon.name(defect));
                let sentence = describe(&samples::item(1, "hallway", element, defect));
                all.push((format!("{element} + {defect}"), sentence));
            }
        }
    }
    all
}

/// Words that blame somebody or raise alarm without cause.
const BLAMING: &str = r"(?i)\b(?:bodg\w*|butcher\w*|shodd\w*|careless\w*|lazy|sloppy|cowboys?|shocking|appalling|botch\w*|rubbish job|disgrac\w*|fault of|blame|negligen\w*|incompeten\w*|deadly|disaster)\b";

/// What no sentence may hold, with what is wrong about it.
fn faults() -> Vec<(Regex, &'static str)> {
    [
        (r"  ", "two spaces"),
        (r"(?i)\b(a|an|the|is|are|has|of|to|in|on) \1\b", ""),
        (r"(?i)\ba [aeio]\w", "a before a vowel"),
        (r"(?i)\ban [bcdfgjklmnpqrstvwxz]\w", "an before a consonant"),
        (r"(?i)\b(?:doors|taps|boards|rails|railings|controls|goods|electrics|hinges|joints) (?:is|has|does|was|needs|lets)\b", "plural with a singular verb"),
        (r"(?i)\b(?:door|tap|board|glass|hinge|frame|gas|brass|truss) (?:are|have|do|were|need|let)\b", "singular with a plural verb"),
        (r"(?i)\b(?:uh|um|er|erm)\b", "a hesitation"),
        (r"\b(?:is|are) (?:is|are|has|have|does|do|a gap|no)\b", "two verbs"),
        (r"\b(?:has|have) (?:not|out) (?:of|level|flush|plumb|square|tight)\b", "no participle"),
        (r"[!?]|\.\.", "shouting"),
        (r"(?: |^)[b-z](?: |\.|$)", "a letter alone"),
        (BLAMING, "blame"),
    ]
    .into_iter()
    .filter(|(_, what)| !what.is_empty())
    .map(|(pattern, what)| (Regex::new(pattern).unwrap(), what))
    .collect()
}

#[test]
fn every_likely_pair_makes_a_plain_sentence() {
    let faults = faults();
    let sentences = sentences();
    assert!(sentences.len() > 10_000, "{}", sentences.len());
    let mut wrong = Vec::new();
    let mut noted = 0;
    for (pair, text) in &sentences {
        let mut fault = |what: &str| wrong.push(format!("{pair}: {text} ({what})"));
        if !text.starts_with("The ") {
            fault("no article");
        }
        if !text.ends_with('.') || text.ends_with("..") {
            fault("no full stop");
        }
        if text.split(' ').count() > LONGEST {
            fault("too long");
        }
        let words: Vec<&str> = text.split(' ').collect();
        if words
            .windows(2)
            .any(|pair| pair[0].eq_ignore_ascii_case(pair[1]))
        {
            fault("a word twice");
        }
        for (pattern, what) in &faults {
            if pattern.is_match(text) {
                fault(what);
            }
        }
        noted += usize::from(text.contains(": "));
    }
    if let Some(file) = std::env::var_os("CALLOVER_SENTENCES") {
        let all: Vec<&str> = sentences.iter().map(|(_, text)| text.as_str()).collect();
        std::fs::write(file, all.join("\n")).unwrap();
    }
    wrong.truncate(60);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(noted, 0, "every defect of the lexicon has a predicate");
}

#[test]
fn every_predicate_of_the_lexicon_opens_with_a_verb() {
    let lexicon = lexicon();
    let mut wrong = Vec::new();
    for id in lexicon.ids(Kind::Defect) {
        let name = lexicon.name(id);
        let own = lexicon.defect(id).predicate.as_deref();
        let one = plain::predicate(name, own, false);
        let plural = plain::predicate(name, own, true);
        if one.is_none() || plural.is_none() || own.is_some() && one.as_deref() != own {
            wrong.push(name);
        }
    }
    assert!(
        wrong.is_empty(),
        "these need another `predicate`: {wrong:?}"
    );
}

/// Returns the descriptions that spoken words make.
fn told(spoken: &str) -> Vec<String> {
    let transcript = crate::speech::Transcript {
        recordings: Vec::new(),
        words: spoken
            .split_whitespace()
            .map(|word| crate::speech::Word {
                recording: 1,
                ..crate::speech::Word::written(word)
            })
            .collect(),
    };
    let proposal = crate::items::propose(lexicon(), &transcript);
    proposal
        .items
        .into_iter()
        .map(|item| item.description)
        .collect()
}

#[test]
fn spoken_words_become_plain_sentences() {
    for (spoken, expected) in [
        (
            "Kitchen. Gutter's sagging at the right hand corner.",
            "The gutter is sagging at the right hand corner.",
        ),
        (
            "Hallway. There's a paint run on the, er, on the architrave to the lounge door.",
            "There is a paint run on the architrave to the lounge door.",
        ),
        ("Kitchen. Hinge snapped.", "The hinge has snapped."),
        (
            "Hallway. The front door won't lock.",
            "The front door will not lock.",
        ),
        (
            "Bathroom. The toilet seat is loose as well.",
            "The toilet seat is loose.",
        ),
        (
            "Lounge. Um, the the skirting's, uh, loose.",
            "The skirting is loose.",
        ),
        (
            "Kitchen. End panel by the fridge, scratched.",
            "The end panel by the fridge is scratched.",
        ),
        ("Lounge. Two sockets are loose.", "Two sockets are loose."),
    ] {
        assert_eq!(told(spoken), [expected], "{spoken}");
    }
}

#[test]
fn no_sentence_is_too_long_to_be_read_in_one_go() {
    let long = "the door is loose, ".repeat(30);
    let text = shortened(&long);
    assert!(text.split(' ').count() <= LONGEST, "{text}");
    assert!(text.starts_with("the door is loose, the door"));
}
