//! Answers that are kept: asked again they are not made again, and only so many are held.

use std::cell::Cell;
use treen::kept::Kept;

#[test]
fn what_is_asked_for_stays_and_the_rest_goes() {
    let kept = Kept::new(10);
    let made = Cell::new(0);
    let ask = |question: u32| {
        let make = || {
            made.set(made.get() + 1);
            question * 2
        };
        assert_eq!(kept.get(question, make, |_, _| 1), question * 2, "{question}");
    };
    (0..10).for_each(ask);
    assert_eq!(made.get(), 10, "each is made once");
    (0..10).for_each(ask);
    assert_eq!(made.get(), 10, "and then kept");
    for other in 10..1000 {
        ask(other);
        ask(7);
    }
    assert_eq!(made.get(), 1000, "what is asked for again and again is never let go");
    (0..10).filter(|question| *question != 7).for_each(ask);
    assert_eq!(made.get(), 1009, "what was not asked for is");
}

#[test]
fn what_is_too_heavy_is_not_kept() {
    let kept = Kept::new(10);
    assert_eq!(kept.get(1, || 'a', |_, _| 11), 'a', "made");
    assert_eq!(kept.get(1, || 'b', |_, _| 11), 'b', "made anew");
}
