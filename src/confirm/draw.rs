//! Drawing the terminal face: a pure function from [`Screen`] and size to cells.

use super::draw_card::{body, ends};
use super::draw_foot::foot;
use super::draw_list::{list, list_width};
use super::help::ALL_KEYS;
use super::palette::Palette;
use super::screen::{Mode, Screen};
use super::text::{cut, safe, wrap};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

/// Below this width, lines run into each other; nothing is hidden, the card scrolls.
const NARROWEST: usize = 24;

/// What stands between the list and the card.
const DIVIDER: &str = " │ ";

/// Draws the whole screen into `area`. Returns the first line of the card that is shown: the
/// screen's own where the card is long enough for it.
pub(super) fn draw(screen: &Screen, colour: bool, area: Rect, buffer: &mut Buffer) -> usize {
    let palette = Palette { colour };
    let width = usize::from(area.width).saturating_sub(2).max(NARROWEST);
    let head = head(screen, palette, width);
    let foot = foot(screen, palette, width);
    let height = usize::from(area.height);
    let room = height.saturating_sub(head.len() + foot.len());
    let list_width = match &screen.mode {
        Mode::Help | Mode::Statements(_) => None,
        _ => list_width(area.width, area.height),
    };
    let beside = list_width.map_or(0, |list| list + DIVIDER.width());
    let width_left = width - beside;
    let (body, wanted) = match &screen.mode {
        Mode::Help => (help(palette, width), None),
        Mode::Statements(chosen) => statements(screen, *chosen, palette, width),
        _ => (body(screen, palette, width_left), None),
    };
    let scroll = match wanted {
        // The statement chosen stands in the middle.
        Some(line) => line.saturating_sub(room / 2),
        None => screen.scroll,
    };
    let scroll = scroll.min(body.len().saturating_sub(room));
    let more = body.len() > scroll + room;
    let shown = room.saturating_sub(usize::from(more));
    let hidden = body.len() - (scroll + shown).min(body.len());

    let mut main: Vec<Line> = body.into_iter().skip(scroll).take(shown).collect();
    if more && room > 0 {
        let text = format!("… {hidden} more lines: Down");
        main.push(Line::styled(text, palette.label()));
    }
    let mut lines = head;
    match list_width {
        None => lines.extend(main),
        Some(width) => {
            let list = list(screen, palette, width, room);
            lines.extend(side_by_side(list, main, width, room, palette));
        }
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

/// The list and the card, divided by a line from top to bottom.
fn side_by_side(
    list: Vec<Line<'static>>,
    card: Vec<Line<'static>>,
    width: usize,
    height: usize,
    palette: Palette,
) -> Vec<Line<'static>> {
    let (mut list, mut card) = (list.into_iter(), card.into_iter());
    let mut lines = Vec::with_capacity(height);
    for _ in 0..height {
        let mut line = list.next().unwrap_or_default();
        let gap = width.saturating_sub(line.width());
        // The style of a whole line would colour the card too.
        let style = line.style;
        for span in &mut line.spans {
            span.style = style.patch(span.style);
        }
        line.style = Style::default();
        line.push_span(Span::raw(" ".repeat(gap)));
        line.push_span(Span::styled(DIVIDER, palette.label()));
        let right = card.next().unwrap_or_default();
        let style = right.style;
        let spans = right.spans.into_iter();
        line.spans.extend(spans.map(|span| Span {
            style: style.patch(span.style),
            ..span
        }));
        lines.push(line);
    }
    lines
}

/// The statements that made no item, and the line of the one chosen.
fn statements(
    screen: &Screen,
    chosen: usize,
    palette: Palette,
    width: usize,
) -> (Vec<Line<'static>>, Option<usize>) {
    let mut lines = vec![
        Line::styled("Said, but in no item", palette.strong()),
        Line::default(),
    ];
    let mut at = 0;
    for (place, (_, statement)) in screen.session.unplaced().enumerate() {
        let style = match place == chosen {
            true => palette.marked(),
            false => palette.plain(),
        };
        if place == chosen {
            at = lines.len();
        }
        let time = statement.span.map(|span| format!("{} ", span.start));
        // From the one chosen on each has a digit.
        let digit = place.checked_sub(chosen).filter(|after| *after < 9);
        let digit = digit.map_or("  ".into(), |after| format!("{} ", after + 1));
        let text = format!("{digit}{}“{}”", time.unwrap_or_default(), statement.quote);
        let wrapped = wrap(&safe(&text), width).into_iter();
        lines.extend(wrapped.map(|line| Line::styled(line, style)));
        let why = wrap(&safe(&statement.why), width.saturating_sub(4));
        let why = why.into_iter().map(|line| format!("    {line}"));
        lines.extend(why.map(|line| Line::styled(line, palette.label())));
    }
    (lines, Some(at))
}

/// Keys with their meaning on one line; those that do not fit are left out.
pub(super) fn keys(
    keys: &[(&'static str, &'static str)],
    palette: Palette,
    width: usize,
) -> Line<'static> {
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
