//! The workbook read back by calamine; by other programs in `tests/readers.rs`.

use super::super::{Format, sample};
use super::*;
use crate::items::Standing;
use calamine::{Data, DataType, Range, Reader, Xlsx};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::io::{Cursor, Read};

fn written(document: &Document) -> Vec<u8> {
    Format::Xlsx.bytes(document, &Options::default()).unwrap()
}

fn open(bytes: Vec<u8>) -> Xlsx<Cursor<Vec<u8>>> {
    calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap()
}

fn sheet(document: &Document, name: &str) -> Range<Data> {
    open(written(document)).worksheet_range(name).unwrap()
}

/// Returns a row's cells by the headings in the first.
fn cells(range: &Range<Data>, row: usize) -> BTreeMap<String, Data> {
    let rows: Vec<&[Data]> = range.rows().collect();
    let headings = rows[0].iter().map(|heading| heading.to_string());
    headings.zip(rows[row].iter().cloned()).collect()
}

/// Returns the parts of the file.
fn parts(bytes: Vec<u8>) -> BTreeMap<String, String> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut parts = BTreeMap::new();
    for position in 0..archive.len() {
        let mut part = archive.by_index(position).unwrap();
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        parts.insert(part.name().unwrap().to_string(), text);
    }
    parts
}

#[test]
fn has_a_summary_all_items_a_sheet_for_each_trade_and_what_it_rests_on() {
    let names = open(written(&sample::document())).sheet_names();
    assert_eq!(
        names.join(", "),
        "Summary, Items, Decorator, Electrician, Joiner, Plasterer, Roofer, Trade not named, About"
    );
}

#[test]
fn items_have_numbers_days_and_texts_as_what_they_are() {
    let items = sheet(&sample::document(), "Items");
    assert_eq!(items.height(), 8, "headings and all but the rejected");
    let gutter = cells(&items, 1);
    assert_eq!(gutter["No."], Data::Float(1.0));
    assert_eq!(gutter["At second"], Data::Float(21.5));
    assert_eq!(gutter["Trade"], Data::String("Roofer".to_string()));
    assert_eq!(gutter["Standing"], Data::String("open".to_string()));
    let due = gutter["Due"].get_datetime().unwrap();
    assert!(due.is_datetime());
    // 30 March 2026 is day 46,111 of the 1900 date system (ECMA-376, part 1, section 18.17.4.1).
    assert_eq!(due.as_f64(), 46_111.0);
    let by_hand = cells(&items, 7);
    assert_eq!(by_hand["At second"], Data::Empty);
    assert_eq!(
        by_hand["What is wrong"],
        Data::String(sample::document().items[7].description.clone())
    );
    assert_eq!(
        cells(&items, 3)["Standing"],
        Data::String("not put right".to_string())
    );
}

/// The counts are formulas; what they come to is written beside them and must agree with the items.
#[test]
fn the_summary_counts_what_the_items_sheet_holds() {
    let mut document = sample::long_document();
    for item in document
        .items
        .iter_mut()
        .filter(|item| item.number % 7 == 0)
    {
        item.standing = Standing::PutRight;
    }
    document.items[9].trade = Some("JOINER".to_string());
    let (items, summary) = (sheet(&document, "Items"), sheet(&document, "Summary"));
    let rows = 1..items.height();
    let all: Vec<BTreeMap<String, Data>> = rows.map(|row| cells(&items, row)).collect();
    let mut heading = String::new();
    let mut checked = 0;
    for row in summary.rows() {
        let [word, count, outstanding] = [0, 1, 2].map(|at| row[at].clone());
        if count == Data::String("Items".to_string()) {
            heading = word.to_string();
        } else if let (false, Some(count)) = (heading.is_empty(), count.get_float()) {
            let same = |item: &&BTreeMap<String, Data>| {
                item[&heading].to_string().to_lowercase() == word.to_string().to_lowercase()
            };
            let open = |item: &&BTreeMap<String, Data>| {
                item["Standing"] == Data::String("open".to_string())
            };
            assert_eq!(all.iter().filter(same).count() as f64, count, "{word}");
            let left = all.iter().filter(same).filter(open).count() as f64;
            assert_eq!(Some(left), outstanding.get_float(), "{word}");
            checked += 1;
        }
    }
    assert_eq!(
        checked,
        5 + 6 + 5 + 5,
        "severities, standings, trades, places"
    );
}

#[test]
fn the_items_sheet_is_ready_to_filter_to_keep_up_and_to_print() {
    let parts = parts(written(&sample::document()));
    let items = &parts["xl/worksheets/sheet2.xml"];
    for wanted in [
        "<autoFilter ref=\"A1:V8\"/>",
        "<pane xSplit=\"1\" ySplit=\"1\" topLeftCell=\"B2\" activePane=\"bottomRight\" state=\"frozen\"/>",
        "&quot;open,offered as done,put right,not put right,changed,closed by agreement&quot;",
        "&quot;proposed,confirmed,rejected&quot;",
        "orientation=\"landscape\"",
        "paperSize=\"9\"",
        "fitToHeight=\"0\"",
    ] {
        let wanted = wanted.replace("&quot;", "\"");
        assert!(items.replace("&quot;", "\"").contains(&wanted), "{wanted}");
    }
    assert!(parts["xl/workbook.xml"].contains("_xlnm.Print_Titles"));
    let charts = parts
        .keys()
        .filter(|name| name.starts_with("xl/charts/chart"));
    assert_eq!(charts.count(), 4);
}

/// Nobody learns from the file on which machine, by whom and when it was made.
#[test]
fn the_properties_are_the_documents_own() {
    let parts = parts(written(&sample::document()));
    let core = &parts["docProps/core.xml"];
    assert!(
        core.contains("<dc:creator>R. Example</dc:creator>"),
        "{core}"
    );
    assert!(core.contains("2026-03-02T17:05:00Z"), "{core}");
    assert_eq!(
        core.matches("2026-03-02T17:05:00Z").count(),
        core.matches("W3CDTF").count()
    );
    let mut nobody = sample::document();
    nobody.details.clear();
    let parts = self::parts(written(&nobody));
    let names = [
        std::env::var("USER"),
        std::env::var("LOGNAME"),
        std::env::var("HOSTNAME"),
    ];
    for name in names.into_iter().flatten().filter(|name| name.len() > 3) {
        assert!(!parts["docProps/core.xml"].contains(&name));
        assert!(!parts["docProps/app.xml"].contains(&name));
    }
    assert!(parts["docProps/core.xml"].contains("<dc:creator></dc:creator>"));
}

#[test]
fn an_empty_list_and_texts_that_no_cell_holds_make_a_workbook() {
    let mut document = sample::document();
    document.items[0].description = "😀".repeat(20_000);
    document.items[1].description = "x".repeat(32_767);
    let items = sheet(&document, "Items");
    let [long, whole] = [1, 2].map(|row| cells(&items, row)["What is wrong"].to_string());
    assert!(long.ends_with("(cut: a cell holds no more)"));
    assert!(long.encode_utf16().count() <= 32_767 && long.encode_utf16().count() > 32_700);
    assert_eq!(whole.len(), 32_767);
    document.items.clear();
    assert_eq!(sheet(&document, "Items").height(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Texts stay texts, whatever they start with; no sheet name can break the workbook.
    #[test]
    fn no_text_can_become_a_formula(text in "(=|\\+|-|@|'|\\{=|_x0041_|https://a.b|&amp;|[<>&\"a-c0-9é😀\u{0}\u{1f}\u{fffe}\r\n\t\\[\\]:*?/\\\\]){0,10}") {
        let mut document = sample::document();
        document.title = text.clone();
        document.details[0].value = text.clone();
        document.recordings[0].file = text.clone();
        document.unplaced[0].quote = text.clone();
        for item in &mut document.items {
            item.description = text.clone();
            item.place = text.clone();
            item.trade = Some(text.clone());
            item.caution = Some(text.clone());
        }
        let bytes = written(&document);
        let mut workbook = open(bytes.clone());
        for name in workbook.sheet_names() {
            let formulas = workbook.worksheet_formula(&name).unwrap();
            let found = formulas.used_cells().filter(|(.., formula)| !formula.is_empty());
            let foreign = found.filter(|(.., formula)| !formula.starts_with("SUMPRODUCT(")).count();
            prop_assert_eq!(foreign, 0, "in {}", name);
        }
        let items = workbook.worksheet_range("Items").unwrap();
        let shown = cells(&items, 1)["What is wrong"].clone();
        let expected = one_line(&text);
        let same = match &shown {
            Data::Empty => expected.is_empty(),
            Data::String(shown) => *shown == expected,
            _ => false,
        };
        prop_assert!(same, "{:?} for {:?}", shown, expected);
        for (name, part) in parts(bytes) {
            prop_assert!(!part.contains("<hyperlink"), "{}", name);
        }
    }
}
