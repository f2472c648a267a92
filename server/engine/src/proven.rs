//! A fix as text edits, proven by reading the outcome again.

use std::collections::HashSet;
use std::sync::Arc;

use notation::{Document, TextEdit, Writer};
use rules::Fix;

use crate::guard::{self, Refused, refused};
use crate::judged::Judged;
use crate::judging::ReadPiece;
use crate::together::{self, Taken, Written};

/// What fixes come to: the edits, and the text they lead to, as it was read for the proof.
#[derive(Debug, Clone)]
pub struct Proven {
    before: Judged,
    edits: Vec<TextEdit>,
    document: Arc<Document>,
    readings: Vec<ReadPiece>,
}

impl Proven {
    /// The edits, in the order of the text; they are counted in the text before.
    #[must_use]
    pub fn edits(&self) -> &[TextEdit] {
        &self.edits
    }

    /// The document with the edits made.
    #[must_use]
    pub const fn document(&self) -> &Arc<Document> {
        &self.document
    }

    /// The outcome, judged.
    #[must_use]
    pub fn judge(self) -> Judged {
        self.before.with_readings(self.document, self.readings)
    }
}

/// Writes a fix in the words of a document's notation; not yet proven.
pub(crate) fn write<'a>(writer: &Writer<'_>, fix: &'a Fix) -> Result<Written<'a>, Refused> {
    let edits = write_all(writer, &[fix])?;
    Ok(Written { fix, edits })
}

fn write_all(writer: &Writer<'_>, fixes: &[&Fix]) -> Result<Vec<TextEdit>, Refused> {
    let mut edits: Vec<TextEdit> = Vec::new();
    let mut known = HashSet::new();
    for intent in fixes.iter().flat_map(|fix| &fix.intents) {
        let more = writer.write(intent).map_err(|error| refused(error.why))?;
        // Several may ask for the same.
        edits.extend(
            more.into_iter()
                .filter(|edit| known.insert((edit.span, edit.text.clone()))),
        );
    }
    if edits.is_empty() {
        return Err(refused("there is nothing left to change"));
    }
    edits.sort_by_key(|edit| edit.span);
    Ok(edits)
}

impl Judged {
    /// Proves fixes, all together: that the text changes by exactly what they name.
    ///
    /// Fails when the notation cannot say them, or anything else would change.
    pub fn prove(&self, fixes: &[&Fix]) -> Result<Proven, Refused> {
        let text = self.document().text();
        let edits = write_all(&self.document().writer(&text), fixes)?;
        self.prove_edits(edits, fixes)
    }

    /// Proves as many of some fixes as go together.
    ///
    /// Fails when none can be proven, for the first one's reason.
    pub fn prove_most(&self, fixes: &[&Fix]) -> Result<Proven, Refused> {
        let all = self.prove(fixes);
        if all.is_ok() || fixes.len() < 2 {
            return all;
        }
        let text = self.document().text();
        let writer = self.document().writer(&text);
        let mut taken = Taken::default();
        let written: Vec<Written<'_>> = fixes
            .iter()
            .filter_map(|fix| write(&writer, fix).ok())
            .filter(|written| taken.take(&written.edits))
            .collect();
        let written: Vec<&Written<'_>> = written.iter().collect();
        together::prove(self, &written).proven.map_or(all, Ok)
    }

    /// Proves that edits make of the text exactly what fixes name.
    pub(crate) fn prove_edits(
        &self,
        edits: Vec<TextEdit>,
        fixes: &[&Fix],
    ) -> Result<Proven, Refused> {
        let document = self
            .document()
            .with_edits(&edits)
            .map_err(|_| refused("its changes stand in each other's way"))?;
        let readings = guard::prove(self, &document, fixes)?;
        Ok(Proven {
            before: self.clone(),
            edits,
            document: Arc::new(document),
            readings,
        })
    }
}
