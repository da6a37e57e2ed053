//! Weights that were fitted, as `models/` keeps them.

use rustc_hash::FxHashMap;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fitted {
    weights: FxHashMap<String, f32>,
}

/// Returns the weights of a built-in file by their names; none where it is damaged, which a test of each
/// file keeps from happening.
pub(crate) fn fitted(file: &str) -> FxHashMap<String, f32> {
    toml::from_str::<Fitted>(file).map_or_else(|_| FxHashMap::default(), |fitted| fitted.weights)
}
