//! Where parts are called, and giving them other names, in every notation.

use engine::{Called, Judged, Mentions, Settings};
use notation::{Document, Format};

fn judged(format: Format, text: &str) -> Judged {
    Judged::new(Document::from_text(format, text), Settings::default())
}

/// A text with a place marked by `…`, judged, and the byte of the place.
fn marked(format: Format, text: &str) -> (Judged, usize) {
    let at = text.find('…').unwrap_or_default();
    (judged(format, &text.replace('…', "")), at)
}

/// The text after the part called at the marked place has another name; or why it stays.
fn renamed(format: Format, text: &str, to: &str) -> Result<String, String> {
    let (judged, at) = marked(format, text);
    let found = Mentions::at(&judged, at).ok_or("nothing is called here")?;
    let (mentions, (_, by)) = found;
    let edits = mentions.rename(&judged, by, to)?;
    let after = judged.edited(&edits).map_err(|error| error.to_string())?;
    Ok(after.document().text())
}

const ABC: &str = "% bellhand: part \"Horn 2 in F\" = horn in F\nX:1\nT:Ferry\nM:4/4\nL:1/4\nK:none\n% bellhand: part a = horn in F\nV:a name=\"Horn 1 in F\"\nV:b name=\"Horn 2 in F\"\n% bellhand: expect range/too-high in bar 1 in part \"Horn 2 in F\"\nV:a\nc4 |\n[V:b] c4 | [V:a] d4 |]\n\nX:2\nK:none\nV:a name=\"Horn 1 in F\"\nc4 |]\n";

#[test]
fn a_name_is_changed_wherever_it_is_said() {
    let at_name = ABC.replacen("V:b name=\"Horn", "V:b name=\"Ho…rn", 1);
    let text = renamed(Format::Abc, &at_name, "Low Horn in F").unwrap_or_default();
    assert_eq!(text, ABC.replace("Horn 2 in F", "Low Horn in F"));
    // From an instruction it is the same.
    let said = ABC.replacen("part \"Horn 2", "part \"…Horn 2", 1);
    assert_eq!(renamed(Format::Abc, &said, "Low Horn in F"), Ok(text));
    // Of another tune nothing changes.
    let first = ABC.replacen("V:a name=\"Horn 1", "V:a name=\"…Horn 1", 1);
    let text = renamed(Format::Abc, &first, "Ferry Horn in F").unwrap_or_default();
    assert_eq!(text, ABC.replacen("Horn 1 in F", "Ferry Horn in F", 1));
}

#[test]
fn an_id_is_changed_wherever_it_is_called() {
    let body = ABC.replacen("[V:a] d4", "[V:…a] d4", 1);
    let text = renamed(Format::Abc, &body, "one").unwrap_or_default();
    let (tune, other) = text.split_at(text.find("X:2").unwrap_or_default());
    assert_eq!(tune.matches("V:one").count(), 3, "{tune}");
    assert!(
        tune.contains("part one = horn") && !tune.contains("V:a"),
        "{tune}"
    );
    assert!(other.contains("V:a"), "{other}");
    let xml = "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list><part id=\"…P1\"><measure number=\"1\"><attributes><divisions>1</divisions></attributes><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part></score-partwise>";
    let text = renamed(Format::MusicXml, xml, "H1").unwrap_or_default();
    assert_eq!(text, xml.replace('…', "").replace("P1", "H1"));
    let named = xml.replace('…', "").replace("<part-name>", "<part-name>…");
    let text = renamed(Format::MusicXml, &named, "Horn <1> & 2 in F").unwrap_or_default();
    assert!(
        text.contains("<part-name>Horn &lt;1&gt; &amp; 2 in F<"),
        "{text}"
    );
    let kern = "**kern\n*I\"…Horn in F\n*ITrd4c7\n1f\n*-\n";
    let text = renamed(Format::Kern, kern, "Ferry Horn in F");
    assert_eq!(text, Ok(kern.replace("…Horn", "Ferry Horn")));
}

#[test]
fn what_would_change_the_music_is_refused_with_why() {
    let name = ABC.replacen("V:b name=\"Horn", "V:b name=\"…Horn", 1);
    let id = ABC.replacen("V:b name", "V:…b name", 1);
    for (text, to, why) in [
        (&name, "Horn 2 in E flat", "another horn"),
        (&name, "Horn 2", "another horn"),
        (&name, "Trumpet", "no horn's name"),
        (&name, " ", "needs a name"),
        (&name, "Horn \"2\" in F", "cannot stand"),
        (&id, "a", "already"),
        (&id, "a b", "cannot stand"),
    ] {
        let said = renamed(Format::Abc, text, to).unwrap_err();
        assert!(said.contains(why), "{to}: {said}");
    }
    assert_eq!(
        renamed(Format::Abc, &ABC.replacen("c4 |", "c…4 |", 1), "x"),
        Err("nothing is called here".to_owned())
    );
}

#[test]
fn all_places_of_a_part_are_found() {
    let (judged, at) = marked(Format::Abc, &ABC.replacen("V:b name", "V:…b name", 1));
    let found = Mentions::at(&judged, at);
    let places = found.map(|(mentions, here)| {
        let text = judged.document().text();
        let words = |(span, by): (score::Span, Called)| (text[span.range()].to_owned(), by);
        assert_eq!(words(here), ("b".to_owned(), Called::Id));
        mentions.places.into_iter().map(words).collect::<Vec<_>>()
    });
    let (name, id) = (Called::Name, Called::Id);
    let horn = "Horn 2 in F".to_owned();
    assert_eq!(
        places,
        Some(vec![
            (horn.clone(), name),
            ("b".to_owned(), id),
            (horn.clone(), name),
            (horn, name),
            ("b".to_owned(), id),
        ])
    );
}
