//! The page that turns a dish: whole in itself, true to the heights, harmless.

use crate::sample::{Case, boat};
use base64::{Engine as _, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};
use std::io::Read;
use treen::curve::Point;
use treen::export::turn;
use treen::relief::{Field, Grid};
use treen::sheet::{proof, solid, turning};

fn page(case: &Case) -> String {
    let sheet = proof(&case.dish, &case.report, &case.plan, &case.shop);
    let turning = turning(&case.dish, &sheet, &case.shop).expect("a painted dish");
    turn(&turning).expect("a page")
}

/// What stands between two marks, after a first one.
fn between<'a>(text: &'a str, after: &str, from: &str, to: &str) -> &'a str {
    let rest = text.split_once(after).unwrap_or_else(|| panic!("{after} is missing")).1;
    rest.split_once(from).and_then(|(_, rest)| rest.split_once(to)).expect("a part").0
}

fn number(page: &str, name: &str) -> f64 {
    let text = between(page, "id=\"heights\"", &format!("data-{name}=\""), "\"");
    text.parse().expect("a number")
}

/// Depths and ways to the outline, in their steps, read by the format's description.
fn unpacked(page: &str) -> (Vec<u16>, Vec<u8>) {
    let text = between(page, "id=\"heights\"", ">", "<");
    let packed = STANDARD.decode(text).expect("base64");
    let mut planes = Vec::new();
    flate2::read::ZlibDecoder::new(packed.as_slice())
        .read_to_end(&mut planes)
        .expect("zlib");
    let columns = number(page, "columns") as usize;
    let count = columns * number(page, "rows") as usize;
    assert_eq!(planes.len(), 3 * count, "three planes");
    let mut depths: Vec<u16> = Vec::with_capacity(count);
    let mut ways: Vec<u8> = Vec::with_capacity(count);
    for at in 0..count {
        let get = |back: usize| at.checked_sub(back).map_or(0, |place| depths[place]);
        let (left, above, corner) = (get(1), get(columns), get(columns + 1));
        let (low, high) = (left.min(above), left.max(above));
        let slope = i32::from(left) + i32::from(above) - i32::from(corner);
        let guess = slope.clamp(i32::from(low), i32::from(high)) as u16;
        let rest = u16::from_be_bytes([planes[at], planes[count + at]]);
        depths.push(guess.wrapping_add(rest));
        let before = ways.last().copied().unwrap_or(0);
        ways.push(before.wrapping_add(planes[2 * count + at]));
    }
    (depths, ways)
}

#[test]
fn its_heights_are_those_of_the_dish() {
    let case = Case::of(boat("Bo"));
    let page = page(&case);
    let (depths, ways) = unpacked(&page);
    let size = [number(&page, "columns"), number(&page, "rows")].map(|n| n as usize);
    let (step, unit) = (number(&page, "step"), number(&page, "unit"));
    let bounds = case.dish.outline.bounds();
    let corner = Point::new(bounds.x0 - 3.0 * step, bounds.y1 + 3.0 * step);
    let field = Field::of(
        &solid(&case.dish, &case.plan, &case.shop),
        Grid { corner, step, size },
    );
    let (mut inside, mut cut, mut unlike) = (0, 0, 0);
    for (at, (depth, way)) in depths.iter().zip(&ways).enumerate() {
        let z = field.height(at % size[0], at / size[0]);
        if z.is_nan() {
            unlike += usize::from(*way >= 128);
            continue;
        }
        inside += 1;
        unlike += usize::from(*way < 128);
        let told = -f64::from(*depth) * unit;
        cut += usize::from(told < -1.0);
        unlike += usize::from((told - f64::from(z)).abs() > unit);
    }
    assert!(inside > 100_000 && cut > 20_000, "{inside} cells, {cut} of them cut");
    assert_eq!(unlike, 0, "of {inside} cells so many are not as they are made");
}

#[test]
fn it_asks_for_nothing_and_runs_its_own_script_alone() {
    let page = page(&Case::of(boat("Bo")));
    let rules = between(&page, "Content-Security-Policy", "content=\"", "\"");
    assert!(rules.starts_with("default-src 'none'; img-src data:;"), "{rules}");
    for (kind, open, close) in
        [("script", "<script>", "</script>"), ("style", "<style>", "</style>")]
    {
        let text = between(&page, "", open, close);
        assert!(text.len() > 500, "{kind} is there");
        let mark = STANDARD.encode(Sha256::digest(text.as_bytes()));
        assert!(
            rules.contains(&format!("{kind}-src 'sha256-{mark}'")),
            "{kind}: {rules}"
        );
        assert_eq!(page.matches(open).count(), 1, "one {kind}");
    }
    // None of these can stand in base64.
    for from in ["href=", "@import", "url(", "fetch(", "XMLHttpRequest(", "import("] {
        assert!(!page.contains(from), "{from} in the page");
    }
    let sources = page.matches(" src=").count();
    assert_eq!(
        page.matches(" src=\"data:image/jpeg;base64,").count(),
        sources,
        "pictures"
    );
    let kinds = ["jpeg;base64,", "id=\"wood\">"];
    for kind in kinds {
        let text = between(&page, "", kind, if kind.ends_with('>') { "<" } else { "\"" });
        let bytes = STANDARD.decode(text).expect("base64");
        assert!(bytes.starts_with(&[0xFF, 0xD8]), "{kind} is a JPEG");
    }
    assert!(page.len() < 400_000, "{} bytes", page.len());
}

#[test]
fn the_same_dish_gives_the_same_page() {
    let case = Case::of(boat("Bo"));
    assert!(page(&case) == page(&case), "two pages of one dish");
}

#[test]
fn hostile_words_stay_words() {
    let name = "<script>alert(1)</script>]]>&\"'\u{202e}\u{1b}";
    let mut dish = boat(name);
    dish.title = "<!-- <img src=x onerror=alert(2)> --!>".to_owned();
    let page = page(&Case::of(dish));
    let scripts = page.matches("<script").count();
    assert_eq!(scripts, 3, "the page's own and its two blocks");
    assert_eq!(page.matches("<img").count(), 1, "one picture");
    assert!(!page.contains("<!--") && !page.contains("]]>"), "no comment, no section");
    assert!(!page.contains('\u{202e}') && !page.contains('\u{1b}'), "no controls");
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"), "as it is written");
}
