//! Words between words that say nothing: *it doesn't, **what's the word**, engage*; *come **clean** off*.
//! Common practice, no source.

use super::term::Token;

/// What speakers say while they look for a word; the first word of each is in [`OPENS`].
const ASIDES: &[&[&str]] = &[
    &["what", "'s", "the", "word"],
    &["what", "is", "the", "word"],
    &["what", "do", "you", "call", "it"],
    &["what", "do", "you", "call", "them"],
    &["what", "would", "you", "call", "it"],
    &["what", "'s", "it", "called"],
    &["how", "do", "i", "put", "it"],
    &["how", "do", "you", "say"],
    &["whatever", "you", "call", "it"],
    &["whatever", "you", "call", "them"],
    &["whatever", "it", "'s", "called"],
    &["i", "want", "to", "say"],
];

/// Every sentence is looked through for asides, and few words open one.
const OPENS: &[&str] = &["what", "how", "whatever", "i"];

/// What an aside is read as.
const HESITATION: &str = "um";

/// Verbs of coming off, the words that only strengthen it, and where it goes.
const COMES: &[&str] = &[
    "come", "comes", "came", "coming", "fallen", "falls", "fell", "pulled", "pulls", "broken",
    "snapped", "dropped", "torn", "blown", "popped", "pops",
];
const STRONGLY: &[&str] = &[
    "clean",
    "clear",
    "right",
    "straight",
    "plumb",
    "completely",
    "totally",
];
const AWAY: &[&str] = &["off", "away", "out", "apart", "loose", "adrift", "down"];

/// Turns each aside into a hesitation, and leaves out words that only strengthen the one before.
pub(super) fn leave_out(tokens: &mut Vec<Token>) {
    let mut idle = vec![false; tokens.len()];
    for at in 0..tokens.len() {
        if let Some(length) = aside(&tokens[at..]) {
            let last = at + length - 1;
            tokens[at].norm = HESITATION.to_owned();
            tokens[at].word = tokens[last].word;
            idle[at + 1..=last].fill(true);
        }
        idle[at] |= strengthens(tokens, at);
    }
    let mut idle = idle.into_iter();
    tokens.retain(|_| !idle.next().unwrap_or_default());
}

/// Returns how many tokens the aside has that opens here.
fn aside(tokens: &[Token]) -> Option<usize> {
    let opens = OPENS.contains(&tokens.first()?.norm.as_str());
    let said = |aside: &&&[&str]| {
        let here = tokens.iter().map(|t| t.norm.as_str());
        tokens.len() >= aside.len() && here.zip(aside.iter()).all(|(t, a)| t == *a)
    };
    let aside = ASIDES.iter().filter(|_| opens).find(said)?;
    Some(aside.len())
}

fn strengthens(tokens: &[Token], at: usize) -> bool {
    let is = |at: usize, words: &[&str]| {
        let token = tokens.get(at);
        token.is_some_and(|t| words.contains(&t.norm.as_str()))
    };
    is(at, STRONGLY) && at > 0 && is(at - 1, COMES) && is(at + 1, AWAY)
}
