//! Bytes to text: UTF-8 with or without a byte order mark, UTF-16 with one.

use super::FormatError;

/// Returns the text with `\n` line ends and without byte order mark.
pub(super) fn decode(file: &str, bytes: &[u8]) -> Result<String, FormatError> {
    let text = match bytes {
        [0xFF, 0xFE, rest @ ..] => utf16(file, rest, u16::from_le_bytes, "UTF-16 (little-endian)")?,
        [0xFE, 0xFF, rest @ ..] => utf16(file, rest, u16::from_be_bytes, "UTF-16 (big-endian)")?,
        [0xEF, 0xBB, 0xBF, rest @ ..] => utf8(file, rest)?,
        all => utf8(file, all)?,
    };
    Ok(text.replace("\r\n", "\n").replace('\r', "\n"))
}

fn utf8(file: &str, bytes: &[u8]) -> Result<String, FormatError> {
    if let Some(byte) = bytes.iter().position(|b| *b == 0) {
        return Err(FormatError::Binary {
            file: file.to_owned(),
            byte,
        });
    }
    std::str::from_utf8(bytes)
        .map(str::to_owned)
        .map_err(|error| {
            let before = bytes.get(..error.valid_up_to()).unwrap_or(bytes);
            let line = before.iter().filter(|b| **b == b'\n').count() + 1;
            FormatError::Encoding {
                file: file.to_owned(),
                line,
                expected: "UTF-8",
            }
        })
}

fn utf16(
    file: &str,
    bytes: &[u8],
    unit: fn([u8; 2]) -> u16,
    expected: &'static str,
) -> Result<String, FormatError> {
    let wrong = |line| FormatError::Encoding {
        file: file.to_owned(),
        line,
        expected,
    };
    let (pairs, rest) = bytes.as_chunks::<2>();
    let mut text = String::new();
    let mut line = 1;
    for c in char::decode_utf16(pairs.iter().map(|pair| unit(*pair))) {
        let c = c.map_err(|_| wrong(line))?;
        line += usize::from(c == '\n');
        text.push(c);
    }
    if rest.is_empty() {
        Ok(text)
    } else {
        Err(wrong(line))
    }
}
