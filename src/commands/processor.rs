//! What the processor must offer, asked before any of it is used.
//!
//! The speech recogniser is compiled for processor features beyond the oldest x86-64 ones; on a
//! processor without them it would end the program with an illegal instruction.

use super::error::CliError;

/// One feature of the processor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Feature {
    /// Its usual name.
    pub(crate) name: &'static str,
    /// True where this program was compiled to use it.
    pub(crate) needed: bool,
    /// True where the processor has it.
    pub(crate) present: bool,
}

/// Returns the features that matter to the recogniser; none on processors other than x86-64, where
/// it needs nothing special.
#[cfg(target_arch = "x86_64")]
pub(crate) fn features() -> Vec<Feature> {
    // The same settings that the recogniser's build read, see `.cargo/config.toml`.
    let on = |setting: Option<&str>| setting == Some("ON");
    vec![
        Feature {
            name: "AVX2",
            needed: on(option_env!("GGML_AVX2")),
            present: std::is_x86_feature_detected!("avx2"),
        },
        Feature {
            name: "FMA",
            needed: on(option_env!("GGML_FMA")),
            present: std::is_x86_feature_detected!("fma"),
        },
        Feature {
            name: "F16C",
            needed: on(option_env!("GGML_F16C")),
            present: std::is_x86_feature_detected!("f16c"),
        },
        Feature {
            name: "BMI2",
            needed: on(option_env!("GGML_BMI2")),
            present: std::is_x86_feature_detected!("bmi2"),
        },
    ]
}

/// Returns the features that matter to the recogniser; none on processors other than x86-64, where
/// it needs nothing special.
#[cfg(not(target_arch = "x86_64"))]
pub(crate) fn features() -> Vec<Feature> {
    Vec::new()
}

/// Checks that the recogniser can run here.
///
/// # Errors
/// Names the features that are missing.
pub(crate) fn check(features: &[Feature]) -> Result<(), CliError> {
    let missing: Vec<&str> = features
        .iter()
        .filter(|feature| feature.needed && !feature.present)
        .map(|feature| feature.name)
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    Err(CliError::input(format_args!(
        "this processor lacks {}, which speech recognition in this build needs",
        missing.join(" and ")
    ))
    .hint("use a computer whose processor has AVX2 (most since 2013), or take a transcript (.vtt, .srt or .txt)")
    .hint("or build Callover for this processor: set the GGML_ settings in .cargo/config.toml to OFF"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_needed_and_missing_stops_recognition() {
        let feature = |needed, present| Feature {
            name: "AVX2",
            needed,
            present,
        };
        for (needed, present, fine) in [
            (true, true, true),
            (false, false, true),
            (true, false, false),
        ] {
            assert_eq!(check(&[feature(needed, present)]).is_ok(), fine);
        }
        let error = check(&[feature(true, false)]).unwrap_err();
        assert!(error.message.starts_with("this processor lacks AVX2"));
    }
}
