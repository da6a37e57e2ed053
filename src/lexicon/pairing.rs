//! What goes with what: defects with elements, elements with places, remedies with defects.

use super::{Found, Lexicon, PlaceKind, RemedyTarget, TermId};

/// How likely a named pairing is: a defect on an element that its entry names, an element in a
/// place that its entry names. The four grades order rival readings; only their order matters
/// much. Chosen by judgement.
const NAMED: f32 = 1.0;
/// The same for a pairing by group or by kind of place.
const BY_GROUP: f32 = 0.9;
/// The same where the entry says that anything goes.
const ANYTHING: f32 = 0.6;
/// The same where the entry names others only.
const UNNAMED: f32 = 0.1;

impl Lexicon {
    /// Returns how well a defect goes with an element, from 0.1 (its entry names others only) to 1
    /// (its entry names this element).
    pub fn befalls(&self, defect: TermId, element: TermId) -> f32 {
        let data = self.defect(defect);
        if data.elements.contains(&element) || data.implies == Some(element) {
            NAMED
        } else if data.befalls.contains(&self.element(element).group) {
            BY_GROUP
        } else if data.befalls_any {
            ANYTHING
        } else {
            UNNAMED
        }
    }

    /// Returns how likely an element is in a place, from 0.1 (its entry names others only) to 1 (its
    /// entry names this place). The property as a whole may have anything.
    pub fn likely_in(&self, element: TermId, place: TermId) -> f32 {
        let (found, kind) = (&self.element(element).found, self.place(place).kind);
        if found.contains(&Found::Place(place)) {
            NAMED
        } else if found.contains(&Found::Kind(kind)) {
            BY_GROUP
        } else if found.is_empty() || kind == PlaceKind::Whole {
            ANYTHING
        } else {
            UNNAMED
        }
    }

    /// Returns what usually puts a defect right: on this element, on its group, or anywhere.
    pub fn usual_remedy(&self, defect: TermId, element: Option<TermId>) -> Option<TermId> {
        let data = self.defect(defect);
        let remedy_for = |target: RemedyTarget| {
            data.remedy_for
                .iter()
                .find(|(t, _)| *t == target)
                .map(|(_, remedy)| *remedy)
        };
        let for_element = element.and_then(|element| {
            let group = self.element(element).group;
            let on_element = remedy_for(RemedyTarget::Element(element));
            on_element.or_else(|| remedy_for(RemedyTarget::Group(group)))
        });
        // What never befalls such a thing is misheard or oddly said: its usual remedy would be absurd.
        let fits = element.is_none_or(|element| self.befalls(defect, element) > UNNAMED);
        for_element.or(data.remedy.filter(|_| fits))
    }
}
