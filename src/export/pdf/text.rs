//! Text in lines: where they break, and where each piece of a line stands.

use super::colour::Colour;
use super::fonts::{Cut, Fonts, Glyph, Shaped};
use super::tags::NodeId;
use std::rc::Rc;

/// How a text looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Style {
    pub(super) cut: Cut,
    /// Font size in points.
    pub(super) size: f32,
    pub(super) colour: Colour,
}

/// A stretch of text in one style.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    pub(super) text: String,
    pub(super) style: Style,
    /// The tag it belongs to, where that is not the paragraph's.
    pub(super) node: Option<NodeId>,
    /// Where a press on it leads.
    pub(super) link: Option<String>,
}

impl Style {
    /// Returns a text in this style.
    pub(super) fn of(self, text: impl Into<String>) -> Piece {
        Piece {
            text: text.into(),
            style: self,
            node: None,
            link: None,
        }
    }
}

/// A part of a line, drawn at once.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    /// Distance from the line's left end in points.
    pub(super) x: f32,
    /// Width in points.
    pub(super) width: f32,
    pub(super) text: String,
    pub(super) glyphs: Vec<Glyph>,
    pub(super) style: Style,
    pub(super) node: Option<NodeId>,
    pub(super) link: Option<String>,
}

/// A line of text.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Line {
    pub(super) runs: Vec<Run>,
    /// Width in points, without the space at its end.
    pub(super) width: f32,
    /// Distance to the next line in points.
    pub(super) leading: f32,
}

/// Line distance as a part of the font size: open enough to read on paper in a half-built hall.
const LEADING: f32 = 1.34;
/// Height of the baseline within a line, as a part of its leading.
const BASELINE: f32 = 0.745;

impl Line {
    /// Returns how far below the line's top its letters stand, in points.
    pub(super) fn baseline(&self) -> f32 {
        self.leading * BASELINE
    }
}

/// A word, or a part of one, that is not broken.
struct Chunk {
    shaped: Rc<Shaped>,
    /// Index of the piece it comes from.
    piece: usize,
    /// Whether a space stands before it.
    spaced: bool,
    /// Whether it belongs to the chunk before, as a comma after a linked number does.
    glued: bool,
}

/// Returns the pieces in lines of at most `width` points. Lines break at spaces and after hyphens,
/// strokes and dashes; a word that is wider than a line is broken where the line ends.
pub(super) fn lines(fonts: &Fonts<'_>, pieces: &[Piece], width: f32) -> Vec<Line> {
    // A hair's breadth of rounding must not break a line that was measured to fit.
    const ROUNDING: f32 = 0.01;
    let mut lines = Vec::new();
    let mut line: Vec<Chunk> = Vec::new();
    let mut used = 0.0;
    for chunk in chunks(fonts, pieces, width) {
        let wide = wide(fonts, pieces, &chunk, line.is_empty());
        if !line.is_empty() && used + wide > width + ROUNDING {
            // What the chunk belongs to goes with it, unless that is the whole line.
            let start = if chunk.glued {
                line.iter()
                    .rposition(|chunk| !chunk.glued)
                    .filter(|&start| start > 0)
            } else {
                None
            };
            let next = start.map(|start| line.split_off(start)).unwrap_or_default();
            let spaced = next.first().unwrap_or(&chunk).spaced;
            lines.push(set(fonts, pieces, &line, spaced));
            line = next;
            used = 0.0;
            for (n, chunk) in line.iter().enumerate() {
                used += self::wide(fonts, pieces, chunk, n == 0);
            }
        }
        used += self::wide(fonts, pieces, &chunk, line.is_empty());
        line.push(chunk);
    }
    if !line.is_empty() {
        lines.push(set(fonts, pieces, &line, false));
    }
    lines
}

/// Returns how wide a chunk is in points, with the space before it unless it begins a line.
fn wide(fonts: &Fonts<'_>, pieces: &[Piece], chunk: &Chunk, begins: bool) -> f32 {
    let style = pieces[chunk.piece].style;
    let space = if chunk.spaced && !begins {
        fonts.shape(style.cut, " ").width
    } else {
        0.0
    };
    (space + chunk.shaped.width) * style.size
}

/// Returns the text on one line, however long; empty for no text.
pub(super) fn one_line(fonts: &Fonts<'_>, pieces: &[Piece]) -> Line {
    lines(fonts, pieces, f32::INFINITY)
        .into_iter()
        .next()
        .unwrap_or_default()
}

/// Returns the text on one line of at most `width` points, cut off with an ellipsis where it is
/// longer.
pub(super) fn fitted(fonts: &Fonts<'_>, text: &str, style: Style, width: f32) -> Line {
    let whole = one_line(fonts, &[style.of(text)]);
    if whole.width <= width {
        return whole;
    }
    let letters: Vec<char> = text.chars().collect();
    let shortened = |count: usize| {
        let kept: String = letters[..count].iter().collect();
        one_line(fonts, &[style.of(format!("{}…", kept.trim_end()))])
    };
    // The longest start that fits; widths grow with the number of letters.
    let (mut fits, mut too_long) = (0, letters.len());
    while too_long - fits > 1 {
        let middle = usize::midpoint(fits, too_long);
        if shortened(middle).width <= width {
            fits = middle;
        } else {
            too_long = middle;
        }
    }
    shortened(fits)
}

/// Returns the parts that lines are made of.
fn chunks(fonts: &Fonts<'_>, pieces: &[Piece], width: f32) -> Vec<Chunk> {
    let mut chunks = Vec::new();
    let mut spaced = false;
    for (index, piece) in pieces.iter().enumerate() {
        for (n, word) in piece.text.split(' ').enumerate() {
            spaced |= n > 0;
            for part in break_after_marks(word) {
                let shaped = fonts.shape(piece.style.cut, part);
                let limit = width / piece.style.size;
                for shaped in fitting(fonts, piece.style.cut, shaped, limit) {
                    if shaped.glyphs.is_empty() {
                        continue;
                    }
                    let begins = chunks
                        .last()
                        .is_some_and(|last: &Chunk| last.piece != index);
                    chunks.push(Chunk {
                        shaped,
                        piece: index,
                        spaced,
                        glued: begins && !spaced,
                    });
                    spaced = false;
                }
            }
        }
    }
    chunks
}

/// Returns the word in parts, after each of which a line may break.
fn break_after_marks(word: &str) -> impl Iterator<Item = &str> {
    // Short words such as `1/2` or `re-fix` stay whole.
    const SHORTEST_BROKEN: usize = 12;
    let whole = word.chars().count() < SHORTEST_BROKEN;
    word.split_inclusive(move |c| !whole && matches!(c, '-' | '/' | '–' | '—' | '_'))
}

/// Returns the word in parts that are each at most `limit` wide (in parts of the font size).
fn fitting(fonts: &Fonts<'_>, cut: Cut, word: Rc<Shaped>, limit: f32) -> Vec<Rc<Shaped>> {
    if word.width <= limit || word.glyphs.len() < 2 {
        return vec![word];
    }
    let (mut parts, mut start, mut used) = (Vec::new(), 0, 0.0);
    for glyph in &word.glyphs {
        if used + glyph.advance > limit && glyph.bytes.0 > start {
            parts.push(fonts.shape(cut, &word.text[start..glyph.bytes.0]));
            (start, used) = (glyph.bytes.0, 0.0);
        }
        used += glyph.advance;
    }
    parts.push(fonts.shape(cut, &word.text[start..]));
    parts
}

/// Returns the chunks as a line. A word that the line breaks after keeps its space, so that the
/// text of the document still has it.
fn set(fonts: &Fonts<'_>, pieces: &[Piece], chunks: &[Chunk], space_at_end: bool) -> Line {
    let mut line = Line::default();
    let mut x = 0.0;
    for (n, chunk) in chunks.iter().enumerate() {
        let piece = &pieces[chunk.piece];
        let style = piece.style;
        let same_run = n > 0 && chunks[n - 1].piece == chunk.piece;
        let space = fonts.shape(style.cut, " ");
        if !same_run {
            if chunk.spaced && n > 0 {
                // The space belongs to the run before, so that runs begin with a letter.
                x += append(line.runs.last_mut(), &space);
            }
            line.runs.push(Run {
                x,
                width: 0.0,
                text: String::new(),
                glyphs: Vec::new(),
                style,
                node: piece.node,
                link: piece.link.clone(),
            });
        } else if chunk.spaced {
            x += append(line.runs.last_mut(), &space);
        }
        x += append(line.runs.last_mut(), &chunk.shaped);
        line.leading = line.leading.max(style.size * LEADING);
    }
    line.width = x;
    if space_at_end && let Some(run) = line.runs.last_mut() {
        let space = fonts.shape(run.style.cut, " ");
        append(Some(run), &space);
    }
    line
}

/// Adds glyphs to a run and returns their width in points.
fn append(run: Option<&mut Run>, shaped: &Shaped) -> f32 {
    let Some(run) = run else { return 0.0 };
    let from = run.text.len();
    run.text.push_str(&shaped.text);
    run.glyphs
        .extend(shaped.glyphs.iter().map(|glyph| glyph.later(from)));
    let width = shaped.width * run.style.size;
    run.width += width;
    width
}

#[cfg(test)]
mod tests {
    use super::super::fonts::FontFiles;
    use super::*;

    const STYLE: Style = Style {
        cut: Cut::Regular,
        size: 10.0,
        colour: Colour(0, 0, 0),
    };

    fn texts(pieces: &[Piece], width: f32) -> Vec<String> {
        let own = FontFiles::default();
        let fonts = Fonts::new(&own).unwrap();
        lines(&fonts, pieces, width)
            .iter()
            .map(|line| line.runs.iter().map(|run| run.text.as_str()).collect())
            .collect()
    }

    #[test]
    fn lines_break_at_spaces_and_keep_them() {
        assert_eq!(
            texts(&[STYLE.of("The door rubs on the frame")], 60.0),
            ["The door rubs ", "on the frame"]
        );
    }

    #[test]
    fn a_space_that_must_not_break_does_not() {
        assert_eq!(
            texts(&[STYLE.of("out by 19\u{a0}mm")], 42.0),
            ["out by ", "19\u{a0}mm"]
        );
    }

    #[test]
    fn what_belongs_together_stays_on_one_line() {
        let pieces = [
            STYLE.of("See items\u{a0}"),
            STYLE.of("13"),
            STYLE.of(", "),
            STYLE.of("14"),
            STYLE.of("."),
        ];
        for width in 48..120 {
            let lines = texts(&pieces, width as f32);
            assert_eq!(
                lines.concat(),
                "See items\u{a0}13, 14.",
                "{width}: nothing is lost"
            );
            for line in lines {
                assert!(
                    !line.starts_with([',', '.', '1']) || line == "14.",
                    "{width}: {line}"
                );
            }
        }
    }

    #[test]
    fn a_word_wider_than_the_line_is_broken_and_loses_nothing() {
        let word = "Donaudampfschifffahrtsgesellschaft";
        let lines = texts(&[STYLE.of(word)], 50.0);
        assert!(lines.len() > 2);
        assert_eq!(lines.concat(), word);
        let path = texts(&[STYLE.of("behind-the-door-and-beyond")], 60.0);
        assert_eq!(path, ["behind-the-", "door-and-", "beyond"]);
    }

    #[test]
    fn pieces_of_several_styles_share_lines() {
        let bold = Style {
            cut: Cut::Bold,
            ..STYLE
        };
        let pieces = [
            bold.of("Caution."),
            STYLE.of(" Do not"),
            STYLE.of(" use it."),
        ];
        assert_eq!(texts(&pieces, 500.0), ["Caution. Do not use it."]);
        assert_eq!(texts(&[STYLE.of(""), STYLE.of("  ")], 500.0).len(), 0);
    }

    #[test]
    fn a_title_is_cut_off_where_it_must_fit() {
        let own = FontFiles::default();
        let fonts = Fonts::new(&own).unwrap();
        let line = fitted(&fonts, "Plot 14, Larch Row: walk-round", STYLE, 70.0);
        assert_eq!(line.runs[0].text, "Plot 14, Larch…");
        assert!(line.width <= 70.0);
    }
}
