//! What fields and signs can be, each with what it says to a horn player.

/// Which field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Values {
    /// ABC: `K:`.
    AbcKey,
    /// ABC: `L:`.
    AbcUnit,
    /// ABC: `M:`.
    AbcMeter,
    /// ABC: `Q:`.
    AbcTempo,
    /// ABC: what can be said of a voice.
    AbcProperty,
    /// ABC: `clef=`.
    AbcClef,
    /// ABC: `transpose=`.
    AbcTranspose,
    /// Humdrum: the kind of a spine.
    KernSpine,
    /// Humdrum: a tandem interpretation.
    KernInterpretation,
    /// Humdrum: a local comment.
    KernComment,
    /// MusicXML: a clef's sign.
    XmlClefSign,
    /// MusicXML: a key signature.
    XmlFifths,
    /// MusicXML: the note a tempo counts.
    XmlBeatUnit,
}

/// All that a field can be, the likeliest first.
pub(super) fn of(values: Values) -> Vec<(String, String)> {
    let list: &[(&str, &str)] = match values {
        Values::AbcKey => &[
            (
                "none",
                "No key signature, as horn players expect: every accidental stands at its note",
            ),
            ("C", "C major or A minor: no accidentals in the signature"),
            ("F", "One flat, which the player carries in the head"),
            ("G", "One sharp, which the player carries in the head"),
            ("Bb", "Two flats, which the player carries in the head"),
            ("D", "Two sharps, which the player carries in the head"),
            ("Eb", "Three flats, which the player carries in the head"),
        ],
        Values::AbcUnit => &[
            ("1/8", "A letter alone is an eighth note"),
            ("1/4", "A letter alone is a quarter note"),
            ("1/16", "A letter alone is a sixteenth note"),
            ("1/2", "A letter alone is a half note"),
        ],
        Values::AbcMeter => &[
            ("4/4", "Four quarter notes a bar"),
            ("3/4", "Three quarter notes a bar"),
            ("2/4", "Two quarter notes a bar"),
            ("6/8", "Two dotted quarter notes a bar"),
            ("9/8", "Three dotted quarter notes a bar"),
            ("12/8", "Four dotted quarter notes a bar"),
            ("2/2", "Two half notes a bar"),
            ("C", "Four quarter notes a bar"),
            ("C|", "Two half notes a bar"),
            ("none", "No metre"),
        ],
        Values::AbcTempo => &[
            (
                "1/4=96",
                "So many quarter notes a minute; without a tempo no breath or rest can be counted in seconds",
            ),
            ("1/2=72", "So many half notes a minute"),
            ("3/8=72", "So many dotted quarter notes a minute"),
            ("1/8=120", "So many eighth notes a minute"),
            (
                "\"Andante\" 1/4=76",
                "A word for the player and the number behind it",
            ),
            (
                "\"Allegro\" 1/4=132",
                "A word for the player and the number behind it",
            ),
        ],
        Values::AbcProperty => &[
            (
                "name=\"",
                "What the part is called, which says which horn plays it",
            ),
            (
                "transpose=-7",
                "Sounds a fifth below what is written, as horn in F",
            ),
            ("clef=treble", "Treble clef"),
            ("clef=bass", "Bass clef, for what lies low"),
        ],
        Values::AbcClef => &[
            ("treble", "Treble clef"),
            ("bass", "Bass clef, for what lies low"),
        ],
        Values::AbcTranspose => &[
            ("-7", "Horn in F"),
            ("-9", "Horn in E flat"),
            ("-10", "Horn in D"),
            ("-8", "Horn in E"),
            ("-5", "Horn in G"),
            ("-12", "Horn in C basso"),
            ("-3", "Horn in A"),
            ("-14", "Horn in B flat basso"),
            ("-2", "Horn in B flat alto"),
        ],
        Values::KernSpine => &[
            ("**kern", "Notes"),
            ("**dynam", "Dynamics of the spine before it"),
        ],
        Values::KernInterpretation => &[
            (
                "*I\"",
                "What the part is called, which says which horn plays it",
            ),
            ("*Icor", "A horn"),
            (
                "*ITrd4c7",
                "Written a fifth above what sounds, as for horn in F",
            ),
            (
                "*ITrd5c9",
                "Written a sixth above what sounds, as for horn in E flat",
            ),
            (
                "*ITrd6c10",
                "Written a seventh above what sounds, as for horn in D",
            ),
            ("*clefG2", "Treble clef"),
            ("*clefF4", "Bass clef, for what lies low"),
            ("*k[]", "No key signature"),
            ("*M4/4", "Four quarter notes a bar"),
            ("*M3/4", "Three quarter notes a bar"),
            ("*M6/8", "Two dotted quarter notes a bar"),
            ("*MM96", "So many quarter notes a minute"),
            ("*-", "The spine ends"),
        ],
        Values::KernComment => &[("!LO:TX:a:t=", "Words over the next note")],
        Values::XmlClefSign => &[
            ("G", "Treble clef, with <line>2</line>"),
            ("F", "Bass clef, with <line>4</line>, for what lies low"),
        ],
        Values::XmlFifths => &[
            (
                "0",
                "No key signature, as horn players expect: every accidental stands at its note",
            ),
            ("-1", "One flat, which the player carries in the head"),
            ("1", "One sharp, which the player carries in the head"),
            ("-2", "Two flats, which the player carries in the head"),
            ("2", "Two sharps, which the player carries in the head"),
        ],
        Values::XmlBeatUnit => &[
            ("quarter", "Quarter notes are counted"),
            ("half", "Half notes are counted"),
            ("eighth", "Eighth notes are counted"),
        ],
    };
    owned(list)
}

/// The signs of ABC that mean something to a horn player (ABC 2.1, section 4.14).
pub(super) fn signs() -> Vec<(String, String)> {
    owned(&[
        ("+", "Stopped: this note alone"),
        ("open", "Open: the hand comes out"),
        ("mf", "Mezzo forte"),
        ("p", "Piano"),
        ("f", "Forte"),
        ("mp", "Mezzo piano"),
        ("pp", "Pianissimo"),
        ("ff", "Fortissimo"),
        ("sfz", "A sudden accent"),
        ("crescendo(", "Louder from here"),
        ("crescendo)", "No louder from here"),
        ("diminuendo(", "Softer from here"),
        ("diminuendo)", "No softer from here"),
        ("breath", "A breath after this note"),
        ("fermata", "Held"),
        ("accent", "An accent"),
        ("tenuto", "Held full"),
        ("trill", "A trill to the next note up in the key"),
        ("segno", "The sign to go back to"),
        ("coda", "The sign of the coda"),
        ("D.S.", "Back to the sign"),
        ("D.C.", "Back to the beginning"),
        ("fine", "The end"),
    ])
}

fn owned(list: &[(&str, &str)]) -> Vec<(String, String)> {
    let owned = |(text, what): &(&str, &str)| ((*text).to_owned(), (*what).to_owned());
    list.iter().map(owned).collect()
}
