//! Fits a model to the talk of walk-rounds: a small set of changes is added to its matrices before
//! whisper.cpp gets them.
//!
//! The changes are kept as two narrow matrices for each matrix of the model, whose product is added to
//! it ("low-rank adaptation", Hu and others, arXiv 2106.09685). So the weights as OpenAI published them
//! stay in the repository as they are, and what was trained is a file of a few megabytes
//! (`models/README.md` tells how). Layout: safetensors, `NAME.down` (rank by columns) and `NAME.up`
//! (rows by rank), 16-bit floats.

use super::model_file::{self, ModelFileError};
use half::f16;
use safetensors::tensor::TensorView;
use safetensors::{Dtype, SafeTensorError, SafeTensors};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use thiserror::Error;

/// Numbers in one `q8_0` block, and its bytes: a 16-bit scale and a byte for each number.
const BLOCK: usize = 32;
pub(super) const BLOCK_BYTES: usize = 2 + BLOCK;

/// Ways in which an adapter does not go with a model.
#[derive(Debug, Error)]
pub enum AdapterError {
    /// The model cannot be read.
    #[error(transparent)]
    Model(#[from] ModelFileError),
    /// The adapter's file cannot be read.
    #[error("the adapter is no whole safetensors file")]
    Unreadable(#[from] SafeTensorError),
    /// A part of the adapter has no counterpart.
    #[error("the adapter does not go with the model: {0}")]
    Misfit(String),
}

/// Returns the model's file with the adapter's changes added to the matrices.
///
/// The same bytes for the same input on any processor: every number is computed in a fixed order.
///
/// # Errors
/// [`AdapterError`] where one of the two is damaged or they do not go together; matrices that change
/// must be stored as `q8_0`.
pub(super) fn apply(model: &[u8], adapter: &[u8]) -> Result<Vec<u8>, AdapterError> {
    let (_, tensors) = model_file::inspect(model)?;
    let adapter = SafeTensors::deserialize(adapter)?;
    let mut adapted = model.to_vec();
    for name in adapter.names() {
        let Some(name) = name.strip_suffix(".up") else {
            continue;
        };
        let misfit = |what: &str| AdapterError::Misfit(format!("{name} {what}"));
        let of_name = tensors.iter().find(|tensor| tensor.name == name);
        let tensor = of_name.ok_or_else(|| misfit("is not in the model"))?;
        let [columns, rows] = tensor.sides[..] else {
            return Err(misfit("is no matrix"));
        };
        let up = Matrix::new(&adapter.tensor(&format!("{name}.up"))?).filter(|m| m.rows == rows);
        let up = up.ok_or_else(|| misfit("has other rows"))?;
        let down = Matrix::new(&adapter.tensor(&format!("{name}.down"))?)
            .filter(|m| m.columns == columns && m.rows == up.columns);
        let down = down.ok_or_else(|| misfit("has other columns"))?;
        if tensor.storage.name != "q8_0" {
            return Err(misfit("is not stored as q8_0"));
        }
        let stored = &mut adapted[tensor.bytes.clone()];
        let row_bytes = columns / BLOCK * BLOCK_BYTES;
        for (row, stored) in stored.chunks_exact_mut(row_bytes).enumerate() {
            let change = change(up.row(row), &down);
            for (block, change) in stored
                .chunks_exact_mut(BLOCK_BYTES)
                .zip(change.chunks_exact(BLOCK))
            {
                add(block, change);
            }
        }
    }
    Ok(adapted)
}

/// Returns an adapter that changes a model as the two together do.
///
/// # Errors
/// [`AdapterError`] where one is damaged or they do not go together.
pub(super) fn joined(first: &[u8], second: &[u8]) -> Result<Vec<u8>, AdapterError> {
    let first = SafeTensors::deserialize(first)?;
    let second = SafeTensors::deserialize(second)?;
    let mut parts: BTreeMap<String, (Vec<usize>, Vec<u8>)> = BTreeMap::new();
    for (name, tensor) in first.iter().chain(second.iter()) {
        let misfit = || AdapterError::Misfit(format!("{name} is twice there in other sizes"));
        let [rows, columns] = *tensor.shape() else {
            return Err(misfit());
        };
        match parts.entry(name.to_owned()) {
            Entry::Vacant(vacant) => {
                vacant.insert((vec![rows, columns], tensor.data().to_vec()));
            }
            Entry::Occupied(mut there) => {
                let (sides, data) = there.get_mut();
                match name.ends_with(".up") {
                    true if sides[0] == rows => {
                        let (before, new) =
                            (data.chunks(sides[1] * 2), tensor.data().chunks(columns * 2));
                        *data = before.zip(new).flat_map(|(a, b)| [a, b].concat()).collect();
                        sides[1] += columns;
                    }
                    false if sides[1] == columns => {
                        data.extend_from_slice(tensor.data());
                        sides[0] += rows;
                    }
                    _ => return Err(misfit()),
                }
            }
        }
    }
    let views = parts
        .iter()
        .map(|(name, (sides, data))| Ok((name, TensorView::new(Dtype::F16, sides.clone(), data)?)));
    let views = views.collect::<Result<Vec<_>, SafeTensorError>>()?;
    Ok(safetensors::serialize(views, None)?)
}

/// Returns what one row of a matrix changes by.
fn change(up: &[f32], down: &Matrix) -> Vec<f32> {
    let mut change = vec![0.0; down.columns];
    for (index, factor) in up.iter().enumerate() {
        for (sum, number) in change.iter_mut().zip(down.row(index)) {
            *sum += factor * number;
        }
    }
    change
}

/// Adds to the numbers of a `q8_0` block, which is rounded anew as ggml does (`quantize_row_q8_0_ref`).
fn add(block: &mut [u8], change: &[f32]) {
    let (scale, numbers) = block.split_at_mut(2);
    let old = f16::from_le_bytes([scale[0], scale[1]]).to_f32();
    let mut sums = [0.0_f32; BLOCK];
    for ((sum, number), change) in sums.iter_mut().zip(&*numbers).zip(change) {
        *sum = f32::from(number.cast_signed()) * old + change;
    }
    let largest = sums.iter().fold(0.0_f32, |most, sum| most.max(sum.abs()));
    let new = largest / 127.0;
    let inverse = if new > 0.0 { 1.0 / new } else { 0.0 };
    scale.copy_from_slice(&f16::from_f32(new).to_le_bytes());
    for (number, sum) in numbers.iter_mut().zip(sums) {
        *number = ((sum * inverse).round() as i8).cast_unsigned();
    }
}

/// A matrix of the adapter, row by row.
struct Matrix {
    rows: usize,
    columns: usize,
    numbers: Vec<f32>,
}

impl Matrix {
    /// Returns the numbers of a tensor, or `None` where it is no matrix of 16-bit floats.
    fn new(tensor: &TensorView<'_>) -> Option<Matrix> {
        let [rows, columns] = *tensor.shape() else {
            return None;
        };
        let numbers = tensor.data().chunks_exact(2);
        (tensor.dtype() == Dtype::F16).then(|| Matrix {
            rows,
            columns,
            numbers: numbers
                .map(|two| f16::from_le_bytes([two[0], two[1]]).to_f32())
                .collect(),
        })
    }

    fn row(&self, index: usize) -> &[f32] {
        &self.numbers[index * self.columns..(index + 1) * self.columns]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::model::{ADAPTER, EMBEDDED};

    /// Returns an adapter file with two matrices of 16-bit floats, all ones.
    fn adapter(name: &str, rows: usize, columns: usize) -> Vec<u8> {
        adapter_of(name, rows, columns, 1.0)
    }

    /// Returns the same with another number in place of one.
    fn adapter_of(name: &str, rows: usize, columns: usize, number: f32) -> Vec<u8> {
        let all = |count: usize| f16::from_f32(number).to_le_bytes().repeat(count);
        let (up, down) = (all(rows), all(columns));
        let part = |part, shape: [usize; 2], data| {
            let view = TensorView::new(Dtype::F16, shape.to_vec(), data).unwrap();
            (format!("{name}.{part}"), view)
        };
        let parts = [
            part("up", [rows, 1], &up),
            part("down", [1, columns], &down),
        ];
        safetensors::serialize(parts, None).unwrap()
    }

    #[test]
    fn what_a_row_changes_by_is_a_sum_of_rows() {
        let down = Matrix {
            rows: 2,
            columns: 3,
            numbers: vec![1.0, 2.0, 3.0, 10.0, 20.0, 30.0],
        };
        assert_eq!(change(&[1.0, 0.5], &down), [6.0, 12.0, 18.0]);
    }

    #[test]
    fn two_joined_change_a_row_by_both_sums() {
        let both = joined(&adapter_of("a", 2, 3, 1.0), &adapter_of("a", 2, 3, 2.0)).unwrap();
        let both = joined(&both, &adapter_of("b", 2, 3, 3.0)).unwrap();
        let both = SafeTensors::deserialize(&both).unwrap();
        for (name, sum) in [("a", 1.0 + 4.0), ("b", 9.0)] {
            let matrix =
                |part| Matrix::new(&both.tensor(&format!("{name}.{part}")).unwrap()).unwrap();
            let (up, down) = (matrix("up"), matrix("down"));
            assert_eq!((up.rows, down.columns), (2, 3));
            for row in 0..2 {
                assert_eq!(change(up.row(row), &down), [sum; 3], "{name}");
            }
        }
        let error = joined(&adapter("a", 2, 3), &adapter("a", 3, 3)).unwrap_err();
        insta::assert_snapshot!(
            error,
            @"the adapter does not go with the model: a.up is twice there in other sizes"
        );
    }

    /// ggml's `quantize_row_q8_0_ref`, by hand: the scale is the largest number over 127, and the rest is
    /// rounded to whole multiples of it.
    #[test]
    fn a_block_is_rounded_anew_as_ggml_does() {
        let mut block = [0_u8; BLOCK_BYTES];
        let mut change = [0.0_f32; BLOCK];
        change[..4].copy_from_slice(&[254.0, -254.0, 3.0, 0.9]);
        add(&mut block, &change);
        assert_eq!(f16::from_le_bytes([block[0], block[1]]).to_f32(), 2.0);
        assert_eq!(block[2..6], [127, (-127_i8).cast_unsigned(), 2, 0]);
        add(&mut block, &[0.0; BLOCK]);
        assert_eq!(block[2..6], [127, (-127_i8).cast_unsigned(), 2, 0]);
    }

    #[test]
    fn only_the_decoders_matrices_change() {
        let adapted = apply(EMBEDDED, ADAPTER).unwrap();
        let (_, tensors) = model_file::inspect(EMBEDDED).unwrap();
        let changed: Vec<&str> = tensors
            .iter()
            .filter(|tensor| EMBEDDED[tensor.bytes.clone()] != adapted[tensor.bytes.clone()])
            .map(|tensor| tensor.name.as_str())
            .collect();
        assert_eq!(changed.len(), 48, "eight matrices in each of six layers");
        // Where words stand in time is read off these, which therefore stay (`whisper.rs`).
        let listens =
            |name: &&&str| name.contains("cross_attn.query") || name.contains("cross_attn.key");
        assert_eq!(changed.iter().find(listens), None);
        assert!(
            changed
                .iter()
                .all(|name| name.starts_with("decoder.blocks."))
        );
    }

    #[test]
    fn an_adapter_of_another_model_is_refused() {
        let query = "decoder.blocks.0.attn.query.weight";
        for (name, rows, columns, complaint) in [
            (
                "decoder.blocks.9.attn.query.weight",
                512,
                512,
                "is not in the model",
            ),
            ("decoder.ln.weight", 512, 512, "is no matrix"),
            (query, 384, 512, "has other rows"),
            (query, 512, 384, "has other columns"),
            (
                "decoder.positional_embedding",
                448,
                512,
                "is not stored as q8_0",
            ),
        ] {
            let error = apply(EMBEDDED, &adapter(name, rows, columns)).unwrap_err();
            assert!(error.to_string().contains(complaint), "{name}: {error}");
        }
        let error = apply(EMBEDDED, b"no adapter").unwrap_err();
        insta::assert_snapshot!(error, @"the adapter is no whole safetensors file");
    }
}
