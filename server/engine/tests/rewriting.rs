//! Parts written for another crook, in every notation: the sound stays, the page reads easily, the name keeps its words.
#![expect(clippy::unwrap_used, reason = "helpers fail loudly")]

use engine::{HornOf, Judged, Settings};
use horn::{Crook, WrittenFor};
use notation::{Document, Format};

fn written(format: Format, text: &str, target: WrittenFor) -> Result<String, String> {
    let document = Document::from_text(format, text);
    let analysis = Judged::new(document, Settings::default());
    let parts: Vec<HornOf<'_>> = HornOf::all(&analysis).collect();
    let proven = analysis.rewrite(&parts, target);
    Ok(proven.map_err(|why| why.to_string())?.document().text())
}

fn for_crook(format: Format, text: &str, crook: Crook) -> String {
    written(format, text, WrittenFor::Crook(crook)).unwrap()
}

fn kern(name: &str, record: &str, key: &str, notes: &str) -> String {
    let notes = notes.replace(' ', "\n");
    format!("**kern\n*I\"{name}\n{record}\n*clefG2\n{key}\n*M4/4\n=1\n{notes}\n==\n*-\n")
}

fn musicxml(
    name: &str,
    transpose: (i32, i32),
    fifths: i32,
    pitches: &[(&str, i32, i32)],
) -> String {
    let notes: String = pitches
        .iter()
        .map(|(step, alter, octave)| {
            let alter = if *alter == 0 {
                String::new()
            } else {
                format!("<alter>{alter}</alter>")
            };
            format!(
                "<note><pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch><duration>1</duration><type>quarter</type></note>"
            )
        })
        .collect();
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>{name}</part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><key><fifths>{fifths}</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef><transpose><diatonic>{}</diatonic><chromatic>{}</chromatic></transpose></attributes>{notes}</measure></part></score-partwise>\n",
        transpose.0, transpose.1
    )
}

#[test]
fn f_sharp_is_written_in_b_major_rather_than_c_flat() {
    // C major for a horn in F: F major sounds.
    let abc = "X:1\nM:4/4\nL:1/4\nK:C\nV:1 name=\"Corno in Fa\" transpose=-7\n[K:G]g b d' c' |]\n";
    let new = for_crook(Format::Abc, abc, Crook::FSharp);
    assert!(
        new.contains("name=\"Corno in Fa diesis\" transpose=-6\n[K:F#]f a c' b |]"),
        "{new}"
    );
    let f_major =
        "X:1\nM:4/4\nL:1/4\nK:F\nV:1 name=\"Horn (concert pitch)\" transpose=0\nF A c B |]\n";
    let new = for_crook(Format::Abc, f_major, Crook::FSharp);
    assert!(
        new.contains("K:B\nV:1 name=\"Horn in F#\" transpose=-6\nB d f e |]"),
        "{new}"
    );
    let f_major = musicxml(
        "Horn in C alto",
        (0, 0),
        -1,
        &[("F", 0, 4), ("A", 0, 4), ("C", 0, 5), ("B", -1, 4)],
    );
    let new = for_crook(Format::MusicXml, &f_major, Crook::FSharp);
    assert!(new.contains("<fifths>5</fifths>"), "{new}");
    assert!(
        new.contains("<diatonic>-3</diatonic><chromatic>-6</chromatic>"),
        "{new}"
    );
    assert!(
        new.contains("<step>B</step><octave>4</octave>") && !new.contains("<accidental>"),
        "{new}"
    );
    let b_flat_major = kern("Horn in F", "*ITrd4c7", "*k[b-e-]", "4b- 4dd 4f 4e-");
    let new = for_crook(Format::Kern, &b_flat_major, Crook::FSharp);
    assert_eq!(
        new,
        b_flat_major
            .replace("*ITrd4c7", "*ITrd3c6")
            .replace("in F\n", "in F#\n")
    );
}

#[test]
fn without_signature_it_stays_without_in_every_notation() {
    let abc = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Hörner in Es\" transpose=-9\nc e g ^f |]\n";
    let new = for_crook(Format::Abc, abc, Crook::F);
    assert_eq!(
        new,
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Hörner in F\" transpose=-7\n_B d f e |]\n"
    );
    let xml = musicxml("Cor en ré", (-6, -10), 0, &[("C", 0, 5), ("E", 0, 5)]);
    let new = for_crook(Format::MusicXml, &xml, Crook::F);
    assert!(
        new.contains("<part-name>Cor en fa</part-name>")
            && new.contains("<fifths>0</fifths>")
            && new.contains("<step>C</step><alter>1</alter><octave>5</octave>")
            && new.contains("<accidental>sharp</accidental>"),
        "{new}"
    );
    // What prints no signature for a horn in D is another one for a horn in F.
    let data = kern("Corno in Re", "*ITrd6c10", "*k[f#c#]", "4d 4f# 4a 4g#");
    let new = for_crook(Format::Kern, &data, Crook::F);
    assert_eq!(
        new,
        data.replace("*ITrd6c10", "*ITrd4c7")
            .replace("in Re", "in Fa")
            .replace("*k[f#c#]", "*k[b-]")
    );
}

#[test]
fn a_signature_of_none_among_others_moves_with_them() {
    let abc = "X:1\nM:4/4\nL:1/4\nK:G\nV:1 name=\"Horn in F\" transpose=-7\ng4 | [K:C] c4 | [K:F] f4 |]\n";
    let new = for_crook(Format::Abc, abc, Crook::D);
    assert!(new.contains("K:Bb\n") && !new.contains('_'), "{new}");
    assert!(new.contains("b4 | [K:Eb] e4 | [K:Ab] a4 |]"), "{new}");
}

#[test]
fn awkward_names_give_way_where_no_line_steps_through_them() {
    // G sharp leads to A in the first bar, and stands alone in the second.
    let abc = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in D\" transpose=-10\na ^g a b | c' ^g- ^g c' | e a c a |]\n";
    let new = for_crook(Format::Abc, abc, Crook::F);
    assert!(
        new.contains("^f ^e f ^g | a f- f a | ^c ^f A f |]"),
        "{new}"
    );
    let double = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n^d ^a ^d ^c |]\n";
    let new = for_crook(Format::Abc, double, Crook::EFlat);
    assert!(!new.contains("^^"), "{new}");
    let again = Document::from_text(Format::Abc, &new);
    let said = Judged::new(again.clone(), Settings::default());
    assert!(
        said.findings()
            .iter()
            .all(|finding| finding.rule != "notation/awkward-spelling"),
        "{new}"
    );
}

#[test]
fn concert_pitch_and_back_is_the_same_text() {
    let abc =
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Corno 1 in Fa\" transpose=-7\nc e g _b | ^c4 |]\n";
    let concert = written(Format::Abc, abc, WrittenFor::ConcertPitch).unwrap();
    assert!(
        concert.contains("name=\"Corno 1 (suoni reali)\" transpose=0\nF A c _e | ^F4 |]"),
        "{concert}"
    );
    assert_eq!(for_crook(Format::Abc, &concert, Crook::F), abc);
    let xml = musicxml("Horn in F", (-4, -7), 2, &[("G", 0, 4), ("F", 1, 4)]);
    let concert = written(Format::MusicXml, &xml, WrittenFor::ConcertPitch).unwrap();
    assert!(
        concert.contains("<part-name>Horn (concert pitch)</part-name>")
            && concert.contains("<diatonic>0</diatonic><chromatic>0</chromatic>"),
        "{concert}"
    );
    assert_eq!(for_crook(Format::MusicXml, &concert, Crook::F), xml);
    let data = kern("Horn in F", "*ITrd4c7", "*k[b-]", "4f 4a");
    let concert = written(Format::Kern, &data, WrittenFor::ConcertPitch).unwrap();
    assert!(
        concert.contains("*I\"Horn (concert pitch)\n*ITrd0c0\n"),
        "{concert}"
    );
    assert_eq!(for_crook(Format::Kern, &concert, Crook::F), data);
}

#[test]
fn what_is_said_outside_the_music_is_named_when_it_stands_in_the_way() {
    let abc =
        "% bellhand: part 1 = horn in D\nX:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Solo\"\nc4 |]\n";
    let why = written(Format::Abc, abc, WrittenFor::Crook(Crook::F)).unwrap_err();
    assert!(why.contains("a comment says what Solo is"), "{why}");
}

#[test]
fn a_part_that_changes_crooks_is_written_for_one() {
    let abc = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Corno in Re\" subname=\"Cor. in Re\" transpose=-10\n\
        c e g z | \"^muta in La\" z4 |[K:none transpose=-3] c e g \"^con sord., muta in Re\" z |[K:none transpose=-10] c4 |]\n";
    let new = for_crook(Format::Abc, abc, Crook::F);
    assert_eq!(
        new,
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Corno in Fa\" subname=\"Cor. in Fa\" transpose=-7\n\
        A ^c e z | z4 |[K:none] e ^g b \"^con sord.\" z |[K:none] A4 |]\n"
    );
    let note = |step: &str| {
        format!(
            "<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>4</duration><type>whole</type></note>"
        )
    };
    let xml = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in D</part-name>\
         <part-abbreviation>Hn. in D</part-abbreviation><score-instrument id=\"I\"><instrument-name>Horn in D</instrument-name></score-instrument>\
         </score-part></part-list><part id=\"P1\">\
         <measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
         <transpose><diatonic>-6</diatonic><chromatic>-10</chromatic></transpose></attributes>{}</measure>\
         <measure number=\"2\"><attributes><transpose><diatonic>-2</diatonic><chromatic>-3</chromatic></transpose></attributes>\
         <direction placement=\"above\"><direction-type><words>muta in A</words></direction-type></direction>{}</measure></part></score-partwise>\n",
        note("C"),
        note("C")
    );
    let new = for_crook(Format::MusicXml, &xml, Crook::F);
    assert!(
        !new.contains("muta") && !new.contains("in D") && !new.contains("-10"),
        "{new}"
    );
    assert_eq!(new.matches("<transpose>").count(), 1, "{new}");
    assert_eq!(new.matches(" in F<").count(), 3, "{new}");
    assert!(
        new.contains("<step>A</step><octave>4</octave>")
            && new.contains("<step>E</step><octave>5</octave>"),
        "{new}"
    );
    let kern = "**kern\n*Icor\n*I\"Corno in D\n*I'cor in D\n*ITrd6c10\n*clefG2\n*k[f#c#]\n*M4/4\n=1\n1d\n=2\n\
        !LO:TX:a:t=muta in A\n*ITrd2c3\n*k[f#c#g#]\n*I'cor in A\n1a\n==\n*-\n";
    let new = for_crook(Format::Kern, kern, Crook::F);
    assert!(
        new.contains("*I\"Corno in F\n*I'cor in F\n*ITrd4c7\n*clefG2\n*k[b-]\n")
            && !new.contains("muta"),
        "{new}"
    );
    assert!(
        new.contains("=2\n")
            && !new.contains("*ITrd2c3")
            && new.contains("*k[b-]\n*I'cor in F\n1a\n"),
        "{new}"
    );
}
