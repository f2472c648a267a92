//! Text strings of ABC: their escapes resolved.

/// The text an ABC text string stands for (ABC 2.1, section 8.2): `\%`, `\&`, `\\`, the accented letters, entities, `\u00e9`.
pub(super) fn resolved(text: &str) -> String {
    if !text.contains(['\\', '&']) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let step = match first {
            '\\' => escape(rest),
            '&' => entity(rest),
            _ => None,
        };
        let (piece, used) = step.unwrap_or((first.to_string(), first.len_utf8()));
        out.push_str(&piece);
        rest = rest.get(used..).unwrap_or_default();
    }
    out
}

/// What a backslash opens: the text it stands for, and how many bytes it takes.
fn escape(text: &str) -> Option<(String, usize)> {
    let after = text.get(1..)?;
    let next = after.chars().next()?;
    if next == 'n' {
        return Some((" ".to_owned(), 2));
    }
    for (mark, digits) in [('u', 4), ('U', 8)] {
        if next == mark
            && let Some(found) = after.get(1..=digits).and_then(number)
        {
            return Some((found.to_string(), digits + 2));
        }
    }
    if let Some(letter) = after.get(..2).and_then(accented) {
        return Some((letter.to_string(), 3));
    }
    matches!(next, '\\' | '%' | '&' | '"').then(|| (next.to_string(), 2))
}

fn number(hexadecimal: &str) -> Option<char> {
    u32::from_str_radix(hexadecimal, 16)
        .ok()
        .and_then(char::from_u32)
}

/// The letters of the standard's table of accents (section 14.1) that a backslash and two characters give.
fn accented(pair: &str) -> Option<char> {
    let mut chars = pair.chars();
    let (mark, letter) = (chars.next()?, chars.next()?);
    let whole = match pair {
        "AA" => 'Å',
        "aa" => 'å',
        "AE" => 'Æ',
        "ae" => 'æ',
        "ss" => 'ß',
        "DH" => 'Ð',
        "dh" => 'ð',
        "TH" => 'Þ',
        "th" => 'þ',
        "/O" => 'Ø',
        "/o" => 'ø',
        "OE" => 'Œ',
        "oe" => 'œ',
        _ => '\0',
    };
    if whole != '\0' {
        return Some(whole);
    }
    let table = match mark {
        '`' => "AÀaàEÈeèIÌiìOÒoòUÙuù",
        '\'' => "AÁaáEÉeéIÍiíOÓoóUÚuúYÝyýSŚsśZŹzźCĆcćNŃnń",
        '^' => "AÂaâEÊeêIÎiîOÔoôUÛuûYŶyŷ",
        '~' => "AÃaãNÑnñOÕoõIĨiĩUŨuũ",
        '"' => "AÄaäEËeëIÏiïOÖoöUÜuüYŸyÿ",
        'c' => "CÇcçSŞsşTŢtţ",
        'v' => "SŠsšZŽzžCČcčEĚeěRŘrřDĎdďNŇnňTŤtť",
        'u' => "AĂaăEĔeĕGĞgğOŎoŏUŬuŭ",
        'H' => "OŐoőUŰuű",
        _ => return None,
    };
    let mut letters = table.chars();
    while let (Some(plain), Some(accented)) = (letters.next(), letters.next()) {
        if plain == letter {
            return Some(accented);
        }
    }
    None
}

/// What an ampersand opens.
fn entity(text: &str) -> Option<(String, usize)> {
    let end = text.find(';').filter(|end| (2..=10).contains(end))?;
    let found = match text.get(1..end)? {
        "amp" => '&',
        "quot" => '"',
        "lt" => '<',
        "gt" => '>',
        "copy" => '©',
        "eacute" => 'é',
        "egrave" => 'è',
        "ecirc" => 'ê',
        "agrave" => 'à',
        "aacute" => 'á',
        "ccedil" => 'ç',
        "auml" => 'ä',
        "ouml" => 'ö',
        "uuml" => 'ü',
        "Auml" => 'Ä',
        "Ouml" => 'Ö',
        "Uuml" => 'Ü',
        "oacute" => 'ó',
        "iacute" => 'í',
        "uacute" => 'ú',
        "ntilde" => 'ñ',
        "oslash" => 'ø',
        "aring" => 'å',
        "szlig" => 'ß',
        _ => return None,
    };
    Some((found.to_string(), end + 1))
}

#[cfg(test)]
mod tests {
    use super::resolved;

    #[test]
    fn escapes_and_entities() {
        for (written, meant) in [
            (r#"con sord."#, "con sord."),
            (r#"bouch\'e"#, "bouché"),
            (r#"D\"ampfer"#, "Dämpfer"),
            (r"\u00e9t\u00e9", "été"),
            ("&eacute;t&eacute; &amp; &nosuch; &", "été & &nosuch; &"),
            (r"90\% \\ \& \", "90% \\ & \\"),
            (r"r\'og", "róg"),
        ] {
            assert_eq!(resolved(written), meant, "{written}");
        }
    }
}
