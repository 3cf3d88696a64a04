//! Names on their lines: smaller, closer, narrower, in two lines, in the middle to the eye.

use crate::names::{names, straight};
use treen::curve::primitive::arc;
use treen::curve::{Affine, BezPath, PathEl, Point};
use treen::lettering::{Face, Fit, Fitted, Fonts, Letters, Pen, fit};

const HAND: Letters = Letters::Hand(Pen::Share(0.1));

const HOW: Fit = Fit {
    letters: Letters::Fonts(Fonts::of(Face::CARVED)),
    most: 20.0,
    least: 6.0,
    condense: 0.85,
    gap: 0.5,
    apart: 0.0,
    lines: 1,
};

/// Letters are at least this share of the greatest height before they are set closer, and set
/// closer by at most that share of their height: the rule as it is told.
const COMFORTABLE: f64 = 0.7;
const CLOSER: f64 = 0.04;

/// Half a circle about the origin, left to right through the bottom.
fn hollow(radius: f64) -> BezPath {
    let k = radius * 0.552_284_749_8;
    let mut path = BezPath::new();
    path.move_to((-radius, 0.0));
    path.curve_to((-radius, -k), (-k, -radius), (0.0, -radius));
    path.curve_to((k, -radius), (radius, -k), (radius, 0.0));
    path
}

/// From the left to the right end of the letters.
fn ends(letters: &[BezPath]) -> [f64; 2] {
    let boxes = letters.iter().map(BezPath::control_box).map(|b| [b.x0, b.x1]);
    boxes.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]).expect("letters")
}

fn gap(fitted: &Fitted) -> f64 {
    fitted.gap.map_or(f64::INFINITY, |gap| gap.width)
}

/// Every name of the list, and pairs of one language with a space and a hyphen between.
fn single_and_double() -> Vec<String> {
    let names = names();
    let pairs = names.iter().zip(names.iter().skip(1)).enumerate().step_by(6);
    let pairs = pairs.filter(|(_, (a, b))| a.0 == b.0).map(|(number, (a, b))| {
        let between = if number % 12 == 0 { ' ' } else { '-' };
        format!("{}{between}{}", a.1, b.1)
    });
    let singles = names.iter().map(|(_, name)| (*name).to_owned());
    singles.chain(pairs.collect::<Vec<_>>()).collect()
}

/// What holds of a name on a straight line.
fn held(name: &str, fitted: &Fitted, how: &Fit) -> Result<(), String> {
    let fault = |what: &str| Err(format!("{name}: {what}: {:?}", outcome(fitted)));
    if fitted.length > fitted.room + 1e-6 {
        return fault("longer than its line");
    }
    if !(how.least..=how.most).contains(&fitted.height) {
        return fault("height");
    }
    if fitted.condensed < how.condense - 1e-12 || fitted.condensed > 1.0 {
        return fault("narrower than its limit");
    }
    if fitted.tracking < -CLOSER * fitted.height - 1e-9 {
        return fault("closer than its limit");
    }
    let touched = fitted.tracking != 0.0 || fitted.condensed < 1.0;
    let comfortable = (COMFORTABLE * how.most).max(how.least);
    if touched && fitted.height > comfortable + 1e-9 {
        return fault("set closer though it might become smaller");
    }
    if fitted.lines == 1 {
        let same = Fit { most: fitted.height, least: fitted.height, ..how.clone() };
        let drawn = fit(name, &same, &straight(2_000.0)).expect("a long line");
        // Twice 1e-7 mm is how far the place where two curves come nearest is looked for.
        if gap(fitted) < gap(&drawn).min(how.gap) - 1e-6 {
            return fault("nearer than wood allows");
        }
    }
    Ok(())
}

fn outcome(fitted: &Fitted) -> (f64, f64, f64, usize, f64) {
    let Fitted { height, tracking, condensed, lines, .. } = fitted;
    (*height, *tracking, *condensed, *lines, gap(fitted))
}

#[test]
fn names_keep_the_rule_on_lines_of_any_length() {
    let (mut wrong, mut split, mut narrowed, mut closer) = (Vec::new(), 0, 0, 0);
    for letters in [HAND, Letters::Fonts(Fonts::of(Face::CARVED))] {
        for name in single_and_double() {
            if !name.chars().all(|letter| letter == ' ' || letters.writes(letter)) {
                continue;
            }
            let mut before = 0.0;
            for length in [40.0, 60.0, 75.0, 90.0, 120.0, 200.0] {
                let how = Fit { letters: letters.clone(), lines: 2, ..HOW };
                let Ok(fitted) = fit(&name, &how, &straight(length)) else {
                    if before > 0.0 {
                        wrong.push(format!("{name}: no room at {length}"));
                    }
                    continue;
                };
                wrong.extend(held(&name, &fitted, &how).err());
                if fitted.height < before - 1e-9 {
                    wrong.push(format!("{name}: lower at {length}"));
                }
                before = fitted.height;
                split += usize::from(fitted.lines == 2);
                narrowed += usize::from(fitted.condensed < 1.0);
                closer += usize::from(fitted.tracking < 0.0);
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} such as {}",
        wrong.len(),
        wrong[..wrong.len().min(9)].join("\n")
    );
    let counts = [split, narrowed, closer];
    assert!(counts.iter().all(|count| *count > 50), "all was tried: {counts:?}");
}

#[test]
fn a_name_is_made_smaller_then_closer_then_narrower() {
    let how = Fit { letters: HAND, ..HOW };
    let room = |share: f64| {
        // The room that leaves letters of the comfortable height so much of their length.
        let tall = fit("Maximiliane", &how, &straight(400.0)).expect("it fits");
        straight(tall.length * COMFORTABLE * share)
    };
    let set =
        |share: f64| outcome(&fit("Maximiliane", &how, &room(share)).expect("it fits"));
    let comfortable = HOW.most * COMFORTABLE;
    let (height, tracking, wide, ..) = set(1.2);
    assert!((height - comfortable * 1.2).abs() < 1e-6, "smaller alone: {height}");
    assert_eq!((tracking, wide), (0.0, 1.0), "smaller alone");
    let (height, tracking, wide, ..) = set(0.995);
    assert!((height - comfortable).abs() < 1e-9, "no smaller: {height}");
    assert!(tracking < 0.0 && (wide - 1.0).abs() < 1e-12, "closer: {tracking}, {wide}");
    let (height, _, wide, ..) = set(0.9);
    assert!((height - comfortable).abs() < 1e-9, "no smaller: {height}");
    assert!((0.85..1.0).contains(&wide), "narrower: {wide}");
    let (height, _, wide, ..) = set(0.7);
    assert!(height < comfortable && (wide - 0.85).abs() < 1e-12, "{height}, {wide}");
}

#[test]
fn a_pen_keeps_its_width_in_narrow_letters() {
    // Closed form: the stem of an L and its arm, 50 of 100 units long, narrowed to 0.85.
    let how = Fit { letters: HAND, most: 20.0, least: 4.0, ..HOW };
    let wide = fit("L", &how, &straight(100.0)).expect("it fits");
    let [left, right] = ends(&wide.letters);
    let (pen, unit) = (2.0, 0.18);
    assert!((right - left - 50.0 * unit - pen).abs() < 1e-6, "{left} {right}");
    let tight = fit("L", &how, &straight(6.0)).expect("it fits");
    assert!((tight.condensed - 0.85).abs() < 1e-12, "{}", tight.condensed);
    let share = tight.height / 20.0;
    let [left, right] = ends(&tight.letters);
    let expected = (50.0 * unit * 0.85 + pen) * share;
    assert!((right - left - expected).abs() < 1e-6, "{left} {right}: {expected}");
    assert!((tight.pen.expect("a pen") - pen * share).abs() < 1e-9);
}

#[test]
fn an_open_side_is_not_taken_for_ink() {
    // Closed form for an L of a round pen, height h, radius r: its left side is straight but
    // for two quarter rounds, its right side is a round end as high as the pen; above it the
    // white counts 0.2 h deep.
    let how = Fit { letters: HAND, ..HOW };
    let fitted = fit("L", &how, &straight(100.0)).expect("it fits");
    let (h, r) = (20.0, 1.0);
    let round = r * (1.0 - std::f64::consts::FRAC_PI_4);
    let left = 2.0 * r * round / h;
    let right = (2.0 * r * round + (h - 2.0 * r) * 0.2 * h) / h;
    let [from, to] = ends(&fitted.letters);
    let off = f64::midpoint(from, to);
    assert!((off - (right - left) / 2.0).abs() < 0.005, "{off}");
    // On a full line there is no room for it.
    let full = fit("L", &how, &straight(fitted.length)).expect("it fits");
    let [from, to] = ends(&full.letters);
    assert!((from + to).abs() < 1e-6, "{from} {to}");
}

#[test]
fn two_lines_stand_around_the_middle_of_one() {
    let how = Fit { letters: HAND, most: 20.0, least: 8.0, lines: 2, ..HOW };
    for (name, upper) in [("NINA LENA", 4), ("NINA-LENA", 5)] {
        let fitted = fit(name, &how, &straight(50.0)).expect("it fits");
        assert_eq!(fitted.lines, 2, "{name}");
        let heights = |letters: &[BezPath]| {
            let boxes = letters.iter().map(BezPath::control_box);
            let all = boxes.reduce(|a, b| a.union(b)).expect("letters");
            [all.y0, all.y1]
        };
        let (above, below) = fitted.letters.split_at(upper);
        let ([foot, head], [low, high]) = (heights(above), heights(below));
        assert!((low + head - 20.0).abs() < 0.5, "{name}: {low} to {head}");
        assert!(
            ((foot - low) / fitted.height - 1.5).abs() < 0.05,
            "{name}: {foot} {low}"
        );
        assert!((high - low - fitted.height).abs() < 0.5, "{name}: one height");
    }
    let single = fit("NINALENA", &how, &straight(50.0)).expect("it fits");
    assert_eq!(single.lines, 1, "nowhere to split");
    let roomy = fit("NINA LENA", &how, &straight(200.0)).expect("it fits");
    assert_eq!(roomy.lines, 1, "no need to split");
}

#[test]
fn two_lines_follow_the_bend_side_by_side() {
    let how = Fit { letters: HAND, most: 16.0, least: 6.0, lines: 2, ..HOW };
    let bend = Affine::scale_non_uniform(1.0, -1.0) * hollow(40.0);
    let fitted = fit("Maximiliane-Bartholomea", &how, &bend).expect("it fits");
    assert_eq!(fitted.lines, 2);
    // Feet of both lines lie on circles; the cubic leaves its own by 0.03 % of the radius.
    let lower = (16.0 - 2.5 * fitted.height) / 2.0;
    let far = |at: usize| {
        let points = fitted.letters[at].elements().iter().filter_map(PathEl::end_point);
        points.map(|p: Point| p.to_vec2().hypot()).fold(f64::INFINITY, f64::min)
    };
    let last = fitted.letters.len() - 1;
    assert!((far(last) - 40.0 - lower).abs() < 0.5, "{} at {lower}", far(last));
    assert!((far(0) - far(last) - 1.5 * fitted.height).abs() < 0.5, "{}", far(0));
    assert!(gap(&fitted) > 0.5, "{:?}", fitted.gap);
}

#[test]
fn letters_in_a_hollow_are_spread_until_they_are_as_far_apart_as_on_a_straight_line() {
    for letters in [HAND, Letters::Fonts(Fonts::of(Face::CARVED))] {
        for (name, radius) in [("MINNA", 40.0), ("Willa", 50.0), ("Ada", 30.0)] {
            let how = Fit { letters: letters.clone(), most: 14.0, ..HOW };
            let bent = fit(name, &how, &hollow(radius)).expect("it fits");
            let flat = fit(name, &how, &straight(300.0)).expect("it fits");
            let share = bent.height / flat.height;
            assert!(bent.tracking > 0.0, "{name}: {}", bent.tracking);
            assert!((bent.condensed - 1.0).abs() < 1e-12, "{name}: {}", bent.condensed);
            let apart = gap(&bent) - gap(&flat) * share;
            assert!(apart > -0.01, "{name} at {radius}: {apart} of {}", gap(&flat));
        }
    }
}

#[test]
fn a_name_stands_on_an_arc_outside_or_inside() {
    // Closed forms: r times the angle is the length; feet are r from the middle, heads of
    // capitals about their height farther out, or in.
    let (center, radius) = (Point::new(5.0, -3.0), 70.0);
    let how = Fit { letters: HAND, most: 12.0, ..HOW };
    for (middle, inside, side) in [(90.0, false, 1.0), (270.0, true, -1.0)] {
        let line = arc(center, radius, [middle, 120.0], inside).expect("an arc");
        let fitted = fit("HILL", &how, &line).expect("it fits");
        let expected = radius * 120.0_f64.to_radians();
        // Measured on 96 chords to each of three pieces of 40 degrees.
        assert!((fitted.room - expected).abs() < 1e-3, "{} of {expected}", fitted.room);
        let points = fitted.letters.iter().flat_map(BezPath::elements);
        let far = points.filter_map(PathEl::end_point).map(|p| p.distance(center));
        let [near, far] =
            far.fold([f64::INFINITY, 0.0], |[a, b], r| [a.min(r), b.max(r)]);
        let (foot, head) = if inside { (far, near) } else { (near, far) };
        // A flat foot half as wide as the widest letter, 5 mm, leaves the circle by 0.2 mm.
        assert!((foot - radius).abs() < 0.25, "{middle}: feet at {foot}");
        assert!((head - radius - side * 12.0).abs() < 0.25, "{middle}: heads at {head}");
        let [first, last] = [0, 3].map(|at| fitted.letters[at].control_box().center());
        assert!(first.x < center.x && last.x > center.x, "it reads from left to right");
    }
}
