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
/// Of a text of several words the last is completed, when the whole of it is no name that is known.
const LAST_WORD: f32 = 0.0;

/// Returns the texts that agree with what was typed, the best first, each once. With nothing typed
/// the best of all that need no typing. `now` is what the field holds, which is not offered again.
pub fn complete(field: Field, typed: &str, now: &str, choices: &[Choice]) -> Vec<String> {
    let typed = typed.trim().to_lowercase();
    let mut best: BTreeMap<String, (f32, usize, String)> = BTreeMap::new();
    let mut offer = |text: String, place: usize, agreement: f32| {
        // Of equally good ones the short: it is nearer to being typed out.
        let length = text.chars().count().min(99) as f32 / 1000.0;
        let score = agreement + choices[place].fit.clamp(0.0, 1.0) - length;
        let known = best.entry(text.to_lowercase());
        let known = known.or_insert_with(|| (score, place, text));
        if score > known.0 {
            (known.0, known.1) = (score, place);
        }
    };
    for (place, choice) in choices.iter().enumerate() {
        let text = choice.text.to_lowercase();
        let wanted = choice.unasked || !typed.is_empty();
        if !wanted || text.is_empty() || text == now.to_lowercase() && typed.is_empty() {
            continue;
        }
        if let Some(agreement) = agreement(&typed, &text) {
            offer(choice.text.clone(), place, agreement);
        } else if made_of_words(field)
            && let Some(head) = before_last_words(&typed, &text)
        {
            offer(format!("{head} {text}"), place, LAST_WORD);
        }
    }
    let mut ranked: Vec<(f32, usize, String)> = best.into_values().collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    match field {
        // Five words in their order of urgency need no ranking.
        Field::Severity if typed.is_empty() => choices.iter().map(|c| c.text.clone()).collect(),
        _ => ranked.into_iter().map(|(.., text)| text).collect(),
    }
}

/// Fields in which the inspector's own words go before a name: *kitchen extract grille*, *undercut too
/// small*.
fn made_of_words(field: Field) -> bool {
    matches!(
        field,
        Field::Position | Field::Element | Field::Defect | Field::Remedy
    )
}

/// Returns what was typed before its last words, where the text begins with these and goes on.
fn before_last_words<'a>(typed: &'a str, text: &str) -> Option<&'a str> {
    typed.match_indices(' ').find_map(|(space, _)| {
        let (head, tail) = (typed[..space].trim_end(), &typed[space + 1..]);
        let goes_on = text.len() > tail.len() && text.starts_with(tail);
        (!head.is_empty() && !tail.is_empty() && goes_on).then_some(head)
    })
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
    fn of_several_words_the_last_are_completed_where_the_whole_is_no_name() {
        for (typed, offered) in [
            ("utility d", vec!["utility door", "utility door handle"]),
            ("Utility door h", vec!["utility door handle"]),
            ("meter b", vec!["meter box door"]),
            ("door ", vec!["door", "Door handle", "meter box door"]),
            ("utility door", vec!["utility door handle"]),
            (" d", vec!["door", "Door handle", "meter box door"]),
            ("utility x", vec![]),
        ] {
            let found = complete(Field::Element, typed, "", &choices());
            assert_eq!(found, offered, "{typed}");
        }
        assert!(complete(Field::Place, "utility d", "", &choices()).is_empty());
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
                let known = |text: &str| texts.iter().any(|known| known == text) && !text.is_empty();
                let ends = || text.match_indices(' ').any(|(at, _)| known(&text[at + 1..].to_lowercase()));
                prop_assert!(known(text) || typed.contains(' ') && ends());
            }
        }
    }
}
