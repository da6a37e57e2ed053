//! The zip: the same bytes for the same files, with forward slashes and an entry for each folder.

use std::collections::BTreeSet;
use std::io::{self, Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// A zip in the making, in memory.
pub(super) struct Archive {
    zip: ZipWriter<Cursor<Vec<u8>>>,
    folders: BTreeSet<String>,
}

impl Archive {
    pub(super) fn new() -> Archive {
        Archive {
            zip: ZipWriter::new(Cursor::new(Vec::new())),
            folders: BTreeSet::new(),
        }
    }

    /// Adds a file that compressing makes smaller.
    pub(super) fn text(&mut self, path: &str, bytes: Vec<u8>) -> io::Result<()> {
        self.add(path, &bytes, CompressionMethod::Deflated)
    }

    /// Adds a picture, which is compressed already.
    pub(super) fn picture(&mut self, path: &str, bytes: &[u8]) -> io::Result<()> {
        self.add(path, bytes, CompressionMethod::Stored)
    }

    fn add(&mut self, path: &str, bytes: &[u8], method: CompressionMethod) -> io::Result<()> {
        // The earliest time that a zip knows: the list's own dates are in the topics.
        let options = SimpleFileOptions::default()
            .compression_method(method)
            .last_modified_time(DateTime::DEFAULT);
        if let Some((folder, _)) = path.rsplit_once('/')
            && self.folders.insert(folder.to_string())
        {
            self.zip.add_directory(format!("{folder}/"), options)?;
        }
        self.zip.start_file(path, options)?;
        self.zip.write_all(bytes)
    }

    pub(super) fn finish(self) -> io::Result<Vec<u8>> {
        Ok(self.zip.finish()?.into_inner())
    }
}
