//! What sounds around a horn's note: the harmony, and how much of it covers the horn.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use notation::{Document, Format};

/// The pitch classes that sound and the units that cover the horn, at each note of the horn, beside two other parts.
fn around(horn: &str, flute: &str, trombone: &str) -> Vec<(Vec<i32>, u32)> {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Flute\"\nV:2 name=\"Horn in F\" transpose=-7\nV:3 name=\"Trombone\"\n\
         [V:1] {flute} |]\n[V:2] {horn} |]\n[V:3] {trombone} |]\n"
    );
    let document = Document::from_text(Format::Abc, &text);
    let analysis = Judged::new(document, Settings::default());
    let (_, piece) = analysis.pieces().next().unwrap();
    let horn = &piece.horns[0];
    let notes = horn.notes.iter().map(|note| {
        let around = piece.around(horn, note);
        assert_eq!(around.own, if horn_is_loud(note) { 2 } else { 1 });
        let classes = (0..12).filter(|class| around.harmony.has(*class));
        (classes.collect(), around.cover)
    });
    notes.collect()
}

fn horn_is_loud(note: &reading::PlayedNote) -> bool {
    note.dynamic.is_some_and(|(dynamic, _)| dynamic.is_loud())
}

#[test]
fn the_harmony_is_what_sounds_as_the_note_begins() {
    // The horn sounds F, then G; the flute's A ends as the G begins.
    assert_eq!(
        around("c2 d2", "A2 B2", "C,4"),
        [(vec![0, 5, 9], 0), (vec![0, 7, 11], 0)]
    );
    // A note of two parts is still there when one of them leaves it.
    assert_eq!(
        around("c2 d2", "F,2 z2", "F,4"),
        [(vec![5], 0), (vec![5, 7], 0)]
    );
    // Another part sounds where its own transposition puts it.
    assert_eq!(
        around("c4", "[K:none transpose=-2]D4", "z4"),
        [(vec![0, 5], 0)]
    );
}

#[test]
fn louder_parts_cover_a_horn_by_what_they_carry() {
    // In piano every wind instrument weighs the same; in forte a trombone weighs four woodwinds.
    assert_eq!(around("!pp!c4", "!p!A4", "!mp!C,4")[0].1, 2);
    assert_eq!(around("!p!c4", "!f!A4", "!ff!C,4")[0].1, 5);
    // As loud covers in forte only, softer never, and a part without a dynamic cannot be known.
    assert_eq!(around("!p!c4", "!p!A4", "!pp!C,4")[0].1, 0);
    assert_eq!(around("!f!c4", "!f!A4", "!mf!C,4")[0].1, 1);
    assert_eq!(around("!p!c4", "A4", "z4")[0].1, 0);
    // Silence weighs nothing, and a chord no more than one note of the same player.
    assert_eq!(around("!p!c2 d2", "!f!A2 z2", "!f![C,G,]4")[0].1, 5);
    assert_eq!(around("!p!c2 d2", "!f!A2 z2", "!f![C,G,]4")[1].1, 4);
    // The horn itself covers nobody's horn.
    assert_eq!(around("!f!c4", "z4", "z4")[0].1, 0);
}
