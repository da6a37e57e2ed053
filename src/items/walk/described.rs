//! Places that are told without a name: by what is counted (*Number two.*), by the way one goes there
//! (*Stepping inside.*, *Out by the back door*), or by what is there (*Off that, the shower.*).

use super::Walk;
use crate::lexicon::{Found, Kind};
use crate::statements::grammar::{Class, class, opener};
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Where a walk-round is that begins at the front door.
const ENTRANCE: &str = "entrance";

/// The lexicon's name of what is behind the front door, and what lists call it.
const HALL: &str = "hallway";
const ENTRANCE_HALL: &str = "entrance hall";

/// The number of a room stands within so many tokens of the start: *right then, up to the next floor,
/// room four*.
const LONGEST_WAY_TO_A_ROOM: usize = 10;

/// Rooms of a kind are counted up to here; homes with more bedrooms are rare.
const NUMBERS: [&str; 8] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight",
];

/// What goes on behind the number of a room: *four **is** the one with the slopes*, *five **would** do a nursery*.
const OF_A_ROOM: &[&str] = &[
    "is", "'s", "would", "itself", "now", "then", "next", "will", "over", "has",
];

/// Things of a washroom by which one tells it: *off that, **the shower***.
#[rustfmt::skip]
const WASHING: &[&str] = &["shower", "basin", "basins", "sink", "sinks", "toilet", "loo", "bath", "tub", "vanity"];

/// Rooms with a washroom of their own.
const SLEEPING: &[&str] = &[
    "bedroom", "suite", "dressing", "nursery", "room one", "walk-in",
];

/// Parts of a stair. Common practice, no source.
#[rustfmt::skip]
const STAIR_PARTS: &[&str] = &[
    "newel", "newels", "handrail", "banister", "bannister", "tread", "treads", "riser", "risers", "spindle", "spindles",
    "baluster", "balusters", "nosing", "nosings", "string", "strings", "winder", "winders", "step", "steps", "stair",
    "stairs",
];

/// Doors, by the last word but one, with where they lead to.
#[rustfmt::skip]
const LEAD_OUT: [(&str, &str); 10] = [
    ("terrace", "terrace"), ("balcony", "balcony"), ("juliet", "balcony"), ("patio", "rear garden"),
    ("french", "rear garden"), ("bifold", "rear garden"), ("bi-fold", "rear garden"), ("sliding", "rear garden"),
    ("back", "rear garden"), ("garden", "rear garden"),
];

impl Walk<'_> {
    /// Returns the place that a sentence tells without naming it.
    pub(super) fn described_place(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        self.comes_inside(index, sentence)
            .or_else(|| self.up_the_ladder(sentence))
            .or_else(|| self.next_in_number(sentence))
            .or_else(|| self.washroom_off_this(sentence))
            .or_else(|| self.goes_out(sentence))
            .or_else(|| self.by_the_gate(sentence))
            .or_else(|| self.goes_up(index, sentence))
            .or_else(|| self.looks_at_roof(sentence))
            .or_else(|| self.faces_house(sentence))
            .or_else(|| self.back_in_the_room(sentence))
            .or_else(|| self.by_its_things(sentence))
    }

    /// Returns the words of a clause, without openers, articles and *now*.
    fn plain_words(&self, clause: &Range<usize>) -> Vec<&str> {
        let words = clause.clone().map(|at| self.word(at));
        words
            .filter(|word| !opener(word) && !matches!(*word, "the" | "now" | "then" | "a" | "an"))
            .collect()
    }

    /// *Main bedroom. … **Off that, the shower.*** *In the **shower that opens off here**, …*
    fn washroom_off_this(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.get(self.place)?;
        let sleeps = SLEEPING.iter().any(|kind| here.name.contains(kind));
        let off = |two: &[&str]| {
            matches!(
                two,
                [
                    "off" | "beyond" | "behind",
                    "that" | "this" | "here" | "it" | "there"
                ]
            )
        };
        let end = sentence.tokens.end;
        let clause = sentence.clauses.first()?.tokens.clone();
        let words = self.plain_words(&clause);
        let led = words.len() == 2 && off(&words);
        // "Off that, the shower" is one clause for the ear and two in writing.
        let said = match led {
            true => sentence.tokens.clone(),
            false => clause,
        };
        let words = self.plain_words(&said);
        let at = words.windows(2).position(off).or_else(|| {
            words
                .windows(3)
                .position(|three| off(&[three[0], three[2]]) && three[1] == "of")
        })?;
        let washing = words.iter().any(|word| WASHING.contains(word));
        let opens = at == 0
            || matches!(
                words[0],
                "in" | "into" | "there" | "shower" | "bath" | "through"
            );
        let fault = !self.kinds_in(&said, PieceKind::Defect).is_empty();
        let told = said.end == end || !led;
        (sleeps && washing && opens && told && !fault)
            .then(|| self.listed_place("en-suite", said))?
    }

    /// *I've let myself **in by the side gate**.*: that opens on the garden.
    fn by_the_gate(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = self.text(&sentence.tokens);
        let gate = [
            "in by the side gate",
            "in through the side gate",
            "in at the side gate",
            "through the garden gate",
        ];
        let fault = !self
            .kinds_in(&sentence.tokens, PieceKind::Defect)
            .is_empty();
        (gate.iter().any(|way| said.contains(way)) && !fault)
            .then(|| self.listed_place("rear garden", sentence.tokens.clone()))?
    }

    /// ***Out by the back door** and looking up.* *Terrace door, stiff. **Stepping out there.***
    fn goes_out(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let clause = sentence.clauses.first()?.tokens.clone();
        let words = self.plain_words(&clause);
        let there = matches!(
            words[..],
            [
                "stepping" | "step" | "going" | "heading" | "popping" | "coming",
                "out",
                "there" | "here" | "onto"
            ] | ["out", "there" | "here"]
                | ["out", "onto", "it"]
                | ["stepping" | "going", "out", "onto" | "on", "it"]
        );
        if there {
            let (thing, _) = self.last.as_ref()?;
            let door = thing.text.contains("door") || thing.text.contains("slider");
            let leads = |word: &str| thing.text.split(' ').any(|w| w == word);
            let &(_, place) = LEAD_OUT.iter().find(|(kind, _)| door && leads(kind))?;
            return self.listed_place(place, clause);
        }
        let place = match words[..] {
            [
                "out" | "outside",
                "by" | "of" | "through" | "from" | "at",
                "back" | "rear" | "kitchen" | "utility" | "side",
                "door",
                ..,
            ]
            | ["out", "back" | "rear", "door", ..] => "rear elevation",
            [
                "out" | "outside",
                "of" | "through" | "from" | "at",
                "patio" | "french" | "bifold" | "sliding" | "garden",
                "door" | "doors",
                ..,
            ]
            | [
                "out" | "outside",
                "of" | "through",
                "bifolds" | "sliders" | "slider",
                ..,
            ] => "rear garden",
            _ => return None,
        };
        let here = self.places.get(self.place)?;
        let indoors = matches!(here.kind.as_str(), "room" | "common");
        let fault = !self.kinds_in(&clause, PieceKind::Defect).is_empty();
        (indoors && !fault).then(|| self.listed_place(place, clause))?
    }

    /// *Kitchen. … **Up.** Handrail's loose.* *Stairs. … **At the top**, the loft hatch is dented.* *Garage. …
    /// **Upstairs.***, with no room named next: the stairs where one of their parts is spoken of, else the
    /// landing.
    fn goes_up(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.get(self.place)?;
        let indoors = matches!(here.kind.as_str(), "room" | "common" | "garage");
        let clause = sentence.clauses.first()?.tokens.clone();
        let whole = clause.end == sentence.tokens.end;
        // "Okay, upstairs."
        if self.plain_words(&sentence.tokens)[..] == ["upstairs"]
            && indoors
            && !self.names_place(index + 1)
        {
            let place = if self.stair_part_next(index + 1) {
                "stairs"
            } else {
                "landing"
            };
            return self.listed_place(place, sentence.tokens.clone());
        }
        let place = match self.plain_words(&clause)[..] {
            ["up"] | ["up", "again"] if whole && indoors => "stairs",
            ["at" | "on", "top"] | ["at", "top", "of", "stairs"]
                if here.name.contains("stairs") && !whole =>
            {
                "landing"
            }
            _ => return None,
        };
        self.listed_place(place, clause)
    }

    /// True where a sentence names a place that one goes to.
    fn names_place(&self, index: usize) -> bool {
        let sentence = self.reading.sentences.get(index);
        sentence.is_some_and(|sentence| {
            !place::changes(self.lexicon, self.reading, sentence, true).is_empty()
        })
    }

    fn stair_part_next(&self, index: usize) -> bool {
        self.reading.sentences.get(index).is_some_and(|sentence| {
            sentence
                .tokens
                .clone()
                .any(|at| STAIR_PARTS.contains(&self.word(at)))
        })
    }

    /// *Okay, **top of the ladder**.* *Across the road with the **binoculars** up.*: outside, that is to see
    /// the roof.
    fn looks_at_roof(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.get(self.place)?;
        let outside = matches!(here.kind.as_str(), "elevation" | "outside");
        let said = sentence.tokens.clone();
        let glasses = said.clone().any(|at| {
            matches!(self.word(at), "binoculars" | "binos")
                || self.word(at) == "field" && self.word(at + 1) == "glasses"
        });
        let words = self.plain_words(&said);
        let ladder = matches!(
            words[..],
            ["top", "of", "ladder"]
                | ["up", "ladder"]
                | ["up", "on", "ladder"]
                | ["at", "top", "of", "ladder"]
        );
        let silent = self.kinds_in(&said, PieceKind::Defect).is_empty()
            && self.kinds_in(&said, PieceKind::Element).iter().all(|&i| {
                let piece = &self.reading.pieces[i];
                piece.tokens.clone().any(|at| self.word(at) == "ladder")
            });
        (outside && silent && (glasses || ladder)).then(|| self.listed_place("roof", said))?
    }

    /// *Patio. … **Now turn about and look at the house from here.*** *Drive. … **Front door at last.***
    fn faces_house(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.get(self.place)?;
        let outside = matches!(here.kind.as_str(), "elevation" | "outside" | "garage");
        let words = self.plain_words(&sentence.tokens);
        let turns = words.windows(2).any(|two| {
            matches!(
                two,
                ["turn" | "turning", "about" | "round" | "around"] | ["look" | "looking", "back"]
            )
        });
        let house = words
            .windows(2)
            .any(|two| matches!(two, ["at" | "to", "house"]));
        let behind = ["garden", "yard", "patio", "deck", "lawn", "rear"]
            .iter()
            .any(|part| here.name.contains(part));
        let door = matches!(
            words[..],
            ["front", "door"] | ["front", "door", "at", "last"] | ["to", "front", "door"]
        );
        let name = match (turns && house && behind, door) {
            (true, _) => "rear elevation",
            (_, true) => "front elevation",
            _ => return None,
        };
        let silent = self
            .kinds_in(&sentence.tokens, PieceKind::Defect)
            .is_empty();
        (outside && silent).then(|| self.listed_place(name, sentence.tokens.clone()))?
    }

    /// *Eaves cupboard. … And **back out in the room**, the sockets differ.*: the room that it opens off.
    fn back_in_the_room(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let clause = sentence.clauses.first()?.tokens.clone();
        let words = self.plain_words(&clause);
        let back = matches!(
            words[..],
            ["back" | "out", "in" | "into", "room" | "bedroom"]
                | ["back", "out", "in" | "into" | "to", "room" | "bedroom"]
        );
        let before = (0..self.place.min(self.places.len())).rev().find(|&at| {
            self.places[at].kind == "room"
                && SLEEPING
                    .iter()
                    .any(|kind| self.places[at].name.contains(kind))
        })?;
        let there = self.places.get(before)?;
        back.then(|| PlaceChange {
            name: there.name.clone(),
            identity: self.identities[before].clone(),
            kind: there.kind.clone(),
            term: self.terms[before],
            tokens: clause,
            outright: true,
            going: true,
        })
    }

    /// *That **brings us out by** the island and the big range.*: where things are that one room alone has.
    fn by_its_things(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone();
        let brings = said.clone().any(|at| {
            let by = |far: usize| self.word(at + far);
            matches!(by(0), "brings" | "takes" | "gets" | "puts" | "leads")
                && matches!(by(1), "us" | "me" | "you")
                || matches!(by(0), "arrive" | "come" | "out")
                    && matches!(by(1), "by" | "among" | "amongst")
        });
        if !brings || !self.kinds_in(&said, PieceKind::Defect).is_empty() {
            return None;
        }
        let elements = self.kinds_in(&said, PieceKind::Element).into_iter();
        let terms = elements.filter_map(|i| self.reading.pieces[i].term);
        let mut only = terms.filter_map(|term| match self.lexicon.element(term).found[..] {
            [Found::Place(place), ..] => Some(place),
            _ => None,
        });
        let place = only.next_back()?;
        self.listed_place(self.lexicon.name(place), said)
    }

    /// True in front of the house, and where the front door was spoken of right before.
    fn before_the_door(&self, index: usize) -> bool {
        let here = self.places.get(self.place);
        let in_front = here.is_some_and(|here| {
            matches!(here.kind.as_str(), "elevation" | "common")
                || ["front", "entrance", "porch", "drive", "step"]
                    .iter()
                    .any(|part| here.name.contains(part))
        });
        let door = index.checked_sub(1).is_some_and(|before| {
            let said = self.text(&self.reading.sentences[before].tokens);
            ["front door", "own door", "our door", "flat door"]
                .iter()
                .any(|door| said.contains(door))
        });
        in_front || door
    }

    /// ***Front door.***, before any place was named: that is where the walk begins.
    pub(super) fn at_the_front_door(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let said = sentence.tokens.clone().map(|at| self.word(at));
        let said: Vec<&str> = said
            .filter(|word| !opener(word) && *word != "the")
            .collect();
        let begins = self.place == usize::MAX && matches!(said[..], ["front" | "entrance", "door"]);
        begins.then(|| self.listed_place(ENTRANCE, sentence.tokens.clone()))?
    }

    /// *Front porch. … **Stepping inside.***, with no room named next: behind the front door is the hall.
    fn comes_inside(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let said = self.plain_words(&sentence.tokens);
        let first = sentence.clauses.first()?.tokens.clone();
        let opens = self.plain_words(&first);
        let comes_in = |said: &[&str]| {
            matches!(
                said,
                ["inside" | "indoors"]
                    | [
                        "stepping"
                            | "step"
                            | "heading"
                            | "head"
                            | "going"
                            | "coming"
                            | "come"
                            | "moving",
                        "in" | "inside" | "indoors"
                    ]
                    | [
                        "come" | "coming" | "step" | "stepping",
                        "in" | "inside",
                        "and",
                        ..
                    ]
                    | ["in", "we", "go" | "come" | "pop"]
                    | ["in", "through", "front", "door"]
                    | ["i", "have" | "'ve", "let", "myself", "in"]
                    | ["let" | "letting", "myself" | "ourselves", "in"]
                    | ["in", "i", "go" | "come"]
                    | ["through" | "at" | "own", "front", "door"]
                    | ["our" | "its", "own", "front" | "entrance", "door"]
            )
        };
        let whole = comes_in(&said);
        // "In we go, and what a staircase", but not "bin store. … Inside, the light's out".
        let front_way = [
            "in the front way",
            "in by the front door",
            "in through the front door",
            "in at the front door",
        ];
        let led = self.text(&first);
        let inside = whole
            || comes_in(&opens) && self.before_the_door(index)
            || front_way.iter().any(|way| led.contains(way));
        let said = if whole {
            sentence.tokens.clone()
        } else {
            first
        };
        let next = self.reading.sentences.get(index + 1);
        let named = || {
            next.is_some_and(|next| {
                !place::changes(self.lexicon, self.reading, next, true).is_empty()
            })
        };
        let hall = || {
            let change = self.listed_place(HALL, said)?;
            Some(PlaceChange {
                name: ENTRANCE_HALL.to_owned(),
                ..change
            })
        };
        let here = self.places.get(self.place);
        // From a shared corridor one steps into the flat.
        let indoors = here.is_some_and(|here| {
            matches!(here.kind.as_str(), "room" | "loft") && !here.name.ends_with("porch")
        });
        (inside && !indoors && !named()).then(hall)?
    }

    /// ***Loft ladder down, up I go.*** *Pulling down the **attic ladder**, …*: that is where one is then.
    fn up_the_ladder(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let mut said = sentence.tokens.clone();
        let at_hatch = |at: usize| {
            matches!(self.word(at), "through" | "in")
                && self.word(at + 1) == "the"
                && self.word(at + 2) == "hatch"
        };
        // "Popped the attic hatch.", "Loft hatch, while I'm under it, … Head and shoulders up."
        let opened = |at: usize| {
            matches!(
                self.word(at),
                "popped" | "opened" | "lifted" | "pushed" | "popping" | "lifting" | "opening"
            ) && matches!(self.word(at + 1), "the" | "up" | "open")
                && (at + 2..at + 4).any(|by| matches!(self.word(by), "loft" | "attic"))
                && self.word(sentence.tokens.end - 1) == "hatch"
        };
        let head_up = matches!(
            self.plain_words(&sentence.tokens)[..],
            ["head", "up"]
                | ["head", "shoulders", "up" | "through" | "in"]
                | ["head", "in" | "through", "hatch"]
        );
        let climbs = self
            .places
            .get(self.place)
            .is_some_and(|here| here.kind == "room")
            && sentence.clauses.first().is_some_and(|clause| {
                matches!(
                    self.plain_words(&clause.tokens)[..],
                    ["up", "ladder"] | ["up", "ladder", "again"]
                )
            });
        if said.clone().any(opened) || head_up || climbs {
            return self.listed_place("loft", sentence.tokens.clone());
        }
        // "Crawl hatch is right here, so knee pads on."
        let crawl = said.clone().any(|at| {
            self.word(at) == "crawl"
                && matches!(self.word(at + 1), "hatch" | "access" | "door" | "opening")
        });
        if crawl
            && self
                .kinds_in(&sentence.tokens, PieceKind::Defect)
                .is_empty()
        {
            return self.listed_place("crawl space", sentence.tokens.clone());
        }
        if said.clone().any(at_hatch)
            && said
                .clone()
                .any(|at| matches!(self.word(at), "head" | "up" | "i"))
        {
            let start = sentence.tokens.start;
            return self.listed_place("loft", start..start);
        }
        let loft = said.find(|&at| {
            matches!(self.word(at), "loft" | "attic") && self.word(at + 1) == "ladder"
        })?;
        let climbs = sentence.tokens.clone().any(|at| {
            matches!(self.word(at), "up" | "climbing")
                && matches!(self.word(at + 1), "i" | "we" | "the")
                || matches!(self.word(at), "pulling" | "dropping") && at < loft
        });
        self.listed_place(self.word(loft), sentence.tokens.clone())
            .filter(|_| climbs)
            .map(|change| PlaceChange {
                tokens: sentence.tokens.start..sentence.tokens.start,
                ..change
            })
    }

    /// *Bedrooms, then. **Number one.** … **Number two.*** *Bedroom three. … **Four, with the slopes.***: the next
    /// of its kind.
    fn next_in_number(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let word = |at: usize| match sentence.tokens.contains(&at) {
            true => self.word(at),
            false => "",
        };
        // "In number three there's one too", "across from it, number three, …".
        let lead = |at: usize| {
            opener(self.word(at))
                || matches!(self.word(at), "in" | "into" | "on" | "to" | "now" | "then")
        };
        let starts = sentence.clauses.iter().take(2).filter_map(|clause| {
            let at = clause.tokens.clone().find(|&at| !lead(at))?;
            (clause.tokens.start == sentence.tokens.start || word(at) == "number").then_some(at)
        });
        let mut starts = starts.filter(|&at| word(at) == "number" || NUMBERS.contains(&word(at)));
        let at = starts.next()?;
        let counted = word(at) == "number";
        let at = at + usize::from(counted);
        let number = NUMBERS.iter().position(|n| *n == word(at))?;
        let ends = sentence
            .clauses
            .iter()
            .any(|clause| clause.tokens.end == at + 1);
        let named = |number: usize| format!("{} {}", self.counted_rooms(), NUMBERS[number]);
        let visited = |name: String| self.identities.contains(&name);
        let here = self.terms.get(self.place).copied().flatten();
        let bedroom = counted && word(at + 1) == "bedroom";
        let of_kind = here.filter(|term| counted && !bedroom && self.lexicon.place(*term).numbered);
        let (term, name) = match of_kind {
            Some(term) => (
                term,
                format!("{} {}", self.lexicon.name(term), NUMBERS[number]),
            ),
            None => {
                let room = self
                    .places
                    .get(self.place)
                    .is_some_and(|here| here.kind == "room");
                let next = number > 0 && visited(named(number - 1)) && !visited(named(number));
                if !(room && next || bedroom) {
                    return None;
                }
                (
                    self.lexicon.find(Kind::Place, self.counted_rooms())?,
                    named(number),
                )
            }
        };
        let goes_on = OF_A_ROOM.contains(&word(at + 1))
            || counted && matches!(word(at + 1), "there" | "bedroom");
        (ends || goes_on).then(|| PlaceChange {
            term: Some(term),
            tokens: sentence.tokens.start..at + 1,
            name: name.clone(),
            identity: name,
            kind: self.lexicon.place(term).kind.word().to_owned(),
            outright: true,
            going: true,
        })
    }

    /// The rooms that go by number in most homes (common practice, no source).
    fn counted_rooms(&self) -> &'static str {
        "bedroom"
    }

    /// *Front elevation. … **Round to the right.***: outside, that is a side of the house.
    pub(super) fn round_to_a_side(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let outside = self
            .places
            .get(self.place)
            .is_some_and(|here| here.kind == "elevation");
        let said = sentence.tokens.clone().map(|at| self.word(at));
        let said: Vec<&str> = said.skip_while(|word| opener(word)).collect();
        let side = match said[..] {
            ["round" | "around", "to", "the", side @ ("left" | "right")] if outside => side,
            _ => return None,
        };
        self.listed_place(&format!("{side} side elevation"), sentence.tokens.clone())
    }

    /// Returns the change to a place by the lexicon's name, which a whole sentence says in other words.
    pub(super) fn listed_place(&self, name: &str, tokens: Range<usize>) -> Option<PlaceChange> {
        let term = self.lexicon.find(Kind::Place, name)?;
        Some(PlaceChange {
            term: Some(term),
            tokens,
            name: name.to_owned(),
            identity: name.to_owned(),
            kind: self.lexicon.place(term).kind.word().to_owned(),
            outright: true,
            going: true,
        })
    }

    /// *Room four, the kitchen*, and later *back in room four*: returns the number, and where it ends.
    pub(super) fn numbered_room(&self, sentence: &Sentence) -> Option<(String, usize)> {
        let at = sentence
            .tokens
            .clone()
            .take(LONGEST_WAY_TO_A_ROOM)
            .find(|&at| {
                let other = self.reading.piece_at(at);
                self.word(at) == "room" && other.is_none_or(|p| p.kind != PieceKind::Place)
            })?;
        let number = self.reading.tokens.get(at + 1)?.norm.as_str();
        let counts = class(number) == Class::Number || number == "one";
        (counts && sentence.tokens.contains(&(at + 1))).then(|| (number.to_owned(), at + 2))
    }
}
