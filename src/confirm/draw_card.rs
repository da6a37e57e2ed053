//! Drawing one card: lines of labelled texts.

use super::Session;
use super::card::{Card, Row, card};
use super::help::field_key;
use super::palette::Palette;
use super::screen::{Mode, Screen};
use super::text::{cut, safe, wrap};
use crate::items::Unplaced;
use crate::job::Field;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

/// Columns of the key, the label and the gaps before a card's texts: the longest label is
/// `description`.
const TEXT_COLUMN: usize = 16;

/// Returns the card of the item shown, all its lines.
pub(super) fn body(screen: &Screen, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let Some(item) = screen.session.current() else {
        return vec![Line::raw(
            "The list has no items. Press n to write one by hand.",
        )];
    };
    let card = card(&screen.session, item, &screen.recordings);
    let editing = match &screen.mode {
        Mode::Prompt(prompt) => prompt.purpose.edited_field(),
        _ => None,
    };
    let mut lines = title_lines(&card, palette, width);
    lines.extend(passed_over(&screen.session, palette, width));
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

/// What was said before the item and is in none, a line each under its digit.
fn passed_over(session: &Session, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let (statements, count) = session.passed_over();
    let line = |(digit, (_, statement)): (usize, &(usize, &Unplaced))| {
        let row = Row {
            field: None,
            label: "not listed",
            text: String::new(),
            alarm: false,
            marks: Vec::new(),
        };
        let [_, label, gap] = label(&row, None, palette);
        let at = statement
            .span
            .map_or(String::new(), |span| format!("{} ", span.start));
        let text = safe(&format!("{at}“{}”", statement.quote));
        Line::from(vec![
            Span::styled(format!("{digit}  "), palette.key()),
            label,
            gap,
            Span::styled(
                cut(&text, width.saturating_sub(TEXT_COLUMN)),
                palette.label(),
            ),
        ])
    };
    let mut lines: Vec<Line> = (1..).zip(&statements).map(line).collect();
    if count > statements.len() {
        let more = format!("and {} more: i shows them", count - statements.len());
        let text = Span::styled(more, palette.label());
        lines.push(Line::from(vec![Span::raw(" ".repeat(TEXT_COLUMN)), text]));
    }
    if !lines.is_empty() {
        lines.push(Line::default());
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
    let mut styles = character_styles(row, palette).into_iter();
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
        match row.marks.is_empty() {
            true => spans.push(Span::styled(part, style)),
            false => spans.extend(marked(&part, &mut styles, palette)),
        }
        lines.push(Line::from(spans));
    }
    lines
}

/// The style of each character of the text but spaces, by the marks of its last words.
fn character_styles(row: &Row, palette: Palette) -> Vec<Style> {
    let words: Vec<&str> = row.text.split_whitespace().collect();
    let first_marked = words.len().saturating_sub(row.marks.len());
    let mut styles = Vec::new();
    for (place, word) in words.iter().enumerate() {
        let mark = place
            .checked_sub(first_marked)
            .and_then(|at| row.marks.get(at));
        for c in word.chars() {
            // The quotation marks are not the speaker's.
            let mark = mark.filter(|_| !matches!(c, '“' | '”'));
            let style = mark.map_or(palette.plain(), |mark| {
                palette.heard(mark.term, mark.unsure)
            });
            styles.push(style);
        }
    }
    styles
}

/// One line of marked text, in stretches of one style each.
fn marked(
    line: &str,
    styles: &mut impl Iterator<Item = Style>,
    palette: Palette,
) -> Vec<Span<'static>> {
    let mut spans: Vec<Span> = Vec::new();
    for c in line.chars() {
        let style = match c {
            ' ' => palette.plain(),
            _ => styles.next().unwrap_or_default(),
        };
        match spans.last_mut() {
            Some(span) if span.style == style => span.content.to_mut().push(c),
            _ => spans.push(Span::styled(c.to_string(), style)),
        }
    }
    spans
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

/// One text at each end of a line.
pub(super) fn ends(left: Span<'static>, right: Span<'static>, width: usize) -> Line<'static> {
    let gap = width.saturating_sub(left.width() + right.width());
    Line::from(vec![left, Span::raw(" ".repeat(gap)), right])
}
