//! `treen orders`: what a list comes to, before anything is drawn.

use crate::Outcome;
use crate::args::OrdersArgs;
use crate::inputs::{Orders, orders_alone, the_shop};
use crate::output::{Output, answer};
use crate::table::table;
use std::io;
use treen::batch::{Tally, WoodNeed, tally, tally_json};
use treen::finding::{Severity, plain, worst};
use treen::model::Shop;

/// Most ids and headings that are listed.
const MOST: usize = 20;

pub(crate) fn run(args: &OrdersArgs, out: Output) -> io::Result<Outcome> {
    let path = args.orders.as_deref();
    let shop = the_shop(args.shop.as_deref(), path);
    let Orders { list, library, .. } = match orders_alone(path, shop.value.as_ref()) {
        Ok(orders) => orders,
        Err(finding) => {
            out.refuse(&[*finding])?;
            return Ok(Outcome::BadInput);
        }
    };
    let findings = [list.findings, shop.findings].concat();
    let (Some(list), Some(shop)) = (list.value, shop.value) else {
        out.refuse(&findings)?;
        return Ok(Outcome::BadInput);
    };
    let sum = tally(&list, &library, &shop);
    out.findings(&findings)?;
    if out.json {
        answer(&tally_json(&sum, &findings))?;
    } else {
        answer(&told(&sum, &shop))?;
    }
    Ok(match worst(&findings) {
        Some(Severity::Stop) => Outcome::BadInput,
        _ if sum.stopped.is_empty() => Outcome::AllWell,
        _ => Outcome::SomeStopped,
    })
}

fn told(sum: &Tally, shop: &Shop) -> String {
    let parts = [
        format!("{} orders for {} dishes\n", sum.orders, sum.dishes),
        recipes(sum),
        woods(sum),
        cutters(sum, shop),
        format!(
            "about {:.0} min at the machine, tool changes counted (estimated); board for the \
             blanks alone, nothing between them\n",
            sum.minutes
        ),
    ];
    let lists = [
        (&sum.stopped, "orders cannot be made as they are (`treen check` says why)"),
        (&sum.aside, "columns are not read"),
    ];
    let lists =
        lists.iter().filter(|(words, _)| !words.is_empty()).map(|(words, said)| {
            let mut shown: Vec<String> =
                words.iter().take(MOST).map(|it| plain(it)).collect();
            shown.extend((words.len() > MOST).then(|| "…".to_owned()));
            format!("{} {said}: {}\n", words.len(), shown.join(", "))
        });
    format!("{}{}", parts.join("\n"), lists.collect::<Vec<_>>().concat())
}

/// A table under its head.
fn headed<const N: usize>(head: [&str; N], rows: Vec<[String; N]>) -> String {
    let head = head.map(str::to_owned).to_vec();
    let rows = rows.into_iter().map(|row| row.to_vec());
    table(&std::iter::once(head).chain(rows).collect::<Vec<_>>())
}

fn recipes(sum: &Tally) -> String {
    let row = |(recipe, (orders, dishes)): (&String, &(usize, u32))| {
        [plain(recipe), orders.to_string(), dishes.to_string()]
    };
    headed(["recipe", "orders", "dishes"], sum.recipes.iter().map(row).collect())
}

fn woods(sum: &Tally) -> String {
    let row = |(wood, need): (&String, &WoodNeed)| {
        let area = format!("{:.3} m²", need.area / 1e6);
        let price = need.price.map_or_else(|| "-".to_owned(), |it| format!("{it:.2}"));
        [plain(wood), need.dishes.to_string(), area, price]
    };
    headed(["wood", "dishes", "board", "price"], sum.woods.iter().map(row).collect())
}

/// In the order of the rack.
fn cutters(sum: &Tally, shop: &Shop) -> String {
    let rows = shop.cutters.iter().filter_map(|cutter| {
        let need = sum.cutters.get(cutter.id())?;
        let (kind, minutes) = (cutter.kind().word(), format!("{:.0}", need.minutes));
        Some([plain(cutter.id()), kind.to_owned(), need.dishes.to_string(), minutes])
    });
    headed(["cutter", "kind", "dishes", "minutes"], rows.collect())
}
