//! Drawing the list beside the card: a line for each item, under the name of its place.

use super::palette::Palette;
use super::screen::Screen;
use super::text::{cut, safe};
use crate::items::{Item, Status};
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

/// From this size on, list and card stand side by side: the usual size of a terminal.
const LEAST_WIDTH: u16 = 80;
const LEAST_HEIGHT: u16 = 24;

/// Share of the width for the list, in hundredths, and the most columns it takes: more than the
/// longest usual names need nobody reads.
const LIST_SHARE: usize = 36;
const WIDEST_LIST: usize = 44;

/// Returns the list's width where there is room for it beside the card.
pub(super) fn list_width(area_width: u16, area_height: u16) -> Option<usize> {
    let room = area_width >= LEAST_WIDTH && area_height >= LEAST_HEIGHT;
    room.then(|| (usize::from(area_width) * LIST_SHARE / 100).min(WIDEST_LIST))
}

/// Returns `height` lines of the list around the item shown.
pub(super) fn list(
    screen: &Screen,
    palette: Palette,
    width: usize,
    height: usize,
) -> Vec<Line<'static>> {
    let session = &screen.session;
    let current = session.current().map(|item| &*item.id);
    let shown = session.shown();
    let digits = shown.iter().map(|item| item.number).max().unwrap_or(1);
    let digits = digits.to_string().len();
    let mut lines = Vec::new();
    let mut marked = 0;
    let mut place: Option<&str> = None;
    for item in &shown {
        // By confidence neighbours are in different places, and headings would only be noise.
        if !session.filter().unsure_first && place != Some(&item.place) {
            place = Some(&item.place);
            lines.push(Line::styled(
                cut(&safe(&item.place), width),
                palette.strong(),
            ));
        }
        let here = current == Some(&*item.id);
        if here {
            marked = lines.len();
        }
        lines.push(line(item, here, palette, width, digits));
    }
    // The item shown stands in the middle where the list is longer than the screen.
    let first = marked.saturating_sub(height / 2);
    let first = first.min(lines.len().saturating_sub(height));
    lines.into_iter().skip(first).take(height).collect()
}

/// One item: its number, a sign for how it stands, what it is about.
fn line(item: &Item, here: bool, palette: Palette, width: usize, digits: usize) -> Line<'static> {
    let (sign, style) = match item.status {
        Status::Proposed => ("·", palette.label()),
        Status::Confirmed => ("✓", palette.done()),
        Status::Rejected => ("✗", palette.label()),
    };
    let number = format!("{:>digits$} ", item.number);
    let room = width.saturating_sub(number.width() + 2);
    let text = cut(&safe(&format!("{} {}", item.element, item.defect)), room);
    if here {
        let line = format!("{number}{sign} {text}");
        let fill = " ".repeat(width.saturating_sub(line.width()));
        return Line::styled(format!("{line}{fill}"), palette.marked());
    }
    let text_style = match item.status {
        Status::Rejected => palette.struck(),
        _ => palette.plain(),
    };
    Line::from(vec![
        Span::styled(number, palette.label()),
        Span::styled(format!("{sign} "), style),
        Span::styled(text, text_style),
    ])
}
