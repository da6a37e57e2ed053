//! The list for spreadsheets: RFC 4180, one row per item, in the order asked for.
//!
//! UTF-8 with a byte order mark, because spreadsheet programs otherwise take the file for the
//! system's old code page and spoil `°` and `é`. What made no item is not in here (one table, one
//! kind of row), nor are the stable ids: spreadsheets take sixteen digits for a number and round it.

use super::Options;
use super::document::Document;
use super::error::ExportError;
use super::wording::{
    heard_at, measurement, number, remedy_source_word, severity_word, status_word,
};
use crate::items::Item;
use csv::{QuoteStyle, Terminator, WriterBuilder};

/// The byte order mark in UTF-8 (Unicode Standard, section 23.8).
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// First characters that make a spreadsheet take a text for a formula. Sources: OWASP's page on
/// CSV injection (`=`, `+`, `-`, `@`, tab, carriage return); OWASP ASVS 5.0, requirement 1.2.10
/// (the null character too).
const FORMULA_STARTS: [char; 7] = ['=', '+', '-', '@', '\t', '\r', '\0'];

/// What parts several texts in one cell.
const BETWEEN: &str = "; ";

const HEADER: [&str; 24] = [
    "number",
    "place",
    "position",
    "element",
    "defect",
    "description",
    "count",
    "measured",
    "limits",
    "remedy",
    "remedy_source",
    "trade",
    "severity",
    "caution",
    "remarks",
    "hedged",
    "status",
    "confidence",
    "photos",
    "photo_wanted",
    "heard_at",
    "start_s",
    "end_s",
    "quote",
];

/// Returns the items as CSV: a header, then one row each, divided as the options ask.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let groups = document.groups(options.by, options.include_rejected.unwrap_or(false));
    let rows = groups
        .iter()
        .flat_map(|group| &group.items)
        .map(|item| row(document, item));
    let header = HEADER.map(String::from).to_vec();
    let mut bytes = BYTE_ORDER_MARK.to_vec();
    bytes.extend(table(std::iter::once(header).chain(rows))?);
    Ok(bytes)
}

/// Returns the cells of one item, in the order of the header.
fn row(document: &Document, item: &Item) -> Vec<String> {
    let evidence = &item.evidence;
    let text = |t: &Option<String>| harmless(t.as_deref().unwrap_or_default());
    let texts = |all: Vec<String>| harmless(&all.join(BETWEEN));
    let limits = item
        .limits
        .iter()
        .map(|l| format!("{}: {}", l.verdict, l.why))
        .collect();
    let heard_at = heard_at(document, evidence.recording, evidence.span);
    let seconds = |s: Option<f64>| s.map(number).unwrap_or_default();
    vec![
        item.number.to_string(),
        harmless(&item.place),
        text(&item.position),
        harmless(&item.element),
        harmless(&item.defect),
        harmless(&item.description),
        item.count.to_string(),
        texts(item.measurements.iter().map(measurement).collect()),
        texts(limits),
        text(&item.remedy),
        item.remedy_source
            .map(remedy_source_word)
            .unwrap_or_default()
            .to_string(),
        text(&item.trade),
        severity_word(item.severity).to_string(),
        text(&item.caution),
        texts(item.remarks.clone()),
        yes_or_no(item.hedged),
        status_word(item.status).to_string(),
        number(item.confidence),
        texts(item.photos.clone()),
        yes_or_no(item.photo_wanted),
        text(&heard_at),
        seconds(evidence.span.map(|s| s.start.seconds())),
        seconds(evidence.span.map(|s| s.end.seconds())),
        harmless(&evidence.quote),
    ]
}

fn yes_or_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_string()
}

/// Returns the text with an apostrophe before it where a spreadsheet would run it as a formula.
fn harmless(text: &str) -> String {
    if text.starts_with(FORMULA_STARTS) {
        format!("'{text}")
    } else {
        text.to_string()
    }
}

/// Returns rows of cells as RFC 4180: commas, CRLF after every row, quotes where needed.
fn table(rows: impl Iterator<Item = Vec<String>>) -> Result<Vec<u8>, ExportError> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .quote_style(QuoteStyle::Necessary)
        .from_writer(Vec::new());
    for row in rows {
        writer.write_record(row)?;
    }
    writer
        .into_inner()
        .map_err(|e| csv::Error::from(e.into_error()).into())
}

#[cfg(test)]
mod tests {
    use super::super::document::Grouping;
    use super::super::{Format, sample};
    use super::*;
    use proptest::prelude::*;

    fn strings(rows: &[&[&str]]) -> Vec<Vec<String>> {
        rows.iter()
            .map(|row| row.iter().map(|cell| cell.to_string()).collect())
            .collect()
    }

    fn read(bytes: &[u8]) -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes);
        let cells = |record: csv::StringRecord| record.iter().map(String::from).collect();
        reader
            .records()
            .map(|record| cells(record.unwrap()))
            .collect()
    }

    /// Source: RFC 4180, section 2, rules 1, 3, 5, 6 and 7. The RFC lets quotes stand around any
    /// cell; this writer puts them only where a rule asks for them.
    #[test]
    fn writes_the_examples_of_rfc_4180() {
        for (rows, text) in [
            (
                strings(&[&["aaa", "bbb", "ccc"], &["zzz", "yyy", "xxx"]]),
                "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
            ),
            (
                strings(&[
                    &["field_name", "field_name", "field_name"],
                    &["aaa", "bbb", "ccc"],
                ]),
                "field_name,field_name,field_name\r\naaa,bbb,ccc\r\n",
            ),
            (
                strings(&[&["aaa", "b \r\nbb", "ccc"], &["zzz", "yyy", "xxx"]]),
                "aaa,\"b \r\nbb\",ccc\r\nzzz,yyy,xxx\r\n",
            ),
            (
                strings(&[&["aaa", "b\"bb", "ccc"]]),
                "aaa,\"b\"\"bb\",ccc\r\n",
            ),
            (strings(&[&["a,b", "", " c "]]), "\"a,b\",, c \r\n"),
        ] {
            let written = table(rows.clone().into_iter()).unwrap();
            assert_eq!(String::from_utf8(written.clone()).unwrap(), text);
            assert_eq!(read(&written), rows);
        }
    }

    /// Source: OWASP's page on CSV injection and ASVS 1.2.10; see [`FORMULA_STARTS`].
    #[test]
    fn texts_that_would_run_as_formulas_are_made_harmless() {
        for (text, cell) in [
            ("=1+2\";=1+2", "'=1+2\";=1+2"),
            ("+44", "'+44"),
            ("-2.5 °C", "'-2.5 °C"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\t=1", "'\t=1"),
            ("\r=1", "'\r=1"),
            ("\0=1", "'\0=1"),
            ("'=1", "'=1"),
            ("a=1", "a=1"),
            ("", ""),
        ] {
            assert_eq!(harmless(text), cell);
        }
    }

    proptest! {
        #[test]
        fn any_table_reads_back_as_it_was(rows in prop::collection::vec(
            prop::collection::vec("[a-c,\"\r\n\t ;'é]{0,6}", 3..=3), 0..6,
        )) {
            prop_assert_eq!(read(&table(rows.clone().into_iter()).unwrap()), rows);
        }

        #[test]
        fn no_text_of_an_item_can_start_a_formula(text in "[-=+@\t\r\0a'\" ,]{0,4}") {
            let mut document = sample::document();
            let item = &mut document.items[0];
            (item.place, item.element, item.defect) = (text.clone(), text.clone(), text.clone());
            item.description = text.clone();
            (item.position, item.remedy) = (Some(text.clone()), Some(text.clone()));
            (item.trade, item.caution) = (Some(text.clone()), Some(text.clone()));
            (item.remarks, item.photos) = (vec![text.clone()], vec![text.clone()]);
            item.evidence.quote = text.clone();
            document.recordings[0].file = text.clone();
            let bytes = Format::Csv.bytes(&document, &Options::default()).unwrap();
            for cell in read(&bytes[3..]).concat() {
                prop_assert!(!cell.starts_with(FORMULA_STARTS), "{:?}", cell);
            }
        }
    }

    #[test]
    fn every_row_has_a_cell_for_every_heading() {
        for by in [Grouping::Place, Grouping::Trade, Grouping::Severity] {
            let options = Options {
                by,
                include_rejected: Some(true),
                ..Options::default()
            };
            let bytes = Format::Csv.bytes(&sample::document(), &options).unwrap();
            let rows = read(bytes.strip_prefix(BYTE_ORDER_MARK).unwrap());
            assert_eq!(rows.len(), 1 + sample::document().items.len());
            assert!(rows.iter().all(|row| row.len() == HEADER.len()));
        }
    }

    #[test]
    fn shows_the_list() {
        let bytes = Format::Csv
            .bytes(&sample::document(), &Options::default())
            .unwrap();
        let text = String::from_utf8(bytes).unwrap();
        insta::assert_snapshot!(text.replace("\r\n", "<CRLF>\n").replace('\u{feff}', "<BOM>"), @r#"
        <BOM>number,place,position,element,defect,description,count,measured,limits,remedy,remedy_source,trade,severity,caution,remarks,hedged,status,confidence,photos,photo_wanted,heard_at,start_s,end_s,quote<CRLF>
        1,front elevation,left of the porch,gutter joint,leaking,The gutter joint drips onto the path left of the porch.,1,,,remake the joint and test with water,spoken,roofer,repair,,,no,confirmed,0.9,IMG_0012.jpg,no,walk-round 1.m4a at 0:21,21.5,27.75,and the gutter joint here is leaking<CRLF>
        2,hallway,foot of the stairs,newel post,out of plumb,The newel post at the foot of the stairs is out of plumb by 19 mm over one storey.,1,19 mm over 1 storey,outside: 19 mm is more than the 10 mm that the sample limit allows over a storey,reset the newel post plumb and refix it,suggested,joiner,repair,,,no,proposed,0.9312,,no,walk-round 1.m4a at 0:46,46,52.1,the new will post is out of plumb nineteen millimetres over the storey<CRLF>
        5,hallway,,door,binding,The door rubs on the frame at the head.,1,,,ease the door,spoken,joiner,repair,,,no,confirmed,0.9,,no,walk-round 1.m4a at 1:47,107.5,113.75,and the door here is binding<CRLF>
        3,kitchen,beside the hob,socket,loose,The socket beside the hob is loose on the wall.,1,,,"have it isolated, checked and refixed",suggested,electrician,safety,Do not use it. Only a licensed electrician should open it.,,no,confirmed,0.9,,yes,walk-round 1.m4a at 1:04,64.5,70.75,and the socket here is loose<CRLF>
        4,kitchen,,plaster,hollow,Two patches of plaster on the window wall may be hollow.,2,about 6 to 8 mm over 2 m,cannot tell: the sample limit is 7 mm; 6 to 8 mm lies on both sides of it,,,plasterer,finish,,said to sound hollow when tapped; near the radiator,yes,proposed,0.61,,no,walk-round 1.m4a at 1:26,86,92.25,and the plaster here is hollow<CRLF>
        8,loft,over the hatch,ceiling,cracked,A hairline crack runs over the loft hatch.,1,,,,,decorator,watch,,,no,confirmed,0.9,,no,loft.opus at 0:08,8.5,14,and the ceiling here is cracked<CRLF>
        7,unplaced,,meter label,dirty,'=SUM(A1) <b>is what the label says</b> & it should not | really.,1,,,,,,clean,,,no,confirmed,1,,no,,,,<CRLF>
        "#);
    }
}
