//! Pictures as documents show them: upright, of bounded size, and with nothing in them but the
//! picture.
//!
//! A photo as a phone writes it tells where it was taken, often to the metre, when, and with which
//! device. None of that leaves the job folder: the picture is decoded and encoded anew, and only
//! its points and its colour profile (without which colours would shift) are carried over.

use super::smaller::{self, SmallerError};
use crate::job::PhotoFormat;
use image::codecs::jpeg::JpegDecoder;
use image::codecs::png::PngDecoder;
use image::codecs::webp::WebPDecoder;
use image::metadata::Orientation;
use image::{ColorType, DynamicImage, ImageDecoder, Limits, RgbImage};
use std::cell::Cell;
use std::io::Cursor;

/// Longest side of a picture in a document, in points: the most that BCF 3.0 takes for a snapshot,
/// which so is the picture itself and need not be made a second time. At 16 cm across a page, the
/// widest that any document shows it, that is 240 points an inch, about as fine as office printers show
/// (common practice, no source); a hairline crack that can be seen on the photo can still be seen.
pub const LONGEST_SIDE: u32 = 1500;

/// JPEG quality, from 1 to 100: the usual choice where pictures are looked at and not edited (common
/// practice, no source).
pub const QUALITY: u8 = 80;

/// Most memory that decoding may take, in bytes: a picture of 200 million points, which is more
/// than phones make, decodes to 600 MB. A file that claims more is refused, not tried.
const MOST_MEMORY: u64 = 640 * 1024 * 1024;

/// Why a photo cannot be shown.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// HEIC cannot be decoded here.
    #[error("HEIC pictures cannot be shown: save it as a JPEG and add that")]
    Heic,
    /// The file is damaged, or larger than can be decoded.
    #[error("the picture cannot be decoded: {0}")]
    Decoding(#[from] image::ImageError),
    /// It could be decoded and not be written.
    #[error(transparent)]
    Smaller(#[from] SmallerError),
}

/// Returns the photo as a JPEG that can be handed on: upright whatever way the camera was held (its
/// Exif orientation, 1 to 8), at most [`LONGEST_SIDE`] across, transparent parts white, without any
/// of the file's data on place, time and device. The same bytes for the same photo.
///
/// # Errors
/// [`PictureError`] where the photo cannot be decoded.
pub fn shown(bytes: &[u8], format: PhotoFormat) -> Result<Vec<u8>, PictureError> {
    made(bytes, format, LONGEST_SIDE, QUALITY)
}

/// The same with another longest side, in points, and another quality, from 1 to 100.
///
/// # Errors
/// [`PictureError`] where the photo cannot be decoded.
pub(crate) fn made(
    bytes: &[u8],
    format: PhotoFormat,
    longest: u32,
    quality: u8,
) -> Result<Vec<u8>, PictureError> {
    let bytes = Cursor::new(bytes);
    match format {
        PhotoFormat::Jpeg => encode(JpegDecoder::new(bytes)?, longest, quality),
        PhotoFormat::Png => encode(PngDecoder::new(bytes)?, longest, quality),
        PhotoFormat::Webp => encode(WebPDecoder::new(bytes)?, longest, quality),
        PhotoFormat::Heic => Err(PictureError::Heic),
    }
}

fn encode(
    mut decoder: impl ImageDecoder,
    longest: u32,
    quality: u8,
) -> Result<Vec<u8>, PictureError> {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    decoder.set_limits(limits.clone())?;
    limits.reserve(decoder.total_bytes())?;
    // What is garbled in these two is as good as absent.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let profile = decoder.icc_profile().ok().flatten();
    let mut upright = DynamicImage::ImageRgb8(small(decoder, longest)?);
    upright.apply_orientation(orientation);
    let profile = profile.filter(|profile| is_of_three_colours(profile));
    let jpeg = smaller::jpeg(&upright.into_rgb8(), quality, profile.as_deref())?;
    Ok(jpeg)
}

/// What is kept of that room, in bytes: a photo of 16 million points, as most phones take them. The
/// rare larger one must not hold its memory for as long as the desk is open.
const MOST_ROOM: usize = 48 * 1024 * 1024;

thread_local! {
    /// Room for the points of a decoded photo, used again for the next. A phone's photo takes 36 MB,
    /// which the system would hand out page by page, and take back, for each: a quarter of the time
    /// of decoding (19 of 70 ms).
    static ROOM: Cell<Vec<u8>> = const { Cell::new(Vec::new()) };
}

/// Returns the decoded picture in three colours, at most `longest` across.
fn small(decoder: impl ImageDecoder, longest: u32) -> Result<RgbImage, PictureError> {
    let (width, height) = decoder.dimensions();
    let room = usize::try_from(decoder.total_bytes());
    let (ColorType::Rgb8, Ok(room)) = (decoder.color_type(), room) else {
        let flat = flat(DynamicImage::from_decoder(decoder)?);
        return Ok(smaller::at_most(flat, longest)?);
    };
    let mut points = ROOM.take();
    points.resize(room, 0);
    decoder.read_image(&mut points)?;
    let small = if width.max(height) > longest {
        smaller::scaled(&points, (width, height), longest)?
    } else {
        RgbImage::from_raw(width, height, points.clone()).ok_or(SmallerError::Size)?
    };
    if room <= MOST_ROOM {
        ROOM.set(points);
    }
    Ok(small)
}

/// Returns the picture in three colours, transparent parts white.
pub(crate) fn flat(image: DynamicImage) -> RgbImage {
    if image.color().has_alpha() {
        on_white(image)
    } else {
        image.into_rgb8()
    }
}

/// Lays a partly transparent picture on white, as paper would.
fn on_white(image: DynamicImage) -> RgbImage {
    let image = image.into_rgba8();
    let mut flat = RgbImage::new(image.width(), image.height());
    for (from, to) in image.pixels().zip(flat.pixels_mut()) {
        let alpha = u32::from(from.0[3]);
        for channel in 0..3 {
            let mixed = (u32::from(from.0[channel]) * alpha + 255 * (255 - alpha) + 127) / 255;
            to.0[channel] = u8::try_from(mixed).unwrap_or(u8::MAX);
        }
    }
    flat
}

/// Returns true where the colour profile is for red, green and blue (ICC.1:2022, 7.2.8: the data
/// colour space stands at byte 16): one for grey or four inks would not fit what is written.
fn is_of_three_colours(profile: &[u8]) -> bool {
    profile.get(16..20) == Some(b"RGB ")
}
