//! Pages to read, to print or to show, whatever stands on them: how they begin and end.

use quick_xml::escape::escape;

/// How every page looks; pictures bring their own colours.
const STYLE: &str = include_str!("page.css");

/// The end of a page.
pub const END: &str = "</body>\n</html>\n";

/// The beginning of a page with a title.
pub fn begin(title: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n",
        escape(title)
    )
}
