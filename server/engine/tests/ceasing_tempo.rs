//! The tempo from which on a finding is no longer so, as its message names it, is the very tempo from which on it is not.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use notation::{Document, Format};

fn said(text: &str, rule: &str) -> Option<String> {
    let document = Document::from_text(Format::Abc, text);
    let findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    let mut own = findings.into_iter().filter(|found| found.rule == rule);
    own.next().map(|found| found.message.replace('\n', " "))
}

/// The example a rule speaks about, with no tempo or another one, all notes so many times as long.
fn example(text: &str, tempo: Option<u32>, longer: (u32, u32)) -> String {
    let tempo = tempo.map_or_else(String::new, |rate| format!("Q:1/4={rate}\n"));
    let fraction = |told: &str| {
        let (above, below) = told.split_once('/').unwrap();
        let [above, below]: [u32; 2] = [above, below].map(|number| number.parse().unwrap());
        format!("{}/{}", above * longer.0, below * longer.1)
    };
    let line = |line: &str| match line.split_at_checked(2) {
        Some((field @ "M:", meter)) => format!("{field}{}\n", fraction(meter)),
        Some((field @ "L:", unit)) => format!("{field}{}\n{tempo}", fraction(unit)),
        Some(("Q:", _)) => String::new(),
        _ => format!("{line}\n"),
    };
    text.lines().map(line).collect()
}

/// The rate after some words.
fn rate(message: &str, words: &str) -> Option<u32> {
    let after = message.split(words).nth(1)?;
    after.split(' ').next()?.parse().ok()
}

#[test]
fn what_a_rule_says_of_the_tempo_is_so() {
    let (mut tried, mut wrong) = (Vec::new(), Vec::new());
    for rule in rules::ALL {
        let examples = rules::examples(rule);
        for text in examples.iter().filter(|e| e.speaks && e.format == "abc") {
            let text = &text.text;
            let unmarked = [(1, 1), (1, 2), (2, 1), (1, 4), (4, 1)]
                .into_iter()
                .find_map(|longer| {
                    let message = said(&example(text, None, longer), rule.name)?;
                    message
                        .contains("only if the music goes")
                        .then_some((longer, message))
                });
            let Some((longer, message)) = unmarked else {
                continue;
            };
            let speaks_at = |rate| said(&example(text, Some(rate), longer), rule.name).is_some();
            // "About": at the very tempo it may be so or not.
            let (ceases, holds) = match rate(&message, "faster than about ") {
                Some(rate) => (rate - 1, rate + 1),
                None => {
                    let rate = rate(&message, "slower than about ").unwrap();
                    (rate + 1, rate - 1)
                }
            };
            if speaks_at(ceases) || !speaks_at(holds) {
                wrong.push(format!("{} at {ceases} and {holds}: {message}", rule.name));
            }
            tried.push(rule.name);
        }
    }
    println!("{} examples without a tempo: {tried:?}", tried.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(tried.len(), 19);
}
