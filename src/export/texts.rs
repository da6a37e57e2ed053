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

/// What the buyer's report is, where nothing else is chosen.
pub const REPORT: &str = "Defect list of a new home";

/// Returns what the list is and is not, who decides, and who does dangerous work: a passage each.
pub fn about(region: Region) -> [Passage; 5] {
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
        Passage {
            heading: "Work that can hurt",
            text: "Leave work on gas, electricity and structure, and work at height, to people \
                   licensed or trained for it. Do not test such things yourself. Local codes and \
                   the advice of a licensed practitioner come before anything on this list.",
        },
    ]
}

/// Returns how to read an item, in the order in which it shows its facts; what an item says that is
/// `waiting` to be confirmed only where there is one.
pub fn how_to_read(waiting: bool) -> Vec<Passage> {
    let all = [
        Passage {
            heading: "The number",
            text: "Every item keeps its number for good, on later visits and on each trade\u{2019}s \
                   sheet too. Use it when you write or call.",
        },
        Passage {
            heading: "Severity",
            text: "A mark and a word tell how much the item matters. It is the inspector\u{2019}s \
                   judgement on the day.",
        },
        Passage {
            heading: "Measured, and limit",
            text: "What was measured on the walk-round, held against published guidance with its \
                   source. \u{201c}Cannot tell\u{201d} means that the measurement does not decide \
                   it. Guidance is not always part of a contract.",
        },
        Passage {
            heading: "To put right",
            text: "What the inspector asked for. Where it is marked as usual, nobody said it on the \
                   day: it is what is commonly done, not an instruction for the work.",
        },
        Passage {
            heading: "Trade",
            text: "Who usually does such work. The builder may give it to somebody else.",
        },
        Passage {
            heading: "Caution",
            text: "Stands where the item or its repair could hurt someone. Please read it first. It \
                   warns; it does not say how to do the work.",
        },
        Passage {
            heading: "Heard",
            text: "The moment in the recording and the words as a program heard them, mishearings \
                   included. The recording is what counts.",
        },
        Passage {
            heading: "Not yet confirmed",
            text: "The inspector has not checked this item yet. It may change or go.",
        },
    ];
    let shown = all.len() - usize::from(!waiting);
    all[..shown].to_vec()
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

/// What stands in place of the measurements outside a limit where there are none.
pub const NO_LIMIT_ITEMS: &str = "No measurement on this list was found outside a published limit. Most items are judged by eye, \
     and have no measurement.";

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
                "licensed or trained",
                "Do not test",
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
            let texts = about(region).into_iter().chain(how_to_read(true));
            let texts = texts.map(|p| p.text).chain([
                cautions_intro(region),
                NO_SAFETY_ITEMS,
                NO_LIMIT_ITEMS,
            ]);
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
