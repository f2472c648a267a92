//! What a desk's page asks for: to come in, the student's pieces, and to have one kept.

use std::sync::Arc;

use axum::Json;
use axum::body::Bytes;
use axum::extract::{ConnectInfo, FromRequestParts, Path, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;

use super::teacher::{cookie, set};
use super::{Peer, Served, problem};
use crate::desk::{Desk, Desks, NotDone, NotSaved, Wish};

/// A request from a desk where a student sits.
pub(super) struct Sitting {
    pub(super) desk: Arc<Desk>,
    pub(super) desks: Arc<Desks>,
}

impl FromRequestParts<Arc<Served>> for Sitting {
    type Rejection = Response;

    async fn from_request_parts(
        parts: &mut Parts,
        served: &Arc<Served>,
    ) -> Result<Self, Self::Rejection> {
        let found = served.desks.as_ref().and_then(|desks| {
            let key = cookie(&parts.headers, &name(served.port))?;
            Some((desks.sitting(key)?, Arc::clone(desks)))
        });
        match found {
            None => Err(problem(
                StatusCode::UNAUTHORIZED,
                "Come in with the code of the day and your name.",
            )),
            Some((desk, _)) if !desk.may_ask() => Err(problem(
                StatusCode::TOO_MANY_REQUESTS,
                "That was more than a desk can do at once; wait a moment.",
            )),
            Some((desk, desks)) => Ok(Self { desk, desks }),
        }
    }
}

/// What a student comes in with.
#[derive(Debug, Deserialize)]
pub(super) struct Coming {
    code: String,
    name: String,
    /// The desk's own word, which its student comes back with from another browser.
    #[serde(default)]
    word: String,
}

/// Lets a student in.
pub(super) async fn enter(
    State(served): State<Arc<Served>>,
    ConnectInfo(Peer(from)): ConnectInfo<Peer>,
    Json(coming): Json<Coming>,
) -> Response {
    let Some(desks) = &served.desks else {
        return problem(StatusCode::NOT_FOUND, "This class has no desks.");
    };
    match desks.enter(from, &coming.code, &coming.name, &coming.word) {
        Ok((desk, key)) => {
            let cookie = set(&name(served.port), key.words());
            let body = Json(json!({ "name": desk.name, "word": desk.word }));
            ([(header::SET_COOKIE, cookie)], body).into_response()
        }
        Err(why) => refused(&why),
    }
}

/// Forgets the browser; the student's pieces stay.
pub(super) async fn leave(State(served): State<Arc<Served>>, headers: HeaderMap) -> Response {
    if let (Some(desks), Some(key)) = (&served.desks, cookie(&headers, &name(served.port))) {
        desks.leave(key);
    }
    let gone = format!("{}; Max-Age=0", set(&name(served.port), ""));
    (StatusCode::NO_CONTENT, [(header::SET_COOKIE, gone)]).into_response()
}

/// The student's name and pieces, and the lessons.
pub(super) async fn state(Sitting { desk, desks }: Sitting) -> Response {
    let pieces = desks.pieces(&desk);
    Json(json!({
        "name": desk.name,
        "word": desk.word,
        "pieces": pieces,
        "lessons": desks.lessons(),
    }))
    .into_response()
}

/// Begins a piece.
pub(super) async fn begin(Sitting { desk, desks }: Sitting, Json(wish): Json<Wish>) -> Response {
    match desks.begin(&desk, &wish) {
        Ok(piece) => (StatusCode::CREATED, Json(piece)).into_response(),
        Err(why) => refused(&why),
    }
}

/// A piece's text.
pub(super) async fn piece(Sitting { desk, desks }: Sitting, Path(id): Path<String>) -> Response {
    match desks.text(&desk, &id) {
        Ok((text, tag)) => {
            let kind = "text/plain; charset=utf-8".to_owned();
            ([(header::ETAG, tag), (header::CONTENT_TYPE, kind)], text).into_response()
        }
        Err(why) => refused(&why),
    }
}

/// Keeps a piece's text, if it was written from what is kept now.
pub(super) async fn save(
    Sitting { desk, desks }: Sitting,
    Path(id): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let base = headers.get(header::IF_MATCH);
    let Some(base) = base.and_then(|tag| tag.to_str().ok()).map(str::to_owned) else {
        return problem(
            StatusCode::PRECONDITION_REQUIRED,
            "A text is kept only with what it was written from.",
        );
    };
    let Ok(text) = String::from_utf8(body.into()) else {
        return problem(StatusCode::UNPROCESSABLE_ENTITY, "This is no text.");
    };
    let kept = tokio::task::spawn_blocking(move || desks.save(&desk, &id, &base, &text));
    match kept.await {
        Ok(Ok(tag)) => (StatusCode::NO_CONTENT, [(header::ETAG, tag)]).into_response(),
        Ok(Err(NotSaved::Other { text, tag })) => (
            StatusCode::PRECONDITION_FAILED,
            Json(json!({ "text": text, "etag": tag })),
        )
            .into_response(),
        Ok(Err(NotSaved::NotDone(why))) => refused(&why),
        Err(_) => problem(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The text could not be kept.",
        ),
    }
}

/// What a desk's cookie is called.
fn name(port: u16) -> String {
    format!("bellhand-desk-{port}")
}

fn refused(why: &NotDone) -> Response {
    let status = match why {
        NotDone::WrongCode | NotDone::WrongWord(_) => StatusCode::UNAUTHORIZED,
        NotDone::TooOften | NotDone::TooMany(_) => StatusCode::TOO_MANY_REQUESTS,
        NotDone::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
        NotDone::NoName | NotDone::Odd(_) => StatusCode::UNPROCESSABLE_ENTITY,
        NotDone::Absent => StatusCode::NOT_FOUND,
        NotDone::Failed(_) => StatusCode::INTERNAL_SERVER_ERROR,
    };
    problem(status, why.to_string())
}
