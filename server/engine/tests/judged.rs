//! A judged text: edited, it is what a fresh reading makes of it; what no edit touched is shared; and it can be stopped.

use std::sync::atomic::{AtomicUsize, Ordering};

use engine::{Judged, Settings, Stop, StopFlag, Stopped, Which};
use fastrand::Rng;
use notation::{Document, Format, TextEdit};
use reading::PieceReading;
use score::Span;
use theory::Tempo;

const EDITS: usize = 150;

const ABC: &str = "%abc-2.1
L:1/4
% bellhand: ignore in file marks/vague

X:1
T:The Quay at Six
M:4/4
Q:1/4=84
K:none
V:1 name=\"Horn 1. 2. in F\" transpose=-7
V:2 name=\"Flute\"
[V:1] !f!c e g c' | \"^con sord.\" c4- | c2 z2 | z4 | \"^a 2\" [ce]4 | g'2 f'2 |
% bellhand: ignore range/too-high
[V:2] c d e f | g4 | a4 | z4 | c'4 | e4 |

X:2
T:Mooring
M:3/4
K:F
V:1 name=\"Horn in E flat\" transpose=-9
c2 B | !+!A3 | \"^senza sord.\" c3 | ^f'3 | z3 |]

X:3
T:Gangway
M:4/4
K:none
V:1 name=\"Horn in D\" transpose=-10
c4 | g''4 | \"^muta in F\" z4 | c4 |]
";

const KERN: &str = "!!!OTL: The Quay\n!! bellhand: ignore marks/vague\n**kern\t**kern\n*I\"Flute\t*I\"Horn 1 in F\n*\t*ITrd4c7\n*clefG2\t*clefG2\n\
    *k[b-]\t*k[b-e-]\n*M4/4\t*M4/4\n*MM80\t*MM80\n=1\t=1\n!\t!LO:TX:a:t=mf\n4ccc\t(4f\n4ddd\t4g)\n4eee\t[4a\n4fff\t4a]\n=2\t=2\n\
    !\t!LO:TX:a:t=con sord.\n!\t!LO:TX:a:t=+\n4gggt\t4b-\n4aaa\t4cc,\n4bbb-\t4dd\n4r\t4r\n=3\t=3\n*\t*clefF4\n1ccc\t1FF\n=4\t=4\n\
    1ccc\t1eeee\n==\t==\n*-\t*-\n";

fn musicxml() -> String {
    let note = |step: &str, octave: u8| {
        format!(
            "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>4</duration><type>whole</type></note>"
        )
    };
    let words = |words: &str| {
        format!("<direction><direction-type><words>{words}</words></direction-type></direction>")
    };
    let measures = |content: [String; 5]| -> String {
        let measures = (1..).zip(content).map(|(number, content)| {
            let head = if number == 1 {
                "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
            } else {
                ""
            };
            format!("<measure number=\"{number}\">{head}{content}</measure>\n")
        });
        measures.collect()
    };
    let horn = measures([
        note("C", 5),
        format!("{}{}", words("con sord."), note("D", 5)),
        note("G", 6),
        format!("{}{}", words("open"), note("C", 2)),
        note("E", 5),
    ]);
    let flute = measures([
        note("C", 6),
        note("D", 6),
        note("E", 6),
        note("F", 6),
        note("G", 6),
    ]);
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Flute</part-name></score-part></part-list>\n<!-- bellhand: ignore in file marks/vague -->\n\
         <part id=\"P1\">\n{horn}</part>\n<part id=\"P2\">\n{flute}</part>\n</score-partwise>\n"
    )
}

/// A score in each notation, and what a hand may type into it.
fn scores() -> [(Format, String, &'static [&'static str]); 3] {
    [
        (
            Format::Abc,
            ABC.to_owned(),
            &[
                "c",
                "g''",
                "|",
                "\"^con sord.\"",
                "!+!",
                "!ff!",
                "z",
                "2",
                "\n",
                "%",
                "X:9\nK:none\n",
                "V:2\n",
                "\"",
                "-",
                "\n% bellhand: part 1 = horn in D\n",
                "\n% bellhand: ignore range/too-high\n",
            ],
        ),
        (
            Format::Kern,
            KERN.to_owned(),
            &[
                "c",
                "4cc",
                "\t",
                "\n",
                "*k[]\t*k[]\n",
                "[",
                "r",
                "=5\t=5\n",
                "!! bellhand: part 2 = horn in D\n",
                "*-\t*-\n",
                "8",
            ],
        ),
        (
            Format::MusicXml,
            musicxml(),
            &[
                "G",
                "7",
                "<",
                "/>",
                "<rest/>",
                "<chord/>",
                "Horn in D",
                "<!-- bellhand: part 1 = horn in D -->",
                "stopped",
                "\n",
            ],
        ),
    ]
}

/// Something a hand may do.
fn edit(document: &Document, typed: &[&str], rng: &mut Rng) -> TextEdit {
    let rope = document.rope();
    let at = rng.usize(..=rope.len_chars());
    let to = (at + rng.usize(..4)).min(rope.len_chars());
    let to = if rng.bool() { at } else { to };
    TextEdit {
        span: Span::new(rope.char_to_byte(at), rope.char_to_byte(to)),
        text: typed[rng.usize(..typed.len())].to_owned(),
    }
}

fn assert_same(judged: &Judged, fresh: &Judged, what: &str) {
    let text = judged.document().text();
    assert_eq!(judged.findings(), fresh.findings(), "{what} in\n{text}");
    assert!(judged.pieces().eq(fresh.pieces()), "{what} in\n{text}");
}

#[test]
fn edited_it_is_what_a_fresh_reading_makes_of_the_text() {
    let (mut compared, mut findings) = (0, 0);
    for (format, text, typed) in scores() {
        let mut rng = Rng::with_seed(7);
        let start = Judged::new(Document::from_text(format, &text), Settings::default());
        let mut judged = start.clone();
        for round in 0..EDITS {
            // Now and then from the start again, so that not everything is broken.
            if round % 10 == 0 {
                judged = start.clone();
            }
            let edits = [edit(judged.document(), typed, &mut rng)];
            judged = judged.edited(&edits).unwrap();
            let again = Document::from_text(format, &judged.document().text());
            let fresh = Judged::new(again, Settings::default());
            assert_same(&judged, &fresh, &format!("{edits:?}"));
            compared += 1;
            findings += fresh.findings().len();
        }
    }
    println!("{compared} texts compared, {findings} findings");
    assert_eq!(compared, 3 * EDITS);
    assert!(findings > 3 * EDITS);
}

#[test]
fn what_no_edit_touched_is_shared() {
    let start = Judged::new(Document::from_text(Format::Abc, ABC), Settings::default());
    let readings = |judged: &Judged| -> Vec<*const PieceReading> {
        judged
            .pieces()
            .map(|(_, reading)| std::ptr::from_ref(reading))
            .collect()
    };
    let before = readings(&start);
    let shared = |other: &Judged| -> Vec<bool> {
        let after = readings(other);
        before
            .iter()
            .zip(after)
            .map(|(one, other)| *one == other)
            .collect()
    };
    let put = |text: &str, into: &str| {
        let at = ABC.find(into).unwrap();
        let edit = TextEdit {
            span: Span::new(at, at),
            text: text.to_owned(),
        };
        start.edited(&[edit]).unwrap()
    };
    assert_eq!(shared(&start.clone()), [true; 3]);
    assert_eq!(shared(&put("c", "B | !+!A3")), [true, false, true]);
    assert_eq!(shared(&put("% a word\n", "% bellhand")), [true; 3]);
    // What is said of parts for the whole file may be about any piece.
    assert_eq!(
        shared(&put("% bellhand: part 1 = horn in D\n", "% bellhand")),
        [false; 3]
    );
    // Other words to judge by are other findings of the same readings; another casting is another reading.
    let mut settings = Settings::default();
    settings
        .house
        .set_severity(rules::RuleSelector::Rule("range/too-high"), None);
    let quiet = start.with_settings(settings.clone());
    assert_eq!(shared(&quiet), [true; 3]);
    let loud = |judged: &Judged| {
        let mut findings = judged.findings().iter();
        findings.any(|one| one.rule == "range/too-high")
    };
    assert!(loud(&start) && !loud(&quiet));
    assert_same(
        &quiet,
        &Judged::new(start.document().clone(), settings),
        "settings",
    );
    let mut settings = Settings::default();
    settings.casting.assumed_tempo = Some(Tempo::quarters_a_minute(33.0));
    let slow = start.with_settings(settings.clone());
    assert_eq!(shared(&slow), [false; 3]);
    assert_same(
        &slow,
        &Judged::new(start.document().clone(), settings),
        "settings",
    );
}

/// Two horns in each notation, alike in what follows; `@1` and `@2` stand for a place in the music of each.
const HORNS: [(Format, &str); 3] = [
    (
        Format::Abc,
        "X:1\nT:Low Water\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n\
         V:2 name=\"Horn 2 in F\" transpose=-7\n[V:1] !f!c e g e | @1g''4 |\n[V:2] !p!c e c' e | @2!+!c4 |\n\
         [V:1] \"^con sord.\" c4 | \"^senza sord.\" d4 |]\n[V:2] !+!C4 | c4 |]\n",
    ),
    (
        Format::Kern,
        "**kern\t**kern\n*I\"Horn 2 in F\t*I\"Horn 1 in F\n*ITrd4c7\t*ITrd4c7\n*M4/4\t*M4/4\n*MM80\t*MM80\n=1\t=1\n\
         !\t!LO:TX:a:t=con sord.\n@24F\t@14ff\n4A\t4f\n4c\t4f\n4A\t4f\n=2\t=2\n1FF\t1eeee\n==\t==\n*-\t*-\n",
    ),
    (
        Format::MusicXml,
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn 1 in F</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Horn 2 in F</part-name></score-part></part-list>\n<part id=\"P1\"><measure number=\"1\">\
         <attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>\
         <note><pitch><step>G</step><octave>6</octave></pitch><duration>4</duration><type>whole</type></note>@1</measure></part>\n\
         <part id=\"P2\"><measure number=\"1\"><note><pitch><step>C</step><octave>2</octave></pitch><duration>4</duration>\
         <type>whole</type></note>@2</measure></part></score-partwise>\n",
    ),
];

#[test]
fn parts_that_no_edit_touched_are_not_read_again() {
    let settings = Settings::default();
    let style = |part: &str| settings.house_of(part).style();
    for (format, marked) in HORNS {
        let plain = marked.replace("@1", "").replace("@2", "");
        let judge =
            |text: &str| Judged::new(Document::from_text(format, text), Settings::default());
        let start = judge(&plain);
        // Which horns are known from there once something is put in their music's place.
        let known = |first: &str, second: &str| {
            let text = marked.replace("@1", first).replace("@2", second);
            let after = judge(&text);
            let (before, now) = (
                start.pieces().next().unwrap(),
                after.pieces().next().unwrap(),
            );
            let file = &after.document().score().directives;
            let (piece, casting) = (&now.1.piece, &settings.casting);
            let Ok((read, known)) = reading::read(
                piece,
                Some(before.1),
                file,
                casting,
                &style,
                &reading::ToTheEnd,
            );
            assert!(read == *now.1, "{text}");
            [0, 1].map(|horn| known.horn(horn).is_some())
        };
        let note = match format {
            Format::Abc => "g4 | ",
            Format::Kern => "4cc ",
            Format::MusicXml => {
                "<note><chord/><pitch><step>A</step><octave>4</octave></pitch><duration>4</duration><type>whole</type></note>"
            }
        };
        assert_eq!(known("", ""), [true, true], "{format:?}");
        assert_eq!(known(note, ""), [false, true], "{format:?}");
        assert_eq!(known("", note), [true, false], "{format:?}");
        assert_eq!(known(note, note), [false, false], "{format:?}");
        // Another tempo is another time for all.
        let tempo = match format {
            Format::Abc => "[Q:1/4=60] ",
            Format::Kern => continue,
            Format::MusicXml => "<direction><sound tempo=\"60\"/></direction>",
        };
        assert_eq!(known(tempo, ""), [false, false], "{format:?}");
    }
}

#[test]
fn proven_and_fixed_it_is_what_a_fresh_reading_makes_of_the_text() {
    let (mut proven, mut applied) = (0, 0);
    for (format, text, _) in scores() {
        let start = Judged::new(Document::from_text(format, &text), Settings::default());
        let fresh = |judged: &Judged| {
            let again = Document::from_text(format, &judged.document().text());
            Judged::new(again, Settings::default())
        };
        for fix in start.findings().iter().flat_map(|finding| &finding.fixes) {
            let Ok(outcome) = start.prove(&[fix]) else {
                continue;
            };
            let by_edits = start.edited(outcome.edits()).unwrap();
            let judged = outcome.judge();
            assert_same(&judged, &fresh(&judged), &fix.title);
            assert_same(&judged, &by_edits, &fix.title);
            proven += 1;
        }
        for which in [Which::Safe, Which::Review] {
            let fixed = start.fix_all(which);
            assert!(fixed.settled);
            assert_same(&fixed.judged, &fresh(&fixed.judged), "fixing");
            applied += fixed.applied.len();
        }
    }
    println!("{proven} fixes proven, {applied} applied");
    assert!(proven >= 15 && applied >= 15, "{proven} {applied}");
}

#[test]
fn a_fix_is_offered_where_it_is_proven_alone() {
    let (mut offered, mut refused) = (0, 0);
    let dense = |note: &str, bars: usize| {
        let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
        format!(
            "{head}{}]\n",
            format!("\"^open\" c {note} ^c' {note} |\n").repeat(bars)
        )
    };
    let scores = scores().map(|(format, text, _)| (format, text));
    let more = [
        (Format::Abc, dense("g''", 12)),
        (Format::Abc, dense("c2 \"_open\" c2-", 9)),
    ];
    for (format, text) in scores.into_iter().chain(more) {
        let judged = Judged::new(Document::from_text(format, &text), Settings::default());
        let offers = judged.offers();
        for fix in judged.findings().iter().flat_map(|finding| &finding.fixes) {
            let alone = judged.prove(&[fix]);
            let edits = alone.as_ref().ok().map(engine::Proven::edits);
            assert_eq!(
                offers.edits(fix),
                edits,
                "{}: {:?}",
                fix.title,
                alone.as_ref().err()
            );
            offered += usize::from(edits.is_some());
            refused += usize::from(edits.is_none());
        }
    }
    println!("{offered} fixes offered, {refused} not");
    assert!(offered >= 50, "{offered} {refused}");
}

/// Stops at the look whose number it is given.
struct At {
    looks: AtomicUsize,
    stop_at: usize,
}

impl Stop for At {
    type Stopped = Stopped;

    fn look(&self) -> Result<(), Stopped> {
        let look = self.looks.fetch_add(1, Ordering::Relaxed) + 1;
        if look == self.stop_at {
            Err(Stopped)
        } else {
            Ok(())
        }
    }
}

#[test]
fn it_stops_wherever_it_is_told_and_is_right_the_next_time() {
    let (mut stopped, mut looks) = (0, 0);
    for (format, text, typed) in scores() {
        let start = Judged::new(Document::from_text(format, &text), Settings::default());
        let mut rng = Rng::with_seed(3);
        let edits = [edit(start.document(), typed, &mut rng)];
        let document = start.document().with_edits(&edits).unwrap();
        let fresh = Judged::new(document.clone(), Settings::default());
        let judge = |stop_at| {
            let at = At {
                looks: AtomicUsize::new(0),
                stop_at,
            };
            let outcome = start.next(document.clone(), Settings::default(), &at);
            (outcome, at.looks.load(Ordering::Relaxed))
        };
        let (whole, all) = judge(0);
        assert_same(&whole.unwrap(), &fresh, "to the end");
        for stop_at in 1..=all {
            assert!(matches!(judge(stop_at), (Err(Stopped), looked) if looked == stop_at));
            stopped += 1;
        }
        looks += all;
        assert_same(&judge(0).0.unwrap(), &fresh, "after it was stopped");
        let flag = StopFlag::default();
        assert!(
            start
                .next(document.clone(), Settings::default(), &flag)
                .is_ok()
        );
        flag.clone().set();
        assert!(
            start
                .next(document.clone(), Settings::default(), &flag)
                .is_err()
        );
    }
    println!("stopped at {stopped} looks");
    assert_eq!(stopped, looks);
    // Before every rule at least.
    assert!(looks > 3 * rules::ALL.len());
}

#[test]
fn it_is_asked_at_every_bar() {
    let looks = |bars: usize| {
        let head = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
        let text = format!("{head}{}\n", "c4 |".repeat(bars));
        let at = At {
            looks: AtomicUsize::new(0),
            stop_at: 0,
        };
        let document = Document::from_text(Format::Abc, &text);
        assert!(Judged::first(document, Settings::default(), &at).is_ok());
        at.looks.load(Ordering::Relaxed)
    };
    assert_eq!(looks(25) - looks(5), 20);
}

#[test]
fn a_piece_that_has_only_moved_is_judged_as_it_was() {
    let settings = Settings::default();
    let style = |part: &str| settings.house_of(part).style();
    // Whether a piece was known as a whole in a text once something is put into it.
    let known = |format, text: &str, at: &str, put: &str| {
        let start = Judged::new(Document::from_text(format, text), settings.clone());
        let span = text.find(at).map(|at| Span::new(at, at)).unwrap();
        let text = put.to_owned();
        let next = start.edited(&[TextEdit { span, text }]).unwrap();
        let again = Document::from_text(format, &next.document().text());
        assert_same(&next, &Judged::new(again, settings.clone()), put);
        assert!(!next.findings().is_empty());
        let (before, after) = (
            start.pieces().next().unwrap().1,
            next.pieces().next().unwrap().1,
        );
        let (file, casting) = (&next.document().score().directives, &settings.casting);
        let Ok((read, known)) = reading::read(
            &after.piece,
            Some(before),
            file,
            casting,
            &style,
            &reading::ToTheEnd,
        );
        assert!(read == *after, "{put}");
        known.is_whole()
    };
    for ((format, marked), (at, comment, words)) in HORNS.into_iter().zip([
        ("K:none", "% a remark\n", "T:at Night\n"),
        ("=2", "!! a remark\n", "!!!OTL: at Night\n"),
        (
            "<part id=\"P1\"",
            "<!-- a remark -->\n",
            "<!-- bellhand: part 2 = not a horn -->\n",
        ),
    ]) {
        let text = marked.replace("@1", "").replace("@2", "");
        assert!(known(format, &text, at, comment), "{format:?}");
        assert!(!known(format, &text, at, words), "{format:?}");
    }
    // Why the order is not known has a place as well.
    let text = HORNS[0].1.replace("@1", "").replace("@2", "");
    let undecided = text.replace("d4 |]", "d4 !D.S.! |]");
    assert!(!known(Format::Abc, &undecided, "K:none", "% a remark\n"));
}
