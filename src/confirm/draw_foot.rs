//! Drawing the foot: the message, the question with what is offered, the keys that matter now.

use super::draw::keys;
use super::help::USUAL_KEYS;
use super::palette::Palette;
use super::prompt::Prompt;
use super::screen::{Mode, Screen};
use super::text::{cut, safe, wrap};
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

/// Most lines that what is offered may take.
const OFFER_LINES: usize = 3;

/// A rule, the message or the question, then the keys that matter now.
pub(super) fn foot(screen: &Screen, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let style = if screen.message.trouble {
        palette.alarm()
    } else {
        palette.done()
    };
    let mut lines = vec![Line::styled("─".repeat(width), palette.label())];
    if !screen.message.text.is_empty() {
        let text = safe(&screen.message.text);
        let wrapped = wrap(&text, width).into_iter();
        lines.extend(wrapped.map(|line| Line::styled(line, style)));
    }
    match &screen.mode {
        Mode::Card => lines.push(keys(&USUAL_KEYS, palette, width)),
        Mode::Help => lines.push(Line::raw("Any other key goes back to the item.")),
        Mode::Statements(_) => lines.push(keys(
            &[
                ("Enter", "make it an item"),
                ("1-9", "that one"),
                ("Up, Down", "choose"),
                ("Esc", "back"),
            ],
            palette,
            width,
        )),
        Mode::Prompt(prompt) => lines.extend(question(screen, prompt, palette, width)),
    }
    lines
}

fn question(
    screen: &Screen,
    prompt: &Prompt,
    palette: Palette,
    width: usize,
) -> Vec<Line<'static>> {
    let mut lines = Vec::new();
    let hint = prompt.purpose.hint(&screen.session);
    if !hint.is_empty() {
        let hint = wrap(&hint, width).into_iter();
        lines.extend(hint.map(|line| Line::styled(line, palette.label())));
    }
    lines.extend(offers(prompt, palette, width));
    let label = format!("{}: ", prompt.purpose.label());
    let room = width.saturating_sub(label.width());
    let (before, under, after) = prompt.editor.view(room);
    // What is there stands out as long as the first letter would replace it.
    let text = if prompt.untouched {
        palette.marked()
    } else {
        palette.plain()
    };
    lines.push(Line::from(vec![
        Span::styled(label, palette.key()),
        Span::styled(before, text),
        Span::styled(under, palette.marked()),
        Span::styled(after, text),
    ]));
    let mut usual = vec![("Enter", "keep it"), ("Esc", "leave it")];
    if !prompt.offered.is_empty() {
        usual.push(("Tab", "take the first"));
        if !prompt.purpose.is_figures() {
            usual.push(("1-9", "take that one"));
        }
    }
    if prompt.untouched {
        usual.push(("Left", "change it"));
    }
    lines.push(keys(&usual, palette, width));
    lines
}

/// What is offered, each with its digit, in a few lines.
fn offers(prompt: &Prompt, palette: Palette, width: usize) -> Vec<Line<'static>> {
    let mut lines: Vec<Line> = Vec::new();
    let figures = prompt.purpose.is_figures();
    for (place, text) in prompt.offered.iter().enumerate() {
        let digit = match (figures, prompt.first_key().filter(|_| place == 0)) {
            (true, Some(key)) => format!("{key} "),
            (true, None) => String::new(),
            (false, _) => format!("{} ", place + 1),
        };
        let text = cut(&safe(text), width.saturating_sub(digit.width()));
        let gap = "   ";
        let needed = digit.width() + text.width();
        let used = lines.last().map_or(width, Line::width);
        let gap = if used + gap.width() + needed <= width {
            gap
        } else if lines.len() == OFFER_LINES {
            break;
        } else {
            lines.push(Line::default());
            ""
        };
        let style = match prompt.shown_offer() == Some(place) {
            true => palette.marked(),
            false => palette.plain(),
        };
        if let Some(line) = lines.last_mut() {
            line.push_span(Span::raw(gap));
            line.push_span(Span::styled(digit, palette.key()));
            line.push_span(Span::styled(text, style));
        }
    }
    lines
}
