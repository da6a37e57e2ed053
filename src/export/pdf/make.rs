//! What all parts of the paper share while they are laid out.

use super::colour::Colour;
use super::fonts::Fonts;
use super::look::Look;
use super::marks;
use super::paper::{Paper, WIDTH};
use super::photos::Picture;
use super::stack::Stack;
use super::tags::{Kind, NodeId, Tree};
use super::template::Texts;
use super::text::{Piece, one_line};
use crate::export::Document;
use crate::export::document::Grouping;
use crate::export::wording::{self, one_line as cleaned};
use crate::items::{Item, Severity};
use std::collections::BTreeMap;

/// Everything that the parts need, and what they make.
pub(super) struct Make<'a> {
    pub(super) fonts: &'a Fonts<'a>,
    pub(super) look: &'a Look,
    pub(super) texts: &'a Texts,
    pub(super) document: &'a Document,
    /// The items shown, by number.
    pub(super) items: &'a [&'a Item],
    pub(super) by: Grouping,
    pub(super) include_rejected: bool,
    pub(super) photos: BTreeMap<String, Picture>,
    pub(super) tree: Tree,
    pub(super) paper: Paper,
}

/// Returns the name of the place where an item stands.
pub(super) fn item_anchor(number: u32) -> String {
    format!("item-{number}")
}

/// Returns a text that fits into a bookmark or a file's title: PDF readers cut these anyway, and
/// the format has a limit for strings.
pub(super) fn short(text: &str) -> String {
    const LONGEST: usize = 160;
    wording::shortened(&cleaned(text), LONGEST)
}

/// Returns the text with numbers and their units kept on one line.
pub(super) fn unbroken(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut joined = String::with_capacity(text.len());
    for (n, word) in words.iter().enumerate() {
        if n > 0 {
            let after_number = words[n - 1].ends_with(|c: char| c.is_ascii_digit());
            joined.push(if after_number && is_unit(word) {
                '\u{a0}'
            } else {
                ' '
            });
        }
        joined.push_str(word);
    }
    joined
}

fn is_unit(word: &str) -> bool {
    let bare = word.trim_end_matches(|c: char| c.is_ascii_punctuation());
    matches!(
        bare,
        "mm" | "cm"
            | "m"
            | "in"
            | "ft"
            | "°C"
            | "Pa"
            | "bar"
            | "l"
            | "lux"
            | "V"
            | "W"
            | "A"
            | "dB"
            | "kg"
            | "s"
            | "min"
            | "h"
            | "storey"
            | "storeys"
            | "m²"
            | "ft²"
    ) || bare.starts_with("l/")
}

impl Make<'_> {
    /// Returns a heading with its place in the bookmarks, tagged under `parent`.
    pub(super) fn heading(
        &mut self,
        parent: Option<NodeId>,
        level: u16,
        title: &str,
        anchor: &str,
        aside: &str,
    ) -> Stack {
        let node = self.tree.add(parent, Kind::Heading(level, short(title)));
        let mut stack = Stack::default();
        stack.anchor(anchor, Some((level, short(title))));
        let style = self.look.heading(level);
        let mut pieces = vec![style.of(cleaned(title))];
        if !aside.is_empty() {
            pieces.push(self.look.label().of(format!("   {aside}")));
        }
        stack.paragraph(self.fonts, &pieces, (0.0, WIDTH), Some(node));
        // A heading is never parted from what follows, nor in itself.
        stack.cuts.clear();
        stack.gap(if level == 1 { 9.0 } else { 5.0 });
        stack
    }

    /// Returns a small heading without a place in the bookmarks.
    pub(super) fn subheading(&mut self, parent: NodeId, level: u16, title: &str) -> Stack {
        let node = self
            .tree
            .add(Some(parent), Kind::Heading(level, short(title)));
        let mut stack = Stack::default();
        let piece = self.look.subheading().of(title);
        stack.paragraph(self.fonts, &[piece], (0.0, WIDTH), Some(node));
        stack.gap(3.0);
        stack
    }

    /// Returns a row of a list: a heading in a column of that width, in points, and its text beside it.
    pub(super) fn explained(
        &mut self,
        list: NodeId,
        heading: impl Into<String>,
        text: impl Into<String>,
        column: f32,
    ) -> Stack {
        let item = self.tree.add(Some(list), Kind::ListItem);
        let label = self.tree.add(Some(item), Kind::ListLabel);
        let body = self.tree.add(Some(item), Kind::ListBody);
        let mut row = Stack::default();
        row.paragraph(
            self.fonts,
            &[self.look.strong().of(heading)],
            (0.0, column - 8.0),
            Some(label),
        );
        let mut beside = Stack::default();
        beside.paragraph(
            self.fonts,
            &[self.look.body().of(text)],
            (0.0, WIDTH - column),
            Some(body),
        );
        row.beside(beside, column, 0.0);
        row
    }

    /// Returns paragraphs in running text.
    pub(super) fn paragraphs(&mut self, parent: NodeId, texts: &[String], width: f32) -> Stack {
        let mut stack = Stack::default();
        for text in texts {
            let node = self.tree.add(Some(parent), Kind::Paragraph);
            let mut paragraph = Stack::default();
            let piece = self.look.body().of(unbroken(&cleaned(text)));
            paragraph.paragraph(self.fonts, &[piece], (0.0, width), Some(node));
            stack.then(paragraph, if stack.height > 0.0 { 6.0 } else { 0.0 }, true);
        }
        stack
    }

    /// Returns an item's number as a link to where it stands.
    pub(super) fn number_link(&mut self, parent: NodeId, number: u32) -> Piece {
        let node = self.tree.add(Some(parent), Kind::Link);
        Piece {
            node: Some(node),
            link: Some(item_anchor(number)),
            ..self
                .look
                .strong()
                .coloured(self.look.main)
                .of(number.to_string())
        }
    }

    /// Draws a severity's mark and word; returns how wide they are.
    pub(super) fn severity(
        &self,
        stack: &mut Stack,
        severity: Severity,
        (x, top): (f32, f32),
        node: NodeId,
    ) -> f32 {
        const SIDE: f32 = 7.6;
        let colour = marks::severity_colour(self.look, severity);
        let word = wording::capitalised(wording::severity_word(severity));
        let style = if severity == Severity::Safety {
            self.look.strong()
        } else {
            self.look.label()
        };
        let line = one_line(self.fonts, &[style.sized(8.6).coloured(colour).of(word)]);
        let middle = top + line.leading * 0.53;
        marks::severity(stack, self.look, severity, (x, middle - SIDE / 2.0), SIDE);
        stack.line_at(&line, x + SIDE + 4.0, top, Some(node));
        SIDE + 4.0 + line.width
    }

    /// Returns a panel with `content` on a ground of its own.
    pub(super) fn panel(&self, content: Stack, width: f32, ground: Colour, bar: Colour) -> Stack {
        const ABOVE: f32 = 6.5;
        const BAR: f32 = 2.6;
        let mut panel = Stack::default();
        let height = content.height + 2.0 * ABOVE;
        panel.fill((0.0, 0.0), (width, height), ground);
        panel.fill((0.0, 0.0), (BAR, height), bar);
        panel.beside(content, PANEL_INDENT, ABOVE);
        panel.height = height;
        panel.cuts.clear();
        panel
    }
}

/// How far the content of a panel stands from its left edge, and as far from the right.
pub(super) const PANEL_INDENT: f32 = 11.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_their_units() {
        assert_eq!(
            unbroken("19 mm over 2 m, or so"),
            "19\u{a0}mm over 2\u{a0}m, or so"
        );
        assert_eq!(unbroken("the 3 doors in hall 2"), "the 3 doors in hall 2");
    }

    #[test]
    fn long_titles_are_cut_for_bookmarks() {
        assert_eq!(short("a\nb"), "a b");
        assert_eq!(short(&"x".repeat(500)).chars().count(), 161);
    }
}
