//! Who is in the class, and which scores are whose: the first folder under the class's folder is a student, and so is a
//! score that lies in it directly.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use files::{Found, walk};

use super::names::Names;

/// The most students of a class; a folder with more is no class's. Bellhand's own choice.
pub(crate) const MOST_STUDENTS: usize = 300;
/// The most scores of one student that are read. Bellhand's own choice.
pub(crate) const MOST_SCORES: usize = 100;

/// A student, and the student's scores.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Student {
    /// The folder's name, or the score's without its ending: what the student is known by from one look to the next.
    pub(crate) key: String,
    /// What the student is called.
    pub(crate) name: String,
    /// The scores, sorted by path.
    pub(crate) scores: Vec<PathBuf>,
}

/// The class as it lies in its folder, sorted by key.
///
/// Fails with what to tell the teacher when the folder cannot be looked at, or holds more than a class.
pub(crate) fn call(folder: &Path, names: &Names) -> Result<Vec<Student>, String> {
    if !folder.is_dir() {
        return Err(format!(
            "{} is no folder; name the folder that holds a folder or a score for each student",
            folder.display()
        ));
    }
    let mut students: BTreeMap<String, Vec<PathBuf>> = BTreeMap::new();
    for found in walk(folder) {
        // What cannot be looked into holds no scores of the class.
        let Ok(Found::Score(path)) = found else {
            continue;
        };
        let Some(key) = owner(folder, &path) else {
            continue;
        };
        let scores = students.entry(key).or_default();
        if scores.len() < MOST_SCORES {
            scores.push(path);
        }
        if students.len() > MOST_STUDENTS {
            return Err(format!(
                "{} holds folders or scores of more than {MOST_STUDENTS} students; name the folder of one class",
                folder.display()
            ));
        }
    }
    let student = |(key, scores): (String, Vec<PathBuf>)| Student {
        name: names.of(&key),
        key,
        scores,
    };
    Ok(students.into_iter().map(student).collect())
}

/// Whose score it is: the first folder's, or that of the score itself.
fn owner(folder: &Path, score: &Path) -> Option<String> {
    let within = score.strip_prefix(folder).ok()?;
    let mut steps = within.components();
    let first = Path::new(steps.next()?.as_os_str());
    let named = match steps.next() {
        Some(_) => first.as_os_str(),
        None => first.file_stem()?,
    };
    Some(named.to_string_lossy().into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_or_a_score_is_a_student() {
        let class = tempfile::tempdir().unwrap();
        let folder = class.path();
        for path in [
            "ada/horn.abc",
            "ada/sketches/old.krn",
            "ada.abc",
            "ben.musicxml",
            "ben.txt",
            ".hidden/cy.abc",
        ] {
            let path = folder.join(path);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, "").unwrap();
        }
        let names = Names::read("ben = Ben of the Pier").unwrap();
        let roll = call(folder, &names).unwrap();
        let seen: Vec<_> = roll
            .iter()
            .map(|student| {
                (
                    student.key.as_str(),
                    student.name.as_str(),
                    student.scores.len(),
                )
            })
            .collect();
        assert_eq!(seen, [("ada", "ada", 3), ("ben", "Ben of the Pier", 1)]);
    }

    #[test]
    fn what_is_no_class_is_told() {
        let class = tempfile::tempdir().unwrap();
        let none = call(&class.path().join("nowhere"), &Names::default());
        assert!(none.unwrap_err().contains("is no folder"));
        for number in 0..=MOST_STUDENTS {
            std::fs::write(class.path().join(format!("{number}.abc")), "").unwrap();
        }
        let crowd = call(class.path(), &Names::default());
        assert!(crowd.unwrap_err().contains("more than 300 students"));
    }
}
