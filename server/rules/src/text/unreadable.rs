//! `text/unreadable`: what could not be read.

use std::collections::HashMap;

use horn::Source;
use reading::PieceReading;
use score::{Directive, DirectiveKind, Expect, Lost, PartSelector, Piece, Span, Unreadable};
use theory::PagePitch;

use crate::catalogue;
use crate::context::{PieceContext, ScoreContext};
use crate::finding::Finding;
use crate::rule::{Severity, rule};
use crate::selector::RuleSelector;

rule! {
    /// Something in the text that could not be read.
    ///
    /// ## Why it matters
    /// What cannot be read is not checked, and other readers of the file may stumble over it too. Everything
    /// around it is read all the same. It is an error where notes of a horn part may be lost; where all notes stand,
    /// or where it is in another instrument's part, it is for information.
    ///
    /// ## What to write instead
    /// The message says what was expected there.
    ///
    /// ## Source
    /// The notation's own standard: ABC 2.1, Humdrum, MusicXML 4.0; for instructions in comments, this project's own.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d "^solo e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d "^solo" e f | g4 |]
    /// ```
    "text/unreadable", Error, Piece(check) & Score(outside_pieces)
}

/// How many parts are named to choose from; a message that goes on is not read.
const MOST_SHOWN: usize = 20;

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let piece = &ctx.reading.piece;
    let mut findings = all(&piece.unreadable, &piece.directives, &[ctx.reading]);
    let mut horns = ctx.reading.horns.iter();
    // What all parts are to do is told once.
    let undecided = horns.find_map(|horn| horn.performed.undecided.as_ref());
    findings.extend(undecided.map(|undecided| {
        let message = format!(
            "The order of playing is not clear: {}. So the piece is judged as if it were played once, from the first bar to \
             the last: how long its players last is not known. Expected {}.",
            undecided.problem, undecided.expected,
        );
        Finding::new(&RULE, undecided.span, message, &"the notation's own standard")
            .graver(Severity::Information)
    }));
    findings
}

/// The same for what stands outside any piece.
fn outside_pieces(ctx: &ScoreContext<'_>) -> Vec<Finding> {
    let pieces: Vec<&PieceReading> = ctx.pieces.iter().map(|(_, one)| *one).collect();
    all(ctx.unreadable, ctx.directives, &pieces)
}

/// `pieces` are those the instructions hold for.
fn all(
    unreadable: &[Unreadable],
    directives: &[Directive],
    pieces: &[&PieceReading],
) -> Vec<Finding> {
    // Nearly always; and a file can have thousands of pieces.
    if unreadable.is_empty() && directives.is_empty() {
        return Vec::new();
    }
    let horns: HashMap<usize, &str> = pieces
        .iter()
        .flat_map(|one| &one.horns)
        .map(|horn| (horn.seat.part, horn.label.as_str()))
        .collect();
    let none = !pieces.is_empty() && pieces.iter().all(|one| has_no_horn(one));
    let broken = unreadable.iter().map(|slip| broken(slip, &horns, none));
    let instructions = directives
        .iter()
        .filter_map(|directive| match &directive.kind {
            DirectiveKind::Unknown(expected) => Some(not_followed(
                directive.span,
                "this instruction to bellhand is not understood",
                expected,
            )),
            // Another rule speaks of the names in it.
            DirectiveKind::Ignore { .. } | DirectiveKind::IgnoreInFile { .. } => None,
            DirectiveKind::Part { selector, is } => cast(directive.span, selector, is, pieces),
            DirectiveKind::Pitch(pitch) => {
                no_choice(directive.span, *pitch, &PartSelector::All, pieces)
            }
            DirectiveKind::Expect(expect) => announced(directive.span, expect, pieces),
            DirectiveKind::Only { rules } => {
                let no_selector = |name: &String| name.parse::<RuleSelector>().err();
                let problem = rules.iter().find_map(no_selector)?;
                Some(not_followed(
                    directive.span,
                    &problem,
                    "rules and groups as findings show them, such as `stopped, range/too-high`",
                ))
            }
            DirectiveKind::Task(_) | DirectiveKind::Hint(_) => None,
        });
    broken.chain(instructions).collect()
}

/// What is wrong with an instruction that says what a part is.
fn cast(
    span: Span,
    selector: &PartSelector,
    is: &str,
    pieces: &[&PieceReading],
) -> Option<Finding> {
    let said = match horn::read_part_said(is) {
        Ok(said) => said,
        Err(error) => {
            let expected = "`horn in F`, `horn in E flat, old bass clef`, `horn in F, sounding pitch`, `not a horn` and the like";
            return Some(not_followed(span, &error.to_string(), expected));
        }
    };
    let pitch = || no_choice(span, said.pitch?, selector, pieces);
    no_such_part(span, selector, pieces).or_else(pitch)
}

/// What is wrong with saying that the notes of parts are those that players read, where the notation or the file has it
/// that they are what sounds.
fn no_choice(
    span: Span,
    said: PagePitch,
    selector: &PartSelector,
    pieces: &[&PieceReading],
) -> Option<Finding> {
    let meant = pieces.iter().flat_map(|one| {
        let parts = &one.piece.parts;
        let selected = selector.select(parts).into_iter();
        selected.filter_map(|part| parts.get(part)?.pitch)
    });
    let settled = meant.last().filter(|_| said == PagePitch::Written)?;
    let (problem, expected) = match settled {
        PagePitch::Written => (
            "in Humdrum the notes are always what sounds, and cannot be said to be those that the player reads",
            "where the player's notes were entered all the same, a record of how far they lie from the sound, as `*Trd4c7` for \
             a horn in F",
        ),
        PagePitch::Sounding => (
            "the file itself says that all its pages show what sounds",
            "a score without <concert-score/>, with the notes that the player reads",
        ),
    };
    Some(not_followed(span, problem, expected))
}

/// What is wrong with a fault that a lesson announces: a rule or a part that does not exist.
fn announced(span: Span, expect: &Expect, pieces: &[&PieceReading]) -> Option<Finding> {
    if catalogue::rule(&expect.rule).is_none() {
        let problem = match expect.rule.parse::<RuleSelector>() {
            Ok(_) => format!("`{}` is a group of rules and no rule", expect.rule),
            Err(problem) => problem,
        };
        let expected = "a rule's name as findings show it, such as `range/too-high`";
        return Some(not_followed(span, &problem, expected));
    }
    no_such_part(span, expect.part.as_ref()?, pieces)
}

/// What to say of a part that is named and that no piece has.
fn no_such_part(span: Span, selector: &PartSelector, pieces: &[&PieceReading]) -> Option<Finding> {
    let PartSelector::Named(wanted) = selector else {
        return None;
    };
    let pieces: Vec<&Piece> = pieces.iter().map(|one| one.piece.as_ref()).collect();
    // With no part at all something else is wrong.
    if pieces.iter().all(|piece| piece.parts.is_empty())
        || pieces
            .iter()
            .any(|piece| !selector.select(&piece.parts).is_empty())
    {
        return None;
    }
    let mut known = Vec::new();
    for part in pieces
        .iter()
        .flat_map(|piece| &piece.parts)
        .take(MOST_SHOWN)
    {
        let shown = part.name.as_ref().map_or_else(
            || format!("`{}`", part.id),
            |name| format!("`{}` (\"{}\")", part.id, name.text.trim()),
        );
        if !known.contains(&shown) {
            known.push(shown);
        }
    }
    let problem = format!("there is no part `{wanted}` here");
    let expected = format!("one of {}", known.join(", "));
    Some(not_followed(span, &problem, &expected))
}

/// What could not be read: an error only where a horn's notes may be lost.
///
/// `horns` are the labels of the horn parts by their places, `none` says that every part is another instrument's.
fn broken(slip: &Unreadable, horns: &HashMap<usize, &str>, none: bool) -> Finding {
    let Unreadable {
        problem, expected, ..
    } = slip;
    let horn = slip.part.and_then(|part| horns.get(&part));
    let (why, severity) = match (slip.lost, slip.part) {
        (Lost::NoNotes, _) => (
            "No note is lost by it, but what it was meant to say is not followed, and other programs may stumble over it too.",
            Severity::Information,
        ),
        (Lost::Notes, Some(_)) if horn.is_none() => (
            "It stands in another instrument's part, so the horns are checked all the same.",
            Severity::Information,
        ),
        (Lost::Notes, None) if none => (
            "No part here is a horn's, so none of the horns' notes are lost.",
            Severity::Information,
        ),
        (Lost::Notes, _) => (
            "What cannot be read is not checked, and other programs may stumble over it too.",
            Severity::Error,
        ),
    };
    let message = format!("Not readable: {problem}. {why} Expected {expected}.");
    let mut finding = Finding::new(&RULE, slip.span, message, &"the notation's own standard");
    finding.part = horn.map(|&label| label.to_owned());
    finding.graver(severity)
}

/// Whether every part is known by its name to be another instrument's.
fn has_no_horn(reading: &PieceReading) -> bool {
    let parts = &reading.piece.parts;
    reading.horns.is_empty() && !parts.is_empty() && parts.iter().all(|part| part.name.is_some())
}

/// An instruction of ours that does nothing.
fn not_followed(span: Span, problem: &str, expected: &str) -> Finding {
    let message = format!(
        "Not followed: {problem}. So all is judged as if it did not stand here. Expected {expected}."
    );
    Finding::new(&RULE, span, message, &Source::ProjectChoice).graver(Severity::Warning)
}
