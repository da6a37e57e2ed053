//! Things to draw, stacked from top to bottom, before it is known on which page they come.

use super::colour::Colour;
use super::fonts::Fonts;
use super::tags::NodeId;
use super::text::{self, Line, Piece, Run, Style};
use std::sync::Arc;

/// One step of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Step {
    Move(f32, f32),
    Line(f32, f32),
    /// Two control points and the end.
    Curve([f32; 6]),
    Close,
}

/// Something to draw; lengths in points, y downwards.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Drawn {
    /// A run of text whose letters stand at `y`.
    Text(Run),
    /// A number of a page, known once all is laid out; it ends at the place given.
    PageOf { anchor: String, style: Style },
    /// A filled outline.
    Fill { outline: Vec<Step>, colour: Colour },
    /// A drawn outline.
    Stroke {
        outline: Vec<Step>,
        colour: Colour,
        width: f32,
    },
    /// A picture.
    Picture {
        file: Arc<Vec<u8>>,
        width: f32,
        height: f32,
    },
    /// A place that leads somewhere when pressed.
    Link {
        anchor: String,
        width: f32,
        height: f32,
        /// What the link leads to, in words.
        says: String,
    },
}

/// Something to draw at a place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) x: f32,
    pub(super) y: f32,
    /// The tag it belongs to; `None` for decoration.
    pub(super) node: Option<NodeId>,
    pub(super) drawn: Drawn,
}

/// A name for a place in the document, and its entry in the bookmarks.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Anchor {
    pub(super) y: f32,
    pub(super) name: String,
    /// Level (from 1) and title of the bookmark, if it has one.
    pub(super) bookmark: Option<(u16, String)>,
}

/// Things stacked from top to bottom.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Stack {
    pub(super) placed: Vec<Placed>,
    pub(super) anchors: Vec<Anchor>,
    pub(super) height: f32,
    /// Where it may be parted, from top to bottom.
    pub(super) cuts: Vec<f32>,
}

impl Stack {
    /// Leaves room.
    pub(super) fn gap(&mut self, height: f32) {
        self.height += height;
    }

    /// Allows a page to end here.
    pub(super) fn cut(&mut self) {
        self.cuts.push(self.height);
    }

    /// Names the place reached.
    pub(super) fn anchor(&mut self, name: impl Into<String>, bookmark: Option<(u16, String)>) {
        self.anchors.push(Anchor {
            y: self.height,
            name: name.into(),
            bookmark,
        });
    }

    /// Draws at a place given from the top left corner of the stack.
    pub(super) fn draw(&mut self, x: f32, y: f32, node: Option<NodeId>, drawn: Drawn) {
        self.placed.push(Placed { x, y, node, drawn });
    }

    /// Sets a paragraph below what is there. It may be parted, though not after its first line or
    /// before its last: a line alone on a page is easily missed.
    pub(super) fn paragraph(
        &mut self,
        fonts: &Fonts<'_>,
        pieces: &[Piece],
        (x, width): (f32, f32),
        node: Option<NodeId>,
    ) {
        let lines = text::lines(fonts, pieces, width);
        let count = lines.len();
        for (n, line) in lines.iter().enumerate() {
            if n >= 2 && count - n >= 2 {
                self.cut();
            }
            self.line(line, x, node);
        }
    }

    /// Sets a line below what is there.
    pub(super) fn line(&mut self, line: &Line, x: f32, node: Option<NodeId>) {
        self.line_at(line, x, self.height, node);
        self.height += line.leading;
    }

    /// Sets a line whose top is at `top`.
    pub(super) fn line_at(&mut self, line: &Line, x: f32, top: f32, node: Option<NodeId>) {
        for run in &line.runs {
            let node = run.node.or(node);
            if let Some(anchor) = &run.link {
                let link = Drawn::Link {
                    anchor: anchor.clone(),
                    width: run.width,
                    height: line.leading,
                    says: run.text.trim().to_string(),
                };
                self.draw(x + run.x, top, node, link);
            }
            self.draw(
                x + run.x,
                top + line.baseline(),
                node,
                Drawn::Text(run.clone()),
            );
        }
    }

    /// Fills a rectangle.
    pub(super) fn fill(&mut self, (x, y): (f32, f32), (width, height): (f32, f32), colour: Colour) {
        let outline = rectangle(width, height);
        self.draw(x, y, None, Drawn::Fill { outline, colour });
    }

    /// Draws a rule across, `width` long, at the height reached.
    pub(super) fn rule(&mut self, x: f32, width: f32, thickness: f32, colour: Colour) {
        let y = self.height;
        self.fill((x, y), (width, thickness), colour);
    }

    /// Puts another stack below, `gap` points further down. It may be parted there if `may_cut`.
    pub(super) fn then(&mut self, other: Stack, gap: f32, may_cut: bool) {
        self.height += gap;
        if may_cut && self.height > gap {
            // After the gap, which is not wanted at the top of a page.
            self.cut();
        }
        let top = self.height;
        self.cuts.extend(other.cuts.iter().map(|cut| top + cut));
        self.beside(
            Stack {
                cuts: vec![],
                ..other
            },
            0.0,
            top,
        );
    }

    /// Puts another stack at a place; together they are not parted there.
    pub(super) fn beside(&mut self, other: Stack, x: f32, y: f32) {
        let moved = other.placed.into_iter().map(|placed| Placed {
            x: placed.x + x,
            y: placed.y + y,
            ..placed
        });
        self.placed.extend(moved);
        let anchors = other.anchors.into_iter().map(|anchor| Anchor {
            y: anchor.y + y,
            ..anchor
        });
        self.anchors.extend(anchors);
        self.height = self.height.max(y + other.height);
    }

    /// Parts the stack at a height and returns both halves.
    pub(super) fn part(self, at: f32) -> (Stack, Stack) {
        let (mut above, mut below) = (Stack::default(), Stack::default());
        for mut placed in self.placed {
            if placed.y < at {
                above.placed.push(placed);
            } else {
                placed.y -= at;
                below.placed.push(placed);
            }
        }
        for mut anchor in self.anchors {
            if anchor.y < at {
                above.anchors.push(anchor);
            } else {
                anchor.y -= at;
                below.anchors.push(anchor);
            }
        }
        above.cuts = self.cuts.iter().copied().filter(|&c| c < at).collect();
        below.cuts = self
            .cuts
            .iter()
            .filter(|&&c| c > at)
            .map(|c| c - at)
            .collect();
        above.height = at;
        below.height = self.height - at;
        (above, below)
    }
}

/// Returns a rectangle's outline from its top left corner.
pub(super) fn rectangle(width: f32, height: f32) -> Vec<Step> {
    vec![
        Step::Move(0.0, 0.0),
        Step::Line(width, 0.0),
        Step::Line(width, height),
        Step::Line(0.0, height),
        Step::Close,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(height: f32) -> Stack {
        let mut stack = Stack::default();
        stack.fill((0.0, 0.0), (10.0, height), Colour::WHITE);
        stack.gap(height);
        stack
    }

    #[test]
    fn stacks_are_parted_where_that_is_allowed() {
        let mut stack = block(10.0);
        stack.then(block(20.0), 5.0, true);
        stack.then(block(30.0), 5.0, false);
        assert_eq!((stack.height, stack.cuts.clone()), (70.0, vec![15.0]));
        let (above, below) = stack.part(15.0);
        assert_eq!((above.height, above.placed.len()), (15.0, 1));
        assert_eq!((below.height, below.placed.len()), (55.0, 2));
        assert_eq!(below.placed[0].y, 0.0);
    }
}
