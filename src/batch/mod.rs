//! Order list to outcomes: the only room with disk and threads.

mod approval;
mod book;
mod digest;
mod disk;
mod earlier;
mod event;
mod examine;
mod files;
mod forms;
mod given;
mod job;
mod key;
mod known;
mod library;
mod lists;
mod mark;
mod merge;
mod outcome;
mod part;
mod planned;
mod record;
mod row;
mod run;
mod seals;
mod season;
mod shapes;
mod share;
mod shelf;
mod stamp;
mod survey;
mod tally;
mod task;
mod text;
mod watch;
mod work;

pub use approval::{APPROVALS, Recorded, Word, approvals_in, held, recorded};
pub use book::{Bound, Inside, book, book_json};
pub use digest::{Digest, NoDigest};
pub use disk::{Folder, WrittenFile};
pub use event::{
    EVENTS_SCHEMA, Ending, Event, Listener, Stage, Subject, Timings, event_json,
    finished_json, page_json, refused_json, started_json,
};
pub use examine::{Compared, Examined, compare, examine, mended, specimen};
pub use files::{Asked, Used};
pub use forms::{check_json, mend_json, shop_json, swap_json};
pub use given::read;
pub use job::{Batch, Before, Job};
pub use library::{Library, Loaded, Recipes};
pub use lists::{ListKind, order_list};
pub use mark::marked;
pub use merge::{Merged, merge, merge_json};
pub use outcome::{Outcome, Status, SwapCard};
pub use part::Part;
pub use run::{side_by_side, swap_files};
pub use season::proof;
pub use shapes::{SHAPES_SCHEMA, shape_json, shapes_json};
pub use shelf::{Shelf, Shelved, ShelvedCard, ShelvedFile, ShelvedOrder, Watching};
pub use survey::{MOST_OF_IT, Surveyed, gallery, shape_files, survey};
pub use tally::{CutterNeed, Tally, WoodNeed, tally, tally_json};
pub use watch::{watch, watch_list};
