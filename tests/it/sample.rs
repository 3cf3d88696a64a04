//! Dishes made by hand for the tests of sheets.

use treen::curve::{Affine, BezPath, Origin, Point, Region, primitive};
use treen::dish::{Dish, GrooveCut, NameCut, RecessCut};
use treen::feasibility::{Pins, Report, check};
use treen::finding::{Source, SourceFile};
use treen::intake::{demo, shop};
use treen::lettering::{Face, Fit, Gauge, fit};
use treen::model::{Manner, NameStyle, Pin, Shop, Surface, Work};
use treen::plan::{Plan, choose};
use treen::reach;
use treen::sheet::{Mark, Picture, Sheet};
use treen::units::Mm;

/// The painted dish of a sheet.
pub(crate) fn painted(sheet: &Sheet) -> &Picture {
    let mut marks = sheet.layers.iter().flat_map(|layer| &layer.marks);
    let picture = marks.find_map(|mark| match mark {
        Mark::Picture(picture) => Some(picture),
        Mark::Path(_) | Mark::Text(_) => None,
    });
    picture.expect("a painted dish")
}

/// A dish with everything said and chosen about it.
pub(crate) struct Case {
    pub(crate) dish: Dish,
    pub(crate) report: Report,
    pub(crate) plan: Plan,
    pub(crate) shop: Shop,
}

impl Case {
    /// Checks a dish against the demo's shop.
    pub(crate) fn of(dish: Dish) -> Self {
        let shop = the_shop();
        let mut report = check(&dish, &shop, &Pins::default());
        let chosen = choose(&dish, &report, &shop);
        report.findings.extend(chosen.findings);
        Self { dish, report, plan: chosen.value.expect("a plan"), shop }
    }
}

/// A pin for cutting out, as on the command line.
pub(crate) fn cut_out(id: &str) -> Pin {
    let source = Source::whole(&SourceFile::new("--cutter", id));
    Pin { work: Work::CutOut, cutter: id.to_owned(), source }
}

pub(crate) fn the_shop() -> Shop {
    shop("shop.yaml", demo::SHOP).value.expect("the demo's shop")
}

fn area(path: &BezPath) -> Region {
    Region::filled(path, Origin::default()).expect("an area")
}

fn ellipse(x: f64, y: f64, a: f64, b: f64) -> Region {
    area(&primitive::ellipse(Point::new(x, y), a, b).expect("an ellipse"))
}

/// A boat of three overlapping ovals, with a name, a hollow and two grooves.
pub(crate) fn boat(person: &str) -> Dish {
    let outline = ellipse(0.0, 0.0, 105.0, 52.0)
        .unite(&ellipse(-40.0, 35.0, 38.0, 40.0))
        .unite(&ellipse(48.0, 30.0, 30.0, 36.0));
    dish(person, outline)
}

/// A round dish with so many sharp notches.
pub(crate) fn notched(person: &str, notches: u32) -> Dish {
    let mut outline = ellipse(0.0, 0.0, 100.0, 70.0);
    for i in 0..notches {
        let angle = f64::from(i) / f64::from(notches) * std::f64::consts::TAU;
        let at = |share: f64, turn: f64| {
            let angle = angle + turn;
            Point::new(100.0 * share * angle.cos(), 70.0 * share * angle.sin())
        };
        let wedge = [at(0.9, 0.0), at(1.1, -0.045), at(1.1, 0.045)];
        outline = outline.cut(&area(&primitive::polygon(&wedge).expect("a wedge")));
    }
    let mut notched = dish(person, outline);
    // Well clear of the wall that bends round the notches.
    notched.grooves[0].line.apply_affine(Affine::scale(0.7));
    notched
}

fn dish(person: &str, outline: Region) -> Dish {
    let shop = the_shop();
    let file = SourceFile::new("shapes/boat.yaml", "title: Boat\n");
    let source = Source::whole(&file);
    let hollow =
        reach::shrink(&outline, 10.0, Origin::default()).expect("room for a hollow");
    let hollow =
        reach::opening(&hollow, 12.7, Origin::default()).expect("room for a cutter");
    let recess =
        RecessCut { region: hollow, depth: 18.0, floor: 7.4, source: source.clone() };
    let mut groove = BezPath::new();
    groove.move_to((-75.0, -22.0));
    groove.curve_to((-30.0, -44.0), (30.0, -44.0), (75.0, -22.0));
    let groove = GrooveCut {
        line: groove,
        width: 1.5,
        depth: 0.75,
        on: Surface::Floor,
        with: None,
        source: source.clone(),
    };
    Dish {
        id: "leavers-07".to_owned(),
        person: person.to_owned(),
        recipe: "boat".to_owned(),
        title: "Boat".to_owned(),
        notes: vec!["Grain from bow to stern.".to_owned()],
        grain: None,
        parameters: vec![
            ("length".to_owned(), "210 mm".to_owned()),
            ("bow".to_owned(), "0.62".to_owned()),
        ],
        quantity: 1,
        note: Some("For her sister too, if there is enough of the board.".to_owned()),
        date: None,
        asked: vec!["length".to_owned()],
        manner: Manner::default(),
        wood: shop.woods[0].clone(),
        outline,
        outline_sources: vec![source.clone()],
        rim: Mm::new(10.0),
        recesses: vec![recess],
        name: name(person, &source),
        grooves: vec![groove],
        outer_round: Mm::new(3.175),
        recess_round: None,
        source,
    }
}

fn name(person: &str, source: &Source) -> Option<NameCut> {
    let mut baseline = BezPath::new();
    baseline.move_to((-70.0, -12.0));
    baseline.line_to((70.0, -12.0));
    let how = Fit {
        letters: Face::CARVED.into(),
        most: 26.0,
        least: 6.0,
        condense: 1.0,
        gap: 0.5,
        apart: 0.0,
        lines: 1,
    };
    let fitted = fit(person, &how, &baseline).ok()?;
    let region = fitted.region().ok()?;
    let Gauge { thinnest, wood } = fitted.gauge(&region);
    let widest = fitted.widest(&region);
    Some(NameCut {
        letters: fitted.by_letter(),
        centers: fitted.centers.concat(),
        pen: fitted.pen,
        region,
        baseline,
        height: fitted.height,
        tracking: fitted.tracking,
        condensed: fitted.condensed,
        lines: fitted.lines,
        style: NameStyle::Vee,
        panel: None,
        on: Surface::Floor,
        depth: 2.0,
        floor: 5.4,
        thinnest,
        widest,
        wood,
        source: source.clone(),
    })
}
