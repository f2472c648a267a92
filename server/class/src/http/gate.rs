//! What every request passes: it must have come to this machine by its address and from its own pages, and every answer
//! says what its page may do.

use std::net::IpAddr;
use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;

use super::{Served, problem};

/// A header that no form and no other site's script can send without being asked about it first.
pub(super) const OWN_HEADER: &str = "x-bellhand";

/// What is said of every answer: nothing of it is guessed at, framed, kept or told on.
const ALWAYS: [(HeaderName, &str); 5] = [
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// What an answer that is no page may do: nothing.
const NOTHING: &str = "default-src 'none'; frame-ancestors 'none'";

/// Lets a request in that came to this machine from its own pages.
pub(super) async fn gate(
    State(served): State<Arc<Served>>,
    request: Request,
    next: Next,
) -> Response {
    let mut answer = match refusal(&served, request.method(), request.headers()) {
        Some(words) => problem(StatusCode::FORBIDDEN, words),
        None => next.run(request).await,
    };
    let headers = answer.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static(NOTHING));
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    answer
}

/// Why a request is not let in.
fn refusal(served: &Served, method: &Method, headers: &HeaderMap) -> Option<&'static str> {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = text(header::HOST).unwrap_or_default();
    // A name that another has made lead here would let that other's pages read these.
    if !is_own(host, served.port, served.shared) {
        return Some(
            "This class is found by this machine's address alone, as it stands on the board.",
        );
    }
    let foreign = "This was asked by another site's page, and is not done.";
    let origin = headers.get(header::ORIGIN);
    if origin.is_some_and(|origin| origin.as_bytes() != format!("http://{host}").as_bytes()) {
        return Some(foreign);
    }
    let site = text(HeaderName::from_static("sec-fetch-site"));
    let navigates = text(HeaderName::from_static("sec-fetch-mode")) == Some("navigate");
    let is_foreign = matches!(site, Some("cross-site" | "same-site"));
    let changes = !matches!(*method, Method::GET | Method::HEAD);
    if is_foreign && (changes || !navigates) {
        return Some(foreign);
    }
    if changes && headers.get(OWN_HEADER).is_none() {
        return Some(foreign);
    }
    None
}

/// Whether a `Host` is this machine by its address; where others may come, by any address it can have.
fn is_own(host: &str, port: u16, shared: bool) -> bool {
    let (name, said) = match host.rsplit_once(':') {
        Some((name, said)) if !said.ends_with(']') => (name, said.parse().ok()),
        _ => (host, Some(80)),
    };
    if said != Some(port) {
        return false;
    }
    if name == "localhost" {
        return true;
    }
    let bare = name
        .strip_prefix('[')
        .and_then(|name| name.strip_suffix(']'));
    let address: Option<IpAddr> = match bare {
        Some(bare) => bare.parse().ok().filter(IpAddr::is_ipv6),
        None => name.parse().ok().filter(IpAddr::is_ipv4),
    };
    address.is_some_and(|address| shared || address.is_loopback())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_addresses_are_this_machine() {
        for own in ["127.0.0.1:7411", "localhost:7411", "[::1]:7411"] {
            assert!(is_own(own, 7411, false), "{own}");
        }
        for other in [
            "",
            "127.0.0.1",
            "127.0.0.1:80",
            "127.0.0.1:7411.attacker.example",
            "attacker.example:7411",
            "localhost.attacker.example:7411",
            "127.0.0.1.attacker.example:7411",
            "192.168.1.5:7411",
            "::1:7411",
            "[127.0.0.1]:7411",
            "2130706433:7411",
        ] {
            assert!(!is_own(other, 7411, false), "{other}");
        }
        assert!(is_own("192.168.1.5:7411", 7411, true));
        assert!(!is_own("attacker.example:7411", 7411, true));
        assert!(is_own("127.0.0.1", 80, false));
    }
}
