//! Places told by how one goes in, out, or round the house: *Stepping inside.*, *Out by the back door*.

use crate::items::walk::Walk;
use crate::lexicon::PlaceKind;
use crate::statements::grammar::opener;
use crate::statements::piece::PieceKind;
use crate::statements::place::{self, PlaceChange};
use crate::statements::sentence::Sentence;
use std::ops::Range;

/// Where a walk-round is that begins at the front door.
const ENTRANCE: &str = "entrance";

/// The lexicon's name of what is behind the front door, and what lists call it.
const HALL: &str = "hallway";

const ENTRANCE_HALL: &str = "entrance hall";

/// Doors, by the last word but one, with where they lead to.
#[rustfmt::skip]
const LEAD_OUT: [(&str, &str); 10] = [
    ("terrace", "terrace"), ("balcony", "balcony"), ("juliet", "balcony"), ("patio", "rear garden"),
    ("french", "rear garden"), ("bifold", "rear garden"), ("bi-fold", "rear garden"), ("sliding", "rear garden"),
    ("back", "rear garden"), ("garden", "rear garden"),
];

impl Walk<'_> {
    /// ***Front door.***, before any place was named: that is where the walk begins.
    pub(in crate::items::walk) fn at_the_front_door(
        &self,
        sentence: &Sentence,
    ) -> Option<PlaceChange> {
        let said = sentence.tokens.clone().map(|at| self.word(at));
        let said: Vec<&str> = said
            .filter(|word| !opener(word) && *word != "the")
            .collect();
        let begins = self.place == usize::MAX && matches!(said[..], ["front" | "entrance", "door"]);
        begins.then(|| self.listed_place(ENTRANCE, sentence.tokens.clone()))?
    }

    /// *Front porch. … **Stepping inside.***, with no room named next: behind the front door is the hall.
    pub(super) fn comes_inside(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
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
                    | ["in", "through", "door"]
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
        let here = self.places.visited.get(self.place);
        // From a shared corridor one steps into the flat.
        let indoors = here.is_some_and(|here| {
            matches!(here.kind.as_str(), "room" | "loft") && !here.name.ends_with("porch")
        });
        (inside && !indoors && !self.names_place(index + 1)).then(|| self.hall(said))?
    }

    /// Returns the change to the hall behind the front door.
    pub(super) fn hall(&self, said: Range<usize>) -> Option<PlaceChange> {
        let change = self.listed_place(HALL, said)?;
        Some(PlaceChange {
            name: ENTRANCE_HALL.to_owned(),
            ..change
        })
    }

    /// True in front of the house, and where the front door was spoken of right before.
    fn before_the_door(&self, index: usize) -> bool {
        let here = self.places.visited.get(self.place);
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

    /// *Lounge. … **Externally**, the soffit is cracked.* But *outside, the light switch* may be at the door.
    pub(super) fn says_outside(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let clause = sentence.clauses.first()?.tokens.clone();
        let alone = matches!(self.plain_words(&clause)[..], ["outside" | "externally"]);
        let things = self
            .kinds_in(&sentence.tokens, PieceKind::Element)
            .into_iter();
        let mut terms = things.filter_map(|i| self.reading.pieces[i].term);
        let outdoors =
            self.places.inside(self.place) && terms.any(|term| self.outdoors(term).is_some());
        (alone && outdoors).then(|| self.listed_place("outside", clause))?
    }

    /// ***Out by the back door** and looking up.* *Terrace door, stiff. **Stepping out there.***
    pub(super) fn goes_out(&self, sentence: &Sentence) -> Option<PlaceChange> {
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
                "by" | "through" | "from" | "at",
                "front" | "entrance",
                "door",
                ..,
            ]
            | ["out" | "outside", "at" | "by", "front"] => "front elevation",
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
        let here = self.places.visited.get(self.place)?;
        let indoors = matches!(here.kind.as_str(), "room" | "common");
        let fault = !self.kinds_in(&clause, PieceKind::Defect).is_empty();
        (indoors && !fault).then(|| self.listed_place(place, clause))?
    }

    /// *I've let myself **in by the side gate**.*: that opens on the garden.
    pub(super) fn by_the_gate(&self, sentence: &Sentence) -> Option<PlaceChange> {
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

    /// *Patio. … **Now turn about and look at the house from here.*** *Drive. … **Front door at last.***
    pub(super) fn faces_house(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.visited.get(self.place)?;
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

    /// *Patio. … **If you look up at the back wall**, the pointing's missed.* *Lawn. … **Turning to face the house**, …*
    pub(super) fn looks_at_wall(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.visited.get(self.place)?;
        let clause = sentence.clauses.first()?.tokens.clone();
        let words = self.plain_words(&clause);
        let looks = words
            .iter()
            .any(|word| matches!(*word, "look" | "looking" | "face" | "facing"));
        let wall = words.windows(2).any(|two| {
            matches!(
                two,
                ["back" | "rear" | "house", "wall"] | ["at" | "face" | "facing", "house"]
            )
        });
        let silent = self.kinds_in(&clause, PieceKind::Defect).is_empty();
        if !(looks && wall && silent) || here.kind != "outside" {
            return None;
        }
        let rest = clause.end..sentence.tokens.end;
        let mut named = self.reading.places_within(&rest).iter();
        let side = named.find(|place| {
            let term = place.term.map(|term| self.lexicon.place(term).kind);
            term == Some(PlaceKind::Elevation)
        });
        let side = side.map(|side| place::to(self.lexicon, side, clause.start));
        let front = here.name.contains("front") || here.name.contains("drive");
        let side = side.or_else(|| self.listed_place("rear elevation", clause.clone()))?;
        let tokens = clause;
        (!front || side.name != "rear elevation").then_some(PlaceChange { tokens, ..side })
    }

    /// *Front elevation. … **Round to the right.***: outside, that is a side of the house.
    pub(in crate::items::walk) fn round_to_a_side(
        &self,
        sentence: &Sentence,
    ) -> Option<PlaceChange> {
        let outside = self
            .places
            .visited
            .get(self.place)
            .is_some_and(|here| here.kind == "elevation");
        // "Okay, around to the left, that's …": openers are clauses of their own.
        let mut clauses = sentence.clauses.iter().map(|clause| &clause.tokens);
        let clause =
            clauses.find(|clause| !Range::clone(clause).all(|at| opener(self.word(at))))?;
        let said = clause.clone().map(|at| self.word(at));
        let said: Vec<&str> = said.skip_while(|word| opener(word)).collect();
        let side = match said[..] {
            ["round" | "around", "to", "the", side @ ("left" | "right")] if outside => {
                format!("{side} side elevation")
            }
            // "Front elevation. … Side. Gate won't latch."
            ["side"] | ["round", "the", "side"] if outside => "side elevation".to_owned(),
            // "Around to the driveway side", "corridor side".
            ["round" | "around", "to", "the", named, "side"] | [named, "side"]
                if !matches!(named, "right" | "left" | "hand" | "other" | "far") =>
            {
                named.to_owned()
            }
            _ => return None,
        };
        self.listed_place(&side, clause.clone())
    }
}
