//! Findings as a page to read, to print or to show in class: each part's picture with what is said about it.

use std::io::{Error, Write};

use engine::{Finding, Judged};
use picture::{Options, Subject};
use quick_xml::escape::escape;
use reading::{HornPart, PieceReading};

use super::{Ending, Score, Shape};
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
    let mut told = vec![false; findings.len()];
    let horns = judged.pieces().flat_map(|(base, reading)| {
        let horns = reading.horns.iter();
        horns.map(move |horn| (base, reading, horn))
    });
    for (place, (base, reading, horn)) in (1..).zip(horns) {
        let names = format!("score-{number}-part-{place}-");
        let subject = Subject {
            base,
            reading,
            horn,
            findings,
        };
        part(out, &subject, &names, &mut told)?;
    }
    let rest: Vec<&Finding> = findings
        .iter()
        .zip(told)
        .filter_map(|(finding, told)| (!told).then_some(finding))
        .collect();
    if !rest.is_empty() {
        writeln!(out, "<h3>About the whole</h3>\n<ol>")?;
        for finding in rest {
            said(out, finding, None)?;
        }
        writeln!(out, "</ol>")?;
    }
    Ok(())
}

/// A part's picture, and what is said about it; those findings are ticked off in `told`.
fn part(
    out: &mut impl Write,
    subject: &Subject<'_>,
    names: &str,
    told: &mut [bool],
) -> std::io::Result<()> {
    let options = Options {
        names,
        ..Options::default()
    };
    let picture = picture::draw(subject, &options).map_err(Error::other)?;
    writeln!(
        out,
        "<h3>{}</h3>",
        escape(heading(subject.reading, subject.horn))
    )?;
    writeln!(out, "{}", picture.svg)?;
    let begins = format!("{names}finding-");
    let about: Vec<usize> = picture
        .places
        .iter()
        .filter_map(|place| place.id.strip_prefix(&begins)?.parse().ok())
        .collect();
    if about.is_empty() {
        return writeln!(out, "<p>Nothing to say.</p>");
    }
    writeln!(out, "<ol>")?;
    for index in about {
        if let (Some(finding), Some(told)) = (subject.findings.get(index), told.get_mut(index)) {
            *told = true;
            said(out, finding, Some(&format!("{begins}{index}")))?;
        }
    }
    writeln!(out, "</ol>")
}

/// The piece and the part.
fn heading(reading: &PieceReading, horn: &HornPart) -> String {
    match &reading.piece.title {
        Some(title) => format!("{}: {}", title.text, horn.label),
        None => horn.label.clone(),
    }
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
