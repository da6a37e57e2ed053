//! The recogniser's weights: built into the program, or a file of the user's.

use super::adapter::{self, AdapterError};
use super::model_file::{self, ModelFacts, ModelFileError};
use crate::hexadecimal::hexadecimal;
use sha2::{Digest, Sha256};
use std::borrow::Cow;
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use thiserror::Error;

/// OpenAI's Whisper base with 8-bit matrices; `models/README.md` tells where it comes from.
pub(super) static EMBEDDED: &[u8] = include_bytes!("../../models/whisper-base-q8_0.bin");

/// What fits it to the talk of walk-rounds; the same page tells how it was trained.
pub(super) static ADAPTER: &[u8] = include_bytes!("../../models/walk-rounds.safetensors");

/// What fits its ear, the encoder, to voices and rooms that it hears badly.
static HARD_VOICES: &[u8] = include_bytes!("../../models/hard-voices.safetensors");

/// SHA-256 of the first two put together, written down so that it need not be computed at every start; a test
/// compares.
const EMBEDDED_SHA256: &str = "15733685e18bf3a1d2cc8ae756a84a833c6f635626a8595f65a7c9d04696619e";

/// A Whisper model, checked to be whole. It holds what it is made of, and is put together where its weights
/// are asked for: several models take no more memory than one.
#[derive(Clone)]
pub struct Model {
    origin: Origin,
    facts: ModelFacts,
    sha256: String,
    added: Option<Added>,
}

/// Where a model's weights come from, before they are fitted to voices.
#[derive(Clone)]
enum Origin {
    /// The program: fitted to walk-rounds.
    BuiltIn,
    File(PathBuf, Arc<Vec<u8>>),
}

/// What was added to a model to fit it to voices.
#[derive(Clone)]
struct Added {
    /// The model's SHA-256 without it.
    unfitted: String,
    changes: Cow<'static, [u8]>,
    voices: &'static str,
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
    /// How many models are part of the program.
    pub const BUILT_IN: usize = 2;

    /// Returns the model that is part of the program, fitted to walk-rounds.
    ///
    /// # Errors
    /// [`ModelError::Adapter`] if the program was built around a damaged model or adapter.
    pub fn embedded() -> Result<Self, ModelError> {
        let (facts, _) = model_file::inspect(EMBEDDED).map_err(AdapterError::from)?;
        Ok(Model {
            origin: Origin::BuiltIn,
            facts,
            sha256: EMBEDDED_SHA256.to_owned(),
            added: None,
        })
    }

    /// Returns the models that are part of the program: [`Model::embedded`], and the same with an ear for
    /// voices and rooms that it hears badly. It hears others worse, so each recording is heard with the
    /// one that is surer of it ([`super::surest`]).
    ///
    /// # Errors
    /// As [`Model::embedded`] has it.
    pub fn built_in() -> Result<[Self; Self::BUILT_IN], ModelError> {
        let model = Model::embedded()?;
        let other = model.clone().with(HARD_VOICES.into(), "hard voices");
        Ok([model, other])
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
            origin: Origin::File(path.to_owned(), Arc::new(bytes)),
            facts,
            sha256,
            added: None,
        })
    }

    /// Returns the model with what was learnt of a voice (`fit`) added.
    ///
    /// # Errors
    /// [`ModelError::Adapter`] where that is damaged, or was learnt with another model.
    pub fn fitted_to(self, changes: &[u8]) -> Result<Self, ModelError> {
        adapter::apply(&self.unfitted_bytes()?, changes)?;
        Ok(self.with(changes.to_vec().into(), "a voice"))
    }

    fn with(self, changes: Cow<'static, [u8]>, voices: &'static str) -> Self {
        let mut digest = Sha256::new();
        digest.update(&self.sha256);
        digest.update(&changes);
        Model {
            origin: self.origin,
            facts: self.facts,
            sha256: hexadecimal(&digest.finalize()),
            added: Some(Added {
                unfitted: self.sha256,
                changes,
                voices,
            }),
        }
    }

    /// Returns the model as a file, put together anew each time: some hundred milliseconds.
    ///
    /// # Errors
    /// [`AdapterError`] if the program was built around parts that do not go together.
    pub(super) fn bytes(&self) -> Result<Cow<'_, [u8]>, AdapterError> {
        let bytes = self.unfitted_bytes()?;
        match &self.added {
            Some(added) => Ok(adapter::apply(&bytes, &added.changes)?.into()),
            None => Ok(bytes),
        }
    }

    fn unfitted_bytes(&self) -> Result<Cow<'_, [u8]>, AdapterError> {
        match &self.origin {
            Origin::BuiltIn => Ok(adapter::apply(EMBEDDED, ADAPTER)?.into()),
            Origin::File(_, bytes) => Ok(Cow::Borrowed(bytes)),
        }
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

    /// Returns the same for the model before it was fitted to voices.
    pub fn unfitted_sha256(&self) -> &str {
        let added = self.added.as_ref();
        added.map_or(&self.sha256, |added| &added.unfitted)
    }

    /// Returns whether it was fitted to voices.
    pub fn is_fitted(&self) -> bool {
        self.added.is_some()
    }

    /// Returns what is special about its ear, such as `an ear for hard voices`.
    pub fn ear(&self) -> String {
        match &self.added {
            Some(added) => format!("an ear for {}", added.voices),
            None => "the usual ear".to_owned(),
        }
    }

    /// Returns what fits it to voices.
    pub(super) fn changes(&self) -> Option<&[u8]> {
        self.added.as_ref().map(|added| &*added.changes)
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
        let bytes = match &self.origin {
            Origin::BuiltIn => EMBEDDED.len(),
            Origin::File(_, bytes) => bytes.len(),
        };
        let megabytes = bytes as f64 / 1e6;
        write!(
            f,
            "Whisper {size}, {languages}, {}, {megabytes:.1} MB, ",
            self.facts.storage.name
        )?;
        match &self.origin {
            Origin::BuiltIn => write!(f, "built in, fitted to walk-rounds")?,
            Origin::File(path, _) => write!(f, "{}", path.display())?,
        }
        match &self.added {
            Some(added) => write!(f, " and to {}", added.voices),
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
        let bytes = model.bytes().unwrap();
        assert_eq!(hexadecimal(&Sha256::digest(&bytes)), EMBEDDED_SHA256);
        insta::assert_snapshot!(model, @"Whisper base, multilingual, q8_0, 81.8 MB, built in, fitted to walk-rounds");
    }

    #[test]
    fn the_second_model_is_fitted_to_hard_voices() {
        let [first, second] = Model::built_in().unwrap();
        assert!(!first.is_fitted() && second.is_fitted());
        assert_eq!(second.unfitted_sha256(), first.sha256());
        insta::assert_snapshot!(second, @"Whisper base, multilingual, q8_0, 81.8 MB, built in, fitted to walk-rounds and to hard voices");
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
