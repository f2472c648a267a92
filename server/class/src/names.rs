//! What students are called, from a file with a line for each.

use std::collections::HashMap;

/// Names by the folder or score that is a student's.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Names(HashMap<String, String>);

impl Names {
    /// Reads a line for each student, `folder = Name`; `,`, `;` and a tab do in place of `=`, so that a table that a
    /// spreadsheet has saved can be read, too. Empty lines and those that begin with `#` say nothing.
    ///
    /// Fails at the first line that gives no name.
    pub(crate) fn read(text: &str) -> Result<Self, String> {
        let mut names = HashMap::new();
        for (number, line) in (1..).zip(text.trim_start_matches('\u{feff}').lines()) {
            let line = line.trim();
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            let said = line
                .split_once(['=', ',', ';', '\t'])
                .map(|(key, name)| (unquoted(key), unquoted(name)))
                .filter(|(key, name)| !key.is_empty() && !name.is_empty());
            let Some((key, name)) = said else {
                return Err(format!(
                    "line {number}: `{line}` gives nobody a name; write a folder and a name, as in ada = Ada Brook"
                ));
            };
            names.insert(key.to_owned(), name.to_owned());
        }
        Ok(Self(names))
    }

    /// What a student is called: as the folder is, unless a line says otherwise.
    pub(crate) fn of(&self, key: &str) -> String {
        self.0.get(key).cloned().unwrap_or_else(|| key.to_owned())
    }
}

/// A field without the quotes that a spreadsheet puts around it.
fn unquoted(field: &str) -> &str {
    let field = field.trim();
    let within = field
        .strip_prefix('"')
        .and_then(|field| field.strip_suffix('"'));
    within.unwrap_or(field).trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_however_they_are_set_down() {
        let names = Names::read(
            "\u{feff}# the class\nada = Ada Brook\n\nben,\"Ben, the younger\"\ncy;Cy\ndi\tDi\r\n",
        );
        let names = names.unwrap();
        for (key, name) in [
            ("ada", "Ada Brook"),
            ("ben", "Ben, the younger"),
            ("cy", "Cy"),
            ("di", "Di"),
            ("eli", "eli"),
        ] {
            assert_eq!(names.of(key), name);
        }
    }

    #[test]
    fn a_line_without_a_name_is_told() {
        for text in ["ada = Ada\nben", "\n= Ben", "cy ="] {
            let line = text.lines().count();
            let why = Names::read(text).unwrap_err();
            assert!(why.starts_with(&format!("line {line}: ")), "{why}");
        }
    }
}
