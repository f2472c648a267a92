//! Which parts of a piece are horns: by an instruction in the file, by settings, by their names and kinds of instrument.

use horn::{
    ClefConvention, Crook, CrookName, Family, Instrument, OrchestraInstrument, PartName, PartSaid,
    could_be_a_trumpet, read_name, read_name_of_horn, read_part_said,
};
use score::{Class, Directive, DirectiveKind, Note, Part, PartSelector, Piece, WitnessKind};
use theory::{Interval, PagePitch, SoundingPitch, Tempo, Transposition};

use crate::part::label;
use crate::style::Style;

/// What a reader is told from outside the score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Casting {
    /// What settings say of parts, first match first.
    pub parts: Vec<(PartSelector, PartSaid)>,
    /// How bass clef is read where nothing in the file says.
    pub bass_clef: ClefConvention,
    /// The kind of horn it is played on where nothing in the file says.
    pub instrument: Instrument,
    /// The speed to assume when the score marks none; bellhand's own choice when not given.
    pub assumed_tempo: Option<Tempo>,
}

/// Who says that a part is a horn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HornSaid {
    /// An instruction in a comment.
    Directive,
    /// Settings.
    Settings,
    /// The part's name.
    Name,
    /// The kind of instrument that the file gives programs.
    Class,
}

/// Whether the page shows a crook besides what a directive or settings say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WrittenOf {
    /// The name on the page names a crook.
    Crook,
    /// It does not, or there is no name.
    NoCrook,
}

/// A horn's seat in the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// The part's place in the piece.
    pub part: usize,
    /// Who says it is a horn.
    pub said: HornSaid,
    /// What is said: crook and players, from the directive or settings where they name a crook, else from the name.
    pub name: PartName,
    /// The crook that the directive or settings name.
    pub told: CrookName,
    /// Whether the page itself names a crook.
    pub page: WrittenOf,
    /// How bass clef is read.
    pub bass_clef: ClefConvention,
    /// The kind of horn it is played on.
    pub instrument: Instrument,
    /// What the notes of its page stand for.
    pub pitch: PagePitch,
}

impl Seat {
    /// What a note sounds, where the page or the file says that itself.
    pub(crate) fn heard(&self, note: &Note) -> Option<SoundingPitch> {
        let on_page = || SoundingPitch(note.written.0);
        let concert = self.pitch == PagePitch::Sounding;
        note.sounding.or_else(|| concert.then(on_page))
    }
}

/// Who plays the parts of a piece.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Cast {
    /// The horns.
    pub(crate) seats: Vec<Seat>,
    /// Parts whose names leave open whether they are horns', by their places; they are not taken for horns.
    pub(crate) doubtful: Vec<usize>,
}

/// Finds the horns among a piece's parts; `style` says what the house says of a part of a name.
pub(crate) fn cast(
    piece: &Piece,
    file: &[Directive],
    casting: &Casting,
    style: &impl Fn(&str) -> Style,
) -> Cast {
    let mut cast = Cast::default();
    let told = told(piece, file, casting);
    let band = is_brass_band(piece);
    let said = said_of_all(piece, file);
    for (index, (part, told)) in piece.parts.iter().zip(told).enumerate() {
        let settled = told.is_some();
        let (who, on_page) = named(part);
        let vague = on_page.as_ref().is_some_and(|name| name.doubtful);
        let pitch = page_pitch(part, told.as_ref(), said, style);
        let seat = seat(index, who, on_page, told, casting).map(|seat| Seat { pitch, ..seat });
        // In a brass band the horn in E flat is another instrument.
        let tenor = band && seat.as_ref().is_some_and(|seat| is_in_e_flat(seat, part));
        if !settled && (vague || tenor) {
            cast.doubtful.push(index);
        } else {
            cast.seats.extend(seat);
        }
    }
    cast
}

/// Whether a horn is in E flat by its name, or by its record where the name says nothing, and no class says more.
fn is_in_e_flat(seat: &Seat, part: &Part) -> bool {
    let recorded = part.transposition.map(|(recorded, _)| recorded);
    let e_flat = match seat.name.crook {
        CrookName::Named(crook) => crook == Crook::EFlat,
        _ => recorded.is_some_and(|recorded| {
            recorded.0.semitones == Crook::EFlat.transposition().0.semitones
        }),
    };
    e_flat && !classes(part).any(|class| class == Class::Horn)
}

fn is_brass_band(piece: &Piece) -> bool {
    let names = || piece.parts.iter().filter_map(|part| part.name.as_ref());
    let band = names().filter(|name| horn::is_of_brass_band(&name.text));
    band.count() >= horn::others_that_make_a_brass_band().value
        && !names().any(|name| is_woodwind(&name.text))
}

fn is_woodwind(name: &str) -> bool {
    OrchestraInstrument::of_name(name).is_some_and(|it| it.family() == Family::Woodwind)
}

/// The kinds of instrument that the file says a part is for.
fn classes(part: &Part) -> impl Iterator<Item = Class> {
    part.witnesses
        .iter()
        .filter_map(|witness| match witness.kind {
            WitnessKind::Class(class) => Some(class),
            _ => None,
        })
}

/// What the names of a part say, given the kind of instrument it is for, and which of the two makes it a horn's.
///
/// The kind decides where a name leaves it open; a name that says another instrument stands.
fn named(part: &Part) -> (HornSaid, Option<PartName>) {
    let class = |wanted: &[Class]| classes(part).any(|class| wanted.contains(&class));
    let horn = class(&[Class::Horn, Class::NaturalHorn]);
    let other = !horn && class(&[Class::Other]);
    let name = part.name.as_ref().map(|name| name.text.as_str());
    let read = name.map(read_name);
    if read.as_ref().is_some_and(|read| read.is_horn) {
        let trumpet = other && name.is_some_and(could_be_a_trumpet);
        return (HornSaid::Name, read.filter(|_| !trumpet));
    }
    if horn {
        return (
            HornSaid::Class,
            read_name_of_horn(name.unwrap_or_default()).or(read),
        );
    }
    (HornSaid::Name, read)
}

fn seat(
    index: usize,
    said: HornSaid,
    on_page: Option<PartName>,
    told: Option<(HornSaid, PartSaid)>,
    casting: &Casting,
) -> Option<Seat> {
    let page = match on_page.as_ref().map(|name| &name.crook) {
        Some(CrookName::Named(_) | CrookName::Ambiguous(_)) => WrittenOf::Crook,
        Some(CrookName::Unnamed) | None => WrittenOf::NoCrook,
    };
    let (mut bass_clef, mut instrument) = (casting.bass_clef, casting.instrument);
    let (said, mut name) = match told {
        Some((said, part)) => {
            bass_clef = part.bass_clef.unwrap_or(bass_clef);
            instrument = part.instrument.unwrap_or(instrument);
            (said, part.name)
        }
        None => (said, on_page.clone()?),
    };
    if !name.is_horn {
        return None;
    }
    let told = match said {
        HornSaid::Directive | HornSaid::Settings => name.crook,
        HornSaid::Name | HornSaid::Class => CrookName::Unnamed,
    };
    if let (CrookName::Unnamed, Some(on_page)) = (&name.crook, on_page) {
        name.crook = on_page.crook;
    }
    Some(Seat {
        part: index,
        said,
        name,
        told,
        page,
        bass_clef,
        instrument,
        pitch: PagePitch::default(),
    })
}

/// What the instructions say that the notes of all pages stand for; the last word counts.
fn said_of_all(piece: &Piece, file: &[Directive]) -> Option<PagePitch> {
    let all = file.iter().chain(&piece.directives).rev();
    all.filter_map(|directive| match directive.kind {
        DirectiveKind::Pitch(pitch) => Some(pitch),
        _ => None,
    })
    .next()
}

/// What the notes of a part's page stand for: as the notation has it, else as is said of this very part, else what the
/// file records for it, as only written notes have a transposition, else what is said of all.
fn page_pitch(
    part: &Part,
    told: Option<&(HornSaid, PartSaid)>,
    of_all: Option<PagePitch>,
    style: &impl Fn(&str) -> Style,
) -> PagePitch {
    let told = told.and_then(|(_, said)| said.pitch);
    let transposes = |(recorded, _): &(Transposition, _)| recorded.0 != Interval::UNISON;
    let recorded = part.transposition.as_ref().filter(|said| transposes(said));
    part.pitch
        .or(told)
        .or(recorded.map(|_| PagePitch::Written))
        .or(of_all)
        .or_else(|| style(&label(part)).pitch)
        .unwrap_or_default()
}

/// What is said of each part from outside the music; the nearest and latest word counts, and words that mean nothing do
/// not.
fn told(piece: &Piece, file: &[Directive], casting: &Casting) -> Vec<Option<(HornSaid, PartSaid)>> {
    let mut told: Vec<Option<(HornSaid, PartSaid)>> = vec![None; piece.parts.len()];
    let mut tell = |who: HornSaid, selector: &PartSelector, said: &PartSaid| {
        for part in selector.select(&piece.parts) {
            if let Some(place) = told.get_mut(part) {
                *place = Some((who, said.clone()));
            }
        }
    };
    for (selector, said) in casting.parts.iter().rev() {
        tell(HornSaid::Settings, selector, said);
    }
    for directive in file.iter().chain(&piece.directives) {
        if let DirectiveKind::Part { selector, is } = &directive.kind
            && let Ok(said) = read_part_said(is)
        {
            tell(HornSaid::Directive, selector, &said);
        }
    }
    told
}
