//! The narrow pairs of matrices that are learnt, and how they are changed step by step: AdamW
//! (Loshchilov and Hutter, arXiv 1711.05101).

use super::Rows;
use super::chance::Chance;
use super::network::Loss;
use half::f16;
use ndarray::{Array2, Zip};
use safetensors::tensor::TensorView;
use safetensors::{Dtype, SafeTensorError};

/// How narrow the pairs are. Common practice, no source; eight learns a voice from five minutes.
const RANK: usize = 8;

/// How far a step goes at most, how many steps it takes to get there, and the rest of what AdamW is told;
/// as `models/adapt.py` has them, but for the shorter warm-up.
const RATE: f32 = 1e-3;
const WARM_UP: usize = 8;
const DECAY: f32 = 0.01;
const BETAS: [f32; 2] = [0.9, 0.98];
const LEAST_ROOT: f32 = 1e-8;
/// Longer gradients are shortened to this length.
const LONGEST_GRADIENT: f32 = 1.0;

/// A pair of matrices whose product, `up` times `down`, is added to a large one.
#[derive(Debug, Clone)]
pub(super) struct Narrow {
    pub(super) down: Rows,
    pub(super) up: Rows,
}

/// The gradient of a pair.
pub(super) type Gradient = Narrow;

impl Narrow {
    /// Returns a pair for a matrix of so many outputs and inputs, whose product is nothing yet.
    pub(super) fn new((outputs, inputs): (usize, usize), chance: &mut Chance) -> Narrow {
        // Evenly spread, with the variance 1 / inputs.
        let most = (3.0 / inputs as f32).sqrt();
        Narrow {
            down: Array2::from_shape_simple_fn((RANK, inputs), || chance.even() * most),
            up: Array2::zeros((outputs, RANK)),
        }
    }

    pub(super) fn product(&self) -> Rows {
        self.up.dot(&self.down)
    }

    pub(super) fn no_gradient(&self) -> Gradient {
        Narrow {
            down: Array2::zeros(self.down.dim()),
            up: Array2::zeros(self.up.dim()),
        }
    }

    /// Returns the pair's gradient, from the inputs of its matrix and the gradient of the outputs.
    pub(super) fn gradient(&self, input: &Rows, output: &Rows) -> Gradient {
        Narrow {
            down: output.dot(&self.up).t().dot(input),
            up: output.t().dot(&input.dot(&self.down.t())),
        }
    }
}

/// The state of the descent.
pub(super) struct Adam {
    steps: usize,
    done: usize,
    means: Vec<Narrow>,
    squares: Vec<Narrow>,
}

impl Adam {
    /// Returns a descent of so many steps.
    pub(super) fn new(pairs: &[Narrow], steps: usize) -> Adam {
        let zeros: Vec<Narrow> = pairs.iter().map(Narrow::no_gradient).collect();
        Adam {
            steps,
            done: 0,
            means: zeros.clone(),
            squares: zeros,
        }
    }

    /// Returns the number of steps done.
    pub(super) fn done(&self) -> usize {
        self.done
    }

    /// Changes the pairs by one step, from the losses and gradients of some windows.
    pub(super) fn step(&mut self, pairs: &mut [Narrow], windows: Vec<(Loss, Vec<Gradient>)>) {
        let tokens: usize = windows.iter().map(|(loss, _)| loss.tokens).sum();
        let gradients = windows.into_iter().map(|(_, gradients)| gradients);
        let sums = gradients.reduce(|mut sums, gradients| {
            for (sum, gradient) in sums.iter_mut().zip(&gradients) {
                sum.down += &gradient.down;
                sum.up += &gradient.up;
            }
            sums
        });
        let sums = sums.unwrap_or_default();
        let squares = sums.iter().flat_map(|sum| sum.down.iter().chain(&sum.up));
        let length = squares.map(|value| value * value).sum::<f32>().sqrt() / tokens as f32;
        let factor = (LONGEST_GRADIENT / length.max(LONGEST_GRADIENT)) / tokens as f32;
        let rate = RATE * self.share_of_rate();
        self.done += 1;
        let states = self.means.iter_mut().zip(&mut self.squares);
        for ((pair, sum), (mean, square)) in pairs.iter_mut().zip(&sums).zip(states) {
            let change = |numbers: &mut Rows, sum: &Rows, mean: &mut Rows, square: &mut Rows| {
                descend(numbers, &(sum * factor), mean, square, rate, self.done);
            };
            change(&mut pair.down, &sum.down, &mut mean.down, &mut square.down);
            change(&mut pair.up, &sum.up, &mut mean.up, &mut square.up);
        }
    }

    /// Rises over the first steps, and falls by a cosine over all.
    fn share_of_rate(&self) -> f32 {
        let rising = (self.done + 1) as f32 / WARM_UP as f32;
        let part = self.done as f32 / self.steps as f32;
        rising.min(1.0) * (0.5 + 0.5 * (std::f32::consts::PI * part).cos())
    }
}

/// One step of AdamW on one matrix; `count` is the number of steps with this one.
fn descend(
    numbers: &mut Rows,
    gradient: &Rows,
    mean: &mut Rows,
    square: &mut Rows,
    rate: f32,
    count: usize,
) {
    // Both begin with nothing, and are made up for that.
    let made_up = BETAS.map(|beta| 1.0 - beta.powi(count as i32));
    Zip::from(numbers)
        .and(gradient)
        .and(mean)
        .and(square)
        .for_each(|number, gradient, mean, square| {
            *mean = BETAS[0] * *mean + (1.0 - BETAS[0]) * gradient;
            *square = BETAS[1] * *square + (1.0 - BETAS[1]) * gradient * gradient;
            let root = (*square / made_up[1]).sqrt() + LEAST_ROOT;
            *number -= rate * (DECAY * *number + *mean / made_up[0] / root);
        });
}

/// Returns the pairs as a file that `adapter.rs` reads: 16-bit floats, by the name of the matrix.
pub(super) fn file<'a>(
    pairs: impl Iterator<Item = (&'a str, &'a Narrow)>,
) -> Result<Vec<u8>, SafeTensorError> {
    let bytes = |rows: &Rows| -> Vec<u8> {
        let numbers = rows.iter();
        let numbers = numbers.flat_map(|&number| f16::from_f32(number).to_le_bytes());
        numbers.collect()
    };
    let parts: Vec<(String, Vec<usize>, Vec<u8>)> = pairs
        .flat_map(|(name, pair)| {
            [("down", &pair.down), ("up", &pair.up)]
                .map(|(part, rows)| (format!("{name}.{part}"), rows.shape().to_vec(), bytes(rows)))
        })
        .collect();
    let views = parts
        .iter()
        .map(|(name, shape, bytes)| Ok((name, TensorView::new(Dtype::F16, shape.clone(), bytes)?)));
    safetensors::serialize(views.collect::<Result<Vec<_>, SafeTensorError>>()?, None)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `torch.optim.AdamW([w], lr=1e-3, betas=(0.9, 0.98), weight_decay=0.01)` of torch 2.15.0 on one number,
    /// from 0.5, with the gradients 1, -2 and 0.25 one after the other.
    #[test]
    fn a_step_is_that_of_the_reference_library() {
        let one = |value: f32| Array2::from_elem((1, 1), value);
        let (mut number, mut mean, mut square) = (one(0.5), one(0.0), one(0.0));
        for ((gradient, count), expected) in [1.0, -2.0, 0.25].into_iter().zip(1..).zip(EXPECTED) {
            descend(
                &mut number,
                &one(gradient),
                &mut mean,
                &mut square,
                1e-3,
                count,
            );
            let value = number[(0, 0)];
            assert!((value - expected).abs() < 1e-6, "{count}: {value}");
        }
    }

    const EXPECTED: [f32; 3] = [0.498_995, 0.499_355_05, 0.499_560_65];
}
