//! The terminal face's styles.

use ratatui::style::{Color, Modifier, Style};

/// Styles, with colours or without. Nothing is told by colour alone.
#[derive(Debug, Clone, Copy)]
pub(super) struct Palette {
    pub(super) colour: bool,
}

impl Palette {
    pub(super) fn key(self) -> Style {
        self.with(Style::new().add_modifier(Modifier::BOLD), Color::Cyan)
    }

    pub(super) fn label(self) -> Style {
        Style::new().add_modifier(Modifier::DIM)
    }

    pub(super) fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    pub(super) fn alarm(self) -> Style {
        self.with(Style::new().add_modifier(Modifier::BOLD), Color::Red)
    }

    pub(super) fn done(self) -> Style {
        self.with(Style::new(), Color::Green)
    }

    pub(super) fn marked(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    pub(super) fn plain(self) -> Style {
        Style::new()
    }

    /// What is on the list no more.
    pub(super) fn struck(self) -> Style {
        Style::new().add_modifier(Modifier::DIM | Modifier::CROSSED_OUT)
    }

    /// A heard word: underlined where it is a term, dim where the recogniser was unsure of it.
    pub(super) fn heard(self, term: bool, unsure: bool) -> Style {
        let mut style = Style::new();
        if term {
            style = style.add_modifier(Modifier::UNDERLINED);
        }
        if unsure {
            style = style.add_modifier(Modifier::DIM);
        }
        style
    }

    fn with(self, style: Style, colour: Color) -> Style {
        if self.colour { style.fg(colour) } else { style }
    }
}
