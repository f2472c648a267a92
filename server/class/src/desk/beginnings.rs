//! What a new piece begins with in each notation: one horn part, ready for the first note.

use notation::Format;
use quick_xml::escape::escape;

/// An empty horn part with a title.
pub(crate) fn beginning(format: Format, title: &str) -> String {
    // A title is one line, and a comment is none.
    let title: String = title
        .chars()
        .filter(|letter| !letter.is_control())
        .collect();
    match format {
        Format::Abc => {
            let title = title.replace(['%', '\\'], "");
            format!(
                "X:1\nT:{title}\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf! z4 | z4 | z4 | z4 |]\n"
            )
        }
        Format::Kern => format!(
            "!!!OTL: {title}\n**kern\n*ITrd4c7\n*Ifhorn\n*I\"Horn in F\n*clefG2\n*M4/4\n*MM96\n=1-\n1r\n=2\n1r\n=3\n1r\n=4\n1r\n\
             ==\n*-\n"
        ),
        Format::MusicXml => {
            let bars: String = (2..=4)
                .map(|number| format!("    <measure number=\"{number}\">\n{REST}    </measure>\n"))
                .collect();
            format!(
                "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">\n  <work><work-title>{}</work-title></work>\n{HEAD}{bars}  </part>\n\
                 </score-partwise>\n",
                escape(title.as_str())
            )
        }
    }
}

const REST: &str = "      <note><rest measure=\"yes\"/><duration>4</duration></note>\n";

const HEAD: &str = "  <part-list>
    <score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>
  </part-list>
  <part id=\"P1\">
    <measure number=\"1\">
      <attributes>
        <divisions>1</divisions>
        <key><fifths>0</fifths></key>
        <time><beats>4</beats><beat-type>4</beat-type></time>
        <clef><sign>G</sign><line>2</line></clef>
        <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>
      </attributes>
      <direction placement=\"above\"><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>96</per-minute></metronome></direction-type><sound tempo=\"96\"/></direction>
      <note><rest measure=\"yes\"/><duration>4</duration></note>
    </measure>
";

#[cfg(test)]
mod tests {
    use engine::{Judged, Settings};
    use notation::Document;

    use super::*;

    #[test]
    fn a_beginning_is_a_horn_part_that_nothing_is_said_about() {
        for format in [Format::Abc, Format::Kern, Format::MusicXml] {
            for title in ["Ferry", "A & B <i>\"'\n% \\ X:2", ""] {
                let text = beginning(format, title);
                let judged = Judged::new(Document::from_text(format, &text), Settings::default());
                let said: Vec<_> = judged
                    .findings()
                    .iter()
                    .map(|finding| finding.rule)
                    .collect();
                assert!(said.is_empty(), "{}: {title:?}: {said:?}", format.name());
                let horns: usize = judged
                    .pieces()
                    .map(|(_, reading)| reading.horns.len())
                    .sum();
                assert_eq!(horns, 1, "{}: {title:?}", format.name());
            }
        }
    }
}
