//! Where nodes begin and end, which a tree without its text does not show.

use tree_sitter::{Node, Parser};

/// A text, a kind of node, and the words of every node of that kind in it.
const WORDS: [(&str, &str, &[&str]); 26] = [
    (
        "X:1\nK:C\n|: c :|: d :: e |] f [|] g .| a ||: b ::|\n",
        "bar_sign",
        &["|:", ":|:", "::", "|]", "[|]", ".|", "||:", "::|"],
    ),
    (
        "X:1\nK:C\nc |1 d :|2 e [1,3 f |4-6,8 g |\n",
        "ending",
        &["1", "2", "1,3", "4-6,8"],
    ),
    (
        "X:1\nK:C\nc2 d3/2 e/ f// g/4 a3/ [ce]2 z4\n",
        "length",
        &["2", "3/2", "/", "//", "/4", "3/", "2", "4"],
    ),
    (
        "X:1\nK:C\n^c ^^d _e __f =g | ^ a\n",
        "accidental",
        &["^", "^^", "_", "__", "="],
    ),
    ("X:1\nK:C\nC,, c' c,' d\n", "octave", &[",,", "'", ",'"]),
    (
        "X:1\nK:C\nc-d e.-f [ce-]4-|\n",
        "tie",
        &["-", ".-", "-", "-"],
    ),
    (
        "X:1\nK:C\n(3abc (3:2:4abc (3::2abc (12c\n",
        "count",
        &["3", "3", "2", "4", "3", "2", "12"],
    ),
    (
        "X:1\nK:C\nc>d e<<f g>>>a\n",
        "broken_rhythm",
        &[">", "<<", ">>>"],
    ),
    (
        "X:1\nK:C\n\"^open\"c \"Am7\"d \"^gest\\\"opft\"e \"\\\\\"f\n",
        "text",
        &["open", "Am7", "gest\\\"opft", "\\\\"],
    ),
    (
        "X:1\nK:C\n!<(!c!<)! +trill+d !+!e !D.S.!f\n",
        "decoration_name",
        &["<(", "<)", "trill", "+", "D.S."],
    ),
    ("X:1\nK:C\nc & d && e\n", "overlay", &["&", "&&"]),
    (
        "X:1\nT: Lantern Pier  % a remark\nC:50\\% tide%low\nK:C\n",
        "text",
        &["Lantern Pier", "50\\% tide"],
    ),
    (
        "X:1\nK:C % key\nc | % bar\n  % indented\n",
        "comment",
        &["% key", "% bar", "% indented"],
    ),
    (
        "X:1\nK:Bb\nK:F#m\nK:E♭ dor\n",
        "key_tonic",
        &["Bb", "F#", "E♭"],
    ),
    (
        "X:1\nK:Am\nK:DPhr^f\nK:E mixolydian clef=bass\n",
        "key_mode",
        &["m", "Phr", "mixolydian"],
    ),
    (
        "X:1\nV:1 bass3 name=\"Horn in F\" nm=Hn\nK:C treble-8\n",
        "clef",
        &["bass3", "treble-8"],
    ),
    (
        "X:1\nV:1 name=\"Horn in F\" clef=bass t=-7\nK:C\n",
        "property",
        &["name=\"Horn in F\"", "clef=bass", "t=-7"],
    ),
    (
        "X:1\nV:Low\nK:C\n[V:1]c[V:H2 stem=up]d\n",
        "voice_id",
        &["Low", "1", "H2"],
    ),
    (
        "X:1\nM:(2+3+2)/8\nM: 3 + 4 / 4\nK:C\n",
        "meter_fraction",
        &["(2+3+2)/8", "3 + 4 / 4"],
    ),
    (
        "X:1\nQ:\"Slow\" 1/4 3/8=40\nL: 1 / 16\nK:C\n",
        "fraction",
        &["1/4", "3/8", "1 / 16"],
    ),
    (
        "X:1\nK:C\nc [r:a (b) remark] d [K:G]\n",
        "inline_field",
        &["[r:a (b) remark]", "[K:G]"],
    ),
    (
        "%%begintext\n %%endtext\nrow % boat\n%%endtext\n\nX:1\nK:C\n",
        "text",
        &[" %%endtext", "row % boat"],
    ),
    (
        "X:1\nK:C\n%%begintext one\n%%begintext two\nrow\n%%endtext\n",
        "directive_block",
        &["%%begintext two\nrow\n%%endtext\n"],
    ),
    (
        "X:1\nK:C\nc \"^open d | e [K:G f [V:2] g\nc \"a % b\n",
        "stray",
        &["\"^open d", "[K:G f", "\"a"],
    ),
    (
        "X:1\rK:C\r\nc \\\r\nd | e\r\n\r\rText\rX:2\nK:C\n",
        "music_line",
        &["c \\\r\n", "d | e\r\n"],
    ),
    ("X:1\nK:C\n c2  d2 | e2 | \n", "measure", &["c2  d2", "e2"]),
];

fn words<'text>(node: Node, kind: &str, text: &'text str, found: &mut Vec<&'text str>) {
    if node.kind() == kind {
        found.push(&text[node.byte_range()]);
    }
    let mut cursor = node.walk();
    for child in node.named_children(&mut cursor) {
        words(child, kind, text, found);
    }
}

#[test]
fn nodes_begin_and_end_where_they_should() {
    let mut parser = Parser::new();
    parser.set_language(&grammar_abc::LANGUAGE.into()).unwrap();
    for (text, kind, expected) in WORDS {
        let tree = parser.parse(text, None).unwrap();
        let mut found = Vec::new();
        words(tree.root_node(), kind, text, &mut found);
        assert_eq!(found, expected, "{kind} in {text:?}");
    }
    println!("the words of {} kinds compared", WORDS.len());
}
