//! `explain`, `fingering` and `rip`: what can be looked up.

use super::*;

#[test]
fn every_rule_is_explained() {
    let list = text(&run(&["explain"], b"").stdout);
    for rule in rules::ALL {
        assert!(list.contains(rule.name), "{}", rule.name);
        let page = text(&run(&["explain", rule.name], b"").stdout);
        for part in [
            "## Why it matters",
            "## What to write instead",
            "## Source",
            "## Settings",
        ] {
            assert!(page.contains(part), "{} lacks {part}", rule.name);
        }
    }
    assert!(list.contains("doctor"), "the usual cautions are said");
}

#[test]
fn fingerings_are_looked_up() {
    let words = |arguments: &[&str]| {
        let output = run(arguments, b"");
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        text(&output.stdout)
    };
    let double = words(&["fingering", "A4"]);
    for line in [
        "A4 for horn in F sounds D4; on the F/B♭ double horn:",
        "  F side 12, partial 8, 0 cents, common, the best\n",
        "  B♭ side open (0), partial 5, -15 cents, common\n",
        "  F side 13, partial 9, +15 cents, rare\n",
        "  a semitone lower on the F side (Boldin,",
        "  F side 23, partial 8, 0 cents, common\n",
    ] {
        assert!(double.contains(line), "{line}:\n{double}");
    }
    let flat = words(&["fingering", "C5", "--instrument", "single B flat"]);
    for line in [
        "on the single B♭ horn:",
        "  B♭ side open (0), partial 6, 0 cents, common, the best\n",
        "  with a stopping valve, fingered as when open (from memory)",
        "  by hand alone B♭ side 2, the open B4: about +50 cents (computed",
    ] {
        assert!(flat.contains(line), "{line}:\n{flat}");
    }
    assert!(!flat.contains("F side"), "{flat}");
    let triple = words(&["fingering", "C6", "--instrument", "triple"]);
    let high = "  high F side open (0), partial 8, 0 cents, common";
    assert!(triple.contains(high), "{triple}");
    let said = "source: bellhand's own choice; cents: computed";
    assert_eq!(triple.matches(said).count(), 1, "{triple}");
    assert_eq!(double.matches("Clay Smalley").count(), 1, "{double}");
    for same in ["H3", "B3", "=B,"] {
        assert!(words(&["fingering", same]).starts_with("B3 for horn in F"));
    }
    // Written G5 for horn in E flat sounds B flat 4, as written F5 for horn in F.
    let crooked = words(&["fingering", "G5", "--crook", "E flat"]);
    assert!(
        crooked.contains("F5 on a horn in F, sounds Bb4")
            && crooked.contains("F side 1, partial 12"),
        "{crooked}"
    );
    let gap = run(&["fingering", "A2", "--instrument", "single B flat"], b"");
    assert_eq!(gap.status.code(), Some(1));
    assert!(text(&gap.stdout).contains("no fingering gives it"));
    let wrong = run(&["fingering", "A2", "--instrument", "quadruple"], b"");
    assert_eq!(wrong.status.code(), Some(2));
    assert!(text(&wrong.stderr).contains("\"single B flat\""));
}

#[test]
fn rips_are_looked_up() {
    let octave = run(&["rip", "C4", "C5"], b"");
    assert_eq!(octave.status.code(), Some(0));
    let words = text(&octave.stdout);
    // Partials 5, 6 and 7 of the open F horn, after the published cents.
    assert!(
        words.contains("F 0, partials 4 to 8: E4 (-14 cents), G4 (+2 cents), Bb4 (-31 cents)"),
        "{words}"
    );
    let none = run(&["rip", "G4", "C#5"], b"");
    assert_eq!(none.status.code(), Some(1));
    assert!(
        text(&none.stdout).contains("can end on"),
        "{}",
        text(&none.stdout)
    );
    assert_eq!(run(&["rip", "X4", "C5"], b"").status.code(), Some(2));
    let flat = run(&["rip", "C5", "C6", "--instrument", "single B flat"], b"");
    let words = text(&flat.stdout);
    assert!(words.starts_with("B♭ 0, partials 6 to 12:"), "{words}");
    assert!(!words.contains("F 0"), "{words}");
}
