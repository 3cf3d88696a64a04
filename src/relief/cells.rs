//! Numbers over all cells of a picture, in room that goes from one picture to the next.

use std::cell::RefCell;
use std::ops::{Deref, DerefMut};

/// So many a thread keeps: what one picture needs at once.
const MOST: usize = 5;

/// Larger ones are not kept, numbers.
const LARGEST: usize = 4 << 20;

/// Numbers, row by row. To ask the system for so much memory takes longer than to fill it:
/// what is let go is kept for the next picture of the same thread.
#[derive(Debug)]
pub(super) struct Cells(Vec<f32>);

thread_local! {
    static KEPT: RefCell<Vec<Vec<f32>>> = const { RefCell::new(Vec::new()) };
}

impl Cells {
    /// So many times the same number.
    pub(super) fn of(number: f32, count: usize) -> Self {
        let kept = KEPT.try_with(|kept| {
            let mut kept = kept.borrow_mut();
            // The smallest that has room, or else the largest, which is to grow.
            let fits = |room: &Vec<f32>| room.capacity() >= count;
            let place = kept.iter().position(fits).or(kept.len().checked_sub(1))?;
            Some(kept.remove(place))
        });
        let mut numbers = kept.ok().flatten().unwrap_or_default();
        if numbers.capacity() < count {
            // Nothing in it is worth moving.
            numbers = Vec::with_capacity(count);
        }
        numbers.clear();
        numbers.resize(count, number);
        Self(numbers)
    }
}

impl Drop for Cells {
    fn drop(&mut self) {
        let own = std::mem::take(&mut self.0);
        if own.capacity() == 0 || own.capacity() > LARGEST {
            return;
        }
        // A thread that ends keeps nothing.
        let _ended = KEPT.try_with(|kept| {
            let mut kept = kept.borrow_mut();
            let place = kept.partition_point(|room| room.capacity() < own.capacity());
            kept.insert(place, own);
            if kept.len() > MOST {
                kept.remove(0);
            }
        });
    }
}

impl Clone for Cells {
    fn clone(&self) -> Self {
        let mut own = Self::of(0.0, self.len());
        own.copy_from_slice(self);
        own
    }
}

impl Deref for Cells {
    type Target = [f32];

    fn deref(&self) -> &[f32] {
        &self.0
    }
}

impl DerefMut for Cells {
    fn deref_mut(&mut self) -> &mut [f32] {
        &mut self.0
    }
}
