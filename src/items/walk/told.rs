//! Faults that nothing names and all the words together tell: *the drain cock's **facing the wall***,
//! *Glass shelf's **resting on three pegs and it was made for four***. Where a sentence makes no item, is
//! nothing else, and [`telling`](crate::statements::telling) finds it likely, the clause that speaks
//! most for it is the fault, in the speaker's own words. The other way round, a fault that is only named
//! (*that's how you find a **hollow** one*, *it looked **cracked** till I moved*) makes no item.

use super::Walk;
use super::implied::ORDERS;
use crate::items::draft::Named;
use crate::items::pair::Choice;
use crate::items::scene::Scene;
use crate::lexicon::Part;
use crate::statements::faults::HEARD_WELL;
use crate::statements::grammar::{Class, class, opener};
use crate::statements::noun::Noun;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::sentence::Clause;
use crate::statements::telling::{tells, weight};
use std::ops::Range;

/// Why such an item is there.
pub(crate) const GUESSED: &str = "no fault was named, but the words sound like one";

/// How likely a sentence must be to tell a fault. Of the sentences left over by the rules that are as likely,
/// three in four tell one (`models/telling.toml`), and an item too many is sooner struck out than a
/// missing one found.
const LIKELY: f64 = 0.5;

/// Of the sentences in which the rules find a fault and that are less likely than this to tell one, four in
/// five tell none (`models/telling.toml`). A fault that is dropped is worse than one that is struck out.
const UNLIKELY: f64 = 0.1;

/// The same of one whose fault is told plainly ([`Walk::plainly_told`]).
const HARDLY: f64 = 0.03;

/// Words of a figure that is allowed.
const BOUNDS: &[&str] = &[
    "limit",
    "allowed",
    "allowance",
    "tolerance",
    "maximum",
    "max",
    "minimum",
];

/// Words by which a clause supposes, tells of the past or of other things, or asks.
#[rustfmt::skip]
const UNSAYS: &[&str] = &[
    "if", "when", "unless", "till", "until", "how", "why", "what", "whether", "would", "was", "were", "had", "used",
    "thought", "looked", "looks", "supposed", "meant", "said", "says", "say", "told", "never", "somebody", "people",
    "they", "he", "she",
];

/// What the buyer is handed with the house.
const HANDED_OVER: &[&str] = &[
    "key",
    "keys",
    "fob",
    "fobs",
    "remote",
    "remotes",
    "manual",
    "manuals",
    "paperwork",
    "booklet",
    "booklets",
    "folder",
    "certificate",
    "certificates",
];

/// How work is praised.
const PRAISING: &[&str] = &[
    "well",
    "nicely",
    "neatly",
    "properly",
    "beautifully",
    "right",
    "lovely",
];

/// The most tokens kept of what is said of a thing.
const LONGEST_SAID: usize = 10;

impl Walk<'_> {
    /// Drops the items of a sentence that most likely tells no fault, though it names one. True if it did.
    pub(super) fn only_named(&mut self, index: usize, scene: &Scene<'_>, made_from: usize) -> bool {
        let rest = scene.from..scene.sentence.tokens.end;
        let least = match self.plainly_told(scene) {
            true => HARDLY,
            false => UNLIKELY,
        };
        let told = |from: usize| tells(self.reading, index, from) >= least;
        if self.lexicon.lacks(Part::Telling)
            || self.drafts.len() == made_from
            || self.phrase(&rest, "withdrawal").is_some()
            || told(scene.sentence.tokens.start)
            || scene.from > scene.sentence.tokens.start && told(scene.from)
            || self.plain(&rest)
            || self.draws_out(&rest)
            || self.measured(&rest)
            || self.makes_an_exception(&rest)
            || self.told_afterwards(scene.sentence).is_some()
        {
            return false;
        }
        self.drafts.truncate(made_from);
        self.unused
            .push((rest, "a fault is named, but hardly told of".into()));
        true
    }

    /// *These are scratched*: nothing is said but a fault and its thing.
    fn plain(&self, rest: &Range<usize>) -> bool {
        rest.clone().all(|at| {
            let covered = self.reading.piece_at(at).map(|piece| piece.kind);
            matches!(covered, Some(PieceKind::Element | PieceKind::Defect))
                || covered.is_none()
                    && (opener(self.word(at))
                        || matches!(self.word(at), "is" | "are" | "'s" | "has" | "have")
                        || matches!(
                            class(self.word(at)),
                            Class::Determiner | Class::Pronoun | Class::Adverb
                        ))
        })
    }

    /// *I'm not happy with the sill, **it's scratched***, *the sill, if you look closely, **is scratched***: a thing
    /// is named, one clause behind it says nothing but a listed fault of it, and no other supposes or tells of
    /// the past.
    fn plainly_told(&self, scene: &Scene<'_>) -> bool {
        let within = |c: &Clause| c.tokens.start.max(scene.from)..c.tokens.end;
        let clauses = scene.sentence.clauses.iter().map(within);
        let clauses: Vec<Range<usize>> = clauses.filter(|c| !c.is_empty()).collect();
        let plainly = |clause: &Range<usize>| {
            let word = clause
                .clone()
                .map(|at| self.word(at))
                .find(|word| !opener(word));
            let faults = self.kinds_in(clause, PieceKind::Defect);
            let listed = |&fault: &usize| {
                let term = self.reading.pieces[fault].term;
                term.is_some_and(|term| !self.lexicon.defect(term).weak)
            };
            matches!(word, Some("it" | "they" | "is" | "are" | "'s"))
                && !faults.is_empty()
                && faults.iter().all(listed)
                && self.plain(clause)
        };
        let Some(told) = clauses.iter().position(plainly) else {
            return false;
        };
        let (before, after) = (&clauses[..told], &clauses[told + 1..]);
        let named = |clause: &Range<usize>| !self.kinds_in(clause, PieceKind::Element).is_empty();
        let otherwise = |at: usize| {
            let looking = self.word(at) == "if"
                && matches!(self.word(at + 1), "you" | "i" | "we")
                && matches!(self.word(at + 2), "look" | "see" | "get");
            UNSAYS.contains(&self.word(at)) && !looking
        };
        before.iter().any(named) && !before.iter().chain(after).cloned().flatten().any(otherwise)
    }

    /// *Everything's fine **except** the basin, which is cracked*.
    fn makes_an_exception(&self, rest: &Range<usize>) -> bool {
        self.excepted(rest)
            || rest.clone().any(|at| {
                self.word(at) == "except" || self.word(at) == "apart" && self.word(at + 1) == "from"
            })
    }

    /// *A bow in the wall, **six mil over two metres***: a listed fault with its figure is told, not only named.
    fn measured(&self, rest: &Range<usize>) -> bool {
        let mut faults = self.kinds_in(rest, PieceKind::Defect).into_iter();
        let listed = faults.any(|fault| {
            let fault = &self.reading.pieces[fault];
            // "Run out of insulation": told by its shape.
            let strong = |term| !self.lexicon.defect(term).weak;
            fault.term.map_or(!fault.guessed, strong)
        });
        let supposed = ["positive", "hypothetical", "question"];
        listed
            && !self.kinds_in(rest, PieceKind::Measure).is_empty()
            && supposed
                .iter()
                .all(|kind| self.phrase(rest, kind).is_none())
    }

    /// *I thought it was the door, but **it's the carpet that**'s catching*.
    fn draws_out(&self, rest: &Range<usize>) -> bool {
        rest.clone().any(|at| {
            self.word(at) == "it"
                && matches!(self.word(at + 1), "'s" | "is")
                && self.word(at + 2) == "the"
                && (at + 4..rest.end.min(at + 7)).any(|at| self.word(at) == "that")
        })
    }

    /// Makes an item of a sentence that most likely tells a fault which no rule knows.
    pub(super) fn told(&mut self, index: usize, scene: &Scene<'_>) {
        let rest = scene.from..scene.sentence.tokens.end;
        let nowhere = self.place == usize::MAX || rest.is_empty() || scene.sentence.question;
        // "Forty-six degrees and forty-eight is the limit": the figures decide.
        let figures = !self.kinds_in(&rest, PieceKind::Measure).is_empty()
            && rest.clone().any(|at| BOUNDS.contains(&self.word(at)));
        let no_more = rest
            .clone()
            .any(|at| self.word(at) == "no" && self.word(at + 2) == "than");
        // "You can see every roller mark. **Whole wall, corner to corner, one more coat.**"
        let remedied = !self.kinds_in(&rest, PieceKind::Remedy).is_empty()
            && self.drafts.last().is_some_and(|last| {
                last.sentence + 1 == index && last.place == self.place && last.withdrawn.is_none()
            });
        // What was hardly heard sounds like a fault as soon as like anything else.
        let doubted = rest
            .clone()
            .any(|at| self.reading.tokens[at].probability < HEARD_WELL);
        let in_order = |c: &Clause| self.well_done(&c.tokens) || self.handed_over(&c.tokens);
        let decided = figures
            || doubted
            || remedied
            || self.answered(index, &rest)
            || self.left_there(&rest)
            || no_more
            || self.reading.excused[index]
            || !self.kinds_in(&rest, PieceKind::Defect).is_empty()
            || ["withdrawal", "recap", "running-total"]
                .iter()
                .any(|kind| self.phrase(&rest, kind).is_some());
        if self.lexicon.lacks(Part::Telling)
            || nowhere
            || decided
            || tells(self.reading, index, scene.sentence.tokens.start) < LIKELY
            || scene.sentence.clauses.iter().any(in_order)
        {
            return;
        }
        let clauses = scene
            .sentence
            .clauses
            .iter()
            .map(|c| c.tokens.start.max(scene.from)..c.tokens.end);
        let clauses: Vec<Range<usize>> = clauses.filter(|c| !c.is_empty()).collect();
        let told = clauses
            .iter()
            .filter(|c| !self.tells_none(c))
            .filter_map(|clause| {
                let (choice, said) = self.thing_and_fault(scene, &clauses, clause)?;
                let own = choice
                    .here
                    .as_ref()
                    .is_some_and(|here| clause.contains(&here.start));
                Some(((own, weight(self.reading, clause)), clause, choice, said))
            });
        let Some((_, clause, choice, said)) =
            told.max_by(|(a, ..), (b, ..)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))
        else {
            return;
        };
        let text = self.text(&said);
        let fault = Piece::own_words(PieceKind::Defect, said, text);
        self.make(index, scene, &fault, choice, None, clause);
        if let Some(draft) = self.drafts.last_mut() {
            draft.reasons.push(GUESSED.into());
        }
    }

    /// *The door **should** shut on its own. **It does.***: the next sentence tells whether it is a fault.
    fn answered(&self, index: usize, rest: &Range<usize>) -> bool {
        let next = self.reading.sentences.get(index + 1);
        let duty = rest
            .clone()
            .any(|at| matches!(self.word(at), "should" | "ought" | "supposed"));
        duty && next.is_some_and(|next| {
            let said = next.tokens.clone().map(|at| self.word(at));
            let said: Vec<&str> = said.skip_while(|word| opener(word)).collect();
            matches!(
                said[..],
                [
                    "it" | "they" | "this" | "that",
                    "does" | "do" | "is" | "are" | "has" | "have"
                ]
            )
        })
    }

    /// *They've **left the key** in the kitchen*: what somebody is to find.
    fn left_there(&self, rest: &Range<usize>) -> bool {
        rest.clone().any(|at| {
            self.word(at) == "left"
                && class(self.word(at + 1)) == Class::Determiner
                && (HANDED_OVER.contains(&self.word(at + 2))
                    || matches!(self.word(at + 2), "ladder" | "tools" | "list" | "note"))
        })
    }

    /// Returns what a clause speaks of and what it says of it.
    fn thing_and_fault(
        &self,
        scene: &Scene<'_>,
        clauses: &[Range<usize>],
        clause: &Range<usize>,
    ) -> Option<(Choice, Range<usize>)> {
        // "Lean on this railing and it goes with you": what comes of it tells.
        let last = clauses.last().is_some_and(|last| last == clause);
        if !last && self.tries(clause) {
            return None;
        }
        // "Double socket **by the door**, …": where it is.
        if !last && self.names_a_spot(scene, clause) {
            return None;
        }
        let own = self.things(scene, clause);
        if let Some((choice, verb)) = self.subject(scene, clause)
            && let Some(said) = self.said(verb..clause.end)
        {
            return Some((choice, said));
        }
        let free = own.iter().find(|(_, noun)| !scene.in_phrase(noun));
        if let Some((piece, noun)) = free.cloned()
            && let Some(said) = self.said(noun.tokens.end..clause.end)
        {
            return Some((self.named(piece, noun), said));
        }
        // "Prop marks in the ceiling", "There's a stray hole in the siding".
        if let Some((piece, noun)) = own.iter().find(|(_, noun)| scene.in_phrase(noun)).cloned() {
            let preposition = scene
                .phrase_start(&noun)
                .saturating_sub(1)
                .max(clause.start);
            if let Some(said) = self.said(clause.start..preposition) {
                return Some((self.named(piece, noun), said));
            }
        }
        // Of what a clause before names: "The tap, …, they've chewed it to bits", "Roll a marble down this
        // **drive** and it ends up at the garage door".
        let said = self.said(clause.clone())?;
        let before = clauses.iter().rev().skip_while(|c| c.end > clause.start);
        for earlier in before {
            let things = self.things(scene, earlier);
            let tried = self.tries(earlier);
            let thing = things
                .into_iter()
                .rfind(|(_, noun)| tried || !scene.in_phrase(noun));
            if let Some((piece, noun)) = thing {
                return Some((self.named(piece, noun), said));
            }
        }
        let refers = |at: usize| matches!(self.word(at), "it" | "one" | "ones" | "its");
        let last = scene.last.filter(|_| clause.clone().any(refers))?;
        Some((Choice::carried(last.clone()), said))
    }

    fn named(&self, piece: usize, noun: Noun) -> Choice {
        Choice::named(&self.reading.pieces[piece], noun)
    }

    /// Returns the listed things that a stretch names.
    fn things(&self, scene: &Scene<'_>, range: &Range<usize>) -> Vec<(usize, Noun)> {
        let within = |noun: &Noun| range.start <= noun.tokens.start && noun.tokens.end <= range.end;
        scene.things().filter(|(_, noun)| within(noun)).collect()
    }

    /// ***Fire stop** round this duct's an old rag*: the noun that opens the clause, with where it is behind it,
    /// and then a verb. Returns it and where the verb stands.
    fn subject(&self, scene: &Scene<'_>, clause: &Range<usize>) -> Option<(Choice, usize)> {
        let is = |at: usize, classes: &[Class]| {
            at < clause.end && classes.contains(&class(self.word(at)))
        };
        let skip = |mut at: usize, classes: &[Class]| {
            while is(at, classes) {
                at += 1;
            }
            at
        };
        let thing_at = |at: usize| {
            self.reading
                .piece_at(at)
                .filter(|piece| matches!(piece.kind, PieceKind::Element | PieceKind::Place))
        };
        // A run of nouns ends with a listed thing.
        let run = |mut at: usize| {
            while at < clause.end {
                match thing_at(at) {
                    Some(piece) if piece.kind == PieceKind::Element => {
                        at = piece.tokens.end;
                        // "Glass shelf's …", of a thing that the lexicon has only half, too.
                        let half = is(at, &[Class::Open]) && is(at + 1, &[Class::Verb]);
                        if thing_at(at).is_none() {
                            return at + usize::from(half);
                        }
                    }
                    Some(piece) => at = piece.tokens.end,
                    None if is(at, &[Class::Open]) => at += 1,
                    None => break,
                }
            }
            at
        };
        let before_noun = [
            Class::Determiner,
            Class::Number,
            Class::Position,
            Class::Adverb,
        ];
        let opens = clause.clone().find(|&at| !opener(self.word(at)))?;
        let start = skip(opens, &before_noun);
        let end = run(start);
        let mut at = end;
        while is(at, &[Class::Preposition]) {
            let next = run(skip(
                at,
                &[
                    Class::Preposition,
                    Class::Determiner,
                    Class::Number,
                    Class::Position,
                ],
            ));
            if next == at + 1 {
                break;
            }
            at = next;
        }
        while matches!(self.word(at), "there" | "here") {
            at += 1;
        }
        if start == end || !is(at, &[Class::Verb]) {
            return None;
        }
        let listed = self.things(scene, &(start..end)).into_iter().next_back();
        if let Some((piece, noun)) = listed.filter(|(_, noun)| noun.tokens.end == end) {
            return Some((self.named(piece, noun), at));
        }
        let words: Vec<&str> = (start..end).map(|at| self.word(at)).collect();
        let own = Piece::own_words(PieceKind::Element, start..end, words.join(" "));
        Some((Choice::alone(Named::of(&own), start..end), at))
    }

    /// ***I'm** parked in front of it*, ***that'll** drive you mad*, ***put** a ramped strip in*: a clause of the speaker, of what
    /// may come of it, or of the work.
    fn tells_none(&self, clause: &Range<usize>) -> bool {
        let first = clause.clone().find(|&at| !opener(self.word(at)));
        let first = first.unwrap_or(clause.start);
        let speaker = matches!(self.word(first), "i" | "we")
            && matches!(
                self.word(first + 1),
                "'m" | "am" | "'re" | "are" | "was" | "were"
            );
        let object = matches!(
            class(self.word(first + 1)),
            Class::Determiner | Class::Pronoun
        );
        let order = ORDERS.contains(&self.word(first)) && object;
        speaker || order || self.consequence(clause)
    }

    /// *Carpet's been **fitted well***: work that is praised.
    fn well_done(&self, clause: &Range<usize>) -> bool {
        let last = self.word(clause.end - 1);
        let negated = clause
            .clone()
            .any(|at| class(self.word(at)) == Class::Negation);
        clause.len() > 2
            && PRAISING.contains(&last)
            && self.word(clause.end - 2).ends_with("ed")
            && !negated
    }

    /// *The **keys** for the window **are in** the drawer*: where what is handed over lies.
    fn handed_over(&self, clause: &Range<usize>) -> bool {
        let lies = clause.clone().find(|&at| {
            matches!(self.word(at), "is" | "are" | "'s")
                && matches!(self.word(at + 1), "in" | "on" | "under")
        });
        let things = clause.start..lies.unwrap_or(clause.start);
        things
            .into_iter()
            .any(|at| HANDED_OVER.contains(&self.word(at)))
    }

    /// True for a clause that names a thing and where it is: *double socket by the door*.
    fn names_a_spot(&self, scene: &Scene<'_>, clause: &Range<usize>) -> bool {
        let first = self.things(scene, clause).into_iter().next();
        first.is_some_and(|(_, noun)| {
            let behind = noun.tokens.end..clause.end;
            let verb = behind.clone().any(|at| class(self.word(at)) == Class::Verb);
            let leads = class(self.word(behind.start)) == Class::Preposition;
            !behind.is_empty() && leads && !verb
        })
    }

    /// *Lean on this railing*, *set a ball down by it*: a clause without a subject, in which something is tried.
    fn tries(&self, clause: &Range<usize>) -> bool {
        let Some(first) = clause.clone().find(|&at| !opener(self.word(at))) else {
            return false;
        };
        let verb = matches!(class(self.word(first)), Class::Open | Class::Verb);
        let thing = self
            .reading
            .piece_at(first)
            .is_some_and(|piece| piece.kind == PieceKind::Element);
        let object = matches!(
            class(self.word(first + 1)),
            Class::Determiner
                | Class::Preposition
                | Class::Pronoun
                | Class::Position
                | Class::Number
        );
        verb && !thing && object || matches!(self.word(first), "you" | "i" | "we" | "if" | "when")
    }

    /// Returns what a stretch says, without the words that only lead to it.
    fn said(&self, range: Range<usize>) -> Option<Range<usize>> {
        let leads = |word: &str| {
            opener(word)
                || LINKS.contains(&word)
                || matches!(
                    class(word),
                    Class::Adverb
                        | Class::Filler
                        | Class::Determiner
                        | Class::Pronoun
                        | Class::Conjunction
                )
        };
        let start = range.clone().find(|&at| !leads(self.word(at)))?;
        // "The fence post nearest the garage": where it is.
        if self.word(start) == "nearest" {
            return None;
        }
        let said = start..range.end.min(start + LONGEST_SAID);
        let tells = said.clone().any(|at| class(self.word(at)) == Class::Open);
        tells.then_some(said)
    }
}

/// Verbs that only link a thing to what it is.
#[rustfmt::skip]
const LINKS: &[&str] = &[
    "is", "are", "was", "were", "be", "been", "being", "am", "'s", "'re", "'m", "has", "have", "had", "having", "'ve", "'d",
    "'ll", "got", "gets", "do", "does", "will", "would", "can", "could", "should", "may", "might", "must",
];
