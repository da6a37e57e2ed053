//! Attention of several heads, there and back.
//!
//! The shares that each row gives to the others are computed anew on the way back: kept, those of one
//! layer of the encoder would take 72 MB.

use super::Rows;
use super::layers::softmax;
use ndarray::{Array2, ArrayView2, Axis, s};

/// Numbers of one head, in every size of Whisper.
const HEAD: usize = 64;

/// Questions, keys and values: rows of as many numbers as the model is wide.
#[derive(Debug)]
pub(super) struct Asked {
    pub(super) query: Rows,
    pub(super) key: Rows,
    pub(super) value: Rows,
    /// True where a row sees only itself and those before it.
    pub(super) only_before: bool,
}

impl Asked {
    /// Returns, for each question, the values in the shares that its keys get.
    pub(super) fn answers(&self) -> Rows {
        let mut answers = Array2::zeros(self.query.dim());
        for head in 0..self.heads() {
            let answer = self.shares(head).dot(&of_head(&self.value, head));
            answers.slice_mut(columns(head)).assign(&answer);
        }
        answers
    }

    /// Returns the gradients of questions, keys and values.
    pub(super) fn back(&self, gradient: &Rows) -> [Rows; 3] {
        let mut query = Array2::zeros(self.query.dim());
        let mut key = Array2::zeros(self.key.dim());
        let mut value = Array2::zeros(self.value.dim());
        for head in 0..self.heads() {
            let shares = self.shares(head);
            let gradient = of_head(gradient, head);
            value
                .slice_mut(columns(head))
                .assign(&shares.t().dot(&gradient));
            let mut scores = gradient.dot(&of_head(&self.value, head).t());
            // Of a softmax: share times what is above the mean in these shares.
            for (mut scores, shares) in scores.outer_iter_mut().zip(shares.outer_iter()) {
                let mean = scores.dot(&shares);
                scores.mapv_inplace(|score| score - mean);
                scores *= &shares;
            }
            scores *= scale();
            query
                .slice_mut(columns(head))
                .assign(&scores.dot(&of_head(&self.key, head)));
            key.slice_mut(columns(head))
                .assign(&scores.t().dot(&of_head(&self.query, head)));
        }
        [query, key, value]
    }

    fn heads(&self) -> usize {
        self.query.len_of(Axis(1)) / HEAD
    }

    /// Returns the share that each question (row) gives to each key.
    fn shares(&self, head: usize) -> Rows {
        let query = &of_head(&self.query, head) * scale();
        let mut scores = query.dot(&of_head(&self.key, head).t());
        if self.only_before {
            for (at, mut row) in scores.outer_iter_mut().enumerate() {
                row.slice_mut(s![at + 1..]).fill(f32::NEG_INFINITY);
            }
        }
        softmax(&mut scores);
        scores
    }
}

fn scale() -> f32 {
    1.0 / (HEAD as f32).sqrt()
}

fn columns(
    head: usize,
) -> ndarray::SliceInfo<[ndarray::SliceInfoElem; 2], ndarray::Ix2, ndarray::Ix2> {
    s![.., head * HEAD..(head + 1) * HEAD]
}

fn of_head(rows: &Rows, head: usize) -> ArrayView2<'_, f32> {
    rows.slice(columns(head))
}
