//! Bass clef in the old way of writing sounds an octave above what it says; treble clef beside it does not.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use notation::{Document, Format};

fn judged(name: &str, way: &str, music: &str) -> Judged {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"{name}\" transpose=-7\n% bellhand: part 1 = {name}{way}\n{music} |]\n"
    );
    let document = Document::from_text(Format::Abc, &text);
    Judged::new(document, Settings::default())
}

fn sounds(name: &str, way: &str, music: &str) -> Vec<String> {
    let analysis = judged(name, way, music);
    let notes = analysis.pieces().next().unwrap().1.horns[0].notes.iter();
    notes.map(|note| note.sounding.to_string()).collect()
}

fn crook(name: &str, way: &str, music: &str) -> String {
    let analysis = judged(name, way, music);
    let horn = &analysis.pieces().next().unwrap().1.horns[0];
    horn.crook_at(horn.notes[0].onset).label()
}

#[test]
fn a_fourth_up_in_the_old_way_and_a_fifth_down_in_the_new() {
    let music = "c2 C2 | [K:none clef=bass]C,2 G,2 | [K:none clef=treble]C4";
    assert_eq!(
        sounds("horn in F", "", music),
        ["F4", "F3", "F2", "C3", "F3"]
    );
    assert_eq!(
        sounds("horn in F", ", old bass clef", music),
        ["F4", "F3", "F3", "C4", "F3"]
    );
    // From the first note on, where the part begins in bass clef.
    assert_eq!(
        sounds(
            "horn in F",
            ", old bass clef",
            "[K:none clef=bass]C,2 [K:none clef=treble]C2"
        ),
        ["F3", "F3"]
    );
}

#[test]
fn a_crook_left_open_is_chosen_by_where_the_old_clef_lies() {
    // As it stands F2 is too low for anything but the horn that sounds highest.
    let music = "[K:none clef=bass]F,,4 | C,4";
    assert_eq!(crook("horn in B flat", "", music), "horn in B flat alto");
    assert_eq!(
        crook("horn in B flat", ", old bass clef", music),
        "horn in B flat basso"
    );
}
