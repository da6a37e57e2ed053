//! A prompt for the place where the speaker is, with things of the trade that are there.

use callover::items::{Visit, VisitedPlace, propose};
use callover::lexicon::{Found, Kind, Lexicon, TermId};
use callover::speech::{Expected, Prompt, Transcript, Word};

/// Things named: with them the remark is about as long as the usual one. Own choice.
const THINGS: usize = 14;

/// Returns the prompt for the words that follow `before`; the usual one where no place was named.
/// Things that are not `expected` are left out (American names in Britain).
pub(crate) fn prompt(lexicon: &Lexicon, expected: &Expected, before: &[Word]) -> Prompt {
    let so_far = Transcript {
        recordings: Vec::new(),
        words: before.to_vec(),
    };
    let places = propose(lexicon, &so_far).places;
    let left = |visits: &[Visit]| visits.last().and_then(|visit| visit.span).map(|s| s.end);
    let last = places.iter().max_by_key(|place| left(&place.visits));
    let known = last.and_then(|visited| Some((visited, listed(lexicon, visited)?)));
    let Some((visited, place)) = known else {
        return Prompt::default();
    };
    let kind = lexicon.place(place).kind;
    let there = |id: &TermId| {
        let element = lexicon.element(*id);
        let at = |found: &Found| *found == Found::Place(place) || *found == Found::Kind(kind);
        let mut words = element.name.split([' ', '-']);
        element.found.iter().any(at)
            && expected.wordings.contains_key(&element.name)
            && !words.all(|word| lexicon.everyday(word))
    };
    let mut there: Vec<TermId> = lexicon.ids(Kind::Element).filter(there).collect();
    // What is in few places tells most of this one.
    there.sort_by_key(|id| lexicon.element(*id).found.len());
    let names = there.iter().take(THINGS).map(|id| lexicon.name(*id));
    let names = names.collect::<Vec<_>>().join(", ");
    let place = &visited.name;
    Prompt::Own(format!(
        "Right, {place} now. I'll check the {names}, and measure in millimetres and metres."
    ))
}

/// Returns the lexicon's entry of a place, whatever its number.
fn listed(lexicon: &Lexicon, visited: &VisitedPlace) -> Option<TermId> {
    lexicon.ids(Kind::Place).find(|id| {
        let rest = visited.name.strip_prefix(lexicon.name(*id));
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    })
}
