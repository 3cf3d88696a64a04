//! Details that ask for their cutter by kind and size.

use treen::batch::{Examined, examine, specimen};
use treen::feasibility::Pins;
use treen::finding::{Code, Severity};
use treen::intake::{demo, recipe, shop};
use treen::model::Shop;
use treen::plan::{Work, groove_depth};

fn the_shop(cutters: &str) -> Shop {
    let text = format!("cutters:\n{cutters}");
    let read = shop("shop.yaml", &text);
    read.value.unwrap_or_else(|| panic!("{:?}", read.findings))
}

fn dish(with: &str, width: f64, shop: &Shop) -> Examined {
    let text = format!(
        "title: Test\noutline: [{{circle: {{radius: 60}}}}]\ndetails:\n  \
         - {{groove: [[-20, 0], [20, 0]], width: {width}{with}}}\n"
    );
    let read = recipe("test.yaml", &text, "test", None);
    let recipe = read.value.unwrap_or_else(|| panic!("{:?}", read.findings));
    examine(&recipe, &specimen(&recipe, Vec::new()), shop, &Pins::default())
}

fn details(examined: &Examined) -> (String, f64) {
    let (.., plan) = examined.dish.as_ref().expect("drawn");
    let cut = plan.operations.iter().find(|op| op.work == Work::Details);
    let cut = cut.expect("details are carved");
    (cut.cutter.clone(), cut.depth)
}

#[test]
fn the_nearest_of_the_kind_is_taken_and_said() {
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    // Without a word: the V-bit of 60 degrees, or an end mill that is as wide.
    assert_eq!(details(&dish("", 2.2, &shop)).0, "vee-60");
    assert_eq!(details(&dish("", 2.0, &shop)).0, "end-2");
    let exact = dish(", with: v-bit 90", 2.0, &shop);
    assert_eq!(details(&exact).0, "vee-90");
    assert!(exact.findings.iter().all(|f| f.code != Code::CutterNotOnRack));
    // 1/8 in is not on the rack: 1/4 in stands in, sunk until its ball is 2 mm wide.
    let near = dish(", with: ball nose 1/8 in", 2.0, &shop);
    let (id, depth) = details(&near);
    let ball = 3.175 - (3.175_f64 * 3.175 - 1.0).sqrt();
    assert_eq!(id, "ball-6");
    assert!((depth - ball).abs() < 1e-9, "{depth} is not {ball}");
    let said = near.findings.iter().find(|f| f.code == Code::CutterNotOnRack);
    let said = said.expect("another size is said");
    assert_eq!(said.severity, Severity::Note);
    assert!(said.message.contains("ball nose of 3.175 mm"), "{}", said.message);
    assert!(said.message.contains("ball-6 stands in"), "{}", said.message);
    assert_eq!(said.remedies[0].value, Some(3.175));
    let place = said.source.as_ref().expect("a place");
    assert_eq!(place.line, 4);
}

#[test]
fn where_none_of_the_kind_can_the_rest_is_looked_at() {
    let shop = the_shop(
        "  - {id: end-6, kind: end mill, diameter: 6}\n  \
         - {id: vee-60, kind: v-bit, diameter: 12, angle: 60}\n",
    );
    let examined = dish(", with: end mill 2 mm", 2.0, &shop);
    assert_eq!(details(&examined).0, "vee-60");
    let said = examined.findings.iter().find(|f| f.code == Code::CutterNotOnRack);
    let said = said.expect("that none can is said");
    assert!(said.message.contains("the rest of the rack"), "{}", said.message);
    assert!(said.remedies[0].text.contains("diameter: 2 mm"), "{:?}", said.remedies);
}

#[test]
fn a_kind_without_a_size_takes_the_first_that_can() {
    let shop = the_shop(
        "  - {id: vee-60, kind: v-bit, diameter: 12, angle: 60}\n  \
         - {id: end-3, kind: end mill, diameter: 3}\n",
    );
    let examined = dish(", with: end mill", 3.0, &shop);
    assert_eq!(details(&examined).0, "end-3");
    assert!(examined.findings.iter().all(|f| f.code != Code::CutterNotOnRack));
}

#[test]
fn a_cutter_that_cannot_says_why() {
    let shop = shop("shop.yaml", demo::SHOP).value.expect("the demo's shop");
    let examined = dish("", 0.05, &shop);
    let (dish, ..) = examined.dish.as_ref().expect("drawn");
    let fine = dish.grooves.first().expect("a groove");
    let why = |id: &str| {
        let cutter = shop.cutters.iter().find(|c| c.id() == id).expect("on the rack");
        groove_depth(cutter, fine).expect_err("too wide")
    };
    assert!(why("vee-30").contains("the flat at its tip, 0.1 mm"), "{}", why("vee-30"));
    assert!(why("end-3").contains("3.175 mm"), "{}", why("end-3"));
    assert!(why("comp-6").contains("carves no grooves"), "{}", why("comp-6"));
}
