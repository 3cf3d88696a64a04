//! Order list to outcomes: the only room with disk and threads.

mod disk;
mod examine;
mod files;
mod forms;
mod library;
mod outcome;
mod planned;
mod run;
mod shapes;
mod survey;
mod watch;

pub use disk::{Folder, WrittenFile, read};
pub use examine::{Compared, Examined, compare, examine, mended, specimen};
pub use forms::{check_json, manifest, mend_json, shop_json, swap_json};
pub use library::{Library, Loaded};
pub use outcome::{Outcome, Status, SwapCard};
pub use run::{Batch, Job, proof, side_by_side, swap_files};
pub use shapes::{SHAPES_SCHEMA, shape_json, shapes_json};
pub use survey::{MOST_OF_IT, Surveyed, gallery, shape_files, survey};
pub use watch::watch;
