//! What a rule says: where, in which words, and how it can be fixed.

use score::{Intent, Moved, Span};

use crate::assumed::AtAssumedTempo;
use crate::rule::{Rule, Severity};

/// Whether a fix keeps the music.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Safety {
    /// The same sounds at the same times: only the writing changes. The engine proves it before it is applied.
    Safe,
    /// The music changes, in exactly the notes it names, or the way they are played; a person decides.
    Review,
}

impl Safety {
    /// The word for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Safe => "safe",
            Self::Review => "review",
        }
    }
}

/// A way to fix what a finding speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fix {
    /// What it does, as an order: "Move D3 up an octave".
    pub title: String,
    /// Whether it keeps the music.
    pub safety: Safety,
    /// The changes, in musical words.
    pub intents: Vec<Intent>,
}

/// Another place that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Related {
    /// Where it stands.
    pub span: Span,
    /// What it has to do with it.
    pub message: String,
}

/// What a rule says about one place. Spans count as the rule's check counts: from the piece, or the document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The rule's name.
    pub rule: &'static str,
    /// Its severity.
    pub severity: Severity,
    /// Where.
    pub span: Span,
    /// The horn part, by what it is called.
    pub part: Option<String>,
    /// The player, by number, where it concerns one of several on a staff.
    pub player: Option<u8>,
    /// The bar's number.
    pub bar: Option<u32>,
    /// What is wrong, why it matters to the player, and what to do.
    pub message: String,
    /// Who says so.
    pub source: String,
    /// Other places that belong to it.
    pub related: Vec<Related>,
    /// Whether the place could simply be left out.
    pub unnecessary: bool,
    /// Ways to fix it, the likeliest first.
    pub fixes: Vec<Fix>,
    /// That it rests on a tempo nobody marked, when it does.
    pub assumed: Option<AtAssumedTempo>,
}

impl Finding {
    /// A finding of a rule at its usual severity, about no part in particular.
    pub(crate) fn new(rule: &Rule, span: Span, message: String, source: &impl ToString) -> Self {
        Self {
            rule: rule.name,
            severity: rule.severity,
            span,
            part: None,
            player: None,
            bar: None,
            message,
            source: source.to_string(),
            related: Vec::new(),
            unnecessary: false,
            fixes: Vec::new(),
            assumed: None,
        }
    }

    pub(crate) const fn at_bar(mut self, number: u32) -> Self {
        self.bar = Some(number);
        self
    }

    pub(crate) const fn graver(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }

    pub(crate) const fn left_out(mut self) -> Self {
        self.unnecessary = true;
        self
    }

    pub(crate) fn related(mut self, span: Option<Span>, message: &str) -> Self {
        if let Some(span) = span.filter(|span| *span != self.span) {
            self.related.push(Related {
                span,
                message: message.to_owned(),
            });
        }
        self
    }

    pub(crate) fn fix(mut self, safety: Safety, title: String, intents: Vec<Intent>) -> Self {
        self.fixes.push(Fix {
            title,
            safety,
            intents,
        });
        self
    }

    /// Whom it concerns: the part, and the player where one of several is meant.
    #[must_use]
    pub fn who(&self) -> Option<String> {
        let part = self.part.as_ref()?;
        Some(match self.player {
            Some(player) => format!("{part}, player {player}"),
            None => part.clone(),
        })
    }

    /// The same finding in a text whose places have moved; `None` where one of its places is not known there.
    #[must_use]
    pub fn moved(&self, moved: &Moved) -> Option<Self> {
        let mut finding = self.clone();
        finding.span = moved.span(finding.span)?;
        for related in &mut finding.related {
            related.span = moved.span(related.span)?;
        }
        for fix in &mut finding.fixes {
            let intents = std::mem::take(&mut fix.intents).into_iter();
            fix.intents = intents
                .map(|intent| intent.moved(moved))
                .collect::<Option<_>>()?;
        }
        Some(finding)
    }

    /// The same finding with spans counted from a place `base` bytes earlier, in the piece at `piece`.
    #[must_use]
    pub fn rebased(mut self, base: usize, piece: usize) -> Self {
        self.span = self.span.shifted(base);
        if let Some(assumed) = &mut self.assumed {
            assumed.piece = piece;
        }
        for related in &mut self.related {
            related.span = related.span.shifted(base);
        }
        for fix in &mut self.fixes {
            for intent in &mut fix.intents {
                *intent = intent.clone().rebased(base, piece);
            }
        }
        self
    }
}
