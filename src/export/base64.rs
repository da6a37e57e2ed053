//! Base64 (RFC 4648, section 4), for pictures inside a page.

/// The alphabet of RFC 4648, table 1.
const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Returns the bytes in base64 with padding.
pub(super) fn encode(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |i: usize| u32::from(chunk.get(i).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            // One byte fills two characters, two fill three, three fill four.
            if place <= chunk.len() {
                let index = bits >> (18 - 6 * place) & 63;
                text.push(char::from(ALPHABET[index as usize]));
            } else {
                text.push('=');
            }
        }
    }
    text
}

#[cfg(test)]
mod tests {
    /// Source: RFC 4648, section 10, all test vectors; the last row uses the whole alphabet's end.
    #[test]
    fn encodes_the_vectors_of_rfc_4648() {
        for (bytes, text) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(super::encode(bytes.as_bytes()), text);
        }
        assert_eq!(super::encode(&[0xfb, 0xff, 0xbf]), "+/+/");
    }
}
