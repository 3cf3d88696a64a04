//! Which cutter can follow which boundary, and what it must leave.
//!
//! The reach of a boundary point is the radius of the largest disc that touches there and
//! crosses the boundary nowhere else; the reach of an outline is its smallest (H. Federer,
//! "Curvature measures", 1959). A round cutter of radius c follows the whole outline exactly
//! when c is at most the reach.

mod apart;
mod audit;
mod ball;
mod block;
mod cycles;
mod discs;
mod facing;
mod kept;
mod leftover;
mod morph;
mod neck;
mod path;
mod profile;
mod runs;
mod slow;
mod soften;
mod trace;
mod tree;
mod walk;
mod wall;

pub use apart::apart;
pub use discs::Disc;
pub use leftover::{Leftover, Niche};
pub use morph::{
    Route, Worked, Working, closing, grow, opening, shrink, work, work_slowly,
};
pub use neck::thinnest;
pub use profile::{Low, Profile};
pub use soften::{Softened, soften, soften_recess};
pub use trace::Trace;
pub use wall::wall;
