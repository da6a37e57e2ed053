//! Drawing the terminal face: a pure function from [`Screen`] and size to cells.

use super::card::{Card, Row, card};
use super::help::{ALL_KEYS, USUAL_KEYS, field_key};
use super::screen::{Mode, Screen};
use super::text::{cut, safe, wrap};
use crate::job::Field;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier, Style};
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

/// Columns of the key, the label and the gaps before a card's texts: the longest label is
/// `description`.
const TEXT_COLUMN: usize = 17;

/// Below this width, lines run into each other; nothing is hidden, the card scrolls.
const NARROWEST: usize = 24;

/// Styles, with colours or without. Nothing is told by colour alone.
#[derive(Debug, Clone, Copy)]
struct Palette {
    colour: bool,
}

impl Palette {
    fn key(self) -> Style {
        self.with(Style::new().add_modifier(Modifier::BOLD), Color::Cyan)
    }

    fn label(self) -> Style {
        Style::new().add_modifier(Modifier::DIM)
    }

    fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    fn alarm(self) -> Style {
        self.with(Style::new().add_modifier(Modifier::BOLD), Color::Red)
    }

    fn done(self) -> Style {
        self.with(Style::new(), Color::Green)
    }

    fn marked(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    fn with(self, style: Style, colour: Color) -> Style {
        if self.colour { style.fg(colour) } else { style }
    }
}

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

fn body(screen: &Screen, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let Some(item) = screen.session.current() else {
        return vec![Line::raw(
            "The list has no items. Press n to write one by hand.",
        )];
    };
    let card = card(&screen.session, item, &screen.recordings);
    let editing = match &screen.mode {
        Mode::Prompt(prompt) => prompt.edited_field(),
        _ => None,
    };
    let mut lines = title_lines(&card, palette, width);
    let short = [Field::Count, Field::Trade, Field::Severity];
    for row in &card.rows {
        match row.field {
            Some(Field::Count) => {
                let rows = card.rows.iter();
                let rows = rows.filter(|row| row.field.is_some_and(|f| short.contains(&f)));
                lines.extend(short_rows(
                    &rows.collect::<Vec<_>>(),
                    editing,
                    palette,
                    width,
                ));
            }
            Some(field) if short.contains(&field) => {}
            _ => lines.extend(row_lines(row, editing, palette, width)),
        }
    }
    lines
}

/// Number, status and confidence: on one line where they fit.
fn title_lines(card: &Card, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let title = format!("{}, {}", card.title, card.status);
    let style = palette.strong();
    if title.width() + card.sureness.width() + 2 <= width {
        let right = Span::raw(card.sureness.clone());
        return vec![
            ends(Span::styled(title, style), right, width),
            Line::default(),
        ];
    }
    let mut lines: Vec<Line> = wrap(&title, width)
        .into_iter()
        .map(|line| Line::styled(line, style))
        .collect();
    lines.push(Line::raw(card.sureness.clone()));
    lines.push(Line::default());
    lines
}

/// One fact: key, label, and the text wrapped beside them.
fn row_lines(
    row: &Row,
    editing: Option<Field>,
    palette: Palette,
    width: usize,
) -> Vec<Line<'static>> {
    let label = label(row, editing, palette);
    let (text, style) = shown(row, palette);
    let mut lines = Vec::new();
    for (number, part) in wrap(&text, width.saturating_sub(TEXT_COLUMN))
        .into_iter()
        .enumerate()
    {
        let mut spans = if number == 0 {
            label.to_vec()
        } else {
            vec![Span::raw(" ".repeat(TEXT_COLUMN))]
        };
        spans.push(Span::styled(part, style));
        lines.push(Line::from(spans));
    }
    lines
}

/// Count, trade and severity are short: side by side where they fit.
fn short_rows(
    rows: &[&Row],
    editing: Option<Field>,
    palette: Palette,
    width: usize,
) -> Vec<Line<'static>> {
    let mut spans = Vec::new();
    for row in rows {
        let gap = if spans.is_empty() { "" } else { "    " };
        spans.push(Span::raw(gap));
        let parts = label(row, editing, palette);
        let first = spans.len() == 1;
        let (text, style) = shown(row, palette);
        // The first one keeps to the columns of the rows around it.
        spans.extend(
            parts
                .into_iter()
                .map(|part| if first { part } else { trimmed(part) }),
        );
        spans.push(Span::styled(text, style));
    }
    let line = Line::from(spans);
    if line.width() <= width {
        return vec![line];
    }
    rows.iter()
        .flat_map(|row| row_lines(row, editing, palette, width))
        .collect()
}

/// The key and the label of a row, [`TEXT_COLUMN`] columns together.
fn label(row: &Row, editing: Option<Field>, palette: Palette) -> [Span<'static>; 3] {
    let key = match row.field {
        Some(field) => field_key(field).to_string(),
        None if row.alarm => "!".to_string(),
        None => " ".to_string(),
    };
    let marked = editing.is_some() && row.field == editing;
    let key_style = if row.alarm {
        palette.alarm()
    } else {
        palette.key()
    };
    let label_style = match (row.alarm, marked) {
        (true, _) => palette.alarm(),
        (_, true) => palette.marked(),
        _ => palette.label(),
    };
    let gap = TEXT_COLUMN - 3 - row.label.width().min(TEXT_COLUMN - 4);
    [
        Span::styled(format!("{key}  "), key_style),
        Span::styled(row.label, label_style),
        Span::raw(" ".repeat(gap)),
    ]
}

fn shown(row: &Row, palette: Palette) -> (String, Style) {
    match (row.text.is_empty(), row.alarm, row.field) {
        (true, ..) => ("–".to_string(), palette.label()),
        (_, true, _) => (row.text.clone(), palette.alarm()),
        (_, _, Some(Field::Place | Field::Element | Field::Defect)) => {
            (row.text.clone(), palette.strong())
        }
        _ => (row.text.clone(), Style::new()),
    }
}

/// Squeezes the gaps of a label for use within a line.
fn trimmed(span: Span<'static>) -> Span<'static> {
    if span.content.trim().is_empty() {
        Span::raw(" ")
    } else {
        Span::styled(span.content.replace("  ", " "), span.style)
    }
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

/// One text at each end of a line.
fn ends(left: Span<'static>, right: Span<'static>, width: usize) -> Line<'static> {
    let gap = width.saturating_sub(left.width() + right.width());
    Line::from(vec![left, Span::raw(" ".repeat(gap)), right])
}
