//! The few signs of ABC that the invented bars are made of.

/// A written pitch: letter steps from C0, and semitones of alteration.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pitch {
    pub(crate) steps: i32,
    pub(crate) alter: i32,
    /// Whether its accidental stands at it.
    pub(crate) signed: bool,
}

/// A sign.
#[derive(Debug, Clone)]
pub(crate) enum Token {
    Words(String),
    /// A dynamic, `+`, `open` or `trill`.
    Sign(String),
    Clef(String),
    Transpose(i32),
    Broken,
    /// Pitches (none for a rest), thirty-second notes, and what it begins and ends.
    Note {
        pitches: Vec<Pitch>,
        length: u32,
        tied: bool,
        slur_begins: bool,
        slur_ends: bool,
    },
}

const NATURAL: [i32; 7] = [0, 2, 4, 5, 7, 9, 11];

impl Pitch {
    /// The pitch moved by steps and semitones.
    pub(crate) fn moved(self, (steps, semitones): (i32, i32)) -> Self {
        let height = |steps: i32| steps.div_euclid(7) * 12 + NATURAL[steps.rem_euclid(7) as usize];
        let there = self.steps + steps;
        Self {
            steps: there,
            alter: height(self.steps) + self.alter + semitones - height(there),
            ..self
        }
    }

    pub(crate) fn letter(self) -> char {
        ['C', 'D', 'E', 'F', 'G', 'A', 'B'][self.steps.rem_euclid(7) as usize]
    }

    pub(crate) const fn octave(self) -> i32 {
        self.steps.div_euclid(7)
    }
}

/// Steps that go with a crook's semitones.
pub(crate) fn interval(semitones: i32) -> (i32, i32) {
    let crook = horn::Crook::from_semitones(semitones);
    let steps = crook.map_or(0, |crook| crook.transposition().0.steps);
    (steps, semitones)
}

/// Reads a bar.
pub(crate) fn read(bar: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut rest = bar;
    let mut slur_begins = false;
    while let Some(first) = rest.chars().next() {
        match first {
            ' ' => rest = &rest[1..],
            '?' => {
                tokens.push(Token::Broken);
                rest = &rest[1..];
            }
            '(' => {
                slur_begins = true;
                rest = &rest[1..];
            }
            ')' => {
                if let Some(Token::Note { slur_ends, .. }) = tokens.last_mut() {
                    *slur_ends = true;
                }
                rest = &rest[1..];
            }
            '"' | '!' => {
                let (inside, after) = rest[1..].split_once(first).unwrap();
                tokens.push(match first {
                    '"' => Token::Words(inside.trim_start_matches('^').to_owned()),
                    _ => Token::Sign(inside.to_owned()),
                });
                rest = after;
            }
            '[' if rest.starts_with("[K:") => {
                let (inside, after) = rest[3..].split_once(']').unwrap();
                if let Some((_, clef)) = inside.split_once("clef=") {
                    tokens.push(Token::Clef(clef.to_owned()));
                }
                if let Some((_, by)) = inside.split_once("transpose=") {
                    tokens.push(Token::Transpose(by.parse().unwrap()));
                }
                rest = after;
            }
            _ => {
                let (token, after) = note(rest, slur_begins);
                slur_begins = false;
                tokens.push(token);
                rest = after;
            }
        }
    }
    hold_accidentals(&mut tokens);
    tokens
}

/// Lets the accidentals of a bar hold in all octaves to its end, as ABC does.
fn hold_accidentals(tokens: &mut [Token]) {
    let mut met = [0; 7];
    for token in tokens {
        let Token::Note { pitches, .. } = token else {
            continue;
        };
        for pitch in pitches {
            let letter = &mut met[pitch.steps.rem_euclid(7) as usize];
            if pitch.signed {
                *letter = pitch.alter;
            }
            pitch.alter = *letter;
        }
    }
}

fn note(text: &str, slur_begins: bool) -> (Token, &str) {
    let digits = text.find(|sign: char| sign.is_ascii_digit()).unwrap();
    let mut pitches = Vec::new();
    let mut alter = 0;
    for sign in text[..digits].chars() {
        match sign {
            '^' => alter += 1,
            '_' => alter -= 1,
            ',' => pitches
                .last_mut()
                .map_or((), |pitch: &mut Pitch| pitch.steps -= 7),
            '\'' => pitches
                .last_mut()
                .map_or((), |pitch: &mut Pitch| pitch.steps += 7),
            letter => {
                let octave = if letter.is_ascii_lowercase() { 5 } else { 4 };
                if let Some(step) = "CDEFGAB".find(letter.to_ascii_uppercase()) {
                    let steps = octave * 7 + step as i32;
                    pitches.push(Pitch {
                        steps,
                        alter,
                        signed: alter != 0,
                    });
                    alter = 0;
                }
            }
        }
    }
    let after = &text[digits..];
    let end = after
        .find(|sign: char| !sign.is_ascii_digit())
        .unwrap_or(after.len());
    let rest = &after[end..];
    let token = Token::Note {
        pitches,
        length: after[..end].parse().unwrap(),
        tied: rest.starts_with('-'),
        slur_begins,
        slur_ends: false,
    };
    (token, rest.trim_start_matches('-'))
}
