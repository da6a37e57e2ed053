//! The lexicon without a part of it, for measuring what each part is worth.

use super::everyday::Everyday;
use super::schema::Table;
use super::{Gathered, Lexicon, builtin, merged};
use std::sync::Arc;

/// A part of what is made of heard words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Terms told by their sound.
    Sounds,
    /// Known mishearings.
    Heard,
    /// The protection of everyday words, which are not rewritten without support.
    Everyday,
    /// Phrases that say how words belong together: *scratch that*, *same again*.
    Discourse,
    /// How likely all the words of a sentence make it that it tells a fault.
    Telling,
    /// Stops told from the commas that a recogniser wrote for them.
    Stops,
    /// Places that were named on the way.
    Mentions,
    /// Places told by what is spoken of.
    Whereabouts,
}

/// The phrases of [`Part::Discourse`], as `lexicon/phrases.toml` names them.
const DISCOURSE: &[&str] = &[
    "withdrawal",
    "correction",
    "same-again",
    "other-side",
    "running-total",
    "remark",
    "question",
    "hypothetical",
    "chat",
    "recap",
];

impl Lexicon {
    /// Returns the built-in lexicon without a part of it; `None` where the rest makes no lexicon.
    pub fn builtin_lacking(part: Part) -> Option<Lexicon> {
        let mut entries = builtin::entries().0.clone();
        entries.retain(|entry| match entry.table {
            Table::Heard => part != Part::Heard,
            Table::Phrase => part != Part::Discourse || !DISCOURSE.contains(&&*entry.identity),
            _ => true,
        });
        let Gathered {
            american, resolved, ..
        } = merged(entries, Vec::new());
        let mut lexicon = Self::new(resolved, american, None).ok()?;
        match part {
            Part::Sounds => {
                Arc::get_mut(&mut lexicon.vocabulary)?.be_without_sounds(&lexicon.pronouncer);
            }
            Part::Everyday => lexicon.everyday = Arc::new(Everyday::default()),
            _ => {}
        }
        lexicon.lacking = Some(part);
        Some(lexicon)
    }

    /// True where a part of understanding is left out.
    pub(crate) fn lacks(&self, part: Part) -> bool {
        self.lacking == Some(part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Kind;

    #[test]
    fn what_is_left_out_is_found_no_more_and_the_rest_as_before() {
        let parts = [Part::Sounds, Part::Heard, Part::Discourse];
        let lacking = parts.map(|part| (part, Lexicon::builtin_lacking(part).unwrap()));
        // (what is said, the term it is understood as, the part without which it is not).
        for (said, name, part) in [
            ("artitraves", "architrave", Part::Sounds),
            ("jewel post", "newel post", Part::Heard),
            ("scratch that", "withdrawal", Part::Discourse),
        ] {
            let finds = |lexicon: &Lexicon| {
                let tokens = lexicon.tokens_of(said);
                let kinds = [Kind::Element, Kind::Phrase];
                let near = lexicon.sounds_like(&tokens, 0..tokens.len(), &kinds, 0.3);
                let mut hits = lexicon.spot(&tokens).into_iter().chain(near);
                hits.any(|hit| lexicon.name(hit.term) == name)
            };
            assert!(finds(Lexicon::embedded().unwrap()), "{said}");
            for (other, lexicon) in &lacking {
                assert_eq!(finds(lexicon), *other != part, "{said} without {other:?}");
            }
        }
        let unprotected = Lexicon::builtin_lacking(Part::Everyday).unwrap();
        assert!(!unprotected.everyday("table"));
        let plain = Lexicon::builtin_lacking(Part::Telling).unwrap();
        assert!(plain.lacks(Part::Telling) && !Lexicon::embedded().unwrap().lacks(Part::Telling));
    }
}
