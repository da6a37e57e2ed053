//! Photos made for tests: pictures with Exif data, and a HEIC file without a picture in it.

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::codecs::webp::WebPEncoder;
use image::{ExtendedColorType, ImageEncoder, Rgb, RgbImage};
use std::io::Cursor;

/// What is written into a photo's Exif data.
#[derive(Debug, Clone, Default)]
pub(crate) struct Told<'a> {
    pub(crate) taken: Option<&'a str>,
    pub(crate) fraction: Option<&'a str>,
    pub(crate) zone: Option<&'a str>,
    pub(crate) orientation: Option<u16>,
    pub(crate) model: Option<&'a str>,
    /// Whether a place (51° 30' N, 0° 7' W) is told.
    pub(crate) place: bool,
}

/// Returns the Exif data as a TIFF stream; `None` where nothing is told.
pub(crate) fn exif_block(told: &Told<'_>) -> Option<Vec<u8>> {
    let text = |tag, text: &str| Field {
        tag,
        ifd_num: In::PRIMARY,
        value: Value::Ascii(vec![text.as_bytes().to_vec()]),
    };
    let field = |tag, value| Field {
        tag,
        ifd_num: In::PRIMARY,
        value,
    };
    let degrees = |whole: u32, minutes: u32| {
        let part = |num| Rational { num, denom: 1 };
        Value::Rational(vec![part(whole), part(minutes), part(0)])
    };
    let mut fields = Vec::new();
    fields.extend(told.taken.map(|t| text(Tag::DateTimeOriginal, t)));
    fields.extend(told.fraction.map(|t| text(Tag::SubSecTimeOriginal, t)));
    fields.extend(told.zone.map(|t| text(Tag::OffsetTimeOriginal, t)));
    fields.extend(told.model.map(|t| text(Tag::Model, t)));
    fields.extend(
        told.orientation
            .map(|o| field(Tag::Orientation, Value::Short(vec![o]))),
    );
    if told.place {
        fields.push(text(Tag::GPSLatitudeRef, "N"));
        fields.push(field(Tag::GPSLatitude, degrees(51, 30)));
        fields.push(text(Tag::GPSLongitudeRef, "W"));
        fields.push(field(Tag::GPSLongitude, degrees(0, 7)));
    }
    if fields.is_empty() {
        return None;
    }
    let mut writer = Writer::new();
    for field in &fields {
        writer.push_field(field);
    }
    let mut block = Cursor::new(Vec::new());
    writer.write(&mut block, false).unwrap();
    Some(block.into_inner())
}

/// Returns a picture of four coloured quarters: red, green, blue, white from the top left to the
/// bottom right.
pub(crate) fn quarters(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        match (x < width / 2, y < height / 2) {
            (true, true) => Rgb([230, 20, 20]),
            (false, true) => Rgb([20, 200, 20]),
            (true, false) => Rgb([20, 20, 230]),
            (false, false) => Rgb([250, 250, 250]),
        }
    })
}

pub(crate) fn jpeg(image: &RgbImage, told: &Told<'_>) -> Vec<u8> {
    let mut bytes = Vec::new();
    encode(JpegEncoder::new_with_quality(&mut bytes, 95), image, told);
    bytes
}

pub(crate) fn png(image: &RgbImage, told: &Told<'_>) -> Vec<u8> {
    let mut bytes = Vec::new();
    encode(PngEncoder::new(&mut bytes), image, told);
    bytes
}

pub(crate) fn webp(image: &RgbImage, told: &Told<'_>) -> Vec<u8> {
    let mut bytes = Vec::new();
    encode(WebPEncoder::new_lossless(&mut bytes), image, told);
    bytes
}

fn encode(mut encoder: impl ImageEncoder, image: &RgbImage, told: &Told<'_>) {
    if let Some(block) = exif_block(told) {
        encoder.set_exif_metadata(block).unwrap();
    }
    let (width, height) = image.dimensions();
    encoder
        .write_image(image, width, height, ExtendedColorType::Rgb8)
        .unwrap();
}

/// Returns a HEIC file that has Exif data and no picture: the least that ISO 23008-12 (annex A.2:
/// an item of type `Exif` whose data starts with the offset of the TIFF header) and ISO 14496-12
/// (8.11: `meta` with `hdlr`, `pitm`, `iinf`, `iloc`) ask of one that tells its time.
pub(crate) fn heic(told: &Told<'_>) -> Vec<u8> {
    let block = exif_block(told).unwrap_or_default();
    let boxed = |kind: &[u8; 4], parts: &[&[u8]]| {
        let content = parts.concat();
        let size = u32::try_from(content.len() + 8).unwrap();
        [&size.to_be_bytes()[..], kind, &content].concat()
    };
    let full = |kind: &[u8; 4], version: u8, parts: &[&[u8]]| {
        boxed(kind, &[&[version, 0, 0, 0], &parts.concat()])
    };
    let ftyp = boxed(b"ftyp", &[b"heic", &[0; 4], b"mif1heic"]);
    let hdlr = full(b"hdlr", 0, &[&[0; 4], b"pict", &[0; 12], b"\0"]);
    let pitm = full(b"pitm", 0, &[&[0, 1]]);
    let infe = full(b"infe", 2, &[&[0, 1, 0, 0], b"Exif", b"\0"]);
    let iinf = full(b"iinf", 0, &[&[0, 1], &infe]);
    let data = [&[0; 4][..], &block].concat();
    let length = u32::try_from(data.len()).unwrap();
    let iloc = |offset: u32| {
        // Offsets and lengths of four bytes, no base; one item (1) of one extent.
        let head: &[u8] = &[0x44, 0x00, 0, 1, 0, 1, 0, 0, 0, 1];
        full(
            b"iloc",
            0,
            &[head, &offset.to_be_bytes(), &length.to_be_bytes()],
        )
    };
    let meta = |offset: u32| full(b"meta", 0, &[&hdlr, &pitm, &iinf, &iloc(offset)]);
    let start = u32::try_from(ftyp.len() + meta(0).len() + 8).unwrap();
    [ftyp, meta(start), boxed(b"mdat", &[&data])].concat()
}

/// Returns what a program of the machine prints; `None` where it is not installed, which is said.
pub(crate) fn run(program: &str, arguments: &[&str]) -> Option<String> {
    match std::process::Command::new(program).args(arguments).output() {
        Ok(output) => {
            assert!(
                output.status.success(),
                "{program}: {}",
                String::from_utf8_lossy(&output.stderr)
            );
            Some(String::from_utf8_lossy(&output.stdout).into_owned())
        }
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            crate::not_run::not_run(program)
        }
        Err(error) => panic!("{program}: {error}"),
    }
}
