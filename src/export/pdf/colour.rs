//! Colours of the paper, and how well they stand out from each other.

use std::fmt;

/// A colour in sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Colour(pub(super) u8, pub(super) u8, pub(super) u8);

impl Colour {
    /// White, the paper itself.
    pub(super) const WHITE: Colour = Colour(255, 255, 255);

    /// Returns the colour written as `#rrggbb`; `None` for anything else.
    pub(super) fn parse(text: &str) -> Option<Colour> {
        let digits = text.strip_prefix('#')?;
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let value = u32::from_str_radix(digits, 16).ok()?;
        let [_, red, green, blue] = value.to_be_bytes();
        Some(Colour(red, green, blue))
    }

    /// Returns the relative luminance, 0 (black) to 1 (white), by the definition in WCAG 2.2
    /// (<https://www.w3.org/TR/WCAG22/#dfn-relative-luminance>).
    fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let value = f64::from(channel) / 255.0;
            if value <= 0.04045 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Returns the contrast ratio of two colours, 1 (none) to 21 (black on white), by the
    /// definition in WCAG 2.2 (<https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio>).
    pub(super) fn contrast(self, other: Colour) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// Returns the mixture of `share` (0 to 1) of this colour with white.
    pub(super) fn tint(self, share: f32) -> Colour {
        let mix = |channel: u8| (255.0 - (255.0 - f32::from(channel)) * share).round() as u8;
        Colour(mix(self.0), mix(self.1), mix(self.2))
    }
}

/// Shows `#rrggbb`.
impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(a: &str, b: &str) -> f64 {
        Colour::parse(a)
            .unwrap()
            .contrast(Colour::parse(b).unwrap())
    }

    /// 21:1 and 1:1 are the ends of the scale in WCAG 2.2's definition; #777777 on white as 4.48:1 and
    /// #767676 as 4.54:1 are the published pair on both sides of the 4.5:1 that success criterion
    /// 1.4.3 asks for (from memory: WebAIM, "Contrast and Color Accessibility", which also gives
    /// #ff0000 on white as 4.00:1).
    #[test]
    fn contrast_agrees_with_published_examples() {
        for (a, b, published) in [
            ("#000000", "#ffffff", "21.00"),
            ("#ffffff", "#ffffff", "1.00"),
            ("#777777", "#ffffff", "4.48"),
            ("#767676", "#ffffff", "4.54"),
            ("#ff0000", "#ffffff", "4.00"),
        ] {
            assert_eq!(format!("{:.2}", ratio(a, b)), published, "{a} on {b}");
            assert_eq!(ratio(a, b), ratio(b, a), "the order does not matter");
        }
    }

    #[test]
    fn only_six_hexadecimal_digits_are_a_colour() {
        assert_eq!(Colour::parse("#1a2B3c"), Some(Colour(0x1a, 0x2b, 0x3c)));
        for wrong in [
            "", "#", "#fff", "1a2b3c", "#1a2b3", "#1a2b3cd", "#+12345", "red", "#ééé",
        ] {
            assert_eq!(Colour::parse(wrong), None, "{wrong}");
        }
        assert_eq!(Colour(1, 2, 255).to_string(), "#0102ff");
    }

    #[test]
    fn a_tint_lies_between_the_colour_and_white() {
        assert_eq!(Colour(0, 100, 200).tint(0.0), Colour::WHITE);
        assert_eq!(Colour(0, 100, 200).tint(1.0), Colour(0, 100, 200));
        assert_eq!(Colour(0, 100, 200).tint(0.5), Colour(128, 178, 228));
    }
}
