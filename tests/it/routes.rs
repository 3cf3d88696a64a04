//! The moves of every cut of the demo's dishes, held against sweeps and integrations that know
//! nothing of how they were laid.

use crate::golden;
use std::f64::consts::PI;
use treen::batch::{Examined, examine};
use treen::curve::{Point, Region};
use treen::feasibility::Pins;
use treen::intake::{demo, orders_yaml, recipe, shop};
use treen::model::{Cutter, Machine, Recipe, Shop};
use treen::plan::{
    CORNER, Limits, Operation, Pace, Passage, Route, Work, corner_radius, corner_speed,
    joint_speeds, levels, seconds, step_speed, trapezoid,
};

fn the_shop() -> Shop {
    shop("shop.yaml", demo::SHOP).value.expect("the demo's shop")
}

fn built_in(key: &str) -> Recipe {
    let text = demo::RECIPES.iter().find(|(name, _)| *name == key).expect("built in").1;
    recipe("built-in.yaml", text, key, None).value.expect("readable")
}

/// Every order of the demo with its plan.
fn demo_dishes(shop: &Shop) -> Vec<Examined> {
    let orders =
        orders_yaml("orders.yaml", demo::ORDERS).value.expect("the demo's orders").orders;
    let dishes: Vec<Examined> = orders
        .iter()
        .map(|order| examine(&built_in(&order.recipe), order, shop, &Pins::default()))
        .collect();
    assert_eq!(dishes.len(), 12, "the demo has twelve orders");
    dishes
}

fn cutter<'s>(shop: &'s Shop, operation: &Operation) -> &'s Cutter {
    shop.cutters.iter().find(|c| c.id() == operation.cutter).expect("on the rack")
}

/// Every cut of every dish, with its moves.
pub(crate) fn each(check: impl Fn(&Examined, &Operation, &Route, &Cutter)) {
    let shop = the_shop();
    for examined in demo_dishes(&shop) {
        let (.., plan) = examined.dish.as_ref().expect("drawn");
        assert!(plan.operations.len() >= 3, "a plan of several cuts");
        for operation in &plan.operations {
            let route = operation.route.as_ref().unwrap_or_else(|| {
                panic!("{} of {}", operation.work.word(), examined.id)
            });
            check(&examined, operation, route, cutter(&shop, operation));
        }
    }
}

/// Places along a move, at most `step` mm apart.
pub(crate) fn along(passage: &Passage, step: f64) -> Vec<treen::plan::Place> {
    let count = (passage.length() / step).ceil().max(1.0) as usize;
    (0..=count).map(|i| passage.at(i as f64 / count as f64)).collect()
}

/// The edge of a region as points about `step` mm apart.
pub(crate) fn edge(region: &Region, step: f64) -> Vec<Point> {
    let pieces = region.contours().iter().flat_map(treen::curve::Contour::pieces);
    pieces
        .flat_map(|piece| {
            let count = (piece.curve.length() / step).ceil().max(1.0) as usize;
            (0..count).map(move |i| piece.curve.eval(i as f64 / count as f64))
        })
        .collect()
}

/// Buckets of points, for the nearest one within a distance.
pub(crate) struct Grid {
    cell: f64,
    cells: std::collections::BTreeMap<(i64, i64), Vec<Point>>,
}

impl Grid {
    pub(crate) fn of(points: &[Point], cell: f64) -> Self {
        let mut cells: std::collections::BTreeMap<(i64, i64), Vec<Point>> =
            std::collections::BTreeMap::new();
        for p in points {
            cells.entry(Self::key(*p, cell)).or_default().push(*p);
        }
        Self { cell, cells }
    }

    fn key(p: Point, cell: f64) -> (i64, i64) {
        ((p.x / cell).floor() as i64, (p.y / cell).floor() as i64)
    }

    /// Distance to the nearest point, mm; infinite beyond a cell.
    pub(crate) fn nearest(&self, p: Point) -> f64 {
        let (i, j) = Self::key(p, self.cell);
        let mut best = f64::INFINITY;
        for key in (i - 1..=i + 1).flat_map(|i| (j - 1..=j + 1).map(move |j| (i, j))) {
            for q in self.cells.get(&key).into_iter().flatten() {
                best = best.min(p.distance(*q));
            }
        }
        if best <= self.cell { best } else { f64::INFINITY }
    }
}

#[test]
fn routes_hang_together_and_stay_above_wood_where_they_traverse() {
    each(|examined, operation, route, _| {
        let what = format!("{} of {}", operation.work.word(), examined.id);
        assert!(route.length(Pace::Cut) > 1.0, "{what} cuts");
        assert!(
            (route.depth() - operation.depth).abs() < 1e-6
                || operation.work == Work::Name
                || operation.work == Work::Details,
            "{what}: {} mm deep, asked for {}",
            route.depth(),
            operation.depth
        );
        assert!(
            route.depth() <= operation.depth + 1e-6,
            "{what} goes {} mm deep, not {}",
            route.depth(),
            operation.depth
        );
        let last = route.moves.last().expect("moves");
        assert!(last.to.z > 0.0, "{what} ends above the board");
        for passage in route.passages() {
            let level = passage.from.z.min(passage.step.to.z);
            let flat = passage.from.plan().distance(passage.step.to.plan());
            if passage.step.pace == Pace::Traverse && flat > 1e-6 {
                assert!(level > 0.0, "{what} traverses in the wood");
            }
            if passage.step.pace == Pace::Plunge {
                assert!(flat < 1e-6, "{what} plunges straight down");
                assert!(passage.step.to.z < passage.from.z, "{what} plunges down");
            }
            let ends = passage.at(1.0).plan().distance(passage.step.to.plan());
            assert!(ends < 1e-5, "{what}: an arc misses its end by {ends}");
        }
    });
}

/// The disc of the cutter never leaves the recess and never enters the dish: its centre keeps
/// its radius from points of the true edge, 0.1 mm apart.
#[test]
fn no_cut_goes_into_wood_to_be_kept() {
    each(|examined, operation, route, cutter| {
        let (dish, ..) = examined.dish.as_ref().expect("drawn");
        let (region, radius) = match operation.work {
            Work::CutOut => (dish.outline.clone(), cutter.radius()),
            Work::Recess | Work::RecessCorners => {
                let depth = dish.recesses[0].depth;
                let mut all = Region::default();
                for recess in &dish.recesses {
                    all = all.unite(&recess.region);
                }
                (all, cutter.surface_radius(depth))
            }
            Work::Details
            | Work::Name
            | Work::NameCorners
            | Work::RecessEdge
            | Work::OuterEdge => return,
        };
        let points = edge(&region, 0.1);
        let grid = Grid::of(&points, radius.max(2.0));
        let mut least = f64::INFINITY;
        for passage in route.passages().filter(|p| p.step.pace != Pace::Traverse) {
            for place in along(&passage, 0.2) {
                let inside = region.contains(place.plan());
                let room = operation.work != Work::CutOut;
                assert_eq!(
                    inside,
                    room,
                    "{} of {}: {place:?} in {passage:?}",
                    operation.work.word(),
                    examined.id
                );
                least = least.min(grid.nearest(place.plan()));
            }
        }
        assert!(
            least >= radius - 0.003,
            "{} of {}: {least} mm from the edge, the cutter's radius is {radius}",
            operation.work.word(),
            examined.id
        );
        assert!(least <= radius + 0.01, "the edge itself is cut: {least}");
    });
}

/// Every place of the recess that the cutters can reach is swept at the full depth: a grid of
/// points 0.7 mm apart against the ways of the cutters at the bottom.
#[test]
fn the_whole_floor_is_swept() {
    let shop = the_shop();
    for examined in demo_dishes(&shop) {
        let (dish, _, plan) = examined.dish.as_ref().expect("drawn");
        for recess in &dish.recesses {
            let mut swept: Vec<(Grid, f64)> = Vec::new();
            let mut smallest = f64::INFINITY;
            for operation in &plan.operations {
                if !matches!(operation.work, Work::Recess | Work::RecessCorners) {
                    continue;
                }
                let cutter = cutter(&shop, operation);
                let radius = cutter.surface_radius(recess.depth);
                smallest = smallest.min(radius);
                let route = operation.route.as_ref().expect("moves");
                let bottom: Vec<Point> = route
                    .passages()
                    .filter(|p| {
                        p.from.z < 1e-6 - recess.depth
                            && p.step.to.z < 1e-6 - recess.depth
                    })
                    // so near together that even on a tight arc the point nearest to a
                    // place by the wall is found to less than the slack below
                    .flat_map(|p| along(&p, 0.05))
                    .map(treen::plan::Place::plan)
                    .collect();
                swept.push((Grid::of(&bottom, radius + 1.0), radius));
            }
            if swept.is_empty() {
                continue;
            }
            let reached = treen::reach::opening(
                &recess.region,
                smallest,
                treen::curve::Origin::default(),
            )
            .expect("opened");
            let bounds = reached.bounds();
            let (mut looked, mut missed) = (0_u32, 0_u32);
            let mut y = bounds.y0 + 0.35;
            while y < bounds.y1 {
                let mut x = bounds.x0 + 0.35;
                while x < bounds.x1 {
                    let p = Point::new(x, y);
                    if reached.contains(p) {
                        looked += 1;
                        let hit = swept.iter().any(|(g, r)| g.nearest(p) <= r + 0.002);
                        if !hit {
                            let far: Vec<f64> =
                                swept.iter().map(|(g, r)| g.nearest(p) - r).collect();
                            println!("{}: {p} missed by {far:?}", examined.id);
                        }
                        missed += u32::from(!hit);
                    }
                    x += 0.7;
                }
                y += 0.7;
            }
            assert!(looked > 3000, "{}: {looked} points", examined.id);
            assert_eq!(missed, 0, "{} of {looked} points of {}", missed, examined.id);
        }
    }
}

#[test]
fn tabs_hold_and_stand_where_they_may() {
    each(|examined, operation, route, cutter| {
        if operation.work != Work::CutOut {
            return;
        }
        let (dish, report, plan) = examined.dish.as_ref().expect("drawn");
        let thickness = dish.wood.thickness.get();
        assert!(plan.tabs.len() >= 3, "{}: {} tabs", examined.id, plan.tabs.len());
        for tab in &plan.tabs {
            let half = tab.length / 2.0;
            for passage in route.passages() {
                for place in along(&passage, 0.5) {
                    let near = place.plan().distance(tab.at) < half;
                    let top = tab.height - thickness;
                    assert!(
                        !near || place.z >= top - 1e-6,
                        "{}: {} mm deep through a tab",
                        examined.id,
                        -place.z
                    );
                }
            }
            if let Some(neck) = report.neck {
                assert!(neck.at.distance(tab.at) > 20.0, "{}: on the neck", examined.id);
            }
        }
        assert!(cutter.radius() > 0.0 && (route.depth() - operation.depth).abs() < 1e-9);
        for (i, a) in plan.tabs.iter().enumerate() {
            for b in &plan.tabs[..i] {
                assert!(a.at.distance(b.at) > 15.0, "{}: two tabs in one", examined.id);
            }
        }
    });
}

/// The same moves driven in steps of 0.1 ms: at each step the speed that still lets every later
/// limit be met is looked up, and rises or falls by no more than the acceleration allows. What
/// limits the speed where moves meet is worked out anew.
fn driven(route: &Route, limits: &Limits) -> f64 {
    const TICK: f64 = 1e-4;
    let passages: Vec<Passage> = route.passages().collect();
    let a = limits.acceleration;
    // Limits where moves meet, in the direction of travel.
    let mut joints = vec![0.0; passages.len() + 1];
    for i in 1..passages.len() {
        let (u, v) = (passages[i - 1].directions()[1], passages[i].directions()[0]);
        let dot: f64 = (0..3).map(|k| u[k] * v[k]).sum::<f64>().clamp(-1.0, 1.0);
        let half = (dot.acos() / 2.0).cos();
        let rounded = match limits.corner {
            Some(_) => 1e12,
            None if half > 1.0 - 1e-15 => 1e12,
            None => CORNER * half / (1.0 - half),
        };
        // The arc begins and ends within half of the shorter move: with legs of that length
        // the chord between its ends and the corner's bisector give its radius.
        let leg = passages[i - 1].length().min(passages[i].length()) / 2.0;
        let turned: f64 = (0..3).map(|k| (u[k] - v[k]).powi(2)).sum::<f64>().sqrt();
        let summed: f64 = (0..3).map(|k| (u[k] + v[k]).powi(2)).sum::<f64>().sqrt();
        let fitting = if turned < 1e-12 { 1e12 } else { leg * summed / turned };
        let radius = rounded.min(fitting);
        joints[i] = (a * radius).sqrt();
        // The velocity turns at once: its change is the third side of the triangle.
        if let Some(change) = limits.corner.filter(|_| turned > 1e-12) {
            joints[i] = joints[i].min(change / turned);
        }
    }
    // The greatest speed at the start of each move from which all later limits can be met.
    let mut allowed = vec![0.0; passages.len() + 1];
    for i in (0..passages.len()).rev() {
        let top = limits.speed(&passages[i]);
        let before = if i == 0 { 0.0 } else { limits.speed(&passages[i - 1]) };
        let held =
            (allowed[i + 1] * allowed[i + 1] + 2.0 * a * passages[i].length()).sqrt();
        allowed[i] = joints[i].min(top).min(before).min(held);
    }
    let (mut time, mut speed) = (0.0, 0.0_f64);
    let (mut index, mut gone) = (0, 0.0);
    while index < passages.len() {
        let length = passages[index].length();
        let left = (length - gone).max(0.0);
        let end = allowed[index + 1];
        let brake = (end * end + 2.0 * a * left).sqrt();
        let next = (speed + a * TICK).min(limits.speed(&passages[index])).min(brake);
        // The mean of both speeds over the step; never less than a crawl, to get away from 0.
        gone += f64::midpoint(speed, next).max(a * TICK / 2.0) * TICK;
        speed = next;
        time += TICK;
        while index < passages.len() && gone >= passages[index].length() - 1e-9 {
            gone -= passages[index].length();
            gone = gone.max(0.0);
            speed = speed.min(allowed[index + 1]);
            index += 1;
        }
    }
    time
}

#[test]
fn times_agree_with_driving_the_moves_step_by_step() {
    let shop = the_shop();
    let mut worst = 0.0_f64;
    for examined in demo_dishes(&shop) {
        let (.., plan) = examined.dish.as_ref().expect("drawn");
        let (mut told, mut found) = (0.0, 0.0);
        for operation in &plan.operations {
            let route = operation.route.as_ref().expect("moves");
            let limits = Limits::of(&operation.rates, &shop.machine);
            let by_steps = driven(route, &limits);
            let off = (operation.minutes * 60.0 / by_steps - 1.0).abs();
            worst = worst.max(off);
            assert!(
                off < 0.03,
                "{} of {}: {} s told, {by_steps} s driven",
                operation.work.word(),
                examined.id,
                operation.minutes * 60.0
            );
            told += operation.minutes * 60.0;
            found += by_steps;
        }
        assert!((told / found - 1.0).abs() < 0.03, "{}: {told} and {found}", examined.id);
    }
    println!("largest difference of a cut: {:.3} %", worst * 100.0);
}

#[test]
fn times_agree_with_driving_where_corners_are_not_rounded() {
    let mut shop = the_shop();
    let examined = demo_dishes(&shop).swap_remove(0);
    let (.., plan) = examined.dish.as_ref().expect("drawn");
    for corner in [120.0, 600.0, 6000.0] {
        shop.machine.corner = Some(corner);
        for operation in &plan.operations {
            let route = operation.route.as_ref().expect("moves");
            let limits = Limits::of(&operation.rates, &shop.machine);
            let (told, by_steps) = (seconds(route, &limits), driven(route, &limits));
            let off = (told / by_steps - 1.0).abs();
            let what = operation.work.word();
            assert!(off < 0.03, "{what} at {corner}: {told} s told, {by_steps} s driven");
        }
    }
}

#[test]
fn speeds_where_moves_meet_keep_every_limit() {
    each(|examined, operation, route, _| {
        let limits = Limits::of(&operation.rates, &the_shop().machine);
        let speeds = joint_speeds(route, &limits);
        assert_eq!(speeds.len(), route.moves.len() + 1);
        for (passage, ends) in route.passages().zip(speeds.windows(2)) {
            let top = limits.speed(&passage) + 1e-9;
            assert!(ends[0] <= top && ends[1] <= top, "{}", examined.id);
            let change = (ends[1] * ends[1] - ends[0] * ends[0]).abs();
            let most = 2.0 * limits.acceleration * passage.length();
            assert!(change <= most * (1.0 + 1e-9) + 1e-9, "{}", examined.id);
        }
    });
}

#[test]
fn a_faster_machine_is_never_slower() {
    each(|examined, operation, route, _| {
        let shop = the_shop();
        let limits = Limits::of(&operation.rates, &shop.machine);
        let time = seconds(route, &limits);
        let faster = Limits { cut: 2.0 * limits.cut, ..limits };
        assert!(seconds(route, &faster) <= time + 1e-9, "{}", examined.id);
        let machine =
            Machine { acceleration: 2.0 * shop.machine.acceleration, ..shop.machine };
        let harder = Limits::of(&operation.rates, &machine);
        assert!(seconds(route, &harder) < time, "{}", examined.id);
        let still = route.length(Pace::Cut) / limits.cut;
        assert!(time > still, "{}: no less than at the feed all the way", examined.id);
    });
}

/// Uniformly accelerated motion; the rows were checked by a simulation in steps of 1 µs.
#[test]
fn trapezoids_take_the_times_of_the_closed_form() {
    // id, length, both speeds, top speed, acceleration
    let rows = [
        ("TRAP1", 100.0, [0.0, 0.0], 50.0, 500.0),
        ("TRAP2", 1.0, [0.0, 0.0], 50.0, 500.0),
        ("TRAP3", 300.0, [0.0, 0.0], 250.0 / 3.0, 250.0),
        ("TRAP4", 2.0, [0.0, 0.0], 50.0, 200.0),
        ("TRAP6", 3.0, [20.0, 10.0], 50.0, 500.0),
        ("TRAP7", 10.0, [30.0, 30.0], 50.0, 400.0),
    ];
    for (id, length, ends, top, acceleration) in rows {
        let time = trapezoid(length, ends, top, acceleration);
        assert!((time - golden::value(id)).abs() < 1e-9, "{id}: {time}");
    }
}

/// The arc that touches both legs of a corner and passes it at a distance: plane geometry.
#[test]
fn corners_are_passed_at_the_speed_of_their_rounding_arc() {
    for (id, angle, distance) in [
        ("CORN-ARC1R", 90.0, 0.01),
        ("CORN-ARC2R", 45.0, 0.01),
        ("CORN-ARC3R", 10.0, 0.01),
        ("CORN-ARC4R", 90.0, 0.05),
        ("CORN-ARC5R", 120.0, 0.01),
    ] {
        let radius = corner_radius(angle, distance);
        assert!((radius - golden::value(id)).abs() < 1e-9, "{id}: {radius}");
    }
    for (id, angle, distance, acceleration) in [
        ("CORN-ARC2V", 45.0, 0.01, 500.0),
        ("CORN-ARC3V", 10.0, 0.01, 500.0),
        ("CORN-ARC4V", 90.0, 0.05, 250.0),
        ("CORN-ARC5V", 120.0, 0.01, 500.0),
    ] {
        let speed = corner_speed(angle, distance, acceleration);
        assert!((speed - golden::value(id)).abs() < 1e-9, "{id}: {speed}");
    }
    for (id, angle, change) in [("CORN-DV2", 45.0, 10.0), ("CORN-DV4", 180.0, 10.0)] {
        let speed = step_speed(angle, change);
        assert!((speed - golden::value(id)).abs() < 1e-9, "{id}: {speed}");
    }
    assert!(step_speed(0.0, 10.0).is_infinite(), "straight on is not slowed");
    assert!(corner_radius(180.0, 0.01) < 1e-9, "turning right back stops");
    assert!(corner_radius(0.0, 0.01).is_infinite(), "straight on does not");
}

#[test]
fn levels_split_the_depth_evenly() {
    let close = |a: &[f64], b: &[f64]| {
        assert_eq!(a.len(), b.len(), "{a:?} and {b:?}");
        assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12), "{a:?} and {b:?}");
    };
    close(&levels(20.0, 6.0, None), &[5.0, 10.0, 15.0, 20.0]);
    close(&levels(18.0, 6.0, None), &[6.0, 12.0, 18.0]);
    close(&levels(3.0, 6.0, None), &[3.0]);
    // The first pass of a compression bit goes deeper than its up-cut part.
    close(&levels(25.9, 6.0, Some(5.5)), &[5.5, 10.6, 15.7, 20.8, 25.9]);
    close(&levels(20.0, 6.0, Some(4.5)), &[5.0, 10.0, 15.0, 20.0]);
    close(&levels(4.0, 6.0, Some(5.5)), &[4.0]);
}

/// A circular recess of radius R cleared by rings a step apart: the rings are circles about its
/// middle, so the length of each layer is known in closed form, 2π Σ (R − c − k·s).
#[test]
fn rings_of_a_round_recess_have_their_known_length() {
    let text = "
title: Round
outline: [{circle: {radius: 80}}]
recess: {shape: {circle: {radius: 60}}, keep_floor: 24.4 mm}
";
    let shop = the_shop();
    let read = recipe("round.yaml", text, "round", None).value.expect("readable");
    let order = treen::batch::specimen(&read, Vec::new());
    let examined = examine(&read, &order, &shop, &Pins::default());
    let (.., plan) = examined.dish.as_ref().expect("drawn");
    let operation = &plan.operations[0];
    assert_eq!(operation.work, Work::Recess);
    let cutter = cutter(&shop, operation);
    let route = operation.route.as_ref().expect("moves");
    // The floor is 1 mm down: one fine layer, no coarse ones.
    assert_eq!(route.levels, [1.0]);
    let c = cutter.surface_radius(1.0);
    let step = cutter.spec().stepover.expect("stated") * cutter.diameter();
    let mut rings = 0.0;
    let mut count = 0_u32;
    while 60.0 - c - f64::from(count) * step > 1e-3 {
        rings += 2.0 * PI * (60.0 - c - f64::from(count) * step);
        count += 1;
    }
    let links = f64::from(count - 1) * step;
    let level: f64 = route
        .passages()
        .filter(|p| p.from.z < -1.0 + 1e-9 && p.step.to.z < -1.0 + 1e-9)
        .map(|p| p.length())
        .sum();
    assert!(
        (level - rings - links).abs() < 0.01 * rings,
        "{level} and {rings} + {links}"
    );
    assert!((level - rings - links).abs() < 0.05, "{level} and {rings} + {links}");
}
