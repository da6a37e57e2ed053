//! Who a sentence is about: article, place within the room, number.

/// The subject of a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Subject {
    /// With its article, position and number: `the left-hand sash`.
    pub(super) text: String,
    /// True where its verb is in the plural.
    pub(super) plural: bool,
}

/// Words of position that stand before a noun.
const BEFORE: &[&str] = &[
    "left",
    "right",
    "left-hand",
    "right-hand",
    "hand",
    "top",
    "bottom",
    "upper",
    "lower",
    "middle",
    "centre",
    "front",
    "rear",
    "back",
    "far",
    "near",
    "nearest",
    "outer",
    "inner",
    "outside",
    "inside",
    "end",
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "last",
    "other",
    "corner",
    "side",
    "north",
    "south",
    "east",
    "west",
];

/// Words that end in *s* and are one thing.
const SINGULAR: &[&str] = &[
    "gas", "canvas", "bias", "chassis", "lens", "axis", "bus", "premises", "basis",
];

/// Words that do not end in *s* and are several.
const PLURAL: &[&str] = &["feet", "teeth", "people", "batteries"];

/// Words after the head of a name: *area of damp*.
const AFTER_HEAD: &[&str] = &[
    "of", "to", "for", "in", "on", "at", "with", "under", "between", "behind", "from",
];

const ARTICLES: &[&str] = &[
    "the", "a", "an", "this", "that", "these", "those", "one", "two", "three", "four", "five",
    "six", "both", "all", "each", "every", "some", "several", "no",
];

/// Returns true where the name is of several things: *patio doors*, *railings*.
pub(crate) fn is_plural(name: &str) -> bool {
    let words: Vec<&str> = name.split(' ').collect();
    let end = words
        .iter()
        .position(|w| AFTER_HEAD.contains(w))
        .filter(|&at| at > 0);
    let head = words[..end.unwrap_or(words.len())]
        .last()
        .map_or("", |w| *w)
        .to_lowercase();
    PLURAL.contains(&head.as_str())
        || head.ends_with('s')
            && !head.ends_with("ss")
            && !head.ends_with("us")
            && !head.ends_with("'s")
            && !SINGULAR.contains(&head.as_str())
}

/// Returns the subject that an element and its position make. `plural` gives the plural of a name.
pub(super) fn subject(
    element: &str,
    position: Option<&str>,
    count: u32,
    plural: &dyn Fn(&str) -> String,
) -> Subject {
    let element = super::lower_first(element.trim());
    if element.is_empty() {
        return Subject {
            text: "this".to_owned(),
            plural: false,
        };
    }
    let first = element.split(' ').next().unwrap_or_default().to_lowercase();
    let (name, several) = if count > 1 && !is_plural(&element) {
        (plural(&element), true)
    } else {
        (element.clone(), is_plural(&element))
    };
    let (mut before, mut behind) = (Vec::new(), Vec::new());
    for part in position.unwrap_or_default().split(", ").map(str::trim) {
        let words: Vec<&str> = part.split(' ').filter(|w| !w.is_empty()).collect();
        let adjective = !words.is_empty() && words.iter().all(|w| BEFORE.contains(w));
        // *Front* says nothing new of a *front door*.
        let said = element.split(' ').any(|w| w == part);
        if words.is_empty() || said {
            continue;
        }
        if adjective {
            before.push(
                part.replace("left hand", "left-hand")
                    .replace("right hand", "right-hand"),
            );
        } else {
            behind.push(part.to_owned());
        }
    }
    // *The right window restrictor on the right* says it twice.
    let says = |whole: &str, part: &str| {
        format!(" {} ", whole.replace('-', " ")).contains(&format!(" {} ", part.replace('-', " ")))
    };
    let again = |part: &String| behind.iter().any(|phrase: &String| says(phrase, part));
    before.retain(|part| !again(part));
    let article = if ARTICLES.contains(&first.as_str()) {
        String::new()
    } else if count > 1 {
        format!("{} ", number_word(count))
    } else {
        "the ".to_owned()
    };
    let before: String = before.iter().map(|b| format!("{b} ")).collect();
    let behind: String = behind.iter().map(|b| format!(" {b}")).collect();
    Subject {
        text: format!("{article}{before}{name}{behind}"),
        plural: several,
    }
}

/// Returns the thing that is meant, *the pipe*, or the things if there are several.
pub(super) fn thing(name: &str, count: u32, plural: &dyn Fn(&str) -> String) -> String {
    let first = name.split(' ').next().unwrap_or_default();
    let article = if ARTICLES.contains(&first) {
        ""
    } else {
        "the "
    };
    if count > 1 && !is_plural(name) {
        format!("{article}{}", plural(name))
    } else {
        format!("{article}{name}")
    }
}

/// Returns small numbers in words, as style guides advise up to ten.
fn number_word(count: u32) -> String {
    const WORDS: [&str; 11] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    WORDS
        .get(count as usize)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
