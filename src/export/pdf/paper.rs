//! Pages: where stacks come to stand, with what runs along at the head of every page.

use super::stack::{Placed, Stack};
use std::collections::BTreeMap;

/// A4 (ISO 216) in points: 210 by 297 mm.
pub(super) const PAGE: (f32, f32) = (595.276, 841.89);
/// Left and right margins; 20 mm leaves room for a file's holes.
pub(super) const SIDE: f32 = 56.7;
/// Width between the margins.
pub(super) const WIDTH: f32 = PAGE.0 - 2.0 * SIDE;
/// Where the text of a page begins, below its head.
pub(super) const TOP: f32 = 76.0;
/// Where the text of a page ends, above its foot.
pub(super) const BOTTOM: f32 = PAGE.1 - 68.0;

/// How much of a page may stay empty so that an item stays whole. Four items with photos fill a page,
/// so that an item beside others never leaves more than a quarter.
const MOST_EMPTY: f32 = 0.35;

/// A page while it is laid out.
#[derive(Debug, Clone, Default)]
pub(super) struct Page {
    pub(super) placed: Vec<Placed>,
    /// What the head of the page tells, such as the place; `None` for a page without head and foot.
    pub(super) head: Option<String>,
}

/// A named place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Place {
    /// Index of the page, from 0.
    pub(super) page: usize,
    pub(super) y: f32,
}

/// A step of the bookmarks.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bookmark {
    pub(super) level: u16,
    pub(super) title: String,
    pub(super) place: Place,
}

/// The pages laid out so far.
#[derive(Debug, Default)]
pub(super) struct Paper {
    pub(super) pages: Vec<Page>,
    pub(super) places: BTreeMap<String, Place>,
    pub(super) bookmarks: Vec<Bookmark>,
    /// What the heads of the pages to come tell.
    head: Option<String>,
    /// Repeated at the top of every page to come, as the head of a table is.
    repeated: Option<Stack>,
    /// Height reached on the last page.
    y: f32,
}

impl Paper {
    /// Says what the heads of pages tell from the next page on.
    pub(super) fn head(&mut self, head: impl Into<String>) {
        self.head = Some(head.into());
    }

    /// Says what is repeated at the top of every page from the next one on. It must not be tagged:
    /// for a reader's ear it stands in the document once.
    pub(super) fn repeat(&mut self, stack: Option<Stack>) {
        self.repeated = stack;
    }

    /// Begins a new page.
    pub(super) fn new_page(&mut self) {
        self.pages.push(Page {
            placed: Vec::new(),
            head: self.head.clone(),
        });
        self.y = TOP;
        if let Some(repeated) = self.repeated.clone() {
            self.put(repeated);
        }
    }

    /// Begins a page without head and foot, whose first stack begins at `y`.
    pub(super) fn bare_page(&mut self, y: f32) {
        self.pages.push(Page::default());
        self.y = y;
    }

    /// Leaves room, unless a page has just begun.
    pub(super) fn gap(&mut self, height: f32) {
        if self.y > TOP {
            self.y += height;
        }
    }

    /// Returns the height that is left on the last page.
    pub(super) fn left(&self) -> f32 {
        if self.pages.is_empty() {
            0.0
        } else {
            BOTTOM - self.y
        }
    }

    /// Draws on the last page at a place of its own, without moving on.
    pub(super) fn draw_at(&mut self, stack: Stack, x: f32, y: f32) {
        let (before, height) = (self.y, y);
        self.y = height;
        self.put_at(stack, x);
        self.y = before;
    }

    /// Puts a stack on the last page if it fits there, else on a new one. It is parted where it is
    /// higher than a page, or where most of the last page would stay empty.
    pub(super) fn place(&mut self, stack: Stack) {
        self.put_in(stack, true);
    }

    /// Puts a stack that may be parted wherever it has a cut.
    pub(super) fn flow(&mut self, stack: Stack) {
        self.put_in(stack, false);
    }

    fn put_in(&mut self, mut stack: Stack, together: bool) {
        loop {
            let left = self.left();
            if stack.height <= left {
                return self.put(stack);
            }
            let fresh = self.full_height();
            let cut = stack.cuts.iter().copied().rfind(|&cut| cut <= left);
            let whole_fits = stack.height <= fresh && left <= fresh * MOST_EMPTY;
            match cut {
                Some(cut) if !(together && whole_fits) => {
                    let (above, below) = stack.part(cut);
                    self.put(above);
                    self.new_page();
                    stack = below;
                }
                // Nothing fits: the page is as empty as it gets, so more room will not come.
                None if left >= fresh => return self.put(stack),
                _ => self.new_page(),
            }
        }
    }

    /// Returns the height that a new page has.
    fn full_height(&self) -> f32 {
        BOTTOM - TOP - self.repeated.as_ref().map_or(0.0, |stack| stack.height)
    }

    fn put(&mut self, stack: Stack) {
        let height = stack.height;
        self.put_at(stack, SIDE);
        self.y += height;
    }

    fn put_at(&mut self, stack: Stack, x: f32) {
        let page = self.pages.len().saturating_sub(1);
        let y = self.y;
        for anchor in stack.anchors {
            let place = Place {
                page,
                y: y + anchor.y,
            };
            if let Some((level, title)) = anchor.bookmark {
                self.bookmarks.push(Bookmark {
                    level,
                    title,
                    place: place.clone(),
                });
            }
            self.places.insert(anchor.name, place);
        }
        if let Some(last) = self.pages.last_mut() {
            last.placed
                .extend(stack.placed.into_iter().map(|placed| Placed {
                    x: placed.x + x,
                    y: placed.y + y,
                    ..placed
                }));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::colour::Colour;
    use super::*;

    fn block(height: f32) -> Stack {
        let mut stack = Stack::default();
        stack.fill((0.0, 0.0), (10.0, 1.0), Colour::WHITE);
        stack.gap(height);
        stack
    }

    fn pages(paper: &Paper) -> Vec<usize> {
        paper.pages.iter().map(|page| page.placed.len()).collect()
    }

    #[test]
    fn what_fits_stays_together() {
        let mut paper = Paper::default();
        let mut item = block(300.0);
        item.then(block(300.0), 0.0, true);
        paper.place(item.clone());
        paper.place(item);
        assert_eq!(
            pages(&paper),
            [2, 2],
            "the second item begins on a new page"
        );
    }

    #[test]
    fn what_would_leave_most_of_a_page_empty_is_parted() {
        let mut paper = Paper::default();
        paper.place(block(350.0));
        let mut item = block(200.0);
        item.then(block(300.0), 0.0, true);
        paper.place(item);
        assert_eq!(pages(&paper), [2, 1]);
    }

    #[test]
    fn what_is_higher_than_a_page_is_parted() {
        let mut paper = Paper::default();
        let mut long = block(300.0);
        for _ in 0..5 {
            long.then(block(300.0), 0.0, true);
        }
        paper.place(long);
        assert_eq!(pages(&paper), [2, 2, 2]);
    }

    #[test]
    fn what_may_flow_fills_the_page() {
        let mut paper = Paper::default();
        paper.place(block(400.0));
        let mut rows = block(200.0);
        rows.then(block(200.0), 0.0, true);
        paper.flow(rows);
        assert_eq!(pages(&paper), [2, 1]);
    }

    #[test]
    fn a_repeated_head_stands_on_every_new_page() {
        let mut paper = Paper::default();
        paper.repeat(Some(block(20.0)));
        for _ in 0..3 {
            paper.place(block(500.0));
        }
        assert_eq!(pages(&paper), [2, 2, 2]);
    }

    #[test]
    fn what_can_never_fit_is_still_put_somewhere() {
        let mut paper = Paper::default();
        paper.place(block(5000.0));
        assert_eq!(pages(&paper), [1]);
    }
}
