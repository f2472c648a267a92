//! What each notation keeps of a text so that reading it again costs what was changed.

use ropey::Rope;
use score::{Intent, Lost, Score, Span, Unreadable};
use tree_sitter::{InputEdit, Tree};

use crate::abc;
use crate::edit::{CannotWrite, TextEdit};
use crate::format::Format;
use crate::kern;
use crate::musicxml;

/// The syntax of a document, in its notation.
#[derive(Debug, Clone)]
pub(crate) enum Syntax {
    Abc(abc::Syntax),
    MusicXml(Box<musicxml::Syntax>),
    Kern(kern::Syntax),
    /// Of a text so large that nothing of it is read.
    TooLarge(Format),
}

impl Syntax {
    /// Reads a text for the first time.
    pub(crate) fn new(format: Format, rope: &Rope) -> (Self, Score) {
        if rope.len_bytes() > format.largest() {
            return (Self::TooLarge(format), too_large(format));
        }
        match format {
            Format::Abc => {
                let (syntax, score) = abc::Syntax::new(rope);
                (Self::Abc(syntax), score)
            }
            Format::MusicXml => {
                let (syntax, score) = musicxml::Syntax::new(rope);
                (Self::MusicXml(Box::new(syntax)), score)
            }
            Format::Kern => {
                let (syntax, score) = kern::Syntax::new(rope);
                (Self::Kern(syntax), score)
            }
        }
    }

    /// Takes note of an edit that the rope has already made.
    pub(crate) fn edited(&mut self, edit: &InputEdit) {
        match self {
            Self::Abc(syntax) => syntax.edited(edit),
            Self::MusicXml(syntax) => syntax.edited(edit),
            Self::Kern(syntax) => syntax.edited(edit),
            Self::TooLarge(_) => {}
        }
    }

    /// Reads what the edits have changed.
    pub(crate) fn reread(&mut self, rope: &Rope) -> Score {
        let format = self.format();
        if matches!(self, Self::TooLarge(_)) || rope.len_bytes() > format.largest() {
            let (syntax, score) = Self::new(format, rope);
            *self = syntax;
            return score;
        }
        match self {
            Self::Abc(syntax) => syntax.reread(rope),
            Self::MusicXml(syntax) => syntax.reread(rope),
            Self::Kern(syntax) => syntax.reread(rope),
            Self::TooLarge(format) => too_large(*format),
        }
    }

    const fn format(&self) -> Format {
        match self {
            Self::Abc(_) => Format::Abc,
            Self::MusicXml(_) => Format::MusicXml,
            Self::Kern(_) => Format::Kern,
            Self::TooLarge(format) => *format,
        }
    }

    /// The syntax tree of a text as it is now, in notations that have one.
    pub(crate) fn tree(&self, rope: &Rope) -> Option<&Tree> {
        match self {
            Self::Abc(syntax) => Some(syntax.tree()),
            Self::MusicXml(_) | Self::TooLarge(_) => None,
            Self::Kern(syntax) => Some(syntax.tree(rope)),
        }
    }

    /// Whether an edit's places are wanted by line and column too, as trees count them.
    pub(crate) const fn counts_lines(&self) -> bool {
        !matches!(self, Self::MusicXml(_) | Self::TooLarge(_))
    }

    /// What writes intents into the text.
    pub(crate) fn source<'a>(&'a self, text: &'a str, score: &'a Score) -> Source<'a> {
        match self {
            Self::Abc(syntax) => Source::Abc(syntax.source(text, score)),
            Self::MusicXml(syntax) => Source::MusicXml(syntax.source(text, score)),
            Self::Kern(syntax) => Source::Kern(syntax.source(text, score)),
            Self::TooLarge(_) => Source::TooLarge,
        }
    }
}

/// What the writers of a notation look at, and keep of it from one intent to the next.
#[derive(Debug)]
pub(crate) enum Source<'a> {
    Abc(abc::Source<'a>),
    MusicXml(musicxml::Source<'a>),
    Kern(kern::Source<'a>),
    TooLarge,
}

impl Source<'_> {
    /// The text edits that make the text say an intent. Fails when the notation cannot say it.
    pub(crate) fn write(&self, intent: &Intent) -> Result<Vec<TextEdit>, CannotWrite> {
        match self {
            Self::Abc(source) => abc::write(source, intent),
            Self::MusicXml(source) => musicxml::write(source, intent),
            Self::Kern(source) => kern::write(source, intent),
            Self::TooLarge => Err(CannotWrite {
                why: "the text is too large to be read".to_owned(),
            }),
        }
    }
}

/// What is said of a text of which nothing is read.
fn too_large(format: Format) -> Score {
    Score {
        unreadable: vec![Unreadable {
            span: Span::new(0, 0),
            problem: format!(
                "this text is larger than the {} MiB that a score in its notation can have, and nothing of it is read",
                format.largest() >> 20
            ),
            expected: "the pieces or movements in files of their own".to_owned(),
            lost: Lost::Notes,
            part: None,
        }],
        ..Score::default()
    }
}
