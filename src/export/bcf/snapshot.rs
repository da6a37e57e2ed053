//! A photo as the picture that a topic shows.

use super::BcfVersion;
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, ImageFormat, RgbImage};

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
    /// The whole file.
    pub(super) bytes: Vec<u8>,
}

/// Returns the photo as a snapshot of the version: PNG for 2.1, JPEG for 3.0; `None` where it is no
/// picture that can be decoded.
pub(super) fn snapshot(photo: &[u8], version: BcfVersion) -> Option<Snapshot> {
    let format = image::guess_format(photo).ok()?;
    let picture = image::load_from_memory_with_format(photo, format).ok()?;
    let longest = picture.width().max(picture.height());
    let fitting = |side: u32| match longest <= side {
        true => picture.to_rgb8(),
        false => picture.thumbnail(side, side).into_rgb8(),
    };
    match version {
        BcfVersion::V2_1 => Some(Snapshot {
            name: "snapshot.png",
            bytes: png(&fitting(LONGEST_SIDE_PNG))?,
        }),
        BcfVersion::V3_0 if format == ImageFormat::Jpeg && longest <= LONGEST_SIDE_JPEG => {
            Some(Snapshot {
                name: "snapshot.jpg",
                bytes: photo.to_vec(),
            })
        }
        BcfVersion::V3_0 => Some(Snapshot {
            name: "snapshot.jpg",
            bytes: jpeg(&fitting(LONGEST_SIDE_JPEG))?,
        }),
    }
}

fn png(picture: &RgbImage) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    // Best compression takes ten times as long and gains a tenth on photos.
    PngEncoder::new_with_quality(&mut bytes, CompressionType::Fast, FilterType::Adaptive)
        .write_image(
            picture,
            picture.width(),
            picture.height(),
            ExtendedColorType::Rgb8,
        )
        .ok()?;
    Some(bytes)
}

fn jpeg(picture: &RgbImage) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .write_image(
            picture,
            picture.width(),
            picture.height(),
            ExtendedColorType::Rgb8,
        )
        .ok()?;
    Some(bytes)
}
