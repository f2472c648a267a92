//! Messages cut out of a byte stream, whatever the stream does.

use tokio::io::{AsyncBufRead, AsyncBufReadExt as _, AsyncReadExt as _};

/// The longest message taken in; a longer one is skipped.
pub(super) const LONGEST: usize = 64 << 20;
/// How much of a message too long is kept from either end, in bytes: enough to tell which document it was about.
const KEPT: usize = 4 << 10;
/// The longest header line; a stream without line ends is no stream of messages.
const LONGEST_LINE: u64 = 8 << 10;

/// What came out of the stream.
#[derive(Debug, PartialEq, Eq)]
pub enum Frame {
    /// A message's body.
    Body(Vec<u8>),
    /// Something that is no message; what is wrong.
    Broken(&'static str),
    /// A message longer than [`LONGEST`] that was passed over: how it begins and how it ends.
    TooLong(Vec<u8>),
    /// The stream has ended.
    End,
}

/// Reads the next message. Header names count in any case and order, as in other protocols of this form.
pub async fn next(input: &mut (impl AsyncBufRead + Unpin)) -> Frame {
    let mut length: Option<usize> = None;
    let mut lines = 0;
    loop {
        let mut line = Vec::new();
        match (&mut *input)
            .take(LONGEST_LINE)
            .read_until(b'\n', &mut line)
            .await
        {
            Ok(0) | Err(_) => return Frame::End,
            Ok(_) => {}
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim();
        if text.is_empty() {
            if lines == 0 {
                // Blank lines between messages hurt nobody.
                continue;
            }
            break;
        }
        lines += 1;
        if let Some(value) = after_name(text) {
            length = value.trim().parse().ok();
        }
    }
    let Some(length) = length else {
        return Frame::Broken("a message without a usable Content-Length was skipped");
    };
    if length > LONGEST {
        return skip(input, length).await;
    }
    let mut body = vec![0; length];
    match input.read_exact(&mut body).await {
        Ok(_) => Frame::Body(body),
        Err(_) => Frame::End,
    }
}

/// What follows the length's name in a header line.
///
/// The rest of a message that was longer than it said may stand before the name: bodies end without a line end.
fn after_name(line: &str) -> Option<&str> {
    const NAME: &str = "content-length";
    let at = line.to_ascii_lowercase().rfind(NAME)?;
    line.get(at + NAME.len()..)?.trim_start().strip_prefix(':')
}

/// Reads past a message that is too long.
async fn skip(input: &mut (impl AsyncBufRead + Unpin), length: usize) -> Frame {
    let mut ends = vec![0; KEPT];
    if input.read_exact(&mut ends).await.is_err() {
        return Frame::End;
    }
    let between = (length - 2 * KEPT) as u64;
    let mut rest = (&mut *input).take(between);
    match tokio::io::copy(&mut rest, &mut tokio::io::sink()).await {
        Ok(passed) if passed == between => {}
        _ => return Frame::End,
    }
    let mut last = vec![0; KEPT];
    if input.read_exact(&mut last).await.is_err() {
        return Frame::End;
    }
    ends.extend(last);
    Frame::TooLong(ends)
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn frames(mut bytes: &[u8]) -> Vec<Frame> {
        let mut all = Vec::new();
        loop {
            let frame = next(&mut bytes).await;
            let end = frame == Frame::End;
            all.push(frame);
            if end {
                return all;
            }
        }
    }

    #[tokio::test]
    async fn headers_in_any_case_and_order() {
        let stream = b"content-length: 2\r\n\r\n{}Content-Type: x\r\nCONTENT-LENGTH:2\r\n\r\n[]\r\n\nContent-Length: 1\n\n1";
        let found = frames(stream).await;
        assert_eq!(
            found,
            [
                Frame::Body(b"{}".to_vec()),
                Frame::Body(b"[]".to_vec()),
                Frame::Body(b"1".to_vec()),
                Frame::End
            ]
        );
    }

    #[tokio::test]
    async fn what_is_no_message_costs_no_other() {
        let stream =
            b"Content-Type: x\r\n\r\nContent-Length: many\r\n\r\nContent-Length: 2\r\n\r\n{}";
        let found = frames(stream).await;
        assert!(matches!(found[0], Frame::Broken(_)), "{found:?}");
        assert!(matches!(found[1], Frame::Broken(_)), "{found:?}");
        assert_eq!(found[2], Frame::Body(b"{}".to_vec()));
    }

    #[tokio::test]
    async fn a_wrong_length_costs_at_most_the_next_message() {
        let good = b"Content-Length: 2\r\n\r\n{}".repeat(3);
        for wrong in ["1", "9", "-1", "0", "many"] {
            let mut stream = format!("Content-Length: {wrong}\r\n\r\n[123]").into_bytes();
            stream.extend_from_slice(&good);
            let found = frames(&stream).await;
            let whole = Frame::Body(b"{}".to_vec());
            let count = found.iter().filter(|frame| **frame == whole).count();
            assert!(count >= 2, "{wrong}: {found:?}");
            assert_eq!(found.last(), Some(&Frame::End), "{wrong}: {found:?}");
        }
    }

    #[tokio::test]
    async fn a_message_too_long_is_passed_over() {
        let mut stream = format!("Content-Length: {}\r\n\r\n", LONGEST + 1).into_bytes();
        let header = stream.len();
        stream.resize(header + LONGEST + 1, b'x');
        stream.extend_from_slice(b"Content-Length: 2\r\n\r\n{}");
        stream[header + LONGEST..=header + LONGEST].copy_from_slice(b"!");
        let found = frames(&stream).await;
        let Frame::TooLong(ends) = &found[0] else {
            panic!("{:?}", found[1]);
        };
        assert_eq!((ends.len(), ends.last()), (2 * KEPT, Some(&b'!')));
        assert_eq!(found[1..], [Frame::Body(b"{}".to_vec()), Frame::End]);
    }

    #[tokio::test]
    async fn a_length_nobody_can_send_ends_with_the_stream() {
        assert_eq!(
            frames(b"Content-Length: 99999999999999\r\n\r\n{}").await,
            [Frame::End]
        );
        assert_eq!(frames(b"Content-Length: 10\r\n\r\n{}").await, [Frame::End]);
    }
}
