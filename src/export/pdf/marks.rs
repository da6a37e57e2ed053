//! Small drawings: marks of severity, boxes to tick, bars.

use super::colour::Colour;
use super::look::Look;
use super::stack::{Drawn, Stack, Step, rectangle};
use super::tags::NodeId;
use crate::items::Severity;

/// Control points this far along the side make four curves a circle (the usual approximation,
/// 4/3 (√2 − 1)).
const ROUND: f32 = 0.552_284_8;

/// Returns a circle's outline in the square of the given side.
fn circle(side: f32) -> Vec<Step> {
    let r = side / 2.0;
    let k = r * ROUND;
    vec![
        Step::Move(r, 0.0),
        Step::Curve([r + k, 0.0, side, r - k, side, r]),
        Step::Curve([side, r + k, r + k, side, r, side]),
        Step::Curve([r - k, side, 0.0, r + k, 0.0, r]),
        Step::Curve([0.0, r - k, r - k, 0.0, r, 0.0]),
        Step::Close,
    ]
}

/// Returns the left half of a circle.
fn half_circle(side: f32) -> Vec<Step> {
    let r = side / 2.0;
    let k = r * ROUND;
    vec![
        Step::Move(r, side),
        Step::Curve([r - k, side, 0.0, r + k, 0.0, r]),
        Step::Curve([0.0, r - k, r - k, 0.0, r, 0.0]),
        Step::Close,
    ]
}

/// Returns a severity's colour. It never tells the severity alone: form and word do.
pub(super) fn severity_colour(look: &Look, severity: Severity) -> Colour {
    match severity {
        Severity::Safety => look.alert,
        Severity::Repair => look.main,
        _ => look.quiet,
    }
}

/// Draws a severity's mark, `side` points wide: a triangle, a square, a half disc, a ring, and a
/// ring with a dot.
pub(super) fn severity(
    stack: &mut Stack,
    look: &Look,
    severity: Severity,
    at: (f32, f32),
    side: f32,
) {
    let colour = severity_colour(look, severity);
    let (x, y) = at;
    let mut fill = |dx: f32, dy: f32, outline| {
        stack.draw(x + dx, y + dy, None, Drawn::Fill { outline, colour });
    };
    match severity {
        Severity::Safety => fill(
            0.0,
            0.0,
            vec![
                Step::Move(side / 2.0, 0.0),
                Step::Line(side, side),
                Step::Line(0.0, side),
                Step::Close,
            ],
        ),
        Severity::Repair => fill(
            side * 0.06,
            side * 0.06,
            rectangle(side * 0.88, side * 0.88),
        ),
        Severity::Finish => fill(0.0, 0.0, half_circle(side)),
        Severity::Clean => {}
        Severity::Watch => fill(side * 0.34, side * 0.34, circle(side * 0.32)),
    }
    if matches!(
        severity,
        Severity::Finish | Severity::Clean | Severity::Watch
    ) {
        let width = side * 0.11;
        let outline = circle(side - width);
        let ring = Drawn::Stroke {
            outline,
            colour,
            width,
        };
        stack.draw(x + width / 2.0, y + width / 2.0, None, ring);
    }
}

/// Draws a box to tick.
pub(super) fn tick_box(stack: &mut Stack, look: &Look, at: (f32, f32), side: f32, node: NodeId) {
    let outline = rectangle(side, side);
    let frame = Drawn::Stroke {
        outline,
        colour: look.text,
        width: 0.9,
    };
    stack.draw(at.0, at.1, Some(node), frame);
}

/// Draws a frame.
pub(super) fn frame(
    stack: &mut Stack,
    at: (f32, f32),
    size: (f32, f32),
    colour: Colour,
    width: f32,
) {
    let outline = rectangle(size.0, size.1);
    stack.draw(
        at.0,
        at.1,
        None,
        Drawn::Stroke {
            outline,
            colour,
            width,
        },
    );
}
