//! How the paper looks: its colours, and the styles of its texts.

use super::colour::Colour;
use super::fonts::{Cut, FontFiles};
use super::text::Style;
use std::sync::Arc;

/// The colours that texts and marks are drawn in.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Look {
    /// Titles, numbers, the cover.
    pub(super) main: Colour,
    /// Running text.
    pub(super) text: Colour,
    /// Labels and small print.
    pub(super) quiet: Colour,
    /// Safety and cautions.
    pub(super) alert: Colour,
    /// Rules.
    pub(super) line: Colour,
    pub(super) fonts: FontFiles,
    /// A whole PNG or JPEG file for the cover.
    pub(super) logo: Option<Arc<Vec<u8>>>,
}

/// Least contrast of text with what is behind it: WCAG 2.2, success criterion 1.4.3, level AA.
pub(super) const LEAST_CONTRAST: f64 = 4.5;

impl Default for Look {
    fn default() -> Self {
        Look {
            main: Colour(0x17, 0x4a, 0x5b),
            text: Colour(0x1c, 0x21, 0x24),
            quiet: Colour(0x55, 0x5d, 0x62),
            alert: Colour(0xa3, 0x1d, 0x1d),
            line: Colour(0xc9, 0xd1, 0xd5),
            fonts: FontFiles::default(),
            logo: None,
        }
    }
}

impl Look {
    /// Returns the ground of panels.
    pub(super) fn panel(&self) -> Colour {
        self.main.tint(0.07)
    }

    /// Returns the ground of cautions.
    pub(super) fn alert_panel(&self) -> Colour {
        self.alert.tint(0.07)
    }

    /// Returns every pair of text and ground that is drawn, with names for messages: the key of a
    /// template first, then what is behind the text.
    pub(super) fn pairs(&self) -> [(&'static str, Colour, &'static str, Colour); 7] {
        let white = Colour::WHITE;
        [
            ("main", self.main, "white paper", white),
            ("main", white, "white letters on the cover", self.main),
            ("text", self.text, "white paper", white),
            ("text", self.text, "the ground of panels", self.panel()),
            ("quiet", self.quiet, "white paper", white),
            ("quiet", self.quiet, "the ground of panels", self.panel()),
            (
                "alert",
                self.alert,
                "the ground of cautions",
                self.alert_panel(),
            ),
        ]
    }

    fn style(&self, cut: Cut, size: f32, colour: Colour) -> Style {
        Style { cut, size, colour }
    }

    /// Running text.
    pub(super) fn body(&self) -> Style {
        self.style(Cut::Regular, 9.6, self.text)
    }

    /// Words of weight within running text.
    pub(super) fn strong(&self) -> Style {
        self.style(Cut::Bold, 9.6, self.text)
    }

    /// Labels.
    pub(super) fn label(&self) -> Style {
        self.style(Cut::Regular, 8.6, self.quiet)
    }

    /// Small print.
    pub(super) fn small(&self) -> Style {
        self.style(Cut::Regular, 8.2, self.quiet)
    }

    /// Words as heard.
    pub(super) fn heard(&self) -> Style {
        self.style(Cut::Italic, 8.4, self.quiet)
    }

    /// Heads and feet of pages.
    pub(super) fn running(&self) -> Style {
        self.style(Cut::Regular, 8.0, self.quiet)
    }

    /// An item's sentence.
    pub(super) fn sentence(&self) -> Style {
        self.style(Cut::Bold, 11.2, self.text)
    }

    /// An item's running number, to be found from an arm's length.
    pub(super) fn number(&self) -> Style {
        self.style(Cut::Title, 25.0, self.main)
    }

    /// A title of a section: level 1 for parts of the report, 2 for places and trades.
    pub(super) fn heading(&self, level: u16) -> Style {
        let size = if level == 1 { 23.0 } else { 14.5 };
        self.style(Cut::Title, size, self.main)
    }

    /// A small heading within a section.
    pub(super) fn subheading(&self) -> Style {
        self.style(Cut::Bold, 10.6, self.main)
    }

    /// A figure that stands for the whole list.
    pub(super) fn figure(&self) -> Style {
        self.style(Cut::Title, 30.0, self.main)
    }

    /// The title on the cover.
    pub(super) fn cover(&self) -> Style {
        self.style(Cut::Title, 33.0, Colour::WHITE)
    }
}

impl Style {
    /// Returns the style in another colour.
    pub(super) fn coloured(self, colour: Colour) -> Style {
        Style { colour, ..self }
    }

    /// Returns the style in another size.
    pub(super) fn sized(self, size: f32) -> Style {
        Style { size, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_stands_out_from_its_ground() {
        for (name, text, ground_name, ground) in Look::default().pairs() {
            let contrast = text.contrast(ground);
            assert!(
                contrast >= LEAST_CONTRAST,
                "{name} on {ground_name}: {contrast:.2}"
            );
        }
    }
}
