//! Lengths: note lengths, unit lengths, metres, tuplets and broken rhythm.

use score::bounds::LONGEST;
use theory::{Meter, Quarters};
use tree_sitter::Node;

use super::syntax::{field_text, text_of};

/// The factor that a length such as `3/2`, `/`, `//` or `4` puts on the unit note length.
pub(super) fn factor(length: Option<&str>) -> Quarters {
    let Some(length) = length else {
        return Quarters::ONE;
    };
    let digits = length.bytes().take_while(u8::is_ascii_digit).count();
    let (over, rest) = length.split_at(digits);
    let slashes = rest.bytes().take_while(|&byte| byte == b'/').count();
    let under = rest.get(slashes..).unwrap_or_default();
    let numerator = bounded(over).unwrap_or(1);
    let denominator = match bounded(under) {
        Some(number) => number,
        None => 1 << slashes.min(16),
    };
    Quarters::new(numerator, denominator)
}

/// The largest number in a length or metre; damaged text may hold more digits than music needs.
const LARGEST: i64 = 1_000_000;
/// The largest number of a tuplet.
const LARGEST_TUPLET: i64 = 256;
/// The shortest note that a metre can count.
const FINEST_METER: i64 = 1024;

/// A number, held to the largest.
fn bounded(digits: &str) -> Option<i64> {
    if digits.is_empty() {
        None
    } else {
        Some(digits.parse().map_or(LARGEST, |n: i64| n.min(LARGEST)))
    }
}

/// Whether the numbers of a length are such as music needs.
pub(super) fn is_believed(length: &str) -> bool {
    length
        .split(|sign: char| !sign.is_ascii_digit())
        .filter_map(bounded)
        .all(|number| number < LARGEST)
}

/// A fraction of a whole note, `1/8`, in quarter notes.
pub(super) fn whole_note_fraction(text: &str) -> Option<Quarters> {
    let (over, under) = text.split_once('/').unwrap_or((text, "1"));
    let (over, under) = (bounded(over.trim())?, bounded(under.trim())?);
    let length = (over > 0 && under > 0).then(|| Quarters::new(over * 4, under));
    length.filter(|length| is_believed(text) && *length <= LONGEST)
}

/// What an `M:` field says; the outer `None` when it says nothing readable.
#[expect(
    clippy::option_option,
    reason = "no metre at all is a metre too: free time"
)]
pub(super) fn meter(node: Node<'_>, text: &str) -> Option<Option<Meter>> {
    let mut cursor = node.walk();
    for child in node.children(&mut cursor) {
        match child.kind() {
            "meter_common" => return Some(Some(Meter { beats: 4, unit: 4 })),
            "meter_cut" => return Some(Some(Meter { beats: 2, unit: 2 })),
            "meter_none" => return Some(None),
            "meter_fraction" => {
                let beats = field_text(child, "numerator", text)?
                    .split(|sign: char| !sign.is_ascii_digit())
                    .filter_map(bounded)
                    .fold(0, i64::saturating_add);
                let unit = field_text(child, "denominator", text)
                    .and_then(bounded)
                    .unwrap_or(4);
                let (beats, unit) = (u32::try_from(beats).ok()?, u32::try_from(unit).ok()?);
                let meter = Meter { beats, unit };
                let counts = beats > 0 && (1..=FINEST_METER).contains(&i64::from(unit));
                return (counts && meter.bar() <= LONGEST).then_some(Some(meter));
            }
            _ => {}
        }
    }
    // An empty M: means free time.
    (node.named_child_count() <= 1).then_some(None)
}

/// The unit length an `L:` field sets, in quarter notes.
pub(super) fn unit(node: Node<'_>, text: &str) -> Option<Quarters> {
    let mut cursor = node.walk();
    node.children(&mut cursor)
        .find(|child| child.kind() == "fraction")
        .and_then(|child| whole_note_fraction(text_of(child, text)))
}

/// The unit length when none is set (ABC 2.1, section 3.1.7): by the metre's size.
pub(super) fn default_unit(meter: Option<Meter>) -> Quarters {
    match meter {
        Some(meter) if meter.bar() < Quarters::whole(3) => Quarters::new(1, 4),
        _ => Quarters::new(1, 2),
    }
}

/// How many notes a tuplet takes, and the factor on each: `(3` is three in the time of two. `None` where it is of none,
/// or of more than anybody plays.
pub(super) fn tuplet(node: Node<'_>, text: &str, meter: Option<Meter>) -> Option<(u32, Quarters)> {
    let number = |field| field_text(node, field, text).and_then(bounded);
    if ["p", "q", "r"]
        .into_iter()
        .filter_map(number)
        .any(|n| n > LARGEST_TUPLET)
    {
        return None;
    }
    let p = number("p").filter(|p| *p > 0)?;
    let compound = meter.is_some_and(Meter::is_compound);
    let q = number("q").filter(|q| *q > 0).unwrap_or(match p {
        3 | 6 => 2,
        2 | 4 | 8 => 3,
        _ if compound => 3,
        _ => 2,
    });
    let r = number("r").filter(|r| *r > 0).unwrap_or(p);
    Some((u32::try_from(r).ok()?, Quarters::new(q, p)))
}

/// The most signs of one broken rhythm (ABC 2.1, section 4.4).
pub(super) const MOST_BROKEN: usize = 3;

/// What `>` or `<`, once to three times, does to the note before and the note after.
pub(super) fn broken(signs: &str) -> (Quarters, Quarters) {
    let depth = signs.len().clamp(1, MOST_BROKEN) as u32;
    let (long, short) = (
        Quarters::new(2_i64.pow(depth + 1) - 1, 2_i64.pow(depth)),
        Quarters::new(1, 2_i64.pow(depth)),
    );
    if signs.starts_with('>') {
        (long, short)
    } else {
        (short, long)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths() {
        for (length, n, d) in [
            ("2", 2, 1),
            ("/", 1, 2),
            ("//", 1, 4),
            ("3/", 3, 2),
            ("3/2", 3, 2),
            ("/4", 1, 4),
            ("7//", 7, 4),
        ] {
            assert_eq!(factor(Some(length)), Quarters::new(n, d), "{length}");
        }
        assert_eq!(factor(None), Quarters::ONE);
        assert_eq!(
            factor(Some("99999999999999999999")),
            Quarters::whole(1_000_000)
        );
    }

    #[test]
    fn broken_rhythm_keeps_the_sum() {
        for signs in [">", "<", ">>", "<<", ">>>"] {
            let (one, other) = broken(signs);
            assert_eq!(one + other, Quarters::whole(2), "{signs}");
        }
        assert_eq!(broken(">>"), (Quarters::new(7, 4), Quarters::new(1, 4)));
    }
}
