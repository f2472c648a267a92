//! Reads the words over a staff: stopping, mutes, bells, solos, slides, crook changes and dynamics.

use std::fmt;
use std::ops::Range;

use crate::addressed::{Addressed, read_address};
use crate::crook_name::{CrookName, Spelling, crook_at, is_preposition};
use crate::doubling::{TakenUp, taken_up};
use crate::dynamics::Dynamic;
use crate::name_words::noun_at;
use crate::other_instruments::is_other_instrument;
use crate::players::unison_at;
use crate::term_words::{
    AFTER_MUTE, ARTICLES, BEFORE_MUTE, CROOK_CHANGES, DENIALS, DYNAMICS, MUTE_KINDS, MUTE_NOUNS,
    MUTES_BY_NAME, MuteKind, NO_TERM, PHRASES, RELATIVE, Turn, VERY,
};
use crate::words::{Kind, Token, phrase_at, tokens};

/// What words over the staff ask of the player.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Instruction {
    /// Close the bell with the hand, or with a stopping mute.
    Stopped,
    /// Half close it.
    HalfStopped,
    /// Play open, or as usual: ends stopping, and a mute too if one is in. The reading decides which.
    Open,
    /// Put the mute in.
    MuteOn,
    /// Put the stopping mute in, which sounds as the stopping hand does.
    StoppingMute,
    /// Take the mute out.
    MuteOff,
    /// A mute horns do not have.
    ForeignMute(ForeignMute),
    /// Raise the bell.
    BellsUp,
    /// Hold it as usual again.
    BellsNormal,
    /// A brassy, forced tone.
    Cuivre,
    /// With the tongue fluttering.
    Flutter,
    /// A solo, or the section's.
    Solo,
    /// Everybody again.
    Tutti,
    /// A slide or rip.
    Gliss,
    /// So many players on one line.
    Unison(u8),
    /// Change to another crook; it may be one of several, or one no horn is known to have.
    Crook(CrookName),
    /// A dynamic in words.
    Dynamic(Dynamic),
    /// Take up another instrument, or the horn again.
    TakeUp(TakenUp),
}

/// Mutes of other brass instruments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ForeignMute {
    /// Cup mute.
    Cup,
    /// Harmon mute.
    Harmon,
    /// Bucket or velvet mute.
    Bucket,
    /// Plunger.
    Plunger,
    /// Wah-wah mute.
    WahWah,
    /// Solotone mute.
    SoloTone,
    /// Hat or derby.
    Hat,
}

impl fmt::Display for ForeignMute {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Cup => "cup mute",
            Self::Harmon => "harmon mute",
            Self::Bucket => "bucket mute",
            Self::Plunger => "plunger",
            Self::WahWah => "wah-wah mute",
            Self::SoloTone => "solotone mute",
            Self::Hat => "hat mute",
        })
    }
}

/// The language of a term.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Language {
    /// English.
    English,
    /// Italian.
    Italian,
    /// French.
    French,
    /// German.
    German,
    /// Spanish.
    Spanish,
    /// Polish.
    Polish,
    /// Czech.
    Czech,
}

/// An instruction found in a text.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Term {
    /// What is asked.
    pub instruction: Instruction,
    /// In which language, when the words are not common to several.
    pub language: Option<Language>,
    /// Where the words stand in the text, in bytes.
    pub range: Range<usize>,
}

/// What was found at a token: nothing to report, or an instruction; and the tokens it takes.
struct Found {
    instruction: Option<Instruction>,
    language: Option<Language>,
    length: usize,
}

impl Found {
    const fn new(instruction: Instruction, language: Option<Language>, length: usize) -> Self {
        Self {
            instruction: Some(instruction),
            language,
            length,
        }
    }

    const fn nothing(length: usize) -> Self {
        Self {
            instruction: None,
            language: None,
            length,
        }
    }
}

/// Reads the instructions in words over a staff, in the order they stand.
#[must_use]
pub fn read_words(text: &str) -> Vec<Term> {
    if let Some(term) = sign_alone(text) {
        return vec![term];
    }
    // What is said to one player is read behind the number; what is said to another instrument is no horn's business.
    match read_address(text) {
        Some(address) if address.to == Addressed::Others => return Vec::new(),
        Some(address) if matches!(address.to, Addressed::Players(_)) => {
            let mut terms = text.get(address.rest..).map(read_terms).unwrap_or_default();
            for term in &mut terms {
                term.range = term.range.start + address.rest..term.range.end + address.rest;
            }
            return terms;
        }
        _ => {}
    }
    read_terms(text)
}

fn read_terms(text: &str) -> Vec<Term> {
    let tokens: Vec<_> = tokens(text)
        .into_iter()
        .filter(|token| !token.is_soft())
        .collect();
    let mut terms = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let Some(found) = find(&tokens, at) else {
            at += 1;
            continue;
        };
        let end = at + found.length.max(1);
        if let Some(instruction) = found.instruction {
            terms.push(Term {
                instruction,
                language: found.language,
                range: tokens[at].range.start..tokens[end - 1].range.end,
            });
        }
        at = end;
    }
    terms
}

/// Whether a text is a mute's name and no more, so that it does not say whether it goes in or out.
#[must_use]
pub fn names_mute_alone(text: &str) -> bool {
    let mut words = tokens(text).into_iter().filter(|token| !token.is_soft());
    let alone = words
        .next()
        .is_some_and(|word| MUTES_BY_NAME.contains(&word.folded.as_str()));
    alone && words.next().is_none()
}

/// `+` or `o` as the whole text, in brackets or not, once or over several notes.
fn sign_alone(text: &str) -> Option<Term> {
    let spare = |c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']');
    let bare = text.trim_matches(spare);
    let start = text.find(bare)?;
    let all = |sign: &[char]| {
        !bare.is_empty() && bare.chars().all(|c| sign.contains(&c) || c.is_whitespace())
    };
    let instruction = if all(&['+']) {
        Instruction::Stopped
    } else if all(&['o', '°', '○']) && !bare.contains("oo") {
        Instruction::Open
    } else {
        return None;
    };
    Some(Term {
        instruction,
        language: None,
        range: start..start + bare.len(),
    })
}

fn find(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    crook_change(tokens, at)
        .or_else(|| {
            let (taken, language, length) = taken_up(tokens, at)?;
            Some(Found::new(Instruction::TakeUp(taken), language, length))
        })
        .or_else(|| no_term(tokens, at))
        .or_else(|| mute(tokens, at))
        .or_else(|| denied(tokens, at))
        .or_else(|| phrase(tokens, at))
        .or_else(|| {
            let (count, length) = unison_at(tokens, at)?;
            Some(Found::new(Instruction::Unison(count), None, length))
        })
        .or_else(|| dynamic(tokens, at))
}

fn no_term(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    longest(&NO_TERM, |phrase| phrase_at(tokens, at, phrase))
        .map(|(_, length)| Found::nothing(length))
}

/// The entry of a list that takes the most tokens.
fn longest<T>(list: &[T], fits: impl Fn(&T) -> Option<usize>) -> Option<(&T, usize)> {
    list.iter()
        .filter_map(|entry| Some((entry, fits(entry)?)))
        .max_by_key(|&(_, length)| length)
}

fn phrase(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    let (&(_, instruction, language), length) =
        longest(&PHRASES, |(phrase, ..)| phrase_at(tokens, at, phrase))?;
    let cue = instruction == Instruction::Solo
        && at
            .checked_sub(1)
            .is_some_and(|before| is_other_instrument(tokens, before));
    Some(if cue {
        Found::nothing(length)
    } else {
        Found::new(instruction, language, length)
    })
}

/// `nicht gestopft`, `senza gliss.`: what is denied is not asked; stopping denied is open.
fn denied(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    let denies = DENIALS.contains(&tokens[at].folded.as_str());
    let found = denies.then(|| phrase(tokens, at + 1)).flatten()?;
    let length = found.length + 1;
    Some(match found.instruction {
        Some(Instruction::Stopped | Instruction::HalfStopped) => {
            Found::new(Instruction::Open, found.language, length)
        }
        _ => Found::nothing(length),
    })
}

/// `con sord.`, `ôtez la sourdine`, `Dämpfer weg`, `take mutes off`, `in cup mute`, `stop mute`.
fn mute(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    let word = |at: usize| tokens.get(at).map(|token| token.folded.as_str());
    let mut place = at;
    let mut turns = Vec::new();
    let mut language = None;
    let mut short_s = false;
    while let Some(folded) = word(place) {
        if let Some(&(_, turn, spoken)) = BEFORE_MUTE.iter().find(|(name, ..)| *name == folded) {
            turns.push(turn);
            language = language.or(spoken);
        } else if folded == "s" {
            short_s = true;
        } else if place == at || !ARTICLES.contains(&folded) {
            break;
        }
        // No phrase has more than four words before its mute.
        if place - at >= 4 {
            return None;
        }
        place += 1;
    }
    let kind = longest(&MUTE_KINDS, |(name, ..)| phrase_at(tokens, place, name));
    let noun_place = place + kind.map_or(0, |(_, length)| length);
    let noun = word(noun_place)
        .and_then(|folded| MUTE_NOUNS.iter().find(|(name, _)| *name == folded))
        .map(|&(_, language)| language);
    let (kind, enough) = kind.map_or((MuteKind::Usual, false), |(&(_, kind, enough), _)| {
        let led = matches!(kind, MuteKind::Foreign(_)) && place > at;
        (kind, enough || led)
    });
    if noun.is_none() && !enough {
        return None;
    }
    place = noun_place + usize::from(noun.is_some());
    // Without its umlaut a lone "Dampfer" is a steamer.
    let steamer = noun == Some(Language::German)
        && tokens[noun_place].folded.starts_with("dampf")
        && tokens[noun_place].text.is_ascii();
    if short_s {
        // "s sord." is senza; the Czech and Polish s is "with".
        let with = matches!(noun, Some(Language::Czech | Language::Polish));
        turns.push(if with { Turn::On } else { Turn::Off });
    }
    if let Some(folded) = word(place)
        && let Some(&(_, turn)) = AFTER_MUTE.iter().find(|(name, _)| *name == folded)
    {
        turns.push(turn);
        place += 1;
    }
    if steamer && turns.is_empty() {
        return None;
    }
    let length = place - at;
    let turn = [Turn::Nothing, Turn::Off]
        .into_iter()
        .find(|turn| turns.contains(turn))
        .unwrap_or(Turn::On);
    let instruction = match (turn, kind) {
        (Turn::Nothing, _) => return Some(Found::nothing(length)),
        (Turn::Off, MuteKind::Hand) => Instruction::Open,
        (Turn::Off, _) => Instruction::MuteOff,
        (Turn::On, MuteKind::Usual) => Instruction::MuteOn,
        (Turn::On, MuteKind::Stopping) => Instruction::StoppingMute,
        (Turn::On, MuteKind::Hand) => Instruction::HalfStopped,
        (Turn::On, MuteKind::Foreign(mute)) => Instruction::ForeignMute(mute),
    };
    Some(Found::new(instruction, language.or(noun), length))
}

/// `muta in Es`, `change to horn in D`, `in F` alone or after a horn's name, `E♭ crook`.
fn crook_change(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    let told = longest(&CROOK_CHANGES, |(phrase, _)| phrase_at(tokens, at, phrase));
    if let Some((&(_, language), length)) = told {
        let mut place = at + length;
        while tokens
            .get(place)
            .is_some_and(|token| is_preposition(token) || noun_at(tokens, place).is_some())
        {
            place += 1;
        }
        let found = crook_at(tokens, place)?;
        let last = found.tokens.end;
        // "change to a mute": a word goes on where a crook would end.
        ends_crook(tokens, last).then_some(())?;
        let end = last + usize::from(closes_crook(tokens, last));
        return Some(Found::new(
            Instruction::Crook(found.name),
            language,
            end - at,
        ));
    }
    if is_preposition(&tokens[at]) && leads(tokens, at) {
        let found = crook_at(tokens, at + 1)?;
        let note = &tokens[found.note_at];
        let whole = at == 0 && found.tokens.end == tokens.len();
        let sure = note.is_capital() || found.spelling == Spelling::Solfege || whole;
        let end = found.tokens.end;
        return (sure && ends_crook(tokens, end))
            .then(|| Found::new(Instruction::Crook(found.name), None, end - at));
    }
    let found = crook_at(tokens, at)?;
    let end = found.tokens.end;
    let crook = tokens
        .get(end)
        .is_some_and(|next| matches!(next.folded.as_str(), "crook" | "crooks" | "bogen"));
    crook.then(|| Found::new(Instruction::Crook(found.name), None, end + 1 - at))
}

/// Whether a bare "in" may lead to a crook here: at the start, after a sign, or after a horn's name.
fn leads(tokens: &[Token<'_>], at: usize) -> bool {
    at.checked_sub(1)
        .is_none_or(|before| tokens[before].kind == Kind::Sign || noun_at(tokens, before).is_some())
}

/// Whether a crook's name may end before this token.
fn ends_crook(tokens: &[Token<'_>], at: usize) -> bool {
    tokens
        .get(at)
        .is_none_or(|next| next.kind != Kind::Word || closes_crook(tokens, at))
}

fn closes_crook(tokens: &[Token<'_>], at: usize) -> bool {
    noun_at(tokens, at).is_some()
        || tokens
            .get(at)
            .is_some_and(|next| matches!(next.folded.as_str(), "crook" | "crooks" | "bogen"))
}

/// `ff`, `sempre piano`, `forte`, `sehr leise`; `più forte` is only a comparison and none.
fn dynamic(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    let before = at
        .checked_sub(1)
        .map(|before| tokens[before].folded.as_str());
    if before.is_some_and(|word| RELATIVE.contains(&word)) {
        return None;
    }
    let pushed = VERY.contains(&tokens[at].folded.as_str());
    let start = at + usize::from(pushed);
    if let Some((&(_, dynamic, language), length)) =
        longest(&DYNAMICS, |(phrase, ..)| phrase_at(tokens, start, phrase))
    {
        let dynamic = if pushed { dynamic.more() } else { dynamic };
        let length = length + start - at;
        return Some(Found::new(Instruction::Dynamic(dynamic), language, length));
    }
    // "n" stands alone or is no dynamic; "p. 3" is a page, and "in f" a key or a crook.
    let mark = tokens[at].text;
    let page = mark.len() == 1 && tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Number);
    let note = before.is_some_and(|word| matches!(word, "in" | "en"));
    if page || note || mark == "n" && tokens.len() > 1 {
        return None;
    }
    let dynamic = Dynamic::read(mark)?;
    Some(Found::new(Instruction::Dynamic(dynamic), None, 1))
}

#[cfg(test)]
#[path = "terms_tests.rs"]
mod tests;
