//! Pictures made smaller and written as JPEG. Every document does this with every photo, so libraries
//! are used that take the processor's wide registers: a third and a quarter of the time of the
//! general ones (12 million points to 1,500 across in 35 ms instead of 200, and written in 10 ms
//! instead of 42, on one core of the machine that the figures of `docs/choices.md` are from).

use fast_image_resize::images::{Image, ImageRef};
use fast_image_resize::{FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer};
use image::RgbImage;
use jpeg_encoder::{ColorType, Encoder};

/// Why a picture could not be made smaller or written.
#[derive(Debug, thiserror::Error)]
pub enum SmallerError {
    /// It has no size.
    #[error("the picture cannot be made smaller: {0}")]
    Resizing(String),
    /// It has another number of points than its size says.
    #[error("the picture has another number of points than its size says")]
    Size,
    /// JPEG has no room for it: more than 65,535 points a side, or too large a colour profile.
    #[error("the picture cannot be written as a JPEG: {0}")]
    Writing(#[from] jpeg_encoder::EncodingError),
}

/// Returns the picture with its longest side `longest`, in its own shape; as it is where it is no
/// larger.
///
/// # Errors
/// [`SmallerError::Resizing`].
pub(crate) fn at_most(picture: RgbImage, longest: u32) -> Result<RgbImage, SmallerError> {
    let (width, height) = picture.dimensions();
    if width.max(height) <= longest {
        return Ok(picture);
    }
    scaled(picture.as_raw(), (width, height), longest)
}

/// Returns the picture of which these are the points, three bytes each, with its longest side
/// `longest`, in its own shape.
///
/// # Errors
/// [`SmallerError`], also where there are fewer points than the size asks for.
pub(crate) fn scaled(
    points: &[u8],
    (width, height): (u32, u32),
    longest: u32,
) -> Result<RgbImage, SmallerError> {
    let side = width.max(height);
    let scaled = |own: u32| {
        let exact = u64::from(own) * u64::from(longest) / u64::from(side);
        u32::try_from(exact).unwrap_or(longest).max(1)
    };
    let failed = |why: &dyn std::fmt::Display| SmallerError::Resizing(why.to_string());
    let from =
        ImageRef::new(width, height, points, PixelType::U8x3).map_err(|error| failed(&error))?;
    let mut to = Image::new(scaled(width), scaled(height), PixelType::U8x3);
    // Weighs all points that become one, so that fine lines stay and nothing flickers.
    let even = ResizeAlg::Convolution(FilterType::Bilinear);
    Resizer::new()
        .resize(&from, &mut to, &ResizeOptions::new().resize_alg(even))
        .map_err(|error| failed(&error))?;
    let (width, height) = (to.width(), to.height());
    RgbImage::from_raw(width, height, to.into_vec()).ok_or(SmallerError::Size)
}

/// Returns the picture as a JPEG file of that quality, from 1 to 100, with the colour profile if one
/// is given, and nothing else in it.
///
/// # Errors
/// [`SmallerError::Writing`].
pub(crate) fn jpeg(
    picture: &RgbImage,
    quality: u8,
    profile: Option<&[u8]>,
) -> Result<Vec<u8>, SmallerError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    if let Some(profile) = profile {
        encoder.add_icc_profile(profile)?;
    }
    // A side that does not fit is refused as one that is too long.
    let side = |points: u32| u16::try_from(points).unwrap_or(0);
    let (width, height) = (side(picture.width()), side(picture.height()));
    encoder.encode(picture.as_raw(), width, height, ColorType::Rgb)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ImageFormat, Rgb};

    #[test]
    fn a_picture_keeps_its_shape_and_its_colours() {
        for (size, longest, want) in [
            ((4000, 3000), 1500, (1500, 1125)),
            ((30, 400), 200, (15, 200)),
            ((500, 2), 100, (100, 1)),
            ((64, 48), 64, (64, 48)),
        ] {
            let halves = RgbImage::from_fn(size.0, size.1, |x, _| match x < size.0 / 2 {
                true => Rgb([200, 40, 30]),
                false => Rgb([20, 60, 210]),
            });
            let small = at_most(halves, longest).unwrap();
            assert_eq!(small.dimensions(), want);
            let read = jpeg(&small, 90, None).unwrap();
            let read = image::load_from_memory_with_format(&read, ImageFormat::Jpeg).unwrap();
            let read = read.into_rgb8();
            for (x, colour) in [(want.0 / 5, [200, 40, 30]), (want.0 * 4 / 5, [20, 60, 210])] {
                let found = read.get_pixel(x, want.1 / 2).0;
                let far = found.iter().zip(colour).map(|(a, b)| a.abs_diff(b)).max();
                assert!(far.unwrap() < 12, "{size:?}: {found:?} for {colour:?}");
            }
        }
    }

    #[test]
    fn what_does_not_fit_a_jpeg_is_an_error() {
        for size in [(70_000, 1), (1, 70_000), (0, 0)] {
            assert!(jpeg(&RgbImage::new(size.0, size.1), 80, None).is_err());
        }
    }
}
