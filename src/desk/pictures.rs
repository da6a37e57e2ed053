//! Photos: which there are, made small once, and taking in new ones.

use super::cache;
use super::error::Refused;
use crate::hexadecimal::hexadecimal;
use crate::job::{Certainty, KeptPhoto, PHOTOS_FOLDER, PhotoFormat};
use crate::photos::{PictureError, facts_of, format_of, made};
use axum::http::StatusCode;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

/// Longest side of a small picture, in pixels: a tile on a dense screen.
const SMALL: u32 = 320;
/// Longest side of a picture that is taken in, in pixels: more than phones have, so that theirs are kept
/// as they are, and within what a JPEG holds.
const LONGEST_SIDE: u32 = 20_000;
/// First bytes that tell a picture's format.
const HEAD_BYTES: u64 = 12;
/// Largest upload, in bytes: the largest JPEGs of phones have some 30 MB.
pub(crate) const LARGEST_UPLOAD: usize = 40 * 1024 * 1024;
/// JPEG quality of small pictures and of those taken in; the usual middle and high. Common practice.
const SMALL_QUALITY: u8 = 80;
const FULL_QUALITY: u8 = 92;

/// A photo of the job.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PhotoView {
    /// What it is asked for by; says nothing about where it is.
    pub(crate) id: String,
    pub(crate) name: String,
    /// False for kinds that browsers do not show.
    shown: bool,
    /// When it was taken, by the camera's clock.
    #[serde(skip_serializing_if = "Option::is_none")]
    taken: Option<String>,
    /// The recording that ran when it was taken, and the millisecond in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    recording: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_ms: Option<u64>,
    /// How sure it is that the item it was put to by its time is the right one.
    #[serde(skip_serializing_if = "Option::is_none")]
    certainty: Option<&'static str>,
}

impl PhotoView {
    /// Returns a photo that browsers show, with when it was taken.
    pub(crate) fn of(photo: KeptPhoto) -> PhotoView {
        PhotoView {
            taken: photo.taken,
            ..PhotoView::named(photo.name, true)
        }
    }

    fn named(name: String, shown: bool) -> PhotoView {
        PhotoView {
            id: id_of(&name),
            name,
            shown,
            taken: None,
            recording: None,
            at_ms: None,
            certainty: None,
        }
    }
}

/// Returns the photos in the order in which they were taken, with what is known of when; those of which
/// nothing is known last, by name.
pub(crate) fn timed(mut photos: Vec<PhotoView>, kept: Vec<KeptPhoto>) -> Vec<PhotoView> {
    for known in kept {
        if let Some(photo) = photos.iter_mut().find(|photo| photo.name == known.name) {
            photo.taken = known.taken;
            photo.recording = known.moment.map(|moment| moment.recording);
            photo.at_ms = known.moment.map(|moment| moment.at.0);
            photo.certainty = known.certainty.map(Certainty::word);
        }
    }
    photos.sort_by_key(|photo| {
        let moment = photo.recording.zip(photo.at_ms);
        (
            moment.is_none(),
            moment,
            photo.taken.is_none(),
            photo.taken.clone(),
        )
    });
    photos
}

/// Returns the photos of the job by name.
pub(crate) fn list(job: &Path) -> Vec<PhotoView> {
    let Ok(entries) = fs::read_dir(job.join(PHOTOS_FOLDER)) else {
        return Vec::new();
    };
    let files = entries
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()));
    let names = files.filter_map(|entry| entry.file_name().into_string().ok());
    let mut photos: Vec<PhotoView> = names
        .filter_map(|name| {
            let ending = name.rsplit_once('.')?.1.to_lowercase();
            let shown = ["jpg", "jpeg", "png", "webp"].contains(&&*ending);
            let known = shown || ["heic", "heif"].contains(&&*ending);
            known.then(|| PhotoView::named(name, shown))
        })
        .collect();
    photos.sort_by(|a, b| a.name.cmp(&b.name));
    photos
}

fn id_of(name: &str) -> String {
    hexadecimal(&Sha256::digest(name)[..8])
}

/// Returns the file of a photo and its type, by what the file begins with.
///
/// # Errors
/// Where there is no such photo, or browsers do not show it.
pub(crate) fn original(job: &Path, id: &str) -> Result<(PathBuf, &'static str), Refused> {
    let photo = list(job).into_iter().find(|photo| photo.id == id);
    let photo = photo.ok_or_else(|| Refused::not_found("there is no such photo"))?;
    let path = job.join(PHOTOS_FOLDER).join(&photo.name);
    let mut head = Vec::new();
    // What cannot be read is no picture either.
    let read = File::open(&path).and_then(|file| file.take(HEAD_BYTES).read_to_end(&mut head));
    match read.ok().and_then(|_| format_of(&head)) {
        Some(PhotoFormat::Jpeg) => Ok((path, "image/jpeg")),
        Some(PhotoFormat::Png) => Ok((path, "image/png")),
        Some(PhotoFormat::Webp) => Ok((path, "image/webp")),
        _ => Err(Refused::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            format_args!("browsers do not show {}", photo.name),
        )),
    }
}

/// Returns a photo made small, from the cache where it is there.
///
/// # Errors
/// As [`original`]; where it is no whole picture.
pub(crate) fn small(job: &Path, id: &str) -> Result<(PathBuf, &'static str), Refused> {
    let (path, _) = original(job, id)?;
    let failed = |error: std::io::Error| Refused::new(StatusCode::INTERNAL_SERVER_ERROR, error);
    let metadata = fs::metadata(&path).map_err(failed)?;
    let changed = metadata.modified().ok();
    let changed = changed.and_then(|time| time.duration_since(UNIX_EPOCH).ok());
    // A replaced file is another picture.
    let stamp = changed.map_or(0, |time| time.as_millis());
    let name = format!("small-{id}-{}-{stamp}.jpg", metadata.len());
    let target = cache::path(job, &name).map_err(failed)?;
    if !target.is_file() {
        let picture = anew(&fs::read(&path).map_err(failed)?, SMALL, SMALL_QUALITY)?;
        cache::write(&target, &picture).map_err(failed)?;
    }
    Ok((target, "image/jpeg"))
}

/// Takes in a picture: it is decoded, turned upright and written anew, so that nothing but the picture
/// gets in (no location, no hidden data). Returns the photo with when it was taken.
///
/// # Errors
/// Where it is no JPEG, PNG or WebP, or is too large.
pub(crate) fn take_in(job: &Path, name: &str, bytes: &[u8]) -> Result<KeptPhoto, Refused> {
    let facts = facts_of(bytes);
    let taken = facts.as_ref().and_then(|facts| facts.taken);
    let camera = facts.map(|facts| facts.camera);
    let original_path = plain_text(name);
    let bytes = anew(bytes, LONGEST_SIDE, FULL_QUALITY)?;
    let folder = job.join(PHOTOS_FOLDER);
    let failed = |error: std::io::Error| Refused::new(StatusCode::INTERNAL_SERVER_ERROR, error);
    fs::create_dir_all(&folder).map_err(failed)?;
    let stem = plain_stem(name);
    let mut name = format!("{stem}.jpg");
    let mut number = 2;
    while folder.join(&name).exists() {
        name = format!("{stem}-{number}.jpg");
        number += 1;
    }
    cache::write(&folder.join(&name), &bytes).map_err(failed)?;
    Ok(KeptPhoto {
        name,
        sha256: hexadecimal(&Sha256::digest(&bytes)),
        format: PhotoFormat::Jpeg,
        original_path,
        taken: taken.map(|taken| taken.to_string()),
        moment: None,
        certainty: None,
        attached: None,
        camera: camera.filter(|camera| !camera.is_empty()),
    })
}

/// A name as text for people: without control characters, and not longer than a name is.
fn plain_text(name: &str) -> String {
    name.chars().filter(|c| !c.is_control()).take(255).collect()
}

/// Letters, digits, dash and underscore of a name without its ending, at most 60 of them.
fn plain_stem(name: &str) -> String {
    let stem = name
        .rsplit_once('.')
        .filter(|(_, ending)| ending.chars().all(char::is_alphanumeric))
        .map_or(name, |(stem, _)| stem);
    let plain = |c: char| {
        if c.is_alphanumeric() || c == '_' {
            c
        } else {
            '-'
        }
    };
    let text: String = stem.chars().take(60).map(plain).collect();
    match text.trim_matches('-') {
        "" => "photo".into(),
        text => text.into(),
    }
}

/// Returns the picture upright and as a JPEG, with its longest side at most so many pixels.
fn anew(bytes: &[u8], longest: u32, quality: u8) -> Result<Vec<u8>, Refused> {
    let unusable = |why: &dyn std::fmt::Display| {
        Refused::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            format_args!(
                "this is no picture that can be taken in ({why}): give a JPEG, PNG or WebP"
            ),
        )
    };
    let format = format_of(bytes).ok_or_else(|| unusable(&"it begins like none"))?;
    made(bytes, format, longest, quality).map_err(|error: PictureError| unusable(&error))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photos::smaller::jpeg;
    use image::RgbImage;

    #[test]
    fn a_name_from_outside_keeps_only_what_is_plain() {
        for (name, stem) in [
            ("IMG_2041.JPG", "IMG_2041"),
            ("../../etc/passwd", "etc-passwd"),
            ("küche 3.png", "küche-3"),
            ("", "photo"),
            ("...", "photo"),
            ("a\0b.jpg", "a-b"),
        ] {
            assert_eq!(plain_stem(name), stem, "{name:?}");
        }
    }

    #[test]
    fn what_is_taken_in_is_upright_and_holds_nothing_but_the_picture() {
        let folder = tempfile::tempdir().unwrap();
        let mut bytes = jpeg(&RgbImage::new(40, 20), 90, None).unwrap();
        // An Exif segment (CIPA DC-008, 4.5): orientation 6, to be turned a quarter clockwise.
        let tiff = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0";
        let mut exif = vec![0xff, 0xe1, 0, (2 + 6 + tiff.len()) as u8];
        exif.extend_from_slice(b"Exif\0\0");
        exif.extend_from_slice(tiff);
        bytes.splice(2..2, exif);
        let photo = take_in(folder.path(), "a.jpg", &bytes).unwrap();
        let kept = fs::read(folder.path().join("photos").join(&photo.name)).unwrap();
        let picture = image::load_from_memory(&kept).unwrap();
        assert_eq!((picture.width(), picture.height()), (20, 40));
        assert!(!kept.windows(4).any(|part| part == b"Exif"));
        let again = take_in(folder.path(), "a.jpg", &bytes).unwrap();
        assert_eq!(again.name, "a-2.jpg");
        let (path, _) = small(folder.path(), &id_of(&photo.name)).unwrap();
        assert!(path.is_file());
    }

    #[test]
    fn when_and_by_which_camera_a_picture_was_taken_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        // Exif with the camera's model (CIPA DC-008, 4.6.4) and a sub-folder that holds DateTimeOriginal
        // (4.6.5), big-endian.
        let mut tiff = b"MM\0*\0\0\0\x08\0\x02".to_vec();
        tiff.extend(b"\x01\x10\0\x02\0\0\0\x04P-1\0");
        tiff.extend(b"\x87\x69\0\x04\0\0\0\x01\0\0\0\x26\0\0\0\0");
        tiff.extend(b"\0\x01\x90\x03\0\x02\0\0\0\x14\0\0\0\x38\0\0\0\0");
        tiff.extend(b"2026:03:02 10:15:03\0");
        let mut exif = vec![0xff, 0xe1, 0, (2 + 6 + tiff.len()) as u8];
        exif.extend_from_slice(b"Exif\0\0");
        exif.extend_from_slice(&tiff);
        let mut bytes = jpeg(&RgbImage::new(40, 20), 90, None).unwrap();
        bytes.splice(2..2, exif);
        let photo = take_in(folder.path(), "IMG_1.JPG", &bytes).unwrap();
        assert_eq!(photo.taken.as_deref(), Some("2026-03-02T10:15:03"));
        assert_eq!(photo.camera.as_deref(), Some("P-1"));
        assert_eq!(photo.original_path, "IMG_1.JPG");
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        for bytes in [
            &b""[..],
            b"<svg onload=alert(1)>",
            b"\xff\xd8\xff\xe0garbled",
        ] {
            assert!(take_in(folder.path(), "a.jpg", bytes).is_err());
        }
        assert!(list(folder.path()).is_empty());
    }
}
