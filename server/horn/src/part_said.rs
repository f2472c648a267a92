//! Reads what is said of a part from outside the music: `horn in F, old bass clef`, `not a horn`.

use std::fmt;

use theory::PagePitch;

use crate::crook::ClefConvention;
use crate::instrument::Instrument;
use crate::likeliest::likeliest;
use crate::name::{PartName, first_unread, read_name};

/// What is said of a part in a comment or in settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartSaid {
    /// Whether it is a horn's.
    pub is_horn: bool,
    /// The horn's name as it is said: crook, players, natural or not. Empty where the part is no horn's.
    pub name: PartName,
    /// How its bass clef is to be read, where that is said.
    pub bass_clef: Option<ClefConvention>,
    /// What it is played on, where that is said.
    pub instrument: Option<Instrument>,
    /// What the notes of its page stand for, where that is said.
    pub pitch: Option<PagePitch>,
}

/// Words about a part that mean nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartSaidError {
    /// The words, as they stand.
    pub words: String,
    /// What they are most like, of all that can be said.
    pub meant: Option<String>,
}

impl fmt::Display for PartSaidError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` says nothing of a part", self.words)?;
        if let Some(meant) = &self.meant {
            write!(f, "; did you mean `{meant}`?")?;
        }
        Ok(())
    }
}

impl std::error::Error for PartSaidError {}

/// What one phrase between commas says.
enum Phrase {
    NoHorn,
    Clef(ClefConvention),
    Instrument(Instrument),
    Pitch(PagePitch),
    Horn(PartName),
}

/// Reads phrases between commas: the horn and its crook, `old bass clef` or `modern bass clef`, the kind of valve horn,
/// `written pitch` or `sounding pitch`; or `not a horn` alone.
///
/// Fails on the first words that mean none of these: what is half understood is not followed at all.
pub fn read_part_said(text: &str) -> Result<PartSaid, PartSaidError> {
    let mut said = PartSaid {
        is_horn: true,
        name: PartName::default(),
        bass_clef: None,
        instrument: None,
        pitch: None,
    };
    let mut named = false;
    let mut denied = false;
    for words in text.split(',').map(str::trim) {
        match phrase(words)? {
            Phrase::NoHorn => denied = true,
            Phrase::Clef(convention) => said.bass_clef = Some(convention),
            Phrase::Instrument(instrument) => said.instrument = Some(instrument),
            Phrase::Pitch(pitch) => said.pitch = Some(pitch),
            // "Horn in F, 2": a number may stand between commas of its own.
            Phrase::Horn(name) if !named => {
                said.name = name;
                named = true;
            }
            Phrase::Horn(_) => return Err(contradiction(words)),
        }
    }
    if denied {
        let more = said.bass_clef.is_some() || said.instrument.is_some() || said.pitch.is_some();
        if named || more {
            return Err(contradiction(text.trim()));
        }
        said.is_horn = false;
    } else if !named {
        // The clef, the instrument or the pitch alone still say that it is a horn's.
        said.name = read_name("horn");
    }
    Ok(said)
}

fn phrase(words: &str) -> Result<Phrase, PartSaidError> {
    let plain = words.to_lowercase();
    let plain: Vec<&str> = plain.split_whitespace().collect();
    match plain.join(" ").as_str() {
        "not a horn" | "no horn" | "not horn" => return Ok(Phrase::NoHorn),
        "old bass clef" => return Ok(Phrase::Clef(ClefConvention::OldBass)),
        "new bass clef" | "modern bass clef" => return Ok(Phrase::Clef(ClefConvention::Modern)),
        "written pitch" => return Ok(Phrase::Pitch(PagePitch::Written)),
        "sounding pitch" | "concert pitch" => return Ok(Phrase::Pitch(PagePitch::Sounding)),
        _ => {}
    }
    if let Ok(instrument) = words.parse() {
        return Ok(Phrase::Instrument(instrument));
    }
    let horn = words
        .strip_prefix("a ")
        .or_else(|| words.strip_prefix("the "))
        .unwrap_or(words);
    let name = read_name(horn);
    if !name.is_horn {
        return Err(unknown(words));
    }
    match first_unread(horn) {
        None => Ok(Phrase::Horn(name)),
        Some(range) => Err(unknown(horn.get(range).unwrap_or(words))),
    }
}

/// Words that cannot hold beside the others.
fn contradiction(words: &str) -> PartSaidError {
    PartSaidError {
        words: words.to_owned(),
        meant: None,
    }
}

fn unknown(words: &str) -> PartSaidError {
    let known = [
        "not a horn",
        "old bass clef",
        "modern bass clef",
        "new bass clef",
        "written pitch",
        "sounding pitch",
        "concert pitch",
        "horn",
        "horn in F",
        "horn in E flat",
        "horn in D",
        "horn in B flat basso",
        "natural horn",
    ];
    let instruments = Instrument::ALL.map(Instrument::word);
    let meant = likeliest(words, known.into_iter().chain(instruments));
    PartSaidError {
        words: words.to_owned(),
        meant: meant.map(str::to_owned),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crook::Crook;
    use crate::crook_name::CrookName;

    #[test]
    fn what_can_be_said() {
        for (text, is_horn, crook, clef, instrument) in [
            ("not a horn", false, None, None, None),
            ("Not a  Horn", false, None, None, None),
            ("no horn", false, None, None, None),
            ("horn", true, None, None, None),
            ("a horn in F", true, Some(Crook::F), None, None),
            ("horn in E flat", true, Some(Crook::EFlat), None, None),
            ("Horn 2 in D", true, Some(Crook::D), None, None),
            ("2. Horn in Es", true, Some(Crook::EFlat), None, None),
            ("Corni I e II in Fa", true, Some(Crook::F), None, None),
            ("natural horn in D", true, Some(Crook::D), None, None),
            ("corno da caccia in D", true, Some(Crook::D), None, None),
            (
                "horn in F, old bass clef",
                true,
                Some(Crook::F),
                Some(ClefConvention::OldBass),
                None,
            ),
            (
                "modern bass clef",
                true,
                None,
                Some(ClefConvention::Modern),
                None,
            ),
            (
                "horn in F, single B flat, old bass clef",
                true,
                Some(Crook::F),
                Some(ClefConvention::OldBass),
                Some(Instrument::SingleBFlat),
            ),
            ("triple horn", true, None, None, Some(Instrument::Triple)),
        ] {
            let said = read_part_said(text).unwrap();
            let named = match said.name.crook {
                CrookName::Named(crook) => Some(crook),
                _ => None,
            };
            assert_eq!(
                (said.is_horn, named, said.bass_clef, said.instrument),
                (is_horn, crook, clef, instrument),
                "{text}"
            );
            assert_eq!(said.name.is_horn, is_horn, "{text}");
        }
    }

    #[test]
    fn what_the_page_stands_for_can_be_said() {
        for (text, crook, pitch) in [
            (
                "horn in F, sounding pitch",
                Some(Crook::F),
                Some(PagePitch::Sounding),
            ),
            ("Concert Pitch", None, Some(PagePitch::Sounding)),
            (
                "written pitch, horn in D",
                Some(Crook::D),
                Some(PagePitch::Written),
            ),
            ("horn in F", Some(Crook::F), None),
        ] {
            let said = read_part_said(text).unwrap();
            let named = match said.name.crook {
                CrookName::Named(crook) => Some(crook),
                _ => None,
            };
            assert_eq!((named, said.pitch), (crook, pitch), "{text}");
            assert!(said.is_horn && said.name.is_horn, "{text}");
        }
        assert!(read_part_said("not a horn, sounding pitch").is_err());
        let error = read_part_said("horn in F, sounding ptch").unwrap_err();
        assert_eq!(error.meant.as_deref(), Some("sounding pitch"));
    }

    #[test]
    fn words_that_mean_nothing_are_told() {
        for (text, words, meant) in [
            ("not a horm", "not a horm", Some("not a horn")),
            (
                "horn in F, old bass cleff",
                "old bass cleff",
                Some("old bass clef"),
            ),
            ("horn in F student", "student", None),
            ("horn in F, student", "student", None),
            ("student", "student", None),
            ("horn in Q", "in Q", None),
            ("hron in F", "hron in F", Some("horn in F")),
            ("singel F", "singel F", Some("single F")),
            (
                "not a horn, old bass clef",
                "not a horn, old bass clef",
                None,
            ),
            ("horn in F, horn in D", "horn in D", None),
            ("trumpet", "trumpet", None),
            ("", "", None),
        ] {
            let error = read_part_said(text).unwrap_err();
            assert_eq!(
                (error.words.as_str(), error.meant.as_deref()),
                (words, meant),
                "{text}"
            );
        }
    }
}
