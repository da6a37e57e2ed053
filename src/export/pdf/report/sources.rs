//! What the list rests on: the recordings, and what is not shown here.

use crate::export::pdf::make::Make;
use crate::export::pdf::paper::WIDTH;
use crate::export::pdf::stack::Stack;
use crate::export::pdf::tags::Kind;
use crate::export::pdf::text::{fitted, one_line as line_of};
use crate::export::wording::{counted, length, one_line};

pub(super) fn lay_out(make: &mut Make<'_>) {
    let title = "What this list rests on";
    make.paper.head(title);
    let section = make.tree.add(None, Kind::Section);
    let mut stack = make.heading(Some(section), 1, title, "sources", "");
    let notes = notes(make);
    let notes = make.paragraphs(section, &notes, WIDTH);
    stack.then(notes, 0.0, false);
    if !make.document.recordings.is_empty() {
        let table = recordings(make, section);
        stack.then(table, 10.0, true);
    }
    make.paper.gap(30.0);
    make.paper.place(stack);
}

/// What a reader should know about what is and is not here.
fn notes(make: &Make<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    notes.push(match make.document.recordings.len() {
        0 => "No recording belongs to this list.".to_string(),
        _ => "The list was made from these recordings. Each is known by its SHA-256 checksum, which any change \
              to the file would change."
            .to_string(),
    });
    if !make.document.unplaced.is_empty() {
        let remarks = counted(make.document.unplaced.len(), "remark", "remarks");
        notes.push(format!(
            "{remarks} made no item, such as what was found in order. They are kept with the job and shown in its \
             web page."
        ));
    }
    let wanted = make.items.iter().flat_map(|item| &item.photos);
    let not_shown = wanted
        .filter(|name| !make.photos.contains_key(*name))
        .count();
    if not_shown > 0 {
        let photos = counted(not_shown, "photo is", "photos are");
        notes.push(format!(
            "{photos} named and not shown: only whole JPEG, PNG, GIF and WebP pictures can be printed."
        ));
    }
    if make.fonts.missing() > 0 {
        let characters = counted(make.fonts.missing(), "character", "characters");
        notes.push(format!(
            "{characters} that the fonts of this document do not have were replaced by a box."
        ));
    }
    notes
}

fn recordings(make: &mut Make<'_>, section: super::super::tags::NodeId) -> Stack {
    const LENGTH: f32 = 300.0;
    const SPEECH: f32 = 395.0;
    let look = make.look;
    let (label, body_style) = (look.label().sized(8.0), look.body().sized(9.2));
    let table = make
        .tree
        .add(Some(section), Kind::Table("Recordings".into()));
    let head = make.tree.add(Some(table), Kind::TableHead);
    let row = make.tree.add(Some(head), Kind::Row);
    let mut stack = Stack::default();
    for (x, word) in [
        (0.0, "File "),
        (LENGTH, "Length "),
        (SPEECH, "Of which speech "),
    ] {
        let cell = make.tree.add(Some(row), Kind::ColumnHead);
        stack.line_at(&line_of(make.fonts, &[label.of(word)]), x, 0.0, Some(cell));
    }
    stack.gap(13.0);
    stack.rule(0.0, WIDTH, 0.7, look.main);
    stack.gap(3.0);
    let body = make.tree.add(Some(table), Kind::TableBody);
    let document = make.document;
    for (n, recording) in document.recordings.iter().enumerate() {
        let row = make.tree.add(Some(body), Kind::Row);
        let [file, whole, speech] = [(); 3].map(|()| make.tree.add(Some(row), Kind::Cell));
        let known = |seconds: f64| match seconds {
            s if s > 0.0 => length(s),
            _ => "not known".to_string(),
        };
        let mut entry = Stack::default();
        let name = fitted(
            make.fonts,
            &one_line(&recording.file),
            body_style,
            LENGTH - 10.0,
        );
        entry.line(&name, 0.0, Some(file));
        let digest = format!("SHA-256 {}", recording.sha256);
        let digest = fitted(make.fonts, &digest, look.small().sized(6.6), LENGTH - 10.0);
        entry.line(&digest, 0.0, Some(file));
        for (x, node, seconds) in [
            (LENGTH, whole, recording.duration_s),
            (SPEECH, speech, recording.speech_s),
        ] {
            let line = line_of(make.fonts, &[body_style.of(known(seconds))]);
            entry.line_at(&line, x, 0.0, Some(node));
        }
        entry.gap(2.0);
        entry.rule(0.0, WIDTH, 0.35, look.line);
        entry.gap(2.0);
        stack.then(entry, 0.0, n > 0);
    }
    stack
}
