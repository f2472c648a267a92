//! Decorations, annotations and user symbols as marks for the player.

use score::{Jump, Mark, MarkKind, Route, Sign, Span, Text, TrillTo, Until};
use tree_sitter::Node;

use super::chord_symbol::is_chord;
use super::escapes::resolved;
use super::state::State;
use super::syntax::{field_text, span_of, text_of};

/// What a letter stands for when no `U:` says otherwise (ABC 2.1, section 4.16).
const fn usual(letter: char) -> Option<&'static str> {
    Some(match letter {
        '~' => "roll",
        'H' => "fermata",
        'L' => "accent",
        'M' => "lowermordent",
        'O' => "coda",
        'P' => "uppermordent",
        'S' => "segno",
        'T' => "trill",
        'u' => "upbow",
        'v' => "downbow",
        '.' => "staccato",
        _ => return None,
    })
}

/// The mark a node stands for, placed from `base`; `None` when it is nothing a player obeys.
pub(super) fn read(node: Node<'_>, text: &str, base: usize, state: &State) -> Option<Mark> {
    match node.kind() {
        "decoration" | "plus_decoration" => {
            if let Some(name) = field_text(node, "name", text) {
                return (!is_nothing(name)).then(|| decoration(name));
            }
            let letter = field_text(node, "shorthand", text)?.chars().next()?;
            match state.symbols.get(&letter) {
                Some(meaning) => symbol(meaning, span_of(node, base)),
                None => usual(letter).map(decoration),
            }
        }
        "annotation" => {
            let words = node.child_by_field_name("text")?;
            Some(annotation(text_of(words, text), span_of(words, base)))
        }
        "chord_symbol" => {
            let words = node.child_by_field_name("text")?;
            let plain = text_of(words, text);
            (!is_chord(plain)).then(|| annotation(plain, span_of(words, base)))
        }
        _ => None,
    }
}

/// What a `U:` field's right side means: `!name!`, `"^words"`, or nothing.
fn symbol(meaning: &str, span: Span) -> Option<Mark> {
    let meaning = meaning.trim();
    if let Some(name) = between(meaning, '!').or_else(|| between(meaning, '+')) {
        return (!is_nothing(name)).then(|| decoration(name));
    }
    let words = between(meaning, '"')?;
    let words = words
        .strip_prefix(['^', '_', '<', '>', '@'])
        .unwrap_or(words);
    Some(annotation(words, span))
}

/// The names that stand for no sign at all (ABC 2.1, section 4.16).
fn is_nothing(name: &str) -> bool {
    matches!(name, "nil" | "none")
}

fn between(text: &str, sign: char) -> Option<&str> {
    text.strip_prefix(sign)?.strip_suffix(sign)
}

fn annotation(words: &str, span: Span) -> Mark {
    let words = resolved(words);
    let kind = match words.trim() {
        "+" => MarkKind::Sign(Sign::Plus),
        "o" | "°" | "○" => MarkKind::Sign(Sign::Circle),
        _ => MarkKind::Words(Text { text: words, span }),
    };
    Mark {
        on_note: matches!(kind, MarkKind::Sign(_)),
        kind,
    }
}

/// A decoration by its name (ABC 2.1, section 4.14).
fn decoration(name: &str) -> Mark {
    let sign = |sign| Mark {
        kind: MarkKind::Sign(sign),
        on_note: true,
    };
    let place = |kind| Mark {
        kind,
        on_note: false,
    };
    match name {
        // The standard's words for it are "left-hand pizzicato, or rasp for French horns"; over a horn note
        // players read it as stopped.
        "+" | "plus" => sign(Sign::Plus),
        "open" => sign(Sign::Circle),
        // The line to the next note that later writing knows; the standard's own `slide` leads up into its note alone.
        "~(" => sign(Sign::Glissando),
        "breath" => sign(Sign::Breath),
        "fermata" | "invertedfermata" => sign(Sign::Fermata),
        "trill" | "trill(" => sign(Sign::Trill(TrillTo::Key)),
        "<(" | "crescendo(" => place(MarkKind::HairpinStart(true)),
        ">(" | "diminuendo(" => place(MarkKind::HairpinStart(false)),
        "<)" | ">)" | "crescendo)" | "diminuendo)" => place(MarkKind::HairpinEnd),
        _ if is_dynamic(name) => place(MarkKind::Dynamic(name.to_owned())),
        other => sign(Sign::Other(other.to_owned())),
    }
}

/// What a decoration says of the way through the tune (ABC 2.1, section 4.14; those with `al` are in wide use beside it).
pub(super) fn route(mark: &Mark) -> Option<Route> {
    let MarkKind::Sign(Sign::Other(name)) = &mark.kind else {
        return None;
    };
    let jump = |to_segno, until| Some(Route::Jump(Jump { to_segno, until }));
    match name.as_str() {
        "segno" => Some(Route::Segno),
        "coda" => Some(Route::Coda),
        "dacoda" => Some(Route::ToCoda),
        "fine" => Some(Route::Fine),
        "D.C." | "dacapo" => jump(false, None),
        "D.S." => jump(true, None),
        "D.C.alcoda" => jump(false, Some(Until::Coda)),
        "D.C.alfine" => jump(false, Some(Until::Fine)),
        "D.S.alcoda" => jump(true, Some(Until::Coda)),
        "D.S.alfine" => jump(true, Some(Until::Fine)),
        _ => None,
    }
}

/// Whether a name is made of the letters dynamics are made of (`pp`, `mf`, `sfz`, `fp`).
fn is_dynamic(name: &str) -> bool {
    !name.is_empty()
        && name.len() <= 5
        && name.chars().all(|letter| "pfmsrz".contains(letter))
        && name.contains(['p', 'f'])
}
