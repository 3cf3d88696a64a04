//! Smooth parametric curves as cubic Béziers.

use kurbo::{
    BezPath, CubicBez, CurveFitSample, ParamCurveFit, Point, Vec2, fit_to_cubic,
};
use std::ops::Range;

/// Fitted curves stay within this of the true ones, mm. A thousandth of what is promised,
/// so that their curvature is close to the true one as well.
const FIT: f64 = 5e-7;

/// Most halvings of one span; the shortest piece is a millionth of it.
const HALVINGS: u32 = 20;

/// A curve given by point and derivative over a parameter.
pub(super) struct Smooth<F: Fn(f64) -> (Point, Vec2)> {
    /// The point and its derivative.
    pub(super) at: F,
}

impl<F: Fn(f64) -> (Point, Vec2)> ParamCurveFit for Smooth<F> {
    fn sample_pt_tangent(&self, t: f64, _sign: f64) -> CurveFitSample {
        let (p, tangent) = (self.at)(t);
        CurveFitSample { p, tangent }
    }

    fn sample_pt_deriv(&self, t: f64) -> (Point, Vec2) {
        (self.at)(t)
    }

    fn break_cusp(&self, _range: Range<f64>) -> Option<f64> {
        None
    }
}

impl<F: Fn(f64) -> (Point, Vec2)> Smooth<F> {
    /// Adds the span to a path that already stands at its start.
    pub(super) fn span(&self, path: &mut BezPath, range: Range<f64>) {
        self.halve(path, range, HALVINGS);
    }

    /// The cubic's inner points. A fit may be content with a straight line, whose ends would
    /// turn a smooth curve into corners: then they are laid along the true tangents.
    fn handles(&self, cubic: &CubicBez, (start, end): (f64, f64)) -> (Point, Point) {
        const STRAIGHT: f64 = 1e-9; // share of the square of the chord
        let chord = cubic.p3 - cubic.p0;
        let off = |p: Point| chord.cross(p - cubic.p0).abs() / chord.hypot2().max(1e-12);
        let (a, b) = ((self.at)(start).1, (self.at)(end).1);
        let lengths = (a.hypot(), b.hypot());
        if off(cubic.p1).max(off(cubic.p2)) > STRAIGHT || lengths.0.min(lengths.1) <= 0.0
        {
            return (cubic.p1, cubic.p2);
        }
        let third = chord.hypot() / 3.0;
        (cubic.p0 + a * (third / lengths.0), cubic.p3 - b * (third / lengths.1))
    }

    fn halve(&self, path: &mut BezPath, range: Range<f64>, left: u32) {
        let (start, end) = (range.start, range.end);
        if let Some((cubic, _)) = fit_to_cubic(self, range, FIT) {
            let (p1, p2) = self.handles(&cubic, (start, end));
            path.curve_to(p1, p2, cubic.p3);
        } else if left == 0 {
            path.line_to((self.at)(end).0);
        } else {
            let middle = f64::midpoint(start, end);
            self.halve(path, start..middle, left - 1);
            self.halve(path, middle..end, left - 1);
        }
    }
}
