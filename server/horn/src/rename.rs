//! A part's name for another crook, in the name's own words; reading it back gives that crook and no other.

use std::ops::Range;

use crate::crook::Crook;
use crate::crook_name::{CrookName, Found, crook_at, is_preposition};
use crate::crook_style::Style;
use crate::name::{PartName, find_crook, find_horn, read_name};
use crate::players::unison_at;
use crate::words::{Kind, Token, tokens};
use crate::written_for::WrittenFor;

/// The horn's word that a name leaves out, with the space after it.
const HORN: &str = "Horn ";

/// Whether a horn's name says that its page shows what sounds: `Horn 1 (concert pitch)`.
#[must_use]
pub fn is_at_concert_pitch(name: &str) -> bool {
    let tokens = tokens(name);
    find_horn(&tokens)
        .and_then(|(horn, noun)| find_crook(&tokens, horn, noun))
        .is_some_and(|found| found.is_concert_pitch())
}

/// The name with another crook in the old one's place, or at its end.
///
/// Language, signs and the rest of the name stay: `Corno 1 in Mi♭` becomes `Corno 1 in Fa`, `Hörner in Es` becomes
/// `Hörner in F`. A name that is no horn's is kept, and followed by the crook in English.
#[must_use]
pub fn renamed(name: &str, target: WrittenFor) -> String {
    let tokens = tokens(name);
    let Some((horn, noun)) = find_horn(&tokens) else {
        // "in D", of a part that something else says is a horn's.
        let as_horn = format!("{HORN}{name}");
        if read_name(&as_horn).crook_range.is_some() {
            let new = renamed(&as_horn, target);
            return new
                .strip_prefix(HORN)
                .map_or_else(|| new.clone(), str::to_owned);
        }
        return match target {
            WrittenFor::Crook(crook) => format!("{} in {}", name.trim_end(), crook.abbreviation()),
            WrittenFor::ConcertPitch => format!("{} (concert pitch)", name.trim_end()),
        };
    };
    let crook = find_crook(&tokens, horn, noun);
    let style = Style::of(
        &tokens,
        horn,
        crook.as_ref().filter(|found| !found.is_concert_pitch()),
    );
    let before = read_name(name);
    match (target, crook) {
        (WrittenFor::ConcertPitch, None) => at_concert(name.trim_end(), style),
        (WrittenFor::ConcertPitch, Some(found)) if found.is_concert_pitch() => name.to_owned(),
        (WrittenFor::ConcertPitch, Some(found)) => {
            at_concert(&without(name, &tokens, &found), style)
        }
        (WrittenFor::Crook(crook), Some(found)) if !found.is_concert_pitch() => {
            let range = whole(&tokens, &found);
            let (start, end) = (
                name.get(..range.start).unwrap_or_default(),
                name.get(range.end..).unwrap_or_default(),
            );
            let written = spelled(style, crook, &before, |spelling| {
                format!("{start}{spelling}{end}")
            });
            written.unwrap_or_else(|| added(&without(name, &tokens, &found), style, crook, &before))
        }
        (WrittenFor::Crook(crook), Some(found)) => {
            added(&without(name, &tokens, &found), style, crook, &before)
        }
        (WrittenFor::Crook(crook), None) => added(name.trim_end(), style, crook, &before),
    }
}

/// The first spelling that makes a name of this crook and of no other, for the players of before.
fn spelled(
    style: Style,
    crook: Crook,
    before: &PartName,
    name: impl Fn(&str) -> String,
) -> Option<String> {
    style
        .spellings(crook)
        .iter()
        .map(|spelling| name(spelling))
        .find(|name| {
            let read = read_name(name);
            read.is_horn
                && read.crook == CrookName::Named(crook)
                && read.players == before.players
                && read.plural == before.plural
        })
}

fn added(name: &str, style: Style, crook: Crook, before: &PartName) -> String {
    let preposition = style.preposition();
    spelled(style, crook, before, |spelling| {
        format!("{name} {preposition} {spelling}")
    })
    .unwrap_or_else(|| format!("{name} in {}", crook.abbreviation()))
}

fn at_concert(name: &str, style: Style) -> String {
    format!("{name} ({})", style.concert_pitch())
}

/// The bytes of a crook and of others it is named together with: `F/B♭` of a double horn.
fn whole(tokens: &[Token<'_>], found: &Found) -> Range<usize> {
    let mut range = found.range.clone();
    let mut end = found.tokens.end;
    while let Some(joint) = tokens.get(end)
        && (joint.is_sign("/") || joint.is_sign("&") || joint.is_sign("+"))
        && unison_at(tokens, end + 1).is_none()
        && let Some(other) = crook_at(tokens, end + 1)
    {
        range.end = other.range.end;
        end = other.tokens.end;
    }
    range
}

/// A name without its crook, the words that lead to it and the brackets around it.
fn without(name: &str, tokens: &[Token<'_>], found: &Found) -> String {
    let mut range = whole(tokens, found);
    let mut from = found.tokens.start;
    let mut to = tokens.partition_point(|token| token.range.end <= range.end);
    let mut bracketed = false;
    while let Some(before) = from.checked_sub(1).and_then(|at| tokens.get(at)) {
        let opens = before.is_sign("(") || before.is_sign("[");
        let leads =
            is_preposition(before) || before.is_sign(".") && leads_by_point(tokens, from - 1);
        if !(opens || leads) || bracketed {
            break;
        }
        bracketed = opens;
        from -= 1;
        range.start = before.range.start;
    }
    while let Some(after) = tokens.get(to) {
        let closes = after.is_sign(")") || after.is_sign("]");
        let filler = matches!(after.folded.as_str(), "crook" | "horn") && bracketed;
        // "Es-Horn": the hyphen joined the two.
        let hyphen = after.is_sign("-") && from == found.tokens.start;
        let comma = after.is_sign(",") && bracketed;
        if !(closes && bracketed || filler || hyphen || comma) {
            break;
        }
        to += 1;
        range.end = after.range.end;
        if comma {
            // "[Es, 1]": the number keeps its bracket.
            range.start = tokens
                .get(from + 1)
                .map_or(range.start, |token| token.range.start);
            break;
        }
        if closes {
            break;
        }
    }
    let (before, after) = (
        name.get(..range.start).unwrap_or_default().trim_end(),
        name.get(range.end..).unwrap_or_default().trim_start(),
    );
    let before = before.trim_end_matches([',', ' ']);
    let gap = if before.is_empty()
        || after.is_empty()
        || after.starts_with([',', '.', ')', ']'])
        || before.ends_with(['(', '['])
    {
        ""
    } else {
        " "
    };
    format!("{before}{gap}{after}")
}

/// Whether a point stands between "in" and a crook, as scribes wrote it: `in.D.`
fn leads_by_point(tokens: &[Token<'_>], at: usize) -> bool {
    at.checked_sub(1)
        .and_then(|before| tokens.get(before))
        .is_some_and(|before| before.kind == Kind::Word && is_preposition(before))
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 74] = [
        "Horn",
        "HORN",
        "Horn in F",
        "Horn 1 in F",
        "F Horn 1",
        "F French Horn 2",
        "Horn (F)",
        "Horn F",
        "Horn 1, F",
        "Horn (E♭ crook)",
        "Bb alto Horn 1",
        "A Horn 1",
        "E flat Horn 3",
        "E-flat Horn",
        "Horn in E♭",
        "Horns in E flat I.II.",
        "Horns 1 & 2",
        "4 Horns in F",
        "2 F Horns",
        "Hn. 1",
        "Hrn. III-IV",
        "Natural Horn in D",
        "Double Horn in F/B♭",
        "Horn in F & B♭",
        "Horns 3 & 4 in E♭ (alto)",
        "Horn in F, part 2",
        "HORN IN F",
        "3. & 4. Horn (Es)",
        "Hörner in F",
        "4 Hörner",
        "1. Horn in Es",
        "Waldhörner in D",
        "Naturhorn in Dis",
        "Es-Horn",
        "F-Horn 1",
        "Horn in H",
        "Hoch B Horn",
        "Hörner in Tief B",
        "Horn in tief As",
        "Zweites Horn",
        "Corno",
        "Corno I in Fa",
        "Corni in Dis",
        "Corni I e II",
        "Corni I. II. in Mi bemolle",
        "Corni in Si b basso",
        "Corni in Sib acuto",
        "Corni in Re",
        "CORNI IN RE",
        "2 Corni in G",
        "Corno da caccia",
        "Corno Es 2",
        "Cor. 3.4. in E",
        "Corno 2do in Re",
        "Corni 1º e 2º in Fa",
        "Cor 1 (Fa)",
        "Cors",
        "Cor en Fa",
        "1er Cor en mi bémol",
        "Cors en Ut grave",
        "Cors en ré",
        "2 Cors chromatiques en Fa",
        "Trompe de chasse en ré",
        "Trompa",
        "Trompa en Fa 1ª",
        "Trompas 1 y 2 en Fa",
        "Trompas em Mi bemol",
        "Rogi I i II in F",
        "Waltornia",
        "Lesní rohy v F",
        "Valthorn 1 i F",
        "Hoorn 2 in F",
        "Corno Primo Toni D#",
        "Corno 1 in.D.",
    ];

    fn crook(name: &str, crook: Crook) -> String {
        renamed(name, WrittenFor::Crook(crook))
    }

    #[test]
    fn names_keep_their_language() {
        for (name, to, new) in [
            ("Horn 1 in D", Crook::F, "Horn 1 in F"),
            ("Horn 1 in D", Crook::EFlat, "Horn 1 in Eb"),
            ("Horn 3 in E flat", Crook::AFlat, "Horn 3 in A flat"),
            ("E-flat Horn", Crook::AFlat, "A-flat Horn"),
            ("Horn in E♭", Crook::FSharp, "Horn in F♯"),
            ("Corno in Mi♭", Crook::F, "Corno in Fa"),
            ("Corno in Mi♭", Crook::BFlatBasso, "Corno in Si♭ basso"),
            ("Hörner in Es", Crook::F, "Hörner in F"),
            (
                "1.2. Hörner in Es",
                Crook::BFlatBasso,
                "1.2. Hörner in tief B",
            ),
            ("Hörner in F", Crook::BBasso, "Hörner in H"),
            ("Hörner in Tief B", Crook::F, "Hörner in F"),
            ("Es-Horn", Crook::F, "F-Horn"),
            ("Hörner in Es", Crook::FSharp, "Hörner in Fis"),
            ("horn in es", Crook::DFlat, "horn in des"),
            ("corno in fa", Crook::D, "corno in re"),
            // "in la bocca", "in a box": a small one would be an article.
            ("horn in f offstage", Crook::A, "horn in A offstage"),
            // "Cor." with its point is Italian, "Cor" French.
            ("Cor. in Re", Crook::CBasso, "Cor. in Do basso"),
            ("Cor en ré", Crook::F, "Cor en fa"),
            ("Cor 2 en ré", Crook::EFlat, "Cor 2 en mi bémol"),
            ("Cors en Ré", Crook::CBasso, "Cors en Ut grave"),
            (
                "Trompa en Fa 1ª",
                Crook::FSharp,
                "Trompa en Fa sostenido 1ª",
            ),
            ("Corno in Es I", Crook::F, "Corno in F I"),
            ("Corni in D", Crook::EFlat, "Corni in Es"),
            ("Corni in D", Crook::BFlatAlto, "Corni in B alto"),
            ("Corno in Eb", Crook::AFlat, "Corno in Ab"),
            ("CORNI IN RE", Crook::EFlat, "CORNI IN MI BEMOLLE"),
            ("E Horn 1", Crook::F, "F Horn 1"),
            ("Horn 1 (E♭)", Crook::F, "Horn 1 (F)"),
            ("Double Horn in F/B♭", Crook::EFlat, "Double Horn in Eb"),
            ("Horns 1.2.", Crook::F, "Horns 1.2. in F"),
            ("Corni I e II", Crook::F, "Corni I e II in Fa"),
            ("Cors 1 et 2", Crook::EFlat, "Cors 1 et 2 en mi bémol"),
            ("4 Hörner", Crook::EFlat, "4 Hörner in Es"),
            ("Horn in F", Crook::BBasso, "Horn in B natural basso"),
        ] {
            assert_eq!(crook(name, to), new, "{name}");
        }
    }

    #[test]
    fn concert_pitch_names_no_crook_and_is_left_again() {
        for (name, concert) in [
            ("Horn 1 in D", "Horn 1 (concert pitch)"),
            ("Horn", "Horn (concert pitch)"),
            ("F Horn 1", "Horn 1 (concert pitch)"),
            ("Horn (F) 1", "Horn 1 (concert pitch)"),
            ("Horn (E♭ crook)", "Horn (concert pitch)"),
            ("Horn, F", "Horn (concert pitch)"),
            ("Horn (F, 1)", "Horn (1) (concert pitch)"),
            ("(Horn in F)", "(Horn) (concert pitch)"),
            ("Corno in Es I", "Corno I (suoni reali)"),
            ("Corni in Sol", "Corni (suoni reali)"),
            ("Cors en ré", "Cors (sons réels)"),
            ("Hörner in Es", "Hörner (klingend)"),
            ("Es-Horn", "Horn (klingend)"),
            ("Trompas 1 y 2 en Fa", "Trompas 1 y 2 (sonidos reales)"),
        ] {
            let written = renamed(name, WrittenFor::ConcertPitch);
            assert_eq!(written, concert, "{name}");
            assert_eq!(renamed(&written, WrittenFor::ConcertPitch), written);
            assert!(!written.to_lowercase().contains("alto"), "{written}");
        }
        assert_eq!(crook("Horn 1 (concert pitch)", Crook::F), "Horn 1 in F");
        assert_eq!(crook("Cors (sons réels)", Crook::D), "Cors en ré");
        assert_eq!(crook("Horn (klingend)", Crook::EFlat), "Horn in Eb");
    }

    #[test]
    fn every_crook_in_every_language_is_read_back() {
        let mut written = 0;
        for name in NAMES {
            let before = read_name(name);
            assert!(before.is_horn, "{name}");
            for target in WrittenFor::ALL
                .into_iter()
                .chain([WrittenFor::Crook(Crook::CAlto)])
            {
                let new = renamed(name, target);
                let read = read_name(&new);
                assert!(read.is_horn, "{name}: {new}");
                assert_eq!(
                    read.crook,
                    CrookName::Named(target.crook()),
                    "{name}: {new}"
                );
                assert_eq!(read.players, before.players, "{name}: {new}");
                assert_eq!(
                    (read.plural, read.unison, read.natural),
                    (before.plural, before.unison, before.natural),
                    "{name}: {new}"
                );
                // And on from there.
                let on = crook(&new, Crook::E);
                assert_eq!(
                    read_name(&on).crook,
                    CrookName::Named(Crook::E),
                    "{new}: {on}"
                );
                written += 1;
            }
        }
        println!("{written} names written and read back");
        assert_eq!(written, NAMES.len() * 17);
    }

    #[test]
    fn no_name_breaks_it() {
        for name in [
            "",
            "in",
            "Staff",
            "Horn in (",
            "horn ♭",
            "(F horn",
            "Horn in F/",
            "Es-",
            "Horn )(",
        ] {
            for target in WrittenFor::ALL {
                let _ = renamed(name, target);
            }
        }
        assert_eq!(crook("Staff", Crook::F), "Staff in F");
        assert_eq!(crook("in D", Crook::F), "in F");
        assert_eq!(crook("Primo in D", Crook::EFlat), "Primo in Eb");
    }
}
