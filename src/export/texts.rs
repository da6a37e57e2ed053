//! The standing texts of the documents for people, for every format to show in its own form.
//!
//! Wording by region: who enforces the building code and what it is called differ, nothing else.

use crate::cautions::Region;

/// A paragraph with the few words that name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Passage {
    /// A short heading.
    pub heading: &'static str,
    /// One paragraph.
    pub text: &'static str,
}

/// Returns what the list is and is not, and who decides: a passage each.
pub fn about(region: Region) -> [Passage; 4] {
    let (inspection, decides) = match region {
        Region::Britain => (
            "It is not a warranty, a certificate, a valuation or a structural survey, and it does \
             not replace the checks of the building control body.",
            "Limits are quoted as published guidance. Usual remedies are common practice, not \
             instructions for the work. Where the contract, the building regulations, the maker\u{2019}s instructions or a \
             qualified person say otherwise, they come first.",
        ),
        Region::America => (
            "It is not a warranty, a certificate, an appraisal or a structural survey, and it \
             does not replace the inspections of the local building department.",
            "Limits are quoted as published guidance. Usual remedies are common practice, not \
             instructions for the work. Where the contract, the local code, the maker\u{2019}s instructions or a licensed \
             professional say otherwise, they come first.",
        ),
        Region::Elsewhere => (
            "It is not a warranty, a certificate, a valuation or a structural survey, and it does \
             not replace the checks of the local building authority.",
            "Limits are quoted as published guidance. Usual remedies are common practice, not \
             instructions for the work. Where the contract, the local code, the maker\u{2019}s instructions or a licensed \
             person say otherwise, they come first.",
        ),
    };
    [
        Passage {
            heading: "A visual inspection",
            text: "This list rests on what could be seen and safely reached on the day. Nothing \
                   was opened, dismantled, moved or tested unless an item says so. That a place or \
                   a part is not mentioned does not mean that it is in order.",
        },
        Passage {
            heading: "Not a warranty",
            text: inspection,
        },
        Passage {
            heading: "Who decides",
            text: "A program proposed the items from what the inspector said; the inspector decides \
                   what stands on the list. An item marked as not yet confirmed is a proposal \
                   only, and may have been misheard. Who must put an item right, how and by \
                   when is decided between the parties to the contract.",
        },
        Passage {
            heading: "Limits and remedies",
            text: decides,
        },
    ]
}

/// Returns how to read an item, in the order in which it shows its facts.
pub fn how_to_read() -> [Passage; 6] {
    [
        Passage {
            heading: "Number",
            text: "Every item keeps its number for good, also on later visits and on each \
                   trade\u{2019}s sheet.",
        },
        Passage {
            heading: "Severity",
            text: "A mark and a word tell how much the item matters. It is the inspector\u{2019}s \
                   judgement on the day.",
        },
        Passage {
            heading: "Measured, limit",
            text: "What was measured, and the published guidance it was held against, with its \
                   source. Guidance is not always part of a contract.",
        },
        Passage {
            heading: "To put right",
            text: "What the inspector asked for. Where it is marked as usual, nobody said it on the \
                   day: it is what is commonly done, not an instruction for the work.",
        },
        Passage {
            heading: "Caution",
            text: "Shown where the work can hurt someone. It warns; it does not say how to do the \
                   work.",
        },
        Passage {
            heading: "Heard",
            text: "The recording, the time in it and the words that the item was made from, so that \
                   it can be checked.",
        },
    ]
}

/// Returns what stands above the cautions.
pub fn cautions_intro(region: Region) -> &'static str {
    match region {
        Region::Britain => {
            "Some items concern work that can hurt someone. Please leave that work to competent \
             people, qualified or registered where the law asks for it, and to the building \
             regulations. Nothing on this list asks anybody to open, test or repair anything \
             themselves."
        }
        Region::America => {
            "Some items concern work that can hurt someone. Please leave that work to competent \
             people, licensed where the law asks for it, and to the local code. Nothing on this \
             list asks anybody to open, test or repair anything themselves."
        }
        Region::Elsewhere => {
            "Some items concern work that can hurt someone. Please leave that work to competent \
             people, licensed where the law asks for it, and to the local code. Nothing on this \
             list asks anybody to open, test or repair anything themselves."
        }
    }
}

/// What stands in place of the safety items where there are none.
pub const NO_SAFETY_ITEMS: &str = "No item on this list is marked as a matter of safety. That is not a finding that the home is \
     safe.";

#[cfg(test)]
mod tests {
    use super::*;

    const REGIONS: [Region; 3] = [Region::Britain, Region::America, Region::Elsewhere];

    #[test]
    fn the_texts_say_what_a_list_must_say() {
        for region in REGIONS {
            let all: String = about(region).map(|p| p.text).join(" ");
            for needed in [
                "seen and safely reached",
                "Nothing was opened, dismantled",
                "not a warranty",
                "the inspector decides",
                "does not mean that it is in order",
                "they come first",
            ] {
                assert!(all.contains(needed), "{region:?}: {needed}");
            }
        }
        assert!(
            about(Region::Britain)[1]
                .text
                .contains("building control body")
        );
        assert!(
            about(Region::America)[1]
                .text
                .contains("building department")
        );
    }

    #[test]
    fn the_texts_are_plain() {
        for region in REGIONS {
            let texts = about(region).into_iter().chain(how_to_read());
            let texts = texts.map(|p| p.text).chain([cautions_intro(region)]);
            for text in texts {
                assert!(text.ends_with('.') && !text.contains("  "), "{text}");
                for sentence in text.split(". ") {
                    let words = sentence.split_whitespace().count();
                    assert!(words <= 32, "{words} words: {sentence}");
                }
            }
        }
    }
}
