//! Laid-out pages become the bytes of a PDF file.
//!
//! The file claims PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1): the library refuses to write
//! what breaks the rules of either that a program can check.

use super::colour::Colour;
use super::fonts::{Fonts, drawn};
use super::look::Look;
use super::paper::{BOTTOM, Bookmark, PAGE, Page, Paper, Place, SIDE, WIDTH};
use super::stack::{Drawn, Placed, Step};
use super::tags::{NodeId, Tree};
use super::text::{Line, fitted, one_line};
use crate::export::ExportError;
use crate::export::date::Created;
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Identifier, SpanTag};
use krilla::{Document, SerializeSettings};
use std::collections::HashMap;
use std::sync::Arc;

/// What the file tells about itself.
pub(super) struct About {
    pub(super) title: String,
    pub(super) author: Option<String>,
    pub(super) created: Created,
    /// At the left of every page's foot.
    pub(super) foot: String,
    /// At the left of every page's head.
    pub(super) head: String,
}

/// Returns the file.
///
/// # Errors
/// [`ExportError::Pdf`] where the library finds that the file would break a rule of the standards.
pub(super) fn bytes(
    paper: Paper,
    mut tree: Tree,
    fonts: &Fonts<'_>,
    look: &Look,
    about: &About,
) -> Result<Vec<u8>, ExportError> {
    let failed = |reason: String| ExportError::Pdf { reason };
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A2_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|e| failed(format!("{e:?}")))?;
    let mut document = Document::new_with(SerializeSettings {
        configuration,
        ..SerializeSettings::default()
    });
    let count = paper.pages.len();
    let mut pictures = Pictures::default();
    for (index, page) in paper.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(PAGE.0, PAGE.1)
            .ok_or_else(|| failed("the page has no size".into()))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        let mut pen = Pen {
            surface: &mut surface,
            fonts,
            places: &paper.places,
            pictures: &mut pictures,
        };
        let filled = pen.page(page, index, &mut tree).map_err(failed)?;
        if let Some(head) = &page.head {
            pen.head_and_foot(look, about, head, index + 1, count);
        }
        surface.finish();
        for link in filled {
            let Some(place) = paper.places.get(&link.anchor) else {
                continue;
            };
            let target = Target::Destination(destination(place).into());
            let annotation = LinkAnnotation::new(link.area, target);
            let identifier = sheet
                .add_tagged_annotation(Annotation::new_link(annotation, Some(link.says.clone())));
            if let Some(node) = link.node {
                tree.aim(node, identifier);
            }
        }
        sheet.finish();
    }
    document.set_outline(outline(&paper.bookmarks));
    document.set_metadata(metadata(about));
    document.set_tag_tree(tree.finish());
    document.finish().map_err(|e| failed(format!("{e:?}")))
}

/// The first bytes of a PNG file (ISO/IEC 15948, 5.2); pictures are PNG (logos) or JPEG (photos).
pub(super) const PNG_MARK: &[u8] = b"\x89PNG\r\n\x1a\n";

/// A link as it stands on a page.
struct Link {
    anchor: String,
    area: Rect,
    says: String,
    node: Option<NodeId>,
}

/// Pictures already known to the file, by the place of their bytes in memory: an item's photo that
/// is shown twice is written once.
#[derive(Default)]
struct Pictures(HashMap<*const Vec<u8>, Image>);

impl Pictures {
    fn get(&mut self, file: &Arc<Vec<u8>>) -> Result<Image, String> {
        if let Some(image) = self.0.get(&Arc::as_ptr(file)) {
            return Ok(image.clone());
        }
        let image = if file.starts_with(PNG_MARK) {
            Image::from_png(file.clone().into(), false)?
        } else {
            Image::from_jpeg(file.clone().into(), false)?
        };
        self.0.insert(Arc::as_ptr(file), image.clone());
        Ok(image)
    }
}

/// Draws one page.
struct Pen<'p, 's, 'f> {
    surface: &'p mut Surface<'s>,
    fonts: &'p Fonts<'f>,
    places: &'p std::collections::BTreeMap<String, Place>,
    pictures: &'p mut Pictures,
}

impl Pen<'_, '_, '_> {
    /// Draws what is placed on the page; returns its links.
    fn page(&mut self, page: &Page, index: usize, tree: &mut Tree) -> Result<Vec<Link>, String> {
        let mut links = Vec::new();
        let mut open: Option<Option<NodeId>> = None;
        for placed in &page.placed {
            if let Drawn::Link {
                anchor,
                width,
                height,
                says,
            } = &placed.drawn
            {
                links.extend(
                    Rect::from_xywh(placed.x, placed.y, *width, *height).map(|area| Link {
                        anchor: anchor.clone(),
                        area,
                        says: says.clone(),
                        node: placed.node,
                    }),
                );
                continue;
            }
            // What follows each other in one node is one stretch of content.
            if open != Some(placed.node) {
                if open.is_some() {
                    self.surface.end_tagged();
                }
                let identifier = self.begin(placed.node, tree);
                if let Some(node) = placed.node {
                    tree.fill(node, identifier);
                }
                open = Some(placed.node);
            }
            if let (Some(node), Drawn::Picture { width, height, .. }) = (placed.node, &placed.drawn)
                && let Some(rect) = Rect::from_xywh(placed.x, placed.y, *width, *height)
            {
                tree.bound(node, index, rect);
            }
            self.one(placed)?;
        }
        if open.is_some() {
            self.surface.end_tagged();
        }
        Ok(links)
    }

    fn begin(&mut self, node: Option<NodeId>, tree: &Tree) -> Identifier {
        let tag = match node {
            None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            Some(node) if tree.is_figure(node) => ContentTag::Other,
            Some(_) => ContentTag::Span(SpanTag::empty()),
        };
        self.surface.start_tagged(tag)
    }

    fn one(&mut self, placed: &Placed) -> Result<(), String> {
        match &placed.drawn {
            Drawn::Text(run) => {
                self.surface.set_stroke(None);
                self.surface.set_fill(Some(fill(run.style.colour)));
                self.surface.draw_glyphs(
                    Point::from_xy(placed.x, placed.y),
                    &drawn(&run.glyphs),
                    self.fonts.embedded(run.style.cut),
                    &run.text,
                    run.style.size,
                    false,
                );
            }
            Drawn::PageOf { anchor, style } => {
                let Some(place) = self.places.get(anchor) else {
                    return Ok(());
                };
                let number = style.of((place.page + 1).to_string());
                let line = one_line(self.fonts, &[number]);
                self.line(&line, placed.x - line.width, placed.y)?;
            }
            Drawn::Fill { outline, colour } => {
                if let Some(path) = path(outline, placed.x, placed.y) {
                    self.surface.set_stroke(None);
                    self.surface.set_fill(Some(fill(*colour)));
                    self.surface.draw_path(&path);
                }
            }
            Drawn::Stroke {
                outline,
                colour,
                width,
            } => {
                if let Some(path) = path(outline, placed.x, placed.y) {
                    self.surface.set_fill(None);
                    self.surface.set_stroke(Some(Stroke {
                        paint: paint(*colour).into(),
                        width: *width,
                        ..Stroke::default()
                    }));
                    self.surface.draw_path(&path);
                }
            }
            Drawn::Picture {
                file,
                width,
                height,
            } => {
                let image = self.pictures.get(file)?;
                let size = Size::from_wh(*width, *height).ok_or("a picture has no size")?;
                let here = Transform::from_translate(placed.x, placed.y);
                self.surface.push_transform(&here);
                self.surface.draw_image(image, size);
                self.surface.pop();
            }
            Drawn::Link { .. } => {}
        }
        Ok(())
    }

    /// Draws a line whose letters stand at `y`.
    fn line(&mut self, line: &Line, x: f32, y: f32) -> Result<(), String> {
        line.runs.iter().try_for_each(|run| {
            self.one(&Placed {
                x: x + run.x,
                y,
                node: None,
                drawn: Drawn::Text(run.clone()),
            })
        })
    }

    /// Draws what runs along at the top and bottom of the page.
    fn head_and_foot(
        &mut self,
        look: &Look,
        about: &About,
        head: &str,
        number: usize,
        count: usize,
    ) {
        const HEAD: f32 = 44.0;
        const FOOT: f32 = BOTTOM + 34.0;
        const HALF: f32 = WIDTH * 0.62;
        let small = look.running();
        let page = format!("Page {number} of {count}");
        let rows = [
            (ArtifactType::Header, HEAD, &about.head, head.to_string()),
            (ArtifactType::Footer, FOOT, &about.foot, page),
        ];
        for (kind, y, left, right) in rows {
            let tag = ContentTag::Artifact(Artifact::with_kind(kind));
            self.surface.start_tagged(tag);
            let left = fitted(self.fonts, left, small, HALF);
            let right = fitted(self.fonts, &right, small, WIDTH - HALF - 12.0);
            // Text drawn here cannot fail: only pictures can.
            let _ = self.line(&left, SIDE, y);
            let _ = self.line(&right, SIDE + WIDTH - right.width, y);
            let rule = if kind == ArtifactType::Header {
                y + 7.0
            } else {
                y - 14.0
            };
            let _ = self.one(&Placed {
                x: SIDE,
                y: rule,
                node: None,
                drawn: Drawn::Fill {
                    outline: super::stack::rectangle(WIDTH, 0.5),
                    colour: look.line,
                },
            });
            self.surface.end_tagged();
        }
    }
}

fn paint(colour: Colour) -> rgb::Color {
    rgb::Color::new(colour.0, colour.1, colour.2)
}

fn fill(colour: Colour) -> Fill {
    Fill {
        paint: paint(colour).into(),
        ..Fill::default()
    }
}

fn path(outline: &[Step], x: f32, y: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in outline {
        match *step {
            Step::Move(dx, dy) => path.move_to(x + dx, y + dy),
            Step::Line(dx, dy) => path.line_to(x + dx, y + dy),
            Step::Curve([ax, ay, bx, by, cx, cy]) => {
                path.cubic_to(x + ax, y + ay, x + bx, y + by, x + cx, y + cy);
            }
            Step::Close => path.close(),
        }
    }
    path.finish()
}

fn destination(place: &Place) -> XyzDestination {
    // A little above, so that what is looked for does not touch the edge of the screen.
    const ABOVE: f32 = 12.0;
    XyzDestination::new(place.page, Point::from_xy(0.0, (place.y - ABOVE).max(0.0)))
}

fn outline(bookmarks: &[Bookmark]) -> Outline {
    let mut outline = Outline::new();
    let mut rest = bookmarks;
    while let Some((node, after)) = outline_node(rest) {
        outline.push_child(node);
        rest = after;
    }
    outline
}

/// Returns the first bookmark with those below it, and the bookmarks after these.
fn outline_node(bookmarks: &[Bookmark]) -> Option<(OutlineNode, &[Bookmark])> {
    let (first, mut rest) = bookmarks.split_first()?;
    let mut node = OutlineNode::new(first.title.clone(), destination(&first.place));
    while rest.first().is_some_and(|next| next.level > first.level) {
        let (child, after) = outline_node(rest)?;
        node.push_child(child);
        rest = after;
    }
    Some((node, rest))
}

fn metadata(about: &About) -> Metadata {
    let Created { date, time, offset } = &about.created;
    let minutes = offset.seconds() / 60;
    let created = DateTime::new(date.year().unsigned_abs())
        .month(date.month().unsigned_abs())
        .day(date.day().unsigned_abs())
        .hour(time.hour().unsigned_abs())
        .minute(time.minute().unsigned_abs())
        .second(time.second().unsigned_abs())
        .utc_offset_hour((minutes / 60) as i8)
        .utc_offset_minute((minutes % 60).unsigned_abs() as u8);
    let metadata = Metadata::new()
        .title(about.title.clone())
        .language(super::LANGUAGE.to_string())
        .creator(crate::export::TOOL.to_string())
        .producer(crate::export::TOOL.to_string())
        .creation_date(created);
    match &about.author {
        Some(author) => metadata.authors(vec![author.clone()]),
        None => metadata,
    }
}
