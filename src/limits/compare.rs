//! One measurement against the figures of one row: pure arithmetic, no words of the trade.

use super::row::{Limit, ProRata, Sense, Whole};
use crate::items::Measurement;

/// What the comparison shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Outcome {
    /// Beyond the limit, and how that is known.
    Outside(Proof),
    /// Not beyond it.
    Within(Proof),
    /// Neither is proven.
    CannotTell(Doubt),
}

/// How an outcome is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Proof {
    /// Measured as the limit is.
    Same,
    /// Measured over a shorter length.
    Shorter,
    /// Measured over this many gauge lengths: at least one must be beyond.
    Parts(f64),
    /// The source lets its limit be scaled; this is what it comes to, in the row's unit.
    Scaled(f64),
    /// On the average over the length measured.
    Average,
}

/// What is missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Doubt {
    /// The length that it was measured over was not said.
    LengthUnsaid,
    /// It was said as a storey, a height or a width, not in figures.
    LengthUnknown,
    /// Measured over more than the limit is for.
    Longer,
    /// Measured over less than the limit is for.
    Shorter,
    /// The figure is too near the limit for how surely it was said.
    Near,
}

/// Least height of a storey in millimetres (common practice, no source: two metres thirty of room).
const LEAST_STOREY_MM: f64 = 2300.0;
/// Lengths this near are the same: a two metre level is not measured before use.
const SAME_LENGTH_SHARE: f64 = 0.01;
/// Least doubt in a figure said with *about*, as a share of it: half of what one in ten would be.
const LEAST_DOUBT_SHARE: f64 = 0.05;
/// Steps to which people round figures they are not sure of, in millimetres and in inches (common
/// practice, no source).
const STEPS_MM: &[f64] = &[1000.0, 500.0, 100.0, 50.0, 10.0, 5.0, 1.0, 0.5];
const STEPS_INCH: &[f64] = &[12.0, 6.0, 1.0, 0.5, 0.25, 0.125, 0.0625];

/// Returns how many millimetres one `unit` is, for units of length.
pub(super) fn millimetres(unit: &str) -> Option<f64> {
    crate::statements::in_millimetres(unit)
}

/// Returns the outcome, or `None` where the units cannot be compared.
pub(super) fn compare(row: &Limit, sense: &Sense, measurement: &Measurement) -> Option<Outcome> {
    let (low, high, averaged) = interval(row, measurement)?;
    if row.unit == "mm/m" {
        return Some(rate(row, low, high, averaged, measurement));
    }
    let length = length(measurement);
    let tied = row.gauge_mm.is_some() || row.whole.is_some();
    if !tied {
        return Some(settle(row, low, high, Proof::Same));
    }
    let tie = tie(row, length);
    if let (Tie::Shorter | Tie::Longer(_), Length::Millimetres(mm), Some(gauge)) =
        (tie, length, row.gauge_mm)
        && (row.pro_rata == ProRata::Any || row.pro_rata == ProRata::Shorter && tie == Tie::Shorter)
    {
        let share = mm / gauge;
        let scaled = row.max.or(row.min)? * share;
        return Some(settle(
            row,
            low / share,
            high / share,
            Proof::Scaled(scaled),
        ));
    }
    Some(match tie {
        Tie::Same => settle(row, low, high, Proof::Same),
        Tie::Shorter if row.max.is_some() && row.min.is_none() => {
            settle(row, low, high, Proof::Shorter)
        }
        // A fall that is enough over less length is enough.
        Tie::Shorter => match settle(row, low, high, Proof::Shorter) {
            within @ Outcome::Within(_) => within,
            _ => Outcome::CannotTell(Doubt::Shorter),
        },
        Tie::Longer(Some(parts)) if sense.adds_up && row.min.is_none() => {
            match settle(row, low / parts, high / parts, Proof::Parts(parts)) {
                outside @ Outcome::Outside(_) => outside,
                _ => Outcome::CannotTell(Doubt::Longer),
            }
        }
        Tie::Longer(_) => Outcome::CannotTell(Doubt::Longer),
        // Whatever it was measured over is no more than the whole.
        Tie::Unsaid | Tie::Unknown => match settle(row, low, high, Proof::Shorter) {
            outside @ Outcome::Outside(_) if row.whole == Some(Whole::Height) => outside,
            _ if tie == Tie::Unsaid => Outcome::CannotTell(Doubt::LengthUnsaid),
            _ => Outcome::CannotTell(Doubt::LengthUnknown),
        },
    })
}

/// A fall or slope as a rate: it holds on the average, and somewhere it is at least as steep, and
/// somewhere at most.
fn rate(row: &Limit, low: f64, high: f64, averaged: bool, measurement: &Measurement) -> Outcome {
    let length = length(measurement);
    match (row.longest_mm, length) {
        (Some(longest), Length::Millimetres(mm)) if mm > longest => {
            return Outcome::CannotTell(Doubt::Longer);
        }
        _ => {}
    }
    settle(
        row,
        low,
        high,
        if averaged {
            Proof::Average
        } else {
            Proof::Same
        },
    )
}

/// Returns the least and the most that the figure can be, in the row's unit, and whether it is an
/// average over a length.
fn interval(row: &Limit, measurement: &Measurement) -> Option<(f64, f64, bool)> {
    let doubt = doubt(measurement);
    let low = (measurement.value - doubt).max(0.0);
    let high = measurement.max.unwrap_or(measurement.value) + doubt;
    let unit = measurement.unit.as_str();
    let times = |factor: f64| Some((low * factor, high * factor, false));
    match (row.unit.as_str(), unit) {
        ("mm", _) => times(millimetres(unit)?),
        ("in", _) => times(millimetres(unit)? / millimetres("in")?),
        ("mm/m", "ratio") => Some((1000.0 / high, 1000.0 / low.max(f64::MIN_POSITIVE), false)),
        ("mm/m", "%") => times(10.0),
        ("mm/m", "deg") => Some((
            1000.0 * low.to_radians().tan(),
            1000.0 * high.to_radians().tan(),
            false,
        )),
        ("mm/m", _) => match length(measurement) {
            Length::Millimetres(mm) if mm > 0.0 => {
                let factor = millimetres(unit)? * 1000.0 / mm;
                Some((low * factor, high * factor, true))
            }
            _ => None,
        },
        // "Fifty degrees at the bath".
        ("°C", "°C" | "deg") | ("deg", "deg") | ("%", "%") | ("l/s", "l/s") | ("m²", "m²") => {
            times(1.0)
        }
        ("l/s", "l/min") => times(1.0 / 60.0),
        // One foot is 0.3048 m (international yard and pound agreement, 1959).
        ("m²", "ft²") => times(0.3048 * 0.3048),
        _ => None,
    }
}

/// Returns how far off the figure may be, in its own unit: nothing where it was said outright, else
/// half the step to which it looks rounded. *About 20* may be 15; *about 22* is no rounder than 22.
fn doubt(measurement: &Measurement) -> f64 {
    if !measurement.approximate {
        return 0.0;
    }
    let largest = measurement.max.unwrap_or(measurement.value).abs();
    let (steps, one) = match measurement.unit.as_str() {
        "in" => (STEPS_INCH, 1.0),
        "ft" => (STEPS_INCH, 12.0),
        "m" => (STEPS_MM, 1000.0),
        "cm" => (STEPS_MM, 10.0),
        _ => (STEPS_MM, 1.0),
    };
    let value = measurement.value * one;
    let whole = |step: f64| ((value / step).round() * step - value).abs() < 1e-6 && value >= step;
    let step = steps
        .iter()
        .copied()
        .find(|step| whole(*step))
        .unwrap_or(0.0);
    (step / 2.0 / one).max(LEAST_DOUBT_SHARE * largest)
}

/// Compares what lies between `low` and `high` with the row's bounds.
fn settle(row: &Limit, low: f64, high: f64, proof: Proof) -> Outcome {
    let over = |value: f64| match row.max {
        Some(max) if row.strict => at_least(value, max),
        Some(max) => !at_least(max, value),
        None => false,
    };
    let under = |value: f64| match row.min {
        Some(min) if row.strict => at_least(min, value),
        Some(min) => !at_least(value, min),
        None => false,
    };
    if over(low) || under(high) {
        Outcome::Outside(proof)
    } else if over(high) || under(low) {
        Outcome::CannotTell(Doubt::Near)
    } else {
        Outcome::Within(proof)
    }
}

/// `a >= b`, where figures that only differ by the rounding of floating point are equal.
fn at_least(a: f64, b: f64) -> bool {
    a >= b - 1e-9 * b.abs().max(1.0)
}

/// The length that a measurement is tied to.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Length {
    Unsaid,
    Millimetres(f64),
    Storeys(f64),
    Height,
    Other,
}

fn length(measurement: &Measurement) -> Length {
    let Some(over) = &measurement.over else {
        return Length::Unsaid;
    };
    match (millimetres(&over.unit), over.unit.as_str()) {
        (Some(one), _) => Length::Millimetres(one * over.value),
        (None, "storey") => Length::Storeys(over.value),
        (None, "height") => Length::Height,
        _ => Length::Other,
    }
}

/// How the measured length stands to the one that the limit is for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Tie {
    Same,
    Shorter,
    /// With the number of gauge lengths in it, rounded up, where that is known.
    Longer(Option<f64>),
    Unsaid,
    Unknown,
}

fn tie(row: &Limit, length: Length) -> Tie {
    match (row.whole, length) {
        (_, Length::Unsaid) => Tie::Unsaid,
        (Some(Whole::Storey), Length::Storeys(1.0)) | (Some(Whole::Height), Length::Height) => {
            Tie::Same
        }
        (Some(Whole::Storey), Length::Storeys(n)) => Tie::Longer(Some(n.ceil())),
        (Some(Whole::Height), Length::Storeys(_) | Length::Millimetres(_)) => Tie::Shorter,
        (Some(Whole::Storey), Length::Millimetres(mm)) => {
            against(mm, row.gauge_mm.unwrap_or(LEAST_STOREY_MM))
        }
        (None, Length::Millimetres(mm)) => row
            .gauge_mm
            .map_or(Tie::Unknown, |gauge| against(mm, gauge)),
        _ => Tie::Unknown,
    }
}

fn against(mm: f64, gauge: f64) -> Tie {
    if (mm - gauge).abs() <= SAME_LENGTH_SHARE * gauge {
        Tie::Same
    } else if mm < gauge {
        Tie::Shorter
    } else {
        Tie::Longer(Some((mm / gauge).ceil()))
    }
}

/// Returns true where the figure lies so near the bound that the instrument's own error counts: it
/// should be good to a third of the tolerance (ADA 104.1.1, and the US Access Board's report on
/// dimensional tolerances). Not where the limit is a range.
pub(super) fn near_for_instrument(row: &Limit, measurement: &Measurement) -> bool {
    let (Some(max), None, Some((low, high, _))) = (row.max, row.min, interval(row, measurement))
    else {
        return false;
    };
    let nearest = max.clamp(low, high.max(low));
    (nearest - max).abs() <= max / 3.0
}

/// Returns true where the figure belongs into the row's band: above `min`, up to `max`.
pub(super) fn in_band(row: &Limit, measurement: &Measurement) -> bool {
    let Some(one) = millimetres(&measurement.unit) else {
        return false;
    };
    let value = measurement.max.unwrap_or(measurement.value) * one;
    row.min.is_none_or(|min| !at_least(min, value))
        && row.max.is_none_or(|max| at_least(max, value))
}

/// Returns true where the figure lies above the row's middle: whether it is too much or too little.
pub(super) fn above(row: &Limit, measurement: &Measurement) -> bool {
    let Some((low, _, _)) = interval(row, measurement) else {
        return true;
    };
    match (row.min, row.max) {
        (Some(min), None) => at_least(low, min),
        (Some(min), Some(max)) => low > f64::midpoint(min, max),
        _ => true,
    }
}

/// Returns the outcome by the row's figures alone, whatever length they were measured over.
pub(super) fn settled(row: &Limit, measurement: &Measurement) -> Option<Outcome> {
    let (low, high, _) = interval(row, measurement)?;
    Some(settle(row, low, high, Proof::Same))
}
