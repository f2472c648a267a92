//! Signs and words that send the player to another place of the piece: D.C., D.S., Fine, Coda.

/// What a sign or words say of the way through a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Route {
    /// Back to the start or to the sign, once.
    Jump(Jump),
    /// The place that D.S. goes back to.
    Segno,
    /// The coda sign: where it begins, or, before another one, where it is left for.
    Coda,
    /// Where a player who has gone back leaves for the coda.
    ToCoda,
    /// Where a player who has gone back ends.
    Fine,
    /// How many times the repeat is played in which this stands (`3x`).
    Times(u32),
    /// For how many verses the whole is played.
    Verses(u32),
}

/// A way back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Jump {
    /// To the segno (D.S.) instead of to the start (D.C.).
    pub to_segno: bool,
    /// What is then done, where it is said.
    pub until: Option<Until>,
}

/// How far a player who has gone back plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Until {
    /// To the Fine.
    Fine,
    /// To the sign, and then the coda.
    Coda,
}

impl Route {
    /// What direction words say, if they are about the way through the piece: `D.C. al Fine`, `To Coda`, `Fine`
    /// (the words of the trade, from memory).
    #[must_use]
    pub fn of_words(words: &str) -> Option<Self> {
        let plain: String = words
            .chars()
            .filter(|sign| *sign != '.')
            .flat_map(char::to_lowercase)
            .collect();
        let all: Vec<&str> = plain
            .split(|sign: char| !sign.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        if let Some(number) = number_of_times(&plain, &all) {
            return Some(number);
        }
        let (to_segno, rest) = match all[..] {
            ["fine"] => return Some(Self::Fine),
            ["segno"] => return Some(Self::Segno),
            ["coda"] => return Some(Self::Coda),
            ["to", "coda"] | ["tocoda"] | ["al", "coda"] | ["da", "coda"] | ["dacoda"] => {
                return Some(Self::ToCoda);
            }
            ["dc", ref rest @ ..]
            | ["d", "c", ref rest @ ..]
            | ["da", "capo", ref rest @ ..]
            | ["dacapo", ref rest @ ..] => (false, rest),
            ["ds", ref rest @ ..]
            | ["d", "s", ref rest @ ..]
            | ["dal", "segno", ref rest @ ..]
            | ["dalsegno", ref rest @ ..] => (true, rest),
            _ => return None,
        };
        let until = match rest.last() {
            Some(&"fine" | &"alfine") => Some(Until::Fine),
            Some(&"coda" | &"alcoda") => Some(Until::Coda),
            _ => None,
        };
        Some(Self::Jump(Jump { to_segno, until }))
    }
}

/// `3x`, `play 3 times`, `5 verses`, in plain words.
fn number_of_times(plain: &str, all: &[&str]) -> Option<Route> {
    let number = |word: &str| word.parse::<u32>().ok().filter(|number| *number > 0);
    // Some write the sign that mathematicians do.
    let plain = plain.trim().replace('×', "x");
    let joined = plain.strip_suffix('x').or_else(|| plain.strip_prefix('x'));
    if let Some(times) = joined.and_then(|joined| number(joined.trim())) {
        return Some(Route::Times(times));
    }
    let said = match all {
        ["play" | "spiele" | "jouer", rest @ ..] => rest,
        all => all,
    };
    match said {
        [times, "times" | "mal" | "fois" | "volte"] => number(times).map(Route::Times),
        [
            verses,
            "verses" | "stanzas" | "strophen" | "couplets" | "strofe",
        ] => number(verses).map(Route::Verses),
        ["verses" | "strophen", "1", last] => number(last).map(Route::Verses),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_the_trade_are_known() {
        let jump = |to_segno, until| Some(Route::Jump(Jump { to_segno, until }));
        for (words, expected) in [
            ("D.C.", jump(false, None)),
            ("D. C. al Fine", jump(false, Some(Until::Fine))),
            ("Da Capo al Coda", jump(false, Some(Until::Coda))),
            ("D.S. al Coda", jump(true, Some(Until::Coda))),
            ("Dal Segno al Fine.", jump(true, Some(Until::Fine))),
            ("D.S.", jump(true, None)),
            ("Fine", Some(Route::Fine)),
            ("FINE.", Some(Route::Fine)),
            ("To Coda", Some(Route::ToCoda)),
            ("Coda", Some(Route::Coda)),
            ("Segno", Some(Route::Segno)),
            ("3x", Some(Route::Times(3))),
            ("3 x", Some(Route::Times(3))),
            ("x4", Some(Route::Times(4))),
            ("3×", Some(Route::Times(3))),
            ("Play 3 times", Some(Route::Times(3))),
            ("4 mal", Some(Route::Times(4))),
            ("5 Verses", Some(Route::Verses(5))),
            ("Verses 1-5", Some(Route::Verses(5))),
            ("5 Strophen", Some(Route::Verses(5))),
            ("0x", None),
            ("3rd time", None),
            ("2", None),
            ("x", None),
            ("fine and even", None),
            ("dolce", None),
            ("", None),
        ] {
            assert_eq!(Route::of_words(words), expected, "{words}");
        }
    }
}
