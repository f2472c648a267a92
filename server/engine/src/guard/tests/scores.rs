//! One piece in every notation, with something in it of all that a guard looks at.

use notation::{Document, Format};

pub(super) const ABC: &str = "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:F\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Flute\"\n\
    % bellhand: ignore rip/to-few, mute/already\n\
    [V:1] !mf!(c d) e- e | \"^con sord.\" !+!f !breath!g a z | [K:clef=bass] C, D, E, z |]\n\
    [V:2] c' d' e' f' | !trill!g' a' b' z | c' d' e' z |]\n";

const KERN: &str = "!! bellhand: ignore rip/to-few, mute/already\n**kern\t**kern\n*I\"Flute\t*I\"Horn 1 in F\n*\t*ITrd4c7\n*clefG2\t*clefG2\n*k[b-]\t*k[b-e-]\n*M4/4\t*M4/4\n*MM80\t*MM80\n=1\t=1\n\
    !\t!LO:TX:a:t=mf\n4ccc\t(4f\n4ddd\t4g)\n4eee\t[4a\n4fff\t4a]\n=2\t=2\n!\t!LO:TX:a:t=con sord.\n!\t!LO:TX:a:t=+\n4gggt\t4b-\n4aaa\t4cc,\n4bbb-\t4dd\n4r\t4r\n\
    =3\t=3\n*\t*clefF4\n4ccc\t4F\n4ddd\t4G\n4eee\t4A\n4r\t4r\n==\t==\n*-\t*-\n";

fn musicxml() -> String {
    let note = |step: &str, octave: u8, more: &str, notations: &str| {
        let notations = if notations.is_empty() {
            String::new()
        } else {
            format!("<notations>{notations}</notations>")
        };
        format!(
            "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>1</duration>{more}<type>quarter</type>\
             {notations}</note>\n"
        )
    };
    let rest = "<note><rest/><duration>1</duration><type>quarter</type></note>\n";
    let attributes = |transpose: &str| {
        format!(
            "<attributes><divisions>1</divisions><key><fifths>-1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>\
             <clef><sign>G</sign><line>2</line></clef>{transpose}</attributes>\n"
        )
    };
    let dynamic =
        "<direction><direction-type><dynamics><mf/></dynamics></direction-type></direction>\n";
    let words =
        "<direction><direction-type><words>con sord.</words></direction-type></direction>\n";
    let tempo = "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>80</per-minute></metronome>\
                 </direction-type></direction>\n";
    let horn = [
        attributes("<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>"),
        tempo.to_owned(),
        dynamic.to_owned(),
        note("C", 5, "", "<slur type=\"start\"/>"),
        note("D", 5, "", "<slur type=\"stop\"/>"),
        note("E", 5, "<tie type=\"start\"/>", "<tied type=\"start\"/>"),
        note("E", 5, "<tie type=\"stop\"/>", "<tied type=\"stop\"/>"),
        "</measure><measure number=\"2\">\n".to_owned(),
        words.to_owned(),
        note("F", 5, "", "<technical><stopped/></technical>"),
        note("G", 5, "", "<articulations><breath-mark/></articulations>"),
        note("A", 5, "", ""),
        rest.to_owned(),
        "</measure><measure number=\"3\"><attributes><clef><sign>F</sign><line>4</line></clef></attributes>\n".to_owned(),
        note("C", 3, "", ""),
        note("D", 3, "", ""),
        note("E", 3, "", ""),
        rest.to_owned(),
    ]
    .concat();
    let flute = [
        attributes(""),
        note("C", 6, "", ""),
        note("D", 6, "", ""),
        note("E", 6, "", ""),
        note("F", 6, "", ""),
        "</measure><measure number=\"2\">\n".to_owned(),
        note("G", 6, "", "<ornaments><trill-mark/></ornaments>"),
        note("A", 6, "", ""),
        note("B", 6, "", ""),
        rest.to_owned(),
        "</measure><measure number=\"3\">\n".to_owned(),
        note("C", 6, "", ""),
        note("D", 6, "", ""),
        note("E", 6, "", ""),
        rest.to_owned(),
    ]
    .concat();
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn 1 in F</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Flute</part-name></score-part></part-list>\n\
         <!-- bellhand: ignore rip/to-few, mute/already -->\n<part id=\"P1\"><measure number=\"1\">{horn}</measure></part>\n<part id=\"P2\"><measure number=\"1\">{flute}</measure></part>\n\
         </score-partwise>\n"
    )
}

pub(super) fn document(format: Format) -> Document {
    match format {
        Format::Abc => Document::from_text(format, ABC),
        Format::Kern => Document::from_text(format, KERN),
        Format::MusicXml => Document::from_text(format, &musicxml()),
    }
}
