//! Short passages ready to be filled in: the mute with the rests it needs, a stopped note and the open one after it, words
//! and signs as MusicXML writes them, the notes at which a rip from here can end.

use horn::{Wording, nearest_ends};
use notation::Format;
use theory::{Quarters, SoundingPitch, WrittenPitch};

use super::player::{self, Player};
use super::{Suggestion, words};
use crate::{House, Judged};

/// The passages that can stand at a byte.
pub(super) fn offered(judged: &Judged, byte: usize) -> Vec<Suggestion> {
    let Some(player) = player::at(judged, byte) else {
        return Vec::new();
    };
    let house = judged.settings().house_of(&player.horn.label);
    let ready = match judged.document().format() {
        Format::Abc => abc(judged, byte, &player, &house),
        Format::MusicXml => musicxml(&player, &house),
        Format::Kern => Vec::new(),
    };
    let ready = ready.into_iter().map(|(label, text, what)| Suggestion {
        label: Some(label),
        to_fill_in: true,
        ..Suggestion::plain(text, what, byte..byte)
    });
    ready.collect()
}

/// A passage: what it is called, its text, and what it is for.
type Ready = (String, String, String);

fn abc(judged: &Judged, byte: usize, player: &Player<'_>, house: &House) -> Vec<Ready> {
    let rope = judged.document().rope();
    let tune = rope.byte_slice(player.base..byte).to_string();
    // K: ends the header, where no music stands.
    if !tune.contains("\nK:") {
        return Vec::new();
    }
    let mut ready = Vec::new();
    if let Some(bar) = Bar::at(&tune, player) {
        let (whole, half) = (
            bar.length(Quarters::whole(1)),
            bar.length(Quarters::new(1, 2)),
        );
        if let (Some(whole), false) = (&whole, player.technique.muted()) {
            let [into, out] = [Wording::MuteIn, Wording::MuteOut]
                .map(|wording| words::word(wording, Some(player), house));
            let [rest_before, rest_behind] = [horn::time_to_insert(), horn::time_to_remove()]
                .map(|time| format!("Z{}", bar.bars_for(time.value.0)));
            let text = format!(
                "{rest_before} | \"^{into}\" ${{1:c{whole}}} | {rest_behind} | \"^{out}\" ${{2:c{whole}}} |$0"
            );
            let what = "The mute in and out again, with as many bars' rest as the hand needs at this tempo";
            ready.push(("mute in and out".to_owned(), text, what.to_owned()));
        }
        if let Some(half) = half {
            let text = format!("!+!${{1:c{half}}} !open!${{2:c{half}}}$0");
            let what = "One stopped note, and the sign that the next is open again";
            ready.push(("stopped note and its o".to_owned(), text, what.to_owned()));
        }
    }
    ready.extend(rip_ends(player));
    ready
}

/// The bar at a place of an ABC text: how long it is, in quarter notes and seconds, and what its lengths count.
struct Bar {
    quarters: Quarters,
    seconds: f64,
    unit: Quarters,
}

impl Bar {
    fn at(tune: &str, player: &Player<'_>) -> Option<Self> {
        let part = player.reading.piece.parts.get(player.horn.seat.part)?;
        let bar = player.last.map_or(0, |note| note.bar);
        let bar = part.bars.get(bar)?;
        let quarters = bar.meter?.bar();
        let tempo = &player.reading.tempo;
        let seconds = (tempo.seconds(bar.onset + quarters) - tempo.seconds(bar.onset)).0;
        let unit = match tune.rfind("L:") {
            Some(at) => fraction(tune.get(at + 2..)?)?,
            // ABC 2.1, section 3.1.7: a sixteenth in a metre of less than three quarters, else an eighth.
            None if quarters < Quarters::whole(3) => Quarters::new(1, 4),
            None => Quarters::new(1, 2),
        };
        Some(Self {
            quarters,
            seconds,
            unit,
        })
    }

    /// How a note or rest of a share of the bar is written behind its letter; `None` where that is no whole number of units.
    fn length(&self, share: Quarters) -> Option<String> {
        let (bar, unit, share) = (self.quarters.parts(), self.unit.parts(), share.parts());
        let units = Quarters::new(bar.0 * unit.1 * share.0, bar.1 * unit.0 * share.1);
        match units.parts() {
            (1, 1) => Some(String::new()),
            (units, 1) => Some(units.to_string()),
            _ => None,
        }
    }

    /// How many bars' rest are at least so many seconds.
    fn bars_for(&self, seconds: f64) -> u32 {
        let bars = (seconds / self.seconds.max(SHORTEST))
            .ceil()
            .clamp(1.0, MOST);
        // Held to a small whole number.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped"
        )]
        let bars = bars as u32;
        bars
    }
}

/// Seconds; no bar is believed to be shorter.
const SHORTEST: f64 = 0.1;
/// No more bars' rest are offered.
const MOST: f64 = 20.0;

/// The fraction of a whole note that some text begins with, in quarter notes.
fn fraction(text: &str) -> Option<Quarters> {
    let said: String = text
        .trim_start()
        .chars()
        .take_while(|sign| sign.is_ascii_digit() || *sign == '/')
        .take(9)
        .collect();
    let (over, under) = said.split_once('/')?;
    let (over, under): (i64, i64) = (over.parse().ok()?, under.parse().ok()?);
    (over > 0 && under > 0).then(|| Quarters::new(4 * over, under))
}

/// The notes at which a rip from the last note can end, where that note carries one.
fn rip_ends(player: &Player<'_>) -> Vec<Ready> {
    let Some(from) = player.last else {
        return Vec::new();
    };
    let horn = player.horn;
    let asked = horn.marks.iter().any(|mark| {
        let begins = mark.next_note.and_then(|note| horn.notes.get(note));
        matches!(mark.said.instruction(), horn::Instruction::Gliss)
            && begins.is_some_and(|note| note.span == from.span)
    });
    if !asked {
        return Vec::new();
    }
    let octave = horn::Height::from_midi(from.height.midi() + 12);
    let ends = nearest_ends(horn.seat.instrument, from.height, octave);
    let crook = horn.crook_at(from.onset).transposition;
    let ends = ends.into_iter().filter_map(|end| {
        let sounding = SoundingPitch(horn::Crook::F.transposition().sound(end.0).0);
        let WrittenPitch(page) = WrittenPitch(crook.write(sounding).0.plain());
        let text = notation::spell_in_abc(page)?;
        Some((
            format!("rip to {page}"),
            format!("{text}$0"),
            format!(
                "One fingering carries the rip from {} to {page}",
                from.written
            ),
        ))
    });
    ends.collect()
}

fn musicxml(player: &Player<'_>, house: &House) -> Vec<Ready> {
    let direction = |placement: &str, kind: &str| {
        format!(
            "<direction placement=\"{placement}\">\n  <direction-type>{kind}</direction-type>\n</direction>$0"
        )
    };
    let wording = match player.technique.muted() {
        true => Wording::MuteOut,
        false => Wording::MuteIn,
    };
    let word = words::word(wording, Some(player), house);
    vec![
        (
            "words for the player".to_owned(),
            direction("above", &format!("<words>${{1:{word}}}</words>")),
            "Words over the next note".to_owned(),
        ),
        (
            "dynamic".to_owned(),
            direction("below", "<dynamics><${1:mf}/></dynamics>"),
            "How loud, from the next note on".to_owned(),
        ),
    ]
}
