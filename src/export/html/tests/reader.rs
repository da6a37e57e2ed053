//! What the page tells its reader beside the list, and the sheets for each trade.

use super::told::{article, text};
use super::*;

fn worded() -> Document {
    let mut document = sample::document();
    let detail = |key: &str, value: &str| crate::export::Detail {
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
    To put right: Have it isolated, checked and refixed | (usual remedy)
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
