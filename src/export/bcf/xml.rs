//! Small XML files: elements with attributes, and text in them.

use super::super::wording::one_line;
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use std::io;

/// An XML file in the making.
pub(super) struct Xml(Writer<Vec<u8>>);

impl Xml {
    pub(super) fn new() -> Xml {
        let mut writer = Writer::new_with_indent(Vec::new(), b' ', 2);
        // A vector takes everything.
        let _ = writer.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
        Xml(writer)
    }

    /// Adds an element with others in it.
    pub(super) fn parent(
        &mut self,
        name: &str,
        attributes: &[(&str, &str)],
        inside: impl FnOnce(&mut Xml) -> io::Result<()>,
    ) -> io::Result<()> {
        self.0.write_event(Event::Start(start(name, attributes)))?;
        inside(self)?;
        self.0.write_event(Event::End(BytesEnd::new(name)))
    }

    /// Adds an element with text in it.
    pub(super) fn text(&mut self, name: &str, text: &str) -> io::Result<()> {
        let text = lines(text);
        self.0
            .create_element(name)
            .write_text_content(BytesText::new(&text))
            .map(|_| ())
    }

    /// Adds an element with nothing in it.
    pub(super) fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) -> io::Result<()> {
        self.0.write_event(Event::Empty(start(name, attributes)))
    }

    pub(super) fn finish(self) -> Vec<u8> {
        let mut bytes = self.0.into_inner();
        bytes.push(b'\n');
        bytes
    }
}

fn start<'a>(name: &'a str, attributes: &[(&str, &str)]) -> BytesStart<'a> {
    let mut start = BytesStart::new(name);
    for (name, value) in attributes {
        start.push_attribute((*name, line(value).as_str()));
    }
    start
}

/// Returns the text line by line, without what XML cannot hold.
fn lines(text: &str) -> String {
    text.split('\n').map(line).collect::<Vec<_>>().join("\n")
}

/// Returns one line without the characters that XML 1.0 has no way to hold (section 2.2: control
/// characters, which `one_line` takes out, and two non-characters).
fn line(text: &str) -> String {
    one_line(&text.replace(['\u{fffe}', '\u{ffff}'], ""))
}
