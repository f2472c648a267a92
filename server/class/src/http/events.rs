//! The wall's events: the whole class first, then each change as it comes.

use std::convert::Infallible;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use tokio_stream::StreamExt as _;
use tokio_stream::wrappers::BroadcastStream;

use super::teacher::Teacher;
use super::{Served, problem};

/// The most walls that are open at one time.
const MOST_WALLS: usize = 32;
/// How often a wall that nothing happens on is told that it is still there.
const ALIVE: Duration = Duration::from_secs(10);

/// How many walls are open.
static OPEN: AtomicUsize = AtomicUsize::new(0);

/// An open wall, counted as long as it is kept.
struct Open;

impl Open {
    fn new() -> Option<Self> {
        let more = |open| (open < MOST_WALLS).then_some(open + 1);
        let counted = OPEN.fetch_update(Ordering::Relaxed, Ordering::Relaxed, more);
        counted.is_ok().then_some(Self)
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        OPEN.fetch_sub(1, Ordering::Relaxed);
    }
}

pub(super) async fn events(State(served): State<Arc<Served>>, _: Teacher) -> Response {
    let Some(open) = Open::new() else {
        return problem(
            StatusCode::TOO_MANY_REQUESTS,
            "The wall is open in too many windows; close some.",
        );
    };
    // What changes while the whole is being written comes after it.
    let changes = BroadcastStream::new(served.class.changes());
    let first = tokio_stream::once(Ok::<_, Infallible>(whole(&served)));
    let rest = changes.map(move |change| {
        let _counted = &open;
        Ok(match change {
            Ok(words) => Event::default().event("change").data(&*words),
            // A page that was too slow to take all changes is shown the whole again.
            Err(_) => whole(&served),
        })
    });
    let alive = KeepAlive::new().interval(ALIVE);
    Sse::new(first.chain(rest))
        .keep_alive(alive)
        .into_response()
}

/// The whole class.
fn whole(served: &Served) -> Event {
    let wall = served.class.wall(served.desks.as_deref());
    let event = Event::default().event("wall");
    event.json_data(wall).unwrap_or_default()
}
