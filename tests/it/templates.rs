//! Cutting drawings: read again by others they are the dish in true millimetres.

use crate::sample::boat;
use std::collections::BTreeMap;
use treen::curve::{BezPath, Origin, PathEl, Rect, Region};
use treen::dish::Dish;
use treen::export::template_svg;
use treen::sheet::{Lines, template};
use usvg::tiny_skia_path::{PathSegment, Point};

/// User units of CSS in a mm; the reader measures in them.
const PER_MM: f64 = 96.0 / 25.4;

/// The paths of each named group as another reader sees them, in mm, y down, and the size of
/// the drawing.
fn read(svg: &str) -> (BTreeMap<String, BezPath>, [f64; 2]) {
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).expect("an SVG");
    let size = tree.size();
    let size = [size.width(), size.height()].map(|side| f64::from(side) / PER_MM);
    let mut layers = BTreeMap::new();
    for node in tree.root().children() {
        collect(node, "", &mut layers);
    }
    (layers, size)
}

fn collect(node: &usvg::Node, layer: &str, layers: &mut BTreeMap<String, BezPath>) {
    match node {
        usvg::Node::Group(group) => {
            let name = if group.id().is_empty() { layer } else { group.id() };
            for child in group.children() {
                collect(child, name, layers);
            }
        }
        usvg::Node::Path(path) => {
            assert!(path.fill().is_none(), "{layer}: nothing is filled");
            let into = layers.entry(layer.to_owned()).or_default();
            let t = path.abs_transform();
            let at = |p: Point| {
                let (x, y) = (f64::from(p.x), f64::from(p.y));
                let [sx, kx, tx] = [t.sx, t.kx, t.tx].map(f64::from);
                let [ky, sy, ty] = [t.ky, t.sy, t.ty].map(f64::from);
                treen::curve::Point::new(
                    (sx * x + kx * y + tx) / PER_MM,
                    (ky * x + sy * y + ty) / PER_MM,
                )
            };
            for segment in path.data().segments() {
                into.push(match segment {
                    PathSegment::MoveTo(p) => PathEl::MoveTo(at(p)),
                    PathSegment::LineTo(p) => PathEl::LineTo(at(p)),
                    PathSegment::QuadTo(p, q) => PathEl::QuadTo(at(p), at(q)),
                    PathSegment::CubicTo(p, q, r) => PathEl::CurveTo(at(p), at(q), at(r)),
                    PathSegment::Close => PathEl::ClosePath,
                });
            }
        }
        usvg::Node::Image(_) | usvg::Node::Text(_) => panic!("lines alone"),
    }
}

fn near(a: Rect, b: Rect) -> bool {
    let ends = [(a.x0, b.x0), (a.y0, b.y0), (a.x1, b.x1), (a.y1, b.y1)];
    ends.iter().all(|(a, b)| (a - b).abs() < 0.002)
}

/// Every layer of a dish, read again, has the area and the place it was drawn with.
fn held(dish: &Dish) -> String {
    let drawing = template(dish);
    let svg = template_svg(&drawing);
    let (layers, [wide, high]) = read(&svg);
    let bounds = drawing.bounds;
    assert!((wide - bounds.width()).abs() < 0.001, "{wide} mm wide for {bounds:?}");
    assert!((high - bounds.height()).abs() < 0.001, "{high} mm high for {bounds:?}");
    assert_eq!(layers.len(), drawing.layers.len(), "a group for each");
    for plane in &drawing.layers {
        let again = &layers[&plane.name];
        let Lines::Areas(region) = &plane.lines else { continue };
        let starts = again.elements().iter().filter(|e| matches!(e, PathEl::MoveTo(_)));
        let ends = again.elements().iter().filter(|e| matches!(e, PathEl::ClosePath));
        let count = region.contours().len();
        assert_eq!(starts.count(), count, "{}: a path for each boundary", plane.name);
        assert_eq!(ends.count(), count, "{}: every one is closed", plane.name);
        // The reader keeps seven digits, and turns arcs into cubics.
        let area = Region::filled_odd(again, Origin::default()).expect("an area").area();
        let off = (area - region.area()).abs() / region.area();
        assert!(off < 2e-5, "{}: {area} mm² for {}", plane.name, region.area());
        let was = region.bounds();
        let was = Rect::new(
            was.x0 - bounds.x0,
            bounds.y1 - was.y1,
            was.x1 - bounds.x0,
            bounds.y1 - was.y0,
        );
        let drawn = again.segments().fold(None, |all: Option<Rect>, segment| {
            let own = treen::curve::Drawn::bounding_box(&segment);
            Some(all.map_or(own, |all| all.union(own)))
        });
        let drawn = drawn.expect("drawn");
        assert!(near(drawn, was), "{}: {drawn:?} for {was:?}", plane.name);
    }
    svg
}

#[test]
fn a_dish_is_read_again_as_it_is() {
    let svg = held(&boat("Zoë"));
    for name in ["outline", "recess", "name", "details", "detail-middles"] {
        assert!(svg.contains(&format!("<g id=\"{name}\"")), "a layer `{name}`");
    }
    assert!(svg.contains("<title>Recess, 18 mm deep</title>"), "what it is");
    assert_eq!(svg, held(&boat("Zoë")), "the same bytes");
    let name = svg.split("<g id=\"name\"").nth(1).and_then(|it| it.split("</g>").next());
    assert!(name.expect("there").contains('C'), "curves, not chords");
}

#[test]
fn arcs_stay_arcs() {
    let svg = held(&boat(""));
    let details = svg.split("<g id=\"details\"").nth(1).expect("there");
    assert!(details.split("</g>").next().expect("ended").contains('A'), "round ends");
}

#[test]
fn every_shape_of_the_library_is_read_again_as_it_is() {
    let shop = crate::sample::the_shop();
    for (key, text) in treen::intake::demo::RECIPES.iter().step_by(3) {
        let recipe = treen::intake::recipe(key, text, key, None).value.expect("sound");
        let mut order = treen::batch::specimen(&recipe, Vec::new());
        "Ada".clone_into(&mut order.name);
        let pins = treen::feasibility::Pins::default();
        let compared = treen::batch::compare(&recipe, &order, &shop, &pins);
        held(&compared.dish.expect("drawn").0);
    }
}

#[test]
fn words_from_outside_are_inert() {
    let mut dish = boat("Zoë");
    dish.title = "</title><script>&\"".to_owned();
    let svg = held(&dish);
    assert!(!svg.contains("<script"), "{svg}");
}
