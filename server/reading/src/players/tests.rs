//! Lines are shared out among players from the top, and plain bars as any other.

use super::*;

fn set(players: &[usize]) -> Players {
    players
        .iter()
        .fold(Players::NONE, |set, player| set.with(Players::one(*player)))
}

/// A bar of notes, rests in print and hidden, and signs, with or without words; every fourth note is tied.
fn bar(seed: usize, words: Option<&str>) -> Bar {
    let mut kinds = Vec::new();
    if let Some(text) = words {
        kinds.push(EventKind::Mark(Mark {
            kind: MarkKind::Words(score::Text {
                text: text.to_owned(),
                span: Span::default(),
            }),
            on_note: false,
        }));
    }
    for place in 0..seed % 5 {
        let number = seed * 7 + place;
        let rest = |visible| {
            EventKind::Rest(score::Rest {
                length: Quarters::ONE,
                visible,
                whole_bar: false,
                layer: 0,
            })
        };
        let sign = EventKind::Mark(Mark {
            kind: MarkKind::Sign(score::Sign::Plus),
            on_note: true,
        });
        let note = EventKind::Note(Note {
            written: theory::WrittenPitch(theory::Pitch::from_midi(60 + number as i32 % 3, true)),
            sounding: None,
            length: Quarters::ONE,
            alteration_from: score::AlterationFrom::Nothing,
            pitch_span: Span::default(),
            tied_from: number.is_multiple_of(4),
            tied_to: false,
            grace: number.is_multiple_of(9),
            chord: false,
            slurred_to_next: false,
            layer: 0,
        });
        match number % 6 {
            0 => kinds.push(rest(true)),
            1 => kinds.push(rest(false)),
            2 => kinds.extend([sign, note]),
            _ => kinds.push(note),
        }
    }
    let events = kinds.into_iter().enumerate().map(|(at, kind)| Event {
        offset: Quarters::whole(at as i64),
        span: Span::new(at, at + 1),
        kind,
    });
    Bar {
        number: seed as u32,
        onset: Quarters::whole(4 * seed as i64),
        length: Quarters::whole(4),
        meter: None,
        runs: score::Runs::from_buf([score::Run {
            base: 0,
            body: std::sync::Arc::new(score::RunBody::new(events.collect(), 8)),
        }]),
        close: None,
    }
}

#[test]
fn a_plain_bar_is_shared_out_as_any_other() {
    let says = ["solo", "take Wagner tuba", "a2", "muta in F", "2.", "tutti"];
    let mut plain = 0;
    for seed in 0..60 {
        // Between words stand bars without any, also while the player is away.
        let said = |at: usize| says.get(at % 33 / 3).filter(|_| at.is_multiple_of(3));
        let bars = (seed..seed + 40).map(|at| bar(at, said(at).copied()));
        let part = Part {
            bars: bars.collect(),
            ..Part::default()
        };
        for name in ["Horn in F", "Horn 2 in F"] {
            let name = horn::read_name(name);
            let shared = share(&part, &name);
            let mut each = Sharing {
                numbers: shared.numbers.clone(),
                ..Sharing::default()
            };
            assert_eq!(each.numbers.len(), 1);
            let mut walk = Walk::new(Players::first(1), false, !name.players.is_empty());
            for (index, bar) in part.bars.iter().enumerate() {
                let events: Vec<_> = bar.events(index).collect();
                walk.bar(&events, bar.number, &mut each);
                plain += usize::from(!bar.holds(Kinds::WORDS));
            }
            each.absences = walk.away.absences;
            assert_eq!(shared, each);
            assert!(!shared.absences.is_empty());
        }
    }
    println!("{plain} plain bars");
    assert!(plain > 2_000);
}

#[test]
fn lines_are_shared_out_from_the_top() {
    for (players, lines, shares) in [
        (2, 1, vec![vec![0, 1]]),
        (2, 2, vec![vec![0], vec![1]]),
        (4, 2, vec![vec![0, 1], vec![2, 3]]),
        (4, 3, vec![vec![0], vec![1], vec![2, 3]]),
        (3, 2, vec![vec![0], vec![1, 2]]),
        (2, 3, vec![vec![0], vec![0], vec![1]]),
        (1, 2, vec![vec![0], vec![0]]),
    ] {
        let got: Vec<Players> = (0..lines)
            .map(|line| group(Players::first(players), lines, line))
            .collect();
        let wanted: Vec<Players> = shares.iter().map(|share| set(share)).collect();
        assert_eq!(got, wanted, "{players} players, {lines} lines");
    }
}
