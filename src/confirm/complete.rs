//! Completing what is typed into a field: pure ranking of candidate texts.

use crate::job::Field;
use std::collections::BTreeMap;

/// A text that a field might be given.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The text.
    pub text: String,
    /// How well it fits the item, 0 to 1, before anything is typed.
    pub fit: f32,
    /// False where it is offered only once letters of it are typed: there are too many like it.
    pub unasked: bool,
}

impl Choice {
    /// Returns a choice that is offered before anything is typed.
    pub fn new(text: impl Into<String>, fit: f32) -> Choice {
        Choice {
            text: text.into(),
            fit,
            unasked: true,
        }
    }

    /// Returns a choice that is offered only once letters of it are typed.
    pub fn typed(text: impl Into<String>, fit: f32) -> Choice {
        Choice {
            unasked: false,
            ..Choice::new(text, fit)
        }
    }
}

/// How well a text agrees with what was typed: it begins with it, one of its later words does, or
/// its words begin with the letters typed. Only the order matters, and that each is apart from the
/// next by more than any two fits: what is typed counts more than what is guessed.
const BEGINS: f32 = 6.0;
const WORD_BEGINS: f32 = 4.0;
const INITIALS: f32 = 2.0;

/// Returns the texts that agree with what was typed, the best first, each once. With nothing typed
/// the best of all that need no typing. `now` is what the field holds, which is not offered again.
pub fn complete(field: Field, typed: &str, now: &str, choices: &[Choice]) -> Vec<String> {
    let typed = typed.trim().to_lowercase();
    let mut best: BTreeMap<String, (f32, usize)> = BTreeMap::new();
    for (place, choice) in choices.iter().enumerate() {
        let text = choice.text.to_lowercase();
        let Some(agreement) = agreement(&typed, &text) else {
            continue;
        };
        let wanted = choice.unasked || !typed.is_empty();
        if !wanted || text.is_empty() || text == now.to_lowercase() && typed.is_empty() {
            continue;
        }
        // Of equally good ones the short: it is nearer to being typed out.
        let length = text.chars().count().min(99) as f32 / 1000.0;
        let score = agreement + choice.fit.clamp(0.0, 1.0) - length;
        let known = best.entry(text).or_insert((score, place));
        if score > known.0 {
            *known = (score, place);
        }
    }
    let mut ranked: Vec<(f32, usize)> = best.into_values().collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let texts = ranked
        .into_iter()
        .map(|(_, place)| choices[place].text.clone());
    match field {
        // Five words in their order of urgency need no ranking.
        Field::Severity if typed.is_empty() => choices.iter().map(|c| c.text.clone()).collect(),
        _ => texts.collect(),
    }
}

/// How well a text agrees with what was typed, both in lowercase; `None` where it does not.
fn agreement(typed: &str, text: &str) -> Option<f32> {
    let words = || text.split([' ', '-', '/']);
    let later = || {
        text.match_indices([' ', '-'])
            .map(|(place, _)| &text[place + 1..])
    };
    if typed.is_empty() {
        Some(0.0)
    } else if text.starts_with(typed) {
        Some(BEGINS)
    } else if later().any(|rest| rest.starts_with(typed)) {
        Some(WORD_BEGINS)
    } else {
        let initials: String = words().filter_map(|word| word.chars().next()).collect();
        initials.starts_with(typed).then_some(INITIALS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn choices() -> Vec<Choice> {
        vec![
            Choice::new("door", 0.4),
            Choice::new("meter box door", 0.9),
            Choice::new("Door handle", 0.5),
            Choice::typed("mastic", 0.9),
            Choice::new("door", 0.6),
        ]
    }

    #[test]
    fn what_is_typed_counts_more_than_what_is_guessed() {
        for (typed, now, offered) in [
            ("", "", vec!["meter box door", "door", "Door handle"]),
            ("", "Door", vec!["meter box door", "Door handle"]),
            ("d", "", vec!["door", "Door handle", "meter box door"]),
            ("D", "door", vec!["door", "Door handle", "meter box door"]),
            ("ma", "", vec!["mastic"]),
            ("mbd", "", vec!["meter box door"]),
            ("box", "", vec!["meter box door"]),
            ("x", "", vec![]),
        ] {
            assert_eq!(
                complete(Field::Element, typed, now, &choices()),
                offered,
                "{typed}"
            );
        }
    }

    #[test]
    fn severities_stand_in_their_order_of_urgency() {
        let words = ["safety", "repair", "finish", "clean", "watch"];
        let choices = words.map(|word| Choice::new(word, 0.5));
        assert_eq!(complete(Field::Severity, "", "repair", &choices), words);
        assert_eq!(complete(Field::Severity, "w", "", &choices), ["watch"]);
    }

    proptest! {
        #[test]
        fn nothing_is_offered_twice_and_only_what_agrees(
            texts in prop::collection::vec("[a-cé ]{0,6}", 0..12), typed in "[a-cé ]{0,3}",
        ) {
            let choices: Vec<Choice> = texts.iter().map(|text| Choice::new(text, 0.5)).collect();
            let offered = complete(Field::Defect, &typed, "", &choices);
            for (place, text) in offered.iter().enumerate() {
                prop_assert!(!offered[..place].contains(text));
                prop_assert!(texts.contains(text) && !text.is_empty());
            }
        }
    }
}
