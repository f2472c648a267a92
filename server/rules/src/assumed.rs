//! What is so only at an assumed tempo is said once for each part and rule, with the tempo from which on it is not.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use crate::finding::{Finding, Related};

/// As many further places are shown as a player can look up at a glance.
const PLACES_SHOWN: usize = 8;

/// That a finding rests on a tempo nobody marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AtAssumedTempo {
    /// The piece, by its place in the document.
    pub(crate) piece: usize,
    /// The part, by its place in the piece.
    pub(crate) part: usize,
    /// From which speed on it is no longer so.
    pub(crate) ceases: Ceases,
}

/// The speed from which on a finding is no longer so, in whole quarter notes a minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ceases {
    /// So slow, or slower: there is time.
    Slower(u32),
    /// So fast, or faster: it is soon over.
    Faster(u32),
}

impl Ceases {
    /// From the assumed speed and its multiple at which the finding is just no longer so; `None` when it is so at any
    /// speed.
    pub(crate) fn at(assumed: f64, multiple: f64) -> Option<Self> {
        // What is counted in thirds of a second comes out a hair beside the whole number.
        let rate = assumed * multiple;
        if !rate.is_finite() {
            None
        } else if multiple > 1.0 {
            Some(Self::Faster((rate - 1e-6).ceil() as u32))
        } else {
            let rate = (rate + 1e-6).floor() as u32;
            (rate > 0).then_some(Self::Slower(rate))
        }
    }

    /// Whether this is so at more speeds than another.
    const fn holds_longer_than(self, other: Self) -> bool {
        match (self, other) {
            (Self::Slower(one), Self::Slower(two)) => one < two,
            (Self::Faster(one), Self::Faster(two)) => one > two,
            (Self::Slower(_), Self::Faster(_)) | (Self::Faster(_), Self::Slower(_)) => false,
        }
    }

    fn sentence(self) -> String {
        let (way, rate) = match self {
            Self::Slower(rate) => ("faster", rate),
            Self::Faster(rate) => ("slower", rate),
        };
        format!(
            "This matters only if the music goes {way} than about {rate} quarter notes a minute; a tempo mark would settle it."
        )
    }
}

/// Says once for each part and rule what rests on an assumed tempo, at the place where it holds at most speeds, and
/// names the other places there.
#[must_use]
pub fn once_a_part(findings: Vec<Finding>) -> Vec<Finding> {
    let mut kept = Vec::with_capacity(findings.len());
    /// The finding that speaks, when it ceases, and the others it speaks for.
    type Group = (Finding, Ceases, Vec<Finding>);
    let mut groups: BTreeMap<(usize, usize, &str), Group> = BTreeMap::new();
    for finding in findings {
        let Some(assumed) = finding.assumed else {
            kept.push(finding);
            continue;
        };
        match groups.entry((assumed.piece, assumed.part, finding.rule)) {
            Entry::Vacant(empty) => {
                empty.insert((finding, assumed.ceases, Vec::new()));
            }
            Entry::Occupied(mut group) => {
                let (first, ceases, others) = group.get_mut();
                if assumed.ceases.holds_longer_than(*ceases) {
                    *ceases = assumed.ceases;
                    others.push(std::mem::replace(first, finding));
                } else {
                    others.push(finding);
                }
            }
        }
    }
    kept.extend(
        groups
            .into_values()
            .map(|(first, ceases, others)| joined(first, ceases, others)),
    );
    kept
}

fn joined(mut first: Finding, ceases: Ceases, mut others: Vec<Finding>) -> Finding {
    first.message = format!("{} {}", first.message, ceases.sentence());
    if others.is_empty() {
        return first;
    }
    others.sort_by_key(|other| other.span);
    let places = match others.len() {
        1 => "one more place".to_owned(),
        many => format!("{many} more places"),
    };
    let mut bars: Vec<u32> = others.iter().filter_map(|other| other.bar).collect();
    bars.sort_unstable();
    bars.dedup();
    let in_bars = match bars.as_slice() {
        [] => String::new(),
        [bar] => format!(" in bar {bar}"),
        [bar, .., last] if bars.len() > PLACES_SHOWN => format!(" from bar {bar} to bar {last}"),
        [bars @ .., last] => {
            let bars: Vec<String> = bars.iter().map(ToString::to_string).collect();
            format!(" in bars {} and {last}", bars.join(", "))
        }
    };
    first.message = format!(
        "{} The same question stands at {places}{in_bars}.",
        first.message
    );
    for other in others {
        first.severity = first.severity.max(other.severity);
        if other.player != first.player {
            first.player = None;
        }
        if first.related.len() < PLACES_SHOWN {
            first.related.push(Related {
                span: other.span,
                message: "the same question at this tempo".to_owned(),
            });
        }
    }
    first
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rule::Severity;
    use score::Span;

    fn finding(rule: &'static str, at: usize, ceases: Option<Ceases>) -> Finding {
        Finding {
            rule,
            severity: Severity::Information,
            span: Span::new(at, at + 1),
            part: None,
            player: None,
            bar: Some(at as u32),
            message: format!("At {at}."),
            source: String::new(),
            related: Vec::new(),
            unnecessary: false,
            fixes: Vec::new(),
            assumed: ceases.map(|ceases| AtAssumedTempo {
                piece: 0,
                part: 0,
                ceases,
            }),
        }
    }

    #[test]
    fn what_rests_on_a_guess_is_said_once_where_it_holds_longest() {
        let said = once_a_part(vec![
            finding("line/leap", 3, Some(Ceases::Slower(90))),
            finding("line/leap", 5, Some(Ceases::Slower(60))),
            finding("line/leap", 7, Some(Ceases::Slower(60))),
            finding("line/trill", 9, None),
            finding("stamina/no-rest", 4, Some(Ceases::Faster(120))),
        ]);
        let at: Vec<(&str, usize)> = said.iter().map(|f| (f.rule, f.span.start)).collect();
        assert_eq!(
            at,
            [("line/trill", 9), ("line/leap", 5), ("stamina/no-rest", 4)]
        );
        assert_eq!(
            said[1].message,
            "At 5. This matters only if the music goes faster than about 60 quarter notes a minute; a tempo mark would settle \
             it. The same question stands at 2 more places in bars 3 and 7."
        );
        assert_eq!(said[1].related.len(), 2);
        assert!(said[2].message.contains("slower than about 120"));
    }

    #[test]
    fn parts_and_pieces_are_told_apart() {
        let mut other = finding("line/leap", 5, Some(Ceases::Slower(60)));
        if let Some(assumed) = &mut other.assumed {
            assumed.part = 1;
        }
        let one = finding("line/leap", 3, Some(Ceases::Slower(90)));
        assert_eq!(once_a_part(vec![one, other]).len(), 2);
    }

    #[test]
    fn what_is_so_at_any_speed_is_no_guess() {
        assert_eq!(Ceases::at(100.0, 0.0), None);
        assert_eq!(Ceases::at(100.0, f64::INFINITY), None);
        assert_eq!(Ceases::at(100.0, 0.755), Some(Ceases::Slower(75)));
        assert_eq!(Ceases::at(100.0, 1.255), Some(Ceases::Faster(126)));
    }
}
