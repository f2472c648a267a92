//! The words for a horn in seven languages, and the neighbours that make them another instrument's.

use crate::words::{Token, phrase_at, tokens};

/// A word for a horn among tokens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Noun {
    /// How many tokens it takes.
    pub length: usize,
    /// Whether the word is a plural.
    pub plural: bool,
    /// Whether "alto" or the like before it makes it another instrument, unless it is a crook's octave.
    pub foreign: bool,
}

/// Folded words for one horn.
const ONE: [&str; 43] = [
    "horn",
    "hn",
    "hrn",
    "hr",
    "frenchhorn",
    "waldhorn",
    "ventilhorn",
    "naturhorn",
    "jagdhorn",
    "doppelhorn",
    "parforcehorn",
    "inventionshorn",
    "corno",
    "cornu",
    "cor",
    "cr",
    "trompa",
    "tpa",
    "rog",
    "waltornia",
    "roh",
    "handhorn",
    "solohorn",
    "wienerhorn",
    "konzerthorn",
    "crno",
    "bumper",
    "hoorn",
    "waldhoorn",
    "valthorn",
    "valdhorn",
    "kayratorvi",
    "валторна",
    "влт",
    "korno",
    "ventilhoorn",
    "kurt",
    "vadaszkurt",
    "хорна",
    "κόρνο",
    "ホルン",
    "圆号",
    "호른",
];

/// Folded words for several horns.
const MANY: [&str; 38] = [
    "horns",
    "hns",
    "hrns",
    "hrs",
    "frenchhorns",
    "horner",
    "hoerner",
    "waldhorner",
    "waldhoerner",
    "ventilhorner",
    "ventilhoerner",
    "naturhorner",
    "naturhoerner",
    "jagdhorner",
    "jagdhoerner",
    "corni",
    "cors",
    "trompas",
    "rogi",
    "waltornie",
    "rohy",
    "horna",
    "handhorner",
    "handhoerner",
    "solohorner",
    "solohoerner",
    "wienerhorner",
    "wienerhoerner",
    "hoorns",
    "waldhoorns",
    "valthornen",
    "valdhornene",
    "kayratorvet",
    "валторны",
    "cornua",
    "kurtok",
    "хорне",
    "κόρνα",
];

/// Words that make a following horn another instrument (or no instrument at all).
const NOT_AFTER: [&str; 43] = [
    "english",
    "eng",
    "engl",
    "englisch",
    "englisches",
    "englische",
    "basset",
    "bassett",
    "flugel",
    "fluegel",
    "alto",
    "alt",
    "tenor",
    "tenore",
    "baritone",
    "bariton",
    "barytone",
    "bass",
    "post",
    "alp",
    "alpen",
    "alpine",
    "nebel",
    "fog",
    "sax",
    "air",
    "car",
    "auto",
    "taxi",
    "bulb",
    "train",
    "bicycle",
    "shoe",
    "cow",
    "ram",
    "rams",
    "anglicky",
    "basetovy",
    "alpsky",
    "engelse",
    "engelsk",
    "engelskt",
    "wagner",
];

/// Words that make a preceding horn another instrument.
const NOT_BEFORE: [&str; 29] = [
    "inglese",
    "inglesi",
    "ingl",
    "ing",
    "ingles",
    "anglais",
    "angl",
    "ang",
    "di bassetto",
    "bassetto",
    "de basset",
    "de bassetto",
    "basset",
    "di posta",
    "de poste",
    "de postillon",
    "di postiglione",
    "de posta",
    "des alpes",
    "delle alpi",
    "de los alpes",
    "angielski",
    "angielskie",
    "alpejski",
    "pocztowy",
    "basetowy",
    "marina",
    "cym",
    "cymbal",
];

/// Words anywhere in a name that leave open whether it is a choir's: `cor` is one in Catalan, and abbreviates one in
/// French; a choir of horns is called so too.
const CHOIRS: [&str; 6] = ["choeur", "choeurs", "choir", "chorus", "coro", "chor"];

/// Words right after the horn's that leave open which instruments are meant: of a band, often saxophones and trumpets.
const SECTIONS: [&str; 3] = ["section", "sect", "line"];

/// Words that only the names of a brass band's instruments hold.
const BRASS_BAND: [&str; 9] = [
    "cornet",
    "cornets",
    "flugelhorn",
    "flugel",
    "euphonium",
    "euphoniums",
    "baritone",
    "baritones",
    "repiano",
];

/// Whether a part's name is that of an instrument of the brass band, where a horn in E flat is a tenor horn.
#[must_use]
pub fn is_of_brass_band(name: &str) -> bool {
    tokens(name)
        .iter()
        .any(|token| BRASS_BAND.contains(&token.folded.as_str()))
}

/// Whether a name whose horn word ends before a token leaves open whether horns are meant: `Horn Section`,
/// `Cor (Chœur)`.
pub(crate) fn is_open(tokens: &[Token<'_>], end: usize) -> bool {
    let next = skip_soft(tokens, end);
    let section = tokens
        .get(next)
        .is_some_and(|token| SECTIONS.contains(&token.folded.as_str()));
    let mut words = tokens.iter().map(|token| token.folded.as_str());
    section || words.any(|word| CHOIRS.contains(&word))
}

/// Words that stand between a crook and the horn without being part of either.
const ADJECTIVES: [&str; 13] = [
    "french", "fr", "natural", "valve", "valved", "hand", "hunting", "double", "single", "triple",
    "descant", "solo", "vienna",
];

/// Whether a folded word is an adjective of the horn that leaves it a horn.
pub(crate) fn is_adjective(folded: &str) -> bool {
    ADJECTIVES.contains(&folded)
}

/// The word for a horn at a token, unless its neighbours make it another instrument.
pub(crate) fn noun_at(tokens: &[Token<'_>], at: usize) -> Option<Noun> {
    let word = tokens.get(at)?.folded.as_str();
    let (length, plural) = if MANY.contains(&word) {
        (1, true)
    } else if ONE.contains(&word) {
        (1, false)
    } else {
        (phrase_at(tokens, at, "trompe de chasse")?, false)
    };
    let next = skip_soft(tokens, at + length);
    if NOT_BEFORE
        .iter()
        .any(|phrase| phrase_at(tokens, next, phrase).is_some())
    {
        return None;
    }
    // "Cor A." is short for cor anglais; a horn in A has no point after its letter.
    let anglais = word == "cor"
        && tokens.get(next).is_some_and(|token| token.folded == "a")
        && tokens.get(next + 1).is_some_and(|token| token.is_sign("."));
    if anglais {
        return None;
    }
    let before = before(tokens, at);
    // "E. Hn." is an English horn; a horn in E has no point after its letter. "Ram's" ends in a stray s.
    let abbreviated =
        before.is_some_and(|place| tokens[place].folded == "e" && tokens[place + 1].is_sign("."));
    let possessive = before
        .filter(|&place| tokens[place].folded == "s")
        .and_then(|place| self::before(tokens, place));
    let other = |place: Option<usize>| {
        place.is_some_and(|place| NOT_AFTER.contains(&tokens[place].folded.as_str()))
    };
    if abbreviated || other(possessive) {
        return None;
    }
    let octave =
        before.is_some_and(|place| matches!(tokens[place].folded.as_str(), "alto" | "alt"));
    if other(before) && !octave {
        return None;
    }
    Some(Noun {
        length,
        plural,
        foreign: octave,
    })
}

/// The token before one, points and hyphens passed over.
fn before(tokens: &[Token<'_>], at: usize) -> Option<usize> {
    (0..at).rev().find(|&place| !tokens[place].is_soft())
}

fn skip_soft(tokens: &[Token<'_>], at: usize) -> usize {
    let soft = tokens.iter().skip(at).take_while(|t| t.is_soft()).count();
    at + soft
}
