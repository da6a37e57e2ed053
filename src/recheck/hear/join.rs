//! A sentence's marks put together: which words are about which items.

use super::*;

impl Walk<'_> {
    pub(super) fn put_together(
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

    pub(super) fn refer(&mut self, index: usize, sentence: &Sentence, hand: &mut Hand, refer: Ref) {
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
        // A number that no item has takes the words about it, so that they go to no other item.
        let taken = matches!(refer.how, How::Described | How::Number);
        if refer.items.is_empty() && !taken {
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
    pub(super) fn belongs(&mut self, sentence: &Sentence, hand: &mut Hand, refer: &Ref) -> bool {
        if let Some(last) = hand.run.last_mut() {
            match last.how {
                How::Number | How::Pronoun => {
                    if last.how == How::Number && !refer.items.is_empty() {
                        if last.items.is_empty() {
                            by_words(self.known, last, refer);
                        } else {
                            check(self.known, last, refer);
                        }
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

    pub(super) fn sign(
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
        let leaving_out = hand.excepting && !hand.excepted.is_empty() && hand.open.is_some();
        if !hand.run.is_empty() && !leaving_out {
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
    pub(super) fn close(&mut self, hand: &mut Hand, at: usize) {
        hand.borrowed = false;
        if let Some(open) = hand.open.take() {
            let group = &mut self.out.groups[open];
            group.tokens.end = at.max(group.tokens.start + 1).min(group.tokens.end.max(at));
        }
    }

    pub(super) fn group(
        &mut self,
        index: usize,
        hand: &mut Hand,
        run: Vec<Ref>,
        signals: Vec<Signal>,
    ) {
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

    pub(super) fn finish(
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
    pub(super) fn without_subject(
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

    pub(super) fn end_last(&mut self, at: usize) {
        if let Some(last) = self.out.groups.last_mut() {
            last.tokens.end = last.tokens.end.max(at);
        }
    }
}

/// Takes the item that the words beside a number fit, where no item has that number.
fn by_words(known: &[Known], number: &mut Ref, described: &Ref) {
    let Some(&meant) = described.items.first() else {
        return;
    };
    number.items = vec![meant];
    number.sure = described.sure * CONTRADICTED;
    let fits = known[meant].item;
    for unknown in &number.unknown {
        number.reasons.push(format!(
            "there is no item {unknown}, and the words fit item {}, {}",
            fits.number, fits.element
        ));
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
