//! Sound without the echo of the room it was said in.
//!
//! A home that nobody lives in yet has no carpet and no curtain: a word is heard again from every wall while the next
//! is said. What comes late can be foretold from what came before it, a word cannot. So in each band of frequencies
//! the part of a moment that its past foretells is taken out, and moments count the less the louder they are: weighted
//! prediction error for one microphone, as in Nakatani, Yoshioka, Kinoshita, Miyoshi and Juang, *Speech
//! Dereverberation Based on Variance-Normalized Delayed Linear Prediction*, IEEE Transactions on Audio, Speech, and
//! Language Processing 18(7), 2010. `models/README.md` has what it is worth.

use super::resample::RATE;
use crate::linear::solve;
use crate::workers::each;
use realfft::num_complex::Complex;
use realfft::{FftError, RealFftPlanner};

/// Samples of one spectrum, 64 ms, and from one to the next, 16 ms. With spectra of 32 ms every 8, and as many of them, a
/// reference library left 10.6 words in a hundred wrong of one recording with strong echo instead of 8.1, of another as many.
const WIDTH: usize = 1024;
const STEP: usize = 256;
/// Spectra from a moment to the first of its past: what comes within 32 ms is part of a sound, not its echo.
const DELAY: usize = 2;
/// Spectra of its past, to a third of a second: the echo that still blurs words.
const TAPS: usize = 20;
/// How often loudness is estimated from what is left. As in the paper, where more change nothing.
const ROUNDS: usize = 3;
/// What is shorter has too few moments to tell echo from words: 2.5 seconds, eight for each spectrum of the past.
const FEWEST_SAMPLES: usize = RATE as usize * 5 / 2;
/// Loudness below this part of a band's loudest counts as this, so that silence does not outweigh all else.
const LEAST_LOUD: f64 = 1e-10;
/// Part of their mean that is added to the squares, so that what a band's past tells twice has one solution.
const HELD: f64 = 1e-12;

/// One band: its number in each spectrum, in order of time.
type Band = Vec<Complex<f32>>;

/// Samples that are dried together, 25 seconds: within them a speaker is mostly in one room.
const BLOCK: usize = RATE as usize * 25;

/// Takes the echo out of a stream of samples, block by block.
#[derive(Default)]
pub(super) struct Drier {
    waiting: Vec<f32>,
}

impl Drier {
    /// Takes in the next samples and returns those that are ready, as many as were taken in before them.
    pub(super) fn push(&mut self, samples: &[f32]) -> Vec<f32> {
        self.waiting.extend_from_slice(samples);
        let whole = self.waiting.len() / BLOCK * BLOCK;
        let rest = self.waiting.split_off(whole);
        let blocks = std::mem::replace(&mut self.waiting, rest);
        blocks.chunks(BLOCK).flat_map(without_echo).collect()
    }

    /// Returns the samples that are left.
    pub(super) fn finish(&mut self) -> Vec<f32> {
        without_echo(&std::mem::take(&mut self.waiting))
    }
}

/// Returns samples at 16 kHz, as many as there were, with less of the room's echo. What is shorter than 2.5 s is
/// returned as it is.
fn without_echo(samples: &[f32]) -> Vec<f32> {
    let dried = || {
        let bands = each(&bands(samples)?, |band| dry(band));
        sound(&bands, samples.len())
    };
    match samples.len() < FEWEST_SAMPLES {
        true => samples.to_vec(),
        // The transform fails for buffers of a wrong length only, and these are its own.
        false => dried().unwrap_or_else(|_: FftError| samples.to_vec()),
    }
}

/// Returns the Hann window of so many samples through which spectra are seen: the sum of those a quarter or half of it
/// apart is the same everywhere.
pub(crate) fn hann(width: usize) -> Vec<f32> {
    let angle = |at: usize| std::f32::consts::TAU * at as f32 / width as f32;
    (0..width).map(|at| 0.5 - 0.5 * angle(at).cos()).collect()
}

/// Samples by which the first spectrum begins before the sound, so that each sample is in equally many.
const LEAD: usize = WIDTH - STEP;

/// Returns the bands of a sound, each with as many numbers.
fn bands(samples: &[f32]) -> Result<Vec<Band>, FftError> {
    let fourier = RealFftPlanner::new().plan_fft_forward(WIDTH);
    let mut piece = fourier.make_input_vec();
    let mut spectrum = fourier.make_output_vec();
    let hann = hann(WIDTH);
    let spectra = (samples.len() + LEAD).div_ceil(STEP);
    let mut bands = vec![Band::with_capacity(spectra); spectrum.len()];
    for at in 0..spectra {
        for (offset, (value, seen)) in piece.iter_mut().zip(&hann).enumerate() {
            let sample = (at * STEP + offset).checked_sub(LEAD);
            let sample = sample.and_then(|sample| samples.get(sample));
            *value = sample.map_or(0.0, |sample| sample * seen);
        }
        fourier.process(&mut piece, &mut spectrum)?;
        for (band, number) in bands.iter_mut().zip(&spectrum) {
            band.push(*number);
        }
    }
    Ok(bands)
}

/// Returns the sound of bands, `length` samples of it.
fn sound(bands: &[Band], length: usize) -> Result<Vec<f32>, FftError> {
    let fourier = RealFftPlanner::new().plan_fft_inverse(WIDTH);
    let mut spectrum = fourier.make_input_vec();
    let mut piece = fourier.make_output_vec();
    let hann = hann(WIDTH);
    // The squares of a window shifted by a quarter of itself add up to 1.5 everywhere; the transform there and back
    // multiplies by its width.
    let scale = 1.0 / (1.5 * WIDTH as f32);
    let mut sound = vec![0.0; length];
    for at in 0..bands.first().map_or(0, Vec::len) {
        for (number, band) in spectrum.iter_mut().zip(bands) {
            *number = band[at];
        }
        fourier.process(&mut spectrum, &mut piece)?;
        for (offset, (value, seen)) in piece.iter().zip(&hann).enumerate() {
            let sample = (at * STEP + offset).checked_sub(LEAD);
            if let Some(sample) = sample.and_then(|sample| sound.get_mut(sample)) {
                *sample += value * seen * scale;
            }
        }
    }
    Ok(sound)
}

/// Returns a band without what its past foretells.
fn dry(band: &[Complex<f32>]) -> Band {
    let past = Past::new(band);
    let mut dry = band.to_vec();
    for _ in 0..ROUNDS {
        let loud = dry.iter().map(|number| double(*number).norm_sqr());
        let loud: Vec<f64> = loud.collect();
        let loudest = loud.iter().copied().fold(0.0, f64::max);
        if loudest == 0.0 {
            return dry;
        }
        let weights: Vec<f64> = loud
            .iter()
            .map(|loud| loudest / loud.max(LEAST_LOUD * loudest))
            .collect();
        let filter = past.filter(band, &weights);
        for (at, (left, whole)) in dry.iter_mut().zip(band).enumerate() {
            let echo = past.foretold(at, &filter);
            *left = whole - Complex::new(echo.re as f32, echo.im as f32);
        }
    }
    dry
}

fn double(number: Complex<f32>) -> Complex<f64> {
    Complex::new(number.re.into(), number.im.into())
}

/// A band backwards, the past of each moment beside one another, with nothing before its beginning.
struct Past {
    real: Vec<f64>,
    imaginary: Vec<f64>,
    length: usize,
}

impl Past {
    fn new(band: &[Complex<f32>]) -> Past {
        let nothing = [0.0; DELAY + TAPS];
        let real = band.iter().rev().map(|number| number.re.into());
        let imaginary = band.iter().rev().map(|number| number.im.into());
        Past {
            real: real.chain(nothing).collect(),
            imaginary: imaginary.chain(nothing).collect(),
            length: band.len(),
        }
    }

    /// Returns the real and imaginary parts of the [`TAPS`] numbers before a moment, the latest first.
    fn before(&self, at: usize) -> (&[f64], &[f64]) {
        let first = self.length - 1 - at + DELAY;
        let range = first..first + TAPS;
        (&self.real[range.clone()], &self.imaginary[range])
    }

    /// Returns with what each of a moment's past is to be multiplied so that their sum foretells the moment best:
    /// with the least sum of squares, each by its weight.
    fn filter(&self, band: &[Complex<f32>], weights: &[f64]) -> Vec<Complex<f64>> {
        let mut real = [[0.0_f64; TAPS]; TAPS];
        let mut imaginary = [[0.0_f64; TAPS]; TAPS];
        let mut right = [Complex::new(0.0_f64, 0.0); TAPS];
        for (at, (number, &weight)) in band.iter().zip(weights).enumerate() {
            let number = double(*number);
            let (re, im) = self.before(at);
            for row in 0..TAPS {
                let (a, b) = (weight * re[row], weight * im[row]);
                right[row] += Complex::new(a, -b) * number;
                let columns = real[row].iter_mut().zip(&mut imaginary[row]);
                for ((in_phase, across), (re, im)) in columns.zip(re.iter().zip(im)) {
                    *in_phase += a * re + b * im;
                    *across += a * im - b * re;
                }
            }
        }
        let mean = (0..TAPS).map(|tap| real[tap][tap]).sum::<f64>() / TAPS as f64;
        // A complex equation is two real ones.
        let row = |row: usize| -> Vec<f64> {
            let (tap, second) = (row % TAPS, row >= TAPS);
            let held = |column: usize| if column == row { HELD * mean } else { 0.0 };
            let of = |column: usize| match (second, column >= TAPS) {
                (false, false) | (true, true) => real[tap][column % TAPS],
                (false, true) => -imaginary[tap][column % TAPS],
                (true, false) => imaginary[tap][column],
            };
            (0..2 * TAPS).map(|c| of(c) + held(c)).collect()
        };
        let parts = right.iter().map(|r| r.re).chain(right.iter().map(|r| r.im));
        let solution = solve((0..2 * TAPS).map(row).collect(), parts.collect());
        let (re, im) = solution.split_at(TAPS);
        let both = re.iter().zip(im);
        both.map(|(&re, &im)| Complex::new(re, im)).collect()
    }

    fn foretold(&self, at: usize, filter: &[Complex<f64>]) -> Complex<f64> {
        let (re, im) = self.before(at);
        let past = re.iter().zip(im).map(|(&re, &im)| Complex::new(re, im));
        past.zip(filter).map(|(number, by)| number * by).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers from -0.5 to 0.5 that no few of those before foretell: a linear congruential generator.
    struct Noise(u64);

    impl Noise {
        fn next(&mut self) -> f32 {
            self.0 = (1_103_515_245 * self.0 + 12_345) % (1 << 31);
            (self.0 as f64 / f64::from(1_u32 << 31) - 0.5) as f32
        }
    }

    /// Ten loud moments and ten soft ones, in turn, of a band, and the same with three echoes.
    fn echoing() -> (Band, Band) {
        let mut noise = Noise(1);
        let loud = |at: usize| {
            if (at / 10).is_multiple_of(2) {
                1.0
            } else {
                0.1
            }
        };
        let said: Band = (0..200)
            .map(|at| Complex::new(noise.next(), noise.next()) * loud(at))
            .collect();
        let echoes = [
            (3, Complex::new(0.5, 0.0)),
            (5, Complex::new(0.0, -0.3)),
            (11, Complex::new(0.2, 0.0)),
        ];
        let mut heard = said.clone();
        for (late, part) in echoes {
            for at in late..said.len() {
                heard[at] += said[at - late] * part;
            }
        }
        (said, heard)
    }

    /// `nara_wpe.wpe.wpe_v8` 0.0.11 with `taps=20, delay=2, iterations=3, statistics_mode='full'` of the same numbers.
    #[test]
    fn a_band_is_dried_as_by_a_reference_library() {
        let (said, heard) = echoing();
        let dried = dry(&heard);
        for (at, re, im) in [
            (0, 0.013_870, -0.324_259),
            (1, -0.191_348, 0.034_534),
            (2, 0.436_158, -0.328_308),
            (3, 0.222_258, -0.322_358),
            (50, -0.058_067, 0.044_603),
            (120, -0.473_497, -0.118_349),
            (199, 0.000_030, 0.000_112),
        ] {
            let off = (dried[at] - Complex::new(re, im)).norm();
            assert!(off < 1e-3, "{at}: {} instead of {re} {im}", dried[at]);
        }
        let off = |band: &Band| -> f32 {
            let each = band.iter().zip(&said).map(|(a, b)| (a - b).norm_sqr());
            each.sum()
        };
        // 6.257 and 1.575 there.
        assert!((off(&heard) - 6.257).abs() < 1e-2, "{}", off(&heard));
        assert!((off(&dried) - 1.575).abs() < 1e-2, "{}", off(&dried));
    }

    #[test]
    fn bands_make_the_same_sound_again() {
        let mut noise = Noise(7);
        for length in [1, 255, 256, 5000] {
            let samples: Vec<f32> = (0..length).map(|_| noise.next()).collect();
            let again = sound(&bands(&samples).unwrap(), length).unwrap();
            assert_eq!(again.len(), length);
            let same = samples
                .iter()
                .zip(&again)
                .all(|(a, b)| (a - b).abs() < 1e-5);
            assert!(same, "{length} samples");
        }
    }

    #[test]
    fn echo_is_taken_out_and_nothing_else() {
        let mut noise = Noise(3);
        let seconds = RATE as usize * 6;
        // Syllables: a fifth of a second of noise, as much silence.
        let said: Vec<f32> = (0..seconds)
            .map(|at| {
                if (at / 3200).is_multiple_of(2) {
                    noise.next()
                } else {
                    0.0
                }
            })
            .collect();
        let mut heard = said.clone();
        for (late, part) in [(1100, 0.4), (2300, 0.3), (3900, 0.2)] {
            for at in late..seconds {
                heard[at] += said[at - late] * part;
            }
        }
        let off = |sound: &[f32]| -> f32 {
            let each = sound.iter().zip(&said).map(|(a, b)| (a - b).powi(2));
            each.sum::<f32>() / said.iter().map(|a| a * a).sum::<f32>()
        };
        let dried = without_echo(&heard);
        assert_eq!(dried.len(), heard.len());
        assert!(
            off(&dried) < off(&heard) / 2.0,
            "{} {}",
            off(&heard),
            off(&dried)
        );
        assert!(off(&without_echo(&said)) < 0.05);
    }

    #[test]
    fn what_is_too_short_or_silent_stays_as_it_is() {
        let short = vec![0.5; FEWEST_SAMPLES - 1];
        assert_eq!(without_echo(&short), short);
        assert_eq!(without_echo(&[]), Vec::<f32>::new());
        let silence = vec![0.0; FEWEST_SAMPLES];
        assert_eq!(without_echo(&silence), silence);
    }

    #[test]
    fn a_stream_is_dried_alike_in_whatever_pieces_it_comes() {
        let mut noise = Noise(11);
        let samples: Vec<f32> = (0..BLOCK * 2 + 70_000).map(|_| noise.next()).collect();
        let dried = |piece: usize| {
            let mut drier = Drier::default();
            let mut out: Vec<f32> = samples.chunks(piece).flat_map(|p| drier.push(p)).collect();
            out.extend(drier.finish());
            out
        };
        let whole = dried(samples.len());
        assert_eq!(whole.len(), samples.len());
        for piece in [16_000, 123_457] {
            assert!(dried(piece) == whole, "pieces of {piece}");
        }
    }
}
