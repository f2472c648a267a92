//! A text with its syntax and its score, kept in step under edits at the cost of what they change.

use std::sync::Arc;

use ropey::Rope;
use score::{Intent, Score, Span};
use tree_sitter::{InputEdit, Point, Tree};

use crate::edit::{CannotWrite, OverlappingEdits, TextEdit};
use crate::encoding::{DecodeError, EncodeError, Encoding};
use crate::format::Format;
use crate::musicxml::Package;
use crate::staff_sign::{self, StaffSign};
use crate::syntax::{Source, Syntax};

/// A document. All spans are bytes of its text as UTF-8.
#[derive(Debug, Clone)]
pub struct Document {
    format: Format,
    encoding: Encoding,
    /// The compressed package the text came in.
    package: Option<Package>,
    rope: Rope,
    /// Whether a carriage return has ever stood in the text; without one, the rope's lines are the parser's rows.
    returns: bool,
    /// As of the last reading; copies share it, and who only edits does not touch it.
    syntax: Arc<Syntax>,
    score: Arc<Score>,
    /// The edits made since.
    unread: Vec<InputEdit>,
}

impl Document {
    /// A document from a file's bytes. Fails when they are no text in an encoding that is read.
    ///
    /// MusicXML may come in its compressed package; the document is then the score in it.
    pub fn from_bytes(format: Format, bytes: &[u8]) -> Result<Self, DecodeError> {
        if bytes.len() > format.largest() {
            return Err(DecodeError::too_large(format));
        }
        let (package, (text, encoding)) = match format {
            Format::MusicXml if Package::is_one(bytes) => {
                let (package, score) = Package::open(bytes)?;
                (Some(package), Encoding::decode_xml(&score)?)
            }
            Format::MusicXml => (None, Encoding::decode_xml(bytes)?),
            _ => (None, Encoding::decode(bytes)?),
        };
        let mut document = Self::new(format, encoding, &text);
        document.package = package;
        Ok(document)
    }

    /// A document from text.
    #[must_use]
    pub fn from_text(format: Format, text: &str) -> Self {
        Self::new(format, Encoding::Utf8, text)
    }

    fn new(format: Format, encoding: Encoding, text: &str) -> Self {
        let rope = Rope::from_str(text);
        let (syntax, score) = Syntax::new(format, &rope);
        Self {
            format,
            encoding,
            package: None,
            rope,
            returns: text.contains('\r'),
            syntax: Arc::new(syntax),
            score: Arc::new(score),
            unread: Vec::new(),
        }
    }

    /// Its notation.
    #[must_use]
    pub const fn format(&self) -> Format {
        self.format
    }

    /// Its text, for places by line and character.
    #[must_use]
    pub const fn rope(&self) -> &Rope {
        &self.rope
    }

    /// Its text as one string.
    #[must_use]
    pub fn text(&self) -> String {
        self.rope.to_string()
    }

    /// Its syntax tree, in notations that have one; none between an edit and the next [`reread`](Self::reread).
    #[must_use]
    pub fn tree(&self) -> Option<&Tree> {
        if self.is_behind() {
            return None;
        }
        self.syntax.tree(&self.rope)
    }

    /// Its score as of the last [`reread`](Self::reread).
    #[must_use]
    pub const fn score(&self) -> &Arc<Score> {
        &self.score
    }

    /// Puts `text` in the place of `span`; cheap, and to be followed by [`reread`](Self::reread).
    ///
    /// A span beyond the text is held to its end; one within a character is widened to hold it.
    pub fn edit(&mut self, span: Span, text: &str) {
        let length = self.rope.len_bytes();
        let start = span.start.min(length);
        let first = self.rope.byte_to_char(start);
        let end = span.end.clamp(start, length);
        let mut last = self.rope.byte_to_char(end);
        if self.rope.char_to_byte(last) < end {
            last += 1;
        }
        let (start, old_end) = (self.rope.char_to_byte(first), self.rope.char_to_byte(last));
        self.returns |= text.contains('\r');
        let (by_lines, returns) = (self.syntax.counts_lines(), self.returns);
        let point = |rope: &Rope, byte| match (by_lines, returns) {
            (false, _) => Point::default(),
            (true, false) => {
                let line = rope.byte_to_line(byte);
                Point::new(line, byte - rope.line_to_byte(line))
            }
            (true, true) => point(rope, byte),
        };
        let start_position = point(&self.rope, start);
        let old_end_position = point(&self.rope, old_end);
        self.rope.remove(first..last);
        self.rope.insert(first, text);
        let new_end = start + text.len();
        self.unread.push(InputEdit {
            start_byte: start,
            old_end_byte: old_end,
            new_end_byte: new_end,
            start_position,
            old_end_position,
            new_end_position: point(&self.rope, new_end),
        });
    }

    /// Whether its text has been edited since it was last read.
    #[must_use]
    pub const fn is_behind(&self) -> bool {
        !self.unread.is_empty()
    }

    /// Reads what the edits since the last reading have changed.
    pub fn reread(&mut self) {
        if self.is_behind() {
            let syntax = Arc::make_mut(&mut self.syntax);
            for edit in self.unread.drain(..) {
                syntax.edited(&edit);
            }
            self.score = Arc::new(syntax.reread(&self.rope));
        }
    }

    /// A copy with the edits made; all are counted in the present text, in any order.
    ///
    /// Fails when two of them overlap.
    pub fn with_edits(&self, edits: &[TextEdit]) -> Result<Self, OverlappingEdits> {
        let mut ordered: Vec<&TextEdit> = edits.iter().collect();
        ordered.sort_by_key(|edit| edit.span);
        for pair in ordered.windows(2) {
            if let [first, second] = pair
                && second.span.start < first.span.end
            {
                return Err(OverlappingEdits {
                    first: first.span,
                    second: second.span,
                });
            }
        }
        let mut copy = self.clone();
        // From the end, so that what is still to come keeps its place.
        for edit in ordered.into_iter().rev() {
            copy.edit(edit.span, &edit.text);
        }
        copy.reread();
        Ok(copy)
    }

    /// The bytes as they belong on disk, in the encoding and with the mark they came with.
    ///
    /// A text that came in a package goes back into it. Fails at a character that the encoding does not have.
    pub fn to_bytes(&self) -> Result<Vec<u8>, EncodeError> {
        let bytes = self.encoding.encode(&self.text())?;
        match &self.package {
            Some(package) => package.with(&bytes).ok_or(EncodeError::Package),
            None => Ok(bytes),
        }
    }

    /// Where a byte of the text lies on disk, or in the package's member when it came in one.
    #[must_use]
    pub fn file_offset(&self, byte: usize) -> usize {
        let byte = byte.min(self.rope.len_bytes());
        match self.encoding {
            Encoding::Latin1 => self.rope.byte_to_char(byte),
            Encoding::Utf16 { .. } => {
                let before = self.rope.byte_to_char(byte);
                self.encoding.lead() + 2 * self.rope.char_to_utf16_cu(before)
            }
            Encoding::Utf8 | Encoding::Utf8Marked => byte + self.encoding.lead(),
        }
    }

    /// Every place where a part is called by its id, in the order of the text, each with the id; in Humdrum parts have none.
    #[must_use]
    pub fn part_ids(&self) -> Vec<(Span, String)> {
        let text = self.text();
        let ids = match (self.format, self.tree()) {
            (Format::Abc, Some(tree)) => crate::abc::ids(&text, tree),
            (Format::MusicXml, _) => crate::musicxml::ids(&text),
            (Format::Abc | Format::Kern, _) => Vec::new(),
        };
        let ids = ids.into_iter();
        ids.map(|(span, id)| (span, id.to_owned())).collect()
    }

    /// The clef or metre that is said at a byte, and where it stands.
    #[must_use]
    pub fn staff_sign_at(&self, byte: usize) -> Option<(Span, StaffSign)> {
        let byte = byte.min(self.rope.len_bytes());
        match (self.format, self.tree()) {
            (Format::Abc, Some(tree)) => crate::abc::staff_sign(&self.text(), tree, byte),
            (Format::Kern, _) => staff_sign::in_cell(&self.rope, byte),
            (Format::Abc | Format::MusicXml, _) => staff_sign::in_score(&self.score, byte),
        }
    }

    /// What writes intents in the document's notation; `text` is its text, as [`text`](Self::text) gives it.
    #[must_use]
    pub fn writer<'a>(&'a self, text: &'a str) -> Writer<'a> {
        Writer(self.syntax.source(text, &self.score))
    }

    /// The text edits that make the document say an intent, as [`Writer::write`].
    pub fn write(&self, intent: &Intent) -> Result<Vec<TextEdit>, CannotWrite> {
        self.writer(&self.text()).write(intent)
    }
}

/// Writes intents as edits of one document's text, and keeps what it has found there from one to the next.
#[derive(Debug)]
pub struct Writer<'a>(Source<'a>);

impl Writer<'_> {
    /// The text edits that make the document say an intent.
    ///
    /// Fails when what it names is not there, or the notation cannot say it without touching more.
    pub fn write(&self, intent: &Intent) -> Result<Vec<TextEdit>, CannotWrite> {
        self.0.write(intent)
    }
}

/// Row and column as tree-sitter counts them: rows by line feeds alone, columns in bytes.
///
/// For texts with carriage returns: the rope also ends a line at a lone one, so its own lines will not do.
fn point(rope: &Rope, byte: usize) -> Point {
    let (mut row, mut line_start, mut passed) = (0, 0, 0);
    for chunk in rope.byte_slice(..byte).chunks() {
        let bytes = chunk.as_bytes();
        row += bytes.iter().filter(|&&byte| byte == b'\n').count();
        if let Some(last) = bytes.iter().rposition(|&byte| byte == b'\n') {
            line_start = passed + last + 1;
        }
        passed += bytes.len();
    }
    Point::new(row, byte - line_start)
}
