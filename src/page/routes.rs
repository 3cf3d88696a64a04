//! What is asked for by which name.

use super::board::Board;
use super::guard::guard;
use super::shown::shown;
use crate::batch::Shelf;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, IF_NONE_MATCH,
};
use axum::http::{HeaderMap, StatusCode};
use axum::middleware::from_fn_with_state;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use futures_util::stream::{Stream, unfold};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::watch::Receiver;
use tokio::task::spawn_blocking;
use tokio::time::sleep;

const HTML: &str = include_str!("web/page.html");
const STYLE: &str = include_str!("web/page.css");
const SCRIPT: &str = include_str!("web/page.js");
const ICON: &str = include_str!("web/icon.svg");

/// No news is told sooner than this after the last.
const PAUSE: Duration = Duration::from_millis(100);
/// A browser that is gone without a word is found out after this.
const ALIVE: Duration = Duration::from_secs(15);

/// What all answers are made from.
#[derive(Debug)]
pub(super) struct Desk {
    pub(super) shelf: Shelf,
    pub(super) board: Board,
}

/// Every name there is; all else is not found.
pub(super) fn router(desk: Arc<Desk>, port: u16) -> Router {
    Router::new()
        .route("/", get(|| async { text("text/html; charset=utf-8", HTML) }))
        .route("/page.css", get(|| async { text("text/css; charset=utf-8", STYLE) }))
        .route(
            "/page.js",
            get(|| async { text("text/javascript; charset=utf-8", SCRIPT) }),
        )
        .route("/icon.svg", get(|| async { text("image/svg+xml", ICON) }))
        .route("/orders.json", get(orders))
        .route("/news", get(news))
        .route("/files/{name}", get(file))
        .fallback(|| async { missing() })
        .with_state(desk)
        .layer(from_fn_with_state(port, guard))
}

fn text(kind: &'static str, text: &'static str) -> Response {
    ([(CONTENT_TYPE, kind)], text).into_response()
}

fn missing() -> Response {
    (StatusCode::NOT_FOUND, "there is nothing of this name\n").into_response()
}

/// Work that reads the disk, apart from those who wait for other answers.
async fn apart(work: impl FnOnce() -> Response + Send + 'static) -> Response {
    let failed = |_| StatusCode::INTERNAL_SERVER_ERROR.into_response();
    spawn_blocking(work).await.unwrap_or_else(failed)
}

async fn orders(State(desk): State<Arc<Desk>>) -> Response {
    let json = "application/json; charset=utf-8";
    apart(move || ([(CONTENT_TYPE, json)], shown(&desk)).into_response()).await
}

/// Tells at once and then whenever something is new; browsers ask for it all by themselves.
async fn news(
    State(desk): State<Arc<Desk>>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let mut bell = desk.board.listen();
    bell.mark_changed();
    let news = unfold(bell, |mut bell: Receiver<u64>| async move {
        bell.changed().await.ok()?;
        let count = bell.borrow_and_update().to_string();
        sleep(PAUSE).await;
        let event = Event::default().data(count).retry(Duration::from_secs(1));
        Some((Ok(event), bell))
    });
    Sse::new(news).keep_alive(KeepAlive::new().interval(ALIVE))
}

async fn file(
    State(desk): State<Arc<Desk>>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Response {
    apart(move || served(&desk, &name, &headers)).await
}

/// A file that the manifest names. Its digest is its tag.
fn served(desk: &Desk, name: &str, headers: &HeaderMap) -> Response {
    let Some((kind, policy)) = kind(name) else { return missing() };
    let Some((file, bytes)) = desk.shelf.file(name) else { return missing() };
    let tag = format!("\"{}\"", file.sha256);
    let known =
        headers.get(IF_NONE_MATCH).is_some_and(|it| it.as_bytes() == tag.as_bytes());
    let head = [
        (CONTENT_TYPE, kind.to_owned()),
        (CONTENT_SECURITY_POLICY, policy.to_owned()),
        (CACHE_CONTROL, "no-cache".to_owned()),
        (ETAG, tag),
    ];
    if known {
        return (StatusCode::NOT_MODIFIED, head).into_response();
    }
    (head, bytes).into_response()
}

/// What a file is, by its ending, and what it may do in a browser. The page that turns a dish
/// has a script of its own, which its own policy names by digest; both must allow it. A
/// browser's viewer of PDF does not work where it is boxed in.
fn kind(name: &str) -> Option<(&'static str, &'static str)> {
    let (_, ending) = name.rsplit_once('.')?;
    Some(match ending {
        "png" => ("image/png", "sandbox; default-src 'none'; frame-ancestors 'none'"),
        "svg" => (
            "image/svg+xml",
            "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
             font-src data:; frame-ancestors 'none'",
        ),
        "pdf" => ("application/pdf", "frame-ancestors 'none'"),
        "html" => (
            "text/html; charset=utf-8",
            "sandbox allow-scripts; default-src 'none'; script-src 'unsafe-inline'; \
             style-src 'unsafe-inline'; img-src data:; base-uri 'none'; \
             form-action 'none'; frame-ancestors 'none'",
        ),
        _ => return None,
    })
}
