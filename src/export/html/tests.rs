//! The page's structure, its safety against what texts contain, and its colours.

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
fn an_unconfirmed_list_says_so_on_top_and_at_each_item() {
    let page = sample_page();
    let banner = page.find("Draft: not yet confirmed.").unwrap();
    assert!(banner < page.find("<main>").unwrap());
    assert!(page.contains("The inspector has not yet confirmed 2 of 7 items."));
    for (number, standing) in [(1, "confirmed"), (2, "proposed"), (4, "proposed")] {
        let article = article(&page, number);
        assert!(
            article.contains(&format!("class=\"item {standing}\"")),
            "{article}"
        );
        assert_eq!(
            article.contains("Not yet confirmed"),
            standing == "proposed",
            "{article}"
        );
        assert_eq!(
            article.contains("confidence"),
            standing == "proposed",
            "{article}"
        );
    }
    assert!(page.contains("@bottom-left { content: \"Draft, not yet confirmed: "));
}

#[test]
fn a_confirmed_list_carries_no_draft_marks() {
    let mut document = sample::document();
    document
        .items
        .iter_mut()
        .for_each(|item| item.status = Status::Confirmed);
    let page = page(&document, &Options::default());
    assert!(page.contains("Checked by the inspector: 8 items."));
    for word in ["Draft", "Not yet confirmed", "class=\"item proposed\""] {
        assert!(!page.contains(word), "{word}");
    }
}

/// Returns the part of the page for one item.
fn article(page: &str, number: u32) -> &str {
    let from = page.find(&format!("id=\"item-{number}\"")).unwrap();
    let start = page[..from].rfind("<article").unwrap();
    &page[start..start + page[start..].find("</article>").unwrap()]
}

/// Returns the text of a part of the page: a line for each row or paragraph, its pieces parted by
/// ` | `.
fn text(part: &str) -> String {
    let rows = Regex::new("<(?:tr|div|p|caption|h4)[ >]")
        .unwrap()
        .replace_all(part, "\n$0");
    let tags = Regex::new(r"(?: *<[^>]*> *)+").unwrap();
    let lines = rows
        .lines()
        .map(|line| tags.replace_all(line, " | ").into_owned());
    let lines = lines.map(|line| line.trim_matches([' ', '|']).replace("&amp;", "&"));
    lines
        .filter(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn an_item_tells_all_that_is_known() {
    let page = sample_page();
    let told: Vec<String> = [2, 3, 4, 7]
        .iter()
        .map(|&n| text(article(&page, n)))
        .collect();
    insta::assert_snapshot!(told.join("\n\n"), @r#"
    Item | 2 | . | The newel post at the foot of the stairs is out of plumb by 19 mm over one storey.
    Repair | Not yet confirmed | Hallway
    Where | Foot of the stairs
    Measured | 19 mm over 1 storey
    Limit | Outside the limit: | 19 mm is more than the 10 mm that the sample limit allows over a storey
    To put right | Reset the newel post plumb and refix it | (usual remedy, not said on the walk-round)
    Trade | Joiner
    Heard in walk-round 1.m4a at 0:46: | the new will post is out of plumb nineteen millimetres over the storey | . The program’s confidence: 93 in 100.

    Item | 3 | . | The socket beside the hob is loose on the wall.
    Safety | Kitchen
    Caution. | Do not use it. Only a licensed electrician should open it.
    Where | Beside the hob
    To put right | Have it isolated, checked and refixed | (usual remedy, not said on the walk-round)
    Trade | Electrician
    A photo was asked for here; none is attached.
    Heard in walk-round 1.m4a at 1:04: | and the socket here is loose | .

    Item | 4 | . | Two patches of plaster on the window wall may be hollow.
    Finish | Not yet confirmed | Kitchen
    How many | 2
    Measured | about 6 to 8 mm over 2 m
    Limit | Cannot tell: | the sample limit is 7 mm; 6 to 8 mm lies on both sides of it
    Trade | Plasterer
    Remarks | Said to sound hollow when tapped; near the radiator
    Certainty | The inspector was not certain
    Heard in walk-round 1.m4a at 1:26: | and the plaster here is hollow | . The program’s confidence: 61 in 100.

    Item | 7 | . | =SUM(A1) &lt;b&gt;is what the label says&lt;/b&gt; & it should not | really.
    Clean | Place not named
    Added by hand.
    "#);
}

#[test]
fn rejected_items_are_left_out_unless_asked_for() {
    assert!(!sample_page().contains("chipped"));
    let all = page(
        &sample::document(),
        &Options {
            include_rejected: Some(true),
            ..Options::default()
        },
    );
    assert!(article(&all, 6).contains("Rejected"));
}

#[test]
fn safety_comes_first_and_severity_is_told_by_word_and_form() {
    let page = sample_page();
    let first = page.find("Safety first").unwrap();
    assert!(first < page.find("<table").unwrap());
    assert!(page[first..].contains("Do not use it."));
    for severity in SEVERITIES {
        let mark = item::severity_mark(severity).into_string();
        let form = all("href=\"#(mark-[a-z]+)\"", &mark)[0];
        assert!(page.contains(&format!("<symbol id=\"{form}\"")));
        let word = super::super::wording::severity_word(severity);
        assert_eq!(text(&mark).to_lowercase(), word);
    }
    let forms: BTreeSet<&str> = all("(?s)<symbol id=[^>]*>(.*?)</symbol>", &page)
        .into_iter()
        .collect();
    assert_eq!(
        forms.len(),
        SEVERITIES.len(),
        "each severity has a form of its own"
    );
    let mut document = sample::document();
    document.items.retain(|item| !is_safety(item));
    let calm = String::from_utf8(bytes(&document, &Options::default()).unwrap()).unwrap();
    assert!(calm.contains("That is not a finding that the home is safe."));
}

#[test]
fn the_tick_lists_are_by_trade_in_place_order() {
    let page = sample_page();
    let index = &page[page.find("<section class=\"index\"").unwrap()..];
    let index = &index[..index.find("</section>").unwrap()];
    assert_eq!(index.matches("class=\"tick\"").count(), 7);
    insta::assert_snapshot!(text(index), @r#"
    Index by trade
    Decorator | 1 item
    Done | No. | Place | What | Decorator
    8 | Loft | Ceiling: cracked | , over the hatch
    Electrician | 1 item
    Done | No. | Place | What | Electrician
    3 | Kitchen | Socket: loose | , beside the hob | Safety
    Joiner | 2 items
    Done | No. | Place | What | Joiner
    2 | Hallway | Newel post: out of plumb | , foot of the stairs | Not yet confirmed
    5 | Hallway | Door: binding
    Plasterer | 1 item
    Done | No. | Place | What | Plasterer
    4 | Kitchen | Plaster: hollow, 2 of them | Not yet confirmed
    Roofer | 1 item
    Done | No. | Place | What | Roofer
    1 | Front elevation | Gutter joint: leaking | , left of the porch
    Trade not named | 1 item
    Done | No. | Place | What | Trade not named
    7 | Place not named | Meter label: dirty
    "#);
}

#[test]
fn what_made_no_item_is_collapsed() {
    let page = sample_page();
    let details = &page[page.find("<details>").expect("closed: no `open`")..];
    assert!(details.contains("mind the puddle there"));
    assert!(details.contains("no defect named; walk-round 1.m4a at 0:12"));
}

#[test]
fn holds_three_hundred_items() {
    let page = page(&sample::long_document(), &Options::default());
    assert_eq!(page.matches("<article").count(), 300);
    assert_eq!(page.matches("class=\"tick\"").count(), 300);
    assert!(article(&page, 6).contains("class=\"sentence long\""));
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

fn worded() -> Document {
    let mut document = sample::document();
    let detail = |key: &str, value: &str| super::super::document::Detail {
        key: key.to_string(),
        label: key.to_string(),
        value: value.to_string(),
    };
    document.details = vec![
        detail("client", "A. Buyer"),
        detail("address", "14 Larch Row"),
        detail("plot", "14"),
    ];
    let lexicon = crate::lexicon::Lexicon::embedded().unwrap();
    document.word_for(lexicon, Region::Britain);
    document
}

#[test]
fn trade_sheets_can_be_signed_and_show_nothing_of_the_client() {
    let options = Options {
        by: Grouping::Trade,
        ..Options::default()
    };
    let page = page(&worded(), &options);
    for private in ["A. Buyer", "14 Larch Row", "Heard in", "walk-round 1.m4a"] {
        assert!(!page.contains(private), "{private}");
    }
    let sheets: Vec<&str> = page.split("<section class=\"sheet\"").skip(1).collect();
    assert_eq!(sheets.len(), 6, "one a trade");
    for sheet in &sheets {
        assert!(
            sheet.contains("Plot 14, ") && sheet.contains("Initials") && sheet.contains("Date")
        );
    }
    assert_eq!(page.matches("class=\"tick\"").count(), 7);
    assert!(
        STYLE.contains(".sheet { break-before: page; }"),
        "a page each"
    );
    let electrician = sheets[1].split_once('>').unwrap().1;
    insta::assert_snapshot!(text(electrician), @r#"
    Electrician | Plot 14, 1 item
    Done | No. | What | Electrician | Initials | Date
    Safety first
    3
    Safety | Kitchen: | The socket beside the hob is loose on the wall.
    To put right: have it isolated, checked and refixed | (usual remedy)
    Caution. | Electricity can kill. Do not touch or open the fitting, and do not use it if it is damaged, hot or wet. Have a qualified electrician make it safe, test it and put it right to the wiring regulations.
    A photo was asked for here; none is attached.
    "#);
}

#[test]
fn the_report_warns_once_and_explains_a_word_where_it_stands_first() {
    let page = page(&worded(), &Options::default());
    let cautions = &page[page.find("<section class=\"cautions\"").unwrap()..];
    let electricity = "Do not touch or open the fitting";
    assert_eq!(cautions.matches(electricity).count(), 1);
    assert!(
        article(&page, 3).contains(electricity),
        "and beside its item"
    );
    assert!(article(&page, 2).contains("<dfn>"), "newel post");
    let words = &page[page.find("<section class=\"glossary\"").unwrap()..];
    assert!(words.contains("Newel post") && words.contains("Joiner"));
    assert!(page.contains("<html lang=\"en-GB\">"));
    for part in [
        "How to read this list",
        "A visual inspection",
        "Not a warranty",
        "Who decides",
    ] {
        assert!(page.contains(&format!(">{part}<")), "{part}");
    }
    assert!(page.contains("Outside a published limit"));
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
