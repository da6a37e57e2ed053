//! Candidates for pieces: lexicon hits that the sentence bears out, fault shapes, numbers.

use super::grammar::{Class, class, opener};
use super::no_fault::not_a_fault;
use super::piece::{Piece, PieceKind, weight};
use super::sentence::Sentence;
use super::works::works;
use super::{counts, faults};
use crate::items::Measurement;
use crate::lexicon::{Hit, How, Kind, Lexicon, Token};
use std::ops::Range;

/// Returns the candidates of a sentence, and whether it names a fault that is none as it is said: *trips like it
/// should*.
pub(super) fn candidates(
    lexicon: &Lexicon,
    tokens: &[Token],
    sentence: &Sentence,
    hits: &[Hit],
) -> (Vec<Piece>, bool) {
    let mut excused = false;
    let similes = similes(tokens, sentence);
    let likened = |at: usize| similes.iter().any(|s| s.contains(&at));
    let mut out: Vec<Piece> = hits
        .iter()
        .filter(|h| h.kind == Kind::Phrase || !likened(h.tokens.start))
        .filter(|h| h.tokens.end <= sentence.tokens.end && !crosses(sentence, &h.tokens))
        .filter(|h| !(h.kind == Kind::Defect && names_a_thing(tokens, h, hits)))
        .filter(|h| !(h.kind == Kind::Defect && a_decimal(tokens, h)))
        .filter(|h| !(h.kind == Kind::Place && no_place(tokens, h, hits)))
        .filter(|h| !(h.kind == Kind::Phrase && idle(lexicon, tokens, sentence, h, hits)))
        .filter(|h| !(h.wording == CRACK_ON && leads_to_a_thing(tokens, h, hits)))
        .filter(|h| !(h.kind == Kind::Element && a_verb(tokens, sentence, h)))
        .filter(|h| !(matches!(h.kind, Kind::Place | Kind::Element) && to_do(tokens, sentence, h)))
        .filter(|h| !(h.kind == Kind::Remedy && a_subject(tokens, sentence, h, hits)))
        .filter(|h| !(h.kind == Kind::Remedy && lacking(tokens, h)))
        .filter(|h| !(h.kind == Kind::Remedy && ends_a_name(h, hits)))
        .filter(|h| !(h.kind == Kind::Remedy && tells_when(tokens, h)))
        .filter(|h| {
            let none = h.kind == Kind::Defect
                && (works(lexicon, tokens, sentence.tokens.end, h, hits)
                    || not_a_fault(lexicon, tokens, sentence, h));
            excused |= none;
            !none
        })
        .map(|h| piece(lexicon, tokens, without_lead(tokens, h.clone())))
        .collect();
    // "They've painted the wall" is no fault.
    let not_to_be_painted = |p: &Piece| {
        let overpainted = lexicon.find(Kind::Defect, faults::OVERPAINTED);
        let next = |h: &&Hit| {
            h.kind == Kind::Element && (p.tokens.end..p.tokens.end + 4).contains(&h.tokens.start)
        };
        let befallen = |h: &Hit| overpainted.is_some_and(|d| lexicon.befalls(d, h.term) >= 0.5);
        hits.iter().find(next).is_some_and(befallen)
    };
    let shapes = faults::faults(tokens, sentence, hits)
        .into_iter()
        .filter(|p| p.text != faults::OVERPAINTED || not_to_be_painted(p));
    out.extend(shapes.map(|piece| listed_shape(lexicon, piece)));
    let out = out.into_iter();
    let out = out.map(|piece| faults::with_verb(tokens, piece));
    (out.collect(), excused)
}

/// Returns a fault told by its shape with the lexicon entry that it is of, where it has one.
fn listed_shape(lexicon: &Lexicon, piece: Piece) -> Piece {
    let (name, shown) = match piece.text.as_str() {
        faults::MISSING => (faults::MISSING, faults::MISSING),
        faults::OUT => ("running out", faults::OUT),
        faults::OVERPAINTED => (faults::OVERPAINTED, "painted over"),
        faults::MISMATCHED => (faults::MISMATCHED, "odd one out"),
        faults::DAMP => (faults::DAMP, "reads damp"),
        "open" => ("open joint", "open"),
        "won't open" => ("not opening", "won't open"),
        "won't close" => ("not closing", "won't close"),
        "won't shut" => ("not closing", "won't shut"),
        "won't lock" => ("not locking", "won't lock"),
        "won't latch" => ("not latching", "won't latch"),
        _ => return piece,
    };
    Piece {
        term: lexicon.find(Kind::Defect, name),
        text: shown.into(),
        ..piece
    }
}

/// Verbs behind which *like* tells what a thing is like, not what it is likened to: *looks like a crack*.
const SEEMS: &[&str] = &[
    "looks",
    "look",
    "looked",
    "looking",
    "sounds",
    "sound",
    "feels",
    "feel",
    "smells",
    "smell",
    "seems",
    "more",
    "something",
    "anything",
    "nothing",
];

/// *like **a dry pond***, *as tight as **a drum***: what something is likened to, to the end of its clause.
fn similes(tokens: &[Token], sentence: &Sentence) -> Vec<Range<usize>> {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    let likens = |at: usize, clause: &Range<usize>| {
        let before = at
            .checked_sub(1)
            .filter(|b| clause.contains(b))
            .map_or("", word);
        let article = matches!(word(at + 1), "a" | "an");
        let as_as = word(at) == "as" && at > clause.start + 1 && word(at - 2) == "as";
        // "Straight as a die".
        let as_a = word(at) == "as" && article && at > clause.start && at + 3 == clause.end;
        word(at) == "like" && article && !SEEMS.contains(&before) || as_as || as_a
    };
    let clauses = sentence.clauses.iter().map(|c| &c.tokens);
    let found = clauses.filter_map(|c| Some(c.clone().find(|&at| likens(at, c))? + 1..c.end));
    found.collect()
}

pub(super) fn piece(lexicon: &Lexicon, tokens: &[Token], hit: Hit) -> Piece {
    let weak = match hit.kind {
        Kind::Element => lexicon.element(hit.term).weak,
        Kind::Defect => lexicon.defect(hit.term).weak,
        _ => false,
    };
    let kind = hit.kind;
    let term = hit.term;
    // What shows a fault is not its name.
    if kind == Kind::Defect && lexicon.defect(term).signs.contains(&hit.wording) {
        return Piece {
            text: lexicon.defect(term).name.clone(),
            ..Piece::from_hit(hit, weak)
        };
    }
    // A fault is shown in the form it was said in, where that is the wording inflected.
    let said: Vec<&str> = tokens[hit.tokens.clone()]
        .iter()
        .map(|t| t.norm.as_str())
        .collect();
    let listed = kind == Kind::Defect && {
        let defect = lexicon.defect(term);
        defect.name == hit.wording || defect.also.contains(&hit.wording)
    };
    let inflected = kind == Kind::Defect
        && hit.how == How::Exact
        && (!listed || said.len() == hit.wording.split(' ').count());
    let said = said.join(" ");
    let piece = Piece::from_hit(hit, weak);
    if inflected {
        return Piece {
            text: said,
            ..piece
        };
    }
    if kind == Kind::Phrase {
        Piece {
            text: lexicon.phrase(term).kind.clone(),
            ..piece
        }
    } else {
        piece
    }
}

/// *at the front door*: the words that lead to a noun must not keep it from what it belongs to.
fn without_lead(tokens: &[Token], hit: Hit) -> Hit {
    // The first word of a misheard name may only look like a preposition (*from television*).
    if !matches!(hit.kind, Kind::Place | Kind::Element) || hit.how == How::HeardAs {
        return hit;
    }
    let leads = |at: &usize| {
        let word = tokens[*at].norm.as_str();
        // "Where the bins go", "under the stairs" are all of it names.
        hit.kind == Kind::Place
            && class(word) == Class::Preposition
            && !matches!(word, "where" | "under")
            || matches!(word, "the" | "a" | "an")
    };
    let start = hit.tokens.start
        + hit
            .tokens
            .clone()
            .take(hit.tokens.len() - 1)
            .take_while(leads)
            .count();
    Hit {
        tokens: start..hit.tokens.end,
        ..hit
    }
}

/// A word that is both a thing and a fault (*sink*, *flap*) is the thing behind an article, a
/// preposition or another noun, and after *lost a*.
fn names_a_thing(tokens: &[Token], defect: &Hit, hits: &[Hit]) -> bool {
    let Some(before) = defect
        .tokens
        .start
        .checked_sub(1)
        .map(|at| tokens[at].norm.as_str())
    else {
        return false;
    };
    let thing = hits.iter().any(|h| {
        h.kind == Kind::Element
            && h.tokens.start == defect.tokens.start
            && h.tokens.end >= defect.tokens.end
    });
    let definite = class(before) == Class::Determiner
        && !matches!(before, "a" | "an" | "some" | "another" | "any");
    let behind = definite || class(before) == Class::Preposition;
    // "Overflow runs": it works.
    let after = tokens.get(defect.tokens.end).map_or("", |t| &t.norm);
    let behind = behind
        || matches!(
            after,
            "runs" | "works" | "drains" | "holds" | "is" | "'s" | "are" | "has"
        );
    let lost = defect
        .tokens
        .start
        .checked_sub(2)
        .is_some_and(|at| tokens[at].norm == "lost");
    defect.tokens.len() == 1 && (thing && behind || lost)
}

/// *You have **to lift the** handle*, ***lift them** and bed them*, *that'**ll drive you** mad*: what is done, and no lift.
fn to_do(tokens: &[Token], sentence: &Sentence, hit: &Hit) -> bool {
    let word = |at: Option<usize>| at.and_then(|at| tokens.get(at)).map_or("", |t| &*t.norm);
    let start = hit.tokens.start;
    let (before, after) = (word(start.checked_sub(1)), word(Some(hit.tokens.end)));
    let object = matches!(
        after,
        "it" | "them" | "you" | "me" | "him" | "anybody" | "everybody"
    );
    let opens = start == sentence.tokens.start
        || matches!(before, "so" | "and" | "then" | "please" | "just");
    matches!(word(Some(start)), "lift" | "store" | "drive")
        && hit.tokens.len() == 1
        && (before == "to" && (class(after) == Class::Determiner || object)
            || object && (opens || matches!(before, "will" | "would" | "can" | "could" | "'ll")))
}

/// ***Whole** wall, corner to corner*: what only sounds like a place stands before a thing; ***Juliet balcony***: nobody
/// goes out on one.
fn no_place(tokens: &[Token], hit: &Hit, hits: &[Hit]) -> bool {
    let thing = |h: &Hit| {
        h.kind == Kind::Element && h.how == How::Exact && h.tokens.start == hit.tokens.end
    };
    let by_sound = hit.how == How::HeardAs && hit.tokens.len() == 1 && hits.iter().any(thing);
    let before = hit.tokens.start.checked_sub(1);
    by_sound || before.is_some_and(|at| matches!(tokens[at].norm.as_str(), "juliet" | "juliette"))
}

/// ***Nought point** five*: a figure.
fn a_decimal(tokens: &[Token], hit: &Hit) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    let start = hit.tokens.start;
    matches!(word(start), "nought" | "naught" | "zero" | "oh") && word(start + 1) == "point"
}

/// *keep people off it*: a word that is a verb or the like is a thing only behind another word of
/// a noun phrase (*the keep*, *adjusting the left*).
fn a_verb(tokens: &[Token], sentence: &Sentence, hit: &Hit) -> bool {
    let word = tokens[hit.tokens.start].norm.as_str();
    let before = hit
        .tokens
        .start
        .checked_sub(1)
        .filter(|at| sentence.tokens.contains(at))
        .map_or(Class::Filler, |at| class(&tokens[at].norm));
    // "So **it falls** out", "**it drains** slowly".
    let does = word.ends_with('s')
        && hit.tokens.start.checked_sub(1).is_some_and(|at| {
            matches!(
                tokens[at].norm.as_str(),
                "it" | "that" | "which" | "she" | "he"
            )
        });
    if hit.tokens.len() == 1 && does && class(word) == Class::Open {
        return tokens[hit.tokens.start - 1].norm != "that" || before == Class::Determiner;
    }
    // "A gap you could post a coin through".
    let before_it = hit.tokens.start.checked_sub(1);
    let modal = before_it.is_some_and(|at| {
        matches!(
            tokens[at].norm.as_str(),
            "could" | "can" | "would" | "might" | "should" | "cannot" | "could've"
        )
    });
    // "Tap this tile, it's hollow": what the other is to do.
    let asked = hit.tokens.len() == 1
        && word == "tap"
        && before == Class::Filler
        && class(tokens.get(hit.tokens.end).map_or("", |t| t.norm.as_str())) == Class::Determiner;
    // "I tap it and it sounds like a drum".
    let after = tokens.get(hit.tokens.end).map_or("", |t| t.norm.as_str());
    let does_it = before_it.is_some_and(|at| {
        matches!(tokens[at].norm.as_str(), "i" | "you" | "we" | "they")
            && matches!(after, "it" | "them" | "that" | "on")
    });
    let acts = (modal || does_it) && hit.tokens.len() == 1;
    // "The window **catches on** the frame".
    let last = &tokens[hit.tokens.end - 1].norm;
    let catches = hit.tokens.len() > 1
        && last == "catches"
        && matches!(after, "on" | "against" | "the" | "at");
    acts || asked
        || catches
        || hit.tokens.len() == 1
            && class(word) != Class::Open
            && !matches!(
                before,
                Class::Determiner | Class::Open | Class::Position | Class::Number
            )
}

/// *no draught **seal round** it*: a thing, not what to do.
fn ends_a_name(remedy: &Hit, hits: &[Hit]) -> bool {
    let start = remedy.tokens.start;
    hits.iter().any(|h| {
        h.kind == Kind::Element
            && h.how == How::Exact
            && (h.tokens.start + 1..h.tokens.end).contains(&start)
    })
}

/// *drips **after you** turn it off*: when something happens, not what to do.
fn tells_when(tokens: &[Token], remedy: &Hit) -> bool {
    let before = |back: usize| {
        let at = remedy.tokens.start.checked_sub(back);
        at.map_or("", |at| tokens[at].norm.as_str())
    };
    matches!(before(1), "you" | "i" | "we")
        && matches!(before(2), "after" | "once" | "when" | "until" | "time")
}

/// *There's no **mastic round** the window*: the thing, which is not there.
fn lacking(tokens: &[Token], remedy: &Hit) -> bool {
    let before = remedy.tokens.start.checked_sub(1);
    before.is_some_and(|at| matches!(tokens[at].norm.as_str(), "no" | "without" | "missing"))
}

/// *silicone round the bath's peeling*: at the head of its clause, before a verb and a fault, the
/// word is the thing, not the work.
fn a_subject(tokens: &[Token], sentence: &Sentence, remedy: &Hit, hits: &[Hit]) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&remedy.tokens.start))
    else {
        return false;
    };
    let opens = (clause.tokens.start..remedy.tokens.start)
        .all(|t| class(&tokens[t].norm) == Class::Determiner || opener(&tokens[t].norm));
    let is = |word: &str| matches!(word, "'s" | "is" | "are" | "has");
    // "**The new worktop**'s a different shade": not what is to be fitted.
    let new = tokens[remedy.tokens.start].norm == "new"
        && remedy.tokens.start > clause.tokens.start
        && class(&tokens[remedy.tokens.start - 1].norm) == Class::Determiner
        && tokens[remedy.tokens.start - 1].norm != "a"
        && tokens.get(remedy.tokens.end).is_some_and(|t| is(&t.norm));
    if new {
        return true;
    }
    let thing = hits
        .iter()
        .any(|h| h.kind == Kind::Element && h.tokens.start == remedy.tokens.start)
        || remedy.tokens.len() == 1 && tokens.get(remedy.tokens.end).is_some_and(|t| is(&t.norm));
    let verb = (remedy.tokens.end..clause.tokens.end).find(|&t| {
        matches!(
            tokens[t].norm.as_str(),
            "'s" | "is" | "are" | "has" | "was" | "have" | "needs" | "wants"
        )
    });
    // "Silicone round the sink needs doing again".
    let work = |h: &Hit, v: usize| h.kind == Kind::Remedy && h.tokens.start == v;
    opens
        && thing
        && verb.is_some_and(|v| {
            hits.iter().any(|h| {
                let fault = h.kind == Kind::Defect && h.tokens.start >= v;
                (fault || work(h, v)) && h.tokens.end <= clause.tokens.end
            })
        })
}

/// Phrases whose job is done by grammar here, and weak phrases among words that name something.
fn idle(lexicon: &Lexicon, tokens: &[Token], sentence: &Sentence, hit: &Hit, hits: &[Hit]) -> bool {
    let phrase = lexicon.phrase(hit.term);
    matches!(
        phrase.kind.as_str(),
        "position" | "position-preposition" | "both" | "throughout" | "approximate" | "other-side"
    ) || phrase.weak.contains(&hit.wording)
        && (phrase.kind == "place-change" || has_more(sentence, hit, hits))
        || phrase.kind == "withdrawal" && told_of_another(tokens, hit)
        || phrase.kind == "positive"
            && (commands(tokens, hit)
                || wished(tokens, hit)
                || only_until(tokens, hit)
                || says_how(tokens, hit, hits))
}

/// *It won't stay where I **leave it***: no order.
fn told_of_another(tokens: &[Token], hit: &Hit) -> bool {
    let before = hit.tokens.start.checked_sub(1);
    let before = before.map_or("", |at| tokens[at].norm.as_str());
    hit.wording.starts_with("leave") && matches!(before, "i" | "you" | "we" | "they" | "to")
}

/// *Let's **crack on***: what goes on, unless it is a crack **on** something.
const CRACK_ON: &str = "crack on";

fn leads_to_a_thing(tokens: &[Token], hit: &Hit, hits: &[Hit]) -> bool {
    let end = hit.tokens.end;
    let article = tokens
        .get(end)
        .is_some_and(|t| class(&t.norm) == Class::Determiner);
    let next = end + usize::from(article);
    hits.iter()
        .any(|h| h.kind == Kind::Element && h.tokens.start == next)
}

/// *I'd **like that sorted***, *front **right***: no praise.
fn wished(tokens: &[Token], hit: &Hit) -> bool {
    let before = |back: usize| {
        let at = hit.tokens.start.checked_sub(back);
        at.map_or("", |at| tokens[at].norm.as_str())
    };
    let wish = |word: &str| matches!(word, "like" | "want" | "get" | "have" | "need");
    let named = |word: &str| matches!(word, "that" | "it" | "this" | "them" | "those");
    let first = tokens[hit.tokens.start].norm.as_str();
    let done = matches!(first, "sorted" | "fixed" | "done" | "cured");
    let side = hit.tokens.len() == 1
        && first == "right"
        && matches!(
            before(1),
            "front" | "back" | "rear" | "top" | "bottom" | "far" | "near"
        );
    let after = tokens.get(hit.tokens.end).map_or("", |t| t.norm.as_str());
    // "Dead on one zone", "two coats of nothing", "I'd like that sorted", "not bothered painting".
    let cut_short = match hit.wording.as_str() {
        // "You'd put a heel straight through it".
        "straight" => class(after) == Class::Preposition,
        "dead on" => matches!(class(after), Class::Determiner | Class::Number) || after == "one",
        "nothing" => matches!(before(1), "of" | "with"),
        // "Dripping steady".
        "steady" => before(1).ends_with("ing"),
        // "I push the bell and no sound".
        "sound" => matches!(before(1), "no" | "any"),
        // "A good two metres of it".
        "good" => before(1) == "a" && (class(after) == Class::Number || after == "few"),
        // "Over a drop like that".
        wording if wording.starts_with("like ") => {
            matches!(before(1), "would" | "'d")
                || class(before(1)) == Class::Open && class(before(2)) == Class::Determiner
        }
        wording if wording.starts_with("happy") || wording.starts_with("pleased") => {
            before(1) == "not"
        }
        wording if wording.ends_with("bothered") => after == "to" || after.ends_with("ing"),
        _ => false,
    };
    cut_short
        || done && named(before(1)) && wish(before(2))
        || named(first) && wish(before(1)) && hit.tokens.len() > 1
        || side
}

/// ***pretty** bad*, *a hole **big enough to** put a fist through*, *a bare **spot on** the wall*: no praise.
fn says_how(tokens: &[Token], hit: &Hit, hits: &[Hit]) -> bool {
    let after = tokens.get(hit.tokens.end).map_or("", |t| t.norm.as_str());
    let before = hit.tokens.start.checked_sub(1);
    let before = before.map_or("", |at| tokens[at].norm.as_str());
    match hit.wording.as_str() {
        "pretty" => class(after) == Class::Open,
        "spot on" => class(before) == Class::Open && leads_to_a_thing(tokens, hit, hits),
        wording if wording.ends_with(" enough") && after == "to" => hits
            .iter()
            .any(|h| h.kind == Kind::Defect && h.tokens.end <= hit.tokens.start),
        _ => false,
    }
}

/// *The rail's **fine until** you lean on it*.
fn only_until(tokens: &[Token], hit: &Hit) -> bool {
    let after = tokens.get(hit.tokens.end).map_or("", |t| t.norm.as_str());
    matches!(after, "until" | "till")
}

/// Words of praise that are also work to be done.
const PRAISE_OR_WORK: &[&str] = &["clear", "clean", "level", "secure", "square", "tidy"];

/// ***clear** it*, ***level** that off*: what is to be done, not how it is.
fn commands(tokens: &[Token], hit: &Hit) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    hit.tokens.len() == 1
        && PRAISE_OR_WORK.contains(&word(hit.tokens.start))
        && matches!(
            word(hit.tokens.end),
            "it" | "them" | "that" | "those" | "up" | "out" | "off" | "away"
        )
}

/// A weak phrase counts only where its clause names nothing of the building.
fn has_more(sentence: &Sentence, phrase: &Hit, hits: &[Hit]) -> bool {
    let Some(clause) = sentence
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&phrase.tokens.start))
    else {
        return true;
    };
    hits.iter().any(|h| {
        matches!(h.kind, Kind::Element | Kind::Defect | Kind::Remedy)
            && clause.tokens.contains(&h.tokens.start)
    })
}

/// A wording does not reach over a comma.
fn crosses(sentence: &Sentence, range: &Range<usize>) -> bool {
    sentence
        .clauses
        .iter()
        .any(|c| c.tokens.start > range.start && c.tokens.start < range.end)
}

pub(super) fn numbers(
    tokens: &[Token],
    sentence: &Sentence,
    measured: &[(Range<usize>, Measurement)],
) -> Vec<Piece> {
    let from = measured.partition_point(|(r, _)| r.start < sentence.tokens.start);
    let mut out: Vec<Piece> = measured[from..]
        .iter()
        .enumerate()
        .take_while(|(_, (r, _))| r.start < sentence.tokens.end)
        .map(|(at, (range, _))| {
            let score = weight(PieceKind::Measure, range.len() + 1, false, How::Exact);
            Piece {
                value: (from + at) as u32,
                score,
                ..Piece::own_words(PieceKind::Measure, range.clone(), String::new())
            }
        })
        .collect();
    let start = sentence.tokens.start;
    out.extend(
        counts(&tokens[sentence.tokens.clone()])
            .into_iter()
            .map(|(range, value)| {
                let range = range.start + start..range.end + start;
                // Only the number itself: the thing counted keeps its own piece.
                Piece {
                    value,
                    ..Piece::own_words(PieceKind::Count, range, String::new())
                }
            }),
    );
    out
}
