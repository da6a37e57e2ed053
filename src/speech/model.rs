//! The recogniser's weights: built into the program, or a file of the user's.

use super::adapter::{self, AdapterError};
use super::model_file::{self, ModelFacts, ModelFileError};
use crate::hexadecimal::hexadecimal;
use sha2::{Digest, Sha256};
use std::fmt;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// OpenAI's Whisper base with 8-bit matrices; `models/README.md` tells where it comes from.
pub(super) static EMBEDDED: &[u8] = include_bytes!("../../models/whisper-base-q8_0.bin");

/// What fits it to the talk of walk-rounds; the same page tells how it was trained.
pub(super) static ADAPTER: &[u8] = include_bytes!("../../models/walk-rounds.safetensors");

/// SHA-256 of the two put together, written down so that it need not be computed at every start; a test
/// compares.
const EMBEDDED_SHA256: &str = "15733685e18bf3a1d2cc8ae756a84a833c6f635626a8595f65a7c9d04696619e";

/// A Whisper model, checked to be whole.
#[derive(Clone)]
pub struct Model {
    bytes: Vec<u8>,
    facts: ModelFacts,
    sha256: String,
    origin: Option<PathBuf>,
    /// Its SHA-256 before it was fitted to a voice, where it was.
    unfitted: Option<String>,
}

/// Ways in which a model cannot be had.
#[derive(Debug, Error)]
pub enum ModelError {
    /// The file cannot be read.
    #[error("cannot read the model {}", path.display())]
    Read {
        /// The file asked for.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file is no Whisper model.
    #[error("cannot use the model {}", path.display())]
    Unusable {
        /// The file asked for.
        path: PathBuf,
        /// What is wrong with it.
        source: ModelFileError,
    },
    /// The program was built around parts that do not go together.
    #[error("cannot use the built-in model")]
    Adapter(#[from] AdapterError),
}

impl Model {
    /// Returns the model that is part of the program, fitted to walk-rounds.
    ///
    /// # Errors
    /// [`ModelError::Adapter`] if the program was built around a damaged model or adapter.
    pub fn embedded() -> Result<Self, ModelError> {
        let (facts, bytes) = adapter::apply(EMBEDDED, ADAPTER)?;
        Ok(Model {
            bytes,
            facts,
            sha256: EMBEDDED_SHA256.to_owned(),
            origin: None,
            unfitted: None,
        })
    }

    /// Returns the model in a ggml file, such as those made for whisper.cpp.
    ///
    /// # Errors
    /// [`ModelError::Read`] when the file cannot be read; [`ModelError::Unusable`] when it is not a
    /// whole Whisper model.
    pub fn from_file(path: &Path) -> Result<Self, ModelError> {
        let bytes = std::fs::read(path).map_err(|source| ModelError::Read {
            path: path.to_owned(),
            source,
        })?;
        let (facts, _) = model_file::inspect(&bytes).map_err(|source| ModelError::Unusable {
            path: path.to_owned(),
            source,
        })?;
        let sha256 = hexadecimal(&Sha256::digest(&bytes));
        Ok(Model {
            bytes,
            facts,
            sha256,
            origin: Some(path.to_owned()),
            unfitted: None,
        })
    }

    /// Returns the model with what was learnt of a voice (`fit`) added.
    ///
    /// # Errors
    /// [`ModelError::Adapter`] where that is damaged, or was learnt with another model.
    pub fn fitted_to(self, changes: &[u8]) -> Result<Self, ModelError> {
        let (facts, bytes) = adapter::apply(&self.bytes, changes)?;
        let mut digest = Sha256::new();
        digest.update(&self.sha256);
        digest.update(changes);
        Ok(Model {
            bytes,
            facts,
            sha256: hexadecimal(&digest.finalize()),
            unfitted: Some(self.sha256),
            origin: self.origin,
        })
    }

    /// Returns the file's bytes.
    pub(super) fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Returns the model's sizes.
    pub fn facts(&self) -> &ModelFacts {
        &self.facts
    }

    /// Returns a SHA-256 that stands for the model's bytes, 64 lowercase hexadecimal digits: the key
    /// under which recognised words can be kept and found again.
    pub fn sha256(&self) -> &str {
        &self.sha256
    }

    /// Returns the same for the model without what was learnt of a voice.
    pub fn unfitted_sha256(&self) -> &str {
        self.unfitted.as_ref().unwrap_or(&self.sha256)
    }
}

/// Shows one line: `Whisper base, multilingual, q8_0, 81.8 MB, built in, fitted to walk-rounds`.
impl fmt::Display for Model {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.facts.size_name().unwrap_or("variant");
        let languages = if self.facts.english_only() {
            "English only"
        } else {
            "multilingual"
        };
        let megabytes = self.bytes.len() as f64 / 1e6;
        write!(
            f,
            "Whisper {size}, {languages}, {}, {megabytes:.1} MB, ",
            self.facts.storage.name
        )?;
        match &self.origin {
            None => write!(f, "built in, fitted to walk-rounds")?,
            Some(path) => write!(f, "{}", path.display())?,
        }
        match self.unfitted {
            Some(_) => write!(f, " and to a voice"),
            None => Ok(()),
        }
    }
}

impl fmt::Debug for Model {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Model({self}, sha256 {})", self.sha256)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::error::Error;

    #[test]
    fn the_embedded_model_is_the_documented_one() {
        let model = Model::embedded().unwrap();
        assert_eq!(hexadecimal(&Sha256::digest(&model.bytes)), EMBEDDED_SHA256);
        insta::assert_snapshot!(model, @"Whisper base, multilingual, q8_0, 81.8 MB, built in, fitted to walk-rounds");
    }

    #[test]
    fn a_damaged_copy_is_refused_with_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("half.bin");
        std::fs::write(&path, &EMBEDDED[..40_000_000]).unwrap();
        let error = Model::from_file(&path).unwrap_err();
        assert!(error.to_string().contains("half.bin"));
        insta::assert_snapshot!(
            error.source().unwrap(),
            @"the model file is cut short: it ends at byte 40000000, inside weights decoder.token_embedding.weight; copy it again"
        );
        let missing = Model::from_file(&folder.path().join("none.bin")).unwrap_err();
        assert!(missing.to_string().contains("none.bin"));
    }
}
