//! The thread that answers. It ends with the program, and none of its work holds up a run.

use super::routes::{Desk, router};
use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::io;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::runtime::Builder;
use tokio::sync::Semaphore;
use tokio::time::{sleep, timeout};

/// Connections at once; more wait their turn.
const MOST: usize = 64;
/// In this time a request must have come whole.
const PATIENCE: Duration = Duration::from_secs(10);
/// No connection lasts longer; browsers open the next by themselves.
const LONGEST: Duration = Duration::from_mins(10);
/// Bytes kept of a request or an answer under way.
const BUFFER: usize = 16 * 1024;
/// Threads that read files.
const READERS: usize = 2;

/// Answers on a listener from now on; the port it has.
pub(super) fn start(listener: TcpListener, desk: &Arc<Desk>) -> io::Result<u16> {
    listener.set_nonblocking(true)?;
    let port = listener.local_addr()?.port();
    let runtime = Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .max_blocking_threads(READERS)
        .build()?;
    let router = router(Arc::clone(desk), port);
    let work = move || runtime.block_on(answered(listener, router));
    std::thread::Builder::new().name("page".to_owned()).spawn(work)?;
    Ok(port)
}

async fn answered(listener: TcpListener, router: Router) {
    let Ok(listener) = tokio::net::TcpListener::from_std(listener) else { return };
    let places = Arc::new(Semaphore::new(MOST));
    while let Ok(place) = Arc::clone(&places).acquire_owned().await {
        let Ok((stream, _)) = listener.accept().await else {
            // Too many files open, or a caller that hung up: both pass.
            sleep(Duration::from_millis(50)).await;
            continue;
        };
        let router = router.clone();
        tokio::spawn(async move {
            // Whatever became of it, the place is free again.
            let _ = timeout(LONGEST, talk(stream, router)).await;
            drop(place);
        });
    }
}

async fn talk(stream: TcpStream, router: Router) {
    let talk = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(PATIENCE)
        .max_buf_size(BUFFER)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    // Callers that break off have no one to be told.
    let _ = talk.await;
}
