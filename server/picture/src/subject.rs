//! What is drawn, how, and what comes of it.

use reading::{HornPart, PieceReading, PlayedNote};
use rules::Finding;
use score::Span;
use theory::Pitch;

/// A horn part with what is said about it.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// Where its piece begins, in bytes from the start of the document.
    pub base: usize,
    /// The piece.
    pub reading: &'a PieceReading,
    /// The part.
    pub horn: &'a HornPart,
    /// What is said about the document; those about this part are drawn. Spans count from the document's start.
    pub findings: &'a [Finding],
}

/// Which pitch a note is drawn at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pitched {
    /// As it stands on the player's page.
    #[default]
    Written,
    /// As it sounds.
    Sounding,
}

impl Pitched {
    /// Both, as they are chosen by word.
    pub const ALL: [Self; 2] = [Self::Written, Self::Sounding];

    /// The word that chooses it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Written => "written",
            Self::Sounding => "sounding",
        }
    }

    /// The pitch of a note that is drawn.
    pub(crate) const fn of(self, note: &PlayedNote) -> Pitch {
        match self {
            Self::Written => note.written.0,
            Self::Sounding => note.sounding.0,
        }
    }
}

/// How it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options<'a> {
    /// What the names of its elements begin with, where several drawings stand on one page.
    pub names: &'a str,
    /// Which pitch.
    pub pitch: Pitched,
    /// How wide, in the picture's own units, of which a staff space is 8.
    pub width: f64,
    /// Whether what the findings say is written below each line; where the page says it elsewhere, it is not.
    pub sentences: bool,
    /// Whether the part is drawn alone, as its player needs it on the stand: without registers, lanes and findings.
    pub plain: bool,
    /// Whether breath and lip are drawn below each line.
    pub effort: bool,
    /// Whether each note has its fingering and partial below it.
    pub fingering: bool,
    /// Whether each note has the time below it when it is played first.
    pub seconds: bool,
}

impl Default for Options<'_> {
    fn default() -> Self {
        Self {
            names: "",
            pitch: Pitched::default(),
            width: 960.0,
            sentences: true,
            plain: false,
            effort: true,
            fingering: false,
            seconds: false,
        }
    }
}

/// A drawing, and where in the text its things stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// What the part is called.
    pub part: String,
    /// The drawing: one `svg` element (SVG 1.1), which draws on nothing from outside and holds no script.
    pub svg: String,
    /// Its notes and findings, in the order of the text.
    pub places: Vec<Place>,
}

/// One thing that is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The `id` of its element.
    pub id: String,
    /// Where it stands, in bytes from the start of the document.
    pub span: Span,
    /// What it is, in words.
    pub label: String,
}
