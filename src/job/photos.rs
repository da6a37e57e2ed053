//! Photos: which files the job has, when each was taken, and where in the walk-round that was.
//!
//! Which item shows a photo is a decision and stands in the log; here stands what the file and the
//! clocks tell, so that photos can be shown by place and time also while they are loose.

use super::log::{insert_event, last_event};
use super::{Decision, Event, Job, JobError};
use crate::time::Millis;
use rusqlite::{Row, Transaction, params};
use std::collections::BTreeMap;
use std::fmt;
use std::path::{Component, Path};

/// How sure it is that a photo belongs to the item it was attached to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// The item is merely the nearest.
    Guess,
    /// Taken while, or just after, the item was spoken about.
    Likely,
    /// Taken when the inspector said so, or put there by hand.
    Sure,
}

impl Certainty {
    /// All, least sure first.
    pub const ALL: [Certainty; 3] = [Certainty::Guess, Certainty::Likely, Certainty::Sure];

    /// Returns the one word that files and faces use.
    pub fn word(self) -> &'static str {
        match self {
            Certainty::Guess => "guess",
            Certainty::Likely => "likely",
            Certainty::Sure => "sure",
        }
    }
}

impl fmt::Display for Certainty {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What kind of file a photo is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PhotoFormat {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    Webp,
    /// HEIC or HEIF: kept, and its time is read; no face and no document can show it.
    Heic,
}

impl PhotoFormat {
    /// All formats.
    pub const ALL: [PhotoFormat; 4] = [
        PhotoFormat::Jpeg,
        PhotoFormat::Png,
        PhotoFormat::Webp,
        PhotoFormat::Heic,
    ];

    /// Returns the format's name, one lowercase word.
    pub fn word(self) -> &'static str {
        match self {
            PhotoFormat::Jpeg => "jpeg",
            PhotoFormat::Png => "png",
            PhotoFormat::Webp => "webp",
            PhotoFormat::Heic => "heic",
        }
    }

    /// Returns true where the picture can be decoded, and so be shown.
    pub fn can_be_shown(self) -> bool {
        self != PhotoFormat::Heic
    }
}

/// A moment in a recording of the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// Number of the recording.
    pub recording: u32,
    /// When in it.
    pub at: Millis,
}

/// A photo of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPhoto {
    /// File name within the job's `photos/` folder, as in [`crate::items::Item::photos`].
    pub name: String,
    /// SHA-256 of the file, which is as it was given, byte for byte.
    pub sha256: String,
    /// What kind of file it is.
    pub format: PhotoFormat,
    /// Where the file was when it was taken in, as text for people.
    pub original_path: String,
    /// When it was taken by the camera's own clock, `2026-03-02T10:15:03.250`, with `+01:00` behind
    /// it where the file tells the zone; `None` where it tells no time.
    pub taken: Option<String>,
    /// The moment of the walk-round; `None` where the time is unknown or outside all recordings.
    pub moment: Option<Moment>,
    /// How sure the attachment made for it is; `None` where none was made.
    pub certainty: Option<Certainty>,
    /// [`Event::id`] of the attachment that was made for it by its time; `None` where none was.
    pub attached: Option<i64>,
    /// Maker, model and number of the camera, to tell two cameras with clocks of their own; `None`
    /// where its file told none, or was taken in by an edition that did not keep it.
    pub camera: Option<String>,
}

impl Job {
    /// Returns the photos in the order in which they were taken, those without a time last.
    ///
    /// # Errors
    /// As reading has it; [`JobError::Damaged`] where a row cannot be understood.
    pub fn photos(&self) -> Result<Vec<KeptPhoto>, JobError> {
        let path = self.file();
        let read = || -> rusqlite::Result<Vec<Result<KeptPhoto, String>>> {
            let mut statement = self.connection.prepare(
                "SELECT name, sha256, format, original_path, taken, recording, at_ms, certainty,
                        attached, camera
                 FROM photos ORDER BY taken IS NULL, taken, name",
            )?;
            let rows = statement.query_map([], from_row)?;
            rows.collect()
        };
        read()
            .map_err(|source| JobError::sqlite("read the photos", &path, source))?
            .into_iter()
            .map(|photo| {
                photo.map_err(|detail| JobError::Damaged {
                    path: path.clone(),
                    detail,
                })
            })
            .collect()
    }

    /// Keeps `photos`, each in place of what was known of its name, together with `decisions`
    /// about them, all or none, and returns these as events. An attachment among them counts as
    /// made for the photo by its time: [`KeptPhoto::attached`] is set to it.
    ///
    /// `after` and `at` are as for [`Job::append`].
    ///
    /// # Errors
    /// As [`Job::append`]. On error nothing was kept.
    pub fn keep_photos(
        &mut self,
        after: i64,
        photos: &[KeptPhoto],
        decisions: &[Decision],
        at: &str,
    ) -> Result<Vec<Event>, JobError> {
        let path = self.file();
        let transaction = self.begin("keep the photos")?;
        if last_event(&transaction, &path)? != after {
            return Err(JobError::ChangedElsewhere { path });
        }
        let mut events = Vec::with_capacity(decisions.len());
        let mut attached = BTreeMap::new();
        for decision in decisions {
            let event = insert_event(&transaction, &path, decision, at)?;
            for part in decision.parts() {
                if let Decision::AttachPhoto { photo, .. } = part {
                    attached.insert(photo, event.id);
                }
            }
            events.push(event);
        }
        for photo in photos {
            let event = attached.get(&photo.name).copied().or(photo.attached);
            insert(&transaction, &path, photo, event)?;
        }
        transaction
            .commit()
            .map_err(|source| JobError::sqlite("keep the photos", &path, source))?;
        Ok(events)
    }
}

fn insert(
    transaction: &Transaction,
    path: &Path,
    photo: &KeptPhoto,
    attached: Option<i64>,
) -> Result<(), JobError> {
    transaction
        .execute(
            "INSERT OR REPLACE INTO photos
                (name, sha256, format, original_path, taken, recording, at_ms, certainty, attached, camera)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            params![
                photo.name,
                photo.sha256,
                photo.format.word(),
                photo.original_path,
                photo.taken,
                photo.moment.map(|moment| moment.recording),
                photo
                    .moment
                    .map(|moment| i64::try_from(moment.at.0).unwrap_or(i64::MAX)),
                photo.certainty.map(Certainty::word),
                attached,
                photo.camera,
            ],
        )
        .map_err(|source| JobError::sqlite("keep the photos", path, source))?;
    Ok(())
}

/// Reads a row; words that no edition wrote come back as what is wrong.
fn from_row(row: &Row<'_>) -> rusqlite::Result<Result<KeptPhoto, String>> {
    let name: String = row.get(0)?;
    let format: String = row.get(2)?;
    let certainty: Option<String> = row.get(7)?;
    let known_format = PhotoFormat::ALL.into_iter().find(|f| f.word() == format);
    let known_certainty = certainty
        .as_deref()
        .map(|word| Certainty::ALL.into_iter().find(|c| c.word() == word));
    let (Some(format), Some(certainty)) = (
        known_format,
        known_certainty.map_or(Some(None), |known| known.map(Some)),
    ) else {
        return Ok(Err(format!(
            "what is kept of the photo {name} cannot be read"
        )));
    };
    let recording: Option<u32> = row.get(5)?;
    let at: Option<i64> = row.get(6)?;
    let moment = recording.zip(at).map(|(recording, at)| Moment {
        recording,
        at: Millis(u64::try_from(at).unwrap_or(0)),
    });
    Ok(Ok(KeptPhoto {
        name,
        sha256: row.get(1)?,
        format,
        original_path: row.get(3)?,
        taken: row.get(4)?,
        moment,
        certainty,
        attached: row.get(8)?,
        camera: row.get(9)?,
    }))
}

/// Returns true for the name of a file in a folder itself, not a way out of it.
pub fn is_plain_name(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let only = parts.next();
    matches!(only, Some(Component::Normal(part)) if part == name) && parts.next().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plain_names_are_looked_for() {
        for name in ["a.jpg", "a b.JPG", "..jpg", "ä.png"] {
            assert!(is_plain_name(name), "{name}");
        }
        for name in [
            "",
            ".",
            "..",
            "../a.jpg",
            "/etc/passwd",
            "a/b.jpg",
            "a/",
            "./a",
        ] {
            assert!(!is_plain_name(name), "{name}");
        }
    }
}
