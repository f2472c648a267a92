//! Where words, names and values stand in MusicXML.

use super::spot::{Spot, Wanted};
use super::values::Values;

/// What can stand behind some text; `rest` is what stands behind on the same line.
pub(super) fn spot<'t>(before: &'t str, rest: &str) -> Option<Spot<'t>> {
    let (ahead, typed) = before.rsplit_once('>')?;
    if typed.contains('<') {
        return None;
    }
    let (_, tag) = ahead.rsplit_once('<')?;
    let name = tag.split(|sign: char| sign.is_whitespace()).next()?;
    let wanted = match name {
        "words" => Wanted::Words,
        "part-name" => Wanted::PartName,
        "sign" => Wanted::Value(Values::XmlClefSign),
        "fifths" => Wanted::Value(Values::XmlFifths),
        "beat-unit" => Wanted::Value(Values::XmlBeatUnit),
        // Between a measure's elements.
        _ if typed.trim().is_empty() && follows_in_measure(name) => {
            return Some(Spot::new(Wanted::Music, ""));
        }
        _ => return None,
    };
    let spot = Spot::new(wanted, typed.trim_start());
    let close = match name {
        "words" => "</words>",
        "part-name" => "</part-name>",
        "sign" => "</sign>",
        "fifths" => "</fifths>",
        _ => "</beat-unit>",
    };
    // Whatever tag comes next ends what is written here.
    Some(match rest.find('<') {
        Some(over) => Spot { over, ..spot },
        None => Spot {
            closing: close,
            ..spot
        },
    })
}

/// Whether a tag is one behind which the next element of a measure stands.
fn follows_in_measure(tag: &str) -> bool {
    matches!(
        tag,
        "measure" | "/note" | "/direction" | "/attributes" | "/backup" | "/forward" | "/harmony"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tag_before_tells_what_is_wanted() {
        for (before, rest, wanted) in [
            (
                "<direction><direction-type><words default-y=\"3\">con",
                "</words>",
                Some((Wanted::Words, "con", 0, "")),
            ),
            (
                "<words>con",
                "",
                Some((Wanted::Words, "con", 0, "</words>")),
            ),
            (
                "<words>con",
                " sord.</words>",
                Some((Wanted::Words, "con", 6, "")),
            ),
            (
                "<part-name>",
                "</part-name>",
                Some((Wanted::PartName, "", 0, "")),
            ),
            (
                "<clef><sign>",
                "",
                Some((Wanted::Value(Values::XmlClefSign), "", 0, "</sign>")),
            ),
            ("</note>\n  ", "", Some((Wanted::Music, "", 0, ""))),
            (
                "<measure number=\"2\">",
                "",
                Some((Wanted::Music, "", 0, "")),
            ),
            ("<part-list>\n ", "", None),
            ("<note>", "", None),
            ("<words>a</words", "", None),
            ("con", "", None),
        ] {
            let found =
                spot(before, rest).map(|spot| (spot.wanted, spot.typed, spot.over, spot.closing));
            assert_eq!(found, wanted, "{before}");
        }
    }
}
