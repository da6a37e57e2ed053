//! Deciding on what a later visit found: one key keeps it, one changes how the work stands, one
//! dismisses it.

use super::change::Refusal;
use super::state::Session;
use crate::items::{Item, Seen, Standing, Status, standing_words};
use crate::job::{Decision, Found, Unfound};
use crate::recheck::SURE;

/// Returns the standing that `text` names: its words, or enough of their first letters to tell them
/// apart (`r` for *put right*).
///
/// # Errors
/// Names what may be given.
pub(super) fn standing_from(text: &str) -> Result<Standing, String> {
    let wanted = text.trim().to_lowercase().replace('-', " ");
    let short = |standing| match standing {
        Standing::Open => "o",
        Standing::Offered => "f",
        Standing::PutRight => "r",
        Standing::NotPutRight => "n",
        Standing::Changed => "c",
        Standing::Closed => "a",
    };
    Standing::ALL
        .into_iter()
        .find(|&standing| wanted == standing_words(standing) || wanted == short(standing))
        .ok_or_else(|| format!("`{text}` is no standing: give {STANDING_HINT}"))
}

/// What may be answered where a standing is asked for.
pub(super) const STANDING_HINT: &str = "r put right, n not put right, c changed, f offered as done, a closed by agreement, or o open; \
     a note may follow after ;";

/// Splits *changed; the paint is patchy* into standing and note.
pub(super) fn standing_and_note(text: &str) -> Result<(Standing, String), String> {
    let (standing, note) = text.split_once(';').unwrap_or((text, ""));
    Ok((standing_from(standing)?, note.trim().to_owned()))
}

impl Session {
    /// Returns how many findings of later visits are undecided.
    pub fn findings_to_go(&self) -> usize {
        self.items()
            .iter()
            .filter(|item| self.has_finding(item))
            .count()
    }

    /// True where a later visit found something about the item that is undecided.
    pub(super) fn has_finding(&self, item: &Item) -> bool {
        self.list().visits.pending(item).is_some()
    }

    /// What the last visit found about the item does not hold.
    pub(super) fn dismiss(&self, number: u32) -> Result<Decision, Refusal> {
        let item = self.existing(number)?;
        self.dismiss_finding(item).ok_or(Refusal::NoFinding(number))
    }

    /// The decision that keeps what was found as it was heard, if there is something.
    pub(super) fn keep_finding(&self, item: &Item) -> Option<Decision> {
        let finding = self.list().visits.pending(item)?;
        Some(Decision::Found(Found {
            item: item.id.clone(),
            seen: finding.seen.clone(),
        }))
    }

    fn dismiss_finding(&self, item: &Item) -> Option<Decision> {
        let finding = self.list().visits.pending(item)?;
        Some(Decision::Unfound(Unfound {
            item: item.id.clone(),
            visit: finding.seen.visit,
        }))
    }

    /// The decision on how the item's work stands as of the last visit. Words and time of the
    /// proposal stay with it, if there was one.
    pub(super) fn stand(
        &self,
        number: u32,
        standing: Standing,
        note: &str,
    ) -> Result<Decision, Refusal> {
        let item = self.existing(number)?;
        if item.status != Status::Confirmed {
            return Err(Refusal::StandingOfUnconfirmed(number));
        }
        let visits = &self.list().visits;
        let heard = visits.pending(item).map(|finding| finding.seen.clone());
        let last = visits.last().ok_or(Refusal::NoLaterVisit)?;
        let before = item.history.iter().find(|seen| seen.visit == last.number);
        let seen = heard.or_else(|| before.cloned()).unwrap_or(Seen {
            visit: last.number,
            date: last.date.clone(),
            standing,
            note: String::new(),
            recording: None,
            span: None,
            quote: String::new(),
        });
        let note = match note {
            "" if seen.standing == standing => seen.note.clone(),
            note => note.split_whitespace().collect::<Vec<_>>().join(" "),
        };
        Ok(Decision::Found(Found {
            item: item.id.clone(),
            seen: Seen {
                standing,
                note,
                ..seen
            },
        }))
    }
}

/// The rows of a card about later visits: what waits to be decided, then what was decided, as label,
/// text, and whether it must not be overlooked.
pub(super) fn visit_rows(session: &Session, item: &Item) -> Vec<(&'static str, String, bool)> {
    let mut rows = Vec::new();
    if let Some(finding) = session.list().visits.pending(item) {
        let seen = &finding.seen;
        let at = seen
            .span
            .map_or(String::new(), |span| format!(" at {}", span.start));
        let unsure = match finding.confidence < SURE {
            true => ", unsure",
            false => "",
        };
        let standing = standing_words(seen.standing);
        let text = format!(
            "visit {}: {standing}?{unsure} “{}”{at}",
            seen.visit, seen.quote
        );
        rows.push(("found", text, false));
        if !finding.reasons.is_empty() {
            rows.push(("but", finding.reasons.join("; "), true));
        }
    }
    for seen in item.history.iter().rev() {
        let note = match seen.note.as_str() {
            "" => String::new(),
            note => format!(": {note}"),
        };
        let standing = standing_words(seen.standing);
        rows.push((
            "seen",
            format!("visit {}, {}: {standing}{note}", seen.visit, seen.date),
            false,
        ));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_standing_is_given_by_its_words_or_a_letter() {
        for (text, standing) in [
            ("put right", Standing::PutRight),
            ("r", Standing::PutRight),
            ("Not-put-right", Standing::NotPutRight),
            (" closed by agreement ", Standing::Closed),
            ("f", Standing::Offered),
        ] {
            assert_eq!(standing_from(text), Ok(standing), "{text}");
        }
        assert!(standing_from("done").is_err());
        let patchy = (Standing::Changed, "patchy; twice".to_owned());
        assert_eq!(standing_and_note("c; patchy; twice"), Ok(patchy));
    }
}
