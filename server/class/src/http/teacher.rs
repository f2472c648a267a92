//! What only the teacher sees: the wall, and each student's parts.

use std::sync::Arc;

use axum::Json;
use axum::extract::{ConnectInfo, FromRequestParts, Path, Query, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::{Peer, Served, assets, problem};
use crate::student;

/// A request of the teacher's, on the teacher's own machine.
pub(super) struct Teacher;

impl FromRequestParts<Arc<Served>> for Teacher {
    type Rejection = Response;

    async fn from_request_parts(
        parts: &mut Parts,
        served: &Arc<Served>,
    ) -> Result<Self, Self::Rejection> {
        let peer = parts.extensions.get::<ConnectInfo<Peer>>();
        let here = peer.is_some_and(|ConnectInfo(Peer(from))| from.is_loopback());
        let key = cookie(&parts.headers, &name(served.port));
        if here && key.is_some_and(|key| served.teacher.is(key)) {
            return Ok(Self);
        }
        Err(problem(
            StatusCode::FORBIDDEN,
            "The wall opens on the teacher's machine, by the address that stood in the terminal when the class began.",
        ))
    }
}

/// The teacher's key, as it comes in the address.
#[derive(Debug, Deserialize)]
pub(super) struct Key {
    #[serde(default)]
    key: String,
}

/// Opens the wall to whoever has the key, on this machine.
pub(super) async fn open(
    State(served): State<Arc<Served>>,
    ConnectInfo(Peer(from)): ConnectInfo<Peer>,
    Query(Key { key }): Query<Key>,
) -> Response {
    if !from.is_loopback() || !served.teacher.is(&key) {
        return problem(
            StatusCode::FORBIDDEN,
            "This is not the address that stood in the terminal when the class began.",
        );
    }
    let cookie = set(&name(served.port), &key);
    ([(header::SET_COOKIE, cookie)], Redirect::to("/")).into_response()
}

/// The wall; whoever is not the teacher is shown to the desks, where there are any.
pub(super) async fn wall(
    State(served): State<Arc<Served>>,
    teacher: Result<Teacher, Response>,
) -> Response {
    match teacher {
        Ok(Teacher) => assets::wall(),
        Err(_) if served.desks.is_some() => Redirect::to("/desk").into_response(),
        Err(refused) => refused,
    }
}

/// A student's parts.
pub(super) async fn student(
    State(served): State<Arc<Served>>,
    _: Teacher,
    Path(id): Path<String>,
) -> Response {
    let drawn = tokio::task::spawn_blocking(move || student::detail(&served.class, &id));
    match drawn.await {
        Ok(Some(detail)) => Json(detail).into_response(),
        _ => problem(
            StatusCode::NOT_FOUND,
            "There is no such student in the class now.",
        ),
    }
}

/// What the teacher's cookie is called; cookies know no ports, so the port is in its name.
fn name(port: u16) -> String {
    format!("bellhand-teacher-{port}")
}

/// A cookie that only this server's own pages send, and no script reads.
pub(super) fn set(name: &str, value: &str) -> String {
    format!("{name}={value}; Path=/; HttpOnly; SameSite=Strict")
}

/// A cookie's value.
pub(super) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let all = headers.get_all(header::COOKIE).into_iter();
    let all = all.filter_map(|cookies| cookies.to_str().ok());
    all.flat_map(|cookies| cookies.split(';'))
        .filter_map(|cookie| cookie.trim().split_once('='))
        .find_map(|(found, value)| (found == name).then_some(value))
}
