//! No cutter of the demo's plans cuts where wood is to be kept: its own profile at every place
//! of its moves against the curves as drawn.

use crate::routes::{Grid, along, each, edge};
use treen::curve::{Curve, Point};
use treen::model::{Cutter, CutterKind, NameStyle};
use treen::plan::{Operation, Pace, Route, Work};

/// Farther into the wood than this counts, mm.
const SLACK: f64 = 0.003;

/// Places of a route in the wood, with how deep the tip is, mm.
fn places(route: &Route, step: f64) -> impl Iterator<Item = (Point, f64)> + '_ {
    let cutting = route.passages().filter(|p| p.step.pace != Pace::Traverse);
    cutting.flat_map(move |p| along(&p, step)).map(|place| (place.plan(), -place.z))
}

#[test]
fn letters_are_cut_no_wider_than_drawn() {
    let seen = std::cell::Cell::new(0);
    each(|examined, operation, route, cutter| {
        if operation.work != Work::Name {
            return;
        }
        let (dish, ..) = examined.dish.as_ref().expect("drawn");
        let name = dish.name.as_ref().expect("a name");
        let top = dish.surface_depth(name.on);
        let grid = Grid::of(&edge(&name.region, 0.02), 4.0);
        let mut worst = 0.0_f64;
        for (place, depth) in places(route, 0.05) {
            let own = depth - top;
            if own <= 1e-6 {
                continue;
            }
            let width = cutter.radius_at(own);
            let room =
                if name.region.contains(place) { grid.nearest(place) } else { 0.0 };
            worst = worst.max(width - room);
        }
        seen.set(seen.get() + 1);
        println!("{}: {worst:.5} mm too wide", examined.id);
        let tip = if name.style == NameStyle::Vee { 0.0 } else { SLACK };
        assert!(worst <= SLACK.max(tip), "{}: {worst} mm too wide", examined.id);
    });
    assert!(seen.get() >= 10, "{} names", seen.get());
}

#[test]
fn grooves_are_followed_along_their_middle() {
    let seen = std::cell::Cell::new(0);
    each(|examined, operation, route, _| {
        if operation.work != Work::Details {
            return;
        }
        let (dish, ..) = examined.dish.as_ref().expect("drawn");
        let mut middle = Vec::new();
        for index in &operation.grooves {
            for segment in dish.grooves[*index].line.segments() {
                let curve = Curve::from_segment(segment);
                let count = (curve.length() / 0.02).ceil().max(1.0) as usize;
                middle.extend((0..=count).map(|i| curve.eval(i as f64 / count as f64)));
            }
        }
        let grid = Grid::of(&middle, 2.0);
        let mut worst = 0.0_f64;
        for (place, depth) in places(route, 0.1) {
            worst = worst.max(grid.nearest(place));
            assert!(depth <= operation.depth + 1e-6, "{}: too deep", examined.id);
        }
        seen.set(seen.get() + 1);
        // Half the spacing of the points may be added to the true distance.
        assert!(worst <= 0.012, "{}: {worst} mm beside its line", examined.id);
    });
    assert!(seen.get() >= 3, "{} sets of grooves", seen.get());
}

/// Above its tip the bit is hollow with its own radius: at the height it works at it must take
/// a quarter circle off the edge and no more.
#[test]
fn edges_are_rounded_and_not_cut_away() {
    let seen = std::cell::Cell::new(0);
    each(|examined, operation, route, cutter| {
        let (dish, ..) = examined.dish.as_ref().expect("drawn");
        let regions = match operation.work {
            Work::OuterEdge => vec![dish.outline.clone()],
            Work::RecessEdge => dish.recesses.iter().map(|r| r.region.clone()).collect(),
            Work::Recess
            | Work::RecessCorners
            | Work::Details
            | Work::Name
            | Work::NameCorners
            | Work::CutOut => return,
        };
        assert_eq!(cutter.kind(), CutterKind::RoundOverBit, "{}", examined.id);
        let points: Vec<Point> = regions.iter().flat_map(|r| edge(r, 0.05)).collect();
        let grid = Grid::of(&points, 12.0);
        let round = operation.depth;
        let mut worst = f64::NEG_INFINITY;
        for (place, depth) in places(route, 0.3) {
            let within = regions.iter().any(|region| region.contains(place));
            let kept = within == (operation.work == Work::OuterEdge);
            assert!(!kept, "{}: {place} is in wood to be kept", examined.id);
            let room = grid.nearest(place);
            for step in 0..=20 {
                let height = depth * f64::from(step) / 20.0;
                let below = depth - height;
                let arc = (round - below).clamp(0.0, round);
                let taken = round - (round * round - arc * arc).sqrt();
                worst = worst.max(cutter.radius_at(height) - room - taken);
            }
        }
        seen.set(seen.get() + 1);
        assert!(worst <= SLACK, "{}: {worst} mm too much", examined.id);
        assert!(worst >= -SLACK, "{}: {worst}, the edge is left square", examined.id);
    });
    assert!(seen.get() >= 3, "{} edges", seen.get());
}

/// Wide flat cutters go down along their way: wherever one goes straight down, the wood there
/// is gone already.
#[test]
fn cutters_that_do_not_plunge_never_go_straight_down_into_wood() {
    each(|examined, operation, route, cutter| {
        let plunges = matches!(
            cutter.kind(),
            CutterKind::VBit | CutterKind::BallNose | CutterKind::RoundOverBit
        );
        if plunges {
            return;
        }
        check_descents(&examined.id, operation, route, cutter);
    });
}

fn check_descents(id: &str, operation: &Operation, route: &Route, cutter: &Cutter) {
    let flat = cutter.radius() - cutter.corner_radius();
    // What the first cutter of the recess did not reach begins at the top as well.
    let mut cut: Vec<(Point, f64)> = Vec::new();
    for passage in route.passages() {
        let (from, to) = (passage.from, passage.step.to);
        let steep = (from.z - to.z) > 0.2 * from.plan().distance(to.plan()).max(1e-9)
            && from.z - to.z > 1e-6;
        if steep && passage.step.pace != Pace::Traverse && to.z < -1e-9 {
            let gone = cut
                .iter()
                .any(|(p, z)| *z <= to.z + 1e-6 && p.distance(to.plan()) <= flat + 1e-6);
            assert!(gone, "{} of {id}: {from:?} to {to:?}", operation.work.word());
        }
        if passage.step.pace != Pace::Traverse {
            let deep = from.z.max(to.z);
            cut.extend(along(&passage, 2.0).iter().map(|place| (place.plan(), deep)));
        }
    }
}
