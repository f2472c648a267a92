//! Barlines under one another: what moves, what never does, and that the music stays.

use std::path::Path;

use engine::{Judged, Settings};
use notation::{Document, Format};

fn aligned(format: Format, text: &str) -> Option<String> {
    let judged = Judged::new(Document::from_text(format, text), Settings::default());
    let proven = judged.align().ok()?;
    let after = judged.edited(proven.edits()).ok()?;
    Some(after.document().text())
}

const HEAD: &str =
    "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in F\"\nV:2 name=\"Horn 2 in F\"\n";

#[test]
fn voices_of_a_system_stand_under_one_another() {
    for (before, after) in [
        (
            "[V:1] !mf! c d e f| g4   | z4 |\n[V:2] C4 | \"^stopped\" E2 G2 | z4 |\n",
            "[V:1] !mf! c d e f | g4               | z4 |\n[V:2] C4           | \"^stopped\" E2 G2 | z4 |\n",
        ),
        // Voices in blocks have their first lines together, then their second.
        (
            "V:1\nc d e f | g4 |\ng4 |]\nV:2\nC4 | E2 G2 |\nC D E F |]\n",
            "V:1\nc d e f | g4    |\ng4      |]\nV:2\nC4      | E2 G2 |\nC D E F |]\n",
        ),
        // A wider barline moves what is behind it, everywhere.
        (
            "[V:1] c4 :| d4 |\n[V:2] C4 | D4 |\n",
            "[V:1] c4 :| d4 |\n[V:2] C4 | D4  |\n",
        ),
        // Lines of another number of bars, and a voice alone, stay as they are.
        (
            "[V:1] c4 | d4 |\n[V:2] C D E F |\n[V:2] D4 |]\n",
            "[V:1] c4 | d4 |\n[V:2] C D E F |\n[V:2] D4 |]\n",
        ),
    ] {
        let text = aligned(Format::Abc, &format!("{HEAD}{before}"));
        assert_eq!(text, Some(format!("{HEAD}{after}")));
        // Once aligned, nothing moves.
        let again = text.as_deref().and_then(|text| aligned(Format::Abc, text));
        assert_eq!(again, text);
    }
    let kern = "**kern\n*I\"Horn in F\n4c\n*-\n";
    assert_eq!(aligned(Format::Kern, kern).as_deref(), Some(kern));
}

#[test]
fn the_music_of_real_scores_stays() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests");
    let mut tried = 0;
    let mut moved = 0;
    for folder in ["scores/abc", "demo", "demo/lessons", "demo/house"] {
        let Ok(files) = std::fs::read_dir(tests.join(folder)) else {
            continue;
        };
        for path in files.flatten().map(|file| file.path()) {
            if path.extension().is_none_or(|extension| extension != "abc") {
                continue;
            }
            let bytes = std::fs::read(&path).unwrap_or_default();
            let document = Document::from_bytes(Format::Abc, &bytes);
            let Ok(document) = document else { continue };
            let judged = Judged::new(document, Settings::default());
            let proven = judged.align();
            // The guard has found every note, word and sign where it was.
            assert!(proven.is_ok(), "{}: {:?}", path.display(), proven.err());
            moved += proven.map_or(0, |proven| proven.edits().len());
            tried += 1;
        }
    }
    assert!(
        tried > 10 && moved > 10,
        "{tried} scores, {moved} barlines moved"
    );
}
