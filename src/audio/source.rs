//! The bytes of a sound file, with length fields mended while reading that would hide the sound of
//! an unfinished recording or a broken copy.
//!
//! - A recorder that lost power leaves a WAV whose length fields are still zero, although all sound
//!   is there. With both lengths replaced by "unknown" (2³² − 1, what streaming writers put there)
//!   everything up to the last byte is read.
//! - An M4A, AIFF or CAF that was cut short while copying has a box of sound (`mdat`, `SSND`, `data`) that
//!   reaches beyond the end of the file, for which the demultiplexer ignores it or fails. With the
//!   length that is there, it gives the sound that is there.

use super::sniff::SNIFF_BYTES;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use symphonia::core::io::MediaSource;

/// How far into a WAV its `data` chunk is searched: room for generous metadata before it.
const WAV_HEAD_BYTES: usize = 64 * 1024;

/// Most top-level boxes of an MP4 that are looked at: the media box is among the first few, but a
/// fragmented file has two boxes for every few seconds.
const MOST_BOXES: usize = 100_000;

/// Bytes to show in place of those in the file.
#[derive(Debug, PartialEq, Eq)]
struct Patch {
    offset: u64,
    bytes: Vec<u8>,
}

/// A file whose bytes are partly replaced while reading.
pub(crate) struct Source {
    file: File,
    length: u64,
    at: u64,
    patches: Vec<Patch>,
    unfinished: bool,
    cut_short: bool,
}

impl Source {
    /// Takes over an opened file and returns it with its first bytes (fewer in a shorter file).
    ///
    /// # Errors
    /// What the system said when reading.
    pub(crate) fn new(mut file: File) -> io::Result<(Self, Vec<u8>)> {
        let length = file.metadata()?.len();
        let mut head = Vec::new();
        (&mut file)
            .take(WAV_HEAD_BYTES as u64)
            .read_to_end(&mut head)?;
        let mut patches = unfinished_wav(&head);
        let unfinished = !patches.is_empty();
        if head.get(4..8) == Some(b"ftyp") {
            patches.extend(overlong_media_box(&mut file, length)?);
        } else if head.get(0..4) == Some(b"FORM") {
            patches.extend(overlong_sound_chunk(&head, length));
        } else if head.get(0..4) == Some(b"caff") {
            patches.extend(overlong_caf_data(&head, length));
        }
        let cut_short = !unfinished && !patches.is_empty();
        file.seek(SeekFrom::Start(0))?;
        head.truncate(SNIFF_BYTES);
        Ok((
            Source {
                file,
                length,
                at: 0,
                patches,
                unfinished,
                cut_short,
            },
            head,
        ))
    }

    /// Returns true for a recording whose recorder did not write the length of the sound.
    pub(crate) fn is_unfinished(&self) -> bool {
        self.unfinished
    }

    /// Returns true for a file that ends before its sound does.
    pub(crate) fn is_cut_short(&self) -> bool {
        self.cut_short
    }
}

impl Read for Source {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.file.read(buffer)?;
        for patch in &self.patches {
            for (offset, &byte) in (patch.offset..).zip(&patch.bytes) {
                if offset >= self.at && offset < self.at + count as u64 {
                    buffer[(offset - self.at) as usize] = byte;
                }
            }
        }
        self.at += count as u64;
        Ok(count)
    }
}

impl Seek for Source {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.at = self.file.seek(to)?;
        Ok(self.at)
    }
}

impl MediaSource for Source {
    fn is_seekable(&self) -> bool {
        true
    }

    fn byte_len(&self) -> Option<u64> {
        Some(self.length)
    }
}

/// Returns "unknown" for the RIFF and data length fields where the WAV starting with `head` has a
/// `data` chunk of length zero followed by bytes; nothing otherwise.
fn unfinished_wav(head: &[u8]) -> Vec<Patch> {
    if head.get(0..4) != Some(b"RIFF") || head.get(8..12) != Some(b"WAVE") {
        return Vec::new();
    }
    let mut at = 12;
    while let Some(&[a, b, c, d, l0, l1, l2, l3]) = head.get(at..at + 8) {
        let length = u32::from_le_bytes([l0, l1, l2, l3]) as usize;
        if [a, b, c, d] == *b"data" {
            let bytes_follow = head.len() > at + 8;
            let unknown = |offset| Patch {
                offset,
                bytes: vec![0xff; 4],
            };
            return if length == 0 && bytes_follow {
                vec![unknown(4), unknown(at as u64 + 4)]
            } else {
                Vec::new()
            };
        }
        // Chunks are padded to an even length.
        at = at
            .saturating_add(8)
            .saturating_add(length)
            .saturating_add(length % 2);
    }
    Vec::new()
}

/// Returns the true length for a media box that reaches beyond the end of the file (ISO 14496-12,
/// 4.2: size in 4 bytes, type in 4, and for size 1 the size again in 8).
fn overlong_media_box(file: &mut (impl Read + Seek), length: u64) -> io::Result<Option<Patch>> {
    let mut at = 0;
    for _ in 0..MOST_BOXES {
        file.seek(SeekFrom::Start(at))?;
        let mut head = Vec::new();
        file.take(16).read_to_end(&mut head)?;
        let Some((&[s0, s1, s2, s3, a, b, c, d], large)) = head.split_first_chunk::<8>() else {
            break;
        };
        let short = u64::from(u32::from_be_bytes([s0, s1, s2, s3]));
        let large = <[u8; 8]>::try_from(large).ok().map(u64::from_be_bytes);
        let size = if short == 1 {
            large.unwrap_or(0)
        } else {
            short
        };
        if size < 8 {
            break; // 0 reaches to the end of the file, as it should; the rest is nonsense
        }
        let end = at.saturating_add(size);
        if end > length {
            let is_media = [a, b, c, d] == *b"mdat";
            let left = length - at;
            return Ok(is_media.then(|| match u32::try_from(left) {
                Ok(left) if short != 1 => Patch {
                    offset: at,
                    bytes: left.to_be_bytes().to_vec(),
                },
                _ => Patch {
                    offset: at + 8,
                    bytes: left.to_be_bytes().to_vec(),
                },
            }));
        }
        at = end;
    }
    Ok(None)
}

/// Returns the true lengths for an AIFF whose sound chunk reaches beyond the end of the file
/// (chunks of 4 bytes type, 4 bytes length, padded to an even length).
fn overlong_sound_chunk(head: &[u8], length: u64) -> Vec<Patch> {
    let mut at = 12;
    while let Some(&[a, b, c, d, l0, l1, l2, l3]) = head.get(at..at + 8) {
        let size = u64::from(u32::from_be_bytes([l0, l1, l2, l3]));
        let start = at as u64 + 8;
        if [a, b, c, d] == *b"SSND" {
            if start + size <= length {
                break;
            }
            let even = |n: u64| {
                u32::try_from(n & !1)
                    .unwrap_or(u32::MAX)
                    .to_be_bytes()
                    .to_vec()
            };
            return vec![
                Patch {
                    offset: 4,
                    bytes: even(length - 8),
                },
                Patch {
                    offset: at as u64 + 4,
                    bytes: even(length.saturating_sub(start)),
                },
            ];
        }
        let size = usize::try_from(size).unwrap_or(usize::MAX);
        at = at
            .saturating_add(8)
            .saturating_add(size)
            .saturating_add(size % 2);
    }
    Vec::new()
}

/// Returns the true length for a CAF whose data chunk reaches beyond the end of the file (chunks
/// of 4 bytes type, 8 bytes signed length, not padded; −1 means to the end of the file).
fn overlong_caf_data(head: &[u8], length: u64) -> Option<Patch> {
    let mut at = 8;
    while let Some((kind, size)) = head
        .get(at..at + 12)
        .and_then(|h| h.split_first_chunk::<4>())
    {
        let size = i64::from_be_bytes(size.try_into().ok()?);
        let start = at as u64 + 12;
        if kind == b"data" {
            let left = length.saturating_sub(start);
            let overlong = u64::try_from(size).is_ok_and(|size| size > left);
            let bytes = left.to_be_bytes().to_vec();
            return overlong.then_some(Patch {
                offset: at as u64 + 4,
                bytes,
            });
        }
        at = at
            .checked_add(12)?
            .checked_add(usize::try_from(size).ok()?)?;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_data_chunk_of_length_zero_with_bytes_after_it_is_unfinished() {
        let wav = |data_length: u32, rest: &[u8]| {
            let mut bytes = b"RIFF\0\0\0\0WAVEfmt \x02\0\0\0..".to_vec();
            bytes.extend(b"data");
            bytes.extend(data_length.to_le_bytes());
            bytes.extend(rest);
            bytes
        };
        let offsets = |bytes: &[u8]| {
            unfinished_wav(bytes)
                .iter()
                .map(|p| p.offset)
                .collect::<Vec<_>>()
        };
        assert_eq!(offsets(&wav(0, b"sound")), [4, 26]);
        assert!(offsets(&wav(0, b"")).is_empty());
        assert!(offsets(&wav(5, b"sound")).is_empty());
        assert!(offsets(b"RIFF").is_empty());
    }

    #[test]
    fn a_media_box_beyond_the_end_of_the_file_gets_its_true_length() {
        let boxes = |media: &[u8]| [b"\0\0\0\x08ftyp\0\0\0\x08moov", media].concat();
        let patch = |bytes: &[u8]| {
            overlong_media_box(&mut io::Cursor::new(bytes), bytes.len() as u64).unwrap()
        };
        assert_eq!(patch(&boxes(b"\0\0\0\x0cmdat....")), None, "whole");
        assert_eq!(
            patch(&boxes(b"\0\0\x10\0mdat....")),
            Some(Patch {
                offset: 16,
                bytes: vec![0, 0, 0, 12]
            })
        );
        assert_eq!(
            patch(&boxes(b"\0\0\0\x01mdat\0\0\0\0\0\0\x10\0...")),
            Some(Patch {
                offset: 24,
                bytes: vec![0, 0, 0, 0, 0, 0, 0, 19]
            })
        );
        assert_eq!(
            patch(&boxes(b"\0\0\0\0mdat....")),
            None,
            "to the end of the file"
        );
        assert_eq!(patch(b"\0\0"), None);
    }

    #[test]
    fn an_aiff_cut_short_gets_its_true_lengths() {
        let aiff = |size: u8, sound: &[u8]| {
            let head = [
                b"FORM\0\0\x10\0AIFFCOMM\0\0\0\x01x\0SSND\0\0\0".as_slice(),
                &[size],
            ]
            .concat();
            [&head, sound].concat()
        };
        let patches = |bytes: &[u8]| overlong_sound_chunk(bytes, bytes.len() as u64);
        assert_eq!(patches(&aiff(6, b"sounds")), [], "whole");
        assert_eq!(
            patches(&aiff(99, b"sound")),
            [
                Patch {
                    offset: 4,
                    bytes: vec![0, 0, 0, 26]
                },
                Patch {
                    offset: 26,
                    bytes: vec![0, 0, 0, 4]
                }
            ]
        );
    }

    #[test]
    fn a_caf_cut_short_gets_its_true_length() {
        let caf = |size: i64, sound: &[u8]| {
            let head = b"caff\0\x01\0\0desc\0\0\0\0\0\0\0\x02..data".as_slice();
            [head, &size.to_be_bytes(), sound].concat()
        };
        let patch = |bytes: &[u8]| overlong_caf_data(bytes, bytes.len() as u64);
        assert_eq!(patch(&caf(5, b"sound")), None, "whole");
        assert_eq!(patch(&caf(-1, b"sound")), None, "to the end of the file");
        let mended = Patch {
            offset: 26,
            bytes: vec![0, 0, 0, 0, 0, 0, 0, 5],
        };
        assert_eq!(patch(&caf(99, b"sound")), Some(mended));
    }
}
