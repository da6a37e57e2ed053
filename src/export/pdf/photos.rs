//! Photos made as large as the paper can show and no larger.

use crate::export::Document;
use crate::items::Item;
use crate::photos::flat;
use crate::photos::smaller::{at_most, jpeg};
use crate::workers;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;
use std::sync::Arc;

/// A photo as it goes into the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Picture {
    /// A whole JPEG file without anything about camera, time or position.
    pub(super) file: Arc<Vec<u8>>,
    /// Width and height in pixels.
    pub(super) size: (u32, u32),
}

/// What the photos of one document may weigh together, in bytes: a list of 300 must still pass as
/// an attachment (15 MB), and words, fonts and index need a part of that.
const ALL_PHOTOS: usize = 13_000_000;
/// What one photo may weigh where there are few.
const ONE_PHOTO: usize = 220_000;
/// Longest side in pixels for photos that may weigh this much: printed 62 mm wide these are 490,
/// 370 and 260 dots an inch, of which a print shows about 300.
const SIDES: [(usize, u32); 3] = [(160_000, 1200), (80_000, 900), (0, 640)];
/// JPEG qualities tried one after the other until a photo is light enough. Below the last, blocks
/// show on plaster; a photo that is still too heavy then stays so.
const QUALITIES: [u8; 5] = [82, 74, 66, 58, 50];
/// A picture with more pixels than this on a side is refused: 300 such would fill the memory.
const LONGEST_SIDE: u32 = 16_384;
/// What decoding one photo may take of memory, in bytes; a camera's 50 million pixels fit.
const DECODING: u64 = 160 * 1024 * 1024;

/// Returns the photos of the items by name; those that cannot be shown are left out.
pub(super) fn prepare(document: &Document, items: &[&Item]) -> BTreeMap<String, Picture> {
    let wanted: BTreeSet<&String> = items.iter().flat_map(|item| &item.photos).collect();
    let photos: Vec<(&String, &[u8])> = wanted
        .into_iter()
        .filter_map(|name| Some((name, document.photos.get(name)?.bytes.as_slice())))
        .collect();
    let weight = (ALL_PHOTOS / photos.len().max(1)).min(ONE_PHOTO);
    let pictures = workers::each(&photos, |(_, bytes)| picture(bytes, weight));
    let names = photos.into_iter().map(|(name, _)| name.clone());
    names
        .zip(pictures)
        .filter_map(|(name, picture)| Some((name, picture?)))
        .collect()
}

/// Returns the picture at most `weight` bytes heavy where that can be had; `None` for what is no
/// JPEG, PNG, GIF or WebP picture.
fn picture(bytes: &[u8], weight: usize) -> Option<Picture> {
    let side = SIDES
        .iter()
        .find(|(at_least, _)| weight >= *at_least)
        .map_or(SIDES[2].1, |(_, side)| *side);
    let decoded = decode(bytes)?;
    let (width, height) = (decoded.width(), decoded.height());
    if is_plain_jpeg(bytes) && bytes.len() <= weight && width.max(height) <= side {
        return Some(Picture {
            file: Arc::new(bytes.to_vec()),
            size: (width, height),
        });
    }
    let pixels = at_most(flat(decoded), side).ok()?;
    let mut file = Vec::new();
    for quality in QUALITIES {
        file = jpeg(&pixels, quality, None).ok()?;
        if file.len() <= weight {
            break;
        }
    }
    Some(Picture {
        file: Arc::new(file),
        size: pixels.dimensions(),
    })
}

/// Returns the picture the right way up.
fn decode(bytes: &[u8]) -> Option<DynamicImage> {
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_SIDE);
    limits.max_image_height = Some(LONGEST_SIDE);
    limits.max_alloc = Some(DECODING);
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .ok()?;
    reader.limits(limits);
    let mut decoder = reader.into_decoder().ok()?;
    let orientation = decoder.orientation().ok()?;
    let mut picture = DynamicImage::from_decoder(decoder).ok()?;
    picture.apply_orientation(orientation);
    (picture.width() > 0 && picture.height() > 0).then_some(picture)
}

/// Tells whether the bytes are a JPEG file in grey or in red, green and blue that holds the picture
/// and nothing else: no Exif data (which may hold a position, and a turn that a PDF reader does not
/// know of), no comments, no colour profile.
fn is_plain_jpeg(bytes: &[u8]) -> bool {
    let mut components = None;
    for (marker, segment) in segments(bytes) {
        match marker {
            // JFIF head, tables of the coder (ITU-T T.81, table B.1).
            0xe0 | 0xdb | 0xc4 | 0xdd => {}
            0xc0 | 0xc2 => components = segment.get(5).copied(),
            0xda => return matches!(components, Some(1 | 3)),
            _ => return false,
        }
    }
    false
}

/// Tells whether a JPEG file is printed in four inks, which the file's standards take with a colour
/// profile only.
pub(super) fn is_four_colour_jpeg(bytes: &[u8]) -> bool {
    // Every start of a frame; the other markers from C0 to CF are tables (ITU-T T.81, table B.1).
    let is_frame = |marker| matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc);
    segments(bytes).any(|(marker, segment)| is_frame(marker) && segment.get(5) == Some(&4))
}

/// Returns the marker and the content of each segment of a JPEG file, up to the picture's data
/// (ITU-T T.81, annex B.1).
fn segments(bytes: &[u8]) -> impl Iterator<Item = (u8, &[u8])> {
    let mut rest = bytes.strip_prefix(&[0xff, 0xd8]).unwrap_or_default();
    std::iter::from_fn(move || {
        let [0xff, marker, high, low, after @ ..] = rest else {
            return None;
        };
        let length = usize::from(u16::from_be_bytes([*high, *low])).checked_sub(2)?;
        let (segment, next) = after.split_at_checked(length)?;
        rest = if *marker == 0xda { &[] } else { next };
        Some((*marker, segment))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ImageFormat, Rgba, RgbaImage};

    fn encoded(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
        let pixels = RgbaImage::from_fn(width, height, |x, y| {
            // Much detail, so that the file is heavy.
            let noise = (x.wrapping_mul(7919) ^ y.wrapping_mul(104_729)).to_le_bytes();
            Rgba([noise[0], noise[1], (x % 256) as u8, 255])
        });
        let mut bytes = Cursor::new(Vec::new());
        let picture = DynamicImage::from(pixels);
        let picture = if format == ImageFormat::Jpeg {
            picture.to_rgb8().into()
        } else {
            picture
        };
        picture.write_to(&mut bytes, format).unwrap();
        bytes.into_inner()
    }

    #[test]
    fn large_photos_are_made_smaller_and_keep_their_shape() {
        for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
            let shown = picture(&encoded(1600, 1200, format), 40_000).unwrap();
            assert_eq!(shown.size, (640, 480), "{format:?}");
            assert!(shown.file.starts_with(&[0xff, 0xd8, 0xff]));
        }
    }

    #[test]
    fn a_light_plain_jpeg_stays_as_it_is() {
        let bytes = encoded(120, 90, ImageFormat::Jpeg);
        let shown = picture(&bytes, ONE_PHOTO).unwrap();
        assert_eq!((shown.size, shown.file.as_ref()), ((120, 90), &bytes));
    }

    /// The turn is Exif's tag 0x0112 (CIPA DC-008): 6 means that the top is on the right.
    #[test]
    fn a_turned_photo_is_set_upright_and_loses_its_exif_data() {
        let plain = encoded(120, 90, ImageFormat::Jpeg);
        let mut exif =
            b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0".to_vec();
        let length = (exif.len() + 2) as u16;
        let mut bytes = vec![0xff, 0xd8, 0xff, 0xe1];
        bytes.extend(length.to_be_bytes());
        bytes.append(&mut exif);
        bytes.extend(&plain[2..]);
        let shown = picture(&bytes, ONE_PHOTO).unwrap();
        assert_eq!(shown.size, (90, 120));
        assert!(is_plain_jpeg(&shown.file));
    }

    #[test]
    fn only_a_jpeg_with_nothing_but_a_picture_stays_as_it_is() {
        let plain = encoded(40, 30, ImageFormat::Jpeg);
        assert!(is_plain_jpeg(&plain));
        let with = |marker: u8, content: &[u8]| {
            let mut bytes = vec![0xff, 0xd8, 0xff, marker, 0, content.len() as u8 + 2];
            bytes.extend(content);
            bytes.extend(&plain[2..]);
            bytes
        };
        for (marker, content) in [
            (0xe1, b"http://ns.adobe.com/xap/1.0/".as_slice()),
            (0xe2, b"ICC_PROFILE"),
            (0xed, b"Photoshop 3.0"),
            (0xfe, b"taken at home"),
        ] {
            let bytes = with(marker, content);
            assert!(!is_plain_jpeg(&bytes), "{marker:x}");
            let shown = picture(&bytes, ONE_PHOTO).unwrap();
            assert!(is_plain_jpeg(&shown.file), "{marker:x}");
        }
        let frame = plain.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
        let mut four = plain.clone();
        four[frame + 9] = 4;
        assert!(is_four_colour_jpeg(&four) && !is_plain_jpeg(&four));
        assert!(!is_four_colour_jpeg(&plain) && !is_four_colour_jpeg(b"") && !is_plain_jpeg(b""));
        for cut in 0..plain.len() {
            is_plain_jpeg(&plain[..cut]);
        }
    }

    #[test]
    fn what_is_no_picture_or_is_broken_is_left_out() {
        let whole = encoded(300, 200, ImageFormat::Png);
        for bytes in [b"".as_slice(), b"%PDF-1.7", b"GIF89a", &whole[..100]] {
            assert_eq!(picture(bytes, ONE_PHOTO), None);
        }
    }
}
