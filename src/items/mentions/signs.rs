//! What speaks for having gone to a place that was named: how the name stands in its clause, what else the clause
//! says, how it was heard, which place it is, and what is spoken of from there on.

use super::{Elsewhere, Spoken};
use crate::items::walk::Walked;
use crate::items::whereabouts::likelier;
use crate::lexicon::{How, Lexicon};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, GOING, TO_A_PLACE};
use crate::statements::reading::Reading;
use crate::statements::sentence::{Clause, Join, Sentence};
use crate::statements::signs::Signs;
use std::ops::Range;

/// So many items behind the name tell where one is; later ones may be elsewhere again.
const LOOK_AHEAD: usize = 3;

/// What one unit of an item's evidence counts for, and one of theirs together, that the numbers are about as large as
/// other signs.
const ONE_ITEM: f32 = 0.5;
const ALL_ITEMS: f32 = 0.25;

/// However many things belong there, they say no more together than two that belong nowhere else.
const MOST: f32 = 8.0;

/// Adds all of it.
pub(super) fn of(
    lexicon: &Lexicon,
    reading: &Reading,
    walked: &Walked,
    spoken: &Spoken,
    elsewhere: &Elsewhere<'_>,
    signs: &mut Signs,
) {
    signs.has("a place");
    stands(reading, elsewhere, signs);
    said_alone(lexicon, reading, walked, elsewhere, signs);
    clause_says(reading, elsewhere, signs);
    heard(reading, elsewhere, signs);
    which(lexicon, walked, elsewhere, signs);
    spoken_of(lexicon, walked, spoken, elsewhere, signs);
}

/// The words right before and behind the name.
fn stands(reading: &Reading, elsewhere: &Elsewhere<'_>, signs: &mut Signs) {
    let word = |at: usize| reading.tokens.get(at).map_or("", |t| t.norm.as_str());
    let (named, clause) = (&elsewhere.named, &elsewhere.named.clause.tokens);
    let (start, end) = (named.piece.tokens.start, named.piece.tokens.end);
    let before = |at: usize| {
        at.checked_sub(1)
            .filter(|at| *at >= clause.start)
            .map_or("", word)
    };
    let article = class(before(start)) == Class::Determiner;
    let led = start - usize::from(article);
    signs.word("article", if article { before(start) } else { "" });
    signs.word("before", before(led));
    let (ends, comma) = (end >= named.sentence.tokens.end, end >= clause.end);
    let behind = match () {
        () if ends => "stop",
        () if comma => "comma",
        () => "more",
    };
    signs.has(behind);
    if !comma {
        signs.word("behind", word(end));
        let next = reading.piece_at(end).map(|piece| piece.kind);
        signs.when(next == Some(PieceKind::Element), "a thing behind it");
        signs.when(next == Some(PieceKind::Defect), "a fault behind it");
    }
    let join = match named.clause.join {
        Join::Start if named.sentence.paused() => "walked",
        Join::Start if named.sentence.breathed() => "breathed",
        Join::Start => "start",
        Join::Comma => "comma",
        Join::And => "and",
        Join::But => "but",
        Join::So => "so",
    };
    let bare = (clause.start..led).all(|at| opener(word(at)));
    let goes = (clause.start..start).any(|at| GOING.contains(&word(at)));
    let somebody =
        (clause.start..start).any(|at| matches!(word(at), "i" | "we" | "you" | "me" | "us"));
    let lead = match () {
        () if bare => "bare",
        () if goes => "going",
        () if somebody => "somebody",
        () => "other",
    };
    signs.has(lead);
    signs.has(&format!("{join}, {lead}"));
    signs.has(&format!("{lead}, {behind}"));
    signs.when(bare && comma, &format!("alone behind {join}"));
}

/// Whether it would be gone to if a sentence began with its clause, or with the words that lead to it.
fn said_alone(
    lexicon: &Lexicon,
    reading: &Reading,
    walked: &Walked,
    elsewhere: &Elsewhere<'_>,
    signs: &mut Signs,
) {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let (named, piece) = (&elsewhere.named, &elsewhere.named.piece.tokens);
    let inside = walked.places.inside(elsewhere.here);
    let gone_to = |from: usize| {
        let own = |clause: &Clause| {
            (clause.tokens.end > from).then(|| Clause {
                tokens: clause.tokens.start.max(from)..clause.tokens.end,
                join: if clause.tokens.start <= from {
                    Join::Start
                } else {
                    clause.join
                },
            })
        };
        let sentence = Sentence {
            tokens: from..named.sentence.tokens.end,
            clauses: named.sentence.clauses.iter().filter_map(own).collect(),
            ..*named.sentence
        };
        let changes = place::changes(lexicon, reading, &sentence, inside);
        changes
            .iter()
            .any(|change| change.tokens.contains(&piece.start))
    };
    let clause = named.clause.tokens.start;
    let begins = clause == named.sentence.tokens.start;
    let mut lead = piece.start;
    while lead > clause
        && (class(word(lead - 1)) == Class::Determiner
            || TO_A_PLACE.contains(&word(lead - 1))
            || GOING.contains(&word(lead - 1)))
    {
        lead -= 1;
    }
    let with = match () {
        () if !begins && gone_to(clause) => "its clause goes there",
        () if lead > clause && gone_to(lead) => "its words go there",
        () => return,
    };
    signs.has(with);
    let ends = piece.end >= named.clause.tokens.end;
    signs.has(&format!("{with}, {}", if ends { "ends" } else { "more" }));
    let before = (named.sentence.tokens.start..lead)
        .rev()
        .find_map(|at| reading.piece_at(at))
        .map(|piece| piece.kind);
    signs.when(
        before == Some(PieceKind::Defect),
        &format!("{with}, behind a fault"),
    );
}

/// What else the clause says.
fn clause_says(reading: &Reading, elsewhere: &Elsewhere<'_>, signs: &mut Signs) {
    let (named, clause) = (&elsewhere.named, &elsewhere.named.clause.tokens);
    let piece = &named.piece.tokens;
    let says = |range: Range<usize>, kinds: &[PieceKind]| {
        reading
            .within(&range)
            .any(|p| kinds.contains(&reading.pieces[p].kind) && !reading.pieces[p].negated)
    };
    use PieceKind::{Defect, Element, Measure};
    signs.when(
        says(clause.start..piece.start, &[Element]),
        "a thing before",
    );
    signs.when(
        says(clause.start..piece.start, &[Defect, Measure]),
        "a fault before",
    );
    signs.when(says(piece.end..clause.end, &[Element]), "a thing later");
    signs.when(
        says(piece.end..clause.end, &[Defect, Measure]),
        "a fault later",
    );
    signs.when(
        says(named.sentence.tokens.start..clause.start, &[Defect]),
        "a fault in the sentence",
    );
    let rest = clause.end..named.sentence.tokens.end;
    signs.when(says(rest.clone(), &[Defect]), "a fault follows");
    signs.when(rest.is_empty(), "last clause");
    signs.when(elsewhere.just_come, "just come");
    signs.when(elsewhere.came_in_sentence, "come in the same sentence");
    let thing = reading
        .elements_within(piece)
        .iter()
        .any(|thing| thing.tokens == *piece);
    signs.when(thing, "a thing as well");
}

/// How it was heard.
fn heard(reading: &Reading, elsewhere: &Elsewhere<'_>, signs: &mut Signs) {
    let piece = elsewhere.named.piece;
    let said = reading.tokens[piece.tokens.clone()].iter();
    let least = said.map(|token| token.probability).fold(1.0, f32::min);
    signs.of("doubted", 1.0 - least);
    signs.when(piece.how != How::Exact, "misheard");
}

/// Which place it is.
fn which(lexicon: &Lexicon, walked: &Walked, elsewhere: &Elsewhere<'_>, signs: &mut Signs) {
    let change = &elsewhere.change;
    let visited = walked.places.identities.contains(&change.identity);
    signs.when(visited, "visited");
    let here = walked.places.visited[elsewhere.here].kind.as_str();
    signs.has(&format!("{here} to {}", change.kind));
    let entry = change.term.map(|term| lexicon.place(term));
    signs.when(entry.is_some_and(|entry| entry.usual), "usual");
    signs.when(entry.is_some_and(|entry| entry.weak), "weak");
    signs.when(elsewhere.named.piece.guessed, "own name");
    signs.when(elsewhere.named.piece.number.is_some(), "numbered");
    let of_here = walked.places.terms[elsewhere.here].map(|term| lexicon.place(term));
    let alike = entry
        .zip(of_here)
        .is_some_and(|(a, b)| !a.sort.is_empty() && a.sort == b.sort);
    signs.when(alike, "of the same sort");
    signs.when(
        change.term.is_some() && change.term == walked.places.terms[elsewhere.here],
        "of the same name",
    );
}

/// What is spoken of from there on.
fn spoken_of(
    lexicon: &Lexicon,
    walked: &Walked,
    spoken: &Spoken,
    elsewhere: &Elsewhere<'_>,
    signs: &mut Signs,
) {
    let items = &spoken.drafts[elsewhere.stay.clone()];
    let (here, there) = (walked.places.terms[elsewhere.here], elsewhere.change.term);
    let mut sum = 0.0;
    for (at, item) in items.iter().take(LOOK_AHEAD).enumerate() {
        let more = likelier(lexicon, &walked.drafts[*item], there, here) as f32;
        signs.of(&format!("item {} there", at + 1), more * ONE_ITEM);
        sum += more;
    }
    signs.of("items there", sum.clamp(-MOST, MOST) * ALL_ITEMS);
    signs.has(match items.len() {
        1 => "one item",
        2 | 3 => "some items",
        _ => "many items",
    });
}
