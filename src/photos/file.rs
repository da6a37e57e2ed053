//! What a photo's file tells: its format, when it was taken, by which camera, which way up.

use super::taken::Taken;
use crate::job::PhotoFormat;
use exif::{Exif, In, Reader, Tag, Value};
use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::Path;

/// What a photo's file tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoFacts {
    /// What kind of file it is, by its first bytes.
    pub format: PhotoFormat,
    /// When it was taken, by the camera's clock.
    pub taken: Option<Taken>,
    /// Maker, model and number of the camera as far as they are told, to tell two cameras with
    /// different clocks apart; empty where nothing is.
    pub camera: String,
}

/// First bytes that tell the format: `ftyp` and a brand of twelve (ISO 14496-12), `RIFF....WEBP`,
/// the JPEG start of image with a marker, the PNG signature.
const HEAD_BYTES: usize = 12;

/// Brands of ISO media files with a still picture in HEVC (ISO 23008-12, annex B): HEIC, sequences
/// of it, and the general brands that phones write as their first.
const HEIC_BRANDS: [&[u8; 4]; 8] = [
    b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1",
];

/// Returns what kind of photo starts with these bytes; `None` for anything else.
pub fn format_of(head: &[u8]) -> Option<PhotoFormat> {
    let at = |offset: usize, want: &[u8]| head.get(offset..offset + want.len()) == Some(want);
    if at(0, &[0xff, 0xd8, 0xff]) {
        Some(PhotoFormat::Jpeg)
    } else if at(0, b"\x89PNG\r\n\x1a\n") {
        Some(PhotoFormat::Png)
    } else if at(0, b"RIFF") && at(8, b"WEBP") {
        Some(PhotoFormat::Webp)
    } else if at(4, b"ftyp") && HEIC_BRANDS.iter().any(|brand| at(8, *brand)) {
        Some(PhotoFormat::Heic)
    } else {
        None
    }
}

/// Returns what the photo at `path` tells; `None` where the file is no photo this program knows.
/// The picture itself is not decoded, and little more than the Exif data is held in memory.
///
/// # Errors
/// Where the file cannot be read. Exif data that is absent or garbled is no error.
pub fn read_facts(path: &Path) -> io::Result<Option<PhotoFacts>> {
    let mut head = Vec::new();
    File::open(path)?
        .take(HEAD_BYTES as u64)
        .read_to_end(&mut head)?;
    let Some(format) = format_of(&head) else {
        return Ok(None);
    };
    let mut reader = BufReader::new(File::open(path)?);
    Ok(Some(facts(format, &mut reader)))
}

/// Returns what a photo in memory tells, as [`read_facts`] does.
pub fn facts_of(bytes: &[u8]) -> Option<PhotoFacts> {
    let format = format_of(bytes)?;
    Some(facts(format, &mut io::Cursor::new(bytes)))
}

fn facts<R: io::BufRead + io::Seek>(format: PhotoFormat, reader: &mut R) -> PhotoFacts {
    let exif = exif_of(reader);
    PhotoFacts {
        format,
        taken: exif.as_ref().and_then(Taken::from_exif),
        camera: exif.as_ref().map(camera).unwrap_or_default(),
    }
}

/// Returns the file's Exif fields as far as they can be read.
fn exif_of<R: io::BufRead + io::Seek>(reader: &mut R) -> Option<Exif> {
    Reader::new()
        .continue_on_error(true)
        .read_from_container(reader)
        // Damage in one field is no reason to do without the others.
        .or_else(|error| error.distill_partial_result(|_| {}))
        .ok()
}

fn camera(exif: &Exif) -> String {
    let told: Vec<String> = [Tag::Make, Tag::Model, Tag::BodySerialNumber]
        .into_iter()
        .filter_map(|tag| match &exif.get_field(tag, In::PRIMARY)?.value {
            Value::Ascii(lines) => Some(String::from_utf8_lossy(lines.first()?).trim().to_owned()),
            _ => None,
        })
        .filter(|text| !text.is_empty())
        .collect();
    told.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_bytes_tell_the_format() {
        let cases: [(&[u8], Option<PhotoFormat>); 9] = [
            (b"\xff\xd8\xff\xe1\0\x10Exif\0\0", Some(PhotoFormat::Jpeg)),
            (b"\x89PNG\r\n\x1a\n\0\0\0\r", Some(PhotoFormat::Png)),
            (b"RIFF\x10\0\0\0WEBPVP8 ", Some(PhotoFormat::Webp)),
            (b"\0\0\0\x18ftypheic\0\0\0\0", Some(PhotoFormat::Heic)),
            (b"\0\0\0\x18ftypmif1\0\0\0\0", Some(PhotoFormat::Heic)),
            (b"\0\0\0\x20ftypM4A \0\0\0\0", None),
            (b"RIFF\x24\0\0\0WAVEfmt ", None),
            (b"GIF89a\0\0\0\0\0\0", None),
            (b"", None),
        ];
        for (head, want) in cases {
            assert_eq!(format_of(head), want, "{head:?}");
        }
    }
}
