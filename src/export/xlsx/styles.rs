//! How cells look.

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder};

/// Dark blue of headings; white on it has a contrast of 10.9 to 1 (WCAG 2.2 asks for 4.5).
const INK: Color = Color::RGB(0x1f_3a5f);
/// Hairlines between rows.
const LINE: Color = Color::RGB(0xb8_c2cc);
/// Red of what must not be overlooked; 7.4 to 1 on white.
const ALARM: Color = Color::RGB(0xa1_1212);
/// Grey of what is done with; 4.9 to 1 on white.
const DONE: Color = Color::RGB(0x6b_7280);

/// The forms of all cells.
pub(super) struct Styles {
    pub(super) title: Format,
    pub(super) label: Format,
    pub(super) heading: Format,
    pub(super) text: Format,
    pub(super) number: Format,
    pub(super) whole: Format,
    pub(super) day: Format,
    pub(super) paragraph: Format,
    /// For a matter of safety.
    pub(super) alarm: Format,
    /// For a row whose item needs nothing more.
    pub(super) done: Format,
    /// For a row whose item is not confirmed.
    pub(super) draft: Format,
}

impl Styles {
    pub(super) fn new() -> Styles {
        let cell = Format::new()
            .set_align(FormatAlign::Top)
            .set_border_bottom(FormatBorder::Hair)
            .set_border_color(LINE);
        Styles {
            title: Format::new()
                .set_bold()
                .set_font_size(16)
                .set_font_color(INK),
            label: Format::new().set_font_color(DONE),
            heading: Format::new()
                .set_bold()
                .set_font_color(Color::White)
                .set_background_color(INK)
                .set_align(FormatAlign::VerticalCenter)
                .set_text_wrap(),
            text: cell.clone().set_text_wrap(),
            number: cell
                .clone()
                .set_num_format("0.0")
                .set_align(FormatAlign::Left),
            whole: cell
                .clone()
                .set_num_format("0")
                .set_align(FormatAlign::Left),
            day: cell
                .set_num_format("d mmm yyyy")
                .set_align(FormatAlign::Left),
            paragraph: Format::new().set_text_wrap().set_align(FormatAlign::Top),
            alarm: Format::new().set_bold().set_font_color(ALARM),
            done: Format::new().set_font_color(DONE),
            draft: Format::new().set_italic(),
        }
    }
}
