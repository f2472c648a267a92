//! Pages to read, to print or to show, whatever stands on them: how they begin and end.

use std::io;

use quick_xml::escape::escape;

use crate::sound::Sound;

/// How every page looks; pictures bring their own colours.
const STYLE: &str = include_str!("page.css");

/// What lets the parts of a page be heard, as made by `editors/browser`.
const SCRIPT: &str = include_str!("sound.js");

/// The end of a page.
pub const END: &str = "</main>\n</body>\n</html>\n";

/// The beginning of a page with a title.
pub fn begin(title: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n",
        escape(title)
    )
}

/// What is to be heard of the part that the element around it shows, for the script that [`with_sound`] gives. Fails when
/// it cannot be written as JSON.
pub fn heard(sound: &Sound) -> io::Result<String> {
    let json = serde_json::to_string(sound)?;
    // Within a script nothing may look like its end.
    let json = json.replace('<', "\\u003c");
    Ok(format!(
        "<script type=\"application/json\" class=\"heard\">{json}</script>"
    ))
}

/// The script that puts buttons over all that is [`heard`] on a page; it plays nothing by itself and asks for nothing.
#[must_use]
pub fn with_sound() -> String {
    format!("<script>{SCRIPT}</script>\n")
}
