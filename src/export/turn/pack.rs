//! Heights and the way to the outline as few bytes.

use crate::sheet::Turned;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use std::io::Write;

/// Heights are told apart by so much, mm, unless the board is too thick for that.
const UNIT: f64 = 0.002;

/// Ways to the outline are told up to so many cells on both sides.
const CELLS: f64 = 2.0;

/// Bytes and what they count in.
pub(super) struct Packed {
    /// In the zlib format (RFC 1950).
    pub(super) bytes: Vec<u8>,
    /// One step of depth, mm.
    pub(super) unit: f64,
    /// One step of the way to the outline, mm.
    pub(super) edge: f64,
}

/// Three planes one after the other: the high bytes of the depths, the low ones, and how far
/// inside the outline a cell lies, 128 on it. Of each depth what is left after a guess from
/// its neighbours is told, of each way its difference to the one before.
pub(super) fn heights(turned: &Turned) -> Packed {
    let unit = UNIT.max(turned.thickness / f64::from(u16::MAX));
    let edge = CELLS * turned.grid.step / 127.0;
    let depths: Vec<u16> = turned
        .heights
        .iter()
        .map(|z| if z.is_nan() { 0 } else { whole(-f64::from(*z) / unit) })
        .collect();
    let columns = turned.grid.size[0];
    let left: Vec<u16> = (0..depths.len())
        .map(|at| depths[at].wrapping_sub(guess(&depths, at, columns)))
        .collect();
    let mut planes: Vec<u8> = Vec::with_capacity(3 * left.len());
    planes.extend(left.iter().map(|rest| rest.to_be_bytes()[0]));
    planes.extend(left.iter().map(|rest| rest.to_be_bytes()[1]));
    let mut before = 0_u8;
    planes.extend(turned.inside.iter().zip(&turned.heights).map(|(inside, z)| {
        let way = (f64::from(*inside) / edge).round();
        // A cell without a height is outside, however near.
        let way =
            if z.is_nan() { way.clamp(-127.0, -1.0) } else { way.clamp(0.0, 127.0) };
        let way = (way + 128.0) as u8;
        let step = way.wrapping_sub(before);
        before = way;
        step
    }));
    Packed { bytes: deflated(&planes), unit, edge }
}

fn whole(value: f64) -> u16 {
    value.round().clamp(0.0, f64::from(u16::MAX)) as u16
}

/// What a value is guessed to be from those to the left, above, and above to the left
/// (M. Weinberger, G. Seroussi, G. Sapiro, "LOCO-I", 1996; from memory).
fn guess(values: &[u16], at: usize, columns: usize) -> u16 {
    let get = |back: usize| at.checked_sub(back).map_or(0, |place| values[place]);
    let (left, above, corner) = (get(1), get(columns), get(columns + 1));
    let (low, high) = (left.min(above), left.max(above));
    if corner >= high {
        low
    } else if corner <= low {
        high
    } else {
        // Between the two, so nothing is lost where it is taken off.
        low + (high - corner)
    }
}

fn deflated(bytes: &[u8]) -> Vec<u8> {
    let mut out = ZlibEncoder::new(Vec::new(), Compression::new(6));
    // Writing to a Vec cannot fail.
    let _ = out.write_all(bytes);
    out.finish().unwrap_or_default()
}
