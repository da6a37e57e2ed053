//! The list as a BCF file, buildingSMART's open format for issues on a building, versions 2.1 and
//! 3.0 (<https://github.com/buildingSMART/BCF-XML>): every item is a topic.
//!
//! There is no building model here, so topics have no header and no camera. In 2.1 a photo stands in
//! a viewpoint that says nothing else, because readers were seen to pass over a snapshot without
//! one; 3.0 asks for a camera in every viewpoint, and none is invented: the snapshot stands alone
//! there, and the photo is also a document. Identities follow from the list and the item ([`Identity`]),
//! so a later export updates the same topics.

mod archive;
mod markup;
mod snapshot;
mod xml;

use super::document::Document;
use super::error::ExportError;
use super::facts::mark;
use super::identity::Identity;
use super::wording::{capitalised, one_line, severity_word};
use super::{Options, date};
use crate::items::{Item, Standing};
use crate::workers;
use archive::Archive;
use std::collections::BTreeSet;
use xml::Xml;

/// The versions that can be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BcfVersion {
    /// What most programs read.
    #[default]
    V2_1,
    /// The newer one.
    V3_0,
}

/// What every topic is. Of the types in the standard's example of project settings (2.1,
/// `extensions.xsd`) it is the one that fits, so programs with fixed lists know it.
const TOPIC_TYPE: &str = "Issue";

/// Who decides, where the job does not name the inspector.
const UNNAMED_INSPECTOR: &str = "Inspector";

/// Noon in UTC: dates without a time keep their day in every zone from UTC−12 to UTC+11.
const NOON: &str = "T12:00:00Z";

/// For how many topics snapshots are made at once.
const TOPICS_TOGETHER: usize = 24;

/// Returns the file: a zip with a folder for each topic.
pub(super) fn bytes(document: &Document, options: &Options) -> Result<Vec<u8>, ExportError> {
    let version = options.bcf;
    let items = document.by_number(options.include_rejected.unwrap_or(false));
    let list = List {
        document,
        version,
        identity: Identity::of(document),
        author: one_line(document.detail("inspector").unwrap_or(UNNAMED_INSPECTOR)),
        created: date::utc(&document.created)?,
    };
    let mut archive = Archive::new();
    archive.text("bcf.version", version_file(version)?)?;
    if version == BcfVersion::V3_0 {
        archive.text("project.bcfp", list.project()?)?;
        archive.text("extensions.xml", list.extensions(&items)?)?;
    }
    let mut documents = markup::Documents::default();
    // Not all at once: a snapshot may have half a megabyte.
    for items in items.chunks(TOPICS_TOGETHER) {
        let snapshots = workers::each(items, |item| markup::snapshot_of(document, item, version));
        for (item, snapshot) in items.iter().zip(snapshots) {
            markup::topic(&list, item, snapshot, &mut archive, &mut documents)?;
        }
    }
    if version == BcfVersion::V3_0 {
        documents.write(&mut archive)?;
    }
    Ok(archive.finish()?)
}

/// What all topics share.
struct List<'a> {
    document: &'a Document,
    version: BcfVersion,
    identity: Identity,
    author: String,
    created: String,
}

fn version_file(version: BcfVersion) -> std::io::Result<Vec<u8>> {
    let mut xml = Xml::new();
    match version {
        BcfVersion::V2_1 => xml.parent("Version", &[("VersionId", "2.1")], |xml| {
            xml.text("DetailedVersion", "2.1")
        })?,
        BcfVersion::V3_0 => xml.empty("Version", &[("VersionId", "3.0")])?,
    }
    Ok(xml.finish())
}

impl List<'_> {
    fn project(&self) -> std::io::Result<Vec<u8>> {
        let mut xml = Xml::new();
        xml.parent("ProjectInfo", &[], |xml| {
            let id = self.identity.list();
            let name = one_line(&self.document.title);
            // 3.0 refuses empty texts.
            if name.is_empty() {
                return xml.empty("Project", &[("ProjectId", &id)]);
            }
            xml.parent("Project", &[("ProjectId", &id)], |xml| {
                xml.text("Name", &name)
            })
        })?;
        Ok(xml.finish())
    }

    /// Returns the words that the topics use, so that a program can offer them.
    fn extensions(&self, items: &[&Item]) -> std::io::Result<Vec<u8>> {
        let words = |of: &dyn Fn(&Item) -> Vec<String>| -> BTreeSet<String> {
            items.iter().flat_map(|item| of(item)).collect()
        };
        let one = |text: &str| BTreeSet::from([text.to_string()]);
        let statuses = Standing::ALL.map(|standing| topic_status(standing).to_string());
        let mut users = words(&|item| assigned_to(item).into_iter().collect());
        users.insert(self.author.clone());
        let stage = self.document.detail("stage").map(one).unwrap_or_default();
        let mut xml = Xml::new();
        xml.parent("Extensions", &[], |xml| {
            for (list, entry, words) in [
                ("TopicTypes", "TopicType", one(TOPIC_TYPE)),
                ("TopicStatuses", "TopicStatus", BTreeSet::from(statuses)),
                (
                    "Priorities",
                    "Priority",
                    words(&|item| vec![priority(item)]),
                ),
                ("TopicLabels", "TopicLabel", words(&labels)),
                ("Users", "User", users),
                ("Stages", "Stage", stage),
            ] {
                xml.parent(list, &[], |xml| {
                    words.iter().try_for_each(|word| xml.text(entry, word))
                })?;
            }
            Ok(())
        })?;
        Ok(xml.finish())
    }
}

/// Returns the topic's status. The words are those of the standard's example (2.1,
/// `extensions.xsd`), which programs know; the standing itself is in the description and comments.
fn topic_status(standing: Standing) -> &'static str {
    match standing {
        Standing::Open => "Open",
        Standing::Offered => "In Progress",
        Standing::NotPutRight | Standing::Changed => "ReOpened",
        Standing::PutRight | Standing::Closed => "Closed",
    }
}

/// Returns the severity, which stands in for a priority.
fn priority(item: &Item) -> String {
    capitalised(severity_word(item.severity))
}

/// Returns place, element and severity, and the mark of an item that is not confirmed.
fn labels(item: &Item) -> Vec<String> {
    let place = super::wording::place_heading(&item.place);
    let element = capitalised(&item.element);
    let mark = mark(item).map(capitalised);
    [Some(place), Some(element), Some(priority(item)), mark]
        .into_iter()
        .flatten()
        .map(|label| one_line(&label))
        .filter(|label| !label.is_empty())
        .collect()
}

/// Returns the trade.
fn assigned_to(item: &Item) -> Option<String> {
    let trade = capitalised(&one_line(item.trade.as_deref()?));
    (!trade.is_empty()).then_some(trade)
}

#[cfg(test)]
mod tests;
