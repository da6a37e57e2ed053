//! Guesses a container from a file's first bytes, for clear error messages only: which reader is
//! used is the demultiplexer's own decision.

/// How many of a file's first bytes [`sniff`] wants to see.
pub(crate) const SNIFF_BYTES: usize = 64;

/// What the first bytes look like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Looks {
    /// A container that can be read.
    Known(&'static str),
    /// Sound in a container or codec that cannot be read.
    Unsupported(&'static str),
    /// Something else.
    Other(&'static str),
}

/// Returns what `head`, the first bytes of a file, looks like. Signatures are those the formats'
/// own specifications give (RIFF/WAVE, ISO 14496-12 `ftyp`, RFC 9639 `fLaC`, RFC 3533 `OggS`,
/// AIFF-C, CAF, ID3v2, RFC 4867 for AMR, RFC 9559 for Matroska, ASF).
pub(crate) fn sniff(head: &[u8]) -> Looks {
    let at = |offset: usize, want: &[u8]| head.get(offset..offset + want.len()) == Some(want);
    if at(0, b"RIFF") && at(8, b"WAVE") {
        Looks::Known("WAV")
    } else if at(0, b"RF64") || at(0, b"BW64") {
        Looks::Unsupported("64-bit WAV (RF64)")
    } else if at(4, b"ftyp3g") {
        // 3GP holds AMR or AAC; only the reader can tell.
        Looks::Known("3GP")
    } else if at(4, b"ftyp") || at(4, b"moov") || at(4, b"mdat") {
        Looks::Known("M4A/MP4")
    } else if at(0, b"fLaC") {
        Looks::Known("FLAC")
    } else if at(0, b"OggS") {
        Looks::Known("Ogg")
    } else if at(0, b"FORM") && (at(8, b"AIFF") || at(8, b"AIFC")) {
        Looks::Known("AIFF")
    } else if at(0, b"caff") {
        Looks::Known("CAF")
    } else if at(0, b"ID3") || mpeg_sync(head) {
        Looks::Known("MP3")
    } else if at(0, &[0x1a, 0x45, 0xdf, 0xa3]) {
        Looks::Known("Matroska/WebM")
    } else if at(0, b"#!AMR") {
        Looks::Unsupported("AMR")
    } else if at(0, &[0x30, 0x26, 0xb2, 0x75]) {
        Looks::Unsupported("Windows Media Audio")
    } else if at(0, b"wvpk") {
        Looks::Unsupported("WavPack")
    } else if at(0, b"MAC ") {
        Looks::Unsupported("Monkey's Audio")
    } else if head.iter().all(|b| matches!(b, b'\t' | b'\n' | b'\r' | 0x20..=0x7e | 0x80..)) {
        Looks::Other("text")
    } else {
        Looks::Other("unknown data")
    }
}

/// Returns true for the eleven set bits that start an MPEG audio or ADTS frame, with a valid
/// layer, rate and bit rate (ISO 11172-3) or an ADTS layer of zero.
fn mpeg_sync(head: &[u8]) -> bool {
    match head {
        [0xff, b, c, ..] if b & 0xe0 == 0xe0 => {
            let layer = b >> 1 & 3;
            let adts = b & 0xf6 == 0xf0;
            adts || (layer != 0 && c >> 4 != 15 && c >> 2 & 3 != 3)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_bytes_name_the_container() {
        let cases: [(&[u8], Looks); 10] = [
            (b"RIFF\x24\0\0\0WAVEfmt ", Looks::Known("WAV")),
            (b"\0\0\0\x20ftypM4A \0\0\0\0", Looks::Known("M4A/MP4")),
            (b"\0\0\0\x20ftyp3gp4", Looks::Known("3GP")),
            (b"ID3\x04\0\0", Looks::Known("MP3")),
            (b"\xff\xfb\x90\x64", Looks::Known("MP3")),
            (b"\xff\xff\xff\xff", Looks::Other("text")),
            (b"#!AMR\n", Looks::Unsupported("AMR")),
            (b"Dear site manager, please find", Looks::Other("text")),
            (b"Ma\xc3\xa7on, caf\xc3\xa9", Looks::Other("text")),
            (b"\x7fELF\0\0\0\x01", Looks::Other("unknown data")),
        ];
        for (head, want) in cases {
            assert_eq!(sniff(head), want, "{head:?}");
        }
    }
}
