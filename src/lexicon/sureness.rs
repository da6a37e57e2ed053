//! How sure the items of one inspector are: what was claimed of them beside how often it came true.

use super::Lexicon;

/// Nothing is certain: probabilities that are read lie within these.
const BOUNDS: (f64, f64) = (0.01, 0.99);

/// Where the two claims stand that tell a line: an even chance, and what most right items claim.
const TOLD_AT: [f64; 2] = [0.5, 0.9];

/// A line through log odds, by which claims are put right (Platt 1999): from log odds x to `shift` +
/// `slope` times x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sureness {
    /// Log odds of what was claimed an even chance.
    pub shift: f64,
    /// How much more sure a surer item is; 1 as it was claimed.
    pub slope: f64,
}

impl Default for Sureness {
    /// Claims as they are.
    fn default() -> Self {
        Sureness {
            shift: 0.0,
            slope: 1.0,
        }
    }
}

impl Sureness {
    /// Returns how likely something is that was claimed as likely as `claimed`.
    pub fn of(self, claimed: f64) -> f64 {
        if self == Sureness::default() {
            return claimed;
        }
        let odds = self.shift + self.slope * log_odds(claimed);
        1.0 / (1.0 + (-odds).exp())
    }

    /// Returns two claims with what they count for, such as `0.90>0.81`.
    pub fn claims(self) -> Vec<String> {
        let claim = |claimed: f64| format!("{claimed:.2}>{:.2}", self.of(claimed));
        TOLD_AT.map(claim).into()
    }

    /// Returns the line through two claims.
    ///
    /// # Errors
    /// What is wrong with them, in words.
    pub fn read(claims: &[String]) -> Result<Sureness, String> {
        let one = |text: &String| {
            let (claimed, true_) = text.split_once('>')?;
            let number = |text: &str| text.trim().parse::<f64>().ok();
            let within = |p: &f64| (BOUNDS.0..=BOUNDS.1).contains(p);
            Some((
                number(claimed).filter(within)?,
                number(true_).filter(within)?,
            ))
        };
        let points: Vec<(f64, f64)> = claims.iter().filter_map(one).collect();
        match points[..] {
            [(a, b), (c, d)] if claims.len() == 2 && c > a && d > b => {
                let slope = (log_odds(d) - log_odds(b)) / (log_odds(c) - log_odds(a));
                let shift = log_odds(b) - slope * log_odds(a);
                Ok(Sureness { shift, slope })
            }
            _ => Err(format!(
                "{claims:?} are no claims, expected two rising ones like \"0.50>0.42\", \"0.90>0.85\""
            )),
        }
    }
}

/// Returns the logarithm of the odds of a probability, which is kept off 0 and 1.
pub fn log_odds(p: f64) -> f64 {
    let p = p.clamp(BOUNDS.0, BOUNDS.1);
    (p / (1.0 - p)).ln()
}

impl Lexicon {
    /// Returns a copy in which items are as sure as this says.
    pub fn with_sureness(&self, sureness: Sureness) -> Lexicon {
        Lexicon {
            sureness,
            ..self.clone()
        }
    }

    /// Returns how sure items are beside what is claimed of them.
    pub fn sureness(&self) -> Sureness {
        self.sureness
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn claims_tell_the_line_and_are_read_back() {
        let claims = |texts: [&str; 2]| texts.map(str::to_owned).to_vec();
        let as_is = Sureness::default();
        assert_eq!(as_is.claims(), ["0.50>0.50", "0.90>0.90"]);
        for texts in [["0.50>0.38", "0.90>0.81"], ["0.50>0.50", "0.90>0.90"]] {
            let read = Sureness::read(&claims(texts)).unwrap();
            assert_eq!(read.claims(), texts);
        }
        for texts in [
            ["0.50>0.38", "0.50>0.81"],
            ["0.50>0.81", "0.90>0.38"],
            ["0.50", "0.90>0.81"],
            ["0.50>0.38", "0.90>1.00"],
        ] {
            assert!(Sureness::read(&claims(texts)).is_err(), "{texts:?}");
        }
    }
}
