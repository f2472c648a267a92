//! What settings mean, however they were said.

use horn::{ClefConvention, Instrument, Level};
use reading::Casting;
use rules::{Given, House};
use score::{Courtesy, PartSelector};
use theory::Tempo;

use super::Settings;
use super::said::{Entry, Said, What};

/// The names of all that can be set.
pub(super) const NAMES: [&str; 7] = [
    "level",
    "instrument",
    "courtesy",
    "bass-clef",
    "assumed-tempo",
    "parts",
    "rules",
];

/// A slip and its place.
pub(super) type Slip<P> = (P, String);

/// Sets what one entry says. Fails with the place of what is not understood.
pub(super) fn set<P: Clone>(settings: &mut Settings, entry: &Entry<P>) -> Result<(), Slip<P>> {
    let value = &entry.value;
    match entry.name.as_str() {
        "level" => {
            settings.house.level = text_of(value)?
                .parse::<Level>()
                .map_err(|error| (value.at.clone(), error.to_string()))?;
        }
        "instrument" => {
            settings.casting.instrument = text_of(value)?
                .parse::<Instrument>()
                .map_err(|error| (value.at.clone(), error.to_string()))?;
        }
        "courtesy" => settings.house.courtesy = courtesy(value)?,
        "bass-clef" => settings.casting.bass_clef = bass_clef(value)?,
        "assumed-tempo" => settings.casting.assumed_tempo = Some(tempo(value)?),
        "parts" => parts(&mut settings.casting, value)?,
        "rules" => rules(&mut settings.house, value)?,
        other => {
            let names = NAMES.join(", ");
            let message = format!("`{other}` is not known here; expected one of {names}");
            return Err((entry.at.clone(), message));
        }
    }
    Ok(())
}

fn tempo<P: Clone>(value: &Said<P>) -> Result<Tempo, Slip<P>> {
    match value.what {
        What::Number(rate) if (10.0..=400.0).contains(&rate) => Ok(Tempo::quarters_a_minute(rate)),
        _ => Err((
            value.at.clone(),
            "expected quarter notes a minute, from 10 to 400".to_owned(),
        )),
    }
}

fn bass_clef<P: Clone>(value: &Said<P>) -> Result<ClefConvention, Slip<P>> {
    match text_of(value)? {
        "modern" => Ok(ClefConvention::Modern),
        "old" => Ok(ClefConvention::OldBass),
        other => Err((
            value.at.clone(),
            format!("`{other}` is no way to read bass clef; expected \"modern\" or \"old\""),
        )),
    }
}

fn courtesy<P: Clone>(value: &Said<P>) -> Result<Courtesy, Slip<P>> {
    match text_of(value)? {
        "never" => Ok(Courtesy::Never),
        "next-bar" => Ok(Courtesy::NextBar),
        other => Err((
            value.at.clone(),
            format!(
                "`{other}` is no way to add courtesy accidentals; expected \"next-bar\" or \"never\""
            ),
        )),
    }
}

/// The name or id of a part, and what it is.
fn parts<P: Clone>(casting: &mut Casting, value: &Said<P>) -> Result<(), Slip<P>> {
    for Entry { name, value, .. } in table_of(value)? {
        let selector = match name.as_str() {
            "*" => PartSelector::All,
            name => PartSelector::Named(name.to_owned()),
        };
        let said = horn::read_part_said(text_of(value)?).map_err(|error| {
            let message = format!(
                "{error}. Write \"horn in F\", \"horn in E flat, old bass clef\", \"not a horn\" and the like"
            );
            (value.at.clone(), message)
        })?;
        casting.parts.push((selector, said));
    }
    Ok(())
}

/// A severity, or a table with a severity and settings, for each rule.
fn rules<P: Clone>(house: &mut House, value: &Said<P>) -> Result<(), Slip<P>> {
    for Entry { name, at, value } in table_of(value)? {
        let What::Table(table) = &value.what else {
            severity(house, name, at, value)?;
            continue;
        };
        for entry in table {
            if entry.name == "severity" {
                severity(house, name, at, &entry.value)?;
            } else {
                house
                    .set(name, &entry.name, &given(&entry.value))
                    .map_err(|error| (entry.value.at.clone(), error))?;
            }
        }
    }
    Ok(())
}

fn severity<P: Clone>(
    house: &mut House,
    rule: &str,
    rule_at: &P,
    value: &Said<P>,
) -> Result<(), Slip<P>> {
    let severity = match text_of(value)? {
        "off" => None,
        word => Some(word.parse().map_err(|_| {
            (
                value.at.clone(),
                format!(
                    "`{word}` is no severity; expected error, warning, information, hint or off"
                ),
            )
        })?),
    };
    house
        .set_severity(rule, severity)
        .map_err(|error| (rule_at.clone(), error))
}

fn given<P>(value: &Said<P>) -> Given {
    match &value.what {
        What::Text(text) => Given::Text(text.clone()),
        What::Number(number) => Given::Number(*number),
        What::Table(_) | What::Other(_) => Given::Other(value.kind().to_owned()),
    }
}

fn text_of<P: Clone>(value: &Said<P>) -> Result<&str, Slip<P>> {
    match &value.what {
        What::Text(text) => Ok(text),
        _ => Err((
            value.at.clone(),
            format!("expected words in quotes, found {}", value.kind()),
        )),
    }
}

fn table_of<P: Clone>(value: &Said<P>) -> Result<&[Entry<P>], Slip<P>> {
    match &value.what {
        What::Table(entries) => Ok(entries),
        _ => Err((
            value.at.clone(),
            format!("expected a table, found {}", value.kind()),
        )),
    }
}
