//! Words of a command line that are read in many spellings, and what was likely meant by those that are none.

use std::fmt::Display;
use std::str::FromStr;

use clap::ValueEnum as _;

use super::arguments::Report;

/// What was likely meant, to stand behind what is wrong; nothing where the words are like nothing that is known.
pub(super) fn did_you_mean<'k>(words: &str, known: impl IntoIterator<Item = &'k str>) -> String {
    horn::likeliest(words.trim(), known)
        .map(|meant| format!("; did you mean \"{meant}\"?"))
        .unwrap_or_default()
}

/// Reads a crook, or concert pitch.
pub(super) fn written_for(words: &str) -> Result<horn::WrittenFor, String> {
    let known = horn::WrittenFor::ALL
        .iter()
        .flat_map(|one| [one.to_string(), one.crook().name().to_owned()]);
    read(words, known.chain(["concert".to_owned()]))
}

/// Reads a kind of horn.
pub(super) fn instrument(words: &str) -> Result<horn::Instrument, String> {
    read(
        words,
        horn::Instrument::ALL.map(|kind| kind.word().to_owned()),
    )
}

/// Reads a shape of report.
pub(super) fn report(words: &str) -> Result<Report, String> {
    Report::from_str(words, false).map_err(|_| {
        let known = Report::value_variants().iter();
        let known = known.filter_map(|one| Some(one.to_possible_value()?.get_name().to_owned()));
        let known: Vec<String> = known.collect();
        let instead = did_you_mean(words, known.iter().map(String::as_str));
        format!(
            "`{words}` is no report; write one of {}{instead}",
            known.join(", ")
        )
    })
}

fn read<T>(words: &str, known: impl IntoIterator<Item = String>) -> Result<T, String>
where
    T: FromStr,
    T::Err: Display,
{
    words.parse().map_err(|why: T::Err| {
        let known: Vec<String> = known.into_iter().collect();
        let instead = did_you_mean(words, known.iter().map(String::as_str));
        format!("{why}{instead}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_answered_with_what_was_meant() {
        let crook = |words: &str| written_for(words).unwrap_err();
        for (error, meant) in [
            (crook("Eflt"), "; did you mean \"E flat\"?"),
            (crook("horn in Gg"), "; did you mean \"horn in G\"?"),
            (crook("conzert"), "; did you mean \"concert\"?"),
            (
                instrument("duoble").unwrap_err(),
                "; did you mean \"double\"?",
            ),
            (report("junti").unwrap_err(), "; did you mean \"junit\"?"),
        ] {
            assert!(error.ends_with(meant), "{error}");
        }
        // What is like nothing gets no guess.
        for error in [
            crook("nothing such"),
            instrument("kazoo").unwrap_err(),
            report("paper").unwrap_err(),
        ] {
            assert!(!error.contains("did you mean"), "{error}");
        }
        assert_eq!(report("sarif"), Ok(Report::Sarif));
    }
}
