//! Signs within a note's token that a player obeys.

use score::{Mark, MarkKind, Sign, Span, TrillTo};

/// The marks of a token, each with its place in it.
pub(super) fn marks(token: &str) -> impl Iterator<Item = (Span, Mark)> {
    token.char_indices().filter_map(|(at, sign)| {
        let next = token[at + sign.len_utf8()..].chars().next();
        let sign_meant = match sign {
            // `y` hides what it follows.
            _ if next == Some('y') => None,
            ';' => Some(Sign::Fermata),
            ',' => Some(Sign::Breath),
            // The representation's own signs: `t` a half step, `T` a whole step up.
            't' => Some(Sign::Trill(TrillTo::Semitones(1))),
            'T' => Some(Sign::Trill(TrillTo::Semitones(2))),
            'H' => Some(Sign::Glissando),
            'U' => Some(Sign::Other("con sordino".to_owned())),
            'u' => Some(Sign::Other("down-bow".to_owned())),
            'v' => Some(Sign::Other("up-bow".to_owned())),
            // Harmonics are no open notes; both are drawn as a circle.
            'o' => Some(Sign::Other("harmonic".to_owned())),
            '\'' => Some(Sign::Other("staccato".to_owned())),
            '^' => Some(Sign::Other("accent".to_owned())),
            '~' => Some(Sign::Other("tenuto".to_owned())),
            _ => None,
        };
        let mark = Mark {
            kind: MarkKind::Sign(sign_meant?),
            on_note: true,
        };
        Some((Span::new(at, at + 1), mark))
    })
}

/// The first character of a token that no kern signifier is, and where it stands.
pub(super) fn stray(token: &str) -> Option<(usize, char)> {
    token
        .char_indices()
        .find(|(_, sign)| !sign.is_ascii() || sign.is_ascii_control())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_of_a_token() {
        let kinds: Vec<_> = marks("4c;T'y")
            .map(|(span, mark)| (span.start, mark.kind))
            .collect();
        assert_eq!(
            kinds,
            [
                (2, MarkKind::Sign(Sign::Fermata)),
                (3, MarkKind::Sign(Sign::Trill(TrillTo::Semitones(2))))
            ]
        );
        let bows: Vec<_> = marks("4cu 4dv").map(|(_, mark)| mark.kind).collect();
        let other = |name: &str| MarkKind::Sign(Sign::Other(name.to_owned()));
        assert_eq!(bows, [other("down-bow"), other("up-bow")]);
        assert_eq!(stray("[4c\\ū"), Some((4, 'ū')));
        assert_eq!(stray("[4c\\"), None);
    }
}
