use crate::icons::*;
use treen::reach::*;
#[test]
fn probe() {
    let k: usize = std::env::var("K").unwrap().parse().unwrap();
    let c: f64 = std::env::var("C").unwrap().parse().unwrap();
    let inside = std::env::var("I").is_ok();
    let region = icon(ALL[k]).unwrap();
    println!("contours {} area {}", region.contours().len(), region.area());
    for ct in region.contours() {
        println!(" pieces {} area {}", ct.pieces().len(), ct.signed_area());
    }
    let mut p = if inside {
        Profile::inside(&region, 20.0)
    } else {
        Profile::outside(&region, 20.0)
    };
    println!("low {:?}", p.lowest_reach());
    p.debug(c);
    if let Some(l) = p.leftovers(c) {
        for l in l {
            println!(
                "{:?} area {} depth {} mouth {} parts {}",
                l.at,
                l.area,
                l.depth,
                l.mouth,
                l.region.contours().len()
            );
        }
    }
    let got = if inside {
        opening(&region, c, treen::curve::Origin(0))
    } else {
        closing(&region, c, treen::curve::Origin(0))
    };
    if let Some(g) = got {
        println!("result area {} contours {}", g.area(), g.contours().len());
    }
}
