//! The local page: what lies in an output folder, shown to a browser on this machine while
//! runs go on.
//!
//! Only GET and HEAD, only from this machine and for this address, only files that the
//! manifest names and whose bytes are as it says.

mod board;
mod guard;
mod routes;
mod serve;
mod shown;

use crate::batch::{Event, Job, Shelf, Subject, Watching};
use crate::finding::{Code, Finding};
use board::Board;
use routes::Desk;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::path::Path;
use std::sync::Arc;

/// The page, open as long as the program runs.
#[derive(Debug)]
pub struct Page {
    port: u16,
    desk: Arc<Desk>,
    _watching: Watching,
}

impl Page {
    /// Opens the page of an output folder on a port of 127.0.0.1 (0: any that is free). Before
    /// it returns, browsers are answered.
    pub fn open(folder: &Path, port: u16) -> Result<Self, Box<Finding>> {
        let shelf = Shelf::at(folder)?;
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
            .map_err(|error| Box::new(refused(port, &error)))?;
        let desk = Arc::new(Desk { shelf, board: Board::default() });
        let told = Arc::clone(&desk);
        let watching = desk.shelf.watch(move || told.board.stir())?;
        let port = serve::start(listener, &desk)
            .map_err(|error| Box::new(refused(port, &error)))?;
        Ok(Self { port, desk, _watching: watching })
    }

    /// Its address.
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }

    /// A run begins.
    pub fn started(&self, job: &Job<'_>) {
        self.desk.board.started(&job.share());
    }

    /// Something happened in it.
    pub fn note(&self, subject: Subject<'_>, event: Event<'_>) {
        if let (Subject::Order(_), Event::Kept(_) | Event::Ended(_)) = (subject, event) {
            self.desk.board.one_more();
        }
    }

    /// It came to its end.
    pub fn finished(&self) {
        self.desk.board.finished();
    }

    /// It could not be carried out, or not to its end.
    pub fn refused(&self, why: &[Finding]) {
        self.desk.board.refused(why);
    }
}

fn refused(port: u16, error: &io::Error) -> Finding {
    let known = [
        (
            io::ErrorKind::AddrInUse,
            "it is taken by another program",
            "end the other one, name another port (`--page=8080`), or let the system choose \
             one that is free (`--page=0`)",
        ),
        (
            io::ErrorKind::PermissionDenied,
            "you may not use it",
            "name a port from 1024 on, e.g. `--page=8080`",
        ),
    ];
    let known = known.iter().find(|(kind, ..)| *kind == error.kind());
    let (why, help) = known.map_or(
        (
            "the system refused",
            "name another port, e.g. `--page=8080`, or leave `--page` out",
        ),
        |(_, why, help)| (*why, *help),
    );
    let what = format!("the page cannot be opened on port {port} of 127.0.0.1: {why}");
    Finding::stop(Code::NoPage, what)
        .expected("a port of this machine that is free")
        .help(help)
}
