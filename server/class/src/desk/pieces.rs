//! A student's pieces: plain files in the student's folder, begun, read and kept.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::{MutexGuard, PoisonError};

use engine::Task;
use files::digest::short_digest;
use files::write::{Fingerprint, Unwritten, replace};
use notation::Format;
use serde::{Deserialize, Serialize};

use super::{Desk, Desks, NotDone, NotSaved, beginnings, file_name, record};

/// The largest piece of any notation, in bytes. Bellhand's own choice.
pub(crate) const LARGEST_PIECE: usize = 1 << 20;
/// The largest piece in a notation that takes few letters for a note, in bytes. Bellhand's own choice.
const LARGEST_TERSE: usize = 128 << 10;
/// The most pieces of one student. Bellhand's own choice.
const MOST_PIECES: usize = 20;

/// The ids of a student's pieces.
#[derive(Debug, Default)]
pub(super) struct Numbered {
    ids: BTreeMap<String, usize>,
}

/// A piece as its desk is told of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Piece {
    id: String,
    file: String,
    notation: &'static str,
}

/// What a new piece is to be.
#[derive(Debug, Deserialize)]
pub(crate) struct Wish {
    #[serde(default)]
    notation: String,
    #[serde(default)]
    title: String,
    /// The lesson to begin with, by its id.
    lesson: Option<String>,
}

/// A lesson as desks are told of it.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct GivenLesson<'a> {
    id: String,
    title: &'a str,
    file: &'a str,
    tasks: &'a [Task],
}

/// The most bytes of a piece in a notation.
pub(super) const fn largest(format: Format) -> usize {
    match format {
        Format::Abc | Format::Kern => LARGEST_TERSE,
        Format::MusicXml => LARGEST_PIECE,
    }
}

/// What tells a text from another.
fn tag(bytes: &[u8]) -> String {
    format!("\"{}\"", short_digest(bytes))
}

impl Desks {
    /// Where a student's pieces lie.
    fn folder(&self, desk: &Desk) -> PathBuf {
        self.class.folder().join(&desk.key)
    }

    /// A student's pieces, by the names of their files.
    pub(crate) fn pieces(&self, desk: &Desk) -> Vec<Piece> {
        self.listed(desk, &mut numbered(desk))
    }

    fn listed(&self, desk: &Desk, numbered: &mut Numbered) -> Vec<Piece> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder(desk))
            .into_iter()
            .flatten()
            .filter_map(|entry| {
                let entry = entry.ok()?;
                // A link could lead anywhere.
                let is_file = entry.file_type().ok()?.is_file();
                let name = entry.file_name().into_string().ok()?;
                (is_file && !name.starts_with('.') && format_of(&name).is_some()).then_some(name)
            })
            .collect();
        names.sort();
        let pieces = names.into_iter().filter_map(|file| {
            let format = format_of(&file)?;
            let next = numbered.ids.len() + 1;
            let id = *numbered.ids.entry(file.clone()).or_insert(next);
            Some(Piece {
                id: format!("p{id}"),
                file,
                notation: format.name(),
            })
        });
        pieces.collect()
    }

    /// The lessons that a piece can begin with.
    pub(crate) fn lessons(&self) -> Vec<GivenLesson<'_>> {
        let lessons = (1..).zip(self.class.lessons.all());
        let lessons = lessons.filter(|(_, lesson)| format_of(&lesson.file).is_some());
        lessons
            .map(|(number, lesson)| GivenLesson {
                id: format!("l{number}"),
                title: lesson.lesson.title().unwrap_or(&lesson.file),
                file: &lesson.file,
                tasks: lesson.lesson.tasks(),
            })
            .collect()
    }

    /// What a new piece holds, and how its file is called: the name without its ending, and that.
    fn beginning(&self, wish: &Wish) -> Result<(String, String, &'static str), NotDone> {
        if let Some(id) = &wish.lesson {
            let mut lessons = (1..).zip(self.class.lessons.all());
            let (_, lesson) = lessons
                .find(|(number, _)| format!("l{number}") == *id)
                .ok_or(NotDone::Odd("There is no such lesson."))?;
            let format = format_of(&lesson.file).ok_or(NotDone::Odd("There is no such lesson."))?;
            let stem = Path::new(&lesson.file).file_stem().unwrap_or_default();
            let stem = file_name::reduced(&stem.to_string_lossy());
            let text = lesson.lesson.handout().text();
            return Ok((
                text,
                stem.unwrap_or_else(|| "lesson".to_owned()),
                ending(format),
            ));
        }
        let format = Format::of_name(&wish.notation)
            .ok_or(NotDone::Odd("A piece is in abc, kern or musicxml."))?;
        let text = beginnings::beginning(format, &wish.title);
        let stem = file_name::reduced(&wish.title).unwrap_or_else(|| "piece".to_owned());
        Ok((text, stem, ending(format)))
    }

    /// Begins a piece; a lesson that has been begun is gone on with.
    pub(crate) fn begin(&self, desk: &Desk, wish: &Wish) -> Result<Piece, NotDone> {
        let (text, stem, ending) = self.beginning(wish)?;
        let mut numbered = numbered(desk);
        let pieces = self.listed(desk, &mut numbered);
        let begun = format!("{stem}.{ending}");
        if wish.lesson.is_some()
            && let Some(piece) = pieces.iter().find(|piece| piece.file == begun)
        {
            return Ok(piece.clone());
        }
        if pieces.len() >= MOST_PIECES {
            return Err(NotDone::TooMany(
                "There are as many pieces at this desk as it holds; ask your teacher to put some away.",
            ));
        }
        let folder = self.folder(desk);
        std::fs::create_dir_all(&folder)?;
        let file = create(&folder, &stem, ending, text.as_bytes())?;
        record::note(self.class.folder(), &Path::new(&desk.key).join(&file))?;
        let listed = self.listed(desk, &mut numbered);
        let begun = listed.into_iter().find(|piece| piece.file == file);
        begun.ok_or(NotDone::Absent)
    }

    /// Where a piece lies, what it is called and its notation, by its id.
    pub(crate) fn place(&self, desk: &Desk, id: &str) -> Result<(PathBuf, Format), NotDone> {
        let numbered = numbered(desk);
        let named = numbered
            .ids
            .iter()
            .find(|(_, number)| format!("p{number}") == id);
        let (file, _) = named.ok_or(NotDone::Absent)?;
        let format = format_of(file).ok_or(NotDone::Absent)?;
        let path = self.folder(desk).join(file);
        let data = std::fs::symlink_metadata(&path).map_err(|_| NotDone::Absent)?;
        data.is_file()
            .then_some((path, format))
            .ok_or(NotDone::Absent)
    }

    /// A piece's text and its tag.
    pub(crate) fn text(&self, desk: &Desk, id: &str) -> Result<(String, String), NotDone> {
        let (path, format) = self.place(desk, id)?;
        read(&path, largest(format))
    }

    /// Keeps a piece's text, if what lies there is what it was written from; gives the new tag.
    pub(crate) fn save(
        &self,
        desk: &Desk,
        id: &str,
        base: &str,
        text: &str,
    ) -> Result<String, NotSaved> {
        let (path, format) = self.place(desk, id)?;
        let most = largest(format);
        if text.len() > most {
            return Err(NotDone::TooLarge(most >> 10).into());
        }
        // Two windows of one student take turns.
        let _turn = numbered(desk);
        let (kept, kept_tag) = read(&path, most)?;
        if kept == text {
            return Ok(kept_tag);
        }
        if kept_tag != base {
            return Err(NotSaved::Other {
                text: kept,
                tag: kept_tag,
            });
        }
        match replace(&path, Fingerprint::of(kept.as_bytes()), text.as_bytes()) {
            Ok(()) => Ok(tag(text.as_bytes())),
            Err(Unwritten::Changed) => {
                let (text, tag) = read(&path, most)?;
                Err(NotSaved::Other { text, tag })
            }
            Err(Unwritten::Failed(error)) => Err(NotDone::Failed(error).into()),
            Err(Unwritten::ReadOnly | Unwritten::SeveralNames) => {
                Err(NotDone::Odd("This piece is not to be written to.").into())
            }
        }
    }
}

fn numbered(desk: &Desk) -> MutexGuard<'_, Numbered> {
    desk.pieces.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The notation of a file that a desk can show: text, no package.
fn format_of(name: &str) -> Option<Format> {
    let path = Path::new(name);
    let packed = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("mxl"));
    Format::of_path(path).filter(|_| !packed)
}

const fn ending(format: Format) -> &'static str {
    match format {
        Format::Abc => "abc",
        Format::Kern => "krn",
        Format::MusicXml => "musicxml",
    }
}

/// Reads a text that is not larger than a piece.
fn read(path: &Path, most: usize) -> Result<(String, String), NotDone> {
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|_| NotDone::Absent)?;
    file.take(most as u64 + 1).read_to_end(&mut bytes)?;
    if bytes.len() > most {
        return Err(NotDone::TooLarge(most >> 10));
    }
    let tag = tag(&bytes);
    let text = String::from_utf8(bytes)
        .map_err(|_| NotDone::Odd("This piece is not in UTF-8; a desk cannot show it."))?;
    Ok((text, tag))
}

/// Makes a file under a name that is not taken yet.
fn create(folder: &Path, stem: &str, ending: &str, bytes: &[u8]) -> std::io::Result<String> {
    use std::io::Write as _;
    for number in 1..=MOST_PIECES + 1 {
        let name = match number {
            1 => format!("{stem}.{ending}"),
            number => format!("{stem}-{number}.{ending}"),
        };
        match File::create_new(folder.join(&name)) {
            Ok(mut file) => {
                file.write_all(bytes)?;
                return Ok(name);
            }
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(std::io::ErrorKind::AlreadyExists.into())
}
