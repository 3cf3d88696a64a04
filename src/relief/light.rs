//! Light from the upper left on a height field: what shades what.

use super::field::Field;
use super::map::Map;

/// Toward the light: right, up, out of the picture.
const TOWARD: [f32; 3] = [-0.46, 0.52, 0.80];

/// Share of the light that comes from everywhere.
const SKY: f32 = 0.46;

/// The lamp is wide: how steeply its lower and its upper edge shine, rise by run.
const LAMP: [f32; 2] = [0.75, 2.1];

/// How dark full shade is, share of the lamp.
const SHADE: f32 = 0.8;

/// Light on a dish, for each pixel: cells of the field two by two.
pub(super) struct Light {
    /// What is hidden from the lamp, 0 to 1.
    shade: Map,
    /// What the walls around hide of the sky, share; below zero on what stands out.
    hidden: Map,
}

impl Light {
    /// Of a field whose pixels have sides of `side` mm.
    pub(super) fn on(heights: &Map, side: f32) -> Self {
        let shade = shade(heights, side);
        let cells = |mm: f32| ((mm / side).round() as usize).max(1);
        let (near, far) = (heights.blurred(cells(1.2)), heights.blurred(cells(5.0)));
        let mut hidden = heights.clone();
        for ((value, near), far) in
            hidden.values.iter_mut().zip(&near.values).zip(&far.values)
        {
            let z = *value;
            let close = (0.50 * (near - z)).clamp(-0.05, 0.52);
            let wide = (0.042 * (far - z)).clamp(-0.06, 0.34);
            *value = close + wide;
        }
        Self { shade, hidden }
    }

    /// How bright a slope is, 1 where it lies flat in the open, how much it shines, and how
    /// much light comes to it from the wood around.
    pub(super) fn of(
        &self,
        [column, row]: [usize; 2],
        [to_right, to_up]: [f32; 2],
    ) -> [f32; 3] {
        let length = (to_right * to_right + to_up * to_up + 1.0).sqrt();
        let [x, y, z] = TOWARD;
        let tall = (x * x + y * y + z * z).sqrt();
        let faced = (z - x * to_right - y * to_up) / length / tall;
        let lamp = (faced * tall / z).clamp(0.0, 1.42);
        let up = 1.0 / length;
        let [shade, hidden] = [&self.shade, &self.hidden].map(|map| map.row(row)[column]);
        let sky = SKY * (0.45 + 0.55 * up) * (1.0 - hidden);
        let bright = sky + (1.0 - SKY) * lamp * (1.0 - SHADE * shade);
        // Half way between lamp and eye.
        let half = (x * x + y * y + (z + tall) * (z + tall)).sqrt();
        let gloss = ((z + tall - x * to_right - y * to_up) / length / half).max(0.0);
        let gloss = gloss * gloss;
        let gloss = gloss * gloss * gloss * gloss;
        [bright, gloss * gloss * (1.0 - shade), 0.36 * hidden.max(0.0)]
    }
}

/// The mean heights of the pixels; what lies outside the dish is as low as its underside.
pub(super) fn heights(field: &Field, bottom: f32) -> Map {
    let [columns, rows] = field.grid.size.map(|count| count / 2);
    let mut values = Vec::with_capacity(columns * rows);
    let known = |z: f32| if z.is_nan() { bottom } else { z };
    let pair = |pair: &[f32]| pair.iter().map(|z| known(*z)).sum::<f32>();
    for row in 0..rows {
        let (upper, lower) = (field.row(2 * row), field.row(2 * row + 1));
        let pixels = upper.chunks_exact(2).zip(lower.chunks_exact(2));
        values.extend(pixels.map(|(upper, lower)| (pair(upper) + pair(lower)) / 4.0));
    }
    Map { size: [columns, rows], values }
}

/// Rays that graze what stands higher, row by row away from the light: the lowest of the lamp.
/// What a place sees of the lamp above the edge that hides it follows from how far under the
/// ray it lies, at what distance from that edge.
fn shade(heights: &Map, side: f32) -> Map {
    let [x, y, _] = TOWARD;
    let back = -x / y;
    let step = side * (1.0 + back * back).sqrt();
    let mut shade = heights.clone();
    let mut rays: Vec<[f32; 2]> = heights.row(0).iter().map(|z| [*z, 0.0]).collect();
    for row in 0..heights.size[1] {
        let own = heights.row(row);
        let mut left = rays[0];
        for ((ray, z), out) in
            rays.iter_mut().zip(own).zip(&mut shade.values[row * own.len()..])
        {
            let over = back * left[0] + (1.0 - back) * ray[0] - step * LAMP[0];
            let run = back * left[1] + (1.0 - back) * ray[1] + step;
            left = *ray;
            let hidden = (over - z) / run / (LAMP[1] - LAMP[0]);
            let hidden = hidden.clamp(0.0, 1.0);
            *out = hidden * hidden * (3.0 - 2.0 * hidden);
            *ray = if over > *z { [over, run] } else { [*z, 0.0] };
        }
    }
    shade
}
