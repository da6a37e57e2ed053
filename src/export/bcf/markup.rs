//! One topic: its folder with the markup, the viewpoint and the photos.

use super::archive::Archive;
use super::snapshot::{Snapshot, snapshot};
use super::xml::Xml;
use super::{BcfVersion, List, NOON, TOPIC_TYPE, assigned_to, labels, priority, topic_status};
use crate::export::Document;
use crate::export::facts::{facts, name};
use crate::export::wording::{capitalised, one_line};
use crate::items::{Item, standing_words};
use std::collections::BTreeSet;
use std::io;

/// A photo kept beside the markup.
struct Attached {
    guid: String,
    /// Its path from the topic's folder (2.1 only).
    path: String,
    /// Its name in the job.
    name: String,
}

/// Something said about the item.
struct Comment {
    guid: String,
    date: String,
    text: String,
}

/// The documents of a 3.0 file, which stand beside the topics.
#[derive(Default)]
pub(super) struct Documents(Vec<(String, String)>);

impl Documents {
    /// Writes the list of documents.
    pub(super) fn write(self, archive: &mut Archive) -> io::Result<()> {
        if self.0.is_empty() {
            return Ok(());
        }
        let mut xml = Xml::new();
        xml.parent("DocumentInfo", &[], |xml| {
            xml.parent("Documents", &[], |xml| {
                self.0.iter().try_for_each(|(guid, name)| {
                    xml.parent("Document", &[("Guid", guid)], |xml| {
                        xml.text("Filename", name)
                    })
                })
            })
        })?;
        archive.text("documents.xml", xml.finish())
    }
}

/// Returns the item's photos that there are pictures of, each once, with their names.
fn photos<'a>(document: &'a Document, item: &'a Item) -> Vec<(&'a String, &'a [u8])> {
    let mut named = BTreeSet::new();
    item.photos
        .iter()
        .filter(|name| named.insert(*name))
        .filter_map(|name| Some((name, document.photos.get(name)?.bytes.as_slice())))
        .collect()
}

/// Returns the picture that the item's topic shows: the first of its photos that can be one, with its
/// position among the item's photos.
pub(super) fn snapshot_of(
    document: &Document,
    item: &Item,
    version: BcfVersion,
) -> Option<(usize, Snapshot)> {
    let photos = photos(document, item).into_iter().enumerate();
    photos
        .filter_map(|(position, (_, photo))| Some((position, snapshot(photo, version)?)))
        .next()
}

/// Writes the item's topic.
pub(super) fn topic(
    list: &List<'_>,
    item: &Item,
    snapshot: Option<(usize, Snapshot)>,
    archive: &mut Archive,
    documents: &mut Documents,
) -> io::Result<()> {
    let guid = list.identity.guid("item", &item.id);
    let photos = photos(list.document, item);
    let viewpoint = list.identity.guid("viewpoint", &item.id);
    let attached: Vec<Attached> = photos
        .iter()
        .enumerate()
        .map(|(position, (name, bytes))| Attached {
            guid: list.identity.guid("photo", &format!("{}/{name}", item.id)),
            path: format!("photo-{}.{}", position + 1, ending(bytes)),
            name: one_line(name),
        })
        .collect();
    let mut xml = Xml::new();
    xml.parent("Markup", &[], |xml| {
        let comments = comments(list, item);
        let status = topic_status(item.standing);
        let attributes = [
            ("Guid", guid.as_str()),
            ("TopicType", TOPIC_TYPE),
            ("TopicStatus", status),
        ];
        let picture = snapshot.as_ref().map(|(_, snapshot)| snapshot.name);
        match list.version {
            BcfVersion::V2_1 => {
                xml.parent("Topic", &attributes, |xml| {
                    head(xml, list, item)?;
                    attached
                        .iter()
                        .try_for_each(|photo| reference_2_1(xml, photo))
                })?;
                comments
                    .iter()
                    .try_for_each(|said| comment(xml, list, said))?;
                picture.iter().try_for_each(|picture| {
                    xml.parent("Viewpoints", &[("Guid", &viewpoint)], |xml| {
                        xml.text("Viewpoint", "viewpoint.bcfv")?;
                        xml.text("Snapshot", picture)
                    })
                })
            }
            BcfVersion::V3_0 => xml.parent("Topic", &attributes, |xml| {
                head(xml, list, item)?;
                if !attached.is_empty() {
                    xml.parent("DocumentReferences", &[], |xml| {
                        attached
                            .iter()
                            .try_for_each(|photo| reference_3_0(xml, list, photo))
                    })?;
                }
                if !comments.is_empty() {
                    xml.parent("Comments", &[], |xml| {
                        comments
                            .iter()
                            .try_for_each(|said| comment(xml, list, said))
                    })?;
                }
                picture.iter().try_for_each(|picture| {
                    xml.parent("Viewpoints", &[], |xml| {
                        xml.parent("ViewPoint", &[("Guid", &viewpoint)], |xml| {
                            xml.text("Snapshot", picture)
                        })
                    })
                })
            }),
        }
    })?;
    archive.text(&format!("{guid}/markup.bcf"), xml.finish())?;
    if let Some((position, snapshot)) = snapshot {
        if list.version == BcfVersion::V2_1 {
            let mut xml = Xml::new();
            xml.empty("VisualizationInfo", &[("Guid", &viewpoint)])?;
            archive.text(&format!("{guid}/viewpoint.bcfv"), xml.finish())?;
        }
        let bytes = snapshot.own.as_deref().unwrap_or(photos[position].1);
        archive.picture(&format!("{guid}/{}", snapshot.name), bytes)?;
    }
    for (photo, (_, bytes)) in attached.into_iter().zip(photos) {
        match list.version {
            BcfVersion::V2_1 => archive.picture(&format!("{guid}/{}", photo.path), bytes)?,
            BcfVersion::V3_0 => {
                archive.picture(&format!("Documents/{}", photo.guid), bytes)?;
                documents.0.push((photo.guid, photo.name));
            }
        }
    }
    Ok(())
}

/// Adds what both versions have in the same order, up to the description.
fn head(xml: &mut Xml, list: &List<'_>, item: &Item) -> io::Result<()> {
    xml.text("Title", &name(item))?;
    xml.text("Priority", &priority(item))?;
    xml.text("Index", &item.number.to_string())?;
    let labels = labels(item);
    match list.version {
        BcfVersion::V2_1 => labels
            .iter()
            .try_for_each(|label| xml.text("Labels", label))?,
        BcfVersion::V3_0 => xml.parent("Labels", &[], |xml| {
            labels.iter().try_for_each(|label| xml.text("Label", label))
        })?,
    }
    xml.text("CreationDate", &list.created)?;
    xml.text("CreationAuthor", &list.author)?;
    if let Some(due) = &item.due {
        xml.text("DueDate", &format!("{due}{NOON}"))?;
    }
    if let Some(trade) = assigned_to(item) {
        xml.text("AssignedTo", &trade)?;
    }
    if let Some(stage) = list.document.detail("stage") {
        xml.text("Stage", stage)?;
    }
    let facts = facts(list.document, item);
    let facts = facts.iter().map(|(label, text)| format!("{label}: {text}"));
    let lines: Vec<String> = std::iter::once(one_line(&item.description))
        .filter(|line| !line.is_empty())
        .chain(facts)
        .collect();
    match lines.is_empty() {
        true => Ok(()),
        false => xml.text("Description", &lines.join("\n")),
    }
}

fn reference_2_1(xml: &mut Xml, photo: &Attached) -> io::Result<()> {
    let attributes = [("Guid", photo.guid.as_str()), ("isExternal", "false")];
    xml.parent("DocumentReference", &attributes, |xml| {
        xml.text("ReferencedDocument", &photo.path)?;
        xml.text("Description", &photo.name)
    })
}

/// The reference is a thing of its own beside the document that it names.
fn reference_3_0(xml: &mut Xml, list: &List<'_>, photo: &Attached) -> io::Result<()> {
    let own = list.identity.guid("reference", &photo.guid);
    xml.parent("DocumentReference", &[("Guid", &own)], |xml| {
        xml.text("DocumentGuid", &photo.guid)?;
        xml.text("Description", &photo.name)
    })
}

fn comment(xml: &mut Xml, list: &List<'_>, comment: &Comment) -> io::Result<()> {
    xml.parent("Comment", &[("Guid", &comment.guid)], |xml| {
        xml.text("Date", &comment.date)?;
        xml.text("Author", &list.author)?;
        xml.text("Comment", &comment.text)
    })
}

/// Returns the remarks of the first visit, and what each later visit found.
fn comments(list: &List<'_>, item: &Item) -> Vec<Comment> {
    let mut told = BTreeSet::new();
    let remarks = item.remarks.iter().filter(|remark| told.insert(*remark));
    let remarks = remarks.map(|remark| Comment {
        guid: list
            .identity
            .guid("remark", &format!("{}/{remark}", item.id)),
        date: list.created.clone(),
        text: one_line(remark),
    });
    let visits = item.history.iter().enumerate().map(|(position, seen)| {
        let mut text = format!("Visit {}: {}.", seen.visit, standing_words(seen.standing));
        if !seen.note.trim().is_empty() {
            let note = capitalised(&one_line(&seen.note));
            text += &format!(" {}.", note.trim_end_matches('.'));
        }
        if !seen.quote.trim().is_empty() {
            text += &format!(" Heard: \u{201c}{}\u{201d}", one_line(&seen.quote));
        }
        // Nothing is ever taken out of the history, so the position is as good as a name.
        let key = format!("{}/{position}", item.id);
        Comment {
            guid: list.identity.guid("visit", &key),
            date: format!("{}{NOON}", seen.date),
            text,
        }
    });
    remarks
        .chain(visits)
        .filter(|comment| !comment.text.is_empty())
        .collect()
}

/// Returns the ending that fits the picture's bytes; photos come as JPEG unless told otherwise.
fn ending(bytes: &[u8]) -> &'static str {
    match image::guess_format(bytes) {
        Ok(image::ImageFormat::Png) => "png",
        Ok(image::ImageFormat::WebP) => "webp",
        Ok(image::ImageFormat::Gif) => "gif",
        _ => "jpg",
    }
}
