//! Short stretches of real scores, so that many can be tried.

use std::path::PathBuf;

use fastrand::Rng;
use notation::Format;

use crate::home;

/// So many measures of an excerpt are taken from one place.
const MEASURES: usize = 3;
/// So many lines of an excerpt.
const LINES: usize = 40;

/// A real score's text.
#[derive(Debug, Clone)]
pub struct Source {
    /// Where it lies.
    pub path: PathBuf,
    /// Its notation.
    pub format: Format,
    /// All of it.
    pub text: String,
}

/// The demo and all test scores, but for compressed ones, in the order of their names.
#[must_use]
pub fn sources() -> Vec<Source> {
    let folders = ["demo", "scores/abc", "scores/kern", "scores/musicxml"];
    let mut paths: Vec<PathBuf> = folders
        .iter()
        .flat_map(|folder| std::fs::read_dir(home().join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|kind| kind != "mxl"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .filter_map(|path| {
            let format = Format::of_path(&path)?;
            let text = std::fs::read_to_string(&path).unwrap();
            Some(Source { path, format, text })
        })
        .collect()
}

/// A short stretch of a score that is a score of its own: what stands before the music, then music from some place.
#[must_use]
pub fn excerpt(source: &Source, rng: &mut Rng) -> String {
    match source.format {
        Format::Abc => tune(&source.text, rng),
        Format::Kern => records(&source.text, rng),
        Format::MusicXml => measures(&source.text, rng),
    }
}

/// Lines before the music, then some of it.
fn lines_of(before: &str, music: &[&str], rng: &mut Rng) -> String {
    let from = rng.usize(..=music.len().saturating_sub(LINES));
    let shown = music.iter().skip(from).take(LINES);
    before.split_inclusive('\n').chain(shown.copied()).collect()
}

fn tune(text: &str, rng: &mut Rng) -> String {
    let music = text
        .split_inclusive('\n')
        .scan(0, |at, line| {
            *at += line.len();
            Some((*at, line))
        })
        .find(|(_, line)| line.starts_with("K:"))
        .map_or(text.len(), |(end, _)| end);
    let (before, music) = text.split_at(music);
    lines_of(
        before,
        &music.split_inclusive('\n').collect::<Vec<_>>(),
        rng,
    )
}

fn records(text: &str, rng: &mut Rng) -> String {
    let music = text.find("\n=").map_or(text.len(), |end| end + 1);
    let (before, music) = text.split_at(music);
    // Where spines split or end, what follows would stand in other columns.
    let music: Vec<&str> = music
        .split_inclusive('\n')
        .filter(|line| {
            !["*^", "*v", "*-", "*x", "*+"]
                .iter()
                .any(|sign| line.contains(sign))
        })
        .collect();
    lines_of(before, &music, rng)
}

fn measures(text: &str, rng: &mut Rng) -> String {
    const END: &str = "</measure>";
    let Some(first) = text.find("<part id") else {
        return text.to_owned();
    };
    let (before, parts) = text.split_at(first);
    let mut excerpt = before.to_owned();
    let from = rng.usize(1..100);
    for part in parts.split_inclusive("</part>") {
        let all: Vec<&str> = part.split_inclusive(END).collect();
        let Some((last, all)) = all.split_last() else {
            continue;
        };
        let from = from.min(all.len().saturating_sub(MEASURES)).max(1);
        let shown = all
            .iter()
            .take(1)
            .chain(all.iter().skip(from).take(MEASURES));
        excerpt.extend(shown.copied());
        excerpt.push_str(last);
    }
    excerpt
}
