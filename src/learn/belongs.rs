//! Where something belongs that the lexicon does not know yet.

use super::corner::Corner;
use super::name::Name;
use crate::lexicon::Kind;

impl Corner<'_> {
    /// Returns the group that a new element belongs to, or that a new defect befalls: the one of the
    /// name's last word where that is known, else what the item's other fact or its trade tells.
    pub(super) fn belongs(&self, kind: Kind) -> Option<String> {
        let lexicon = self.lexicon();
        let group = |group| lexicon.group(group).name.clone();
        let element = match kind {
            Kind::Element => {
                let words: Vec<&str> = self.item.element.split(' ').collect();
                let head = words
                    .last()
                    .map(|word| Name::of(lexicon, Kind::Element, word));
                let of_head = head.and_then(|head| head.term());
                let defect = self
                    .chosen
                    .defect
                    .term()
                    .map(|defect| lexicon.defect(defect));
                // A defect that befalls one group only tells the group; most befall many.
                if let (None, Some([only])) = (of_head, defect.map(|d| &d.befalls[..])) {
                    return Some(group(*only));
                }
                of_head.or(defect.and_then(|d| d.implies))
            }
            _ => self.chosen.element.term(),
        };
        match (element, kind) {
            (Some(element), _) => Some(group(lexicon.element(element).group)),
            (None, Kind::Element) => self.group_of_trade(),
            (None, _) => Some("any".to_owned()),
        }
    }

    /// Returns the first group that the item's trade usually deals with.
    fn group_of_trade(&self) -> Option<String> {
        let trade = self.item.trade.as_deref()?;
        let trade = self.lexicon().find(Kind::Trade, trade)?;
        let mut groups = self.lexicon().groups().iter();
        groups
            .find(|group| group.trade == trade)
            .map(|group| group.name.clone())
    }
}
