//! Names of instruments that are no horns, as a cue in a horn part abbreviates them.

use crate::words::Token;

/// In folded spelling and alphabetical order. Apart from the names of parts (`orchestra_instrument.rs`), since among a horn
/// player's words some of those mean something else: `tr` is a trill, `pos.` a position.
const NAMES: [&str; 137] = [
    "archi",
    "arpa",
    "bar",
    "basses",
    "bassi",
    "basson",
    "bassons",
    "bassoon",
    "bassoons",
    "brass",
    "bratsche",
    "bratschen",
    "bsn",
    "cb",
    "celesta",
    "celli",
    "cello",
    "cellos",
    "choir",
    "chor",
    "cl",
    "clar",
    "clarinet",
    "clarinets",
    "clarinette",
    "clarinettes",
    "clarinetti",
    "clarinetto",
    "contrabass",
    "contrabassi",
    "cordes",
    "cornet",
    "cornets",
    "crt",
    "db",
    "drum",
    "euph",
    "euphonium",
    "fag",
    "fagott",
    "fagotte",
    "fagotti",
    "fagotto",
    "fg",
    "fl",
    "flauti",
    "flauto",
    "flote",
    "floten",
    "flute",
    "flutes",
    "harfe",
    "harp",
    "harpe",
    "hautbois",
    "hb",
    "hoboe",
    "hoboen",
    "holz",
    "htb",
    "kb",
    "klar",
    "klarinette",
    "klarinetten",
    "klavier",
    "kontrabass",
    "legni",
    "ob",
    "oboe",
    "oboes",
    "oboi",
    "ottavino",
    "pauken",
    "perc",
    "piano",
    "picc",
    "piccolo",
    "pno",
    "pos",
    "posaune",
    "posaunen",
    "sax",
    "saxophone",
    "saxophones",
    "snare",
    "soprano",
    "str",
    "streicher",
    "strings",
    "tbn",
    "tenor",
    "timp",
    "timpani",
    "tpt",
    "trb",
    "tromba",
    "trombe",
    "trombone",
    "trombones",
    "tromboni",
    "tromp",
    "trompete",
    "trompeten",
    "trompette",
    "trompettes",
    "trp",
    "trpt",
    "trumpet",
    "trumpets",
    "tuba",
    "va",
    "vc",
    "viol",
    "viola",
    "violas",
    "viole",
    "violin",
    "violine",
    "violinen",
    "violini",
    "violino",
    "violins",
    "violon",
    "violoncelli",
    "violoncello",
    "violons",
    "vl",
    "vla",
    "vlc",
    "vln",
    "vn",
    "vni",
    "vns",
    "voice",
    "winds",
    "woodwind",
    "woodwinds",
];

/// Names of two words.
const PAIRS: [(&str, &str); 10] = [
    ("basset", "horn"),
    ("cor", "anglais"),
    ("corno", "inglese"),
    ("double", "bass"),
    ("e", "h"),
    ("eng", "hn"),
    ("eng", "horn"),
    ("engl", "hn"),
    ("engl", "horn"),
    ("english", "horn"),
];

/// Whether the name of another instrument begins at a token.
pub(crate) fn is_other_instrument(tokens: &[Token<'_>], at: usize) -> bool {
    let Some(first) = tokens.get(at).map(|token| token.folded.as_str()) else {
        return false;
    };
    let second = tokens.iter().skip(at + 1).find(|token| !token.is_soft());
    let second = second.map_or("", |token| token.folded.as_str());
    // In a horn part "piano" is a dynamic, unless it has a solo.
    let dynamic = first == "piano" && second != "solo";
    (NAMES.binary_search(&first).is_ok() && !dynamic) || PAIRS.contains(&(first, second))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::tokens;

    #[test]
    fn names_are_found_in_order() {
        assert!(NAMES.is_sorted());
        for (text, other) in [
            ("Vl.", true),
            ("Violini", true),
            ("Flöten", true),
            ("E. H.", true),
            ("Engl. Horn", true),
            ("piano solo", true),
            ("piano", false),
            ("piano cantabile", false),
            ("Horn", false),
            ("con sord.", false),
            ("", false),
        ] {
            assert_eq!(is_other_instrument(&tokens(text), 0), other, "{text}");
        }
    }
}
