//! Phonemes: the sounds of British English, written in ARPABET.

/// One sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[rustfmt::skip]
pub(super) enum Phoneme {
    AA, AE, AH, AO, AW, AY, B, CH, D, DH, EH, ER, EY, F, G, HH, IH, IY, JH, K, L, M, N, NG, OH, OW,
    OY, P, R, S, SH, T, TH, UH, UW, V, W, Y, Z, ZH,
}

use Phoneme::*;

impl Phoneme {
    /// All phonemes with their symbols. ARPABET as in the CMU Pronouncing Dictionary, and `OH` for
    /// the British vowel of *lot*, which American English lacks (as in the ARPABET variants of
    /// British dictionaries). The vowel of *nurse* is `ER`, the weak one of *comma* is `AH`.
    #[rustfmt::skip]
    pub(super) const ALL: [(Phoneme, &'static str); 40] = [
        (AA, "AA"), (AE, "AE"), (AH, "AH"), (AO, "AO"), (AW, "AW"), (AY, "AY"), (B, "B"),
        (CH, "CH"), (D, "D"), (DH, "DH"), (EH, "EH"), (ER, "ER"), (EY, "EY"), (F, "F"), (G, "G"),
        (HH, "HH"), (IH, "IH"), (IY, "IY"), (JH, "JH"), (K, "K"), (L, "L"), (M, "M"), (N, "N"),
        (NG, "NG"), (OH, "OH"), (OW, "OW"), (OY, "OY"), (P, "P"), (R, "R"), (S, "S"), (SH, "SH"),
        (T, "T"), (TH, "TH"), (UH, "UH"), (UW, "UW"), (V, "V"), (W, "W"), (Y, "Y"), (Z, "Z"),
        (ZH, "ZH"),
    ];

    /// Returns true for vowels and diphthongs.
    pub(super) fn is_vowel(self) -> bool {
        matches!(
            self,
            AA | AE | AH | AO | AW | AY | EH | ER | EY | IH | IY | OH | OW | OY | UH | UW
        )
    }
}

/// A symbol that is no phoneme.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "unknown sound {0:?}, expected ARPABET symbols without stress such as \"AA K IH T R EY V\""
)]
pub(super) struct UnknownSound(String);

/// Returns the phonemes of symbols with spaces between them.
///
/// # Errors
/// Names the first symbol that is none.
pub(super) fn parse(symbols: &str) -> Result<Vec<Phoneme>, UnknownSound> {
    let phoneme = |symbol: &str| {
        let found = Phoneme::ALL.iter().find(|(_, name)| *name == symbol);
        found
            .map(|(phoneme, _)| *phoneme)
            .ok_or_else(|| UnknownSound(symbol.to_owned()))
    };
    symbols.split_whitespace().map(phoneme).collect()
}

/// Returns the symbols of phonemes, for tests, with spaces between them.
#[cfg(test)]
pub(super) fn symbols(phonemes: &[Phoneme]) -> String {
    let symbol = |phoneme: &Phoneme| Phoneme::ALL[*phoneme as usize].1;
    phonemes.iter().map(symbol).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn symbols_and_phonemes_agree() {
        for (index, (phoneme, symbol)) in Phoneme::ALL.into_iter().enumerate() {
            assert_eq!(phoneme as usize, index);
            assert_eq!(parse(symbol), Ok(vec![phoneme]));
            assert_eq!(symbols(&[phoneme]), symbol);
        }
        assert!(parse("AA1 K").is_err());
    }
}
