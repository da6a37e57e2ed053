//! When a recording began, as far as its file tells.

use super::taken::local_ms;
use crate::audio::{Looks, SNIFF_BYTES, sniff};
use jiff::civil;
use std::fs::{self, File};
use std::io::{self, Read, Seek, SeekFrom};
use std::path::Path;
use std::time::UNIX_EPOCH;

/// When a recording began or ended, in milliseconds since 1970.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Started {
    /// An MP4's creation time, in UTC. Recorders write the moment at which they began, or that at
    /// which they finished the file; the standard does not say which is meant.
    Utc(i64),
    /// A WAV's origination date and time, by the recorder's clock in its own zone.
    Local(i64),
    /// The file was last changed then, in UTC: when the recording ended, if nothing touched it
    /// since. A weak hint: copying and mailing change it.
    Changed(i64),
}

/// Seconds from the start of 1904, from which MP4 counts (ISO 14496-12, 8.2.2), to that of 1970.
const SECONDS_1904_TO_1970: i64 = 2_082_844_800;

/// Most boxes or chunks looked at on one level: files of recorders have a dozen.
const MOST_BOXES: usize = 10_000;

/// Returns when the recording at `path` began or ended; `None` where nothing is known, as of a
/// transcript.
///
/// # Errors
/// Where the file cannot be read.
pub fn read_started(path: &Path) -> io::Result<Option<Started>> {
    let mut file = File::open(path)?;
    let mut head = Vec::new();
    file.by_ref()
        .take(SNIFF_BYTES as u64)
        .read_to_end(&mut head)?;
    let at = |offset: usize, want: &[u8]| head.get(offset..offset + want.len()) == Some(want);
    let told = if at(4, b"ftyp") {
        creation_time(&mut file)?.map(Started::Utc)
    } else if at(0, b"RIFF") && at(8, b"WAVE") {
        origination(&mut file)?.map(Started::Local)
    } else {
        None
    };
    // Transcripts are text, and when they were written says nothing of the walk-round.
    if told.is_some() || matches!(sniff(&head), Looks::Other(_)) {
        return Ok(told);
    }
    // Before 1970, or on a system that keeps no such time: nothing is known.
    let changed = fs::metadata(path)?.modified().ok();
    let since = changed.and_then(|changed| changed.duration_since(UNIX_EPOCH).ok());
    Ok(since
        .and_then(|since| i64::try_from(since.as_millis()).ok())
        .map(Started::Changed))
}

/// Returns the time in `moov/mvhd`, in milliseconds since 1970; `None` where it is absent or zero.
fn creation_time(file: &mut File) -> io::Result<Option<i64>> {
    let end = file.seek(SeekFrom::End(0))?;
    let Some((start, end)) = find_box(file, 0, end, *b"moov")? else {
        return Ok(None);
    };
    let Some((start, _)) = find_box(file, start, end, *b"mvhd")? else {
        return Ok(None);
    };
    file.seek(SeekFrom::Start(start))?;
    let mut content = [0; 12];
    if file.read_exact(&mut content).is_err() {
        return Ok(None);
    }
    let [version, _, _, _, time @ ..] = content;
    let seconds = match version {
        0 => i64::from(u32::from_be_bytes([time[0], time[1], time[2], time[3]])),
        _ => i64::from_be_bytes(time),
    };
    // Some write seconds since 1970 in place of 1904, which then lie before 1970: no use.
    Ok(seconds
        .checked_sub(SECONDS_1904_TO_1970)
        .filter(|&seconds| seconds > 0)
        .and_then(|seconds| seconds.checked_mul(1000)))
}

/// Returns where the content of the first box of a kind starts and ends.
fn find_box(
    file: &mut File,
    start: u64,
    end: u64,
    kind: [u8; 4],
) -> io::Result<Option<(u64, u64)>> {
    let mut at = start;
    for _ in 0..MOST_BOXES {
        file.seek(SeekFrom::Start(at))?;
        let mut head = [0; 16];
        if at + 8 > end || file.read_exact(&mut head[..8]).is_err() {
            return Ok(None);
        }
        let mut header = 8;
        let size = match u32::from_be_bytes([head[0], head[1], head[2], head[3]]) {
            0 => end - at,
            1 => {
                if file.read_exact(&mut head[8..]).is_err() {
                    return Ok(None);
                }
                header = 16;
                let [_, _, _, _, _, _, _, _, size @ ..] = head;
                u64::from_be_bytes(size)
            }
            size => u64::from(size),
        };
        let Some(next) = at.checked_add(size).filter(|_| size >= header) else {
            return Ok(None);
        };
        if head[4..8] == kind {
            return Ok(Some((at + header, next.min(end))));
        }
        at = next;
    }
    Ok(None)
}

/// Returns the date and time of a `bext` chunk (EBU Tech 3285, 2.3: a description of 256 bytes,
/// originator and its reference of 32 each, date `yyyy-mm-dd`, time `hh:mm:ss`), in milliseconds
/// from the start of 1970 to it.
fn origination(file: &mut File) -> io::Result<Option<i64>> {
    const DATE_AT: i64 = 256 + 32 + 32;
    let mut at = 12;
    for _ in 0..MOST_BOXES {
        file.seek(SeekFrom::Start(at))?;
        let mut head = [0; 8];
        if file.read_exact(&mut head).is_err() {
            return Ok(None);
        }
        let size = u64::from(u32::from_le_bytes([head[4], head[5], head[6], head[7]]));
        if head[..4] == *b"bext" {
            file.seek(SeekFrom::Current(DATE_AT))?;
            let mut text = [0; 18];
            if file.read_exact(&mut text).is_err() {
                return Ok(None);
            }
            return Ok(origination_time(&text));
        }
        // Chunks start at even places.
        at += 8 + size + size % 2;
    }
    Ok(None)
}

/// Reads `2026-03-0210:15:03`; the standard lets any of `-_:. ` and space part the numbers.
fn origination_time(text: &[u8; 18]) -> Option<i64> {
    let number = |from: usize, to: usize| -> Option<i16> {
        std::str::from_utf8(&text[from..to]).ok()?.parse().ok()
    };
    let small = |from: usize| number(from, from + 2).and_then(|number| i8::try_from(number).ok());
    let date = civil::DateTime::new(
        number(0, 4)?,
        small(5)?,
        small(8)?,
        small(10)?,
        small(13)?,
        small(16)?,
        0,
    );
    local_ms(date.ok()?)
}
