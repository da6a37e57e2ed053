//! The BCF file by its structure; against the official schemas where they are; and what may never
//! change: identities and bytes. Reading it with another program is in `tests/readers.rs`.

use super::super::document::Photo;
use super::super::{Format, sample};
use super::*;
use proptest::prelude::*;
use quick_xml::events::Event;
use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Names a folder with the folders `2.1` and `3.0` of buildingSMART's schemas. Those of 3.0 are also
/// in `tests/data/bcf`; those of 2.1 have no licence to be passed on by.
const SCHEMAS: &str = "CALLOVER_BCF_SCHEMAS";

const VERSIONS: [BcfVersion; 2] = [BcfVersion::V2_1, BcfVersion::V3_0];

/// A photo of stripes.
fn photo(width: u32, height: u32, format: image::ImageFormat) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(width, height, |x, y| {
        image::Rgb([(x % 256) as u8, (y % 256) as u8, ((x * y) % 256) as u8])
    });
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// The sample with photos: one of item 1, three of item 5, of which one is no picture and one has
/// no bytes.
fn document() -> Document {
    let mut document = sample::document();
    let jpeg = photo(1600, 1200, image::ImageFormat::Jpeg);
    let png = photo(300, 400, image::ImageFormat::Png);
    for (name, bytes) in [
        ("IMG_0012.jpg", jpeg),
        ("a & b.png", png),
        ("broken.jpg", b"not a picture".to_vec()),
    ] {
        document.photos.insert(name.to_string(), Photo { bytes });
    }
    let door = document.items.iter_mut().find(|item| item.number == 5);
    door.unwrap().photos = ["broken.jpg", "a & b.png", "lost.jpg", "a & b.png"]
        .map(String::from)
        .to_vec();
    document
}

fn written(document: &Document, version: BcfVersion) -> BTreeMap<String, Vec<u8>> {
    let options = Options {
        bcf: version,
        ..Options::default()
    };
    unpacked(&Format::Bcf.bytes(document, &options).unwrap())
}

fn unpacked(zip: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let mut archive = zip::ZipArchive::new(Cursor::new(zip)).unwrap();
    let mut files = BTreeMap::new();
    for position in 0..archive.len() {
        let mut file = archive.by_index(position).unwrap();
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        assert!(
            files
                .insert(file.name().unwrap().to_string(), bytes)
                .is_none()
        );
    }
    files
}

/// Returns the text of every element, as `path: text`, and every attribute, as `path@name: value`,
/// in document order.
fn told(xml: &[u8]) -> Vec<String> {
    let mut reader = quick_xml::Reader::from_reader(xml);
    reader.config_mut().check_end_names = true;
    let (mut path, mut all, mut text) = (Vec::new(), Vec::new(), String::new());
    loop {
        match reader.read_event().unwrap() {
            Event::Eof => break,
            Event::Start(start) => {
                text.clear();
                path.push(start.name().as_ref().to_string());
                attributes(&start, &path.join("/"), &mut all);
            }
            Event::Empty(start) => {
                let name = start.name().as_ref().to_string();
                path.push(name);
                attributes(&start, &path.join("/"), &mut all);
                path.pop();
            }
            Event::Text(part) => text += &part.xml10_content(),
            Event::GeneralRef(name) => {
                let name = name.xml10_content();
                let sign = quick_xml::escape::resolve_predefined_entity(&name);
                text += sign.unwrap_or_else(|| panic!("&{name}; in {path:?}"));
            }
            Event::End(_) => {
                if !text.trim().is_empty() {
                    all.push(format!("{}: {text}", path.join("/")));
                }
                text.clear();
                path.pop();
            }
            _ => {}
        }
    }
    assert!(path.is_empty());
    all
}

fn attributes(start: &quick_xml::events::BytesStart<'_>, path: &str, all: &mut Vec<String>) {
    for attribute in start.attributes() {
        let attribute = attribute.unwrap();
        let name: &str = attribute.key.as_ref();
        let value = attribute
            .normalized_value(quick_xml::XmlVersion::Explicit1_0)
            .unwrap();
        all.push(format!("{path}@{name}: {value}"));
    }
}

/// Returns the markup of the item with the number.
fn markup(files: &BTreeMap<String, Vec<u8>>, number: u32) -> Vec<String> {
    let index = format!("Markup/Topic/Index: {number}");
    let mut topics = files
        .iter()
        .filter(|(path, _)| path.ends_with("/markup.bcf"))
        .map(|(_, bytes)| told(bytes));
    topics.find(|topic| topic.contains(&index)).unwrap()
}

#[test]
fn shows_a_topic_in_both_versions() {
    insta::assert_snapshot!(markup(&written(&document(), BcfVersion::V2_1), 5).join("\n"), @"
    Markup/Topic@Guid: 56793682-a4c8-5951-88ce-6b7c3e460544
    Markup/Topic@TopicType: Issue
    Markup/Topic@TopicStatus: ReOpened
    Markup/Topic/Title: 5. Hallway: door, binding
    Markup/Topic/Priority: Repair
    Markup/Topic/Index: 5
    Markup/Topic/Labels: Hallway
    Markup/Topic/Labels: Door
    Markup/Topic/Labels: Repair
    Markup/Topic/CreationDate: 2026-03-02T17:05:00Z
    Markup/Topic/CreationAuthor: R. Example
    Markup/Topic/DueDate: 2026-03-12T12:00:00Z
    Markup/Topic/AssignedTo: Joiner
    Markup/Topic/Description: The door rubs on the frame at the head.
    To put right: Ease the door
    Standing: not put right
    Due: 12 March 2026
    Photos: broken.jpg, a & b.png, lost.jpg, a & b.png
    Heard: walk-round 1.m4a at 1:47: “and the door here is binding”
    Markup/Topic/DocumentReference@Guid: 321ada03-1438-5023-a54a-dd081b506a15
    Markup/Topic/DocumentReference@isExternal: false
    Markup/Topic/DocumentReference/ReferencedDocument: photo-1.jpg
    Markup/Topic/DocumentReference/Description: broken.jpg
    Markup/Topic/DocumentReference@Guid: 4538efb9-6698-5dec-9d2b-f35567ad6034
    Markup/Topic/DocumentReference@isExternal: false
    Markup/Topic/DocumentReference/ReferencedDocument: photo-2.png
    Markup/Topic/DocumentReference/Description: a & b.png
    Markup/Comment@Guid: 5648ea82-0582-5bfb-bea3-9dd5b314e7d7
    Markup/Comment/Date: 2026-03-16T12:00:00Z
    Markup/Comment/Author: R. Example
    Markup/Comment/Comment: Visit 2: not put right. Eased at the foot only. Heard: “item five has been eased at the foot but it still rubs”
    Markup/Viewpoints@Guid: f19db70f-45c0-5f61-94f2-28bc8f5a26a1
    Markup/Viewpoints/Viewpoint: viewpoint.bcfv
    Markup/Viewpoints/Snapshot: snapshot.png
    ");
    insta::assert_snapshot!(markup(&written(&document(), BcfVersion::V3_0), 5).join("\n"), @"
    Markup/Topic@Guid: 56793682-a4c8-5951-88ce-6b7c3e460544
    Markup/Topic@TopicType: Issue
    Markup/Topic@TopicStatus: ReOpened
    Markup/Topic/Title: 5. Hallway: door, binding
    Markup/Topic/Priority: Repair
    Markup/Topic/Index: 5
    Markup/Topic/Labels/Label: Hallway
    Markup/Topic/Labels/Label: Door
    Markup/Topic/Labels/Label: Repair
    Markup/Topic/CreationDate: 2026-03-02T17:05:00Z
    Markup/Topic/CreationAuthor: R. Example
    Markup/Topic/DueDate: 2026-03-12T12:00:00Z
    Markup/Topic/AssignedTo: Joiner
    Markup/Topic/Description: The door rubs on the frame at the head.
    To put right: Ease the door
    Standing: not put right
    Due: 12 March 2026
    Photos: broken.jpg, a & b.png, lost.jpg, a & b.png
    Heard: walk-round 1.m4a at 1:47: “and the door here is binding”
    Markup/Topic/DocumentReferences/DocumentReference@Guid: f62e988e-9b4d-557d-a26c-d07fb639c5f1
    Markup/Topic/DocumentReferences/DocumentReference/DocumentGuid: 321ada03-1438-5023-a54a-dd081b506a15
    Markup/Topic/DocumentReferences/DocumentReference/Description: broken.jpg
    Markup/Topic/DocumentReferences/DocumentReference@Guid: 815ad3a5-57a0-5d5e-be2d-70567586e218
    Markup/Topic/DocumentReferences/DocumentReference/DocumentGuid: 4538efb9-6698-5dec-9d2b-f35567ad6034
    Markup/Topic/DocumentReferences/DocumentReference/Description: a & b.png
    Markup/Topic/Comments/Comment@Guid: 5648ea82-0582-5bfb-bea3-9dd5b314e7d7
    Markup/Topic/Comments/Comment/Date: 2026-03-16T12:00:00Z
    Markup/Topic/Comments/Comment/Author: R. Example
    Markup/Topic/Comments/Comment/Comment: Visit 2: not put right. Eased at the foot only. Heard: “item five has been eased at the foot but it still rubs”
    Markup/Topic/Viewpoints/ViewPoint@Guid: f19db70f-45c0-5f61-94f2-28bc8f5a26a1
    Markup/Topic/Viewpoints/ViewPoint/Snapshot: snapshot.jpg
    ");
}

/// The layout that the standard's documentation asks for: a version file, a folder for each topic
/// named by its identity, with an entry of its own, and no other names.
#[test]
fn every_topic_has_a_folder_with_what_its_markup_names() {
    for version in VERSIONS {
        let files = written(&document(), version);
        assert!(
            told(&files["bcf.version"])
                .iter()
                .any(|line| line.starts_with("Version@VersionId"))
        );
        let mut guids = BTreeSet::new();
        let mut topics = 0;
        for (path, bytes) in files
            .iter()
            .filter(|(path, _)| path.ends_with("/markup.bcf"))
        {
            topics += 1;
            let folder = path.strip_suffix("markup.bcf").unwrap();
            assert!(files.contains_key(folder), "{folder} has no entry");
            let topic = told(bytes);
            assert!(topic.contains(&format!(
                "Markup/Topic@Guid: {}",
                folder.trim_end_matches('/')
            )));
            for line in &topic {
                let (what, value) = line.split_once(": ").unwrap();
                // A document's identity is named once more by the reference to it.
                if what.ends_with("@Guid") {
                    assert!(guids.insert(value.to_string()), "{value} twice");
                    assert_eq!(value, value.to_lowercase());
                }
                for name in ["/Viewpoint", "/Snapshot", "/ReferencedDocument"] {
                    if what.ends_with(name) {
                        assert!(files.contains_key(&format!("{folder}{value}")), "{value}");
                    }
                }
                if what.ends_with("/DocumentGuid") {
                    assert!(files.contains_key(&format!("Documents/{value}")), "{value}");
                    let list = told(&files["documents.xml"]);
                    let named = format!("DocumentInfo/Documents/Document@Guid: {value}");
                    assert!(list.contains(&named), "{value}");
                }
            }
        }
        // All but the rejected one.
        assert_eq!(topics, sample::document().items.len() - 1);
    }
}

/// BCF 2.1 takes PNG for a snapshot, 3.0 PNG or JPEG with at most 1,500 points a side.
#[test]
fn snapshots_are_pictures_of_the_size_and_kind_that_the_version_takes() {
    for (version, kind, largest) in [
        (BcfVersion::V2_1, image::ImageFormat::Png, 640),
        (BcfVersion::V3_0, image::ImageFormat::Jpeg, 1_500),
    ] {
        let files = written(&document(), version);
        let pictures: Vec<_> = files
            .iter()
            .filter(|(path, _)| path.contains("/snapshot."))
            .map(|(_, bytes)| {
                assert_eq!(image::guess_format(bytes).unwrap(), kind);
                let picture = image::load_from_memory(bytes).unwrap();
                (picture.width(), picture.height())
            })
            .collect();
        assert_eq!(pictures.len(), 2, "of items 1 and 5");
        for size in [(largest, largest * 3 / 4), (300, 400)] {
            assert!(pictures.contains(&size), "{size:?} in {pictures:?}");
        }
    }
}

#[test]
fn a_later_export_updates_the_same_topics() {
    let guids = |document: &Document| -> BTreeSet<String> {
        let files = written(document, BcfVersion::V2_1);
        files
            .keys()
            .filter(|path| path.ends_with('/'))
            .cloned()
            .collect()
    };
    let mut later = document();
    let before = guids(&later);
    later.title = "Plot 14, second visit".to_string();
    later.created = "2026-05-04T09:00:00+01:00".to_string();
    later.items.reverse();
    later.recordings.reverse();
    for item in &mut later.items {
        item.description.push_str(" Changed.");
        item.standing = Standing::PutRight;
    }
    assert_eq!(guids(&later), before);
}

#[test]
fn the_standing_becomes_the_status() {
    for (standing, status) in [
        (Standing::Open, "Open"),
        (Standing::Offered, "In Progress"),
        (Standing::NotPutRight, "ReOpened"),
        (Standing::Changed, "ReOpened"),
        (Standing::PutRight, "Closed"),
        (Standing::Closed, "Closed"),
    ] {
        let mut document = document();
        document.items[0].standing = standing;
        let number = document.items[0].number;
        let topic = markup(&written(&document, BcfVersion::V2_1), number);
        let expected = format!("Markup/Topic@TopicStatus: {status}");
        assert!(topic.contains(&expected), "{standing:?}: {topic:?}");
    }
}

/// Returns the folder with a version's schemas.
fn schemas(version: &str) -> Option<PathBuf> {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bcf");
    let given = std::env::var_os(SCHEMAS).map(PathBuf::from);
    given
        .into_iter()
        .chain([own])
        .map(|folder| folder.join(version))
        .find(|folder| folder.join("markup.xsd").is_file())
}

/// Source: buildingSMART's schemas, branches `release_2_1` and `release_3_0`, by xmllint.
#[test]
fn every_file_satisfies_the_official_schemas() {
    if Command::new("xmllint").arg("--version").output().is_err() {
        crate::not_run::not_run::<()>("xmllint (Debian: libxml2-utils)");
        return;
    }
    let mut hostile = document();
    hostile.title = String::new();
    for item in &mut hostile.items {
        item.description = "\u{0}\u{fffe}<b> & ]]> \"'\r\n".to_string();
        item.remarks = vec![String::new(), "a".into(), "a".into(), "\u{1}".into()];
        item.element.clear();
        item.place.clear();
        item.trade = Some(" ".to_string());
    }
    let mut bare = sample::document();
    bare.details.clear();
    for (name, document) in [("full", document()), ("hostile", hostile), ("bare", bare)] {
        for (version, number) in VERSIONS.into_iter().zip(["2.1", "3.0"]) {
            let Some(schemas) = schemas(number) else {
                println!("NOT RUN: no schemas of BCF {number}; set {SCHEMAS} to their folder");
                continue;
            };
            let folder = tempfile::tempdir().unwrap();
            let mut by_schema: BTreeMap<&str, Vec<PathBuf>> = BTreeMap::new();
            for (position, (path, bytes)) in written(&document, version).iter().enumerate() {
                let schema = match path.rsplit('/').next().unwrap() {
                    "bcf.version" => "version.xsd",
                    "markup.bcf" => "markup.xsd",
                    "viewpoint.bcfv" => "visinfo.xsd",
                    "project.bcfp" => "project.xsd",
                    "extensions.xml" => "extensions.xsd",
                    "documents.xml" => "documents.xsd",
                    _ => continue,
                };
                let file = folder.path().join(format!("{position}.xml"));
                std::fs::write(&file, bytes).unwrap();
                by_schema.entry(schema).or_default().push(file);
            }
            assert!(by_schema["markup.xsd"].len() > 5);
            for (schema, files) in by_schema {
                let run = Command::new("xmllint")
                    .args(["--nonet", "--noout", "--schema"])
                    .arg(schemas.join(schema))
                    .args(&files)
                    .output()
                    .unwrap();
                let said = String::from_utf8_lossy(&run.stderr);
                assert!(run.status.success(), "{name}, {number}, {schema}: {said}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Whatever is said, every file stays XML, and the words come back.
    #[test]
    fn no_text_can_break_a_topic(text in "(]]>|<!--|&amp;|&#0;|<b>|[<>&\"' a-cé😀\u{0}\u{b}\u{85}\u{fffe}\u{ffff}\r\n\t]){0,12}") {
        let mut document = sample::document();
        document.title = text.clone();
        document.details[0].value = text.clone();
        for item in &mut document.items {
            item.description = text.clone();
            item.remarks = vec![text.clone()];
            item.trade = Some(text.clone());
            item.place = text.clone();
        }
        let expected = one_line(&text.replace(['\u{fffe}', '\u{ffff}'], ""));
        for version in VERSIONS {
            let files = written(&document, version);
            for (path, bytes) in files.iter().filter(|(path, _)| !path.ends_with('/')) {
                let lines = told(bytes);
                if path.ends_with("/markup.bcf") && !expected.is_empty() {
                    let comment = lines.iter().find(|line| line.contains("Comment/Comment: "));
                    prop_assert!(comment.unwrap().ends_with(&format!(": {}", expected)), "{:?}", comment);
                }
            }
        }
    }
}
