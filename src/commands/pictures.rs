//! The pictures that documents embed, made once and kept beside the photos.

use super::counted::Counted;
use super::shared;
use crate::audio::sha256_of_file;
use crate::export::Photo;
use crate::export::write::write_file;
use crate::items::{Item, Status};
use crate::job::{Job, KeptPhoto, PHOTOS_FOLDER, PhotoFormat, is_plain_name};
use crate::photos::{LONGEST_SIDE, QUALITY, format_of, shown};
use crate::workers;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Returns the pictures of the items' photos, by the photos' names, and says which cannot be shown
/// and why. Few photos are decoded at a time; what was made is kept in the job folder and used again.
///
/// # Errors
/// As reading the job has it.
pub(crate) fn pictures(
    job: &Job,
    items: &[Item],
) -> Result<BTreeMap<String, Photo>, super::CliError> {
    let known: BTreeMap<String, KeptPhoto> = job
        .photos()?
        .into_iter()
        .map(|photo| (photo.name.clone(), photo))
        .collect();
    let names: BTreeSet<&String> = items
        .iter()
        .filter(|item| item.status != Status::Rejected)
        .flat_map(|item| &item.photos)
        .collect();
    let names: Vec<&String> = names.into_iter().collect();
    let dir = job.dir();
    let counted = Counted::new("pictures made", names.len());
    let made = workers::each(&names, |name| {
        let made = picture(dir, name, known.get(*name));
        counted.one();
        made
    });
    drop(counted);
    let mut pictures = BTreeMap::new();
    for (name, made) in names.into_iter().zip(made) {
        match made {
            Ok(bytes) => {
                pictures.insert(name.clone(), Photo { bytes });
            }
            Err(why) => shared::say(format_args!(
                "note: the photo {name} is named, not shown: {why}"
            )),
        }
    }
    Ok(pictures)
}

/// Makes the pictures of photos that were just taken in, so that no document waits for them. What
/// cannot be shown is said by the document that would show it.
pub(crate) fn make_ready(job: &Path, photos: &[KeptPhoto]) {
    let shows = |photo: &&KeptPhoto| photo.format != PhotoFormat::Heic;
    let photos: Vec<&KeptPhoto> = photos.iter().filter(shows).collect();
    let counted = Counted::new("pictures made", photos.len());
    workers::each(&photos, |photo| {
        let _ = picture(job, &photo.name, Some(photo));
        counted.one();
    });
}

/// Returns one photo's picture, from what was made before where that is still true.
fn picture(job: &Path, name: &str, known: Option<&KeptPhoto>) -> Result<Vec<u8>, String> {
    if !is_plain_name(name) {
        return Err("its name is no plain file name".into());
    }
    let path = job.join(PHOTOS_FOLDER).join(name);
    let told = |error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
    let changed = fs::metadata(&path)
        .and_then(|data| data.modified())
        .map_err(|error| told(&error))?;
    let sha256 = match known {
        Some(known) => known.sha256.clone(),
        None => sha256_of_file(&path).map_err(|error| error.to_string())?,
    };
    let made = made_path(job, &sha256);
    let newer = fs::metadata(&made)
        .and_then(|data| data.modified())
        .is_ok_and(|made| made >= changed);
    if newer && let Ok(bytes) = fs::read(&made) {
        return Ok(bytes);
    }
    let bytes = fs::read(&path).map_err(|error| told(&error))?;
    let format = format_of(&bytes).ok_or("it is no JPEG, PNG or WebP")?;
    let picture = shown(&bytes, format).map_err(|error| error.to_string())?;
    // A job on a read-only disk is exported all the same; the picture is then made each time.
    if let Some(folder) = made.parent()
        && fs::create_dir_all(folder).is_ok()
    {
        let _ = write_file(&made, &picture);
    }
    Ok(picture)
}

/// Returns where the picture of a photo is kept. The settings are part of the name, so that other
/// ones make other pictures.
fn made_path(job: &Path, sha256: &str) -> PathBuf {
    job.join(PHOTOS_FOLDER)
        .join(format!("shown-{LONGEST_SIDE}-{QUALITY}"))
        .join(format!("{sha256}.jpg"))
}
