//! A page in Markdown as a terminal shows it: headings bold, music set in, words in lines as wide as the terminal.

use std::fmt::Write as _;

use clap::builder::styling::{AnsiColor, Style};

/// How far music is set in.
const INDENT: &str = "    ";

/// The page with a terminal's own means; lines are at most so wide, in characters, where words allow it.
pub(crate) fn typeset(page: &str, width: usize) -> String {
    let mut out = String::new();
    let mut words: Vec<&str> = Vec::new();
    let mut in_music = false;
    for line in page.lines() {
        let fence = line.starts_with("```");
        let begins = fence || in_music || line.is_empty() || line.starts_with(['#', '-']);
        if begins {
            paragraph(&mut out, &std::mem::take(&mut words), width);
        }
        if fence {
            in_music = !in_music;
        } else if in_music {
            let _ = writeln!(out, "{INDENT}{line}");
        } else if let Some(title) = line.strip_prefix("## ") {
            styled(&mut out, Style::new().bold(), title);
            out.push('\n');
        } else if let Some(title) = line.strip_prefix("# ") {
            styled(&mut out, Style::new().bold().underline(), title);
            out.push('\n');
        } else if line.is_empty() {
            // Of several empty lines one is enough.
            if !out.is_empty() && !out.ends_with("\n\n") {
                out.push('\n');
            }
        } else {
            words.extend(line.split_whitespace());
        }
    }
    paragraph(&mut out, &words, width);
    out
}

/// Words in lines; those between backquotes are coloured, titles between asterisks are plain.
fn paragraph(out: &mut String, words: &[&str], width: usize) {
    let code = AnsiColor::Cyan.on_default();
    let (mut column, mut in_code) = (0, false);
    for word in words {
        let coloured = in_code || word.contains('`');
        in_code ^= word.matches('`').count() % 2 == 1;
        let plain: String = match coloured {
            true => word.replace('`', ""),
            false => word.replace('*', ""),
        };
        let length = plain.chars().count();
        if column > 0 && column + 1 + length > width {
            out.push('\n');
            column = 0;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        match coloured {
            true => styled(out, code, &plain),
            false => out.push_str(&plain),
        }
        column += length;
    }
    if column > 0 {
        out.push('\n');
    }
}

fn styled(out: &mut String, style: Style, words: &str) {
    let _ = write!(out, "{}{words}{}", style.render(), style.render_reset());
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a terminal shows, without its colours.
    fn shown(page: &str, width: usize) -> String {
        anstream::adapter::strip_str(&typeset(page, width)).to_string()
    }

    #[test]
    fn a_page_is_set() {
        let page = "# mute/already\n\nUsually: warning\n\n## Why it matters\nThe mute is in, and `con sord.` says it\nagain.\n\n\nReported:\n\n```abc\nX:1\n  c4\n```\n\n- `lowest`: a note.\n";
        let set = "mute/already\n\nUsually: warning\n\nWhy it matters\nThe mute is in, and con\nsord. says it again.\n\nReported:\n\n    X:1\n      c4\n\n- lowest: a note.\n";
        assert_eq!(shown(page, 24), set);
        let coloured = typeset(page, 80);
        assert!(
            coloured.contains("\u{1b}[1m") && coloured.contains("\u{1b}[36m"),
            "{coloured:?}"
        );
        assert!(
            !coloured.contains('`') && !coloured.contains("##"),
            "{coloured}"
        );
        // What follows coloured words is plain again.
        assert!(coloured.contains("sord.\u{1b}[0m says it"), "{coloured:?}");
    }

    #[test]
    fn every_rules_page_is_set_whole() {
        for rule in rules::ALL {
            let page = rules::explain::page(rule);
            let letters = |text: &str| -> String {
                let kept = text.chars().filter(|sign| sign.is_alphanumeric());
                kept.collect()
            };
            let lines = page.lines().filter(|line| !line.starts_with("```"));
            let music: String = lines.collect();
            assert_eq!(letters(&shown(&page, 60)), letters(&music), "{}", rule.name);
        }
    }
}
