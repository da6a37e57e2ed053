//! Drawing the terminal face: a pure function from [`Screen`] and size to cells.

use super::draw_card::{body, ends};
use super::help::{ALL_KEYS, USUAL_KEYS};
use super::palette::Palette;
use super::screen::{Mode, Screen};
use super::text::{cut, safe, wrap};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

/// Below this width, lines run into each other; nothing is hidden, the card scrolls.
const NARROWEST: usize = 24;

/// Draws the whole screen into `area`. Returns the first line of the card that is shown: the
/// screen's own where the card is long enough for it.
pub(super) fn draw(screen: &Screen, colour: bool, area: Rect, buffer: &mut Buffer) -> usize {
    let palette = Palette { colour };
    let width = usize::from(area.width).saturating_sub(2).max(NARROWEST);
    let head = head(screen, palette, width);
    let foot = foot(screen, palette, width);
    let body = match &screen.mode {
        Mode::Help => help(palette, width),
        _ => body(screen, palette, width),
    };
    let height = usize::from(area.height);
    let room = height.saturating_sub(head.len() + foot.len());
    let scroll = screen.scroll.min(body.len().saturating_sub(room));
    let more = body.len() > scroll + room;
    let shown = room.saturating_sub(usize::from(more));
    let hidden = body.len() - (scroll + shown).min(body.len());

    let mut lines = head;
    lines.extend(body.into_iter().skip(scroll).take(shown));
    if more && room > 0 {
        let text = format!("… {hidden} more lines: Down");
        lines.push(Line::styled(text, palette.label()));
    }
    // The foot stands at the bottom.
    let gap = height.saturating_sub(lines.len() + foot.len());
    lines.extend(std::iter::repeat_n(Line::default(), gap));
    lines.extend(foot);
    for (line, y) in lines.into_iter().zip(area.y..area.bottom()) {
        let left = u16::from(area.width > 2);
        let place = Rect::new(area.x + left, y, area.width.saturating_sub(left), 1);
        line.render(place, buffer);
    }
    scroll
}

/// Title and progress, then a bar of the decided share.
fn head(screen: &Screen, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let progress = screen.session.progress();
    let counts = progress.to_string();
    let title = cut(
        &safe(&screen.title),
        width.saturating_sub(counts.width() + 2),
    );
    let total = progress.total.max(1);
    let decided = (progress.confirmed + progress.rejected) * width / total;
    vec![
        ends(
            Span::styled(title, palette.strong()),
            Span::raw(counts),
            width,
        ),
        Line::from(vec![
            Span::styled("━".repeat(decided), palette.done()),
            Span::styled("─".repeat(width - decided), palette.label()),
        ]),
    ]
}

/// A rule, the message or the question, then the keys that matter now.
fn foot(screen: &Screen, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let style = if screen.message.trouble {
        palette.alarm()
    } else {
        palette.done()
    };
    let mut lines = vec![Line::styled("─".repeat(width), palette.label())];
    if !screen.message.text.is_empty() {
        let text = safe(&screen.message.text);
        lines.extend(
            wrap(&text, width)
                .into_iter()
                .map(|line| Line::styled(line, style)),
        );
    }
    match &screen.mode {
        Mode::Card => lines.push(keys(&USUAL_KEYS, palette, width)),
        Mode::Help => lines.push(Line::raw("Any other key goes back to the item.")),
        Mode::Prompt(prompt) => {
            let hint = prompt.hint();
            if !hint.is_empty() {
                let hint = wrap(&hint, width).into_iter();
                lines.extend(hint.map(|line| Line::styled(line, palette.label())));
            }
            let label = format!("{}: ", prompt.label());
            let room = width.saturating_sub(label.width());
            let (before, under, after) = prompt.editor.view(room);
            lines.push(Line::from(vec![
                Span::styled(label, palette.key()),
                Span::raw(before),
                Span::styled(under, palette.marked()),
                Span::raw(after),
            ]));
            let usual = [
                ("Enter", "keep it"),
                ("Esc", "leave it"),
                ("Ctrl-U", "empty the line"),
            ];
            lines.push(keys(&usual, palette, width));
        }
    }
    lines
}

/// Keys with their meaning on one line; those that do not fit are left out.
fn keys(keys: &[(&'static str, &'static str)], palette: Palette, width: usize) -> Line<'static> {
    let mut line = Line::default();
    for (key, what) in keys {
        let gap = if line.spans.is_empty() { "" } else { "   " };
        if line.width() + gap.width() + key.width() + 1 + what.width() > width {
            continue;
        }
        line.push_span(Span::raw(gap));
        line.push_span(Span::styled(*key, palette.key()));
        line.push_span(Span::raw(format!(" {what}")));
    }
    line
}

fn help(palette: Palette, width: usize) -> Vec<Line<'static>> {
    let column = ALL_KEYS
        .iter()
        .map(|(key, _)| key.width())
        .max()
        .unwrap_or(0)
        + 2;
    let mut lines = Vec::new();
    for (key, what) in ALL_KEYS {
        for (number, part) in wrap(what, width.saturating_sub(column))
            .into_iter()
            .enumerate()
        {
            let key = if number == 0 { key } else { "" };
            let key = Span::styled(format!("{key:column$}"), palette.key());
            lines.push(Line::from(vec![key, Span::raw(part)]));
        }
    }
    lines
}
