//! The numbers of a model file, out of the ways in which ggml stores them.

use super::Rows;
use super::layers::{Linear, Norm};
use crate::speech::adapter::BLOCK_BYTES;
use crate::speech::model_file::Tensor;
use half::f16;
use ndarray::{Array1, Array2};
use thiserror::Error;

/// Weights that are not there as expected.
#[derive(Debug, Error)]
#[error("the model's weights {0} cannot be used for this")]
pub struct Misfit(String);

/// A model file's weights, by name.
pub(super) struct Weights<'a> {
    pub(super) bytes: &'a [u8],
    pub(super) tensors: &'a [Tensor],
}

impl Weights<'_> {
    /// Returns the numbers and their sides, that of neighbouring numbers first.
    fn numbers(&self, name: &str) -> Result<(Vec<f32>, &[usize]), Misfit> {
        let misfit = || Misfit(name.to_owned());
        let tensor = self.tensors.iter().find(|tensor| tensor.name == name);
        let tensor = tensor.ok_or_else(misfit)?;
        let bytes = &self.bytes[tensor.bytes.clone()];
        let half = |two: &[u8]| f16::from_le_bytes([two[0], two[1]]).to_f32();
        let numbers = match tensor.storage.name {
            "f32" => bytes
                .chunks_exact(4)
                .map(|four| f32::from_le_bytes([four[0], four[1], four[2], four[3]]))
                .collect(),
            "f16" => bytes.chunks_exact(2).map(half).collect(),
            "q8_0" => bytes
                .chunks_exact(BLOCK_BYTES)
                .flat_map(|block| {
                    let scale = half(block);
                    let numbers = block[2..].iter();
                    numbers.map(move |number| f32::from(number.cast_signed()) * scale)
                })
                .collect(),
            _ => return Err(misfit()),
        };
        Ok((numbers, &tensor.sides))
    }

    /// Returns a matrix, row by row.
    pub(super) fn matrix(&self, name: &str) -> Result<Rows, Misfit> {
        let (numbers, sides) = self.numbers(name)?;
        let misfit = || Misfit(name.to_owned());
        let &[columns, rows] = sides else {
            return Err(misfit());
        };
        Array2::from_shape_vec((rows, columns), numbers).map_err(|_| misfit())
    }

    fn row(&self, name: &str) -> Result<Array1<f32>, Misfit> {
        Ok(Array1::from_vec(self.numbers(name)?.0))
    }

    pub(super) fn norm(&self, name: &str) -> Result<Norm, Misfit> {
        Ok(Norm {
            scale: self.row(&format!("{name}.weight"))?,
            shift: self.row(&format!("{name}.bias"))?,
        })
    }

    pub(super) fn linear(&self, name: &str, with_bias: bool) -> Result<Linear, Misfit> {
        let bias = with_bias.then(|| self.row(&format!("{name}.bias")));
        Ok(Linear {
            weight: self.matrix(&format!("{name}.weight"))?,
            bias: bias.transpose()?,
        })
    }

    /// Returns the kernels of a convolution three wide, for `convolve`.
    pub(super) fn kernels(&self, name: &str) -> Result<Linear, Misfit> {
        let weight = format!("{name}.weight");
        let (numbers, sides) = self.numbers(&weight)?;
        let &[3, inputs, outputs] = sides else {
            return Err(Misfit(weight));
        };
        // Kept with the three moments of an input side by side; wanted with the inputs of a moment so.
        let at = |(output, place): (usize, usize)| {
            let (tap, input) = (place / inputs, place % inputs);
            numbers[(output * inputs + input) * 3 + tap]
        };
        Ok(Linear {
            weight: Array2::from_shape_fn((outputs, 3 * inputs), at),
            bias: Some(self.row(&format!("{name}.bias"))?),
        })
    }
}
