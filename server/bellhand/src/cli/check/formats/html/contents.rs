//! What stands before the scores on a page: the sums, what to show, and where each score is.

use std::fmt::Write as _;

use engine::Severity;
use quick_xml::escape::escape;

use super::{Apart, anchor, page_name};
use crate::cli::check::tally::Tally;

/// The sums, and where each score is; on pages of their own, or further below.
pub(super) fn contents(sum: &Tally, apart: Apart) -> String {
    let mut out = String::new();
    if sum.scores > 1 {
        files(sum, apart, &mut out);
    }
    if sum.rules().next().is_some() {
        rules(sum, &mut out);
    }
    out
}

/// A line for each score.
fn files(sum: &Tally, apart: Apart, out: &mut String) {
    out.push_str("<table>\n<caption>Scores</caption>\n<tr><th scope=\"col\">score</th>");
    for severity in Severity::ALL.iter().rev() {
        let _ = write!(out, "<th scope=\"col\" class=\"count\">{severity}</th>");
    }
    out.push_str("</tr>\n");
    for (file, counts) in sum.files() {
        let place = match apart {
            Apart::No => format!("#{}", anchor(file)),
            Apart::Yes => page_name(file),
        };
        let _ = write!(
            out,
            "<tr><th scope=\"row\"><a href=\"{place}\">{}</a></th>",
            escape(file)
        );
        for count in counts.iter().rev() {
            let _ = write!(out, "<td class=\"count\">{count}</td>");
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</table>\n");
}

/// What is said most often, and what it finds.
fn rules(sum: &Tally, out: &mut String) {
    out.push_str("<table>\n<caption>What is said most often</caption>\n<tr><th scope=\"col\" class=\"count\">times</th><th scope=\"col\">rule</th><th scope=\"col\">what it finds</th></tr>\n");
    let mut all: Vec<(&str, usize)> = sum.rules().collect();
    all.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    for (name, count) in all {
        let finds = rules::rule(name).map_or("", |rule| rule.summary());
        let _ = writeln!(
            out,
            "<tr class=\"g-{}\"><td class=\"count\">{count}</td><td>{}</td><td>{}</td></tr>",
            group(name),
            escape(name),
            escape(finds)
        );
    }
    out.push_str("</table>\n");
}

/// What can be shown and left out, without a script: boxes to tick, and the styles that follow them.
pub(super) fn filters(sum: &Tally) -> String {
    let mut groups: Vec<&str> = sum.rules().map(|(rule, _)| group(rule)).collect();
    groups.dedup();
    let severities = Severity::ALL.iter().rev().copied();
    let severities = severities.filter(|severity| sum.count(*severity) > 0);
    let severities: Vec<&str> = severities.map(Severity::name).collect();
    if severities.is_empty() {
        return String::new();
    }
    let mut out = String::from("<div class=\"filters\">\n");
    let mut styles = String::new();
    for (legend, letter, names) in [("Severity", 's', severities), ("Rules", 'g', groups)] {
        let _ = write!(out, "<fieldset><legend>{legend}</legend>");
        for name in names {
            let id = format!("show-{letter}-{name}");
            let _ = write!(
                out,
                "<label><input type=\"checkbox\" id=\"{id}\" checked> {name}</label>"
            );
            let _ = write!(
                styles,
                "body:has(#{id}:not(:checked)) .{letter}-{name}{{display:none}}"
            );
        }
        out.push_str("</fieldset>\n");
    }
    let _ = writeln!(out, "<style>{styles}</style>\n</div>");
    out
}

/// The group in a rule's name.
pub(super) fn group(rule: &str) -> &str {
    rule.split_once('/').map_or(rule, |(group, _)| group)
}
