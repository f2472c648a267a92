//! The examples in the rules' own words: the rule speaks where it says it does, and nowhere else.

use engine::{Judged, Settings, Which};
use notation::{Document, Format};

/// The settings an example is judged by.
fn settings(example: &rules::Example) -> Settings {
    let (settings, errors) = Settings::of_text(&example.settings);
    assert_eq!(errors, Vec::<String>::new());
    settings
}

#[test]
fn rules_speak_and_are_silent_as_their_words_say() {
    let (mut speaking, mut silent) = (0, 0);
    for rule in rules::ALL {
        let examples = rules::examples(rule);
        assert!(
            examples.iter().any(|e| e.speaks) && examples.iter().any(|e| !e.speaks),
            "{} needs both examples",
            rule.name
        );
        for example in examples {
            let format = Format::of_name(&example.format).unwrap();
            let document = Document::from_text(format, &example.text);
            let analysis = Judged::new(document.clone(), settings(&example));
            let own: Vec<_> = analysis
                .findings()
                .iter()
                .filter(|f| f.rule == rule.name)
                .collect();
            if example.speaks {
                speaking += 1;
                assert!(
                    !own.is_empty(),
                    "{} is silent about its own example:\n{}",
                    rule.name,
                    example.text
                );
            } else {
                silent += 1;
                let all: Vec<_> = analysis
                    .findings()
                    .iter()
                    .map(|f| (f.rule, &f.message))
                    .collect();
                assert!(
                    all.is_empty(),
                    "the good example of {} is not clean: {all:?}",
                    rule.name
                );
            }
        }
    }
    println!(
        "{speaking} examples spoken about, {silent} silent, {} rules",
        rules::ALL.len()
    );
    assert!(speaking >= rules::ALL.len() && silent >= rules::ALL.len());
}

#[test]
fn every_fix_offered_in_the_examples_is_proven_and_silences_its_finding() {
    let (mut tried, mut refused) = (0, Vec::new());
    for rule in rules::ALL {
        for example in rules::examples(rule) {
            let settings = settings(&example);
            let document =
                Document::from_text(Format::of_name(&example.format).unwrap(), &example.text);
            let analysis = Judged::new(document.clone(), settings.clone());
            for finding in analysis.findings() {
                for fix in &finding.fixes {
                    tried += 1;
                    match analysis.prove(&[fix]) {
                        Ok(proven) => {
                            let after = proven.document();
                            let again = Judged::new(after.clone(), settings.clone());
                            let left = |findings: &[engine::Finding]| {
                                findings.iter().filter(|f| f.rule == finding.rule).count()
                            };
                            assert!(
                                left(again.findings()) < left(analysis.findings()),
                                "{}: `{}` fixes nothing:\n{}",
                                finding.rule,
                                fix.title,
                                after.text()
                            );
                        }
                        Err(why) => refused.push(format!(
                            "{}: `{}`: {why}\n{}",
                            finding.rule, fix.title, example.text
                        )),
                    }
                }
            }
        }
    }
    println!("{tried} fixes tried, {} refused", refused.len());
    assert!(tried >= 37, "only {tried} fixes were tried");
    assert!(refused.is_empty(), "{}", refused.join("\n"));
}

#[test]
fn safe_fixing_comes_to_rest() {
    for rule in rules::ALL {
        for example in rules::examples(rule) {
            let settings = settings(&example);
            let document =
                Document::from_text(Format::of_name(&example.format).unwrap(), &example.text);
            for which in [Which::Safe, Which::Review] {
                let once = Judged::new(document.clone(), settings.clone()).fix_all(which);
                let again = Judged::new(once.judged.document().clone(), settings.clone());
                let twice = again.fix_all(which);
                assert!(
                    twice.applied.is_empty(),
                    "{}: {:?}",
                    rule.name,
                    twice.applied
                );
            }
        }
    }
}
