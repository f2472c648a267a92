//! The pages and what they ask for, over HTTP.

mod assets;
mod desks;
mod events;
mod gate;
mod listener;
mod talk;
mod teacher;

use std::sync::Arc;

use axum::Json;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde_json::json;

pub(crate) use listener::{Door, Peer};

use super::desk::{Desks, LARGEST_PIECE};
use super::secret::Secret;
use super::state::Class;

/// What is served.
#[derive(Debug)]
pub(crate) struct Served {
    pub(crate) class: Arc<Class>,
    /// What only the teacher's own machine knows.
    pub(crate) teacher: Secret,
    pub(crate) desks: Option<Arc<Desks>>,
    pub(crate) port: u16,
    /// Whether other machines of the network can come to the desks.
    pub(crate) shared: bool,
}

/// All pages, behind the gate.
pub(crate) fn router(served: Arc<Served>) -> Router {
    let mut router = Router::new()
        .route("/", get(teacher::wall))
        .route("/open", get(teacher::open))
        .route("/wall/events", get(events::events))
        .route("/wall/student/{id}", get(teacher::student))
        .route("/assets/{name}", get(assets::asset));
    if served.desks.is_some() {
        router = router
            .route("/desk", get(assets::desk))
            .route("/desk/enter", post(desks::enter))
            .route("/desk/leave", post(desks::leave))
            .route("/desk/state", get(desks::state))
            .route("/desk/piece", post(desks::begin))
            .route("/desk/piece/{id}", get(desks::piece).put(desks::save))
            .route("/desk/talk", get(talk::talk));
    }
    router
        .fallback(|| async { problem(StatusCode::NOT_FOUND, "There is no such page here.") })
        .layer(DefaultBodyLimit::max(LARGEST_PIECE))
        .layer(middleware::from_fn_with_state(
            Arc::clone(&served),
            gate::gate,
        ))
        .with_state(served)
}

/// What cannot be done, and why, in words for whoever sits at the page.
fn problem(status: StatusCode, words: impl Into<String>) -> Response {
    (status, Json(json!({ "problem": words.into() }))).into_response()
}
