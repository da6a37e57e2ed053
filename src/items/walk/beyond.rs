//! Figures said of a thing without any fault: beyond a published limit they make an item all the
//! same, within one they are told as such.

use super::{NO_FAULT_NAMED, REACH, Walk};
use crate::items::finish;
use crate::items::pair::Choice;
use crate::items::position;
use crate::items::scene::Scene;
use crate::lexicon::{How, Kind};
use crate::limits::{self, Beyond};
use crate::statements::piece::{Piece, PieceKind};

impl Walk<'_> {
    /// *Riser two twenty six*: makes an item where a chosen limit is exceeded. Returns why none was
    /// made where the figure is within one; `None` where an item was made or no limit is about it.
    pub(super) fn beyond_limit(&mut self, index: usize, scene: &Scene<'_>) -> Option<String> {
        let rest = scene.from..scene.sentence.tokens.end;
        let measures: Vec<usize> = scene.pieces(PieceKind::Measure);
        let asked = ["hypothetical", "question"]
            .iter()
            .any(|k| self.phrase(&rest, k).is_some());
        let &first = measures.first()?;
        if asked || self.place == usize::MAX {
            return None;
        }
        let at = self.reading.pieces[first].tokens.start;
        let choice = self.measured_thing(index, scene, at)?;
        let said = finish::quote(self.reading, self.transcript, &rest);
        // "Risers one ninety-two, goings two forty": the second is of the goings.
        let own = |m: &&usize| {
            let at = self.reading.pieces[**m].tokens.start;
            let thing = self.measured_thing(index, scene, at);
            thing.is_some_and(|thing| thing.element.tokens == choice.element.tokens)
        };
        let figures: Vec<_> = measures
            .iter()
            .filter(own)
            .map(|&m| self.reading.measurements[self.reading.pieces[m].value as usize].clone())
            .collect();
        let place = self.places.visited[self.place].name.clone();
        let yardstick = self.yardstick;
        let fine = self.phrase(&rest, "positive").is_some();
        match limits::beyond(&choice.element.text, &place, &said, &figures, yardstick) {
            Beyond::Outside { why, .. } if fine => {
                Some(format!("said to be in order, though {why}"))
            }
            Beyond::Outside { defect, why } => {
                let term = self.lexicon.find(Kind::Defect, &defect);
                let fault = Piece {
                    term,
                    ..Piece::own_words(
                        PieceKind::Defect,
                        self.reading.pieces[first].tokens.clone(),
                        defect,
                    )
                };
                let host = self.host(scene, &fault, &choice);
                self.make(index, scene, &fault, choice, host, &scene.clause(at));
                if let Some(draft) = self.drafts.last_mut() {
                    draft
                        .reasons
                        .push(format!("{NO_FAULT_NAMED}; the figure is {why}"));
                }
                None
            }
            Beyond::Within(why) => Some(why),
            Beyond::Unknown => None,
        }
    }

    /// The thing that a figure is said of: the nearest one named before it, else the nearest after
    /// it, else what was spoken of last.
    fn measured_thing(&self, index: usize, scene: &Scene<'_>, at: usize) -> Option<Choice> {
        let elements = scene.pieces(PieceKind::Element);
        let free = |i: &&usize| !scene.in_phrase(&scene.noun(**i));
        let before = |i: &&usize| self.reading.pieces[**i].tokens.end <= at;
        let named = elements
            .iter()
            .filter(free)
            .rfind(before)
            .or_else(|| elements.iter().find(|i| !before(i)));
        if let Some(&piece) = named {
            let noun = scene.noun(piece);
            return Some(Choice::named(&self.reading.pieces[piece], noun));
        }
        let (last, said) = self.last.as_ref()?;
        // A place in the sentence is about something else.
        let own = position::phrases(
            self.reading,
            &(scene.from..scene.sentence.tokens.end),
            &(0..0),
        );
        (elements.is_empty() && own.is_empty() && index - said <= REACH && last.how == How::Exact)
            .then(|| Choice::carried(last.clone()))
    }
}
