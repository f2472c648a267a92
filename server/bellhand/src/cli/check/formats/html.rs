//! Findings as a page to read, to print or to show in class: each part's picture with what is said about it.

use std::io::Write;

use engine::{Finding, Judged};
use quick_xml::escape::escape;

use super::{Ending, Score, Shape};
use crate::cli::check::pictured::pictured;
use crate::cli::check::tally::Tally;
use crate::cli::check::verdict::Wanted;

/// How the page looks; the pictures bring their own colours.
const STYLE: &str = "\
body{font:16px/1.45 sans-serif;color:#1b1b1b;background:#fff;max-width:62rem;margin:2rem auto;padding:0 1rem}\
h1{font-size:1.5rem}h2{font-size:1.2rem;margin-top:2.5rem;border-bottom:1px solid}h3{font-size:1rem}\
svg{width:100%;height:auto}\
ol{padding-left:1.4rem}li{margin:.6rem 0;break-inside:avoid}\
li b{font-weight:600}li small{color:#555}\
.finding:target .shape{stroke:#1b1b1b;stroke-width:2.5}\
a{color:inherit}";

/// A page with all parts.
pub(crate) struct Html;

impl Shape for Html {
    fn wanted(&self) -> Wanted {
        Wanted {
            score: true,
            ..Wanted::default()
        }
    }

    fn begins_with_the_sum(&self) -> bool {
        true
    }

    fn open(&self, sum: &Tally) -> std::io::Result<Vec<u8>> {
        let page = format!(
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width\">\n<title>As the horn players read it</title>\n\
             <style>{STYLE}</style>\n</head>\n<body>\n<h1>As the horn players read it</h1>\n<p>{}</p>\n",
            escape(sum.summary())
        );
        Ok(page.into_bytes())
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let mut out = Vec::new();
        if let Some(judged) = score.judged {
            writeln!(out, "<h2>{}</h2>", escape(score.shown()))?;
            parts(&mut out, score.number, judged, &score.findings())?;
        }
        Ok(out)
    }

    fn close(&self, _: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        let page = format!("<p>{}</p>\n</body>\n</html>\n", escape(horn::caution()));
        Ok(page.into_bytes())
    }
}

/// The parts of a score, and what is said about none of them.
fn parts(
    out: &mut impl Write,
    number: usize,
    judged: &Judged,
    findings: &[Finding],
) -> std::io::Result<()> {
    let pictured = pictured(judged, number, findings)?;
    for part in &pictured.parts {
        writeln!(out, "<h3>{}</h3>", escape(&part.heading))?;
        writeln!(out, "{}", part.svg)?;
        let about = part.about.iter();
        let about = about.filter_map(|(index, mark)| Some((findings.get(*index)?, mark)));
        list(
            out,
            about.map(|(finding, mark)| (finding, Some(mark.as_str()))),
        )?;
    }
    if !pictured.rest.is_empty() {
        writeln!(out, "<h3>About the whole</h3>")?;
        let rest = pictured
            .rest
            .iter()
            .filter_map(|index| findings.get(*index));
        list(out, rest.map(|finding| (finding, None)))?;
    }
    Ok(())
}

/// Findings, each with the name of its mark in the picture.
fn list<'a>(
    out: &mut impl Write,
    findings: impl Iterator<Item = (&'a Finding, Option<&'a str>)>,
) -> std::io::Result<()> {
    let mut findings = findings.peekable();
    if findings.peek().is_none() {
        return writeln!(out, "<p>Nothing to say.</p>");
    }
    writeln!(out, "<ol>")?;
    for (finding, mark) in findings {
        said(out, finding, mark)?;
    }
    writeln!(out, "</ol>")
}

/// One finding; `mark` is the name of its mark in the picture.
fn said(out: &mut impl Write, finding: &Finding, mark: Option<&str>) -> std::io::Result<()> {
    let place = match finding.bar {
        Some(bar) => format!("Bar {bar}"),
        None => "At the head".to_owned(),
    };
    let place = match mark {
        Some(mark) => format!("<a href=\"#{mark}\">{place}</a>"),
        None => place,
    };
    write!(
        out,
        "<li><b>{place}, {}</b>: {} ",
        finding.severity,
        escape(&finding.message)
    )?;
    for fix in &finding.fixes {
        write!(out, "<br>→ {} ", escape(&fix.title))?;
    }
    writeln!(
        out,
        "<br><small>{}; {}</small></li>",
        escape(finding.rule),
        escape(&finding.source)
    )
}
