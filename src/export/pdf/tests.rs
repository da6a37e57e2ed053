//! The whole file, looked into by others: qpdf, poppler's tools, and two checkers of PDF/UA.

use super::*;
use crate::cautions::Region;
use crate::export::sample::{document, long_document, plain_item};
use crate::export::{Detail, Format, HeldVisit, Photo};
use crate::lexicon::Lexicon;
use crate::not_run::not_run;
use std::path::Path;
use std::process::{Command, Stdio};

fn pdf(document: &Document, options: &Options) -> Vec<u8> {
    Format::Pdf.bytes(document, options).unwrap()
}

fn trade_sheets() -> Options {
    Options {
        by: Grouping::Trade,
        ..Options::default()
    }
}

/// Returns what a program prints about the file; `None`, said plainly, where it is not installed.
fn looked_into(bytes: &[u8], program: &str, before: &[&str], after: &[&str]) -> Option<String> {
    let found = Command::new(program)
        .arg("--help")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    if found.is_err() {
        return not_run(program);
    }
    let file = tempfile::Builder::new().suffix(".pdf").tempfile().unwrap();
    std::fs::write(file.path(), bytes).unwrap();
    let output = Command::new(program)
        .args(before)
        .arg(file.path())
        .args(after)
        .output()
        .unwrap();
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {text}{errors}");
    Some(text)
}

/// Returns the text in the order in which poppler reads it, each run of white space as a space.
fn text(bytes: &[u8]) -> Option<String> {
    let text = looked_into(bytes, "pdftotext", &["-enc", "UTF-8"], &["-"])?;
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Asserts that the parts stand in the text, each after the one before.
fn assert_in_order(text: &str, parts: &[&str]) {
    let mut rest = text;
    for part in parts {
        let Some((_, after)) = rest.split_once(part) else {
            panic!("{part:?} is not where it should be in:\n{text}");
        };
        rest = after;
    }
}

/// A JPEG photo with Exif data that tells a position.
fn photo() -> Photo {
    let mut plain = Vec::new();
    let pixels = image::RgbImage::from_fn(160, 120, |x, y| image::Rgb([x as u8, y as u8, 90]));
    image::codecs::jpeg::JpegEncoder::new(&mut plain)
        .encode_image(&pixels)
        .unwrap();
    let secret = b"Exif\0\0GPS 51.5007 N 0.1246 W";
    let mut bytes = vec![0xff, 0xd8, 0xff, 0xe1, 0, secret.len() as u8 + 2];
    bytes.extend(secret);
    bytes.extend(&plain[2..]);
    Photo { bytes }
}

/// The sample with photos: one that can be shown, one that is no picture, one that is missing.
fn with_photos() -> Document {
    let mut document = document();
    document.photos.insert("IMG_0012.jpg".into(), photo());
    document.photos.insert(
        "hall.heic".into(),
        Photo {
            bytes: b"no picture".to_vec(),
        },
    );
    document.items[1].photos = vec!["hall.heic".into(), "lost.jpg".into()];
    document
}

/// Everything that a document can hold, and no more: what hostile or careless hands make of it.
fn hostile() -> Document {
    let mut document = long_document();
    document.items.truncate(12);
    document.title = format!(
        "<b>Plot</b> \u{202e}\u{0}\\ (( {} 漏水 \u{1f6b0}",
        "Longword".repeat(60)
    );
    document.items[0].description = "\u{feff})> <</JS (x)>> endstream ½ \u{e000} \u{fffe}".into();
    document.items[1].place = "stairs/landing/cupboard/".repeat(20);
    document.items[2].evidence.quote = "x".repeat(4000);
    document.items[3].caution = Some("Do not touch. ".repeat(80));
    document.items[4].remarks = vec!["a ".repeat(3000)];
    document.items[9].trade = Some("&lt;joiner&gt; ".repeat(30));
    document.details = vec![Detail {
        key: "inspector".into(),
        label: "Inspected by".into(),
        value: "O'Neil \"<>&\" ".repeat(40),
    }];
    document
}

fn samples() -> Vec<(&'static str, Vec<u8>)> {
    let mut empty = document();
    empty.items.clear();
    let mut bare = Document {
        title: "Walk-round".into(),
        created: "2026-03-02T17:05:00+05:30".into(),
        ..Document::default()
    };
    bare.items.push(plain_item(1, "kitchen", "tap", "loose"));
    let usual = Options::default();
    vec![
        ("sample", pdf(&document(), &usual)),
        ("photos", pdf(&with_photos(), &usual)),
        ("sheets", pdf(&document(), &trade_sheets())),
        ("hostile", pdf(&hostile(), &usual)),
        ("hostile sheets", pdf(&hostile(), &trade_sheets())),
        ("empty", pdf(&empty, &usual)),
        ("empty sheets", pdf(&empty, &trade_sheets())),
        ("bare", pdf(&bare, &usual)),
    ]
}

#[test]
fn every_file_claims_its_standards_and_qpdf_finds_nothing_wrong() {
    for (name, bytes) in samples() {
        let head = String::from_utf8_lossy(&bytes).into_owned();
        for claim in [
            "<pdfaid:part>2</pdfaid:part>",
            "<pdfaid:conformance>A</pdfaid:conformance>",
            "<pdfuaid:part>1</pdfuaid:part>",
        ] {
            assert!(head.contains(claim), "{name}: {claim}");
        }
        if let Some(found) = looked_into(&bytes, "qpdf", &["--check"], &[]) {
            assert!(
                found.contains("No syntax or stream encoding errors"),
                "{name}: {found}"
            );
        }
    }
}

/// Source: the Python package page-validation 0.11.0 (MIT), a validator of PDF/A and PDF/UA of its own
/// making: 154 rules of PDF/A-2a, 104 of PDF/UA-1. Its authors run it against the test files of veraPDF
/// and Isartor. A validator that finds nothing anywhere would pass too, so it must find what is broken.
#[test]
fn a_validator_of_the_archive_and_accessibility_standards_finds_nothing() {
    let python = checker("python");
    let has_library = Command::new(&python).args(["-c", "import page"]).output();
    if !has_library.is_ok_and(|output| output.status.success()) {
        return not_run("the Python package page-validation").unwrap_or_default();
    }
    for (name, bytes) in samples() {
        assert_eq!(
            validated(&python, &bytes),
            "2a: 154 rules, 0 failed\nua1: 104 rules, 0 failed\n",
            "{name}"
        );
    }
    let bytes = pdf(&document(), &Options::default());
    for (right, wrong, want) in [
        ("pdfaid:part>2", "pdfaid:part>9", "2a: 154 rules, 1 failed"),
        (
            "pdfuaid:part>1",
            "pdfuaid:part>7",
            "ua1: 104 rules, 1 failed",
        ),
    ] {
        let found = validated(&python, &replaced(&bytes, right, wrong));
        assert!(found.contains(want), "{wrong}: {found}");
    }
}

/// Returns how many rules of each standard the file was held against, how many it breaks, and which.
/// One finding is left out where it is the validator's: of a compressed stream whose last byte happens
/// to be a carriage return it takes that for a part of the line end that follows (ISO 32000-1, 7.3.8.1,
/// has the length decide). qpdf holds every length against its stream, in the test above.
fn validated(python: &str, bytes: &[u8]) -> String {
    const SCRIPT: &str = "\
import sys, page
ends_in_return = b'\\r\\nendstream' in open(sys.argv[1], 'rb').read()
for profile in ('2a', 'ua1'):
    report = page.validate_pdf(sys.argv[1], profile=profile)
    broken = {failure.rule_id for failure in report.failures}
    if ends_in_return:
        broken.discard('PDFA2A-STREAM-LENGTH-001')
    print(f'{profile}: {report.rules.total} rules, {len(broken)} failed', *sorted(broken))
";
    let script = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(script.path(), SCRIPT).unwrap();
    let script = script.path().to_string_lossy();
    looked_into(bytes, python, &[&script], &[]).unwrap_or_default()
}

/// Returns the bytes with every occurrence of a text replaced by one of the same length, so that no
/// place in the file moves.
fn replaced(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut bytes = bytes.to_vec();
    let places: Vec<usize> = (0..bytes.len())
        .filter(|&at| bytes[at..].starts_with(from.as_bytes()))
        .collect();
    assert!(!places.is_empty(), "{from} is not in the file");
    for at in places {
        bytes[at..at + to.len()].copy_from_slice(to.as_bytes());
    }
    bytes
}

/// Poppler up to 25.11 prints "Suspects object is wrong type (boolean)" for every file that marks its tags
/// as certain: its reader takes a boolean that is false for no boolean (Catalog.cc, where it reads
/// MarkInfo). The entry is what ISO 32000-1, table 321, has, and PDF/UA-1, 7.1, wants it false.
#[test]
fn the_tags_are_marked_as_certain() {
    let bytes = pdf(&document(), &Options::default());
    let Some(text) = looked_into(
        &bytes,
        "qpdf",
        &["--qdf", "--object-streams=disable"],
        &["-"],
    ) else {
        return;
    };
    assert!(text.contains("/Suspects false"), "the entry is missing");
}

/// pdfua 0.1.3 checks 16 of the Matterhorn Protocol's 106 rules that a program can check; outloud
/// 0.2.1 checks more of them, and whether the tags make sense.
#[test]
fn checkers_of_accessibility_find_nothing() {
    for (name, bytes) in samples() {
        for (program, before, after) in [
            ("pdfua", &["check"][..], &[][..]),
            // TAG-002 takes any long line outside the tags for lost text; here these are the running
            // heads, which differ from page to page and are marked as such.
            (
                "outloud",
                &["--fail-on", "warning", "--no-info", "--skip", "TAG-002"],
                &[],
            ),
        ] {
            let program = checker(program);
            if let Some(found) = looked_into(&bytes, &program, before, after) {
                println!("{name}: {found}");
            }
        }
    }
}

/// Returns where a checker is: where `.ci/tools --all` puts it, else wherever it is found.
fn checker(name: &str) -> String {
    let target = std::env::var("CARGO_TARGET_DIR").unwrap_or_else(|_| "target".into());
    let own = Path::new(&target).join("checkers/bin").join(name);
    if own.exists() {
        own.to_string_lossy().into_owned()
    } else {
        name.into()
    }
}

/// The Python package wcag-contrast-ratio 0.9 is an implementation of WCAG's formula by others.
#[test]
fn contrast_agrees_with_a_reference_library() {
    use super::colour::Colour;
    let script = "import sys, wcag_contrast_ratio as w\n\
                  for line in open(sys.argv[1]):\n \
                  n = [int(x) / 255 for x in line.split()]\n \
                  print(f'{w.rgb(n[:3], n[3:]):.6f}')";
    let python = checker("python");
    let has_library = Command::new(&python)
        .args(["-c", "import wcag_contrast_ratio"])
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if !has_library {
        not_run::<()>("the Python package wcag-contrast-ratio");
        return;
    }
    let mut seed = 1_u32;
    let mut channel = || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (seed >> 24) as u8
    };
    let pairs: Vec<[u8; 6]> = (0..200).map(|_| [(); 6].map(|()| channel())).collect();
    let lines: Vec<String> = pairs
        .iter()
        .map(|p| p.map(|c| c.to_string()).join(" "))
        .collect();
    let told = looked_into(lines.join("\n").as_bytes(), &python, &["-c", script], &[]).unwrap();
    for (pair, told) in pairs.iter().zip(told.lines()) {
        let [a, b, c, d, e, f] = *pair;
        let ours = Colour(a, b, c).contrast(Colour(d, e, f));
        assert!(
            (ours - told.parse::<f64>().unwrap()).abs() < 0.001,
            "{pair:?}: {ours}, {told}"
        );
    }
    assert_eq!(told.lines().count(), 200);
}

#[test]
fn all_fonts_are_embedded_and_only_in_part() {
    for (name, bytes) in samples() {
        let Some(fonts) = looked_into(&bytes, "pdffonts", &[], &[]) else {
            return;
        };
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty(), "{name}");
        for row in rows {
            // Columns of pdffonts: embedded, subset, has a map to Unicode.
            assert!(row.contains(" yes yes yes "), "{name}: {row}");
        }
    }
}

#[test]
fn the_report_reads_in_order() {
    let Some(text) = text(&pdf(&document(), &Options::default())) else {
        return;
    };
    assert_in_order(
        &text,
        &[
            "Defect list of a new home",
            "Plot 14, Larch Row: walk-round before handover",
            "Inspected by R. Example",
            "Draft: not yet confirmed. 7 items, 2 of which",
            "Summary",
            "Safety first",
            "3 Kitchen: The socket beside the hob",
            "Do not use it.",
            "Outside a published limit",
            "2 Hallway:",
            "By severity",
            "How to read this list",
            "Contents",
            "The list, place by place",
            "Front elevation",
            "The gutter joint drips onto the path left of the porch.",
            "Remake the joint and test with water (as the inspector said)",
            "Hallway 2 items",
            "The newel post at the foot of the stairs",
            "Not yet confirmed",
            "Measured 19 mm over 1 storey",
            "Limit Outside the limit. 19 mm is more than",
            "(usual remedy)",
            "Heard in walk-round 1.m4a at 0:46: “the new will post",
            "The door rubs on the frame",
            "Kitchen 2 items",
            "Caution. Do not use it.",
            "Also visited, with nothing on this list: Landing, En suite.",
            "Cautions, and what this list can tell",
            "What a visual inspection can tell",
            "It is not a warranty",
            "Items by trade",
            "Joiner 2 items",
            "What this list rests on",
            "walk-round 1.m4a",
        ],
    );
    assert!(text.contains("Page 2 of "), "pages are numbered");
}

#[test]
fn the_last_visit_is_summed_up_and_each_caution_told_once() {
    let mut document = document();
    document.visits = [(1, "2026-03-02", vec![1, 2]), (2, "2026-03-16", vec![])]
        .map(|(number, date, recordings)| HeldVisit {
            number,
            date: date.into(),
            recordings,
        })
        .to_vec();
    document.as_of = Some("2026-03-16".into());
    document.word_for(Lexicon::embedded().unwrap(), Region::Britain);
    let Some(text) = text(&pdf(&document, &Options::default())) else {
        return;
    };
    assert_in_order(
        &text,
        &[
            "Visit 2 on 16 March 2026",
            "Not put right 5",
            "Not spoken of",
            "Safety first",
            "Not put right; open for 14 days",
            "Cautions, and what this list can tell",
            "Please leave that work to competent people",
            "Electricity. Electricity can kill.",
            "What a visual inspection can tell",
            "people licensed or trained for it",
        ],
    );
    let (_, cautions) = text.rsplit_once("Please leave that work").unwrap();
    assert_eq!(cautions.matches("Electricity can kill").count(), 1);
}

#[test]
fn a_trade_word_is_explained_where_it_stands_first_and_in_the_glossary() {
    let mut document = document();
    let mut again = document.items[1].clone();
    (again.number, again.place) = (90, "loft".into());
    document.items.push(again);
    document.word_for(Lexicon::embedded().unwrap(), Region::Britain);
    let Some(text) = text(&pdf(&document, &Options::default())) else {
        return;
    };
    let meaning = "Newel post: the post";
    assert_eq!(text.matches(meaning).count(), 1, "{text}");
    let explained = &["The newel post", meaning, "Words explained", "Newel post"];
    assert_in_order(&text, explained);
}

#[test]
fn trade_sheets_tell_nothing_of_the_client_but_the_plot() {
    let mut document = with_photos();
    let secrets = [
        ("client", "Mr and Mrs Hidden"),
        ("address", "3 Secret Lane"),
        ("inspector", "I. Nspector"),
        ("reference", "REF-99"),
        ("weather", "storm"),
    ];
    document.title = "Hidden family, Secret Lane".into();
    document.details = secrets
        .iter()
        .chain(&[("plot", "14"), ("date", "2 March 2026")])
        .map(|(key, value)| Detail {
            key: (*key).into(),
            label: (*key).into(),
            value: (*value).into(),
        })
        .collect();
    let bytes = pdf(&document, &trade_sheets());
    let raw = String::from_utf8_lossy(&bytes);
    let Some(text) = text(&bytes) else { return };
    for (_, secret) in secrets {
        assert!(!text.contains(secret) && !raw.contains(secret), "{secret}");
    }
    assert!(
        !text.contains("Hidden") && !raw.contains("Hidden"),
        "the title"
    );
    assert!(!text.contains("and the"), "nothing that was said aloud");
    assert_in_order(
        &text,
        &[
            "Decorator",
            "Plot 14 · 2 March 2026 · 1 item",
            "Electrician",
            "Do not use it.",
            "Joiner",
            "Hallway",
            "The newel post at the foot of the stairs",
            "Not yet confirmed",
            "All done by, date",
        ],
    );
}

#[test]
fn places_come_in_walking_order_on_each_trades_own_sheet() {
    let mut document = document();
    let places = ["loft", "kitchen", "front elevation", "hallway"];
    for (item, place) in document.items.iter_mut().zip(places) {
        item.place = place.into();
        item.trade = Some("joiner".into());
        item.severity = crate::items::Severity::Finish;
    }
    document.items.truncate(4);
    let bytes = pdf(&document, &trade_sheets());
    let Some(text) = text(&bytes) else { return };
    assert_in_order(
        &text,
        &["Joiner", "Front elevation", "Hallway", "Kitchen", "Loft"],
    );
}

#[test]
fn nothing_that_is_not_known_has_a_label() {
    let mut document = document();
    document.details = vec![Detail {
        key: "weather".into(),
        label: "Weather".into(),
        value: "  ".into(),
    }];
    document.items = vec![plain_item(1, "kitchen", "tap", "loose")];
    let Some(text) = text(&pdf(&document, &Options::default())) else {
        return;
    };
    assert!(!text.contains("Weather"), "{text}");
    let (_, list) = text.split_once("The list, place by place Kitchen").unwrap();
    let (item, _) = list.split_once("Cautions, and what").unwrap();
    for label in [
        "Where",
        "Measured",
        "Limit",
        "To put right",
        "Trade",
        "Caution",
        "Photos",
    ] {
        assert!(!item.contains(label), "{label} in {item}");
    }
}

#[test]
fn photos_are_shown_or_named_and_lose_what_they_tell_of_the_camera() {
    let bytes = pdf(&with_photos(), &Options::default());
    assert!(
        !bytes.windows(4).any(|w| w == b"Exif"),
        "no position of a home"
    );
    if let Some(images) = looked_into(&bytes, "pdfimages", &["-list"], &[]) {
        assert_eq!(images.lines().count(), 3, "one picture: {images}");
    }
    let Some(text) = text(&bytes) else { return };
    assert_in_order(
        &text,
        &[
            "hall.heic, lost.jpg (kept with the list; not shown here)",
            "2 photos are named and not shown",
        ],
    );
}

#[test]
fn hostile_text_stays_text_and_on_the_paper() {
    let bytes = pdf(&hostile(), &Options::default());
    let Some(text) = text(&bytes) else { return };
    assert!(text.contains(")> <</JS (x)>> endstream ½ □"), "{text}");
    assert!(text.contains("characters that the fonts of this document do not have"));
    let Some(boxes) = looked_into(&bytes, "pdftotext", &["-bbox"], &["-"]) else {
        return;
    };
    let place = |line: &str, name: &str| -> f32 {
        let (_, value) = line.split_once(&format!("{name}=\"")).unwrap();
        value.split('"').next().unwrap().parse().unwrap()
    };
    let words = boxes.lines().filter(|line| line.contains("<word "));
    let mut count = 0;
    for word in words {
        count += 1;
        let inside = place(word, "xMin") >= paper::SIDE - 1.0
            && place(word, "xMax") <= paper::PAGE.0 - paper::SIDE + 2.0
            && place(word, "yMin") >= 20.0
            && place(word, "yMax") <= paper::PAGE.1 - 20.0;
        assert!(inside, "{word}");
    }
    assert!(count > 1000, "{count} words");
}

#[test]
fn a_description_of_a_thousand_characters_long_words_and_fractions_stand_there_whole() {
    let mut document = document();
    let sentence = "The render has come away from the blockwork by about ⅜ in. ";
    document.items[0].description = sentence.repeat(1000usize.div_ceil(sentence.len()));
    assert!(document.items[0].description.chars().count() >= 1000);
    document.items[1].description =
        "A gap of 2½ mm, ¼ in, 1⅝ in and ¾ in at £3, 56 °C, “quoted” – Élodie’s naïve façade."
            .into();
    document.items[2].position =
        Some("Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch".into());
    let Some(text) = text(&pdf(&document, &Options::default())) else {
        return;
    };
    assert!(
        text.contains(document.items[0].description.trim()),
        "{text}"
    );
    assert!(text.contains(&document.items[1].description), "{text}");
    // A word wider than its column goes on in the next line.
    let joined = text.replace(' ', "");
    assert!(
        joined.contains("wyngyllgogerychwyrndrobwllllantysiliogogogoch"),
        "{text}"
    );
}

#[test]
fn a_template_changes_order_and_texts() {
    let toml = r#"
[paper]
sections = ["list", "cover"]
[texts]
kind = "Snags"
firm = ["Pell & Dray", "Fold Lane 12"]
foot = "Private and confidential"
"#;
    let none = |_: &Path| Err(std::io::ErrorKind::NotFound.into());
    let (template, _) = Template::parse(Path::new("own.toml"), toml, none).unwrap();
    let options = Options {
        template,
        ..Options::default()
    };
    let Some(text) = text(&pdf(&document(), &options)) else {
        return;
    };
    assert_in_order(
        &text,
        &[
            "The list, place by place",
            "Private and confidential",
            "Snags",
            "Pell & Dray",
            "Fold Lane 12",
        ],
    );
    assert!(
        !text.contains("How to read") && !text.contains("Defect list of"),
        "{text}"
    );
}

#[test]
fn the_file_tells_its_title_language_and_date() {
    let bytes = pdf(&document(), &Options::default());
    let Some(info) = looked_into(&bytes, "pdfinfo", &["-rawdates"], &[]) else {
        return;
    };
    for line in [
        "Title:           Plot 14, Larch Row: walk-round before handover",
        "Author:          R. Example",
        "CreationDate:    D:20260302170500Z",
        "Tagged:          yes",
        "Page size:       595.276 x 841.89 pts (A4)",
        "PDF version:     1.7",
    ] {
        assert!(info.contains(line), "{line:?} is not in\n{info}");
    }
}
