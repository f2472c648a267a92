//! Writing elements, numbers short and words escaped.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesEnd, BytesStart, BytesText, Event};

/// An element that is being put together.
pub(crate) struct Tag(BytesStart<'static>);

impl Tag {
    pub(crate) fn new(name: &'static str) -> Self {
        Self(BytesStart::new(name))
    }

    /// An attribute in words.
    pub(crate) fn word(mut self, name: &str, value: &str) -> Self {
        self.0.push_attribute((name, value));
        self
    }

    /// An attribute in numbers.
    pub(crate) fn number(self, name: &str, value: f64) -> Self {
        let value = short(value);
        self.word(name, &value)
    }

    /// Several attributes in numbers.
    pub(crate) fn numbers<const N: usize>(self, all: [(&str, f64); N]) -> Self {
        all.into_iter()
            .fold(self, |tag, (name, value)| tag.number(name, value))
    }
}

/// A number to a tenth, without a zero behind the point.
pub(crate) fn short(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    // No minus before a zero.
    format!("{}", tenths + 0.0)
}

/// The most bytes that a drawing may have; those of the longest real parts have a sixteenth of it. Bellhand's own choice.
pub(crate) const LARGEST: usize = 16 << 20;

/// A drawing as it grows.
pub(crate) struct Sheet(Writer<Paper>);

/// Bytes that cannot grow without end.
struct Paper(Vec<u8>);

impl io::Write for Paper {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.0.len() + bytes.len() > LARGEST {
            return Err(too_long());
        }
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Why a part is not drawn.
pub(crate) fn too_long() -> io::Error {
    io::Error::other(
        "the part is longer than a picture can be; draw a shorter one, with fewer notes",
    )
}

impl Sheet {
    pub(crate) fn new() -> Self {
        Self(Writer::new(Paper(Vec::new())))
    }

    /// An element with nothing in it.
    pub(crate) fn empty(&mut self, tag: Tag) -> io::Result<()> {
        self.0.write_event(Event::Empty(tag.0))
    }

    /// An element with only words in it.
    pub(crate) fn text(&mut self, tag: Tag, words: &str) -> io::Result<()> {
        let end = tag.0.to_end().into_owned();
        self.0.write_event(Event::Start(tag.0))?;
        self.0.write_event(Event::Text(BytesText::new(words)))?;
        self.0.write_event(Event::End(end))
    }

    /// The beginning of an element; [`Sheet::close`] ends it.
    pub(crate) fn open(&mut self, tag: Tag) -> io::Result<()> {
        self.0.write_event(Event::Start(tag.0))
    }

    /// The end of an element.
    pub(crate) fn close(&mut self, name: &'static str) -> io::Result<()> {
        self.0.write_event(Event::End(BytesEnd::new(name)))
    }

    /// All that was written.
    pub(crate) fn finish(self) -> String {
        // Only text is ever written.
        String::from_utf8(self.0.into_inner().0).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_words_escaped() {
        assert_eq!(short(3.0), "3");
        assert_eq!(short(-0.01), "0");
        assert_eq!(short(12.349), "12.3");
        let mut sheet = Sheet::new();
        let tag = Tag::new("text").word("class", "a\"b<").number("x", 1.25);
        sheet.text(tag, "<&").unwrap();
        let written = sheet.finish();
        assert!(
            written.starts_with("<text class=\"a&quot;b&lt;\" x=\"1.3\">"),
            "{written}"
        );
        assert!(written.ends_with(">&lt;&amp;</text>"), "{written}");
    }
}
