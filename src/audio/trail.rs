//! Finds sound that a demultiplexer skipped without saying so.
//!
//! MP3 and ADTS streams carry no time stamps. After damaged bytes the reader searches for the
//! next frame and goes on counting as if nothing were missing, so every later word would be
//! early. This module follows the packets through the file's bytes: what lies between the end of
//! one and the start of the next was lost, and its length in frames follows from the mean frame.

use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};
use std::path::Path;

/// How far ahead a packet is searched. Above the largest cover pictures and other tags that stand
/// before the sound; beyond it, the trail is given up rather than guessed.
const SEARCH_BYTES: u64 = 32 * 1024 * 1024;

/// Bytes between packets that are no loss: an ADTS header of 7 or 9 bytes is not part of its
/// packet.
const FRAMING_BYTES: u64 = 9;

/// Follows packets through a file.
pub(crate) struct Trail {
    file: BufReader<File>,
    /// Offset just after the last packet found; `None` before the first one.
    after: Option<u64>,
    /// Given up: a packet was not found.
    lost: bool,
}

impl Trail {
    /// Opens the file a second time.
    ///
    /// # Errors
    /// What the system said.
    pub(crate) fn open(path: &Path) -> std::io::Result<Self> {
        Ok(Trail { file: BufReader::with_capacity(64 * 1024, File::open(path)?), after: None, lost: false })
    }

    /// Returns the bytes skipped between the packet before and this one; 0 for the first packet,
    /// and once the trail is lost.
    pub(crate) fn skipped_before(&mut self, packet: &[u8]) -> u64 {
        if self.lost || packet.is_empty() {
            return 0;
        }
        let from = self.after.unwrap_or(0);
        match self.find(from, packet) {
            Ok(Some(found)) => {
                let first = self.after.is_none();
                self.after = Some(found + packet.len() as u64);
                let skipped = found - from;
                if first || skipped <= FRAMING_BYTES { 0 } else { skipped }
            }
            Ok(None) | Err(_) => {
                self.lost = true;
                0
            }
        }
    }

    fn find(&mut self, from: u64, packet: &[u8]) -> std::io::Result<Option<u64>> {
        // Nearly always the packet is just here.
        let here = self.read_at(from, packet.len())?;
        if here == packet {
            return Ok(Some(from));
        }
        let step = 64 * 1024;
        let mut at = from;
        while at < from + SEARCH_BYTES {
            let bytes = self.read_at(at, step + packet.len())?;
            if bytes.len() < packet.len() {
                return Ok(None);
            }
            let hit = bytes
                .windows(packet.len())
                .position(|w| w[0] == packet[0] && w == packet);
            if let Some(hit) = hit {
                return Ok(Some(at + hit as u64));
            }
            at += step as u64;
        }
        Ok(None)
    }

    fn read_at(&mut self, offset: u64, length: usize) -> std::io::Result<Vec<u8>> {
        let now = self.file.stream_position()?;
        // `seek_relative` keeps the buffer where `seek` would drop it.
        match i64::try_from(i128::from(offset) - i128::from(now)) {
            Ok(by) => self.file.seek_relative(by)?,
            Err(_) => {
                self.file.seek(SeekFrom::Start(offset))?;
            }
        }
        let mut bytes = Vec::with_capacity(length);
        (&mut self.file).take(length as u64).read_to_end(&mut bytes)?;
        Ok(bytes)
    }
}

/// Mean length of good packets, to turn lost bytes into lost packets.
#[derive(Default)]
pub(crate) struct MeanLength {
    mean: Option<f64>,
}

impl MeanLength {
    /// Takes in a good packet. Recent packets count most (one part in 16), so that a change of
    /// bit rate is followed within half a second.
    pub(crate) fn add(&mut self, bytes: usize) {
        let bytes = bytes as f64;
        self.mean = Some(self.mean.map_or(bytes, |mean| mean + (bytes - mean) / 16.0));
    }

    /// Returns how many packets `bytes` hold, to the nearest whole; 0 while none is known.
    pub(crate) fn packets_in(&self, bytes: u64) -> u64 {
        match self.mean {
            Some(mean) if mean > 0.0 => (bytes as f64 / mean).round() as u64,
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    #[test]
    fn bytes_between_packets_are_counted() {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        file.write_all(b"TAGTAGTAG aaaa bbbb").unwrap();
        file.write_all(&[b'.'; 40]).unwrap();
        file.write_all(b"ccccdddd!!").unwrap();
        let mut trail = Trail::open(file.path()).unwrap();
        let skipped = ["aaaa", "bbbb", "cccc", "dddd", "gone", "dddd"]
            .map(|packet| trail.skipped_before(packet.as_bytes()));
        assert_eq!(skipped, [0, 0, 40, 0, 0, 0]);
    }

    #[test]
    fn lost_bytes_become_packets() {
        let mut mean = MeanLength::default();
        assert_eq!(mean.packets_in(1000), 0);
        for _ in 0..50 {
            mean.add(417);
        }
        assert_eq!(mean.packets_in(417 * 5 + 3), 5);
    }
}
