//! The photos of an item.

use super::item::NUMBER;
use crate::export::pdf::make::{Make, short};
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::photos::Picture;
use crate::export::pdf::stack::{Drawn, Stack};
use crate::export::pdf::tags::{Kind, NodeId};
use crate::export::pdf::text::fitted;
use crate::export::wording::{one_line, place_heading, short_name};
use crate::items::Item;

/// Highest photo in a row of several.
const PHOTO_ROW: f32 = 118.0;

/// Returns a photo as large as the box allows, with its file's name, and how wide both are.
pub(super) fn photo(
    make: &mut Make<'_>,
    section: NodeId,
    item: &Item,
    position: usize,
    (name, picture): &(String, Picture),
    within: (f32, f32),
) -> (Stack, f32) {
    // Dots of an inch: below this a photo is enlarged until single dots show.
    const LEAST_DOTS: f32 = 90.0;
    let (width, height) = (picture.size.0 as f32, picture.size.1 as f32);
    let largest = 72.0 / LEAST_DOTS;
    let scale = (within.0 / width).min(within.1 / height).min(largest);
    let (width, height) = (width * scale, height * scale);
    let of = match item.photos.len() {
        1 => String::new(),
        count => format!(" {position} of {count}"),
    };
    let says = format!(
        "Photo{of} for item {}, {}: {}",
        item.number,
        place_heading(&item.place),
        short_name(item)
    );
    let node = make.tree.add(Some(section), Kind::Figure(short(&says)));
    let mut stack = Stack::default();
    let drawn = Drawn::Picture {
        file: picture.file.clone(),
        width,
        height,
    };
    stack.draw(0.0, 0.0, Some(node), drawn);
    stack.gap(height + 2.0);
    let caption = make.tree.add(Some(section), Kind::Caption);
    // The item's number again: a row of photos may come to stand on the next page.
    let words = format!("Item {}: {}", item.number, one_line(name));
    let style = make.look.small().sized(7.2);
    let line = fitted(make.fonts, &words, style, width.max(NARROWEST_CAPTION));
    stack.line(&line, 0.0, Some(caption));
    (stack, width.max(NARROWEST_CAPTION))
}

/// Room for the name of a photo's file under a very narrow photo, in points.
const NARROWEST_CAPTION: f32 = 60.0;

/// Several photos, three beside each other.
pub(super) fn rows(
    make: &mut Make<'_>,
    section: NodeId,
    item: &Item,
    stack: &mut Stack,
    shown: &[(String, Picture)],
) {
    const ACROSS: usize = 3;
    const GAP: f32 = 10.0;
    let width = (WIDTH - NUMBER - GAP * (ACROSS - 1) as f32) / ACROSS as f32;
    for (row, photos) in shown.chunks(ACROSS).enumerate() {
        let mut together = Stack::default();
        let mut x = NUMBER;
        for (n, shown) in photos.iter().enumerate() {
            let position = row * ACROSS + n + 1;
            let (photo, wide) = photo(make, section, item, position, shown, (width, PHOTO_ROW));
            together.beside(photo, x, 0.0);
            x += wide + GAP;
        }
        stack.then(together, 8.0, true);
    }
}
