//! The command line: parse, call the library, print, return.

mod approve;
mod args;
mod book;
mod check;
mod events;
mod info;
mod inputs;
mod mend;
mod merge;
mod orders;
mod output;
mod plan;
mod proof;
mod shapes;
mod shop;
mod swap;
mod table;
mod workspace;

use args::{Args, Command};
use clap::Parser;
use output::{Output, complain};
use std::process::ExitCode;

/// How a run ended; the worst of a batch wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    /// Nothing stands in the way.
    AllWell,
    /// Some dish cannot be made as drawn.
    SomeStopped,
    /// An input could not be read.
    BadInput,
    /// Something broke.
    Broken,
}

impl Outcome {
    fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::AllWell => 0,
            Self::SomeStopped => 1,
            Self::BadInput => 2,
            Self::Broken => 3,
        })
    }
}

fn main() -> ExitCode {
    // A panic in one dish becomes a finding of that dish; nothing else is printed for it.
    std::panic::set_hook(Box::new(|_| ()));
    let args = Args::parse();
    let out = Output::new(args.json, args.quiet);
    let ended = std::panic::catch_unwind(|| run(&args, out));
    match ended {
        Ok(Ok(outcome)) => outcome.code(),
        // Whoever read our output has seen enough.
        Ok(Err(error)) if error.kind() == std::io::ErrorKind::BrokenPipe => {
            Outcome::AllWell.code()
        }
        Ok(Err(error)) => {
            complain(&format!("the output could not be written: {error}"));
            Outcome::Broken.code()
        }
        Err(_) => {
            complain("something that should not happen did; please report it");
            Outcome::Broken.code()
        }
    }
}

fn run(args: &Args, out: Output) -> std::io::Result<Outcome> {
    match &args.command {
        Command::Proof(args) => proof::run(args, out),
        Command::Approve(args) => approve::run(args, out),
        Command::Merge(args) => merge::run(args, out),
        Command::Book(args) => book::run(args, out),
        Command::Orders(args) => orders::run(args, out),
        Command::Check(args) => check::run(args, out),
        Command::Swap(args) => swap::run(args, out),
        Command::Mend(args) => mend::run(args, out),
        Command::Shop(args) => shop::run(args, out),
        Command::Shapes(args) => shapes::run(args, out),
        Command::New { dir } => workspace::run(dir, out),
        Command::Schema { kind } => info::schema(*kind),
        Command::Explain { code } => info::explain(code.as_deref(), out),
        Command::Completions { shell } => info::completions(*shell),
        Command::Man => info::man(),
    }
}
