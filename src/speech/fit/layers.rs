//! The parts that a transformer is built of, each with its way back: what the loss changes by with its
//! input, from what it changes by with its output.

use super::Rows;
use ndarray::{Array1, Array2, Axis, Zip};

/// Whisper adds this to a variance before its root (`LayerNorm` of PyTorch).
const LEAST_VARIANCE: f32 = 1e-5;

/// A matrix, and what is added to its product.
#[derive(Debug, Clone)]
pub(super) struct Linear {
    /// Outputs by inputs.
    pub(super) weight: Rows,
    /// One number an output.
    pub(super) bias: Option<Array1<f32>>,
}

impl Linear {
    /// Returns the outputs for each row of inputs.
    pub(super) fn forward(&self, input: &Rows) -> Rows {
        let mut output = input.dot(&self.weight.t());
        if let Some(bias) = &self.bias {
            output += bias;
        }
        output
    }

    /// Returns the gradient of the inputs.
    pub(super) fn back(&self, gradient: &Rows) -> Rows {
        gradient.dot(&self.weight)
    }
}

/// Rows brought to mean 0 and variance 1, then scaled and shifted.
#[derive(Debug, Clone)]
pub(super) struct Norm {
    pub(super) scale: Array1<f32>,
    pub(super) shift: Array1<f32>,
}

/// What a [`Norm`] needs for the way back.
#[derive(Debug)]
pub(super) struct Normed {
    /// Rows of mean 0 and variance 1.
    rows: Rows,
    /// What each was divided by, as a factor.
    factors: Array1<f32>,
}

impl Norm {
    /// Returns the rows, and what the way back needs.
    pub(super) fn forward(&self, input: &Rows) -> (Rows, Normed) {
        let width = input.ncols() as f32;
        let mut rows = input.clone();
        let mut factors = Array1::zeros(input.nrows());
        for (mut row, factor) in rows.outer_iter_mut().zip(&mut factors) {
            let mean = row.sum() / width;
            row.mapv_inplace(|value| value - mean);
            let variance = row.iter().map(|value| value * value).sum::<f32>() / width;
            *factor = 1.0 / (variance + LEAST_VARIANCE).sqrt();
            row *= *factor;
        }
        let output = &rows * &self.scale + &self.shift;
        (output, Normed { rows, factors })
    }

    /// Returns the gradient of the inputs.
    pub(super) fn back(&self, normed: &Normed, gradient: &Rows) -> Rows {
        let mut out = gradient * &self.scale;
        let width = out.ncols() as f32;
        let rows = out.outer_iter_mut().zip(normed.rows.outer_iter());
        for ((mut out, row), factor) in rows.zip(&normed.factors) {
            let mean = out.sum() / width;
            let along = out.dot(&row) / width;
            Zip::from(&mut out)
                .and(row)
                .for_each(|out, value| *out = factor * (*out - mean - value * along));
        }
        out
    }
}

/// The steepness of the logistic curve that stands for GELU's tanh form, 2 sqrt(2 / pi), and the share of
/// the cube in it (Hendrycks and Gimpel, arXiv 1606.08415; as ggml computes it).
const GELU_STEEP: f32 = 1.595_769;
const GELU_CUBE: f32 = 0.044_715;

/// Returns GELU of each number.
pub(super) fn gelu(input: &Rows) -> Rows {
    input.mapv(|x| x * logistic(GELU_STEEP * (x + GELU_CUBE * x * x * x)))
}

/// Returns the gradient of GELU's inputs.
pub(super) fn gelu_back(input: &Rows, gradient: &Rows) -> Rows {
    Zip::from(input).and(gradient).map_collect(|&x, &gradient| {
        let share = logistic(GELU_STEEP * (x + GELU_CUBE * x * x * x));
        let slope = GELU_STEEP * (1.0 + 3.0 * GELU_CUBE * x * x);
        gradient * (share + x * share * (1.0 - share) * slope)
    })
}

fn logistic(x: f32) -> f32 {
    1.0 / (1.0 + (-x).exp())
}

/// Makes each row a share out of its numbers' powers: positive, with sum 1.
pub(super) fn softmax(rows: &mut Rows) {
    for mut row in rows.axis_iter_mut(Axis(0)) {
        let most = row.iter().copied().fold(f32::MIN, f32::max);
        let mut sum = 0.0;
        row.mapv_inplace(|value| {
            let power = (value - most).exp();
            sum += power;
            power
        });
        row /= sum;
    }
}

/// Returns a convolution of kernels three wide over rows in time, filled up with a row of zeros at both
/// ends: one row for every `stride` of the input. `kernels` is outputs by (3 times inputs), the earliest
/// input first.
pub(super) fn convolve(kernels: &Linear, input: &Rows, stride: usize) -> Rows {
    let (length, width) = input.dim();
    let mut around = Array2::zeros((length.div_ceil(stride), 3 * width));
    for (at, mut row) in around.outer_iter_mut().enumerate() {
        for tap in 0..3 {
            let moment = (at * stride + tap).checked_sub(1);
            if let Some(moment) = moment.filter(|&moment| moment < length) {
                row.slice_mut(ndarray::s![tap * width..(tap + 1) * width])
                    .assign(&input.row(moment));
            }
        }
    }
    kernels.forward(&around)
}
