//! Whisper as a network that can be gone through backwards: sound to rows, rows and text to a loss.

use super::block::{Attention, Block, Passed, Step, Told};
use super::layers::{Linear, Norm, Normed, convolve, gelu, softmax};
use super::mel::FRAMES;
use super::weights::{Misfit, Weights};
use super::{LEARNT, Rows};
use ndarray::{Array2, s};

/// The share of the probability that is asked of all tokens alike instead of the one that was said, so
/// that none is driven to certainty (Szegedy and others, arXiv 1512.00567); as `models/adapt.py` has it.
const SMOOTHING: f32 = 0.05;

/// The names of the linear parts of a layer's attention, behind the attention's own.
const PARTS: [&str; 4] = ["query", "key", "value", "out"];

/// A model's numbers, as whisper.cpp computes with them.
pub(super) struct Network {
    convolutions: [Linear; 2],
    moments: Rows,
    encoder: Vec<Block>,
    encoded: Norm,
    words: Rows,
    places: Rows,
    decoder: Vec<Block>,
    decoded: Norm,
}

/// A text as the decoder has it.
#[derive(Debug, Clone)]
pub(super) struct Text {
    /// What stands before it.
    pub(super) opening: Vec<i32>,
    /// The text itself, with the token that ends it.
    pub(super) tokens: Vec<i32>,
}

/// The loss of a window: the sum over its tokens of what their probability's logarithm lacks.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Loss {
    pub(super) sum: f32,
    pub(super) tokens: usize,
}

/// What the encoder needs for the way back.
pub(super) struct Listened {
    passed: Vec<Passed>,
    normed: Normed,
}

impl Network {
    /// Returns the network of a model with so many layers on either side.
    ///
    /// # Errors
    /// [`Misfit`] where a matrix is missing or has other sides.
    pub(super) fn new(weights: &Weights<'_>, layers: [usize; 2]) -> Result<Network, Misfit> {
        let words = weights.matrix("decoder.token_embedding.weight")?;
        let block = |side: &str, layer: usize| block(weights, &format!("{side}.blocks.{layer}"));
        let all = |side: &'static str, layers: usize| (0..layers).map(move |at| block(side, at));
        Ok(Network {
            convolutions: [
                weights.kernels("encoder.conv1")?,
                weights.kernels("encoder.conv2")?,
            ],
            moments: weights.matrix("encoder.positional_embedding")?,
            encoder: all("encoder", layers[0]).collect::<Result<_, _>>()?,
            encoded: weights.norm("encoder.ln_post")?,
            words,
            places: weights.matrix("decoder.positional_embedding")?,
            decoder: all("decoder", layers[1]).collect::<Result<_, _>>()?,
            decoded: weights.norm("decoder.ln")?,
        })
    }

    /// Returns the linear parts that can be learnt, with their names: those of the encoder's layers, in
    /// the order of their numbers.
    pub(super) fn parts(&mut self) -> Vec<(String, &mut Linear)> {
        let mut parts = Vec::new();
        for (layer, block) in self.encoder.iter_mut().enumerate() {
            let own = block.own.parts.iter_mut();
            let linear = own.chain(block.step.parts.iter_mut());
            let named = linear.zip(LEARNT);
            parts.extend(
                named.map(|(part, name)| (format!("encoder.blocks.{layer}.{name}.weight"), part)),
            );
        }
        parts
    }

    /// Returns what the encoder makes of a spectrogram: a row for every fiftieth of a second.
    pub(super) fn listen(&self, mel: &Rows) -> (Rows, Listened) {
        debug_assert_eq!(mel.nrows(), FRAMES);
        let [first, second] = &self.convolutions;
        let rows = gelu(&convolve(first, mel, 1));
        let mut rows = gelu(&convolve(second, &rows, 2)) + &self.moments;
        let mut passed = Vec::new();
        for block in &self.encoder {
            let (output, kept) = block.forward(&rows, None);
            rows = output;
            passed.push(kept);
        }
        let (heard, normed) = self.encoded.forward(&rows);
        (heard, Listened { passed, normed })
    }

    /// Returns the way back through the encoder: `told` gets the number of each part that can be learnt
    /// ([`Network::parts`]), its inputs and the gradient of its outputs.
    pub(super) fn listen_back(&self, kept: &Listened, gradient: &Rows, told: Told<'_>) {
        let mut gradient = self.encoded.back(&kept.normed, gradient);
        for (layer, (block, kept)) in self.encoder.iter().zip(&kept.passed).enumerate().rev() {
            let mut of_layer = |part: usize, input: &Rows, output: &Rows| {
                told(layer * LEARNT.len() + part, input, output);
            };
            gradient = block.back(kept, &gradient, None, &mut of_layer);
        }
    }

    /// Returns the loss of the text for what was heard, and the gradient of what was heard; without the
    /// gradient, and without smoothing, where it is only looked at.
    pub(super) fn read(&self, text: &Text, heard: &Rows, learn: bool) -> (Loss, Option<Rows>) {
        let given: Vec<i32> = text.opening.iter().chain(&text.tokens).copied().collect();
        let given = &given[..given.len() - 1];
        let mut rows = Array2::zeros((given.len(), heard.ncols()));
        for (at, (mut row, &token)) in rows.outer_iter_mut().zip(given).enumerate() {
            row.assign(&self.words.row(token as usize));
            row += &self.places.row(at);
        }
        let mut passed = Vec::new();
        for block in &self.decoder {
            let (output, kept) = block.forward(&rows, Some(heard));
            rows = output;
            passed.push(kept);
        }
        let (rows, normed) = self.decoded.forward(&rows);
        let asked = text.opening.len() - 1;
        let mut shares = rows.slice(s![asked.., ..]).dot(&self.words.t());
        softmax(&mut shares);
        let loss = loss(&shares, &text.tokens, if learn { SMOOTHING } else { 0.0 });
        if !learn {
            return (loss, None);
        }
        // Of a softmax's loss: the share given less the share asked for.
        let even = SMOOTHING / shares.ncols() as f32;
        shares -= even;
        for (mut row, &token) in shares.outer_iter_mut().zip(&text.tokens) {
            row[token as usize] -= 1.0 - SMOOTHING;
        }
        let mut gradient = Array2::zeros(rows.dim());
        gradient
            .slice_mut(s![asked.., ..])
            .assign(&shares.dot(&self.words));
        let mut gradient = self.decoded.back(&normed, &gradient);
        let mut of_heard = Array2::zeros(heard.dim());
        for (block, kept) in self.decoder.iter().zip(&passed).rev() {
            let heard = Some((heard, &mut of_heard));
            gradient = block.back(kept, &gradient, heard, &mut |_, _, _| ());
        }
        (loss, Some(of_heard))
    }
}

/// Returns the loss of tokens with these shares of probability.
fn loss(shares: &Rows, tokens: &[i32], smoothing: f32) -> Loss {
    let mut sum = 0.0;
    for (row, &token) in shares.outer_iter().zip(tokens) {
        sum -= (1.0 - smoothing) * row[token as usize].max(f32::MIN_POSITIVE).ln();
        if smoothing > 0.0 {
            let all = row.iter().map(|share| share.max(f32::MIN_POSITIVE).ln());
            sum -= smoothing * all.sum::<f32>() / row.len() as f32;
        }
    }
    Loss {
        sum,
        tokens: tokens.len(),
    }
}

fn block(weights: &Weights<'_>, name: &str) -> Result<Block, Misfit> {
    let heard = match name.starts_with("decoder") {
        true => Some(attention(weights, &format!("{name}.cross_attn"))?),
        false => None,
    };
    Ok(Block {
        own: attention(weights, &format!("{name}.attn"))?,
        heard,
        step: Step {
            norm: weights.norm(&format!("{name}.mlp_ln"))?,
            parts: [
                weights.linear(&format!("{name}.mlp.0"), true)?,
                weights.linear(&format!("{name}.mlp.2"), true)?,
            ],
        },
    })
}

fn attention(weights: &Weights<'_>, name: &str) -> Result<Attention, Misfit> {
    let [query, key, value, out] =
        PARTS.map(|part| weights.linear(&format!("{name}.{part}"), part != "key"));
    Ok(Attention {
        norm: weights.norm(&format!("{name}_ln"))?,
        parts: [query?, key?, value?, out?],
    })
}
