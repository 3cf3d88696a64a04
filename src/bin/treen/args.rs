//! What can be typed.

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use std::path::PathBuf;
use treen::batch::Part;

/// From a list of names to wooden dishes that are known to be cuttable.
#[derive(Debug, Parser)]
#[command(name = "treen", version, about, arg_required_else_help = true)]
pub(crate) struct Args {
    /// Print JSON for other programs instead of text
    #[arg(long, global = true)]
    pub(crate) json: bool,

    /// Print only what must be looked at
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,

    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make a proof sheet and a bench sheet for every order
    Proof(ProofArgs),
    /// Bind the proofs and bench sheets of an order list in one PDF with bookmarks
    Book(BookArgs),
    /// Write down that a customer approved the proof of an order, or asked for a change
    Approve(ApproveArgs),
    /// Join the parts of a list that several machines made with `proof --part`
    Merge(MergeArgs),
    /// Sum up an order list before anything is drawn: dishes, wood, cutters, minutes
    Orders(OrdersArgs),
    /// Say what stands in the way of every dish, and how to mend it
    Check(CheckArgs),
    /// Lay one dish against every cutter of the rack
    Swap(SwapArgs),
    /// Find what would make one cutter follow a dish
    Mend(MendArgs),
    /// Say what each cutter on the rack may do, and how deep in each wood
    Shop(ShopArgs),
    /// List the shapes with the cutters that suit them, or show one
    Shapes(ShapesArgs),
    /// Write a starting workspace: orders, shop, shapes and schemas
    New {
        /// The folder to make; it must be empty or not there yet
        dir: PathBuf,
    },
    /// Print the JSON Schema of a kind of file
    Schema {
        /// The kind of file
        kind: Kind,
    },
    /// Explain a finding by its code, or list all codes
    Explain {
        /// The code, e.g. outline-too-tight
        code: Option<String>,
    },
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Print the manual page
    Man,
}

/// The files people write.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Kind {
    /// One themed dish
    Recipe,
    /// Cutters, machine, woods and house rules
    Shop,
    /// The names to make
    Orders,
    /// What `treen shapes --json` prints
    Shapes,
    /// A line of what `treen proof --json` prints
    Events,
    /// What customers said of their proofs, `approvals.yaml`
    Approvals,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct ProofArgs {
    /// The order list, YAML, CSV, XLSX or ODS; the built-in demo if left out
    pub(crate) orders: Option<PathBuf>,

    /// The shop file; `shop.yaml` beside the orders if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,

    /// The folder to write to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,

    /// How many orders are made at once; as many as the machine has cores if left out
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true,
          value_parser = clap::value_parser!(u16).range(0..=256))]
    pub(crate) threads: u16,

    /// The cutter that must do a work, e.g. `cut_out=end-3`
    #[arg(long = "use", value_name = "WORK=ID")]
    pub(crate) pins: Vec<String>,

    /// Resolution of the pictures, dots per inch; if left out, 150 for PNG files and 200 for the
    /// painted dish in SVG and PDF
    #[arg(long, value_parser = clap::value_parser!(u32).range(20..=1200))]
    pub(crate) dpi: Option<u32>,

    /// Make every sheet again, also those that are there and would be the same
    #[arg(long)]
    pub(crate) fresh: bool,

    /// Remove sheets that earlier runs wrote for orders that are not in the list any more
    #[arg(long)]
    pub(crate) tidy: bool,

    /// Make again what a saved list, shop, recipe, drawing or mark changes, until Ctrl-C
    #[arg(long, requires = "orders", conflicts_with = "fresh")]
    pub(crate) watch: bool,

    /// Show proofs, findings and progress on a page for browsers on this machine alone, until
    /// Ctrl-C; on port 9663 of 127.0.0.1 if none is named, on any that is free for 0
    #[arg(long, value_name = "PORT", num_args = 0..=1, require_equals = true,
          default_missing_value = "9663")]
    pub(crate) page: Option<u16>,

    /// Make only the Kth of N shares of the list, into a folder of its own in the folder to
    /// write to; `treen merge` joins them
    #[arg(long, value_name = "K/N")]
    pub(crate) part: Option<Part>,

    /// Write what `--json` prints, a line whenever work begins or ends, to the end of this file
    #[arg(long, value_name = "FILE")]
    pub(crate) log: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct ApproveArgs {
    /// The ids of the orders
    #[arg(required = true, value_name = "ID")]
    pub(crate) ids: Vec<String>,

    /// The order list: `approvals.yaml` lies beside it; in this folder if left out
    #[arg(long, value_name = "FILE")]
    pub(crate) orders: Option<PathBuf>,

    /// The folder of the proofs
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,

    /// The customer asked for a change
    #[arg(long)]
    pub(crate) change: bool,

    /// The version printed on the proof the customer looked at; the latest if left out
    #[arg(long, value_name = "VERSION")]
    pub(crate) proof: Option<String>,

    /// The day; today if left out
    #[arg(long)]
    pub(crate) date: Option<String>,

    /// A remark, e.g. what is to be changed
    #[arg(long, value_name = "TEXT")]
    pub(crate) note: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct MergeArgs {
    /// The folders the parts were written to; the one after `--out` if left out
    pub(crate) folders: Vec<PathBuf>,

    /// The folder to join them in
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct BookArgs {
    /// The order list, YAML, CSV, XLSX or ODS; the built-in demo if left out
    pub(crate) orders: Option<PathBuf>,

    /// The shop file; `shop.yaml` beside the orders if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,

    /// The folder to write `book.pdf` to
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(crate) out: PathBuf,

    /// Bind one kind of page alone
    #[arg(long, value_name = "KIND")]
    pub(crate) only: Option<Pages>,

    /// The cutter that must do a work, e.g. `cut_out=end-3`
    #[arg(long = "use", value_name = "WORK=ID")]
    pub(crate) pins: Vec<String>,

    /// How many orders are drawn at once; as many as the machine has cores if left out
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true,
          value_parser = clap::value_parser!(u16).range(0..=256))]
    pub(crate) threads: u16,
}

/// Kinds of pages.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Pages {
    /// What customers see
    Proof,
    /// What the maker works from
    Bench,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct OrdersArgs {
    /// The order list, YAML, CSV, XLSX or ODS; the built-in demo if left out
    pub(crate) orders: Option<PathBuf>,

    /// The shop file; `shop.yaml` beside the orders if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CheckArgs {
    /// An order list, a recipe file or a built-in shape; the built-in demo if left out
    pub(crate) input: Option<PathBuf>,

    /// The shop file; `shop.yaml` beside the input if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,

    /// A value for a parameter of the recipe
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,

    /// The cutter that must cut the dish out, short for `--use cut_out=ID`
    #[arg(long, value_name = "ID")]
    pub(crate) cutter: Option<String>,

    /// The cutter that must do a work: recess, `recess_corners`, details, name,
    /// `name_corners`, `recess_edge`, `outer_edge` or `cut_out`
    #[arg(long = "use", value_name = "WORK=ID")]
    pub(crate) pins: Vec<String>,

    /// Show what each cutter does: depth, passes, speed, feed and minutes
    #[arg(long)]
    pub(crate) plan: bool,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SwapArgs {
    /// A recipe file or a built-in shape
    pub(crate) recipe: PathBuf,

    /// The shop file; `shop.yaml` beside the recipe if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,

    /// A value for a parameter of the recipe
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,

    /// Write the swap card to this folder too
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct MendArgs {
    /// A recipe file or a built-in shape
    pub(crate) recipe: PathBuf,

    /// The cutter that is to follow, by its id
    #[arg(long, value_name = "ID")]
    pub(crate) cutter: String,

    /// The shop file; `shop.yaml` beside the recipe if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,

    /// A value for a parameter of the recipe
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,

    /// Write the softened edge to this SVG file, in true millimetres
    #[arg(long, value_name = "FILE")]
    pub(crate) write: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct ShopArgs {
    /// The shop file; `shop.yaml` in this folder if left out, else the built-in one
    pub(crate) file: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct ShapesArgs {
    /// The shape to show: a built-in one or a recipe file; all of them if left out
    pub(crate) name: Option<PathBuf>,

    /// Take the recipes of this folder instead of the built-in ones
    #[arg(long, value_name = "DIR")]
    pub(crate) from: Option<PathBuf>,

    /// The shop file; `shop.yaml` beside the recipes if left out, else the built-in one
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,

    /// A value for a parameter of the recipe
    #[arg(long, value_name = "NAME=VALUE", requires = "name")]
    pub(crate) set: Vec<String>,

    /// Draw all shapes on one large sheet
    #[arg(long, conflicts_with = "name")]
    pub(crate) gallery: bool,

    /// Draw the shape again whenever its file is saved, until Ctrl-C
    #[arg(long, requires = "name", conflicts_with = "from")]
    pub(crate) watch: bool,

    /// Write the picture to this folder; `out` for the gallery and while watching if left out
    #[arg(long, value_name = "DIR",
          default_value_ifs([("gallery", "true", "out"), ("watch", "true", "out")]))]
    pub(crate) out: Option<PathBuf>,
}
