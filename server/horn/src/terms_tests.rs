//! Words over the staff in seven languages, one row each.

use super::Instruction::{
    BellsNormal, BellsUp, Crook as CrookChange, Cuivre, Flutter, Gliss, HalfStopped, MuteOff,
    MuteOn, Open, Solo, Stopped, StoppingMute, Tutti, Unison,
};
use super::*;
use crate::crook::Crook;
use CrookName::{Ambiguous, Named};

const fn foreign(mute: ForeignMute) -> Instruction {
    Instruction::ForeignMute(mute)
}

const fn dynamic(dynamic: Dynamic) -> Instruction {
    Instruction::Dynamic(dynamic)
}

/// Text, and each instruction in it with the words it stands in.
const TEXTS: &[(&str, &[(Instruction, &str)])] = &[
    ("stopped", &[(Stopped, "stopped")]),
    ("Stopped.", &[(Stopped, "Stopped")]),
    ("handstopped", &[(Stopped, "handstopped")]),
    ("hand-stopped", &[(Stopped, "hand-stopped")]),
    ("hand stop", &[(Stopped, "hand stop")]),
    ("echo tones", &[(HalfStopped, "echo tones")]),
    ("en écho", &[(HalfStopped, "en écho")]),
    ("Mutes", &[(MuteOn, "Mutes")]),
    ("Dämpfer", &[(MuteOn, "Dämpfer")]),
    ("+", &[(Stopped, "+")]),
    (" (+) ", &[(Stopped, "+")]),
    ("+ + +", &[(Stopped, "+ + +")]),
    ("o", &[(Open, "o")]),
    ("gestopft", &[(Stopped, "gestopft")]),
    ("chiuso", &[(Stopped, "chiuso")]),
    ("bouché", &[(Stopped, "bouché")]),
    ("sons bouchés", &[(Stopped, "sons bouchés")]),
    ("tapado", &[(Stopped, "tapado")]),
    ("nicht gestopft", &[(Open, "nicht gestopft")]),
    ("half-stopped", &[(HalfStopped, "half-stopped")]),
    ("halb gestopft", &[(HalfStopped, "halb gestopft")]),
    ("sons d'écho", &[(HalfStopped, "sons d'écho")]),
    ("hand mute", &[(HalfStopped, "hand mute")]),
    ("open", &[(Open, "open")]),
    ("open repeat", &[(Open, "open")]),
    ("offen", &[(Open, "offen")]),
    ("aperto", &[(Open, "aperto")]),
    ("ouvert", &[(Open, "ouvert")]),
    ("abierto", &[(Open, "abierto")]),
    ("otevřeně", &[(Open, "otevřeně")]),
    ("nat.", &[(Open, "nat")]),
    ("naturale", &[(Open, "naturale")]),
    ("ord.", &[(Open, "ord")]),
    ("con sord.", &[(MuteOn, "con sord")]),
    ("con sordino", &[(MuteOn, "con sordino")]),
    ("con sordini", &[(MuteOn, "con sordini")]),
    ("sord.", &[(MuteOn, "sord")]),
    ("mit Dämpfer", &[(MuteOn, "mit Dämpfer")]),
    ("gedämpft", &[(MuteOn, "gedämpft")]),
    ("avec sourdine", &[(MuteOn, "avec sourdine")]),
    ("avec les sourdines", &[(MuteOn, "avec les sourdines")]),
    ("Sourdines", &[(MuteOn, "Sourdines")]),
    ("con sordina", &[(MuteOn, "con sordina")]),
    ("z tłumikiem", &[(MuteOn, "z tłumikiem")]),
    ("s tłumikiem", &[(MuteOn, "s tłumikiem")]),
    ("s dusítkem", &[(MuteOn, "s dusítkem")]),
    ("muted", &[(MuteOn, "muted")]),
    ("mute", &[(MuteOn, "mute")]),
    ("mute in", &[(MuteOn, "mute in")]),
    ("straight mute", &[(MuteOn, "straight mute")]),
    ("senza sord.", &[(MuteOff, "senza sord")]),
    ("s. sord.", &[(MuteOff, "s. sord")]),
    ("via sord.", &[(MuteOff, "via sord")]),
    ("ohne Dämpfer", &[(MuteOff, "ohne Dämpfer")]),
    ("Dämpfer weg", &[(MuteOff, "Dämpfer weg")]),
    ("sans sourdine", &[(MuteOff, "sans sourdine")]),
    ("ôtez la sourdine", &[(MuteOff, "ôtez la sourdine")]),
    ("ÔTEZ LES SOURDINES", &[(MuteOff, "ÔTEZ LES SOURDINES")]),
    ("mute out", &[(MuteOff, "mute out")]),
    ("mutes off", &[(MuteOff, "mutes off")]),
    ("take mutes off", &[(MuteOff, "take mutes off")]),
    ("take off the mute", &[(MuteOff, "take off the mute")]),
    ("no mute", &[(MuteOff, "no mute")]),
    ("unmuted", &[(MuteOff, "unmuted")]),
    ("sin sordina", &[(MuteOff, "sin sordina")]),
    ("bez tłumika", &[(MuteOff, "bez tłumika")]),
    ("bez dusítka", &[(MuteOff, "bez dusítka")]),
    ("prepare mute", &[]),
    ("mute ready", &[]),
    ("stop mute", &[(StoppingMute, "stop mute")]),
    ("stopping mute", &[(StoppingMute, "stopping mute")]),
    ("cup mute", &[(foreign(ForeignMute::Cup), "cup mute")]),
    ("with cup", &[(foreign(ForeignMute::Cup), "with cup")]),
    (
        "Harmon mute",
        &[(foreign(ForeignMute::Harmon), "Harmon mute")],
    ),
    (
        "bucket mute",
        &[(foreign(ForeignMute::Bucket), "bucket mute")],
    ),
    ("plunger", &[(foreign(ForeignMute::Plunger), "plunger")]),
    (
        "wah-wah mute",
        &[(foreign(ForeignMute::WahWah), "wah-wah mute")],
    ),
    ("cup mute off", &[(MuteOff, "cup mute off")]),
    ("cup of tea", &[]),
    (
        "con sord. (cup mute)",
        &[
            (MuteOn, "con sord"),
            (foreign(ForeignMute::Cup), "cup mute"),
        ],
    ),
    ("open (mute out)", &[(Open, "open"), (MuteOff, "mute out")]),
    (
        "gestopft, ohne Dämpfer",
        &[(Stopped, "gestopft"), (MuteOff, "ohne Dämpfer")],
    ),
    ("solo", &[(Solo, "solo")]),
    ("1. Solo", &[(Solo, "Solo")]),
    ("soli", &[(Solo, "soli")]),
    ("Ob. solo", &[]),
    ("tutti", &[(Tutti, "tutti")]),
    ("a2", &[(Unison(2), "a2")]),
    ("a 2", &[(Unison(2), "a 2")]),
    ("à 4", &[(Unison(4), "à 4")]),
    ("a due", &[(Unison(2), "a due")]),
    ("zu 2", &[(Unison(2), "zu 2")]),
    ("bells up", &[(BellsUp, "bells up")]),
    ("Pavillons en l'air", &[(BellsUp, "Pavillons en l'air")]),
    ("Pavillons en l’air", &[(BellsUp, "Pavillons en l’air")]),
    ("Schalltrichter auf", &[(BellsUp, "Schalltrichter auf")]),
    ("campana in aria", &[(BellsUp, "campana in aria")]),
    ("bells down", &[(BellsNormal, "bells down")]),
    ("bells normal", &[(BellsNormal, "bells normal")]),
    ("gliss.", &[(Gliss, "gliss")]),
    ("glissando", &[(Gliss, "glissando")]),
    ("rip", &[(Gliss, "rip")]),
    ("senza gliss.", &[]),
    ("cuivré", &[(Cuivre, "cuivré")]),
    ("schmetternd", &[(Cuivre, "schmetternd")]),
    ("brassy", &[(Cuivre, "brassy")]),
    ("flutter-tongue", &[(Flutter, "flutter-tongue")]),
    ("Flatterzunge", &[(Flutter, "Flatterzunge")]),
    ("Flttzg.", &[(Flutter, "Flttzg")]),
    ("senza frull.", &[]),
    ("ff", &[(dynamic(Dynamic::FF), "ff")]),
    ("sempre piano", &[(dynamic(Dynamic::P), "piano")]),
    ("forte", &[(dynamic(Dynamic::F), "forte")]),
    ("mezzo-forte", &[(dynamic(Dynamic::MF), "mezzo-forte")]),
    ("sehr leise", &[(dynamic(Dynamic::PP), "sehr leise")]),
    ("più forte", &[]),
    (
        "pp con sord.",
        &[(dynamic(Dynamic::PP), "pp"), (MuteOn, "con sord")],
    ),
    (
        "muta in Es",
        &[(CrookChange(Named(Crook::EFlat)), "muta in Es")],
    ),
    ("muta in E", &[(CrookChange(Named(Crook::E)), "muta in E")]),
    (
        "change to E flat",
        &[(CrookChange(Named(Crook::EFlat)), "change to E flat")],
    ),
    (
        "change to horn in D",
        &[(CrookChange(Named(Crook::D)), "change to horn in D")],
    ),
    (
        "changez en fa",
        &[(CrookChange(Named(Crook::F)), "changez en fa")],
    ),
    ("in D", &[(CrookChange(Named(Crook::D)), "in D")]),
    (
        "in Si b basso",
        &[(CrookChange(Named(Crook::BFlatBasso)), "in Si b basso")],
    ),
    (
        "in C",
        &[(
            CrookChange(Ambiguous(&[Crook::CAlto, Crook::CBasso])),
            "in C",
        )],
    ),
    (
        "E♭ crook",
        &[(CrookChange(Named(Crook::EFlat)), "E♭ crook")],
    ),
    (
        "muta in F, con sord.",
        &[
            (CrookChange(Named(Crook::F)), "muta in F"),
            (MuteOn, "con sord"),
        ],
    ),
    ("with a mute", &[(MuteOn, "with a mute")]),
    ("mit Dampfer", &[(MuteOn, "mit Dampfer")]),
    ("Der Dampfer legt an", &[]),
    ("bouche fermée", &[]),
    ("see p. 3", &[]),
    ("in f minor", &[]),
    ("Minuet in G", &[]),
    ("in a relaxed manner", &[]),
    ("opening theme", &[]),
    ("commute", &[]),
    ("ripieno", &[]),
    ("natural horn", &[]),
    ("Ferry pier at dawn", &[]),
    ("", &[]),
    ("?!", &[]),
];

#[test]
fn words_are_read_where_they_stand() {
    for &(text, expected) in TEXTS {
        let terms = read_words(text);
        let read: Vec<_> = terms
            .iter()
            .map(|term| (term.instruction, &text[term.range.clone()]))
            .collect();
        assert_eq!(read, expected, "{text}");
    }
    println!("{} texts read", TEXTS.len());
    assert!(TEXTS.len() >= 130);
}

#[test]
fn languages_are_told() {
    for (text, language) in [
        ("con sord.", Some(Language::Italian)),
        ("sin sord.", Some(Language::Spanish)),
        ("mit Dämpfer", Some(Language::German)),
        ("ôtez la sourdine", Some(Language::French)),
        ("bez tłumika", Some(Language::Polish)),
        ("bez dusítka", Some(Language::Czech)),
        ("mute out", Some(Language::English)),
        ("offen", Some(Language::German)),
        ("solo", None),
        ("+", None),
    ] {
        assert_eq!(read_words(text)[0].language, language, "{text}");
    }
}

#[test]
fn a_mute_named_alone_says_neither_in_nor_out() {
    for text in ["Mute", "mutes.", "Dämpfer", "Sord.", "sourdines"] {
        assert!(names_mute_alone(text), "{text}");
    }
    for text in [
        "",
        "muted",
        "gedämpft",
        "con sord.",
        "mute in",
        "(sord.)",
        "Dämpfer weg",
    ] {
        assert!(!names_mute_alone(text), "{text}");
    }
}
