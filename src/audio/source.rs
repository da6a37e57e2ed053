//! The bytes of a sound file, with the head of an unfinished WAV mended while reading.
//!
//! A recorder that lost power leaves a WAV whose length fields are still zero, although all sound
//! is there. Reading it as it stands gives an error or nothing; with both lengths replaced by
//! "unknown" (2³² − 1, what streaming writers put there) everything up to the last byte is read.

use super::sniff::SNIFF_BYTES;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use symphonia::core::io::MediaSource;

/// How far into a WAV its `data` chunk is searched: room for generous metadata before it.
const WAV_HEAD_BYTES: usize = 64 * 1024;

/// Value of a length field that says "unknown, read to the end".
const UNKNOWN_LENGTH: [u8; 4] = [0xff; 4];

/// A file whose bytes are partly replaced while reading.
pub(crate) struct Source {
    file: File,
    length: u64,
    at: u64,
    /// Offsets of four-byte length fields to show as [`UNKNOWN_LENGTH`].
    patches: Vec<u64>,
}

impl Source {
    /// Takes over an opened file and returns it with its first bytes (fewer in a shorter file).
    ///
    /// # Errors
    /// What the system said when reading.
    pub(crate) fn new(mut file: File) -> io::Result<(Self, Vec<u8>)> {
        let length = file.metadata()?.len();
        let mut head = Vec::new();
        (&mut file).take(WAV_HEAD_BYTES as u64).read_to_end(&mut head)?;
        file.seek(SeekFrom::Start(0))?;
        let patches = unfinished_wav(&head);
        head.truncate(SNIFF_BYTES);
        Ok((Source { file, length, at: 0, patches }, head))
    }

    /// Returns true where the head of an unfinished recording is being mended.
    pub(crate) fn is_unfinished(&self) -> bool {
        !self.patches.is_empty()
    }
}

impl Read for Source {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.file.read(buffer)?;
        for &patch in &self.patches {
            for (offset, byte) in (patch..).zip(UNKNOWN_LENGTH) {
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

/// Returns the offsets of the RIFF and data length fields where the WAV starting with `head` has
/// a `data` chunk of length zero followed by bytes; nothing otherwise.
fn unfinished_wav(head: &[u8]) -> Vec<u64> {
    if head.get(0..4) != Some(b"RIFF") || head.get(8..12) != Some(b"WAVE") {
        return Vec::new();
    }
    let mut at = 12;
    while let Some(&[a, b, c, d, l0, l1, l2, l3]) = head.get(at..at + 8) {
        let length = u32::from_le_bytes([l0, l1, l2, l3]) as usize;
        if [a, b, c, d] == *b"data" {
            let bytes_follow = head.len() > at + 8;
            return if length == 0 && bytes_follow { vec![4, at as u64 + 4] } else { Vec::new() };
        }
        // Chunks are padded to an even length.
        at = at.saturating_add(8).saturating_add(length).saturating_add(length % 2);
    }
    Vec::new()
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
        assert_eq!(unfinished_wav(&wav(0, b"sound")), [4, 26]);
        assert!(unfinished_wav(&wav(0, b"")).is_empty());
        assert!(unfinished_wav(&wav(5, b"sound")).is_empty());
        assert!(unfinished_wav(b"RIFF").is_empty());
    }
}
