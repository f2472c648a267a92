//! `bellhand rip`: what lies between two notes on the harmonic series.

use std::io::Write;

use files::Outcome;
use horn::{Height, Partial, Rip};

use super::arguments::RipArguments;

pub(crate) fn run(arguments: &RipArguments) -> std::io::Result<Outcome> {
    let (from, to) = (Height(arguments.from), Height(arguments.to));
    let mut out = anstream::stdout();
    let ways = horn::rips(arguments.instrument, from, to);
    if ways.is_empty() {
        writeln!(
            out,
            "{from} and {to} lie on no common harmonic series; no fingering rips from one to the other."
        )?;
        let listed = |notes: Vec<Height>| {
            let names: Vec<String> = notes.iter().map(ToString::to_string).collect();
            (!names.is_empty()).then(|| names.join(", "))
        };
        if let Some(ends) = listed(horn::nearest_ends(arguments.instrument, from, to)) {
            writeln!(out, "From {from} a rip can end on {ends}.")?;
        }
        // The octave keeps the harmony, and comes first.
        let mut starts: Vec<Height> = horn::octave_start(arguments.instrument, from, to)
            .into_iter()
            .collect();
        for start in horn::nearest_starts(arguments.instrument, from, to) {
            if !starts.contains(&start) {
                starts.push(start);
            }
        }
        if let Some(starts) = listed(starts) {
            writeln!(out, "To {to} a rip can start on {starts}.")?;
        }
        out.flush()?;
        return Ok(Outcome::Findings);
    }
    for way in ways {
        writeln!(out, "{}", described(way))?;
    }
    out.flush()?;
    Ok(Outcome::Clean)
}

/// A way to rip: the tube, and each partial on the way with how far it lies from equal temperament.
fn described(way: Rip) -> String {
    let between: Vec<String> = way.between().into_iter().map(named).collect();
    let path = if between.is_empty() {
        "nothing lies between; it is only a slur".to_owned()
    } else {
        between.join(", ")
    };
    format!("{}, partials {} to {}: {path}", way.tube, way.from, way.to)
}

fn named(partial: Partial) -> String {
    format!("{} ({:+.0} cents)", partial.height(), partial.cents())
}
