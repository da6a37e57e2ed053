//! Terms by id and by name.

use super::inflect;
use super::{
    Caution, Data, Defect, Element, Group, GroupId, Kind, Lexicon, Phrase, Place, Remedy, Term,
    TermId, Trade,
};

impl Lexicon {
    /// Returns the term of that kind and name, or `None`; other wordings do not count.
    pub fn find(&self, kind: Kind, name: &str) -> Option<TermId> {
        self.by_name.get(&(kind, name.to_owned())).copied()
    }

    /// Returns the ids of all terms of a kind, in the order of the files.
    pub fn ids(&self, kind: Kind) -> impl Iterator<Item = TermId> + '_ {
        let terms = self.terms.iter().enumerate();
        terms
            .filter(move |(_, term)| term.kind == kind)
            .map(|(id, _)| TermId(id as u32))
    }

    /// Returns the name of a term: what lists show; for phrases, their kind.
    pub fn name(&self, id: TermId) -> &str {
        &self.term(id).name
    }

    /// Returns what lists show for a term in American English: its `shown` words, else its name.
    pub fn american_name(&self, id: TermId) -> &str {
        let term = self.term(id);
        term.shown.as_deref().unwrap_or(&term.name)
    }

    /// Returns the American spelling of a lowercase word; `None` where it is no other.
    pub fn american_spelling(&self, word: &str) -> Option<&str> {
        self.spellings.american(word)
    }

    /// Returns the plural of a name: of its last word, or of the last word before a preposition.
    pub fn plural(&self, name: &str) -> String {
        let words: Vec<String> = name.split(' ').map(str::to_owned).collect();
        let plurals = inflect::wording_plurals(&words);
        let of_the_head = plurals.iter().find(|plural| plural.last() == words.last());
        let plural = of_the_head.or(plurals.first());
        plural.map_or_else(|| name.to_owned(), |plural| plural.join(" "))
    }

    /// Returns what one of several is called: a name whose last word is a plural with that word's singular,
    /// any other as it is.
    pub fn singular(&self, name: &str) -> String {
        let (front, last) = name.rsplit_once(' ').unwrap_or(("", name));
        let singular = inflect::singular(last);
        match (front, singular) {
            (_, None) => name.to_owned(),
            ("", Some(singular)) => singular,
            (front, Some(singular)) => format!("{front} {singular}"),
        }
    }

    /// Returns the kind of a term.
    pub fn kind(&self, id: TermId) -> Kind {
        self.term(id).kind
    }

    /// Returns the data of a place.
    ///
    /// # Panics
    /// Where `id` is of another kind.
    pub fn place(&self, id: TermId) -> &Place {
        match &self.term(id).data {
            Data::Place(place) => place,
            _ => self.other_kind(id, Kind::Place),
        }
    }

    /// Returns the data of an element.
    ///
    /// # Panics
    /// Where `id` is of another kind.
    pub fn element(&self, id: TermId) -> &Element {
        match &self.term(id).data {
            Data::Element(element) => element,
            _ => self.other_kind(id, Kind::Element),
        }
    }

    /// Returns the data of a defect.
    ///
    /// # Panics
    /// Where `id` is of another kind.
    pub fn defect(&self, id: TermId) -> &Defect {
        match &self.term(id).data {
            Data::Defect(defect) => defect,
            _ => self.other_kind(id, Kind::Defect),
        }
    }

    /// Returns the data of a remedy.
    ///
    /// # Panics
    /// Where `id` is of another kind.
    pub fn remedy(&self, id: TermId) -> &Remedy {
        match &self.term(id).data {
            Data::Remedy(remedy) => remedy,
            _ => self.other_kind(id, Kind::Remedy),
        }
    }

    /// Returns the data of a trade.
    ///
    /// # Panics
    /// Where `id` is of another kind.
    pub fn trade(&self, id: TermId) -> &Trade {
        match &self.term(id).data {
            Data::Trade(trade) => trade,
            _ => self.other_kind(id, Kind::Trade),
        }
    }

    /// Returns the data of a phrase.
    ///
    /// # Panics
    /// Where `id` is of another kind.
    pub fn phrase(&self, id: TermId) -> &Phrase {
        match &self.term(id).data {
            Data::Phrase(phrase) => phrase,
            _ => self.other_kind(id, Kind::Phrase),
        }
    }

    /// Returns a group.
    pub fn group(&self, id: GroupId) -> &Group {
        &self.groups[id.0 as usize]
    }

    /// Returns all groups, in the order of the files.
    pub fn groups(&self) -> &[Group] {
        &self.groups
    }

    /// Returns the cautions, most urgent first.
    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }

    fn term(&self, id: TermId) -> &Term {
        &self.terms[id.0 as usize]
    }

    fn other_kind(&self, id: TermId, expected: Kind) -> ! {
        let term = self.term(id);
        panic!("{:?} is a {:?}, not a {expected:?}", term.name, term.kind)
    }
}
