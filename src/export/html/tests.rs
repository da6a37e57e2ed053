//! The page's structure, its safety against what texts contain, and its colours.

mod reader;
mod told;

use super::super::document::Photo;
use super::super::sample;
use super::super::wording::SEVERITIES;
use super::*;
use crate::export::Format;
use proptest::prelude::*;
use regex::Regex;
use std::collections::BTreeSet;

fn page(document: &Document, options: &Options) -> String {
    String::from_utf8(Format::Html.bytes(document, options).unwrap()).unwrap()
}

fn sample_page() -> String {
    page(&sample::document(), &Options::default())
}

/// Returns the first group of every match.
fn all<'a>(pattern: &str, page: &'a str) -> Vec<&'a str> {
    let regex = Regex::new(pattern).unwrap();
    regex
        .captures_iter(page)
        .map(|c| c.get(1).unwrap().as_str())
        .collect()
}

/// Returns the page's tags in order, or what is wrong with their nesting. Source: the HTML
/// standard, section 13.1.2 (void elements have no end tag, all others here need one).
fn tags(page: &str) -> Result<Vec<String>, String> {
    const VOID: [&str; 3] = ["meta", "img", "br"];
    let body = page.strip_prefix("<!DOCTYPE html>").ok_or("no doctype")?;
    let style = Regex::new("(?s)<style>.*?</style>").unwrap();
    let body = style.replace_all(body, "<style></style>");
    let tag = Regex::new(r#"<(/?)([a-zA-Z0-9]+)((?:\s+[a-zA-Z:-]+(?:="[^"<>]*")?)*)>"#).unwrap();
    let (mut open, mut seen, mut at) = (Vec::new(), Vec::new(), 0);
    for c in tag.captures_iter(&body) {
        let whole = c.get(0).unwrap();
        let between = &body[at..whole.start()];
        if between.contains(['<', '>']) {
            return Err(format!("a bare bracket in {between:?}"));
        }
        at = whole.end();
        let name = c[2].to_string();
        if &c[1] == "/" {
            let last = open.pop();
            if last.as_ref() != Some(&name) {
                return Err(format!("</{name}> closes {last:?}"));
            }
        } else {
            seen.push(whole.as_str().to_string());
            if !VOID.contains(&name.as_str()) {
                open.push(name);
            }
        }
    }
    if open.is_empty() {
        Ok(seen)
    } else {
        Err(format!("left open: {open:?}"))
    }
}

#[test]
fn every_page_is_well_formed_and_its_links_lead_somewhere() {
    let sample = sample::document();
    let empty = Document {
        created: sample.created.clone(),
        ..Document::default()
    };
    for document in [&sample, &empty, &sample::long_document()] {
        for by in [Grouping::Place, Grouping::Trade, Grouping::Severity] {
            for include_rejected in [None, Some(true)] {
                let page = page(
                    document,
                    &Options {
                        by,
                        include_rejected,
                        ..Options::default()
                    },
                );
                tags(&page).unwrap();
                let ids = all(r#" id="([^"]*)""#, &page);
                let names: BTreeSet<&str> = ids.iter().copied().collect();
                assert_eq!(names.len(), ids.len(), "an id is used twice");
                let links = all(r##" href="#([^"]*)""##, &page);
                let labels = all(r#" aria-labelledby="([^"]*)""#, &page);
                for target in links.into_iter().chain(labels) {
                    assert!(names.contains(target), "nothing has the id {target}");
                }
            }
        }
    }
}

/// Source: WCAG 2.2, technique G141 (headings in order), ARIA11 (landmarks), H37 (alt texts).
#[test]
fn headings_go_down_one_level_at_a_time_and_landmarks_are_there() {
    let page = sample_page();
    let levels: Vec<u8> = all("<h([1-6])[ >]", &page)
        .iter()
        .map(|level| level.parse().unwrap())
        .collect();
    assert_eq!(levels.iter().filter(|&&level| level == 1).count(), 1);
    assert_eq!(levels[0], 1);
    assert!(
        levels.windows(2).all(|pair| pair[1] <= pair[0] + 1),
        "{levels:?}"
    );
    for landmark in [
        "<header>",
        "<nav aria-label=",
        "<main>",
        "<footer>",
        "lang=\"en-GB\"",
    ] {
        assert_eq!(page.matches(landmark).count(), 1, "{landmark}");
    }
    assert_eq!(all("<(table)", &page).len(), all("<(thead)", &page).len());
    assert!(
        !page.contains("<th>"),
        "every heading cell says what it heads"
    );
}

/// Nothing is fetched and nothing runs.
#[test]
fn the_page_needs_nothing_from_outside() {
    let mut document = sample::document();
    document.photos.insert(
        "IMG_0012.jpg".to_string(),
        Photo {
            bytes: vec![0xff, 0xd8, 0xff],
        },
    );
    let page = page(&document, &Options::default());
    for word in [
        "<script", "http:", "https:", "//", "url(", "@import", "<link", "<iframe", " on",
    ] {
        let tags = tags(&page).unwrap().concat();
        assert!(!tags.replace("; ", "").contains(word), "{word}");
        if word != " on" && word != "//" {
            assert!(!page.contains(word), "{word}");
        }
    }
    assert!(page.contains("default-src &#39;none&#39;") || page.contains("default-src 'none'"));
    assert!(
        all(r#" src="([^"]*)""#, &page)
            .iter()
            .all(|s| s.starts_with("data:image/jpeg;base64,"))
    );
}

#[test]
fn holds_three_hundred_items() {
    let page = page(&sample::long_document(), &Options::default());
    assert_eq!(page.matches("<article").count(), 300);
    assert_eq!(page.matches("class=\"tick\"").count(), 300);
    assert!(told::article(&page, 6).contains("class=\"sentence long\""));
}

#[test]
fn photos_are_embedded_only_if_their_bytes_are_a_picture() {
    let mut document = sample::document();
    assert!(
        page(&document, &Options::default()).contains("Photos kept with the list: IMG_0012.jpg")
    );
    for (bytes, kind) in [
        (&b"\xff\xd8\xff\xe0rest"[..], Some("image/jpeg")),
        (b"\x89PNG\r\n\x1a\nrest", Some("image/png")),
        (b"GIF89a", Some("image/gif")),
        (b"RIFF\0\0\0\0WEBPVP8 ", Some("image/webp")),
        (b"<svg onload=\"alert(1)\">", None),
        (b"", None),
    ] {
        let photo = Photo {
            bytes: bytes.to_vec(),
        };
        document.photos.insert("IMG_0012.jpg".to_string(), photo);
        let page = page(&document, &Options::default());
        let sources = all(
            r#"<img src="data:([^;]*);base64,[^"]+" alt="Photo for item 1, "#,
            &page,
        );
        assert_eq!(sources.first().copied(), kind);
        assert_eq!(page.contains("Photos kept with the list"), kind.is_none());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    /// Whatever a text says, the page has the tags of the page with a harmless text, no more.
    #[test]
    fn no_text_becomes_markup(hostile in r#"[<>&"'/=!a-]{0,12}|</style><script>|]]>|<!--|" onload="#) {
        let with = |text: &str| {
            let text = format!("x{text}x");
            let mut document = sample::document();
            document.title = text.clone();
            document.details[0].label = text.clone();
            document.details[0].value = text.clone();
            document.recordings[0].file = text.clone();
            document.recordings[0].sha256 = text.clone();
            document.places[3].name = text.clone();
            document.unplaced[0].quote = text.clone();
            document.unplaced[0].why = text.clone();
            let item = &mut document.items[0];
            (item.place, item.element, item.defect) = (text.clone(), text.clone(), text.clone());
            (item.description, item.remarks) = (text.clone(), vec![text.clone()]);
            (item.position, item.remedy) = (Some(text.clone()), Some(text.clone()));
            (item.trade, item.caution) = (Some(text.clone()), Some(text.clone()));
            (item.photos, item.evidence.quote) = (vec![text.clone()], text.clone());
            tags(&page(&document, &Options::default())).map(|tags| tags.len())
        };
        prop_assert_eq!(with(&hostile), with("plain"));
    }
}

/// Source: CSS Syntax Module Level 3, section 4.3.7 (escapes).
#[test]
fn a_title_cannot_leave_its_css_string() {
    for (text, string) in [
        ("Plot 14, Larch Row: end", "\"Plot 14, Larch Row: end\""),
        (
            "a\"; } </style>",
            "\"a\\22 \\3b  \\7d  \\3c \\2f style\\3e \"",
        ),
        ("back\\slash\nline é", "\"back\\5c slash line é\""),
    ] {
        assert_eq!(css_string(text), string);
    }
}

/// Source: WCAG 2.2, success criterion 1.4.3 (text of at least 4.5 to 1) and its definitions of
/// contrast ratio and relative luminance; the closing row is the definition's own extreme.
#[test]
fn every_text_colour_stands_out_from_its_ground() {
    fn luminance(hex: &str) -> f64 {
        let channel = |i: usize| {
            let value = f64::from(u8::from_str_radix(&hex[i..i + 2], 16).unwrap()) / 255.0;
            if value <= 0.04045 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4)
    }
    fn contrast(a: &str, b: &str) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
    assert!((contrast("000000", "ffffff") - 21.0).abs() < 1e-9);
    // The greys on white that the success criterion's explanations are wont to name: from memory.
    assert!((contrast("767676", "ffffff") - 4.54).abs() < 0.005);
    assert!((contrast("777777", "ffffff") - 4.48).abs() < 0.005);
    let schemes: Vec<&str> = STYLE.split(":root {").skip(1).take(2).collect();
    assert_eq!(schemes.len(), 2, "light and dark");
    for scheme in schemes {
        let colour = |name: &str| all(&format!("--{name}: #([0-9a-f]{{6}});"), scheme)[0];
        for (text, ground) in [
            ("ink", "paper"),
            ("soft", "paper"),
            ("link", "paper"),
            ("alert", "paper"),
            ("wait", "paper"),
            ("ink", "alert-ground"),
            ("alert", "alert-ground"),
            ("link", "alert-ground"),
            ("wait", "alert-ground"),
            ("ink", "wait-ground"),
            ("wait", "wait-ground"),
            ("soft", "wait-ground"),
            ("soft", "alert-ground"),
        ] {
            let ratio = contrast(colour(text), colour(ground));
            assert!(ratio >= 4.5, "{text} on {ground}: {ratio:.2}");
        }
        // Success criterion 1.4.11: what a picture shows, at least 3 to 1.
        let ratio = contrast(colour("bar"), colour("paper"));
        assert!(ratio >= 3.0, "bar on paper: {ratio:.2}");
    }
}
