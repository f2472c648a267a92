//! What is said of a score: all that a report needs, without the score, so that the score can be let go.

use engine::{Finding, Fix, Judged, Offers, Severity};
use score::Span;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::excerpt::Excerpt;
use super::music::Music;
use crate::place::{Places, Stretch};

/// What must be worked out of a score beside its findings.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Wanted {
    /// The edits of every fix, each proven, which is the most of the work.
    pub edits: bool,
    /// The lines that findings stand in.
    pub excerpts: bool,
    /// The score itself, to draw it.
    pub score: bool,
}

/// What is said of a score.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// The notation's name.
    pub format: String,
    /// Whether there is any music in it.
    pub music: bool,
    /// What each horn part that was read is called.
    pub horns: Vec<String>,
    /// For each that its settings name, in their order, whether it is or has that.
    pub met: Vec<bool>,
    /// The findings, in the order of the text.
    pub remarks: Vec<Remark>,
}

/// A finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remark {
    /// The piece's place in the file.
    pub piece: usize,
    /// The rule's name.
    pub rule: String,
    #[serde(serialize_with = "name", deserialize_with = "severity")]
    /// How severe it is.
    pub severity: Severity,
    /// The horn part, by what it is called.
    pub part: Option<String>,
    /// The player, where it concerns one of several on a staff.
    pub player: Option<u8>,
    /// The bar, as the score counts.
    pub bar: Option<u32>,
    /// Where it is.
    pub at: Stretch,
    /// What is wrong, why it matters and what to do.
    pub message: String,
    /// Who says so.
    pub source: String,
    /// Other places that belong to it.
    pub others: Vec<Other>,
    /// What can be done about it.
    pub fixes: Vec<Offer>,
    /// The lines it stands in, where they are wanted.
    pub excerpt: Option<Excerpt>,
    /// What tells the music it speaks of from other music, wherever in the file that stands.
    pub music: String,
}

/// Another place that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Other {
    /// Where it is.
    pub at: Stretch,
    /// What it has to do with the finding.
    pub message: String,
    /// Its lines, when wanted.
    pub excerpt: Option<Excerpt>,
}

/// A fix that a finding offers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Offer {
    /// What it does.
    pub title: String,
    /// Whether it keeps the music, in a word.
    pub safety: String,
    /// The edits; none where they are not wanted, or could not be proven.
    pub edits: Option<Vec<Edit>>,
}

/// A stretch of text and what it becomes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Edit {
    /// What is replaced.
    pub at: Stretch,
    /// What is put there.
    pub text: String,
}

impl Verdict {
    /// What is said of a judged score.
    pub fn of(judged: &Judged, wanted: Wanted) -> Self {
        let offers = wanted.edits.then(|| judged.offers());
        let music = Music::of(judged);
        let places = Places::of(judged.document());
        let findings = judged.findings().iter();
        Self {
            format: judged.document().format().name().to_owned(),
            music: judged
                .pieces()
                .any(|(_, reading)| reading.piece.bar_count() > 0),
            horns: judged
                .pieces()
                .flat_map(|(_, reading)| reading.horns.iter().map(|horn| horn.label.clone()))
                .collect(),
            met: judged
                .settings()
                .named()
                .iter()
                .map(|named| named.is_in(judged))
                .collect(),
            remarks: findings
                .map(|finding| remark(&places, finding, offers.as_ref(), &music, wanted))
                .collect(),
        }
    }

    /// Keeps some findings, each as its place in the list says.
    pub fn keep(&mut self, kept: &[bool]) {
        let mut each = kept.iter();
        self.remarks
            .retain(|_| each.next().is_some_and(|kept| *kept));
    }
}

impl Remark {
    /// What is wrong, and to whom and in which bar it happens, in a line.
    pub fn line(&self) -> String {
        let message = self.message.split_whitespace();
        let message = message.collect::<Vec<_>>().join(" ");
        match (self.who(), self.bar) {
            (Some(part), Some(bar)) => format!("{part}, bar {bar}: {message}"),
            (Some(part), None) => format!("{part}: {message}"),
            (None, _) => message,
        }
    }

    /// Whom it concerns: the part, and the player where one of several is meant.
    pub fn who(&self) -> Option<String> {
        Some(self.as_part(self.part.as_ref()?))
    }

    /// The same, were the part called otherwise.
    pub fn as_part(&self, part: &str) -> String {
        match self.player {
            Some(player) => format!("{part}, player {player}"),
            None => part.to_owned(),
        }
    }
}

fn remark<'a>(
    places: &Places<'_>,
    finding: &'a Finding,
    offers: Option<&Offers<'a>>,
    music: &Music<'_>,
    wanted: Wanted,
) -> Remark {
    let excerpt = |span: Span| {
        wanted
            .excerpts
            .then(|| Excerpt::around(places.document(), span))
    };
    let others = finding.related.iter();
    Remark {
        piece: music.piece(finding),
        rule: finding.rule.to_owned(),
        severity: finding.severity,
        part: finding.part.clone(),
        player: finding.player,
        bar: finding.bar,
        at: places.stretch(finding.span),
        message: finding.message.clone(),
        source: finding.source.clone(),
        others: others
            .map(|other| Other {
                at: places.stretch(other.span),
                message: other.message.clone(),
                excerpt: excerpt(other.span),
            })
            .collect(),
        fixes: finding
            .fixes
            .iter()
            .map(|fix| offer(places, fix, offers))
            .collect(),
        excerpt: excerpt(finding.span),
        music: music.about(finding),
    }
}

fn offer<'a>(places: &Places<'_>, fix: &'a Fix, offers: Option<&Offers<'a>>) -> Offer {
    let edits = offers.and_then(|offers| offers.edits(fix));
    Offer {
        title: fix.title.clone(),
        safety: fix.safety.name().to_owned(),
        edits: edits.map(|edits| {
            let edits = edits.iter();
            edits
                .map(|edit| Edit {
                    at: places.stretch(edit.span),
                    text: edit.text.clone(),
                })
                .collect()
        }),
    }
}

fn name<S: Serializer>(severity: &Severity, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(severity.name())
}

fn severity<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Severity, D::Error> {
    let name = String::deserialize(deserializer)?;
    name.parse().map_err(serde::de::Error::custom)
}
