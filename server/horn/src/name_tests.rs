//! Part names in seven languages, one row each.

use super::*;
use CrookName::{Ambiguous, Named, Unnamed};

const B: CrookName = Ambiguous(&[Crook::BFlatAlto, Crook::BBasso, Crook::BFlatBasso]);
const B_FLAT: CrookName = Ambiguous(&[Crook::BFlatAlto, Crook::BFlatBasso]);
const C: CrookName = Ambiguous(&[Crook::CAlto, Crook::CBasso]);

/// Name, crook, the crook's own words, players.
const HORNS: &[(&str, CrookName, &str, &[u8])] = &[
    ("Horn", Unnamed, "", &[]),
    ("HORN", Unnamed, "", &[]),
    ("Horn in F", Named(Crook::F), "F", &[]),
    ("Horn in F 1", Named(Crook::F), "F", &[1]),
    ("Horn 1 in F", Named(Crook::F), "F", &[1]),
    ("French horn", Unnamed, "", &[]),
    ("French Horns", Unnamed, "", &[]),
    ("F Horn 1", Named(Crook::F), "F", &[1]),
    ("F French Horn 2", Named(Crook::F), "F", &[2]),
    ("Horn (F)", Named(Crook::F), "F", &[]),
    ("Horn F", Named(Crook::F), "F", &[]),
    ("(F) Horn 1", Named(Crook::F), "F", &[1]),
    ("Horn (es)", Named(Crook::EFlat), "es", &[]),
    ("Corno in la 2", Named(Crook::A), "la", &[2]),
    ("Corno primo Es", Named(Crook::EFlat), "Es", &[1]),
    ("Horn A 2", Named(Crook::A), "A", &[2]),
    ("Horn A2", Unnamed, "", &[]),
    ("Horn a 2", Unnamed, "", &[]),
    ("Corni A 2", Unnamed, "", &[]),
    ("Waltornie 1 i 2", Unnamed, "", &[1, 2]),
    ("Waltornie 2. i 3.", Unnamed, "", &[2, 3]),
    ("Waltornie II i III", Unnamed, "", &[2, 3]),
    ("Waltornie II. i III.", Unnamed, "", &[2, 3]),
    ("Horn (a 2)", Unnamed, "", &[]),
    ("Horn (a cappella)", Unnamed, "", &[]),
    ("Horn 1, F", Named(Crook::F), "F", &[1]),
    ("Horn (E♭ crook)", Named(Crook::EFlat), "E♭", &[]),
    (
        "Bb (alto) Horn 1",
        Named(Crook::BFlatAlto),
        "Bb (alto)",
        &[1],
    ),
    ("Bb alto Horn 1", Named(Crook::BFlatAlto), "Bb alto", &[1]),
    ("Bb Horn", B_FLAT, "Bb", &[]),
    ("A Horn 1", Named(Crook::A), "A", &[1]),
    ("A horn", Named(Crook::A), "A", &[]),
    ("E Horn 1", Named(Crook::E), "E", &[1]),
    ("E flat Horn 3", Named(Crook::EFlat), "E flat", &[3]),
    ("E-flat Horn", Named(Crook::EFlat), "E-flat", &[]),
    ("Horn in E♭", Named(Crook::EFlat), "E♭", &[]),
    (
        "Horns in E flat I.II.",
        Named(Crook::EFlat),
        "E flat",
        &[1, 2],
    ),
    ("Horn in F#", Named(Crook::FSharp), "F#", &[]),
    ("Horns 1 & 2", Unnamed, "", &[1, 2]),
    ("Horns 1-4", Unnamed, "", &[1, 2, 3, 4]),
    ("Horns 1–4 in F", Named(Crook::F), "F", &[1, 2, 3, 4]),
    ("Horns 1+2", Unnamed, "", &[1, 2]),
    ("Horns 1/3", Unnamed, "", &[1, 3]),
    ("Horns 1 and 3", Unnamed, "", &[1, 3]),
    ("Horns 1 to 3", Unnamed, "", &[1, 2, 3]),
    ("1st Horn in F", Named(Crook::F), "F", &[1]),
    ("2nd Horn", Unnamed, "", &[2]),
    ("First Horn", Unnamed, "", &[1]),
    ("4 Horns in F", Named(Crook::F), "F", &[1, 2, 3, 4]),
    ("Four Horns", Unnamed, "", &[1, 2, 3, 4]),
    ("2 F Horns", Named(Crook::F), "F", &[1, 2]),
    ("Horn #2", Unnamed, "", &[2]),
    ("Hn.", Unnamed, "", &[]),
    ("Hn. 1", Unnamed, "", &[1]),
    ("Hn1", Unnamed, "", &[1]),
    ("Hrn. III-IV", Unnamed, "", &[3, 4]),
    ("Hn. 1.2.", Unnamed, "", &[1, 2]),
    ("F. Hn.", Unnamed, "", &[]),
    ("Fr. Hn. 2", Unnamed, "", &[2]),
    ("Natural Horn in D", Named(Crook::D), "D", &[]),
    ("Hunting Horn", Unnamed, "", &[]),
    ("Horn V in F", Named(Crook::F), "F", &[5]),
    ("Horn trio", Unnamed, "", &[]),
    ("Horn in C", C, "C", &[]),
    ("Horn in B", B, "B", &[]),
    ("Horn in B natural", Named(Crook::BBasso), "B natural", &[]),
    ("Double Horn in F/B♭", Named(Crook::F), "F", &[]),
    ("IV Horn", Unnamed, "", &[4]),
    ("F horns 1 2 3 4", Named(Crook::F), "F", &[1, 2, 3, 4]),
    ("Horn in F & B♭", Named(Crook::F), "F", &[]),
    (
        "Horns 3 & 4 in E♭ (alto)",
        Named(Crook::EFlat),
        "E♭ (alto)",
        &[3, 4],
    ),
    ("Hrn 1./2./3./4.", Unnamed, "", &[1, 2, 3, 4]),
    ("Hrn. 1.-4.", Unnamed, "", &[1, 2, 3, 4]),
    ("Horn in F, part 2", Named(Crook::F), "F", &[2]),
    // German
    ("3. & 4. Horn (Es)", Named(Crook::EFlat), "Es", &[3, 4]),
    ("Hörner", Unnamed, "", &[]),
    ("Hörner in F", Named(Crook::F), "F", &[]),
    ("4 Hörner", Unnamed, "", &[1, 2, 3, 4]),
    ("1. Horn in Es", Named(Crook::EFlat), "Es", &[1]),
    ("1.2. Hörner in Es", Named(Crook::EFlat), "Es", &[1, 2]),
    ("Waldhorn", Unnamed, "", &[]),
    ("Waldhörner in D", Named(Crook::D), "D", &[]),
    ("Ventilhorn in F", Named(Crook::F), "F", &[]),
    ("Naturhorn in Dis", Named(Crook::EFlat), "Dis", &[]),
    ("Es-Horn", Named(Crook::EFlat), "Es", &[]),
    ("F-Horn 1", Named(Crook::F), "F", &[1]),
    ("Horn in H", Named(Crook::BBasso), "H", &[]),
    ("Hoch B Horn", Named(Crook::BFlatAlto), "Hoch B", &[]),
    ("Horn in hoch B", Named(Crook::BFlatAlto), "hoch B", &[]),
    ("Hörner in Tief B", Named(Crook::BFlatBasso), "Tief B", &[]),
    ("Horn in tief As", Named(Crook::AFlatBasso), "tief As", &[]),
    ("Zweites Horn", Unnamed, "", &[2]),
    ("Hörner zu 2", Unnamed, "", &[]),
    // Italian
    ("Corno", Unnamed, "", &[]),
    ("Corno I in Fa", Named(Crook::F), "Fa", &[1]),
    ("Corni in Dis", Named(Crook::EFlat), "Dis", &[]),
    ("Corni I e II", Unnamed, "", &[1, 2]),
    ("CORNI I E II", Unnamed, "", &[1, 2]),
    (
        "Corni I. II. in Mi bemolle",
        Named(Crook::EFlat),
        "Mi bemolle",
        &[1, 2],
    ),
    (
        "Corni in Si b basso",
        Named(Crook::BFlatBasso),
        "Si b basso",
        &[],
    ),
    (
        "Corni in Sib acuto",
        Named(Crook::BFlatAlto),
        "Sib acuto",
        &[],
    ),
    ("Corni in Re", Named(Crook::D), "Re", &[]),
    ("Corni a 2", Unnamed, "", &[]),
    ("Corni 1.2. a2", Unnamed, "", &[1, 2]),
    ("2 Corni in G", Named(Crook::G), "G", &[1, 2]),
    ("Corno da caccia", Unnamed, "", &[]),
    ("Corno B", B, "B", &[]),
    ("Corno Es 2", Named(Crook::EFlat), "Es", &[2]),
    ("Cor.", Unnamed, "", &[]),
    ("Cor. 3.4. in E", Named(Crook::E), "E", &[3, 4]),
    ("Cr. I II", Unnamed, "", &[1, 2]),
    ("Corno 2do in Re", Named(Crook::D), "Re", &[2]),
    ("Corni 1º e 2º in Fa", Named(Crook::F), "Fa", &[1, 2]),
    ("Corno principale", Unnamed, "", &[]),
    ("Corno in lontananza", Unnamed, "", &[]),
    // French
    ("Cor 1 (Fa)", Named(Crook::F), "Fa", &[1]),
    ("Cor solo", Unnamed, "", &[]),
    ("Cors", Unnamed, "", &[]),
    ("Cor en Fa", Named(Crook::F), "Fa", &[]),
    ("1er Cor en mi bémol", Named(Crook::EFlat), "mi bémol", &[1]),
    ("Cors en Ut", C, "Ut", &[]),
    ("Cors en ré", Named(Crook::D), "ré", &[]),
    ("2 Cors chromatiques en Fa", Named(Crook::F), "Fa", &[1, 2]),
    ("Cor de chasse", Unnamed, "", &[]),
    (
        "Cors en si bémol grave",
        Named(Crook::BFlatBasso),
        "si bémol grave",
        &[],
    ),
    ("Trompe de chasse en ré", Named(Crook::D), "ré", &[]),
    // Spanish
    ("Trompa", Unnamed, "", &[]),
    ("Trompa en Fa 1ª", Named(Crook::F), "Fa", &[1]),
    ("la trompa", Unnamed, "", &[]),
    ("Trompas 1 y 2 en Fa", Named(Crook::F), "Fa", &[1, 2]),
    ("Trompa de caza", Unnamed, "", &[]),
    ("Corno francés", Unnamed, "", &[]),
    // Polish
    ("Róg", Unnamed, "", &[]),
    ("RO\u{301}G F", Named(Crook::F), "F", &[]),
    ("Rogi I i II in F", Named(Crook::F), "F", &[1, 2]),
    ("Waltornia", Unnamed, "", &[]),
    ("Waltornie 1, 2", Unnamed, "", &[1, 2]),
    // Czech
    ("Lesní roh", Unnamed, "", &[]),
    ("Lesní rohy v F", Named(Crook::F), "F", &[]),
    ("I. lesní roh", Unnamed, "", &[1]),
    ("Horna", Unnamed, "", &[]),
    ("Handhorn in D", Named(Crook::D), "D", &[]),
    ("Solohorn", Unnamed, "", &[]),
    ("Wienerhorn in F", Named(Crook::F), "F", &[]),
    ("Crno. 1", Unnamed, "", &[1]),
    ("Bumper", Unnamed, "", &[]),
    ("Hoorn 2 in F", Named(Crook::F), "F", &[2]),
    ("Valthorn 1 i F", Named(Crook::F), "F", &[1]),
    ("Trompa I em Fá", Named(Crook::F), "Fá", &[1]),
    ("Trompas em Mi bemol", Named(Crook::EFlat), "Mi bemol", &[]),
    ("2 Corni in Toni di Es", Named(Crook::EFlat), "Es", &[1, 2]),
    ("Cor en ton de Mi", Named(Crook::E), "Mi", &[]),
    ("Primeira Trompa em Fá", Named(Crook::F), "Fá", &[1]),
    ("Eerste hoorn in F", Named(Crook::F), "F", &[1]),
    ("Twee hoorns in F", Named(Crook::F), "F", &[1, 2]),
    ("Valthorn i F", Named(Crook::F), "F", &[]),
    ("Horn i Ess", Named(Crook::EFlat), "Ess", &[]),
    ("Valthorn 1 och 2 i F", Named(Crook::F), "F", &[1, 2]),
    ("Första valthorn", Unnamed, "", &[1]),
    ("1. og 2. horn i F", Named(Crook::F), "F", &[1, 2]),
    ("Käyrätorvi 1 F", Named(Crook::F), "F", &[1]),
    ("Валторна Фа", Named(Crook::F), "Фа", &[]),
    ("Валторна Ми-бемоль", Named(Crook::EFlat), "Ми-бемоль", &[]),
    ("Валторны I и II в строе F", Named(Crook::F), "F", &[1, 2]),
    ("Первая валторна", Unnamed, "", &[1]),
    ("Kürt 1", Unnamed, "", &[1]),
    ("Хорна 1 in F", Named(Crook::F), "F", &[1]),
    ("Κόρνο in F", Named(Crook::F), "F", &[]),
    ("ホルン 1", Unnamed, "", &[1]),
    ("Валторна 1", Unnamed, "", &[1]),
    ("Валторны in F", Named(Crook::F), "F", &[]),
    ("Corno toni Dis", Named(Crook::EFlat), "Dis", &[]),
    ("Corno Primo Toni D#", Named(Crook::EFlat), "D#", &[1]),
    ("Corno 1 in.D.", Named(Crook::D), "D", &[1]),
    ("Cornu D#", Named(Crook::EFlat), "D#", &[]),
];

const OTHERS: &[&str] = &[
    "",
    "English horn",
    "Engl. Horn",
    "E. Hn.",
    "Eng. Hn. 1",
    "corno inglese",
    "Corno ingl.",
    "Cor anglais",
    "Cor angl.",
    "Englischhorn",
    "Englisch Horn",
    "Englisches Horn",
    "oboe da caccia",
    "basset horn",
    "Basset-horn in F",
    "corno di bassetto",
    "corni di bassetto",
    "cor de basset",
    "Bassetthorn",
    "flugelhorn",
    "Flügelhorn",
    "Flügel-Horn",
    "Flugel Horn in Bb",
    "alto horn",
    "Alto Horn 1",
    "Eb Alto Horn",
    "tenor horn",
    "Tenor Horn in Eb",
    "Tenorhorn",
    "Althorn",
    "Alt-Horn",
    "baritone horn",
    "Bb Baritone Horn",
    "cornett",
    "cornetto",
    "cornet",
    "Cornet in Bb",
    "Kornett",
    "post horn",
    "Post-Horn",
    "Posthorn",
    "Alphorn",
    "cor des Alpes",
    "Nebelhorn",
    "Fog horn",
    "saxhorn",
    "Sax Horn",
    "rożek angielski",
    "róg angielski",
    "anglický roh",
    "Basetový roh",
    "křídlovka",
    "trompeta",
    "Trompete",
    "Trombone",
    "Hornpipe",
    "Ram's horn",
    "Car horn",
    "Coro",
    "Cor A.",
    "Cor A. 1",
    "Wagner tuba",
    "Wagner Horn",
    "Engelse hoorn",
    "Engelsk horn",
    "Engelskt horn",
    "Althoorn",
    "Английский рожок",
    "Corno di Postiglione",
    "Wagner tuba",
    "Wagnertuba in F",
    "Cr. Cym.",
    "Violin",
    "Clarinet in A",
];

#[test]
fn horns_are_known_in_seven_languages() {
    for &(name, crook, words, players) in HORNS {
        let read = read_name(name);
        assert!(read.is_horn, "{name}");
        assert_eq!(read.crook, crook, "{name}");
        let range = read.crook_range.clone();
        assert_eq!(range.map_or("", |range| &name[range]), words, "{name}");
        assert_eq!(read.players, players, "{name}");
        if players.len() > 1 {
            assert!(read.plural, "{name}");
        }
    }
    println!("{} horn names read", HORNS.len());
    assert!(HORNS.len() >= 142);
}

#[test]
fn other_instruments_are_left_alone() {
    for name in OTHERS {
        assert_eq!(read_name(name), PartName::default(), "{name}");
    }
    println!("{} other names left alone", OTHERS.len());
    assert!(OTHERS.len() >= 68);
}

#[test]
fn names_that_leave_it_open_are_doubtful() {
    for name in [
        "Horn Section",
        "Horn Line",
        "Cor (Chœur)",
        "Cor 1 (Chorus)",
        "Horn Choir 1",
    ] {
        let read = read_name(name);
        assert!(read.doubtful && !read.is_horn, "{name}");
    }
    for name in ["Horn", "Horn in F", "Bumper Horn"] {
        assert!(!read_name(name).doubtful, "{name}");
    }
}

#[test]
fn all_words_of_a_name_are_read_but_strange_ones() {
    for (name, strange) in [
        ("Four Horns in F", None),
        ("vier Hörner", None),
        ("due corni in mi bemolle", None),
        ("1. und 2. Horn in Es", None),
        ("Horn (a cappella)", Some("cappella")),
        ("horn in F student", Some("student")),
        ("horn in Q", Some("in Q")),
    ] {
        let unread = first_unread(name).map(|range| &name[range]);
        assert_eq!(unread, strange, "{name}");
    }
}

#[test]
fn case_does_not_matter() {
    for &(name, crook, ..) in HORNS {
        if name.contains(" in ") {
            assert_eq!(read_name(&name.to_lowercase()).crook, crook, "{name}");
            assert_eq!(read_name(&name.to_uppercase()).crook, crook, "{name}");
        }
    }
}

#[test]
fn together_and_several() {
    for (name, unison, plural) in [
        ("Corni a 2", true, true),
        ("Horns a2", true, true),
        ("Cor à 2", true, true),
        ("Horn 1.2. a 2", true, true),
        ("Hörner zu 2", true, true),
        ("HORNS A 2", true, true),
        ("Horn 1", false, false),
        ("A Horn 2", false, false),
        ("Horns", false, true),
        ("Corni in A 2", false, true),
    ] {
        let read = read_name(name);
        assert_eq!((read.unison, read.plural), (unison, plural), "{name}");
    }
    assert_eq!(read_name("Corni in A 2").crook, Named(Crook::A));
}

#[test]
fn no_name_breaks_it() {
    let long = "i ".repeat(20_000);
    for name in [
        "horn",
        "Horn in",
        "Horn (",
        "in horn",
        "♭ horn",
        "Horn 99999999999999999999",
        "a",
        "Hörner in ♭",
        &long,
    ] {
        let _ = read_name(name);
        let _ = crate::crook_name::read_crook(name);
        let _ = crate::terms::read_words(name);
    }
}

#[test]
fn jumbled_pieces_never_break_it() {
    const PIECES: [&str; 40] = [
        "horn", "Hörner", "Corni", "alto", "Bb", "B♭", "♭", "E", ".", "-", "(", ")", "[", " ",
        "  ", "in", "en", "si", "b", "basso", "Hoch", "1", "99", "I", "i", "a", "2", "–", "to",
        "mute", "con", "s", "Dämpfer", "off", "cup", "nicht", "gestopft", "muta", "ff", "o\u{301}",
    ];
    let mut state = 7u64;
    let mut jumbles = 0;
    for _ in 0..20_000 {
        let mut text = String::new();
        for _ in 0..9 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            text.push_str(PIECES[(state >> 33) as usize % PIECES.len()]);
            if state >> 62 > 0 {
                text.push(' ');
            }
        }
        if let Some(range) = read_name(&text).crook_range {
            assert!(!text[range].is_empty(), "{text}");
        }
        for term in crate::terms::read_words(&text) {
            assert!(!text[term.range].is_empty(), "{text}");
        }
        let _ = crate::crook_name::read_crook(&text);
        jumbles += 1;
    }
    println!("{jumbles} jumbled texts read");
    assert_eq!(jumbles, 20_000);
}
