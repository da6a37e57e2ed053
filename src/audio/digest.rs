//! The SHA-256 of a file, by which a recording is known again under another name.

use super::error::AudioError;
use crate::hexadecimal::hexadecimal;
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// Bytes read at a time.
const PIECE: usize = 256 * 1024;

/// Returns the SHA-256 of a file's bytes as 64 lowercase hexadecimal digits, without holding the
/// file in memory.
///
/// # Errors
/// [`AudioError::Read`] where the file cannot be read.
pub fn sha256_of_file(path: &Path) -> Result<String, AudioError> {
    let failed = |source| AudioError::Read {
        path: path.to_owned(),
        source,
    };
    let mut file = File::open(path).map_err(failed)?;
    let mut hasher = Sha256::new();
    let mut piece = vec![0; PIECE];
    loop {
        match file.read(&mut piece) {
            Ok(0) => break,
            Ok(count) => hasher.update(&piece[..count]),
            Err(e) if e.kind() == ErrorKind::Interrupted => {}
            Err(e) => return Err(failed(e)),
        }
    }
    Ok(hexadecimal(&hasher.finalize()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The digests of "abc" and of a million times "a" are examples of FIPS 180-2, appendix B.
    #[test]
    fn digests_match_the_standards_examples() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bytes");
        let cases = [
            (
                b"abc".to_vec(),
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            ),
            (
                vec![b'a'; 1_000_000],
                "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
            ),
        ];
        for (bytes, want) in cases {
            std::fs::write(&path, bytes).unwrap();
            assert_eq!(sha256_of_file(&path).unwrap(), want);
        }
        assert!(sha256_of_file(folder.path()).is_err());
    }
}
