//! What the speaker takes back, corrects or leaves out.

use super::*;

impl Walk<'_> {
    /// A thing of the list with another fault than the list has, and nothing else said of it, is
    /// something new.
    pub(super) fn part_what_is_new(&mut self) {
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

    /// *all done bar the worktop*: takes items out of the group, and notes the contrary of them.
    pub(super) fn leave_out(
        &mut self,
        index: usize,
        hand: &mut Hand,
        range: &Range<usize>,
        refs: &[Ref],
        first_new: usize,
    ) {
        let Some(group) = hand
            .open
            .or_else(|| (self.out.groups.len() > first_new).then_some(first_new))
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
    pub(super) fn move_to(&mut self, fix: usize, items: &[usize], range: &Range<usize>) {
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

    pub(super) fn withdraw(&mut self, index: usize, tokens: &Range<usize>) {
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

    pub(super) fn note_taken_back(&mut self, group: usize) {
        let group = &self.out.groups[group];
        let items: Vec<usize> = group.items.clone();
        let note = (group.tokens.clone(), "taken back".to_owned());
        self.spoken.retain(|item| !items.contains(item));
        self.out.notes.push(note);
    }
}
