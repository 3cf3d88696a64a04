//! Order list to outcomes: the only room with disk and threads.

mod disk;
mod examine;
mod files;
mod forms;
mod job;
mod key;
mod known;
mod library;
mod lists;
mod outcome;
mod planned;
mod record;
mod row;
mod run;
mod season;
mod shapes;
mod survey;
mod tally;
mod watch;

pub use disk::{Folder, WrittenFile, read};
pub use examine::{Compared, Examined, compare, examine, mended, specimen};
pub use files::{Asked, Used};
pub use forms::{check_json, event_json, mend_json, shop_json, swap_json};
pub use job::{Batch, Before, Event, Job, Listener, Subject};
pub use library::{Library, Loaded};
pub use lists::{ListKind, order_list};
pub use outcome::{Outcome, Status, SwapCard};
pub use run::{side_by_side, swap_files};
pub use season::proof;
pub use shapes::{SHAPES_SCHEMA, shape_json, shapes_json};
pub use survey::{MOST_OF_IT, Surveyed, gallery, shape_files, survey};
pub use tally::{CutterNeed, Tally, WoodNeed, tally, tally_json};
pub use watch::{watch, watch_list};
