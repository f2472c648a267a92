//! What is tried against a class from outside, and refused.

use std::io::{ErrorKind, Read as _};
use std::net::TcpStream;
use std::time::Instant;

use serde_json::json;

use crate::{Browser, Class};

const FIXED: &str = "evening-ferry-fixed.abc";

/// All that can be asked for.
const PAGES: [(&str, &str); 9] = [
    ("GET", "/"),
    ("GET", "/wall/events"),
    ("GET", "/wall/student/s1"),
    ("GET", "/assets/wall.js"),
    ("GET", "/desk"),
    ("GET", "/desk/state"),
    ("POST", "/desk/enter"),
    ("PUT", "/desk/piece/p1"),
    ("GET", "/desk/talk"),
];

#[test]
fn a_name_that_leads_here_is_not_this_machine() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let mut teacher = class.teacher();
    for host in [
        "class.attacker.example",
        "127.0.0.1.attacker.example",
        "localhost",
    ] {
        let host = format!(
            "{host}:{}",
            if host == "localhost" { 1 } else { class.port }
        );
        for (method, path) in PAGES {
            let answer = teacher.send(
                method,
                path,
                &[("Host", &host), ("X-Bellhand", "desk")],
                b"{}",
            );
            assert_eq!(answer.status, 403, "{method} {path} for {host}");
        }
    }
    assert_eq!(teacher.send("GET", "/", &[], b"").status, 403);
}

#[test]
fn another_sites_page_can_ask_for_nothing() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let mut student = class.student("Cy");
    let host = student.host();
    let own = format!("http://{host}");
    let enter = json!({ "code": class.code, "name": "Di" }).to_string();
    // As a form of another site posts, as its script does, and as one that leaves its name out.
    for headers in [
        vec![
            ("Origin", "http://attacker.example"),
            ("Content-Type", "text/plain"),
        ],
        vec![
            ("Origin", "null"),
            ("X-Bellhand", "desk"),
            ("Content-Type", "application/json"),
        ],
        vec![
            ("Origin", "https://127.0.0.1"),
            ("X-Bellhand", "desk"),
            ("Content-Type", "application/json"),
        ],
        vec![
            ("Sec-Fetch-Site", "cross-site"),
            ("X-Bellhand", "desk"),
            ("Content-Type", "application/json"),
        ],
        vec![
            ("Sec-Fetch-Site", "same-site"),
            ("X-Bellhand", "desk"),
            ("Content-Type", "application/json"),
        ],
        vec![
            ("Origin", own.as_str()),
            ("Content-Type", "application/json"),
        ],
    ] {
        let mut all = vec![("Host", host.as_str())];
        all.extend(&headers);
        let answer = student.send("POST", "/desk/enter", &all, enter.as_bytes());
        assert_eq!(answer.status, 403, "{headers:?}");
        let answer = student.send("PUT", "/desk/piece/p1", &all, b"X:1");
        assert_eq!(answer.status, 403, "{headers:?}");
    }
    // A link may lead here; a script of another site may not read.
    let read = [
        ("Host", host.as_str()),
        ("Sec-Fetch-Site", "cross-site"),
        ("Sec-Fetch-Mode", "no-cors"),
    ];
    assert_eq!(student.send("GET", "/desk/state", &read, b"").status, 403);
    let followed = [
        ("Host", host.as_str()),
        ("Sec-Fetch-Site", "cross-site"),
        ("Sec-Fetch-Mode", "navigate"),
    ];
    assert_eq!(student.send("GET", "/desk", &followed, b"").status, 200);
}

#[test]
fn the_wall_is_the_teachers_alone() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let name = format!("bellhand-teacher-{}", class.port);
    let mut others: Vec<Browser> = vec![class.browser(), class.student("Cy")];
    for key in ["", "0", &class.key[1..], &class.key.to_uppercase()] {
        let mut browser = class.browser();
        browser.cookies.push((name.clone(), key.to_owned()));
        others.push(browser);
        assert_eq!(class.browser().get(&format!("/open?key={key}")).status, 403);
    }
    for mut browser in others {
        for path in ["/wall/events", "/wall/student/s1"] {
            let answer = browser.get(path);
            assert_eq!(answer.status, 403, "{path}");
            assert!(!answer.text().contains("ada"));
        }
        // Whoever is not the teacher is shown to the desks.
        let answer = browser.get("/");
        assert_eq!(
            (answer.status, answer.header("location")),
            (303, Some("/desk"))
        );
    }
    let mut teacher = class.teacher();
    assert_eq!(teacher.get("/").status, 200);
    let set = class.browser().get(&format!("/open?key={}", class.key));
    let cookie = set.header("set-cookie").unwrap();
    assert!(
        cookie.contains("; HttpOnly") && cookie.contains("; SameSite=Strict"),
        "{cookie}"
    );
}

#[test]
fn no_path_is_made_of_what_is_asked_for() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    std::fs::write(class.path("secret.txt"), "not for pages").unwrap();
    let mut teacher = class.teacher();
    let mut student = class.student("Cy");
    student.begin("Own");
    for tricky in [
        "..",
        "../secret.txt",
        "..%2fsecret.txt",
        "%2e%2e%2fsecret.txt",
        "..%5csecret.txt",
        "....//secret.txt",
        "%00",
        "wall.js%00.txt",
        "/etc/passwd",
        "%2fetc%2fpasswd",
        "p1/../../ada/horn.abc",
        "p01",
        "p1%20",
        "ada",
    ] {
        for browser in [&mut teacher, &mut student] {
            for folder in ["/assets", "/desk/piece", "/wall/student", ""] {
                let path = format!("{folder}/{tricky}");
                let answer = browser.get(&path);
                assert!(
                    (400..500).contains(&answer.status),
                    "{path}: {}",
                    answer.status
                );
                let text = String::from_utf8_lossy(&answer.body).into_owned();
                assert!(
                    !text.contains("not for pages") && !text.contains("root:"),
                    "{path}"
                );
            }
        }
    }
}

#[test]
fn pages_may_do_nothing_but_their_own_work() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let mut teacher = class.teacher();
    for path in [
        "/",
        "/desk",
        "/assets/wall.js",
        "/assets/desk.css",
        "/desk/state",
        "/nothing",
        "/wall/student/s1",
    ] {
        let answer = teacher.get(path);
        let policy = answer.header("content-security-policy").unwrap();
        assert!(
            policy.starts_with("default-src 'none'") && policy.contains("frame-ancestors 'none'"),
            "{path}"
        );
        assert!(
            !policy.contains("unsafe") && !policy.contains('*') && !policy.contains("http"),
            "{path}: {policy}"
        );
        assert_eq!(
            answer.header("x-content-type-options"),
            Some("nosniff"),
            "{path}"
        );
        assert_eq!(
            answer.header("referrer-policy"),
            Some("no-referrer"),
            "{path}"
        );
    }
    // Each page has a key of its own.
    let policies: Vec<String> = (0..2)
        .map(|_| {
            teacher
                .get("/desk")
                .header("content-security-policy")
                .unwrap()
                .to_owned()
        })
        .collect();
    assert_ne!(policies[0], policies[1]);
    let page = teacher.get("/").text();
    for outside in [
        "http://", "https://", "//cdn", " style=", "<script>", "onclick",
    ] {
        assert!(!page.contains(outside), "{outside}");
    }
}

#[test]
fn without_desks_there_is_none() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &[]);
    let mut browser = class.browser();
    for (method, path) in PAGES.iter().filter(|(_, path)| path.starts_with("/desk")) {
        let answer = browser.tell(method, path, &[], b"{}");
        assert_eq!(answer.status, 404, "{path}");
    }
    assert_eq!(browser.get("/").status, 403);
}

#[test]
fn one_machine_has_no_more_connections_than_a_class_needs() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let browser = class.browser();
    let held: Vec<TcpStream> = (0..450).map(|_| browser.connect()).collect();
    // Those that came too late are closed, and those before them wait.
    let closed = |mut socket: &TcpStream| {
        socket.set_nonblocking(true).unwrap();
        match socket.read(&mut [0]) {
            Ok(read) => read == 0,
            Err(error) => error.kind() == ErrorKind::ConnectionReset,
        }
    };
    let until = Instant::now() + crate::PATIENCE;
    while held.iter().filter(|socket| closed(socket)).count() < 50 {
        assert!(Instant::now() < until, "none is closed");
        std::thread::yield_now();
    }
    assert_eq!(held.iter().filter(|socket| closed(socket)).count(), 50);
    drop(held);
    let mut teacher = class.teacher();
    assert_eq!(teacher.get("/").status, 200);
}
