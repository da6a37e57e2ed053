//! Temperatures said without a unit: *the hot tap's only **at thirty-eight***.

use crate::statements::reader::Reader;

/// Temperatures of taps and radiators, in degrees Celsius.
const WARM: f64 = 30.0;
const BOILING: f64 = 99.0;

/// How many tokens before a temperature the hot thing may be named.
const HEAT_REACH: usize = 12;

/// *The hot tap's only **at** thirty-eight*, *the valve **delivers** forty-six*: a temperature.
pub(super) fn heated(r: Reader<'_>, start: usize, value: f64) -> bool {
    let word = |back: usize| start.checked_sub(back).map_or("", |i| r.norm(i));
    // "Gets up to": with the words of approximation before the number.
    let reads = matches!(
        word(1),
        "at" | "delivers" | "delivering" | "reads" | "reading" | "gets" | "getting"
    );
    reads && of_heat(r, start, value)
}

/// True where what was said shortly before is of heat, and the number can be degrees Celsius.
pub(super) fn of_heat(r: Reader<'_>, start: usize, value: f64) -> bool {
    let from = start.saturating_sub(HEAT_REACH);
    let named = (from..start)
        .rev()
        .take_while(|&i| !r.pause_after(i).stops())
        .any(|i| HEAT.contains(&r.norm(i)));
    named && (WARM..=BOILING).contains(&value)
}

/// Things that are hot or tell of heat.
const HEAT: &[&str] = &[
    "hot",
    "temperature",
    "warm",
    "tepid",
    "radiator",
    "radiators",
    "rad",
    "thermostatic",
    "thermometer",
    "blender",
    "blending",
    "mixer",
    "mixing",
    "tempering",
    "scald",
    "scalding",
    "cylinder",
    "tap",
    "taps",
];
