//! The pages themselves, which the program carries with it.

use axum::extract::Path;
use axum::http::header::{self, HeaderValue};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use files::digest::short_digest;

use super::problem;
use crate::secret::Secret;

const WALL: &str = include_str!("../assets/wall.html");
const DESK: &str = include_str!("../assets/desk.html");
/// Where a page's own key for its styles stands.
const NONCE: &str = "{nonce}";

/// A file that a page needs.
struct Asset {
    name: &'static str,
    kind: &'static str,
    text: &'static str,
}

impl Asset {
    const fn new(name: &'static str, kind: &'static str, text: &'static str) -> Self {
        Self { name, kind, text }
    }
}

const SCRIPT: &str = "text/javascript; charset=utf-8";
const STYLE: &str = "text/css; charset=utf-8";
const WORDS: &str = "text/plain; charset=utf-8";

const ASSETS: [Asset; 5] = [
    Asset::new("wall.js", SCRIPT, include_str!("../assets/wall.js")),
    Asset::new("wall.css", STYLE, include_str!("../assets/wall.css")),
    Asset::new("desk.js", SCRIPT, include_str!("../assets/desk.js")),
    Asset::new("desk.css", STYLE, include_str!("../assets/desk.css")),
    Asset::new(
        "licences.txt",
        WORDS,
        include_str!("../assets/licences.txt"),
    ),
];

/// A file by its name; no path is ever made of what is asked for.
pub(super) async fn asset(Path(name): Path<String>, headers: HeaderMap) -> Response {
    let Some(asset) = ASSETS.iter().find(|asset| asset.name == name) else {
        return problem(StatusCode::NOT_FOUND, "There is no such page here.");
    };
    let tag = format!("\"{}\"", short_digest(asset.text.as_bytes()));
    let kept = headers.get(header::IF_NONE_MATCH);
    let common = [
        (header::ETAG, tag.clone()),
        (header::CACHE_CONTROL, "no-cache".to_owned()),
        (header::CONTENT_TYPE, asset.kind.to_owned()),
    ];
    if kept.is_some_and(|kept| kept.as_bytes() == tag.as_bytes()) {
        return (StatusCode::NOT_MODIFIED, common).into_response();
    }
    (common, asset.text).into_response()
}

/// The desk's page.
pub(super) async fn desk() -> Response {
    page(DESK)
}

/// The wall's page.
pub(super) fn wall() -> Response {
    page(WALL)
}

/// A page, with a key of its own without which no style that is put into it holds.
fn page(text: &str) -> Response {
    let Ok(nonce) = Secret::new() else {
        return problem(
            StatusCode::INTERNAL_SERVER_ERROR,
            "This machine has no randomness to give.",
        );
    };
    let nonce = nonce.words();
    let policy = format!(
        "default-src 'none'; script-src 'self'; style-src 'self' 'nonce-{nonce}'; img-src 'self' data:; connect-src 'self'; \
         base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    );
    let mut answer = axum::response::Html(text.replace(NONCE, nonce)).into_response();
    if let Ok(policy) = HeaderValue::from_str(&policy) {
        let headers = answer.headers_mut();
        headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    answer
}
