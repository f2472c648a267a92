//! Players who take up another instrument, and when they come back to the horn.

use horn::TakenUp;
use score::{Placed, Span};
use theory::Quarters;

use crate::players::Players;

/// A stretch in which players have taken up another instrument: what stands there is not the horn's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Absence {
    /// The words that send them away.
    pub words: String,
    /// Where those stand, from the start of the piece.
    pub span: Span,
    /// The bar's number.
    pub number: u32,
    /// Who is away.
    pub players: Players,
    /// When they leave, in quarter notes from the start of the piece.
    pub from: Quarters,
    /// The bar in which the first of them takes up the horn again, and when that is in quarter notes from the start of
    /// the piece; `None` when nobody does.
    pub back: Option<(u32, Quarters)>,
}

/// Who is away from the horn while a part is walked.
#[derive(Debug, Clone, Default)]
pub(crate) struct Away {
    /// Who is away now.
    pub(crate) players: Players,
    /// All absences so far, in the order in which they begin.
    pub(crate) absences: Vec<Absence>,
    /// Those that have not ended, by their places; never more than there are players.
    open: Vec<usize>,
}

impl Away {
    /// Takes words in that are said to some of all players, given what they have those take up; whether they send one
    /// away, or back to the horn.
    pub(crate) fn change(
        &mut self,
        text: &str,
        taken: Option<TakenUp>,
        placed: &Placed<'_>,
        number: u32,
        (to, all): (Players, Players),
    ) -> bool {
        match taken {
            Some(TakenUp::Other) => self.leave(text, placed, number, to.without(self.players)),
            Some(TakenUp::Horn) => {
                let named = self.players.without(all.without(to));
                // Words that name nobody who is away call all who are.
                let back = if named.is_empty() {
                    self.players
                } else {
                    named
                };
                self.come_back(placed, number, back)
            }
            None => false,
        }
    }

    fn leave(&mut self, text: &str, placed: &Placed<'_>, number: u32, players: Players) -> bool {
        if players.is_empty() {
            return false;
        }
        self.players = self.players.with(players);
        self.open.push(self.absences.len());
        self.absences.push(Absence {
            words: text.trim().to_owned(),
            span: placed.span(),
            number,
            players,
            from: placed.onset,
            back: None,
        });
        true
    }

    fn come_back(&mut self, placed: &Placed<'_>, number: u32, back: Players) -> bool {
        if back.is_empty() {
            return false;
        }
        self.players = self.players.without(back);
        let absences = &mut self.absences;
        self.open.retain(|&index| {
            let Some(absence) = absences.get_mut(index) else {
                return false;
            };
            let returns = absence.players.without(back) != absence.players;
            if returns {
                absence.back = Some((number, placed.onset));
            }
            !returns
        });
        true
    }
}
