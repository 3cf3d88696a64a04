//! The shop's mark on proofs.

use crate::cli::{code, stderr, treen};
use crate::kills::COIN;
use crate::sample::{Case, boat};
use crate::sheets::{in_order, look};
use std::fs;
use treen::batch::marked;
use treen::intake::{demo, shop};
use treen::sheet::{Mark, proof};

const CUTTERS: &str = "cutters: [{id: end-6, kind: end mill, diameter: 6 mm}]\n";
const LIST: &str = "id,name,recipe\nm-1,Ada,coin\n";

#[test]
fn the_mark_of_the_demo_stands_in_its_place() {
    let mut case = Case::of(boat("Maximiliane Rosa and the Others"));
    case.shop = marked(shop("shop.yaml", demo::SHOP), None).value.expect("a shop");
    let page = proof(&case.dish, &case.report, &case.plan, &case.shop);
    in_order("marked", &page);
    look("marked", &page);
    let heading = &page.layers[0];
    let filled = heading.marks.iter().find_map(|mark| match mark {
        Mark::Path(drawn) if drawn.fill.is_some() => Some(drawn.path.control_box()),
        Mark::Path(_) | Mark::Text(_) | Mark::Picture(_) => None,
    });
    let place = filled.expect("the mark is drawn");
    assert!(place.height() < 16.0 && place.width() < 45.0, "small: {place:?}");
    assert!((place.x1 - (page.size[0] - page.margin)).abs() < 0.1, "at the right");
    for mark in &heading.marks {
        let Mark::Text(text) = mark else { continue };
        let [x0, y0, x1, y1] = text.extent();
        let apart = x1 <= place.x0 || x0 >= place.x1 || y1 <= place.y0 || y0 >= place.y1;
        assert!(apart, "`{}` lies over the mark", text.text);
    }
}

#[test]
fn a_mark_that_cannot_be_printed_is_told_with_its_place() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = |name: &str| dir.path().join(name);
    fs::write(path("coin.yaml"), COIN).expect("written");
    fs::write(path("list.csv"), LIST).expect("written");
    let svg = |body: &str| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{body}</svg>"
        )
    };
    let square = "<path d=\"M1 1h7v7h-7z\"/>";
    let files = [
        ("fine.svg", svg(square)),
        ("script.svg", svg("<script>1</script>")),
        ("far.svg", svg("<image href=\"http://other.example/a.png\"/>")),
        ("lines.svg", svg("<path d=\"M1 1h7\" fill=\"none\" stroke=\"red\"/>")),
        ("no.svg", "nothing".to_owned()),
    ];
    for (name, text) in files {
        fs::write(path(name), text).expect("written");
    }
    let run = |mark: &str| {
        fs::write(path("shop.yaml"), format!("{CUTTERS}proof: {{mark: {mark}}}\n"))
            .expect("written");
        treen(dir.path(), &["proof", "list.csv", "--dpi", "20"])
    };
    for (mark, said) in [
        ("script.svg", "`script` element"),
        ("far.svg", "`image` element"),
        ("lines.svg", "only stroked lines"),
        ("no.svg", "not an SVG file"),
        ("gone.svg", "there is no such file"),
        ("../fine.svg", "beside"),
    ] {
        let ran = run(mark);
        let told = stderr(&ran);
        assert_eq!(code(&ran), 2, "{mark}: {told}");
        assert!(told.contains(said), "{mark}: {told}");
        assert!(told.contains("shop.yaml:2:15"), "{mark}: its place: {told}");
        assert!(told.contains("help: "), "{mark}: how to mend it: {told}");
    }
    // Another mark in the same file makes the proofs again.
    let proof = || fs::read_to_string(path("out/m-1-proof.svg")).expect("there");
    assert!(code(&run("fine.svg")) <= 1, "drawn");
    let first = proof();
    fs::write(path("fine.svg"), svg("<path d=\"M1 1h3v7h-3z\"/>")).expect("written");
    assert!(code(&run("fine.svg")) <= 1, "drawn again");
    assert_ne!(first, proof(), "with the new mark");
}
