//! Faults of a horn among the other instruments, and of a part as a whole.

use super::faults::{Fault, apart, bars, between};
use super::sheet::{GROUP, REST, Sheet, Stand};

/// A fault that is one by some settings.
fn set(settings: &'static str, fault: Fault) -> Fault {
    Fault { settings, ..fault }
}

/// A fault of a part as a whole, of which the rule speaks at its head.
fn whole(
    rule: &'static str,
    settings: &'static str,
    stand: usize,
    fault: [&'static str; 4],
) -> Fault {
    Fault {
        settings,
        speaks: None,
        ..bars(rule, stand, 0, &fault)
    }
}

/// Puts other instruments under the horns, which rest but for a group.
fn beside(sheet: &mut Sheet, group: usize, names: &[&str], bars: &[&'static str]) {
    for name in names {
        let rests = vec![REST.to_owned(); sheet.stands[0].bars.len()];
        sheet.stands.push(Stand {
            name: (*name).to_owned(),
            records: None,
            said: None,
            key: 0,
            bars: rests,
        });
        sheet.put(sheet.stands.len() - 1, group, bars);
    }
}

/// Lets the first horn wait for its entry without a cue, before which the last of other instruments plays, so that there
/// is something to cue.
pub(crate) fn wait(sheet: &mut Sheet, group: usize, names: &[&str]) {
    sheet.put(0, group, &apart("c32", 27, "!mf!e32"));
    beside(sheet, group, names, &[REST]);
    let from = group * GROUP + 26;
    let plays = ["!mf!^f12 g4 A8 B8", "c12 d4 e8 ^c8"].map(str::to_owned);
    if let Some(last) = sheet.stands.last_mut() {
        last.bars.splice(from..from + 2, plays);
    }
}

/// A fault of the first horn among other instruments.
fn among(
    rule: &'static str,
    at: usize,
    horn: &'static [&'static str],
    names: &'static [&'static str],
    others: &'static [&'static str],
) -> Fault {
    let mut fault = bars(rule, 0, at, &[]);
    fault.seed = Box::new(move |sheet, group| {
        sheet.put(0, group, horn);
        beside(sheet, group, names, others);
    });
    fault
}

/// All of them.
pub(super) fn all() -> Vec<Fault> {
    let mut voicing = bars("section/voicing", 0, 0, &[]);
    voicing.seed = Box::new(|sheet, group| {
        sheet.call(["Horns 1.2. in F", "Horns 3.4. in F"]);
        for (stand, chord) in ["!mf![eg]32", "!mf![CD]32"].into_iter().enumerate() {
            sheet.put(stand, group, &[chord, REST]);
            sheet.stands[stand].bars[0].insert_str(0, "\"^a2\" ");
            if let Some(next) = sheet.stands[stand].bars.get_mut((group + 1) * GROUP) {
                next.insert_str(0, "\"^a2\" ");
            }
        }
    });
    let uncued = |names: &'static [&'static str]| {
        let mut fault = between("part/no-cue", 0, 28..=28, Vec::new());
        fault.seed = Box::new(move |sheet, group| wait(sheet, group, names));
        fault
    };
    let mut turn = bars("part/page-turn", 0, 1, &[]);
    turn.seed = Box::new(|sheet, group| {
        // Of a score of several parts nobody knows the pages that lie on the stands.
        sheet.stands.truncate(1);
        sheet.put(0, group, &["c8 e8 c16", "G8 e8 c16"]);
        sheet.new_page = Some(group * GROUP + 1);
    });
    let trombones = &["Trombone 1", "Trombone 2"][..];
    vec![
        among(
            "balance/covered-solo",
            0,
            &["\"^solo\" !p!G8 c8 e8 G8", "\"^tutti\" !mf!c32"],
            trombones,
            &["!f!C16 E16"],
        ),
        // A degree makes this one heard.
        among(
            "balance/covered-solo",
            0,
            &["\"^solo\" !p!G8 c8 e8 G8", "\"^tutti\" !mf!c32"],
            &["Clarinet"],
            &["!mp!C16 E16"],
        ),
        among(
            "balance/lost-effect",
            0,
            &["!ff!!+!c8 !+!d8 !+!e8 !+!d8", "!mf!!open!c32"],
            trombones,
            &["!ff!C16 E16"],
        ),
        set(
            "[rules]\n\"doubling/high\" = { for = 5 }\n",
            among(
                "doubling/high",
                0,
                &["!mf!e8 g8 e8 g8", "e8 g8 e16"],
                &["Trumpet"],
                &["!mf!A8 c8 A8 c8", "A8 c8 A16"],
            ),
        ),
        set(
            "[rules]\n\"doubling/drowned\" = { for = 5 }\n",
            among(
                "doubling/drowned",
                0,
                &["!f!c8 e8 c8 e8", "c8 e8 c16"],
                trombones,
                &["!f!F8 A8 F8 A8", "F8 A8 F16"],
            ),
        ),
        whole(
            "part/lives-low",
            "[rules]\n\"part/lives-low\" = { below = \"A3\", share = 25, notes = 8 }\n",
            1,
            ["G,32", "G,32", "G,32", "G,32"],
        ),
        set(
            "[rules]\n\"part/too-full\" = { notes = 31 }\n",
            bars(
                "part/too-full",
                0,
                0,
                &[
                    "G2 A2 B2 c2 B2 A2 G2 A2 B2 c2 B2 A2 G2 A2 B2 c2",
                    "G2 A2 B2 c2 B2 A2 G2 A2 B2 c2 B2 A2 G2 A2 B2 c2",
                ],
            ),
        ),
        whole(
            "part/too-empty",
            "[rules]\n\"part/too-empty\" = { share = 20, notes = 8 }\n",
            0,
            ["z8 c8 z8 c8", "z8 c8 z8 c8", "z8 c8 z8 c8", "z8 c8 z8 c8"],
        ),
        set(
            "[rules]\n\"rip/too-many\" = { rips = 1 }\n",
            bars(
                "rip/too-many",
                0,
                2,
                &["\"^gliss.\" (C16 c16)", REST, "\"^gliss.\" (C16 c16)", REST],
            ),
        ),
        turn,
        uncued(&["Oboe"]),
        uncued(&["Violin", "Violin"]),
        set("[rules]\n\"section/voicing\" = { chords = 1 }\n", voicing),
    ]
}
