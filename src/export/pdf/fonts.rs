//! The fonts, and text as glyphs of them.

use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, Face, UnicodeBuffer};
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

/// Which cut of the fonts a text is set in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Cut {
    /// Running text.
    Regular,
    /// Words as heard.
    Italic,
    /// Sentences of items, labels of weight.
    Bold,
    /// Titles.
    Title,
}

/// Font files in place of the built-in ones: regular, italic, bold, title.
pub(super) type FontFiles = [Option<Arc<Vec<u8>>>; 4];

/// The built-in fonts, in the order of [`Cut`]: Source Sans 3 and Source Serif 4 (`fonts/`).
const BUILT_IN: [&[u8]; 4] = [
    include_bytes!("../../../fonts/SourceSans3-Regular.otf"),
    include_bytes!("../../../fonts/SourceSans3-It.otf"),
    include_bytes!("../../../fonts/SourceSans3-Semibold.otf"),
    include_bytes!("../../../fonts/SourceSerif4Display-Semibold.otf"),
];

/// Shown for a character that no font has: an empty box, or a question mark where even that is
/// missing.
const MISSING: [char; 2] = ['\u{25a1}', '?'];

/// A glyph and its place in the text; lengths in parts of the font size.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Glyph {
    id: u32,
    /// How far the next glyph is.
    pub(super) advance: f32,
    offset: (f32, f32),
    /// The bytes of the text that it shows.
    pub(super) bytes: (usize, usize),
}

/// A text as glyphs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shaped {
    /// The text that is shown: characters that no font has are replaced.
    pub(super) text: String,
    pub(super) glyphs: Vec<Glyph>,
    /// Width in parts of the font size.
    pub(super) width: f32,
}

/// The fonts, with what was shaped already.
pub(super) struct Fonts<'a> {
    faces: [Face<'a>; 4],
    embedded: [Font; 4],
    shaped: RefCell<HashMap<(Cut, String), Rc<Shaped>>>,
    missing: Cell<usize>,
}

/// Tells whether the bytes are a font that can be used; the reason where they are not.
pub(super) fn check(bytes: &[u8]) -> Result<(), &'static str> {
    const NOT_A_FONT: &str = "not a TrueType or OpenType font";
    let face = Face::from_slice(bytes, 0).ok_or(NOT_A_FONT)?;
    if face.glyph_index('a').is_none() || face.glyph_index(' ').is_none() {
        return Err("a font without Latin letters; expected one with them");
    }
    if !face.is_outline_embedding_allowed() {
        return Err("a font that its maker does not allow to be embedded");
    }
    Font::new(bytes.to_vec().into(), 0).ok_or(NOT_A_FONT)?;
    Ok(())
}

impl<'a> Fonts<'a> {
    /// Returns the built-in fonts with `own` in place of some; `None` where a file is no font.
    pub(super) fn new(own: &'a FontFiles) -> Option<Fonts<'a>> {
        let bytes = |n: usize| own[n].as_ref().map_or(BUILT_IN[n], |file| file.as_slice());
        let face = |n| Face::from_slice(bytes(n), 0);
        let font = |n: usize| match &own[n] {
            Some(file) => Font::new(file.as_ref().clone().into(), 0),
            None => Font::new(BUILT_IN[n].into(), 0),
        };
        Some(Fonts {
            faces: [face(0)?, face(1)?, face(2)?, face(3)?],
            embedded: [font(0)?, font(1)?, font(2)?, font(3)?],
            shaped: RefCell::default(),
            missing: Cell::new(0),
        })
    }

    /// Returns the font as it is embedded.
    pub(super) fn embedded(&self, cut: Cut) -> Font {
        self.embedded[cut as usize].clone()
    }

    /// Returns how many characters were replaced because no font has them.
    pub(super) fn missing(&self) -> usize {
        self.missing.get()
    }

    /// Returns the text as glyphs, without breaking it.
    pub(super) fn shape(&self, cut: Cut, text: &str) -> Rc<Shaped> {
        let key = (cut, text.to_string());
        if let Some(shaped) = self.shaped.borrow().get(&key) {
            return shaped.clone();
        }
        let shaped = Rc::new(self.shape_anew(cut, text));
        self.shaped.borrow_mut().insert(key, shaped.clone());
        shaped
    }

    fn shape_anew(&self, cut: Cut, text: &str) -> Shaped {
        let face = &self.faces[cut as usize];
        let text = self.showable(face, text);
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(&text);
        buffer.guess_segment_properties();
        // Text is set from left to right; scripts that run the other way are beyond this layout.
        buffer.set_direction(Direction::LeftToRight);
        let output = rustybuzz::shape(face, &[], buffer);
        let unit = 1.0 / face.units_per_em() as f32;
        let starts: Vec<usize> = output
            .glyph_infos()
            .iter()
            .map(|info| info.cluster as usize)
            .collect();
        let mut glyphs = Vec::with_capacity(starts.len());
        for (info, position) in output.glyph_infos().iter().zip(output.glyph_positions()) {
            let start = info.cluster as usize;
            let next = starts.iter().copied().filter(|&s| s > start).min();
            glyphs.push(Glyph {
                id: info.glyph_id,
                advance: position.x_advance as f32 * unit,
                offset: (
                    position.x_offset as f32 * unit,
                    position.y_offset as f32 * unit,
                ),
                bytes: (start, next.unwrap_or(text.len())),
            });
        }
        let width = glyphs.iter().map(|glyph| glyph.advance).sum();
        Shaped {
            text,
            glyphs,
            width,
        }
    }

    /// Returns the text with what cannot be shown left out (marks of direction, controls) or
    /// replaced (characters that the font does not have, private ones).
    fn showable(&self, face: &Face<'_>, text: &str) -> String {
        let mut shown = String::with_capacity(text.len());
        for c in text.chars() {
            if is_unseen(c) {
                continue;
            }
            if !is_private(c) && face.glyph_index(c).is_some_and(|glyph| glyph.0 != 0) {
                shown.push(c);
                continue;
            }
            if c.is_whitespace() {
                shown.push(' ');
                continue;
            }
            self.missing.set(self.missing.get() + 1);
            let stand_in = MISSING
                .into_iter()
                .find(|&m| face.glyph_index(m).is_some())
                .unwrap_or(' ');
            shown.push(stand_in);
        }
        shown
    }
}

/// Characters without a shape of their own: controls, soft hyphens, joiners, marks of direction,
/// variation selectors, tags (Unicode 16, `Default_Ignorable_Code_Point`, the assigned ranges).
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}'
            | '\u{17b4}'..='\u{17b5}' | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}'
            | '\u{fffe}'..='\u{ffff}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}')
}

/// Private characters mean something in one font only; PDF/A-2 (ISO 19005-2, 6.2.11.7) wants
/// none without an explanation.
fn is_private(c: char) -> bool {
    matches!(c, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{ffffd}' | '\u{100000}'..='\u{10fffd}')
}

/// Returns glyphs in the form in which the PDF library takes them; `from` is added to their place
/// in the text.
pub(super) fn drawn(glyphs: &[Glyph]) -> Vec<KrillaGlyph> {
    glyphs
        .iter()
        .map(|glyph| {
            KrillaGlyph::new(
                GlyphId::new(glyph.id),
                glyph.advance,
                glyph.offset.0,
                glyph.offset.1,
                0.0,
                glyph.bytes.0..glyph.bytes.1,
                None,
            )
        })
        .collect()
}

impl Glyph {
    /// Returns the glyph `by` bytes later in its text.
    pub(super) fn later(&self, by: usize) -> Glyph {
        let bytes = (self.bytes.0 + by, self.bytes.1 + by);
        Glyph {
            bytes,
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(cut: Cut, text: &str) -> (String, usize) {
        let own = FontFiles::default();
        let fonts = Fonts::new(&own).unwrap();
        let shaped = fonts.shape(cut, text);
        (shaped.text.clone(), fonts.missing())
    }

    #[test]
    fn british_characters_and_fractions_are_in_every_cut() {
        const NEEDED: &str = "£ ½ ⅜ ¼ ⅛ ° ′ ″ ² ³ × – — ‘ ’ “ ” … − ≤ ≥ ± µ € é ŵ ŷ";
        for cut in [Cut::Regular, Cut::Italic, Cut::Bold, Cut::Title] {
            assert_eq!(shown(cut, NEEDED), (NEEDED.to_string(), 0), "{cut:?}");
        }
    }

    #[test]
    fn what_cannot_be_shown_is_replaced_and_counted_or_left_out() {
        for (text, expected, missing) in [
            ("a\u{202e}b\u{200b}c\u{ad}d", "abcd", 0),
            ("tap \u{1f6b0} drips", "tap □ drips", 1),
            ("漏水", "□□", 2),
            ("\u{e000}", "□", 1),
            ("a\u{3000}b", "a b", 0),
        ] {
            assert_eq!(shown(Cut::Regular, text), (expected.to_string(), missing));
        }
    }

    #[test]
    fn a_file_that_is_no_font_says_so() {
        assert_eq!(check(BUILT_IN[0]), Ok(()));
        assert_eq!(check(b"%PDF-1.7"), Err("not a TrueType or OpenType font"));
        assert_eq!(check(&[]), Err("not a TrueType or OpenType font"));
    }
}
