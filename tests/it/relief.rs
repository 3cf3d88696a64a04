//! Heights of finished dishes against closed forms, and their painted picture.

use crate::cutters::spec;
use crate::golden;
use crate::sample::{Case, boat, the_shop};
use treen::curve::{BezPath, Contour, Origin, Point, Rect, Region, primitive};
use treen::model::{Cutter, CutterKind, CutterSpec, Grain};
use treen::relief::{Cut, Edge, Field, Grid, Scene, Solid, Timber, Tip};
use treen::units::{Deg, Mm};

/// A cutter of a kind and diameter with a corner radius, or an angle and a flat at its tip.
fn cutter(kind: CutterKind, diameter: f64, [round, angle, flat]: [f64; 3]) -> Cutter {
    let some = |mm: f64| Mm::new(mm).filter(|mm| mm.get() > 0.0);
    let spec = CutterSpec {
        corner_radius: some(round),
        angle: Deg::new(angle).filter(|angle| angle.get() > 0.0),
        tip_flat: some(flat),
        ..spec(kind, diameter)
    };
    Cutter::new(spec).expect("a cutter")
}

fn bowl(diameter: f64, round: f64) -> Cutter {
    cutter(CutterKind::BowlBit, diameter, [round, 0.0, 0.0])
}

fn vee(diameter: f64, angle: f64, flat: f64) -> Cutter {
    cutter(CutterKind::VBit, diameter, [0.0, angle, flat])
}

fn area(path: &BezPath) -> Region {
    Region::filled(path, Origin::default()).expect("an area")
}

fn disc(radius: f64) -> Region {
    area(&primitive::circle(Point::ZERO, radius).expect("a circle"))
}

fn block(width: f64, height: f64, corner: f64) -> Region {
    area(&primitive::rectangle(Point::ZERO, width, height, corner).expect("a rectangle"))
}

/// A board of an outline with nothing done to it.
fn board(outline: Region) -> Solid {
    Solid { outline, thickness: 25.4, outer_round: None, edges: vec![], cuts: vec![] }
}

/// Cells of 0.1 mm around a board.
fn field(solid: &Solid) -> Field {
    Field::of(solid, Grid::over(solid.outline.bounds().inflate(2.0, 2.0), 0.1))
}

/// Every cell inside: its middle and its height.
fn inside(field: &Field) -> impl Iterator<Item = (Point, f64)> {
    let [columns, rows] = field.grid.size;
    let all =
        (0..rows).flat_map(move |row| (0..columns).map(move |column| (column, row)));
    all.map(|(column, row)| {
        (field.grid.at(column, row), f64::from(field.height(column, row)))
    })
    .filter(|(_, height)| !height.is_nan())
}

/// Volumes of hollows with a rounded foot: the theorem of Pappus for the disc, Steiner's
/// formula for parallel sets for the rectangle (J. Steiner, "Über parallele Flächen", 1840;
/// both from memory), computed with mpmath.
#[test]
fn a_recess_holds_what_its_closed_form_says() {
    let rows = [
        ("REC-disc1", disc(60.0), bowl(19.05, 3.0)),
        ("REC-disc2", disc(60.0), bowl(25.4, 6.35)),
        ("REC-rrect", block(120.0, 80.0, 10.0), bowl(19.05, 3.0)),
    ];
    for (id, hollow, bit) in rows {
        let want = golden::value(id);
        let mut solid = board(disc(90.0));
        let by = Tip::of(&bit);
        solid.cuts = vec![Cut::Cleared { area: hollow.clone(), by, depth: 12.0 }];
        let got = field(&solid).volume_cut();
        let off = (got / want - 1.0).abs();
        assert!(off < 1e-3, "{id}: {got} mm³ for {want}, off by {off}");
        println!("{id}: {got:.1} mm³ for {want:.1}, off by {off:.1e}");
    }
}

/// The middle of a cutter led over the hollow made narrower by its radius leaves the same.
#[test]
fn led_or_cleared_a_cutter_leaves_the_same() {
    let bit = bowl(19.05, 3.0);
    let hollow = block(90.0, 60.0, 12.0);
    let middle = block(90.0 - 19.05, 60.0 - 19.05, 12.0 - 19.05 / 2.0);
    let by = || Tip::of(&bit);
    let (mut cleared, mut led) = (board(disc(90.0)), board(disc(90.0)));
    cleared.cuts = vec![Cut::Cleared { area: hollow, by: by(), depth: 12.0 }];
    led.cuts = vec![Cut::Led { middle, by: by(), depth: 12.0 }];
    for ((at, one), (_, two)) in inside(&field(&cleared)).zip(inside(&field(&led))) {
        // The wall is upright there: a cell on it may fall to either side.
        if one == 0.0 || two == 0.0 {
            continue;
        }
        // Distances are off by the chords' 0.002 mm on either side, heights by that times
        // how steep the quarter round is.
        let left = 3.0 - (one.max(two) + 12.0).min(2.999);
        let steep = (9.0 - left * left).sqrt() / left;
        assert!((one - two).abs() < 0.004 * steep + 1e-4, "{one} and {two} at {at:?}");
    }
}

/// Cut into a corner, a bit leaves what its radius does not reach, as deep as its profile.
#[test]
fn what_a_cutter_does_not_reach_stays() {
    let bit = bowl(25.4, 6.35);
    let square = block(80.0, 80.0, 0.0);
    let reached = treen::reach::opening(&square, 12.7, Origin::default()).expect("told");
    let mut solid = board(disc(90.0));
    solid.cuts = vec![Cut::Cleared { area: reached, by: Tip::of(&bit), depth: 12.0 }];
    let field = field(&solid);
    let cut = inside(&field).filter(|(_, z)| *z < 0.0).count() as f64 * 0.01;
    // Four corners: the square of the radius less a quarter of its circle.
    let left = 4.0 * 12.7 * 12.7 * (1.0 - std::f64::consts::PI / 4.0);
    let want = 80.0 * 80.0 - left;
    assert!((cut / want - 1.0).abs() < 1e-3, "{cut} mm² for {want}");
    // At the middle of a wall: the foot is a quarter round of 6.35 mm.
    for (at, z) in inside(&field).filter(|(at, _)| at.y.abs() < 0.1 && at.x > 0.0) {
        let off = at.x - (40.0 - 6.35);
        if (0.1..6.2).contains(&off) {
            let want = -12.0 + 6.35 - (6.35_f64.powi(2) - off * off).sqrt();
            assert!((z - want).abs() < 2e-3, "{z} for {want} at {at:?}");
        }
    }
}

/// z = √(r² − (r − d)²) − r at d from the edge: a quarter circle.
#[test]
fn edges_are_quarter_circles() {
    let radius = 6.35;
    let mut solid = board(disc(60.0));
    solid.outer_round = Some(radius);
    solid.cuts =
        vec![Cut::Cleared { area: disc(30.0), by: Tip::Square(0.0), depth: 15.0 }];
    solid.edges = vec![Edge { hollow: disc(30.0), radius: 3.175 }];
    for (at, z) in inside(&field(&solid)) {
        let from = at.to_vec2().hypot();
        let round = |off: f64, r: f64| {
            if off < r { (r * r - (r - off).powi(2)).sqrt() - r } else { 0.0 }
        };
        // Beside an edge the quarter circle is upright.
        if (from - 60.0).abs() < 0.05 || (from - 30.0).abs() < 0.05 {
            continue;
        }
        let want = if from < 30.0 {
            -15.0
        } else {
            round(60.0 - from, radius).min(round(from - 30.0, 3.175))
        };
        // Chords lie up to 0.002 mm off: beside an edge that is most in height.
        let slack = 2e-3 + 0.002 * radius / (60.0 - from).min(from - 30.0).abs().sqrt();
        assert!((z - want).abs() < slack, "{z} for {want} at {at:?}");
    }
}

#[test]
fn outside_the_outline_there_is_nothing() {
    let outline = disc(50.0).cut(&block(30.0, 20.0, 4.0));
    let field = field(&board(outline.clone()));
    let covered = inside(&field).count() as f64 * 0.01;
    let want = outline.area();
    assert!((covered / want - 1.0).abs() < 5e-4, "{covered} mm² for {want}");
    let [columns, rows] = field.grid.size;
    for (column, row) in
        (0..rows).step_by(17).flat_map(|r| (0..columns).map(move |c| (c, r)))
    {
        let at = field.grid.at(column, row);
        let wood = !field.height(column, row).is_nan();
        let edge = outline.contours().iter().any(|contour| {
            contour
                .pieces()
                .iter()
                .any(|piece| piece.curve.nearest(at).distance(at) < 0.003)
        });
        assert!(edge || wood == outline.contains(at), "at {at:?}");
    }
}

/// d = (w − t) / (2 tan(a/2)) at the middle of a stroke of width w.
#[test]
fn strokes_are_as_deep_as_the_bit_is_wide() {
    for (id, angle, width, flat) in
        [("VDEP4", 30.0, 1.0, 0.1), ("VDEP5", 120.0, 4.0, 0.0)]
    {
        let mut solid = board(disc(30.0));
        solid.cuts = vec![Cut::Pointed {
            area: block(width, 20.0, 0.0),
            by: Box::new(vee(12.7, angle, flat)),
            surface: 0.0,
            limit: 5.0,
        }];
        // A column of cells has its middles on the middle of the stroke.
        let grid = Grid { corner: Point::new(-5.05, 5.0), step: 0.1, size: [101, 100] };
        let field = Field::of(&solid, grid);
        let got = -f64::from(field.height(50, 50));
        let want = golden::value(id);
        assert!((got - want).abs() < 0.005, "{id}: {got} for {want}");
        let slope = (angle / 2.0_f64).to_radians().tan();
        for column in 0..101 {
            let off = grid.at(column, 50).x.abs();
            // Beyond the flat of the tip the bit's side is the wall of the stroke.
            if off > flat / 2.0 + 0.11 && off < width / 2.0 - 0.01 {
                let want = (width / 2.0 - off) / slope;
                let got = -f64::from(field.height(column, 50));
                assert!((got - want).abs() < 0.01, "{id}: {got} for {want} at {off}");
            }
        }
    }
}

/// The letters of a name: depth by the distance to their edge, asked from their curves.
#[test]
fn letters_are_as_deep_as_their_strokes_are_wide() {
    let name = boat("Zoë").name.expect("a name");
    let mut solid = board(disc(110.0));
    let (surface, limit) = (3.0, 2.0);
    solid.cuts = vec![Cut::Pointed {
        area: name.region.clone(),
        by: Box::new(vee(12.7, 60.0, 0.0)),
        surface,
        limit,
    }];
    let grid = Grid::over(name.region.bounds(), 0.1);
    let field = Field::of(&solid, grid);
    let slope = 30.0_f64.to_radians().tan();
    let (mut worst, mut count) = (0.0_f64, 0);
    for (at, z) in inside(&field).step_by(23) {
        let pieces = name.region.contours().iter().flat_map(Contour::pieces);
        let far = pieces.map(|piece| piece.curve.nearest(at).distance(at));
        let far = far.fold(f64::INFINITY, f64::min);
        let carved = name.region.contains(at);
        let depth = (far / slope).min(limit);
        let want = if carved { -(surface + depth) } else { 0.0 };
        if far > 0.003 {
            worst = worst.max((z - want).abs());
            count += usize::from(carved);
        }
    }
    assert!(count > 500, "{count} places in letters");
    assert!(worst < 0.1, "off by {worst} mm, more than a cell");
    println!("letters: off by {worst:.4} mm at {count} places");
}

fn scene(case: &Case) -> Scene {
    let dish = &case.dish;
    let by = Tip::of(&bowl(25.4, 6.35));
    let recess = &dish.recesses[0];
    let area = recess.region.clone();
    let mut solid = board(dish.outline.clone());
    solid.cuts = vec![Cut::Cleared { area, by, depth: recess.depth }];
    let timber = Timber::new(&dish.wood, Grain::X, &dish.id);
    Scene { solid, timber, paper: [250, 248, 240] }
}

/// A picture of a dish is paper far from it and nowhere else, and its mean colour is near the
/// tone of the wood.
#[test]
fn a_picture_shows_wood_on_paper() {
    let shop = the_shop();
    let mut case = Case::of(boat("Zoë"));
    for wood in shop.woods {
        case.dish.wood = wood;
        let scene = scene(&case);
        let grid = Grid::over(scene.bounds(), 0.5);
        let pixels = scene.painter(grid).all();
        assert_eq!(pixels.len(), 3 * grid.size[0] * grid.size[1], "red, green, blue");
        assert!(pixels == scene.painter(grid).all(), "the same again");
        let rim = case.dish.outline.cut(&case.dish.recesses[0].region);
        let mut sum = [0.0; 3];
        let mut count = 0.0;
        for (index, rgb) in pixels.chunks(3).enumerate().step_by(17) {
            let at = grid.at(index % grid.size[0], index / grid.size[0]);
            if rim.contains(at) {
                for (sum, part) in sum.iter_mut().zip(rgb) {
                    *sum += f64::from(*part);
                }
                count += 1.0;
            }
        }
        for (sum, tone) in sum.into_iter().zip(case.dish.wood.tone) {
            let off = sum / count - f64::from(tone);
            assert!(off.abs() < 20.0, "{}: {off} off its tone", case.dish.wood.name);
        }
        assert_eq!(pixels[..3], [250, 248, 240], "the corner is paper");
    }
}

/// The heights of a dish of the demo as planned: as deep as stated, and nothing deeper than
/// its name.
#[test]
fn a_planned_dish_is_as_deep_as_stated() {
    let Case { dish, plan, shop, .. } = Case::of(boat("Zoë"));
    let solid = treen::sheet::solid(&dish, &plan, &shop);
    let field = Field::of(&solid, Grid::over(dish.outline.bounds(), 0.4));
    let name = dish.name.as_ref().expect("a name");
    let deepest = inside(&field).map(|(_, z)| -z).fold(0.0, f64::max);
    let recess = dish.recesses[0].depth;
    assert!(deepest > recess + 0.3, "the name is cut into the floor: {deepest}");
    assert!(deepest <= recess + name.depth.max(0.75) + 1e-6, "{deepest}");
    let bounds: Rect = dish.recesses[0].region.bounds();
    assert!(bounds.contains(Point::new(0.0, 0.0)), "the middle is hollow");
    let floor = inside(&field).filter(|(_, z)| (z + recess).abs() < 1e-6).count();
    assert!(floor as f64 * 0.16 > 0.3 * dish.recesses[0].region.area(), "a flat floor");
}

/// A low wall that stands a little aslant to the pixels: what is painted across it does not
/// depend on where along it the pixels fall. Ash is left out, its pores are as wide as the wall.
#[test]
fn a_wall_is_painted_evenly_along_its_length() {
    // One pixel to the right every twenty rows.
    const ROWS: usize = 20;
    const TURNS: usize = 60;
    const WIDE: usize = 160;
    let slant = 1.0 / ROWS as f64;
    let ends = [-200.0, 200.0].map(|y| Point::new(-slant * y, y));
    let mut path = BezPath::new();
    path.move_to(ends[0]);
    path.line_to((200.0, -200.0));
    path.line_to((200.0, 200.0));
    path.line_to(ends[1]);
    path.close_path();
    let mut solid = board(block(800.0, 800.0, 0.0));
    let (by, depth) = (Tip::Square(0.0), 0.6);
    solid.cuts = vec![Cut::Cleared { area: area(&path), by, depth }];
    let step = 0.3;
    let left = -step * WIDE as f64 / 2.0;
    let corner = Point::new(left, step * (ROWS * TURNS) as f64 / 2.0);
    let grid = Grid { corner, step, size: [WIDE, ROWS * TURNS] };
    let woods = the_shop().woods.into_iter().filter(|wood| wood.name != "ash");
    for wood in woods {
        let timber = Timber::new(&wood, Grain::X, "wall");
        let scene = Scene { solid: solid.clone(), timber, paper: [255; 3] };
        let pixels = scene.painter(grid).all();
        // Sums over seven pixels, the wall in the fourth, by where it goes through that.
        let mut sums = [0.0; ROWS];
        for row in 0..ROWS * TURNS {
            let wall = -slant * grid.at(0, row).y;
            let column = ((wall - left) / step).floor() as usize;
            let about = &pixels[3 * (row * WIDE + column - 3)..][..3 * 7];
            let green = about.chunks(3).map(|rgb| f64::from(rgb[1]));
            sums[row % ROWS] += green.sum::<f64>() / TURNS as f64;
        }
        // Little by little a pixel of the floor leaves for one of the rim: a straight line.
        let middle = (ROWS as f64 - 1.0) / 2.0;
        let mean = sums.iter().sum::<f64>() / ROWS as f64;
        let away = (0..ROWS).map(|place| place as f64 - middle);
        let square: f64 = away.clone().map(|x| x * x).sum();
        let rise = away.clone().zip(sums).map(|(x, sum)| x * sum).sum::<f64>() / square;
        for (x, sum) in away.zip(sums) {
            let off = sum - mean - rise * x;
            assert!(off.abs() < 8.0, "{}: {off} of {sums:.1?}", wood.name);
        }
    }
}
