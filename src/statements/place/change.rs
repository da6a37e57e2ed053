//! Whether a clause that names a place goes there: *Hallway.*, *through to the lounge now*, *the bathroom's at
//! the end*.

use super::arrival::{arrives, thinks_back};
use super::name::number_sound;
use super::way::{CUPBOARDS, GOING, POINTED, RECALLED, TO_A_PLACE, WHICH_WAY, leads_there};
use super::{PlaceChange, as_in, landmark, to, which_of_several};
use crate::lexicon::{How, Lexicon, PlaceKind};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::{Piece, PieceKind, piece_at};
use crate::statements::reading::Reading;
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// The longest lead-in, in tokens, before a place that is gone to.
const LONGEST_LEAD: usize = 9;

/// The most tokens between a room and what it lies by: *the utility **next to the** kitchen*.
const LONGEST_MARK: usize = 3;

/// Returns the change to a place that a clause names, if one goes there.
pub(super) fn change(
    lexicon: &Lexicon,
    reading: &Reading,
    sentence: &Sentence,
    clause: &Range<usize>,
    place: &Piece,
    inside: bool,
) -> Option<PlaceChange> {
    let tokens = &reading.tokens;
    let word = |at: usize| tokens.get(at).map_or("", |t| t.norm.as_str());
    let kind = place
        .term
        .map_or(PlaceKind::Room, |t| lexicon.place(t).kind);
    let next = place.tokens.end;
    let sound = number_sound(lexicon, place, word(next), next + 1 == clause.end);
    let heard = Piece {
        number: place.number.clone().or(sound.map(str::to_owned)),
        tokens: place.tokens.start..next + usize::from(sound.is_some()),
        ..place.clone()
    };
    let place = &heard;
    let lead = clause.start..place.tokens.start;
    let cue = |at: usize| {
        reading
            .piece_at(at)
            .is_some_and(|p| p.kind == PieceKind::Phrase && p.text == "place-change")
    };
    let nothing_wrong = |from: usize| {
        !reading.within(&(from..clause.end)).any(|p| {
            matches!(
                reading.pieces[p].kind,
                PieceKind::Defect | PieceKind::Measure
            )
        })
    };
    let in_place = |at: usize| piece_at(&reading.places, at).is_some();
    // "Room one, that's the study", "back outside by the slider, that's the back porch".
    let glossed = (word(sentence.tokens.start) == "room"
        || GOING.contains(&word(sentence.tokens.start))
            && matches!(word(clause.start + 1), "'s" | "is"))
        && sentence.tokens.start < clause.start
        && word(clause.start) == "that";
    // "Right, that bathroom, properly this time".
    let only_named = place.tokens.end == clause.end
        && !reading.within(&sentence.tokens).any(|p| {
            matches!(
                reading.pieces[p].kind,
                PieceKind::Defect | PieceKind::Element | PieceKind::Measure
            )
        });
    let that_one = |at: usize| only_named && word(at) == "that" && at + 1 == place.tokens.start;
    // "So it's garden first".
    let first_of_all = matches!(word(next), "first" | "next");
    let light = lead.len() <= LONGEST_LEAD
        && lead.clone().all(|at| {
            let covered = reading.piece_at(at).map(|p| (p.kind, p.text.as_str()));
            let blocked = !GOING.contains(&word(at))
                && matches!(
                    covered,
                    Some((
                        PieceKind::Defect | PieceKind::Remedy | PieceKind::Measure,
                        _
                    )) | Some((PieceKind::Phrase, "same-again"))
                )
                || matches!(covered, Some((PieceKind::Element, _)))
                    && !in_place(at)
                    && !matches!(word(at), "ladder" | "ladders")
                    && !(GOING.contains(&word(at))
                        && (at == clause.start || class(word(at - 1)) == Class::Position));
            // "Now the big kitchen at the back".
            let behind = at > lead.start && class(word(at - 1)) == Class::Determiner
                || at == lead.start
                    && (clause.start > sentence.tokens.start || place.tokens.end + 1 >= clause.end);
            let praised = PRAISED.contains(&word(at)) && behind;
            let described = praised || SIZES.contains(&word(at)) || GLANCES.contains(&word(at));
            let open = !described
                && matches!(
                    class(word(at)),
                    Class::Open | Class::Negation | Class::Number
                )
                && !(word(at) == "stood" && word(at + 1) == "back")
                || word(at) == "that" && !glossed && !first_of_all && !that_one(at)
                || word(at) == "it" && !first_of_all
                || word(at) == "as" && matches!(word(at + 1), "you" | "we" | "i")
                || matches!(
                    word(at),
                    "they" | "said" | "mentioned" | "same" | "ditto" | "had"
                )
                // "Left into bedroom one", but not "left in the lounge".
                || word(at) == "left" && !TURNS.contains(&word(at + 1));
            !blocked
                && (cue(at)
                    || in_place(at)
                    || GOING.contains(&word(at))
                    || opener(word(at))
                    || !open)
        });
    // From outside, a room named with a thing says where the thing is: *kitchen extract grille*.
    let run_on = inside
        && lead.clone().all(|at| opener(word(at)))
        && runs_on(lexicon, reading, sentence, place);
    // "One I walked past in the kitchen": back there in thought.
    let in_it = |back: usize| {
        let before = place.tokens.start.checked_sub(back).map_or("", word);
        matches!(before, "in" | "at" | "on")
    };
    let recalled = place.tokens.end >= clause.end
        && (in_it(1) || in_it(2) && word(place.tokens.start - 1) == "the")
        && lead.clone().any(|at| RECALLED.contains(&word(at)));
    let introduced = kind.indoors() && points_to(reading, clause, place);
    let way = leads_there(reading, clause, place);
    // "Landing, there's an airing cupboard": a thing in the room.
    let article = place.tokens.start.checked_sub(1).map_or("", word);
    let dual = place.term.is_some_and(|t| lexicon.place(t).weak);
    let storage = CUPBOARDS.iter().any(|end| place.text.ends_with(end));
    let has_one = matches!(article, "a" | "an") && (dual || storage);
    // "Kitchen, that's the recess on the far side".
    let aside = inside
        && kind == PlaceKind::Elevation
        && !lead
            .clone()
            .any(|at| matches!(word(at), "me" | "us" | "i" | "we"));
    let come = arrives(reading, sentence, clause, place) && !has_one && !aside
        || thinks_back(reading, sentence, clause, place);
    let led = light || recalled || introduced || way || come;
    // "Risers, going up, one sixty, one sixty-two": along a thing, not away from it.
    let along = GOING.contains(&word(place.tokens.start))
        && matches!(word(place.tokens.end - 1), "up" | "down")
        && reading
            .within(&(sentence.tokens.start..place.tokens.start))
            .any(|p| reading.pieces[p].kind == PieceKind::Element);
    // "In by the other door to the kitchen": the door is passed.
    let longer = longer_piece(reading, place) && !run_on && !way;
    if !led || along || as_in(tokens, place.tokens.start) || kind == PlaceKind::Whole || longer {
        return None;
    }
    let bare = lead.clone().all(|at| {
        opener(word(at))
            || class(word(at)) == Class::Determiner
            || SIZES.contains(&word(at))
            || PRAISED.contains(&word(at))
            || that_one(at)
            // "Mezzanine study."
            || in_place(at) && class(word(at)) == Class::Open
    });
    // "Back upstairs", but not "back of the house", which is a name.
    let leads = place.tokens.len() > 1
        && GOING.contains(&word(place.tokens.start))
        && word(place.tokens.start + 1) != "of";
    // "Front first."
    // "The side path here", "we'll do the kitchen next".
    let done = lead.clone().any(|at| matches!(word(at), "do" | "doing"));
    // "Under the deck now."
    let leading: Vec<&str> = lead.clone().map(word).filter(|w| !opener(w)).collect();
    let led_to = matches!(leading[..], ["on" | "in" | "under" | "onto" | "at", "the"]);
    let then = (bare || done || led_to)
        && matches!(
            word(place.tokens.end),
            "first" | "next" | "now" | "then" | "here"
        );
    // "Down the stairs, and we're in the kitchen".
    let arrived = place.tokens.end >= clause.end
        && lead.clone().any(|at| {
            word(at) == "we" && matches!(word(at + 1), "are" | "'re") && word(at + 2) == "in"
        });
    // "There's a loo up here too", "there's a small WC tucked in behind".
    let mut brought = place.tokens.start;
    while brought > clause.start
        && (SIZES.contains(&word(brought - 1)) || PRAISED.contains(&word(brought - 1)))
    {
        brought -= 1;
    }
    let there = brought.checked_sub(3).map_or("", word) == "there"
        && matches!(word(brought - 2), "is" | "'s")
        && (kind.indoors() || kind == PlaceKind::Outside)
        && !storage
        && (SITS.contains(&word(next))
            // "There's a summerhouse at the end."
            || class(word(next)) == Class::Preposition
                && clause.end == sentence.tokens.end
                && place.term.is_some()
                && !dual
                && nothing_wrong(next)
            || matches!(
                word(next),
                "in" | "up" | "off" | "out" | "down" | "through" | "along"
            ) && matches!(word(next + 1), "here" | "there"));
    let going = leads
        || then
        || there
        || glossed
        || arrived
        || come
        || way
        || lead.clone().any(|at| GOING.contains(&word(at)));
    let gone = going
        || lead
            .clone()
            .any(|at| cue(at) || TO_A_PLACE.contains(&word(at)));
    // "Roof terrace itself", "entrance steps to begin with".
    let next = place.tokens.end;
    let next = match (word(next), word(next + 1), word(next + 2)) {
        ("itself", _, _) => next + 1,
        ("of", "the", "place" | "house" | "building" | "property") => next + 3,
        // "Shower room after that", "utility beyond it", "toilet up here".
        ("after" | "beyond" | "behind", "that" | "this" | "it", _)
        | ("up" | "down" | "out" | "in", "here", _) => next + 2,
        // "Outside again": back there.
        ("again", _, _) if next + 1 == clause.end => next + 1,
        ("to", "begin" | "start" | "finish", "with" | "off" | "indoors" | "outdoors") => next + 3,
        ("to", "begin" | "start" | "finish", _) => next + 2,
        _ => next,
    };
    // "The utility room next to the kitchen".
    let told_by = reading.places_within(&(next..clause.end)).first();
    let told_by = told_by.filter(|by| {
        let lead = next..by.tokens.start;
        lead.len() <= LONGEST_MARK && landmark(tokens, by) && nothing_wrong(next)
    });
    let next = told_by.map_or(next, |by| by.tokens.end);
    let ends = next >= clause.end;
    let after = word(next);
    let next_kind = reading.piece_at(next).map(|p| p.kind);
    let modifies = !ends
        && (matches!(after, "one" | "ones")
            || next_kind == Some(PieceKind::Element)
            || class(after) == Class::Open
                && !after.ends_with("ly")
                && matches!(next_kind, None | Some(PieceKind::Defect))
                && !GOING.contains(&after))
        && !SITS.contains(&after);
    // "Bedroom one door handle's on upside down" after a walk: the number names the room.
    let numbered = sentence.paused()
        && place.number.is_some()
        && bare
        && clause.start == sentence.tokens.start;
    // "Looking up at the roof ridge tiles": whatever is seen there, the roof is where one looks.
    let overhead = kind == PlaceKind::Roof
        && going
        && lead
            .clone()
            .any(|at| matches!(word(at), "looking" | "stood" | "up"));
    if modifies && !numbered && !run_on && !overhead && !come {
        return None;
    }
    let short = place
        .term
        .is_some_and(|t| lexicon.place(t).alone_also.contains(&place.text));
    let opens = clause.start == sentence.tokens.start;
    if short && !(going || (bare || gone) && ends && opens) {
        return None;
    }
    // "Roof terrace, top of the house": nothing but the place is told.
    let nothing_else = ends
        && bare
        && clause.start == sentence.tokens.start
        && !reading.within(&(clause.end..sentence.tokens.end)).any(|p| {
            let kind = reading.pieces[p].kind;
            !matches!(
                kind,
                PieceKind::Place | PieceKind::Phrase | PieceKind::Count
            )
        });
    let alone =
        ends && clause.end == sentence.tokens.end || next >= sentence.tokens.end || nothing_else;
    // "Potty wall, gap at the top": misheard, too, it is a thing as likely as a place.
    let by_sound = !matches!(place.how, How::Exact);
    let thing = dual
        && (by_sound
            || reading
                .piece_at(place.tokens.start)
                .is_some_and(|p| p.kind == PieceKind::Element));
    // "Coat cupboard, the ball catch doesn't line up", "airing cupboard, likewise": a thing in the room,
    // unless one goes there.
    let mut rest = reading.within(&(clause.end..sentence.tokens.end));
    let at_fault = rest.clone().any(|p| {
        let piece = &reading.pieces[p];
        piece.kind == PieceKind::Defect && !piece.negated || same_again(piece)
    });
    let other = rest.any(|p| reading.pieces[p].kind == PieceKind::Element);
    let has_the_fault = at_fault && !other;
    let again = reading.piece_at(next).is_some_and(same_again);
    let alone = alone && !again;
    let cupboard =
        storage && (ends || again) && bare && at_fault && !alone && !going && !sentence.paused();
    if cupboard && clause.start == sentence.tokens.start {
        return None;
    }
    // "The cupboard over the hob won't shut."
    let has_article = class(article) == Class::Determiner;
    if storage && has_article && bare && !going && !ends && !nothing_wrong(next) {
        return None;
    }
    let elevation_from_inside =
        inside && matches!(kind, PlaceKind::Elevation | PlaceKind::Outside) && !going;
    // "Sitting room. Lovely bay.": a part of the room.
    let bay = place.term.is_some_and(|t| lexicon.name(t) == "bay");
    if inside && !going && bay {
        return None;
    }
    if elevation_from_inside && kind == PlaceKind::Elevation && which_of_several(tokens, place) {
        return None;
    }
    // "No, right hand side": within a room, a side without a word of going is a side of something in it.
    if elevation_from_inside && kind == PlaceKind::Elevation && place.text.ends_with("side") {
        return None;
    }
    // "Rear path, there's a drop", "the little loo, in we squeeze": a name of several words, or a room told
    // by its size.
    let sized = lead.clone().any(|at| SIZES.contains(&word(at)));
    let named = kind == PlaceKind::Outside && place.tokens.len() > 1 || sized;
    // "Roof terrace is out this way."
    let next_door = bare && after == "next" && word(next + 1) == "door" && next + 2 == clause.end;
    // "Plant cupboard next to it."
    let next_door = next_door
        || bare
            && after == "next"
            && word(next + 1) == "to"
            && next + 3 == sentence.tokens.end
            && clause.start == sentence.tokens.start;
    // "The dressing room leads off it, and the shelf in there is not level."
    let spoken_of = (clause.end..sentence.tokens.end)
        .any(|at| matches!(word(at), "in" | "inside") && matches!(word(at + 1), "there" | "it"));
    // "Utility room leads off it.", "balcony out there.", "a small WC tucked in behind".
    let whole = clause.end == sentence.tokens.end || next_door || spoken_of;
    let off_it = bare
        && !ends
        && whole
        && (SITS.contains(&after) || matches!(after, "off" | "out" | "through"))
        && (next + 1..clause.end).all(|at| {
            POINTED.contains(&word(at)) || matches!(word(at), "under" | "stairs" | "from")
        });
    // "Bathroom's at the end of the passage", "living room's the next opening over".
    let situated = bare
        && whole
        && kind.indoors()
        && !storage
        && !dual
        && matches!(after, "'s" | "is")
        && (class(word(next + 1)) == Class::Preposition
            || SITS.contains(&word(next + 1))
            || matches!(word(next + 1), "the" | "facing" | "opposite" | "beyond")
                && matches!(
                    word(next + 2),
                    "next" | "last" | "first" | "one" | "other" | "me" | "you" | "that" | ""
                ))
        && nothing_wrong(next);
    let pointed = next_door
        || situated
        || off_it
        || bare
            && matches!(after, "is" | "'s")
            && (next + 1..clause.end).all(|at| POINTED.contains(&word(at)))
            && next + 1 < clause.end;
    // "On the drive a couple of the blocks have sunk".
    let plain = |at: usize| matches!(class(word(at)), Class::Determiner | Class::Number);
    let located = clause.start == sentence.tokens.start
        && (plain(next) || matches!(after, "there" | "i" | "we" | "you"))
        && matches!(leading[..], ["on" | "in", "the"] | ["on" | "in"]);
    let outright = match (ends, bare) {
        // "Decking, there's a board up", "party wall, gap at the top" name a thing; "Driveway." names a
        // place.
        (true, true) => alone || !thing || named || sentence.paused() && !has_the_fault,
        (true, false) => gone,
        // "The bin cupboard next to it".
        (false, true) if after == "next" && word(next + 1) == "to" => false,
        // "Drive first.".
        (false, true) if GOING.contains(&after) => {
            !thing || then && next + 1 == sentence.tokens.end
        }
        (false, true) => {
            // "Little loo by the stairs."
            (!thing || sized && clause.end == sentence.tokens.end && nothing_wrong(next))
                && matches!(
                    class(after),
                    Class::Preposition
                        | Class::Conjunction
                        | Class::Filler
                        | Class::Adverb
                        | Class::Position
                )
                && after != "of"
        }
        (false, false) => after != "of" && (gone && !thing || going || located),
    } && !(elevation_from_inside && !alone && !named && !sentence.paused())
        || numbered
        || run_on
        || recalled
        || introduced
        || come
        || glossed && ends
        || located
        || pointed
        || overhead
        || there;
    let also_thing = reading
        .piece_at(place.tokens.start)
        .is_some_and(|p| p.kind == PieceKind::Element);
    // "Driveway's tarmac."
    let made_of = kind == PlaceKind::Outside
        && matches!(after, "'s" | "is")
        && (next + 2 == sentence.tokens.end
            || next + 3 == clause.end && clause.end < sentence.tokens.end)
        && class(word(next + 1)) == Class::Open
        && reading
            .piece_at(next + 1)
            .is_none_or(|p| p.kind == PieceKind::Element);
    let subject = !ends
        && bare
        && !storage
        && (made_of
            || !also_thing
                && kind.indoors()
                && (class(after) == Class::Verb || LIES.contains(&after)));
    (outright || subject).then(|| PlaceChange {
        outright,
        going: going || situated,
        ..to(lexicon, place, clause.start)
    })
}

/// ***Door on the right is** the study*, ***through the double doors and it's** the dining room*.
pub(super) fn points_to(reading: &Reading, clause: &Range<usize>, place: &Piece) -> bool {
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let start = place.tokens.start;
    let the = start > 0 && class(word(start - 1)) == Class::Determiner;
    let verb = start.checked_sub(2).filter(|verb| *verb >= clause.start);
    place.tokens.end >= clause.end
        && the
        && verb.is_some_and(|verb| matches!(word(verb), "is" | "'s"))
        && (clause.start..start).any(|at| WHICH_WAY.contains(&word(at)))
}

/// How a room lies to where one stands: *the utility **leads** off it*, *there's a shower room **opening** off
/// that*.
#[rustfmt::skip]
const SITS: &[&str] = &["leads", "opens", "tucked", "juts", "sits", "lies", "follows", "opening", "leading"];

/// Words for a short visit: *quick look in the loft*.
const GLANCES: &[&str] = &[
    "quick", "look", "peek", "glance", "peep", "gander", "brief", "proper",
];

/// Words behind *left* where one turns there.
const TURNS: &[&str] = &["into", "through", "onto", "to"];

/// How a room lies, as the subject of its sentence: *the sitting room **lies** over the garage*.
const LIES: &[&str] = &[
    "lies",
    "sits",
    "overlooks",
    "faces",
    "spans",
    "occupies",
    "stretches",
];

/// *Likewise*, *the same here*.
fn same_again(piece: &Piece) -> bool {
    piece.kind == PieceKind::Phrase && piece.text == "same-again"
}

/// Words for the size of a room that are part of no name.
pub(super) const SIZES: &[&str] = &[
    "little", "wee", "small", "tiny", "guest", "smallest", "biggest", "larger", "smaller",
];

/// Words for what a room is like that are part of no name behind an article.
#[rustfmt::skip]
pub(super) const PRAISED: &[&str] = &[
    "big", "large", "huge", "long", "lovely", "nice", "fancy", "posh", "grand", "famous", "great", "own",
];

/// True where a room and a thing in it are said in one breath after a pause: *Kitchen cabinet over the
/// fridge*, *Primary carpet seam*. Recognisers write no stop between the two; who has been in the
/// room for a while has no need to name it. A door alone may be seen from either side.
fn runs_on(lexicon: &Lexicon, reading: &Reading, sentence: &Sentence, place: &Piece) -> bool {
    let next = place.tokens.end;
    let inside = place.term.is_some_and(|t| {
        let entry = lexicon.place(t);
        !entry.weak && entry.kind.indoors()
    });
    let word = |at: usize| reading.tokens[at].norm.as_str();
    let thing = (next..sentence.tokens.end)
        .find(|&at| class(word(at)) != Class::Open || reading.piece_at(at).is_some())
        .and_then(|at| reading.piece_at(at))
        .is_some_and(|piece| piece.kind == PieceKind::Element);
    inside && sentence.breathed() && thing && !DOORS.contains(&word(next))
}

/// Words for what is seen from two rooms.
const DOORS: &[&str] = &["door", "doors", "doorway", "doorways"];

/// True where a chosen piece covers the place and more: *garage door*.
fn longer_piece(reading: &Reading, place: &Piece) -> bool {
    reading.piece_at(place.tokens.start).is_some_and(|p| {
        p.tokens.len() > place.tokens.len()
            && p.kind != PieceKind::Place
            && p.kind != PieceKind::Phrase
    }) || reading.piece_at(place.tokens.end - 1).is_some_and(|p| {
        p.tokens.end > place.tokens.end && matches!(p.kind, PieceKind::Element | PieceKind::Defect)
    })
}
