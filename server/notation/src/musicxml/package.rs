//! The compressed package (.mxl): a zip whose container names the score among its members.

use std::io::{Cursor, Read, Write};
use std::sync::Arc;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::tree::Tree;
use crate::encoding::DecodeError;
use crate::format::Format;

/// A package's unpacked score may not be larger.
const LARGEST: u64 = Format::MusicXml.largest() as u64;
/// Nor may the container that names it.
const LARGEST_CONTAINER: u64 = 1 << 20;
/// More members than this no package of one score has.
const MOST_MEMBERS: usize = 10_000;

const CONTAINER: &str = "META-INF/container.xml";
const MIMETYPE: &str = "mimetype";
/// The media type of a score in a package (MusicXML 4.0, "Compressed .mxl files").
const SCORE_TYPE: &str = "application/vnd.recordare.musicxml+xml";

/// A package as it came, so that all but its score goes back as it was.
#[derive(Debug, Clone)]
pub(crate) struct Package {
    bytes: Arc<[u8]>,
    /// The score's place among the members.
    score: usize,
}

/// Why a package cannot be opened.
const fn no(problem: &'static str) -> DecodeError {
    DecodeError {
        problem,
        expected: "a zip whose META-INF/container.xml names a MusicXML score of no more than 32 MiB",
    }
}

impl Package {
    /// Whether bytes are a zip.
    pub(crate) fn is_one(bytes: &[u8]) -> bool {
        bytes.starts_with(b"PK\x03\x04")
    }

    /// Opens a package; its score's bytes come with it.
    pub(crate) fn open(bytes: &[u8]) -> Result<(Self, Vec<u8>), DecodeError> {
        let mut archive = ZipArchive::new(Cursor::new(bytes))
            .map_err(|_| no("the compressed package is damaged"))?;
        if archive.len() > MOST_MEMBERS {
            return Err(no("the compressed package has too many members"));
        }
        let container = archive
            .index_for_name(CONTAINER)
            .ok_or(no("the compressed package has no META-INF/container.xml"))?;
        let container = member(&mut archive, container, LARGEST_CONTAINER)?;
        let path = root_file(&String::from_utf8_lossy(&container))
            .ok_or(no("the package's container names no score"))?;
        let score = archive.index_for_name(&path).ok_or(no(
            "the score that the package's container names is not in it",
        ))?;
        let text = member(&mut archive, score, LARGEST)?;
        let package = Self {
            bytes: bytes.into(),
            score,
        };
        Ok((package, text))
    }

    /// The package with another score in the place of its own; `None` when no zip can hold it.
    pub(crate) fn with(&self, score: &[u8]) -> Option<Vec<u8>> {
        let mut archive = ZipArchive::new(Cursor::new(self.bytes.as_ref())).ok()?;
        let before = member(&mut archive, self.score, LARGEST).ok()?;
        if before == score {
            return Some(self.bytes.to_vec());
        }
        let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
        writer.set_raw_comment(archive.comment().into()).ok()?;
        // The type of the package stands first, so that it can be told without unpacking.
        let first = archive.index_for_name(MIMETYPE);
        let others = (0..archive.len()).filter(|index| Some(*index) != first);
        for index in first.into_iter().chain(others) {
            let member = archive.by_index_raw(index).ok()?;
            if index == self.score {
                let name = member.name().ok()?.into_owned();
                let options = SimpleFileOptions::default()
                    .compression_method(CompressionMethod::Deflated)
                    .last_modified_time(member.last_modified().unwrap_or_default());
                drop(member);
                writer.start_file(name, options).ok()?;
                writer.write_all(score).ok()?;
            } else {
                writer.raw_copy_file(member).ok()?;
            }
        }
        Some(writer.finish().ok()?.into_inner())
    }
}

/// A member's bytes; what says it is small and is not is refused all the same.
fn member(
    archive: &mut ZipArchive<Cursor<&[u8]>>,
    index: usize,
    largest: u64,
) -> Result<Vec<u8>, DecodeError> {
    let member = archive
        .by_index(index)
        .map_err(|_| no("a member of the compressed package cannot be unpacked"))?;
    let mut bytes = Vec::new();
    member
        .take(largest + 1)
        .read_to_end(&mut bytes)
        .map_err(|_| no("a member of the compressed package is damaged"))?;
    if bytes.len() as u64 > largest {
        return Err(no(
            "the compressed package unpacks to more than a score can be",
        ));
    }
    Ok(bytes)
}

/// The path of the score that a container names: the first one of its media type, or of none.
fn root_file(container: &str) -> Option<String> {
    let tree = Tree::read(container, false);
    tree.elements()
        .filter(|element| element.name() == "rootfile")
        .find(|element| {
            element
                .attribute("media-type")
                .is_none_or(|kind| kind == SCORE_TYPE)
        })?
        .attribute("full-path")
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES_SCORE: &str =
        "<container><rootfiles><rootfile full-path=\"pier/&amp;.xml\"/></rootfiles></container>";

    fn packed(members: &[(&str, &[u8], CompressionMethod)]) -> Vec<u8> {
        let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes, method) in members {
            let options = SimpleFileOptions::default().compression_method(*method);
            writer.start_file(*name, options).unwrap();
            writer.write_all(bytes).unwrap();
        }
        writer.finish().unwrap().into_inner()
    }

    fn names(bytes: &[u8]) -> Vec<String> {
        let archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
        archive
            .file_names()
            .map(|name| name.unwrap().into_owned())
            .collect()
    }

    #[test]
    fn the_score_changes_and_the_rest_stays() {
        let bytes = packed(&[
            (
                CONTAINER,
                NAMES_SCORE.as_bytes(),
                CompressionMethod::Deflated,
            ),
            ("picture.png", b"\x89PNG\0\0", CompressionMethod::Stored),
            (
                "pier/&.xml",
                b"<score-partwise/>",
                CompressionMethod::Deflated,
            ),
            (MIMETYPE, SCORE_TYPE.as_bytes(), CompressionMethod::Stored),
        ]);
        let (package, score) = Package::open(&bytes).unwrap();
        assert_eq!(score, b"<score-partwise/>");
        assert_eq!(package.with(&score).unwrap(), bytes);
        let again = package.with(b"<score-timewise/>").unwrap();
        let wanted = [MIMETYPE, CONTAINER, "picture.png", "pier/&.xml"];
        assert_eq!(names(&again), wanted);
        let (_, score) = Package::open(&again).unwrap();
        assert_eq!(score, b"<score-timewise/>");
        let mut archive = ZipArchive::new(Cursor::new(again.as_slice())).unwrap();
        assert_eq!(member(&mut archive, 2, 100).unwrap(), b"\x89PNG\0\0");
        assert_eq!(
            archive.by_index(0).unwrap().compression(),
            CompressionMethod::Stored
        );
    }

    #[test]
    fn what_is_no_package_is_refused() {
        let empty = packed(&[("a", b"", CompressionMethod::Stored)]);
        let astray = packed(&[(CONTAINER, NAMES_SCORE.as_bytes(), CompressionMethod::Stored)]);
        for (bytes, wanted) in [
            (b"PK\x03\x04 and no more".as_slice(), "damaged"),
            (&empty, "no META-INF"),
            (&astray, "is not in it"),
        ] {
            assert!(Package::is_one(bytes));
            let problem = Package::open(bytes).unwrap_err().problem;
            assert!(problem.contains(wanted), "{problem}");
        }
        let large = vec![b' '; 4096];
        let bomb = packed(&[("a", &large, CompressionMethod::Deflated)]);
        let mut archive = ZipArchive::new(Cursor::new(bomb.as_slice())).unwrap();
        assert!(member(&mut archive, 0, 4095).is_err());
        assert_eq!(member(&mut archive, 0, 4096).unwrap(), large);
    }
}
