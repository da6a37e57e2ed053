//! Reads the structure of a ggml Whisper model file, without its numbers.
//!
//! whisper.cpp trusts what it loads: a wrong file can make it abort the whole program or read
//! beyond its buffer. So every length and size is walked here first; only a file that is whole and
//! plausible is handed over. Layout: whisper.cpp 1.8.3, `whisper_model_load`.

use ndarray::Array2;
use std::ops::Range;
use thiserror::Error;

/// First four bytes of every ggml file, read as a little-endian number (`"ggml"`).
const MAGIC: u32 = 0x6767_6d6c;

/// Frequency bins of Whisper's 400-point transform; the mel filters have this many columns.
const FFT_BINS: u32 = 201;

/// Most bytes a vocabulary entry or a tensor name may have. The longest token of Whisper has 128
/// bytes, the longest tensor name fewer than 50.
const MAX_NAME_BYTES: u32 = 256;

/// Ways in which a file fails to be a usable Whisper model.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ModelFileError {
    /// The file does not start with the ggml magic number.
    #[error(
        "not a ggml Whisper model: the file starts with {found}, expected \"lmgg\"; \
         give a file made for whisper.cpp (ggml-*.bin)"
    )]
    NotGgml {
        /// The first bytes, printable.
        found: String,
    },
    /// The file ends in the middle of something.
    #[error(
        "the model file is cut short: it ends at byte {length}, inside {inside}; copy it again"
    )]
    CutShort {
        /// Length of the file in bytes.
        length: usize,
        /// What was being read.
        inside: String,
    },
    /// A number that no Whisper model has.
    #[error("not a usable Whisper model: {what} is {found}, expected {expected}")]
    OutOfRange {
        /// What the number stands for.
        what: String,
        /// The number read.
        found: i64,
        /// What would have been accepted.
        expected: String,
    },
    /// Weights are missing, doubled or too many.
    #[error("not a usable Whisper model: {0}")]
    Tensors(String),
}

/// The sizes at the head of a ggml Whisper model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ModelFacts {
    /// Tokens, special ones included: 51864 English-only, 51865 or 51866 multilingual.
    pub vocabulary: u32,
    /// Encoder positions for 30 s of sound.
    pub audio_context: u32,
    /// Width of encoder and decoder.
    pub state: u32,
    /// Attention heads.
    pub heads: u32,
    /// Encoder layers.
    pub audio_layers: u32,
    /// Decoder positions.
    pub text_context: u32,
    /// Decoder layers.
    pub text_layers: u32,
    /// Mel bands: 80, or 128 for large-v3.
    pub mel_bands: u32,
    /// How the matrices are stored.
    pub storage: Storage,
}

impl ModelFacts {
    /// Returns true for a model that knows English only.
    pub fn english_only(&self) -> bool {
        self.vocabulary == 51864
    }

    /// Returns OpenAI's name for a model of these sizes, or `None` for a variant such as a
    /// distilled model.
    pub fn size_name(&self) -> Option<&'static str> {
        match (self.audio_layers, self.text_layers) {
            (4, 4) => Some("tiny"),
            (6, 6) => Some("base"),
            (12, 12) => Some("small"),
            (24, 24) => Some("medium"),
            (32, 32) => Some("large"),
            (32, 4) => Some("large turbo"),
            _ => None,
        }
    }
}

/// How a tensor's numbers are stored: ggml's name, numbers per block, bytes per block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Storage {
    /// ggml's name of the type.
    pub name: &'static str,
    block: u64,
    bytes: u64,
}

/// Returns the storage for a number of ggml's `enum ggml_type` (ggml.h, and the block structs in
/// ggml-common.h), or `None` for types that Whisper models do not use.
fn tensor_storage(number: u32) -> Option<Storage> {
    let (name, block, bytes) = match number {
        0 => ("f32", 1, 4),
        1 => ("f16", 1, 2),
        2 => ("q4_0", 32, 18),
        3 => ("q4_1", 32, 20),
        6 => ("q5_0", 32, 22),
        7 => ("q5_1", 32, 24),
        8 => ("q8_0", 32, 34),
        10 => ("q2_k", 256, 84),
        11 => ("q3_k", 256, 110),
        12 => ("q4_k", 256, 144),
        13 => ("q5_k", 256, 176),
        14 => ("q6_k", 256, 210),
        _ => return None,
    };
    Some(Storage { name, block, bytes })
}

/// Returns the storage for a number of ggml's `enum ggml_ftype`, which names the type of most
/// matrices in a file.
fn file_storage(number: u32) -> Option<Storage> {
    tensor_storage(match number {
        0 => 0,
        1 => 1,
        2 => 2,
        3 => 3,
        7 => 8,
        8 => 6,
        9 => 7,
        10..=14 => number,
        _ => return None,
    })
}

/// One set of weights in a model file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Tensor {
    /// Its name, as whisper.cpp asks for it.
    pub(super) name: String,
    /// How its numbers are stored.
    pub(super) storage: Storage,
    /// Its sides, that of neighbouring numbers first.
    pub(super) sides: Vec<usize>,
    /// Where its numbers stand in the file.
    pub(super) bytes: Range<usize>,
}

/// Walks a whole model file and returns its sizes and sets of weights.
///
/// # Errors
/// [`ModelFileError`] when the bytes are not a complete Whisper model in ggml's layout.
pub(super) fn inspect(bytes: &[u8]) -> Result<(ModelFacts, Vec<Tensor>), ModelFileError> {
    let mut reader = Reader { bytes, position: 0 };
    let facts = read_head(&mut reader)?;
    read_filters(&mut reader, &facts)?;
    read_vocabulary(&mut reader, &facts)?;
    let tensors = read_tensors(&mut reader, &facts)?;
    Ok((facts, tensors))
}

/// Returns the filters that make a spectrogram's frequencies into bands: a row for each band.
///
/// # Errors
/// [`ModelFileError`] when the bytes are not the beginning of a Whisper model in ggml's layout.
pub(super) fn mel_filters(bytes: &[u8]) -> Result<Array2<f32>, ModelFileError> {
    let mut reader = Reader { bytes, position: 0 };
    let facts = read_head(&mut reader)?;
    let filters = read_filters(&mut reader, &facts)?.chunks_exact(4);
    let numbers = filters.map(|four| f32::from_le_bytes([four[0], four[1], four[2], four[3]]));
    let shape = (facts.mel_bands as usize, FFT_BINS as usize);
    Array2::from_shape_vec(shape, numbers.collect()).map_err(|_| {
        out_of_range(
            "the mel filters",
            facts.mel_bands,
            "as many as there are bands",
        )
    })
}

fn read_head(reader: &mut Reader) -> Result<ModelFacts, ModelFileError> {
    let start = reader.bytes.get(..4).unwrap_or(reader.bytes);
    if start != MAGIC.to_le_bytes() {
        return Err(ModelFileError::NotGgml {
            found: format!("\"{}\"", start.escape_ascii()),
        });
    }
    reader.position = 4;
    // A wrong number here could make whisper.cpp throw or fill the memory, so only sizes of
    // published Whisper models and what lies between them pass.
    let vocabulary = reader.number("the vocabulary size", 51864..=51866)?;
    let audio_context = reader.number("the audio context", 1500..=1500)?;
    let state = reader.number("the state width", 384..=1280)?;
    let heads = reader.number("the number of attention heads", 6..=20)?;
    let audio_layers = reader.number("the number of encoder layers", 4..=32)?;
    let text_context = reader.number("the text context", 448..=448)?;
    let text_state = reader.number("the decoder's state width", 384..=1280)?;
    let text_heads = reader.number("the decoder's number of heads", 6..=20)?;
    let text_layers = reader.number("the number of decoder layers", 1..=32)?;
    let mel_bands = reader.number("the number of mel bands", 80..=128)?;
    let file_type = reader.number("the storage type", 0..=u32::MAX >> 1)?;
    // The thousands carry the version of the quantisation format.
    let storage = file_storage(file_type % 1000).ok_or_else(|| {
        out_of_range(
            "the storage type",
            file_type,
            "a type that ggml can compute",
        )
    })?;
    if ![4, 6, 12, 24, 32].contains(&audio_layers) {
        return Err(out_of_range(
            "the number of encoder layers",
            audio_layers,
            "4, 6, 12, 24 or 32",
        ));
    }
    if state != 64 * heads {
        return Err(out_of_range(
            "the state width",
            state,
            "64 for each attention head",
        ));
    }
    if (text_state, text_heads) != (state, heads) {
        return Err(out_of_range(
            "the decoder's state width",
            text_state,
            "the encoder's",
        ));
    }
    if u64::from(state) % storage.block != 0 {
        let expected = format!(
            "a multiple of {} for {} storage",
            storage.block, storage.name
        );
        return Err(out_of_range("the state width", state, &expected));
    }
    Ok(ModelFacts {
        vocabulary,
        audio_context,
        state,
        heads,
        audio_layers,
        text_context,
        text_layers,
        mel_bands,
        storage,
    })
}

fn read_filters<'a>(
    reader: &mut Reader<'a>,
    facts: &ModelFacts,
) -> Result<&'a [u8], ModelFileError> {
    let bands = reader.number("the mel filters' rows", facts.mel_bands..=facts.mel_bands)?;
    let bins = reader.number("the mel filters' columns", FFT_BINS..=FFT_BINS)?;
    reader.take(u64::from(bands) * u64::from(bins) * 4, || {
        "the mel filters".into()
    })
}

fn read_vocabulary(reader: &mut Reader, facts: &ModelFacts) -> Result<(), ModelFileError> {
    // Files list the text tokens; whisper.cpp adds the special ones up to the vocabulary size.
    let tokens = reader.number("the number of listed tokens", 50256..=facts.vocabulary)?;
    for token in 0..tokens {
        let what = || format!("token {token}");
        let length = reader.length(&what)?;
        reader.skip(u64::from(length), what)?;
    }
    Ok(())
}

fn read_tensors(reader: &mut Reader, facts: &ModelFacts) -> Result<Vec<Tensor>, ModelFileError> {
    let expected = expected_tensors(facts);
    let mut tensors: Vec<Tensor> = Vec::new();
    while reader.position < reader.bytes.len() {
        let what = || format!("weights number {}", tensors.len() + 1);
        let dimensions = reader.number(&what(), 1..=3)?;
        let name_length = reader.length(&what)?;
        let type_number = reader.number(&what(), 0..=u32::from(u16::MAX))?;
        let storage = tensor_storage(type_number)
            .ok_or_else(|| out_of_range(&what(), type_number, "a storage type of ggml"))?;
        let mut count = 1_u64;
        let mut sides = Vec::new();
        for index in 0..dimensions {
            let side = reader.number(&what(), 1..=facts.vocabulary)?;
            if index == 0 && u64::from(side) % storage.block != 0 {
                let expected = format!("rows of a multiple of {} numbers", storage.block);
                return Err(out_of_range(&what(), side, &expected));
            }
            count = count.saturating_mul(u64::from(side));
            sides.push(side as usize);
        }
        let name = reader.take(u64::from(name_length), what)?;
        let name = String::from_utf8_lossy(name).into_owned();
        let start = reader.position;
        reader.skip(
            (count / storage.block).saturating_mul(storage.bytes),
            || format!("weights {name}"),
        )?;
        // A few hundred at most.
        if tensors.iter().any(|tensor| tensor.name == name) {
            return Err(ModelFileError::Tensors(format!(
                "the weights {name} occur twice"
            )));
        }
        tensors.push(Tensor {
            name,
            storage,
            sides,
            bytes: start..reader.position,
        });
        if tensors.len() > expected {
            return Err(ModelFileError::Tensors(format!(
                "more than the {expected} sets of weights that a model of this size has"
            )));
        }
    }
    if tensors.len() < expected {
        return Err(ModelFileError::Tensors(format!(
            "it holds {} of {expected} sets of weights; copy the file again",
            tensors.len()
        )));
    }
    Ok(tensors)
}

/// Returns how many tensors a complete model has: the encoder's positions, two convolutions and
/// final norm (7), the decoder's positions, embedding and final norm (4), 15 per encoder layer, 24
/// per decoder layer.
fn expected_tensors(facts: &ModelFacts) -> usize {
    11 + 15 * facts.audio_layers as usize + 24 * facts.text_layers as usize
}

fn out_of_range(what: &str, found: impl Into<i64>, expected: &str) -> ModelFileError {
    ModelFileError::OutOfRange {
        what: what.into(),
        found: found.into(),
        expected: expected.into(),
    }
}

/// A position in the file; every read is checked against its end.
struct Reader<'a> {
    bytes: &'a [u8],
    position: usize,
}

impl<'a> Reader<'a> {
    fn take(&mut self, count: u64, what: impl Fn() -> String) -> Result<&'a [u8], ModelFileError> {
        let end = usize::try_from(count)
            .ok()
            .and_then(|count| self.position.checked_add(count));
        let found =
            end.and_then(|end| self.bytes.get(self.position..end).map(|bytes| (bytes, end)));
        let Some((taken, end)) = found else {
            return Err(ModelFileError::CutShort {
                length: self.bytes.len(),
                inside: what(),
            });
        };
        self.position = end;
        Ok(taken)
    }

    fn skip(&mut self, count: u64, what: impl Fn() -> String) -> Result<(), ModelFileError> {
        self.take(count, what).map(|_| ())
    }

    /// Reads a 32-bit number that must lie in `accepted`.
    fn number(
        &mut self,
        what: &str,
        accepted: std::ops::RangeInclusive<u32>,
    ) -> Result<u32, ModelFileError> {
        let mut four = [0; 4];
        four.copy_from_slice(self.take(4, || what.into())?);
        let found = i32::from_le_bytes(four);
        match u32::try_from(found) {
            Ok(number) if accepted.contains(&number) => Ok(number),
            _ if accepted.start() == accepted.end() => {
                Err(out_of_range(what, found, &accepted.start().to_string()))
            }
            _ => {
                let expected = format!("{} to {}", accepted.start(), accepted.end());
                Err(out_of_range(what, found, &expected))
            }
        }
    }

    /// Reads the length of a name or token.
    fn length(&mut self, what: &impl Fn() -> String) -> Result<u32, ModelFileError> {
        self.number(&format!("the length of {}", what()), 0..=MAX_NAME_BYTES)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The smallest file that passes: a tiny-sized head, but one-number tensors.
    fn small_file(head: &[(usize, i32)]) -> Vec<u8> {
        let mut sizes = [51864, 1500, 384, 6, 4, 448, 384, 6, 1, 80, 1];
        for &(index, value) in head {
            sizes[index] = value;
        }
        let mut file = MAGIC.to_le_bytes().to_vec();
        let mut put = |number: i32| file.extend(number.to_le_bytes());
        sizes.into_iter().for_each(&mut put);
        put(80);
        put(201);
        file.extend(vec![0; 80 * 201 * 4]);
        file.extend(50256_i32.to_le_bytes());
        for _ in 0..50256 {
            file.extend(1_i32.to_le_bytes());
            file.push(b'a');
        }
        for tensor in 0..11 + 15 * 4 + 24 {
            add_tensor(&mut file, &format!("t{tensor}"), 0, &[1]);
        }
        file
    }

    fn add_tensor(file: &mut Vec<u8>, name: &str, kind: i32, sides: &[i32]) {
        for number in [sides.len() as i32, name.len() as i32, kind] {
            file.extend(number.to_le_bytes());
        }
        for side in sides {
            file.extend(side.to_le_bytes());
        }
        file.extend(name.as_bytes());
        let count: i64 = sides.iter().map(|&side| i64::from(side)).product();
        file.extend(vec![0; (count * 4).clamp(0, 64) as usize]);
    }

    fn complaint(bytes: &[u8]) -> String {
        inspect(bytes)
            .expect_err("accepted a broken model")
            .to_string()
    }

    #[test]
    fn reads_the_sizes() {
        let (facts, tensors) = inspect(&small_file(&[])).expect("refused a whole file");
        assert_eq!(tensors.len(), 11 + 15 * 4 + 24);
        assert_eq!(
            (facts.state, facts.audio_layers, facts.storage.name),
            (384, 4, "f16")
        );
        assert!(facts.english_only());
    }

    #[test]
    fn refuses_files_of_another_kind() {
        insta::assert_snapshot!(
            complaint(b"Right, that's recording."),
            @r#"not a ggml Whisper model: the file starts with "Righ", expected "lmgg"; give a file made for whisper.cpp (ggml-*.bin)"#
        );
        insta::assert_snapshot!(
            complaint(b""),
            @r#"not a ggml Whisper model: the file starts with "", expected "lmgg"; give a file made for whisper.cpp (ggml-*.bin)"#
        );
        let garbage: Vec<u8> = b"lmgg"
            .iter()
            .copied()
            .chain((0..10_000).map(|n| (n * 89) as u8))
            .collect();
        insta::assert_snapshot!(
            complaint(&garbage),
            @"not a usable Whisper model: the vocabulary size is 196237568, expected 51864 to 51866"
        );
    }

    #[test]
    fn refuses_sizes_that_whisper_cpp_would_stumble_over() {
        for (index, value, what) in [
            (2, 400, "the state width"),
            (2, i32::MAX, "the state width"),
            (3, -6, "the number of attention heads"),
            (4, 5, "the number of encoder layers"),
            (5, 100_000, "the text context"),
            (9, 0, "the number of mel bands"),
            (10, 99, "the storage type"),
            (10, 12, "the state width"), // q4_k needs a multiple of 256
        ] {
            let text = complaint(&small_file(&[(index, value)]));
            assert!(text.contains(what), "{index} = {value} gave: {text}");
        }
    }

    #[test]
    fn refuses_a_file_that_ends_early_wherever_it_ends() {
        let whole = small_file(&[]);
        for length in (5..whole.len()).step_by(997) {
            let text = complaint(&whole[..length]);
            let known = text.contains("cut short") || text.contains("sets of weights");
            assert!(known, "{length} bytes gave: {text}");
        }
    }

    #[test]
    fn refuses_weights_that_do_not_add_up() {
        let mut doubled = small_file(&[]);
        let last = doubled.len() - (12 + 4 + 3 + 4);
        doubled.truncate(last);
        add_tensor(&mut doubled, "t0", 0, &[1]);
        insta::assert_snapshot!(complaint(&doubled), @"not a usable Whisper model: the weights t0 occur twice");

        let mut huge = small_file(&[]);
        add_tensor(&mut huge, "more", 0, &[51864, 51864, 51864]);
        insta::assert_snapshot!(complaint(&huge), @"the model file is cut short: it ends at byte 317927, inside weights more; copy it again");

        let mut unknown = small_file(&[]);
        add_tensor(&mut unknown, "more", 77, &[1]);
        insta::assert_snapshot!(
            complaint(&unknown),
            @"not a usable Whisper model: weights number 96 is 77, expected a storage type of ggml"
        );
    }
}
