//! A photo as the picture that a topic shows.

use super::BcfVersion;
use crate::photos::flat;
use crate::photos::smaller::{at_most, jpeg};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, ImageFormat, ImageReader, RgbImage};
use std::io::Cursor;

/// Longest side of a snapshot in 2.1, in points. Snapshots are PNG there, which makes some 2 bytes
/// of a photo's point: a list of 300 photos of this size has some 150 MB, and at 1,500 points would
/// have 800. The photo itself is beside it as a JPEG.
const LONGEST_SIDE_PNG: u32 = 640;

/// Longest side of a snapshot in 3.0, in points: the most that its documentation allows.
const LONGEST_SIDE_JPEG: u32 = 1_500;

/// JPEG quality, from 1 to 100: the usual choice for pictures to look at (common practice, no
/// source).
const QUALITY: u8 = 80;

/// A picture of a topic.
pub(super) struct Snapshot {
    /// Its file name.
    pub(super) name: &'static str,
    /// The whole file; `None` where it is the photo's own.
    pub(super) own: Option<Vec<u8>>,
}

/// Returns the photo as a snapshot of the version: PNG for 2.1, JPEG for 3.0; `None` where it is no
/// picture that can be decoded.
pub(super) fn snapshot(photo: &[u8], version: BcfVersion) -> Option<Snapshot> {
    let format = image::guess_format(photo).ok()?;
    let decoded = || image::load_from_memory_with_format(photo, format).map(flat);
    match version {
        BcfVersion::V2_1 => Some(Snapshot {
            name: "snapshot.png",
            own: Some(png(&at_most(decoded().ok()?, LONGEST_SIDE_PNG).ok()?)?),
        }),
        BcfVersion::V3_0 => {
            // Photos come with no more points than this, so most need not be decoded.
            let (width, height) = ImageReader::with_format(Cursor::new(photo), format)
                .into_dimensions()
                .ok()?;
            let own = if format == ImageFormat::Jpeg && width.max(height) <= LONGEST_SIDE_JPEG {
                None
            } else {
                let picture = at_most(decoded().ok()?, LONGEST_SIDE_JPEG).ok()?;
                Some(jpeg(&picture, QUALITY, None).ok()?)
            };
            Some(Snapshot {
                name: "snapshot.jpg",
                own,
            })
        }
    }
}

fn png(picture: &RgbImage) -> Option<Vec<u8>> {
    let (width, height) = picture.dimensions();
    let mut bytes = Vec::new();
    // Best compression takes ten times as long and gains a tenth on photos.
    PngEncoder::new_with_quality(&mut bytes, CompressionType::Fast, FilterType::Adaptive)
        .write_image(picture, width, height, ExtendedColorType::Rgb8)
        .ok()?;
    Some(bytes)
}
