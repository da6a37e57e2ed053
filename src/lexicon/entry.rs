//! The typed data of each kind of entry, with names resolved to ids.
//!
//! `lexicon/README.md` describes the keys as they stand in the files.

use super::term::TermId;
use crate::items::Severity;

/// Position of a group in [`super::Lexicon`]; stable within one loaded lexicon only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GroupId(pub u32);

/// The kinds of places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PlaceKind {
    /// A room, hall, landing or cupboard.
    Room,
    /// A side of the house seen from outside.
    Elevation,
    /// Gardens, drives, paths, boundaries.
    Outside,
    /// The roof.
    Roof,
    /// The loft or roof space.
    Loft,
    /// A garage or car port.
    Garage,
    /// Parts shared with others.
    Common,
    /// The property as a whole.
    Whole,
}

impl PlaceKind {
    /// The kinds with the words that stand for them in the files.
    pub const ALL: [(PlaceKind, &'static str); 8] = [
        (PlaceKind::Room, "room"),
        (PlaceKind::Elevation, "elevation"),
        (PlaceKind::Outside, "outside"),
        (PlaceKind::Roof, "roof"),
        (PlaceKind::Loft, "loft"),
        (PlaceKind::Garage, "garage"),
        (PlaceKind::Common, "common"),
        (PlaceKind::Whole, "whole"),
    ];

    /// Returns the word for this kind: `room`, `elevation`, …
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(kind, _)| *kind == self)
            .map_or("", |(_, word)| word)
    }

    /// Returns true for what has walls and a ceiling.
    pub fn indoors(self) -> bool {
        matches!(
            self,
            PlaceKind::Room | PlaceKind::Loft | PlaceKind::Garage | PlaceKind::Common
        )
    }

    /// Returns the kind for a word, or `None`.
    pub fn from_word(word: &str) -> Option<PlaceKind> {
        Self::ALL
            .iter()
            .find(|(_, w)| *w == word)
            .map(|(kind, _)| *kind)
    }
}

/// On which storey a place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Storey {
    /// The storey at the level of the ground.
    Ground,
    /// The first one above it.
    First,
    /// The second one above it.
    Second,
    /// No particular one.
    Any,
}

/// A room, elevation or other part of the property.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// What lists show.
    pub name: String,
    /// The other wordings.
    pub also: Vec<String>,
    /// What kind of place it is.
    pub kind: PlaceKind,
    /// What it is used for, as other places are: all kitchens are of one sort. Empty where it is like no other.
    pub sort: String,
    /// True where a number or letter may go with it.
    pub numbered: bool,
    /// Short wordings that count only with a number: *bed* two.
    pub numbered_also: Vec<String>,
    /// Short wordings that count only alone or after words of going: *Master.*, *Entry.*
    pub alone_also: Vec<String>,
    /// Its storey, where given.
    pub storey: Option<Storey>,
    /// True where the words also name a thing or are everyday words, and only count as a place after
    /// words of arrival or alone in their clause.
    pub weak: bool,
    /// True where most homes have it.
    pub usual: bool,
}

/// Where an element usually is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// In one place.
    Place(TermId),
    /// In any place of a kind.
    Kind(PlaceKind),
}

/// Something that can be defective.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// What lists show.
    pub name: String,
    /// The other wordings.
    pub also: Vec<String>,
    /// The kind of work it belongs to.
    pub group: GroupId,
    /// Who usually works on it: its own trade, or else its group's.
    pub trade: TermId,
    /// True for a part that many things have (*handle*, *seal*): whoever works on the whole works on it.
    pub by_whole: bool,
    /// Where it usually is; empty for anywhere.
    pub found: Vec<Found>,
    /// True where the wording alone needs a defect beside it to count.
    pub weak: bool,
    /// The larger elements it belongs to.
    pub part_of: Vec<TermId>,
    /// The word explained to a buyer.
    pub gloss: Option<String>,
}

/// What a remedy given by element or group is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RemedyTarget {
    /// One element.
    Element(TermId),
    /// All elements of a group.
    Group(GroupId),
}

/// Something that can be wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Defect {
    /// As it reads after the element.
    pub name: String,
    /// The other wordings.
    pub also: Vec<String>,
    /// Verbs that name it in all their forms.
    pub verb: Vec<String>,
    /// Verbs that name it when the work was not done.
    pub not: Vec<String>,
    /// Verbs that name it when the element does not do this.
    pub fails: Vec<String>,
    /// What is said of a test or trace that shows it; lists show the name instead.
    pub signs: Vec<String>,
    /// Qualities that name it when the element does not have them.
    pub lacks: Vec<String>,
    /// The groups it befalls.
    pub befalls: Vec<GroupId>,
    /// True where it befalls elements of any group.
    pub befalls_any: bool,
    /// Elements that it befalls besides, or makes likely.
    pub elements: Vec<TermId>,
    /// The element meant when none is named.
    pub implies: Option<TermId>,
    /// Faults that it brings about in things near it: a leak makes the carpet wet.
    pub brings: Vec<TermId>,
    /// What usually puts it right.
    pub remedy: Option<TermId>,
    /// What puts it right on particular elements or groups.
    pub remedy_for: Vec<(RemedyTarget, TermId)>,
    /// Who puts it right, where the fault decides that and not what it is on (a paint run).
    pub trade: Option<TermId>,
    /// How much it matters, where it is always the same.
    pub severity: Option<Severity>,
    /// True where the wording needs an element beside it to count.
    pub weak: bool,
    /// What is said of the element, in the singular, where that is not *is* and the name: *has a gap*.
    pub predicate: Option<String>,
    /// The word explained to a buyer.
    pub gloss: Option<String>,
}

/// Something that puts a defect right.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// An imperative.
    pub name: String,
    /// The other wordings.
    pub also: Vec<String>,
    /// Verbs that ask for it.
    pub verb: Vec<String>,
    /// Who does it, where the remedy decides that.
    pub trade: Option<TermId>,
    /// The word explained to a buyer.
    pub gloss: Option<String>,
}

/// Who does the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Trade {
    /// What lists show.
    pub name: String,
    /// The other wordings.
    pub also: Vec<String>,
    /// The kinds of work that it does where only fault or remedy, not the thing, points to it; empty
    /// for no limits.
    pub works_on: Vec<GroupId>,
    /// The word explained to a buyer.
    pub gloss: Option<String>,
}

/// Words around the facts. The term's name is its kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Phrase {
    /// What the phrase does in a sentence; `phrases.toml` lists the kinds.
    pub kind: String,
    /// The wordings.
    pub wordings: Vec<String>,
    /// Further wordings, short or everyday, that count only when nothing else is in the clause.
    pub weak: Vec<String>,
}

/// A kind of work that elements belong to and defects befall.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Its name.
    pub name: String,
    /// Who usually does this work.
    pub trade: TermId,
    /// What belongs to it.
    pub about: String,
}

/// A warning, and the items that carry it.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Its name.
    pub name: String,
    /// What it is about, as a heading.
    pub heading: String,
    /// The warning, for readers anywhere.
    pub text: String,
    /// The warning as Britain words it, where that differs.
    pub britain: Option<String>,
    /// The warning as America words it, where that differs.
    pub america: Option<String>,
    /// The groups whose elements carry it.
    pub groups: Vec<GroupId>,
    /// Elements that carry it besides.
    pub elements: Vec<TermId>,
    /// Elements that do not, although their group or place does.
    pub except: Vec<TermId>,
    /// Defects that carry it whatever the element and the severity.
    pub defects: Vec<TermId>,
    /// Words that carry it wherever they stand in element, defect or remedy, as tokens.
    pub words: Vec<Vec<String>>,
    /// Kinds of places where everything carries it.
    pub places: Vec<PlaceKind>,
    /// The severities at which groups, elements and places carry it.
    pub severities: Vec<Severity>,
}
