//! A later walk, sentence after sentence: which items each is about, and what it says of them.

use super::known::Known;
use super::refer::{How, Ref, Scene, UNSURE, push_once};
use super::verdict::{Sign, Signal, signals};
use super::words::{Said, Says, Vocabulary};
use crate::lexicon::Lexicon;
use crate::speech::Word;
use crate::statements::grammar::opener;
use crate::statements::piece::{Piece, PieceKind};
use crate::statements::place;
use crate::statements::reading::Reading;
use crate::statements::sentence::{Join, Sentence};
use std::ops::Range;

/// Sureness that what is left out of *all done bar the worktop* is the contrary.
const BY_EXCEPTION: f64 = 0.7;
/// Sureness of an item meant by *that* or *it*.
const BY_PRONOUN: f64 = 0.85;
/// Sureness of an item that nothing but its place points to.
const BY_PLACE_ALONE: f64 = 0.6;
/// What a number is worth whose words fit another item.
const CONTRADICTED: f64 = 0.4;

/// What was said of some items together.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// Indexes among the known items.
    pub(super) items: Vec<usize>,
    /// The tokens that say it.
    pub(super) tokens: Range<usize>,
    /// Where the naming of the items ends and what is said of them begins.
    pub(super) told_from: usize,
    pub(super) signals: Vec<Signal>,
    pub(super) sure: f64,
    pub(super) reasons: Vec<String>,
    /// Index of the sentence that said it last.
    pub(super) sentence: usize,
    /// The items were named by description alone.
    pub(super) described: bool,
    /// Words of work done were denied: *none of them are done*.
    pub(super) denied: bool,
    /// Taken back by the speaker.
    pub(super) withdrawn: bool,
}

/// What a later walk leaves behind.
#[derive(Debug, Default)]
pub(super) struct Walked {
    pub(super) groups: Vec<Group>,
    /// What made no finding although it might have, and why.
    pub(super) notes: Vec<(Range<usize>, String)>,
}

/// Walks through all sentences.
pub(super) fn hear(
    lexicon: &Lexicon,
    reading: &Reading,
    words: &[Word],
    known: &[Known],
) -> Walked {
    let mut walk = Walk {
        lexicon,
        reading,
        words,
        known,
        vocabulary: Vocabulary::new(lexicon),
        place: None,
        place_new: false,
        pending: None,
        spoken: Vec::new(),
        said: Vec::new(),
        out: Walked::default(),
    };
    for (index, sentence) in reading.sentences.iter().enumerate() {
        walk.sentence(index, sentence);
    }
    walk.part_what_is_new();
    walk.out
}

struct Walk<'a> {
    lexicon: &'a Lexicon,
    reading: &'a Reading,
    words: &'a [Word],
    known: &'a [Known<'a>],
    vocabulary: Vocabulary,
    /// Identity of the place where the walk is.
    place: Option<String>,
    /// True while nothing was said of an item there.
    place_new: bool,
    /// Items named without a word about them yet.
    pending: Option<Ref>,
    /// Items spoken of so far.
    spoken: Vec<usize>,
    /// The wordings of the sentence in hand.
    said: Vec<Said>,
    out: Walked,
}

/// What a sentence is made of, in order.
#[derive(Debug, Clone)]
enum Mark {
    Refer(Ref),
    Sign(Signal),
    Except(usize),
    Correct(usize),
}

impl Mark {
    fn start(&self) -> usize {
        match self {
            Mark::Refer(refer) => refer.tokens.start,
            Mark::Sign(signal) => signal.tokens.start,
            Mark::Except(at) | Mark::Correct(at) => *at,
        }
    }
}

/// The sentence in hand while its marks are put together.
#[derive(Default)]
struct Hand {
    /// Items named and waiting for a word about them.
    run: Vec<Ref>,
    /// Signs said before any item.
    leading: Vec<Signal>,
    /// The group that takes further signs.
    open: Option<usize>,
    /// The open group has only leading signs, which its own ones replace.
    borrowed: bool,
    /// A group that is being corrected.
    fix: Option<usize>,
    /// The group or run that items are left out of, and the items.
    excepting: bool,
    excepted: Vec<Ref>,
    /// First token that belongs to no group: the rest is new.
    cut: Option<usize>,
}

impl Walk<'_> {
    fn scene(&self) -> Scene<'_> {
        Scene {
            lexicon: self.lexicon,
            reading: self.reading,
            words: self.words,
            known: self.known,
            place: self.place.as_deref(),
            spoken: &self.spoken,
            said: &self.said,
        }
    }

    fn sentence(&mut self, index: usize, sentence: &Sentence) {
        let from = self.follow_place(sentence);
        let range = from..sentence.tokens.end;
        let said = self.unmasked(&sentence.tokens);
        self.said.clone_from(&said);
        if said.iter().any(|one| one.says == Says::Withdrawal) {
            self.withdraw(index, &sentence.tokens);
            return;
        }
        let clauses: Vec<Range<usize>> = sentence
            .clauses
            .iter()
            .map(|clause| clause.tokens.start.max(from)..clause.tokens.end)
            .filter(|clause| !clause.is_empty())
            .flat_map(|clause| self.parts(clause))
            .collect();
        let inside = self.reading.within(&range);
        let pieces: Vec<Piece> = self.reading.pieces[inside].to_vec();
        let signs = signals(&self.reading.tokens, &said, &pieces, &clauses);
        let refs = self.references(&range, &said, &clauses);
        if sentence.question {
            // "Twelve?" asks for the answer that follows; "Is twelve done?" tells nothing.
            if signs.is_empty()
                && let [one] = &refs[..]
            {
                self.pending = Some(one.clone());
            }
            return;
        }
        let mut marks: Vec<Mark> = refs.into_iter().map(Mark::Refer).collect();
        marks.extend(signs.into_iter().map(Mark::Sign));
        for one in &said {
            match one.says {
                Says::Except => marks.push(Mark::Except(one.tokens.start)),
                Says::Correction => marks.push(Mark::Correct(one.tokens.start)),
                _ => {}
            }
        }
        let rank = |mark: &Mark| match mark {
            Mark::Except(_) | Mark::Correct(_) => 0,
            Mark::Refer(_) => 1,
            Mark::Sign(_) => 2,
        };
        marks.sort_by_key(|mark| (mark.start(), rank(mark)));
        self.put_together(index, sentence, &range, &marks);
    }

    /// A thing of the list with another fault than the list has, and nothing else said of it, is
    /// something new.
    fn part_what_is_new(&mut self) {
        let scene = self.scene();
        let is_new = |group: &Group| {
            let only_faults = group
                .signals
                .iter()
                .all(|signal| signal.sign == Sign::Fault);
            let said = scene.described(&group.tokens);
            let own = |index: &usize| self.known[*index].defect_fit(&said) > 0.0;
            group.described && only_faults && !group.items.iter().any(own)
        };
        let new: Vec<bool> = self.out.groups.iter().map(is_new).collect();
        let mut new = new.into_iter();
        self.out.groups.retain(|_| !new.next().unwrap_or_default());
    }

    /// Moves to the place that the sentence names; returns where the sentence goes on.
    fn follow_place(&mut self, sentence: &Sentence) -> usize {
        let mut from = sentence.tokens.start;
        for change in place::changes(self.lexicon, self.reading, sentence, true) {
            let ones = self.word(change.tokens.end);
            if matches!(ones, "ones" | "items" | "lot") {
                continue;
            }
            if change.outright {
                from = change.tokens.end;
            }
            if self.place.as_ref() != Some(&change.identity) {
                self.pending = None;
            }
            self.place = Some(change.identity);
            self.place_new = true;
        }
        from
    }

    /// Returns the sentence's wordings but those that are chat.
    fn unmasked(&self, sentence: &Range<usize>) -> Vec<Said> {
        let mut said = self.vocabulary.find(&self.reading.tokens, sentence.clone());
        said.retain(|one| one.says != Says::Chat);
        said
    }

    fn names_element(&self, range: &Range<usize>) -> bool {
        let elements = &self.reading.elements;
        elements
            .iter()
            .any(|piece| piece.tokens.start >= range.start && piece.tokens.end <= range.end)
    }

    /// Divides a clause at *and* where a thing is named on both sides: *the tap's fixed and the plinth
    /// is missing*, *the tread and the spindle*.
    fn parts(&self, clause: Range<usize>) -> Vec<Range<usize>> {
        let mut parts = vec![clause.clone()];
        for at in clause.clone() {
            let open = parts.last().map_or(clause.start, |part| part.start);
            let between = (open..at).any(|at| self.word(at) == "between");
            if self.word(at) == "and"
                && !between
                && self.names_element(&(open..at))
                && self.names_element(&(at + 1..clause.end))
            {
                parts.pop();
                parts.extend([open..at, at + 1..clause.end]);
            }
        }
        parts
    }

    fn word(&self, at: usize) -> &str {
        self.reading
            .tokens
            .get(at)
            .map_or("", |token| token.norm.as_str())
    }

    /// Returns the references of a sentence, in order.
    fn references(
        &self,
        range: &Range<usize>,
        said: &[Said],
        clauses: &[Range<usize>],
    ) -> Vec<Ref> {
        let scene = self.scene();
        let mut refs: Vec<Ref> = Vec::new();
        let mut at = range.start;
        while at < range.end {
            let after_ref = refs.last().is_some_and(|one| one.tokens.end == at);
            let governed = said.iter().any(|one| {
                one.says == Says::Condition
                    && one.tokens.end <= at
                    && same_clause(clauses, one.tokens.start, at)
            });
            let found = match governed {
                true => None,
                false => scene
                    .numbered(at, range.start, said)
                    .or_else(|| (!after_ref).then(|| scene.scope(at, range, said)).flatten())
                    .or_else(|| {
                        refs.is_empty()
                            .then(|| self.pronoun(at, range, clauses))
                            .flatten()
                    }),
            };
            match found {
                Some(found) => {
                    at = found.tokens.end.max(at + 1);
                    refs.push(found);
                }
                None => at += 1,
            }
        }
        for clause in clauses {
            // What stands after *all the kitchen ones*: the place is no thing of its own.
            let scopes = refs.iter().filter(|one| one.how == How::Scope);
            let after = scopes
                .map(|one| one.tokens.end)
                .filter(|end| clause.contains(end));
            let clause = &(after.max().unwrap_or(clause.start)..clause.end);
            let Some(start) = scene.first_named(clause) else {
                continue;
            };
            let described = scene.describe(clause, None);
            // A fault that is on no list is something new, or what is wrong with what was named.
            if described.is_none() && !self.names_element(clause) {
                continue;
            }
            let found = described.unwrap_or(Ref {
                tokens: start..start + 1,
                items: Vec::new(),
                how: How::Described,
                sure: 0.0,
                reasons: Vec::new(),
                unknown: Vec::new(),
                denied: false,
            });
            refs.push(found);
        }
        refs.sort_by_key(|one| one.tokens.start);
        refs
    }

    /// *that*, *it*, *they* at the start of a clause: what was named last.
    fn pronoun(&self, at: usize, range: &Range<usize>, clauses: &[Range<usize>]) -> Option<Ref> {
        let clause = clauses.iter().find(|clause| clause.contains(&at))?;
        let opens = (clause.start.max(range.start)..at).all(|at| opener(self.word(at)));
        let next = self.word(at + 1);
        let verb = matches!(
            next,
            "is" | "'s" | "has" | "have" | "are" | "was" | "were" | "had" | "would" | "will"
        );
        let (plural, length) = match (self.word(at), next) {
            ("that" | "this", "one") => (false, 2),
            ("those" | "these", "ones") => (true, 2),
            ("that" | "it" | "this", _) if verb => (false, 1),
            ("those" | "these" | "they" | "both", _) if verb || self.word(at) == "both" => {
                (true, 1)
            }
            _ => return None,
        };
        if !opens {
            return None;
        }
        let one = |items: &[usize]| match (plural, items) {
            (true, _) => items.to_vec(),
            (false, [.., last]) => vec![*last],
            _ => Vec::new(),
        };
        let items = match &self.pending {
            Some(pending) => pending.items.clone(),
            None if self.place_new && self.place.is_some() => return None,
            None => one(&self
                .out
                .groups
                .iter()
                .rfind(|group| !group.withdrawn)?
                .items),
        };
        // "They've fixed the newel post": the builders, not the items.
        let names = self.scene().first_named(clause).is_some();
        (!items.is_empty() && !(names && self.word(at) == "they")).then(|| Ref {
            tokens: at..at + length,
            items,
            how: How::Pronoun,
            sure: BY_PRONOUN,
            reasons: Vec::new(),
            unknown: Vec::new(),
            denied: false,
        })
    }

    fn put_together(
        &mut self,
        index: usize,
        sentence: &Sentence,
        range: &Range<usize>,
        marks: &[Mark],
    ) {
        let mut hand = Hand::default();
        let first_new = self.out.groups.len();
        for (place, mark) in marks.iter().enumerate() {
            match mark {
                Mark::Except(_) => hand.excepting = true,
                Mark::Correct(at) => {
                    if hand.run.is_empty() {
                        hand.fix = self.out.groups.len().checked_sub(1).filter(|&last| {
                            let group = &self.out.groups[last];
                            !group.withdrawn && index - group.sentence <= 1
                        });
                        self.close(&mut hand, *at);
                    } else {
                        hand.run.clear();
                    }
                }
                Mark::Refer(refer) => self.refer(index, sentence, &mut hand, refer.clone()),
                Mark::Sign(signal) => {
                    let next = marks.get(place + 1).map(Mark::start);
                    self.sign(index, range, &mut hand, signal.clone(), next);
                }
            }
        }
        self.finish(index, sentence, range, hand, first_new);
    }

    fn refer(&mut self, index: usize, sentence: &Sentence, hand: &mut Hand, refer: Ref) {
        for number in &refer.unknown {
            let why = format!("there is no item {number} on the confirmed list");
            self.out.notes.push((refer.tokens.clone(), why));
        }
        if hand.cut.is_some() {
            if refer.how == How::Described && refer.items.is_empty() {
                return;
            }
            hand.cut = None;
        }
        if hand.excepting {
            hand.excepted.push(refer);
            return;
        }
        if refer.how == How::Described && self.belongs(sentence, hand, &refer) {
            return;
        }
        self.close(hand, refer.tokens.start);
        if refer.items.is_empty() && refer.how != How::Described {
            return;
        }
        if !hand.leading.is_empty() && hand.run.is_empty() {
            let signals = std::mem::take(&mut hand.leading);
            self.group(index, hand, vec![refer], signals);
            hand.borrowed = true;
        } else {
            hand.run.push(refer);
        }
    }

    /// True where a description adds to what was named before it instead of naming another item.
    fn belongs(&mut self, sentence: &Sentence, hand: &mut Hand, refer: &Ref) -> bool {
        if let Some(last) = hand.run.last_mut() {
            match last.how {
                How::Number | How::Pronoun => {
                    if last.how == How::Number && !refer.items.is_empty() {
                        check(self.known, last, refer);
                    }
                    return true;
                }
                How::Scope => return true,
                How::Described if refer.items == last.items => return true,
                How::Described => return false,
            }
        }
        let Some(open) = hand.open else {
            return false;
        };
        let group = &self.out.groups[open];
        if refer.items.iter().any(|index| group.items.contains(index)) {
            return true;
        }
        let at = refer.tokens.start;
        let clause = sentence
            .clauses
            .iter()
            .find(|clause| clause.tokens.contains(&at));
        let range = clause.map_or(at..at + 1, |clause| clause.tokens.clone());
        let fault = self
            .reading
            .within(&range)
            .map(|i| &self.reading.pieces[i])
            .any(|piece| piece.kind == PieceKind::Defect && !piece.negated);
        let own_thing = self
            .reading
            .elements
            .iter()
            .any(|piece| range.contains(&piece.tokens.start));
        let fits =
            |index: &usize| self.known[*index].element_fit(&self.scene().described(&range)) >= 0.5;
        if !own_thing || group.items.iter().any(fits) && refer.items.is_empty() {
            return true;
        }
        // Within one clause a second thing is where or how: "done, but not behind the radiator".
        let unresolved = refer.items.is_empty() || refer.sure <= UNSURE;
        if unresolved {
            if fault {
                // "…done, but they've scratched the worktop": something new.
                self.close(hand, range.start);
                hand.cut = Some(range.start);
                return true;
            }
            return clause.is_some_and(|clause| clause.join != Join::Start);
        }
        false
    }

    fn sign(
        &mut self,
        index: usize,
        range: &Range<usize>,
        hand: &mut Hand,
        signal: Signal,
        next: Option<usize>,
    ) {
        if hand.cut.is_some_and(|cut| cut <= signal.tokens.start) {
            return;
        }
        let reply = matches!(signal.sign, Sign::Yes | Sign::No);
        if reply {
            let scene = self.scene();
            let ends = scene.halts(signal.tokens.end - 1)
                || next == Some(signal.tokens.end)
                || matches!(self.word(signal.tokens.end), "and" | "but");
            let answers = hand
                .run
                .last()
                .is_some_and(|last| last.tokens.end == signal.tokens.start)
                || range.start == signal.tokens.start
                    && range.end == signal.tokens.end
                    && self.pending.is_some();
            if !(ends && answers) {
                return;
            }
        }
        if !hand.run.is_empty()
            && !(hand.excepting && !hand.excepted.is_empty() && hand.open.is_some())
        {
            let run = std::mem::take(&mut hand.run);
            hand.excepting = false;
            self.group(index, hand, run, vec![signal]);
        } else if let Some(open) = hand.open {
            let group = &mut self.out.groups[open];
            let weak = matches!(signal.sign, Sign::Fault | Sign::LikelyOutstanding);
            if !weak && std::mem::take(&mut hand.borrowed) {
                group.signals.retain(|signal| signal.sign == Sign::Claim);
            }
            group.signals.push(signal);
        } else if let Some(fix) = hand.fix.take() {
            let group = &mut self.out.groups[fix];
            group.signals = vec![signal];
            group.tokens.end = range.end;
            hand.open = Some(fix);
        } else {
            hand.leading.push(signal);
        }
    }

    /// Ends the open group before token `at`.
    fn close(&mut self, hand: &mut Hand, at: usize) {
        hand.borrowed = false;
        if let Some(open) = hand.open.take() {
            let group = &mut self.out.groups[open];
            group.tokens.end = at.max(group.tokens.start + 1).min(group.tokens.end.max(at));
        }
    }

    fn group(&mut self, index: usize, hand: &mut Hand, run: Vec<Ref>, signals: Vec<Signal>) {
        let Some(first) = run.first() else { return };
        if let Some(fix) = hand.fix.take() {
            self.out.groups[fix].withdrawn = true;
            self.note_taken_back(fix);
        }
        let last = run.last().map_or(first.tokens.end, |last| last.tokens.end);
        let start = run.iter().map(|one| one.tokens.start).min().unwrap_or(last);
        let mut signals = signals;
        let mut denied = false;
        if run.iter().any(|one| one.denied) {
            for signal in &mut signals {
                if matches!(signal.sign, Sign::Right | Sign::LikelyRight) {
                    signal.sign = Sign::Outstanding;
                    denied = true;
                }
            }
        }
        let start = signals
            .first()
            .map_or(start, |signal| signal.tokens.start.min(start));
        let mut group = Group {
            items: Vec::new(),
            tokens: start..last.max(signals.last().map_or(0, |signal| signal.tokens.end)),
            told_from: last,
            signals,
            sure: run.iter().map(|one| one.sure).fold(1.0, f64::min),
            reasons: run.iter().flat_map(|one| one.reasons.clone()).collect(),
            sentence: index,
            described: run.iter().all(|one| one.how == How::Described),
            denied,
            withdrawn: false,
        };
        for item in run.iter().flat_map(|one| &one.items) {
            push_once(&mut group.items, *item);
        }
        self.pending = None;
        if group.items.is_empty() {
            // Something that is on no list, so that its words go to nobody else.
            group.sure = 0.0;
        }
        self.place_new &= group.items.is_empty();
        for item in &group.items {
            push_once(&mut self.spoken, *item);
        }
        self.out.groups.push(group);
        hand.open = Some(self.out.groups.len() - 1);
    }

    fn finish(
        &mut self,
        index: usize,
        sentence: &Sentence,
        range: &Range<usize>,
        mut hand: Hand,
        first_new: usize,
    ) {
        let excepted = std::mem::take(&mut hand.excepted);
        if let Some(open) = hand.open
            && hand.cut.is_none()
        {
            self.out.groups[open].tokens.end = range.end;
        }
        if !excepted.is_empty() {
            self.leave_out(index, &mut hand, range, &excepted, first_new);
        }
        let run = std::mem::take(&mut hand.run);
        if !run.is_empty() {
            let items: Vec<usize> = run.iter().flat_map(|one| one.items.clone()).collect();
            match hand.fix {
                Some(fix) if !items.is_empty() => self.move_to(fix, &items, range),
                _ if !items.is_empty() => {
                    self.pending = Some(Ref {
                        tokens: run[0].tokens.start..range.end,
                        items,
                        ..run[0].clone()
                    });
                }
                _ => {}
            }
        }
        if !hand.leading.is_empty() && self.out.groups.len() == first_new {
            let leading = std::mem::take(&mut hand.leading);
            self.without_subject(index, sentence, range, leading);
        }
    }

    /// Words about an item without its name: of what was named last, or of the place just entered.
    fn without_subject(
        &mut self,
        index: usize,
        sentence: &Sentence,
        range: &Range<usize>,
        signals: Vec<Signal>,
    ) {
        let whole = sentence.tokens.clone();
        let mut hand = Hand::default();
        if let Some(pending) = self.pending.take() {
            let until = range.end;
            self.group(index, &mut hand, vec![pending], signals);
            self.end_last(until);
            return;
        }
        let all = whole.clone().any(|at| {
            matches!(
                self.word(at),
                "all" | "everything" | "nothing" | "none" | "nowt" | "both" | "lot"
            )
        });
        let scene = self.scene();
        let named = scene.place_piece(&whole).map(|piece| scene.at_place(piece));
        let here = named
            .filter(|items| !items.is_empty())
            .or_else(|| scene.here());
        let entered = self.place_new || scene.place_piece(&whole).is_some();
        if let Some(items) = here.filter(|_| entered) {
            let sure = if all { 0.85 } else { BY_PLACE_ALONE };
            if all || items.len() == 1 || range.start > whole.start {
                let refer = Ref {
                    tokens: whole.start..range.start.max(whole.start + 1),
                    items,
                    how: How::Scope,
                    sure,
                    reasons: vec!["no item named, only the place".into()],
                    unknown: Vec::new(),
                    denied: false,
                };
                self.group(index, &mut hand, vec![refer], signals);
                self.end_last(whole.end);
                return;
            }
        }
        // "Twelve's done. Bit patchy, though."
        let strong = signals
            .iter()
            .any(|signal| !matches!(signal.sign, Sign::Yes | Sign::No));
        if let Some(last) = self.out.groups.last_mut()
            && last.sentence + 1 == index
            && !last.withdrawn
            && !all
            && strong
        {
            last.signals.extend(signals);
            last.tokens.end = whole.end;
            last.sentence = index;
            return;
        }
        if strong {
            self.out
                .notes
                .push((whole, "not clear which item is meant".into()));
        }
    }

    fn end_last(&mut self, at: usize) {
        if let Some(last) = self.out.groups.last_mut() {
            last.tokens.end = last.tokens.end.max(at);
        }
    }

    /// *all done bar the worktop*: takes items out of the group, and notes the contrary of them.
    fn leave_out(
        &mut self,
        index: usize,
        hand: &mut Hand,
        range: &Range<usize>,
        refs: &[Ref],
        first_new: usize,
    ) {
        let Some(group) = hand
            .open
            .or_else(|| (self.out.groups.len() > first_new).then(|| first_new))
        else {
            return;
        };
        let among = self.out.groups[group].items.clone();
        let mut out: Vec<usize> = Vec::new();
        for one in refs {
            let of_these: Vec<usize> = one
                .items
                .iter()
                .copied()
                .filter(|item| among.contains(item))
                .collect();
            let found = match one.how {
                How::Described => {
                    let until = refs
                        .iter()
                        .map(|r| r.tokens.start)
                        .filter(|s| *s > one.tokens.start)
                        .min();
                    let range = one.tokens.start..until.unwrap_or(range.end);
                    let described = self.scene().describe(&range, Some(&among));
                    described.map_or(of_these, |found| found.items)
                }
                _ => of_these,
            };
            for item in found {
                push_once(&mut out, item);
            }
        }
        if out.is_empty() {
            let tokens = refs[0].tokens.start..range.end;
            self.out
                .notes
                .push((tokens, "not clear which item is left out".into()));
            return;
        }
        let whole = &mut self.out.groups[group];
        whole.items.retain(|item| !out.contains(item));
        let right = whole
            .signals
            .iter()
            .any(|signal| matches!(signal.sign, Sign::Right | Sign::LikelyRight));
        let sign = match (right, whole.denied) {
            (true, _) => Sign::Outstanding,
            // "None are done except the plinth": that one is.
            (false, true) => Sign::Right,
            // "All outstanding bar the plinth" does not say what the plinth is.
            (false, false) => {
                let tokens = refs[0].tokens.start..range.end;
                let why = "left out of what was said of the others";
                self.out.notes.push((tokens, why.into()));
                return;
            }
        };
        let tokens = whole.tokens.clone();
        let bar = self.said.iter().find(|one| one.says == Says::Except);
        whole.tokens.end = bar.map_or(tokens.end, |bar| bar.tokens.start.max(whole.told_from));
        let signal = Signal {
            sign,
            tokens: refs[0].tokens.clone(),
        };
        self.out.groups.push(Group {
            items: out,
            told_from: tokens.start,
            tokens,
            signals: vec![signal],
            sure: BY_EXCEPTION,
            reasons: vec!["left out of what was said of the others".into()],
            sentence: index,
            described: false,
            denied: false,
            withdrawn: false,
        });
    }

    /// *twelve done, no, sorry, thirteen*: what was said is of other items.
    fn move_to(&mut self, fix: usize, items: &[usize], range: &Range<usize>) {
        self.note_taken_back(fix);
        let group = &mut self.out.groups[fix];
        group.items = Vec::new();
        for item in items {
            push_once(&mut group.items, *item);
        }
        group.tokens.end = group.tokens.end.max(range.end);
        group
            .reasons
            .push("the number was corrected in speech".into());
        let items = group.items.clone();
        for item in items {
            push_once(&mut self.spoken, item);
        }
    }

    fn withdraw(&mut self, index: usize, tokens: &Range<usize>) {
        let last = self
            .out
            .groups
            .iter()
            .rposition(|group| !group.withdrawn && index - group.sentence <= 1);
        match last {
            Some(last) => {
                self.out.groups[last].withdrawn = true;
                self.note_taken_back(last);
            }
            None => self.pending = None,
        }
        self.out
            .notes
            .push((tokens.clone(), "takes back what was said before".into()));
    }

    fn note_taken_back(&mut self, group: usize) {
        let group = &self.out.groups[group];
        let items: Vec<usize> = group.items.clone();
        let note = (group.tokens.clone(), "taken back".to_owned());
        self.spoken.retain(|item| !items.contains(item));
        self.out.notes.push(note);
    }
}

/// Compares a number with the description said beside it: the words may show that the number was
/// misheard.
fn check(known: &[Known], number: &mut Ref, described: &Ref) {
    let (Some(&meant), [only]) = (described.items.first(), &number.items[..]) else {
        return;
    };
    if *only == meant {
        number.sure = 1.0;
        return;
    }
    if described.sure > UNSURE {
        number.sure = CONTRADICTED;
        let (heard, fits) = (&known[*only].item, &known[meant].item);
        number.reasons.push(format!(
            "item {} is {}, but the words fit item {}, {}",
            heard.number, heard.element, fits.number, fits.element
        ));
    }
}

fn same_clause(clauses: &[Range<usize>], a: usize, b: usize) -> bool {
    clauses
        .iter()
        .any(|clause| clause.contains(&a) && clause.contains(&b))
}
