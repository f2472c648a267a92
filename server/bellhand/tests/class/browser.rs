//! A small browser: asks over a socket, keeps cookies, and can be told to send what no browser would.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Instant;

use serde_json::{Value, json};

use crate::PATIENCE;

pub(crate) struct Browser {
    port: u16,
    pub(crate) cookies: Vec<(String, String)>,
}

pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Vec<u8>,
    /// Whether all that was sent was taken.
    pub(crate) taken: bool,
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let mut headers = self.headers.iter();
        headers
            .find(|(found, _)| found == name)
            .map(|(_, value)| value.as_str())
    }

    pub(crate) fn text(&self) -> String {
        String::from_utf8(self.body.clone()).unwrap()
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap()
    }
}

impl Browser {
    pub(crate) const fn new(port: u16) -> Self {
        Self {
            port,
            cookies: Vec::new(),
        }
    }

    pub(crate) fn connect(&self) -> TcpStream {
        let socket = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        socket.set_read_timeout(Some(PATIENCE)).unwrap();
        // As browsers do: what is typed is not held back to be sent together.
        socket.set_nodelay(true).unwrap();
        socket
    }

    pub(crate) fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// The line of cookies, as it is sent.
    pub(crate) fn cookie(&self) -> String {
        let pairs = self.cookies.iter();
        let pairs: Vec<String> = pairs
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        pairs.join("; ")
    }

    /// Sends a request with exactly these headers beside its cookies and length.
    pub(crate) fn send(
        &mut self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> Answer {
        let mut socket = self.connect();
        let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        for (name, value) in headers {
            head += &format!("{name}: {value}\r\n");
        }
        if !self.cookies.is_empty() {
            head += &format!("Cookie: {}\r\n", self.cookie());
        }
        head += &format!("Content-Length: {}\r\n\r\n", body.len());
        socket.write_all(head.as_bytes()).unwrap();
        let taken = socket.write_all(body).is_ok();
        Answer {
            taken,
            ..self.answer(socket)
        }
    }

    fn answer(&mut self, socket: TcpStream) -> Answer {
        let mut reader = BufReader::new(socket);
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        let status = line.split(' ').nth(1).unwrap().parse().unwrap();
        let headers = headers(&mut reader);
        let mut body = Vec::new();
        // Events have no end.
        if !headers
            .iter()
            .any(|(_, value)| value == "text/event-stream")
        {
            let _ = reader.read_to_end(&mut body);
        }
        for (_, set) in headers.iter().filter(|(name, _)| name == "set-cookie") {
            let (name, value) = set.split(';').next().unwrap().split_once('=').unwrap();
            self.cookies.retain(|(known, _)| known != name);
            self.cookies.push((name.to_owned(), value.to_owned()));
        }
        Answer {
            status,
            headers,
            body,
            taken: true,
        }
    }

    pub(crate) fn get(&mut self, path: &str) -> Answer {
        let host = self.host();
        self.send("GET", path, &[("Host", &host)], b"")
    }

    /// Posts or puts as the desk's own page does.
    pub(crate) fn tell(
        &mut self,
        method: &str,
        path: &str,
        more: &[(&str, &str)],
        body: &[u8],
    ) -> Answer {
        let host = self.host();
        let origin = format!("http://{host}");
        let mut headers = vec![
            ("Host", host.as_str()),
            ("Origin", origin.as_str()),
            ("X-Bellhand", "desk"),
        ];
        headers.extend(more);
        self.send(method, path, &headers, body)
    }

    pub(crate) fn post(&mut self, path: &str, body: &Value) -> Answer {
        let kind = [("Content-Type", "application/json")];
        self.tell("POST", path, &kind, body.to_string().as_bytes())
    }

    pub(crate) fn enter(&mut self, code: &str, name: &str, word: &str) -> Answer {
        self.post(
            "/desk/enter",
            &json!({ "code": code, "name": name, "word": word }),
        )
    }

    /// Begins a piece in ABC; its id.
    pub(crate) fn begin(&mut self, title: &str) -> String {
        let answer = self.post("/desk/piece", &json!({ "notation": "abc", "title": title }));
        assert_eq!(answer.status, 201, "{}", answer.text());
        answer.json()["id"].as_str().unwrap().to_owned()
    }

    /// A piece's text and tag.
    pub(crate) fn piece(&mut self, id: &str) -> (String, String) {
        let answer = self.get(&format!("/desk/piece/{id}"));
        assert_eq!(answer.status, 200, "{}", answer.text());
        (answer.text(), answer.header("etag").unwrap().to_owned())
    }

    pub(crate) fn save(&mut self, id: &str, tag: &str, text: &str) -> Answer {
        let headers = [("Content-Type", "text/plain"), ("If-Match", tag)];
        self.tell(
            "PUT",
            &format!("/desk/piece/{id}"),
            &headers,
            text.as_bytes(),
        )
    }

    /// The wall's events from now on.
    pub(crate) fn events(&self) -> Events {
        let mut socket = self.connect();
        let head = format!(
            "GET /wall/events HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n\r\n",
            self.host(),
            self.cookie()
        );
        socket.write_all(head.as_bytes()).unwrap();
        let mut reader = BufReader::new(socket);
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        assert!(line.contains(" 200 "), "{line}");
        headers(&mut reader);
        Events { reader }
    }
}

fn headers(reader: &mut impl BufRead) -> Vec<(String, String)> {
    let mut headers = Vec::new();
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        let Some((name, value)) = line.trim_end().split_once(':') else {
            return headers;
        };
        headers.push((name.to_ascii_lowercase(), value.trim().to_owned()));
    }
}

/// Server-sent events; the sizes of chunks that stand between their lines are no lines of theirs.
pub(crate) struct Events {
    reader: BufReader<TcpStream>,
}

impl Events {
    /// The next event: its name and data.
    pub(crate) fn next(&mut self) -> (String, Value) {
        let mut name = String::new();
        // The wall is told now and then that it is still there, so that waiting needs an end of its own.
        let until = Instant::now() + PATIENCE;
        loop {
            assert!(Instant::now() < until, "nothing happens on the wall");
            let mut line = String::new();
            assert!(
                self.reader.read_line(&mut line).unwrap() > 0,
                "the wall has closed"
            );
            if let Some(said) = line.strip_prefix("event: ") {
                said.trim_end().clone_into(&mut name);
            }
            if let Some(data) = line.strip_prefix("data: ") {
                return (name, serde_json::from_str(data).unwrap());
            }
        }
    }

    /// The first change about a student for which something holds.
    pub(crate) fn until(&mut self, holds: impl Fn(&Value) -> bool) -> Value {
        loop {
            let (_, data) = self.next();
            let students = data["students"].as_array().unwrap();
            if let Some(found) = students.iter().find(|student| holds(student)) {
                return found.clone();
            }
        }
    }
}
