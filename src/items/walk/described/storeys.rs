//! Places told by going up or looking up: *Up.*, *head and shoulders up*, *top of the ladder*.

use crate::items::walk::Walk;
use crate::statements::piece::PieceKind;
use crate::statements::place::PlaceChange;
use crate::statements::sentence::Sentence;

/// Parts of a stair. Common practice, no source.
#[rustfmt::skip]
const STAIR_PARTS: &[&str] = &[
    "newel", "newels", "handrail", "banister", "bannister", "tread", "treads", "riser", "risers", "spindle", "spindles",
    "baluster", "balusters", "nosing", "nosings", "string", "strings", "winder", "winders", "step", "steps", "stair",
    "stairs",
];

impl Walk<'_> {
    /// *Kitchen. … **Up.** Handrail's loose.* *Stairs. … **At the top**, the loft hatch is dented.* *Garage. …
    /// **Upstairs.***, with no room named next: the stairs where one of their parts is spoken of, else the
    /// landing.
    pub(super) fn goes_up(&self, index: usize, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.visited.get(self.place)?;
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
            ["at" | "on", "top"] | ["at", "top", "here"] | ["at", "top", "of", "stairs"]
                if here.name.contains("stairs") && !whole =>
            {
                "landing"
            }
            _ => return None,
        };
        self.listed_place(place, clause)
    }

    fn stair_part_next(&self, index: usize) -> bool {
        self.reading.sentences.get(index).is_some_and(|sentence| {
            sentence
                .tokens
                .clone()
                .any(|at| STAIR_PARTS.contains(&self.word(at)))
        })
    }

    /// ***Loft ladder down, up I go.*** *Pulling down the **attic ladder**, …*: that is where one is then.
    pub(super) fn up_the_ladder(&self, sentence: &Sentence) -> Option<PlaceChange> {
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
            .visited
            .get(self.place)
            .is_none_or(|here| here.kind == "room")
            && sentence.clauses.iter().any(|clause| {
                let words = self.plain_words(&clause.tokens);
                let words = match &words[..] {
                    ["i" | "we", "am" | "'m" | "are" | "'re", rest @ ..] => rest,
                    all => all,
                };
                matches!(
                    words,
                    ["up", "ladder"] | ["up", "ladder", "again" | "anyway"]
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

    /// *Okay, **top of the ladder**.* *Across the road with the **binoculars** up.*: outside, that is to see
    /// the roof.
    pub(super) fn looks_at_roof(&self, sentence: &Sentence) -> Option<PlaceChange> {
        let here = self.places.visited.get(self.place)?;
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
}
