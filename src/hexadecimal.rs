//! Bytes as hexadecimal digits: checksums, identities, secrets.

/// Returns two lowercase digits for each byte.
pub(crate) fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10: `BASE16("foobar")`, here in lowercase.
    #[test]
    fn each_byte_is_two_digits() {
        assert_eq!(hexadecimal(b"foobar"), "666f6f626172");
        assert_eq!(hexadecimal(&[0, 10, 255]), "000aff");
    }
}
