//! A cutter's profile: against a sweep of its drawn outline, and against closed forms.

use crate::golden;
use crate::random_shapes::Dice;
use treen::finding::{Source, SourceFile};
use treen::model::{Cutter, CutterKind, CutterSpec};
use treen::units::{Deg, Mm};

fn mm(value: f64) -> Mm {
    Mm::new(value).expect("finite")
}

pub(crate) fn spec(kind: CutterKind, diameter: f64) -> CutterSpec {
    CutterSpec {
        id: "one".to_owned(),
        kind,
        diameter: mm(diameter),
        corner_radius: None,
        angle: None,
        tip_flat: None,
        cutting_length: None,
        overall_length: None,
        shank: None,
        insertion: None,
        stick_out: None,
        flutes: 2,
        chip_load: None,
        speed: None,
        stepdown: None,
        stepover: None,
        upcut: None,
        source: Source::whole(&SourceFile::new("test", "")),
    }
}

/// From a parameter 0 to 1 to a radius and a height.
type Curve = Box<dyn Fn(f64) -> (f64, f64)>;

/// The outline of a cutter drawn from its tip up as pieces. Angles and lengths alone, no formula solved for the radius.
struct Drawn {
    end: Curve,
    rise: f64,
    half: f64,
    flutes: f64,
    shank: f64,
}

impl Drawn {
    /// The radius where the outline passes a height, by halving the parameter.
    fn at(&self, height: f64) -> f64 {
        if height > self.flutes.max(self.rise) {
            return self.shank;
        }
        if height >= self.rise {
            return self.half;
        }
        let (mut lo, mut hi) = (0.0, 1.0);
        for _ in 0..200 {
            let t = f64::midpoint(lo, hi);
            if (self.end)(t).1 <= height { lo = t } else { hi = t }
        }
        (self.end)(lo).0
    }

    /// The widest up to a height, by sweeping the outline.
    fn widest(&self, height: f64) -> f64 {
        let top = self.flutes.max(self.rise);
        let swept = (0..=100).map(|i| (self.end)(f64::from(i) / 100.0));
        let heights = [self.rise, top, top.next_up(), height].into_iter();
        swept
            .filter(|point| point.1 <= height)
            .map(|point| point.0)
            .chain(heights.filter(|h| *h <= height).map(|h| self.at(h)))
            .fold(self.at(height), f64::max)
    }
}

/// A random cutter and its drawing.
fn random(dice: &mut Dice) -> (Cutter, Drawn) {
    let kind = CutterKind::ALL[dice.below(6) as usize];
    let half = dice.between(1.0, 25.0);
    let mut spec = spec(kind, 2.0 * half);
    let quarter = std::f64::consts::FRAC_PI_2;
    // A quarter round seen from its middle: sin up the side, 1 − cos up the axis.
    let round = |flat: f64, r: f64| {
        move |t: f64| {
            let a = t * quarter;
            (flat + r * a.sin(), 2.0 * r * (a / 2.0).sin().powi(2))
        }
    };
    let (end, rise): (Curve, f64) = match kind {
        CutterKind::BallNose => (Box::new(round(0.0, half)), half),
        CutterKind::BowlBit | CutterKind::EndMill | CutterKind::CompressionBit => {
            let r = if dice.below(4) == 0 { 0.0 } else { dice.between(0.0, half) };
            spec.corner_radius = Some(mm(r));
            (Box::new(round(half - r, r)), r)
        }
        CutterKind::VBit => {
            let flat = if dice.below(2) == 0 { 0.0 } else { dice.between(0.0, half) };
            let angle = dice.between(10.0, 150.0);
            (spec.tip_flat, spec.angle) = (Some(mm(2.0 * flat)), Deg::new(angle));
            let side = (angle / 2.0).to_radians();
            let length = (half - flat) / side.sin();
            let along =
                move |t: f64| (flat + t * length * side.sin(), t * length * side.cos());
            (Box::new(along), length * side.cos())
        }
        CutterKind::RoundOverBit => {
            let r = dice.between(0.5, half * 0.9);
            if dice.below(2) == 0 {
                spec.corner_radius = Some(mm(r));
            } else {
                spec.tip_flat = Some(mm(2.0 * (half - r)));
            }
            let hollow = move |t: f64| {
                let a = t * quarter;
                (half - r + 2.0 * r * (a / 2.0).sin().powi(2), r * a.sin())
            };
            (Box::new(hollow), r)
        }
    };
    let flutes = rise.max(0.1) + dice.between(0.0, 30.0);
    let shank = dice.between(0.5, 1.5) * half;
    spec.cutting_length = Some(mm(flutes));
    spec.shank = Some(mm(2.0 * shank));
    let cutter = Cutter::new(spec).expect("a cutter that can be");
    (cutter, Drawn { end, rise, half, flutes, shank })
}

#[test]
fn ten_thousand_cutters_against_a_sweep_of_their_outline() {
    const APART: f64 = 1e-9;
    let mut worst = [0.0_f64; 4];
    for number in 0..10_000 {
        let mut dice = Dice(number);
        let (cutter, drawn) = random(&mut dice);
        let depth = dice.between(0.0, drawn.flutes * 1.3);
        let cut = drawn.widest(depth.min(drawn.flutes));
        let radius = dice.between(0.0, drawn.half);
        let height = cutter.height_at(radius).expect("within DC/2");
        // What is reached at that height, and not below it.
        let reached = drawn.widest(height).max(radius) - radius;
        let before = (drawn.widest(height - 1e-7) - radius).max(0.0);
        let tip = drawn.at(0.0);
        let back = if radius <= tip { height } else { reached.max(before) };
        let off = [
            cutter.radius_at(depth) - drawn.at(depth),
            cutter.surface_radius(depth) - cut,
            cutter.body_radius(depth) - drawn.widest(depth),
            back,
        ];
        for (worst, off) in worst.iter_mut().zip(off) {
            *worst = worst.max(off.abs());
            assert!(off.abs() < APART, "{number}: {off:e} in {off:?} of {cutter:?}");
        }
    }
    println!("largest differences {worst:?} mm");
}

/// Golden rows VDEP and VWID: depth and width of a V groove.
#[test]
fn vee_grooves_as_wide_and_deep_as_the_closed_form() {
    let vee = |angle: f64, flat: f64| {
        let mut spec = spec(CutterKind::VBit, 20.0);
        (spec.angle, spec.tip_flat) = (Deg::new(angle), Some(mm(flat)));
        Cutter::new(spec).expect("a v-bit")
    };
    let depths = [("VDEP4", 30.0, 1.0, 0.1), ("VDEP5", 120.0, 4.0, 0.0)];
    for (row, angle, width, flat) in depths {
        let depth = vee(angle, flat).height_at(width / 2.0).expect("wide enough");
        assert!((depth - golden::value(row)).abs() < 1e-12, "{row}: {depth}");
    }
    let widths = [
        ("VWID1", 60.0, 1.0, 0.0),
        ("VWID2", 60.0, 1.0, 0.2),
        ("VWID3", 30.0, 2.0, 0.1),
        ("VWID4", 120.0, 1.0, 0.0),
    ];
    for (row, angle, depth, flat) in widths {
        let width = 2.0 * vee(angle, flat).surface_radius(depth);
        assert!((width - golden::value(row)).abs() < 1e-12, "{row}: {width}");
    }
}

#[test]
fn a_groove_wider_than_the_cutter_is_never_cut() {
    let mut spec = spec(CutterKind::VBit, 12.7);
    spec.angle = Deg::new(90.0);
    let vee = Cutter::new(spec.clone()).expect("a v-bit");
    assert_eq!(vee.height_at(6.4), None, "DC/2 is 6.35");
    spec.cutting_length = Some(mm(4.0));
    let short = Cutter::new(spec).expect("a v-bit");
    assert_eq!(short.height_at(4.5), None, "the flutes end at 4 mm");
    assert!((short.surface_radius(6.0) - 4.0).abs() < 1e-12, "nor wider at any depth");
}

#[test]
fn a_shank_rubs_unless_it_is_narrower_than_the_cut() {
    let rubs = |shank: Option<f64>| {
        let mut spec = spec(CutterKind::BowlBit, 25.4);
        (spec.corner_radius, spec.cutting_length) = (Some(mm(6.35)), Some(mm(19.05)));
        spec.shank = shank.map(mm);
        Cutter::new(spec).expect("a bowl bit").rubs_below()
    };
    assert_eq!(rubs(Some(12.7)), None, "a 1/2 in shank in a 1 in hollow");
    assert_eq!(rubs(Some(25.4)), Some(19.05), "as wide as the cut");
    assert_eq!(rubs(Some(30.0)), Some(19.05), "wider than the cut");
    assert_eq!(rubs(None), Some(19.05), "unknown counts as wide");
}
