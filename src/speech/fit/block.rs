//! One layer of a transformer as Whisper has it: attention to its own rows, to what was heard (in the
//! decoder), and a step of each row by itself; each is added to what came in.

use super::Rows;
use super::attention::Asked;
use super::layers::{Linear, Norm, Normed, gelu, gelu_back};

/// Told of a linear part on the way back: its number in the layer, its inputs, and the gradient of its
/// outputs, from which that of its matrix follows.
pub(super) type Told<'a> = &'a mut dyn FnMut(usize, &Rows, &Rows);

/// Attention with what is before and behind it.
#[derive(Debug, Clone)]
pub(super) struct Attention {
    pub(super) norm: Norm,
    /// Query, key, value, and what the answers go through: in the order of their numbers.
    pub(super) parts: [Linear; 4],
}

/// What attention needs for the way back.
#[derive(Debug)]
pub(super) struct Attended {
    normed: Normed,
    input: Rows,
    asked: Asked,
    answers: Rows,
}

impl Attention {
    /// Returns the rows with what they made of themselves, or of `heard`, added.
    pub(super) fn forward(
        &self,
        rows: &Rows,
        heard: Option<&Rows>,
        only_before: bool,
    ) -> (Rows, Attended) {
        let [query, key, value, out] = &self.parts;
        let (input, normed) = self.norm.forward(rows);
        let of = heard.unwrap_or(&input);
        let asked = Asked {
            query: query.forward(&input),
            key: key.forward(of),
            value: value.forward(of),
            only_before,
        };
        let answers = asked.answers();
        let output = rows + &out.forward(&answers);
        let attended = Attended {
            normed,
            input,
            asked,
            answers,
        };
        (output, attended)
    }

    /// Returns the gradient of the rows; what was heard gets its own added to `heard`, which holds the
    /// rows themselves and their gradient.
    pub(super) fn back(
        &self,
        kept: &Attended,
        gradient: &Rows,
        heard: Option<(&Rows, &mut Rows)>,
        told: Told<'_>,
    ) -> Rows {
        let [query, key, value, out] = &self.parts;
        told(3, &kept.answers, gradient);
        let asked = kept.asked.back(&out.back(gradient));
        let of = heard.as_ref().map_or(&kept.input, |(rows, _)| rows);
        told(0, &kept.input, &asked[0]);
        told(1, of, &asked[1]);
        told(2, of, &asked[2]);
        let mut input = query.back(&asked[0]);
        let other = key.back(&asked[1]) + value.back(&asked[2]);
        match heard {
            Some((_, sum)) => *sum += &other,
            None => input += &other,
        }
        self.norm.back(&kept.normed, &input) + gradient
    }
}

/// Two linear parts with a bend between them, on each row by itself.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub(super) norm: Norm,
    /// Up to four times the width, and down again.
    pub(super) parts: [Linear; 2],
}

/// What a step needs for the way back.
#[derive(Debug)]
pub(super) struct Stepped {
    normed: Normed,
    input: Rows,
    wide: Rows,
    bent: Rows,
}

impl Step {
    /// Returns the rows with what each made of itself added.
    pub(super) fn forward(&self, rows: &Rows) -> (Rows, Stepped) {
        let [up, down] = &self.parts;
        let (input, normed) = self.norm.forward(rows);
        let wide = up.forward(&input);
        let bent = gelu(&wide);
        let output = rows + &down.forward(&bent);
        let stepped = Stepped {
            normed,
            input,
            wide,
            bent,
        };
        (output, stepped)
    }

    /// Returns the gradient of the rows. Its parts have the numbers behind those of attention.
    pub(super) fn back(&self, kept: &Stepped, gradient: &Rows, told: Told<'_>) -> Rows {
        let [up, down] = &self.parts;
        told(5, &kept.bent, gradient);
        let wide = gelu_back(&kept.wide, &down.back(gradient));
        told(4, &kept.input, &wide);
        self.norm.back(&kept.normed, &up.back(&wide)) + gradient
    }
}

/// A layer.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub(super) own: Attention,
    /// Attention to what was heard: the decoder's layers have it.
    pub(super) heard: Option<Attention>,
    pub(super) step: Step,
}

/// What a layer needs for the way back.
#[derive(Debug)]
pub(super) struct Passed {
    own: Attended,
    heard: Option<Attended>,
    step: Stepped,
}

impl Block {
    /// Returns the rows as the layer passes them on. With `heard` they see only those before them.
    pub(super) fn forward(&self, rows: &Rows, heard: Option<&Rows>) -> (Rows, Passed) {
        let (mut rows, own) = self.own.forward(rows, None, heard.is_some());
        let mut of_heard = None;
        if let (Some(attention), Some(heard)) = (&self.heard, heard) {
            let (output, kept) = attention.forward(&rows, Some(heard), false);
            (rows, of_heard) = (output, Some(kept));
        }
        let (rows, step) = self.step.forward(&rows);
        let passed = Passed {
            own,
            heard: of_heard,
            step,
        };
        (rows, passed)
    }

    /// Returns the gradient of the rows that came in. What was heard gets its own added.
    pub(super) fn back(
        &self,
        kept: &Passed,
        gradient: &Rows,
        heard: Option<(&Rows, &mut Rows)>,
        told: Told<'_>,
    ) -> Rows {
        let mut gradient = self.step.back(&kept.step, gradient, told);
        if let (Some(attention), Some(kept)) = (&self.heard, &kept.heard) {
            gradient = attention.back(kept, &gradient, heard, &mut |_, _, _| ());
        }
        self.own.back(&kept.own, &gradient, None, told)
    }
}
