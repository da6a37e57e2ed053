//! Heard words become tokens, and wordings become the same tokens.

use super::asides::leave_out;
use super::spellings::Spellings;
use super::term::Token;
use crate::speech::Word;

/// Words that are one as heard and several as matched. *'d* is read as *would*, its commoner
/// meaning in speech about work (*I'd replace it*); common practice, no source.
const SPLIT_WORDS: &[(&str, &[&str])] = &[
    ("won't", &["will", "not"]),
    ("wont", &["will", "not"]),
    ("can't", &["can", "not"]),
    ("cannot", &["can", "not"]),
    ("shan't", &["shall", "not"]),
    ("ain't", &["is", "not"]),
    // Scots.
    ("isnae", &["is", "not"]),
    ("wasnae", &["was", "not"]),
    ("hasnae", &["has", "not"]),
    ("havenae", &["have", "not"]),
    ("doesnae", &["does", "not"]),
    ("didnae", &["did", "not"]),
    ("cannae", &["can", "not"]),
    ("willnae", &["will", "not"]),
    ("wouldnae", &["would", "not"]),
    ("dinnae", &["do", "not"]),
    ("winnae", &["will", "not"]),
    ("shouldnae", &["should", "not"]),
    ("couldnae", &["could", "not"]),
    // Tyneside.
    ("divvent", &["do", "not"]),
    ("dont", &["do", "not"]),
    ("doesnt", &["does", "not"]),
    ("didnt", &["did", "not"]),
    ("isnt", &["is", "not"]),
    ("arent", &["are", "not"]),
    ("wasnt", &["was", "not"]),
    ("werent", &["were", "not"]),
    ("hasnt", &["has", "not"]),
    ("havent", &["have", "not"]),
    ("hadnt", &["had", "not"]),
    ("couldnt", &["could", "not"]),
    ("wouldnt", &["would", "not"]),
    ("shouldnt", &["should", "not"]),
    ("gonna", &["going", "to"]),
    ("nope", &["no"]),
    ("nah", &["no"]),
    ("naw", &["no"]),
    ("oughta", &["ought", "to"]),
    ("gotta", &["got", "to"]),
    ("o'clock", &["o'clock"]),
];

/// Endings after an apostrophe, with what they are matched as.
const ENDINGS: &[(&str, &str)] = &[
    ("n't", "not"),
    ("'ve", "have"),
    ("'re", "are"),
    ("'ll", "will"),
    ("'d", "would"),
    ("'m", "am"),
    ("'s", "'s"),
];

/// The dropped *g* of many accents: *rockin'*.
const DROPPED: &str = "in'";

/// Returns the tokens of heard words; [`Token::word`] counts from 0 in `words` and never falls. Words that
/// a second look took for others are read as heard where `heard_right` says so of them.
pub(super) fn tokens(
    words: &[Word],
    spellings: &Spellings,
    heard_right: impl Fn(&[Word]) -> bool,
) -> Vec<Token> {
    let mut tokens = Vec::new();
    let (mut noise_until, mut right_until) = (0, 0);
    for (index, word) in words.iter().enumerate() {
        noise_until = noise_until.max(end_of_noise(words, index));
        if index < noise_until {
            continue;
        }
        let begins = word.meant.as_deref().is_some_and(|meant| !meant.is_empty());
        if begins && index >= right_until {
            let run = index..Word::end_of(words, index);
            if heard_right(&words[run.clone()]) {
                right_until = run.end;
            }
        }
        let meant = word.meant.as_deref().filter(|_| index >= right_until);
        let mut norms = split(meant.unwrap_or(&word.text));
        mark(&mut norms, words.get(index + 1));
        for norm in norms {
            let norm = spellings.british(&norm);
            tokens.push(Token {
                norm,
                word: index,
                probability: word.probability,
            });
        }
    }
    of_dialect(&mut tokens);
    leave_out(&mut tokens);
    tokens
}

/// ***Threes** been bedded*: right before *been* a thing or number in *-s* is *three's*, whose apostrophe
/// recognisers leave out at times; forms of *be* and *have* end in *-s* themselves.
fn mark(norms: &mut Vec<String>, next: Option<&Word>) {
    let been =
        next.is_some_and(|next| split(&next.text).first().is_some_and(|word| word == "been"));
    let Some(stem) = norms.last().filter(|_| been).and_then(|last| {
        let verb = matches!(
            last.as_str(),
            "'s" | "has" | "was" | "is" | "this" | "always"
        );
        last.strip_suffix('s')
            .filter(|stem| !verb && !stem.ends_with('s'))
    }) else {
        return;
    };
    let stem = stem.to_owned();
    norms.pop();
    norms.extend([stem, "'s".to_owned()]);
}

/// The most words of a note in brackets.
const LONGEST_NOISE: usize = 5;

/// Returns the word behind the note that opens here, `index` where none does. Recognisers and typists
/// note sounds in square brackets: *[BLANK_AUDIO]*, *[door slams]*.
fn end_of_noise(words: &[Word], index: usize) -> usize {
    if !words[index].text.starts_with('[') {
        return index;
    }
    let rest = words[index..].iter().take(LONGEST_NOISE);
    let closes = rest.map(|w| w.text.contains(']')).position(|closes| closes);
    closes.map_or(index, |at| index + at + 1)
}

/// Forms of *be* after which Scots *no* denies.
const BE: &[&str] = &["'s", "is", "are", "was", "were", "been"];

/// Endings of what can be denied so: *no fixed*, *no lagged*, *no working*, *no broken*.
const DENIED: &[&str] = &["ed", "en", "ing"];

/// The same for words without such an ending.
const DENIED_WORDS: &[&str] = &[
    "level", "plumb", "square", "straight", "tight", "flush", "right", "shut", "cut", "set",
    "hung", "laid", "done", "on", "in", "down", "there", "fit", "lit", "wide", "long", "deep",
    "high", "stuck", "bonded", "bad",
];

/// True for what may be a plural: *facings no fixed*.
fn things(word: &str) -> bool {
    word.len() > 3 && word.ends_with('s') && !word.ends_with("ss")
}

/// Words of dialects and of quick speech, and what they are elsewhere: Scots and Tyneside, Yorkshire and
/// Lancashire, Southern American. Common practice, no source.
const ELSEWHERE: &[(&str, &str)] = &[
    ("nae", "no"),
    ("nee", "no"),
    ("nowt", "nothing"),
    ("owt", "anything"),
    ("summat", "something"),
    ("ower", "over"),
    ("em", "them"),
    ("cos", "because"),
    ("cept", "except"),
    ("bout", "about"),
];

/// Turns the *no* and *ay* of dialects into *not* where they deny, and *am* after things into *are*:
/// *the pipe's no lagged* (Scots), *the hood ay ducted*, *the bricks am spalled* (West Midlands); and *loft hand* into
/// *left hand*.
/// Common practice, no source.
fn of_dialect(tokens: &mut [Token]) {
    for token in tokens.iter_mut() {
        if let Some((_, elsewhere)) = ELSEWHERE.iter().find(|(said, _)| *said == token.norm) {
            (*elsewhere).clone_into(&mut token.norm);
        }
    }
    for at in 0..tokens.len() {
        let word = |at: usize| tokens.get(at).map_or("", |t: &Token| t.norm.as_str());
        let (before, next) = (at.checked_sub(1).map_or("", word), word(at + 1));
        let denied = DENIED.iter().any(|e| next.len() > 4 && next.ends_with(e))
            || DENIED_WORDS.contains(&next);
        // "There's no lagging", "it's no good": not the dialect.
        let there = at >= 2 && matches!(word(at - 2), "there" | "that" | "it");
        let becomes = match word(at) {
            "no" if (BE.contains(&before) || things(before)) && denied && !there => "not",
            "ay" if denied => "not",
            // What recognisers write for *left hand*.
            "loft" | "lift" if matches!(next, "hand" | "handed") => "left",
            "am" if at > 0 && !matches!(before, "i" | "what" | "where" | "and" | "who" | "as") => {
                "are"
            }
            _ => continue,
        };
        becomes.clone_into(&mut tokens[at].norm);
    }
}

/// Returns the normal words of a text: lowercase, contractions and hyphens split, punctuation gone,
/// numbers parted from their units, spelling as it is.
pub(super) fn split(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    for piece in text
        .to_lowercase()
        .replace(['’', '‘', 'ʼ', '`'], "'")
        .split(is_break)
    {
        contraction(piece, &mut words);
    }
    words
}

/// Returns true for characters between words. An apostrophe is part of a word; so are the point
/// and the comma, which [`plain`] strips or keeps by what stands around them.
fn is_break(c: char) -> bool {
    !(c.is_alphanumeric() || matches!(c, '\'' | '.' | ',' | '%' | '°' | '&' | '+' | '±' | 'µ'))
}

fn is_letters(word: &str) -> bool {
    word.bytes().all(|byte| byte.is_ascii_lowercase())
}

fn contraction(piece: &str, words: &mut Vec<String>) {
    let trimmed = ['\'', '.', ','];
    let said = piece
        .trim_start_matches(trimmed)
        .trim_end_matches(['.', ',']);
    let dropped = said.strip_suffix(DROPPED);
    if let Some(stem) = dropped.filter(|stem| stem.len() > 2 && is_letters(stem)) {
        words.push(format!("{stem}ing"));
        return;
    }
    let piece = said.trim_end_matches(trimmed);
    // Most words are letters only.
    if is_letters(piece) || split_word(piece).is_some() {
        end_word(&mut piece.to_owned(), words);
        return;
    }
    for (ending, becomes) in ENDINGS {
        if let Some(front) = piece.strip_suffix(ending)
            && !front.is_empty()
        {
            contraction(front, words);
            words.push((*becomes).to_owned());
            return;
        }
    }
    plain(piece, words);
}

/// What a character is, for parting numbers from words.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Digit,
    Fraction,
    Letter,
    Sign,
}

fn sort(c: char) -> Sort {
    match c {
        _ if c.is_ascii_digit() => Sort::Digit,
        '¼'..='¾' | '⅐'..='⅞' => Sort::Fraction,
        '%' | '°' | '&' | '+' | '±' => Sort::Sign,
        _ => Sort::Letter,
    }
}

/// Parts `2mm` into `2`, `mm`; keeps `2.5` and `1,200` (as `1200`) whole, and ordinals (`2nd`).
fn plain(piece: &str, words: &mut Vec<String>) {
    let letters: Vec<char> = piece.chars().collect();
    let mut word = String::new();
    let mut last = None;
    for (at, &c) in letters.iter().enumerate() {
        if c == '\'' {
            continue;
        }
        if matches!(c, '.' | ',') {
            let before = at.checked_sub(1).map(|at| sort(letters[at]));
            let digits_around = before == Some(Sort::Digit)
                && letters.get(at + 1).is_some_and(|&c| sort(c) == Sort::Digit);
            if c == '.' && digits_around {
                word.push('.');
            } else if !digits_around {
                end_word(&mut word, words);
                last = None;
            }
            continue;
        }
        let now = sort(c);
        if last.is_some_and(|last| last != now) || now == Sort::Sign {
            let ordinal = last == Some(Sort::Digit)
                && matches!(
                    letters[at..].iter().collect::<String>().as_str(),
                    "st" | "nd" | "rd" | "th"
                );
            if !ordinal {
                end_word(&mut word, words);
            }
        }
        if c == '&' {
            words.push("and".to_owned());
        } else {
            word.push(c);
        }
        last = Some(now);
    }
    end_word(&mut word, words);
}

/// Returns what one word as heard is matched as, where that is several.
fn split_word(word: &str) -> Option<&'static [&'static str]> {
    let (_, parts) = SPLIT_WORDS.iter().find(|(whole, _)| *whole == word)?;
    Some(parts)
}

/// Ends the word, also one that stood without a space beside a figure (*nope2*).
fn end_word(word: &mut String, words: &mut Vec<String>) {
    let word = std::mem::take(word);
    if let Some(parts) = split_word(&word) {
        words.extend(parts.iter().map(|part| (*part).to_owned()));
    } else if !word.is_empty() {
        words.push(word);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn words_are_normalised() {
        let table = [
            ("Hallway,", "hallway"),
            ("isn't", "is not"),
            ("isn’t", "is not"),
            ("won't", "will not"),
            ("can't", "can not"),
            ("cannot", "can not"),
            ("doesn't.", "does not"),
            ("door's", "door 's"),
            ("it's", "it 's"),
            ("doors'", "doors"),
            ("they've", "they have"),
            ("shouldn't've", "should not have"),
            ("I'd", "i would"),
            ("re-fix", "re fix"),
            ("push-fit/compression", "push fit compression"),
            ("2mm", "2 mm"),
            ("2.5mm", "2.5 mm"),
            ("1,200mm.", "1200 mm"),
            ("2nd", "2nd"),
            ("½", "½"),
            ("1½", "1 ½"),
            ("10-15mm", "10 15 mm"),
            ("5%", "5 %"),
            ("±3", "± 3"),
            ("45°", "45 °"),
            ("R&D", "r and d"),
            ("W.C.", "w c"),
            ("'quoted'", "quoted"),
            ("—", ""),
            ("...", ""),
            ("14b", "14 b"),
            ("leakin'", "leaking"),
            ("'leakin',", "leaking"),
            ("%0in'", "% 0 in"),
            ("nope2", "no 2"),
        ];
        for (text, expected) in table {
            assert_eq!(split(text).join(" "), expected, "{text}");
        }
    }

    proptest! {
        #[test]
        fn any_text_gives_tokens_in_word_order(texts in proptest::collection::vec(".{0,12}", 0..12)) {
            let words: Vec<Word> = texts
                .into_iter()
                .map(|text| Word { text, recording: 1, span: None, probability: 1.0, line_end: false, meant: None })
                .collect();
            let tokens = tokens(&words, &Spellings::default(), |_| false);
            prop_assert!(tokens.windows(2).all(|pair| pair[0].word <= pair[1].word));
            prop_assert!(tokens.iter().all(|token| token.word < words.len()));
            prop_assert!(tokens.iter().all(|token| !token.norm.is_empty()));
            prop_assert!(tokens.iter().all(|token| !token.norm.contains(char::is_whitespace)));
        }

        #[test]
        fn splitting_a_split_text_changes_nothing(text in "[a-z0-9'.,% -]{0,24}") {
            // Only the possessive keeps an apostrophe, and it stands alone.
            let once: Vec<_> = split(&text).into_iter().filter(|word| word != "'s").collect();
            let again: Vec<_> = once.iter().flat_map(|word| split(word)).collect();
            prop_assert_eq!(once, again);
        }
    }
}
