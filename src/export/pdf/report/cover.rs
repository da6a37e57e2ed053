//! The cover: what the list is about, and how far it is confirmed.

use crate::export::date;
use crate::export::pdf::colour::Colour;
use crate::export::pdf::make::{Make, PANEL_INDENT, short};
use crate::export::pdf::paper::{BOTTOM, PAGE, SIDE, WIDTH};
use crate::export::pdf::stack::{Drawn, Stack};
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::text::{fitted, lines};
use crate::export::wording::{counted, one_line};
use crate::export::{ExportError, TOOL, texts};
use crate::items::Status;

/// Least height of the coloured ground behind the title; a longer title makes it higher.
const GROUND: f32 = 268.0;
/// A title longer than this many lines is cut off: the details below need the room.
const TITLE_LINES: usize = 5;

pub(super) fn lay_out(make: &mut Make<'_>) -> Result<(), ExportError> {
    let made = date::in_words(&make.document.created)?;
    let section = make.tree.add(None, Kind::Section);
    let (title, ground) = title(make, section);
    make.paper.bare_page(0.0);
    make.paper.draw_at(title, 0.0, 0.0);
    let mut y = ground + 34.0;
    let details = details(make, section);
    let height = details.height;
    make.paper.draw_at(details, SIDE, y);
    y += height + if height > 0.0 { 26.0 } else { 0.0 };
    let standing = standing(make, section);
    make.paper.draw_at(standing, SIDE, y);
    foot(make, section, &made);
    Ok(())
}

/// The title on its ground. Returns it with the ground's height.
fn title(make: &mut Make<'_>, section: NodeId) -> (Stack, f32) {
    let look = make.look;
    let text = one_line(&make.document.title);
    let style = look.cover();
    let mut lines = lines(make.fonts, &[style.of(text.clone())], WIDTH);
    if lines.len() > TITLE_LINES {
        lines.truncate(TITLE_LINES - 1);
        let shown: usize = lines
            .iter()
            .flat_map(|l| &l.runs)
            .map(|r| r.text.len())
            .sum();
        let rest = text.get(shown..).unwrap_or_default();
        lines.push(fitted(make.fonts, rest, style, WIDTH));
    }
    let leading = style.size * 1.16;
    let ground = GROUND.max(150.0 + lines.len() as f32 * leading);
    let mut stack = Stack::default();
    stack.fill((0.0, 0.0), (PAGE.0, ground), look.main);
    let kind = make.texts.kind.as_deref().unwrap_or(texts::REPORT);
    let white = look.body().sized(12.0).coloured(Colour::WHITE);
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let line = fitted(make.fonts, kind, white, WIDTH);
    let top = ground - 40.0 - lines.len() as f32 * leading;
    stack.line_at(&line, SIDE, top - 26.0, Some(node));
    let heading = make.tree.add(Some(section), Kind::Heading(1, short(&text)));
    for (n, line) in lines.iter().enumerate() {
        stack.line_at(line, SIDE, top + n as f32 * leading, Some(heading));
    }
    stack.anchor("cover", Some((1, short(&text))));
    stack.height = ground;
    (stack, ground)
}

/// What the job tells of the visit, where it tells anything: an empty label helps nobody.
fn details(make: &mut Make<'_>, section: NodeId) -> Stack {
    const LABEL: f32 = 98.0;
    // Below these the standing panel and the foot still have room.
    const HIGHEST: f32 = 300.0;
    let look = make.look;
    let known: Vec<(String, String)> = make
        .document
        .details
        .iter()
        .filter(|detail| detail.key != "items" && detail.key != "title")
        .map(|detail| (one_line(&detail.label), one_line(&detail.value)))
        .filter(|(_, value)| !value.is_empty())
        .collect();
    let mut stack = Stack::default();
    if known.is_empty() {
        return stack;
    }
    let table = make
        .tree
        .add(Some(section), Kind::Table("About the visit".into()));
    let body = make.tree.add(Some(table), Kind::TableBody);
    for (label, value) in known {
        let row = make.tree.add(Some(body), Kind::Row);
        let head = make.tree.add(Some(row), Kind::RowHead);
        let cell = make.tree.add(Some(row), Kind::Cell);
        let mut left = Stack::default();
        left.gap(1.2);
        let label = look.label().sized(9.4).of(label);
        left.paragraph(make.fonts, &[label], (0.0, LABEL - 8.0), Some(head));
        let mut right = Stack::default();
        let value = look.body().sized(11.0).of(value);
        right.paragraph(make.fonts, &[value], (0.0, WIDTH - LABEL), Some(cell));
        let top = stack.height + 5.0;
        if top + right.height.max(left.height) > HIGHEST {
            break;
        }
        stack.beside(left, 0.0, top);
        stack.beside(right, LABEL, top);
        stack.gap(5.0);
        stack.rule(0.0, WIDTH, 0.5, look.line);
    }
    stack
}

/// How far the list is confirmed.
fn standing(make: &mut Make<'_>, section: NodeId) -> Stack {
    let look = make.look;
    let all = make.items.len();
    let waiting = make
        .items
        .iter()
        .filter(|item| item.status == Status::Proposed)
        .count();
    let items = counted(all, "item", "items");
    let (head, text) = match (all, waiting) {
        (0, _) => ("Nothing is listed.", String::new()),
        (_, 0) => (
            "Checked by the inspector.",
            format!(" {items}, each looked at and confirmed."),
        ),
        (all, waiting) if all == waiting => (
            "Draft: not yet confirmed.",
            format!(
                " {items}, none of which the inspector has confirmed yet. All of them may change."
            ),
        ),
        (_, waiting) => (
            "Draft: not yet confirmed.",
            format!(
                " {items}, {waiting} of which the inspector has not confirmed yet. These are marked, and may \
                 change."
            ),
        ),
    };
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let bar = if waiting > 0 { look.alert } else { look.main };
    let mut content = Stack::default();
    let pieces = [
        look.strong().sized(10.6).of(head),
        look.body().sized(10.6).of(text),
    ];
    let width = WIDTH - 2.0 * PANEL_INDENT;
    content.paragraph(make.fonts, &pieces, (0.0, width), Some(node));
    make.panel(content, WIDTH, look.panel(), bar)
}

/// Who the paper comes from, the logo, and when the list was made.
fn foot(make: &mut Make<'_>, section: NodeId, made: &str) {
    const LOGO: (f32, f32) = (150.0, 64.0);
    let look = make.look;
    let mut stack = Stack::default();
    let logo = look.logo.as_ref().and_then(|file| {
        let size = image::ImageReader::new(std::io::Cursor::new(file.as_slice()))
            .with_guessed_format()
            .ok()?
            .into_dimensions()
            .ok()?;
        Some((file.clone(), size))
    });
    if let Some((file, (width, height))) = logo {
        let scale = (LOGO.0 / width as f32).min(LOGO.1 / height as f32);
        let (width, height) = (width as f32 * scale, height as f32 * scale);
        let says = match make.texts.firm.first() {
            Some(firm) => format!("Logo of {firm}"),
            None => "Logo".to_string(),
        };
        let node = make.tree.add(Some(section), Kind::Figure(says));
        let picture = Drawn::Picture {
            file,
            width,
            height,
        };
        stack.draw(0.0, 0.0, Some(node), picture);
        stack.gap(height + 10.0);
    }
    // A firm's whole letterhead fits; more would run into the details.
    const FIRM_LINES: usize = 6;
    for line in make.texts.firm.iter().take(FIRM_LINES) {
        let node = make.tree.add(Some(section), Kind::Paragraph);
        let line = fitted(make.fonts, &one_line(line), look.body(), WIDTH);
        stack.line(&line, 0.0, Some(node));
    }
    if stack.height > 0.0 {
        stack.gap(8.0);
    }
    let node = make.tree.add(Some(section), Kind::Paragraph);
    let text = format!("List made on {made} with {TOOL}.");
    stack.paragraph(
        make.fonts,
        &[look.small().of(text)],
        (0.0, WIDTH),
        Some(node),
    );
    let top = BOTTOM + 28.0 - stack.height;
    make.paper.draw_at(stack, SIDE, top);
}
