//! Order lists from where they are: workbooks, exports laid out by others, rows that spoil no
//! other row, and what a list comes to.

use crate::cli::{code, json, manifest, stderr, stdout, treen};
use crate::garbled::unpacked;
use crate::kills::COIN;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use std::fs;
use std::io::{Cursor, Write as _};
use treen::finding::{Finding, Severity, report, worst};
use treen::intake::{orders_book, orders_csv, shop};
use treen::model::{OrderForm, OrderList, SettingValue};
use zip::write::{SimpleFileOptions, ZipWriter};

fn form(text: &str) -> OrderForm {
    let rack = "cutters: [{id: a, kind: end mill, diameter: 6}]\n";
    let read = shop("shop.yaml", &format!("{rack}order_list:\n{text}"));
    read.value.unwrap_or_else(|| panic!("{}", report(&read.findings))).order_form
}

/// A workbook as a shop might export it: a blank row on top, columns of no interest, numbers
/// and dates as such, a blank row, a row with an error.
fn export() -> Vec<u8> {
    let mut book = Workbook::new();
    book.add_worksheet()
        .set_name("Notes")
        .expect("a name")
        .write(0, 0, "nothing here")
        .expect("written");
    let sheet = book.add_worksheet();
    sheet.set_name("Sales").expect("a name");
    let heads =
        ["Sale", "Name", "Engraving", "Item", "Timber", "Qty", "Wanted", "Across"];
    for (column, head) in (1..).zip(heads) {
        sheet.write(1, column, head).expect("written");
    }
    let rows = [
        ("W-1", "A. Buyer", "Zoë", "Round tray", "rock", 2.0, 150.0),
        ("W-2", "B. Buyer", "Bo", "coin", "cherry", 1.0, 120.5),
    ];
    for (row, (id, buyer, name, item, wood, count, across)) in (2..).zip(rows) {
        for (column, text) in (1..).zip([id, buyer, name, item, wood]) {
            sheet.write(row, column, text).expect("written");
        }
        sheet.write(row, 6, count).expect("written");
        sheet.write(row, 8, across).expect("written");
    }
    let day = ExcelDateTime::from_ymd(2026, 11, 26).expect("a day");
    sheet
        .write_with_format(2, 7, &day, &Format::new().set_num_format("yyyy-mm-dd"))
        .expect("written");
    sheet.write(5, 1, "W-3").expect("written");
    sheet.write(5, 3, Formula::new("=1/0").set_result("#DIV/0!")).expect("written");
    sheet.write(5, 4, "coin").expect("written");
    sheet.write(6, 1, 1004).expect("written");
    sheet.write(6, 3, Formula::new("=\"I\"&\"da\"").set_result("Ida")).expect("written");
    sheet.write(6, 4, "ROUND TRAY ").expect("written");
    book.save_to_buffer().expect("a workbook")
}

const MAPPED: &str = "  sheet: sales
  columns: {id: Sale, name: Engraving, recipe: Item, wood: Timber, quantity: Qty, date: Wanted, size: across}
  recipes: {coin: Round tray}
  woods: {maple: Rock}
";

#[test]
fn an_export_is_read_as_it_is() {
    let read = orders_book("sales.xlsx", &export(), &form(MAPPED));
    let said = report(&read.findings);
    let list = read.value.expect("the sound rows");
    let ids: Vec<&str> = list.orders.iter().map(|order| order.id.as_str()).collect();
    assert_eq!(ids, ["W-1", "W-2", "1004"], "{said}");
    let first = &list.orders[0];
    assert_eq!((first.name.as_str(), &*first.recipe), ("Zoë", "coin"), "not the buyer");
    assert_eq!(first.wood.as_deref(), Some("maple"), "the shop's word");
    assert_eq!(
        (first.quantity, first.date.as_deref()),
        (2, Some("2026-11-26")),
        "a date"
    );
    let sizes: Vec<&SettingValue> =
        list.orders.iter().flat_map(|it| &it.set).map(|it| &it.value).collect();
    assert_eq!(
        sizes,
        [&SettingValue::Number(150.0), &SettingValue::Number(120.5)],
        "numbers"
    );
    assert_eq!(list.orders[2].name, "Ida", "what the formula gave");
    assert_eq!(&*list.orders[2].recipe, "coin", "capitals and blanks do not count");
    assert_eq!(list.aside, ["Name"], "left aside");
    // The error's row is told with sheet, row and column, and is the only one lost.
    let [finding] = read.findings.as_slice() else { panic!("{said}") };
    assert!(said.contains("sales.xlsx (sheet Sales):6:4"), "{said}");
    assert!(finding.message.contains("#DIV/0!"), "{said}");
}

/// A sheet in Open Document, each cell as its XML.
fn open_document(rows: &[&[&str]]) -> Vec<u8> {
    let row = |cells: &&[&str]| {
        format!("<table:table-row>{}</table:table-row>", cells.concat())
    };
    let rows: Vec<String> = rows.iter().map(row).collect();
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content \
         xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.3\">\
         <office:body><office:spreadsheet><table:table table:name=\"Names\">{}\
         </table:table></office:spreadsheet></office:body></office:document-content>",
        rows.concat()
    );
    let kind = "application/vnd.oasis.opendocument.spreadsheet";
    let contents = format!(
        "<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\">\
         <manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{kind}\"/>\
         </manifest:manifest>"
    );
    packed(&[
        ("mimetype", kind.as_bytes()),
        ("content.xml", content.as_bytes()),
        ("META-INF/manifest.xml", contents.as_bytes()),
    ])
}

fn packed(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut pack = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        pack.start_file(*name, SimpleFileOptions::default()).expect("begun");
        pack.write_all(bytes).expect("written");
    }
    pack.finish().expect("packed").into_inner()
}

/// A workbook, in one of whose files a text is left out.
fn without(book: &[u8], name: &str, text: &str) -> Vec<u8> {
    let mut files = unpacked(book);
    let (_, bytes) = files.iter_mut().find(|(it, _)| it == name).expect(name);
    let whole = String::from_utf8(bytes.clone()).expect("text");
    assert!(whole.contains(text), "{text} in {name}");
    *bytes = whole.replacen(text, "", 1).into_bytes();
    let files: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    packed(&files)
}

fn word(text: &str) -> String {
    format!(
        "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
    )
}

#[test]
fn open_document_says_the_same() {
    let [id, name, recipe, size] = ["id", "name", "recipe", "size"].map(word);
    let [one, zoe, coin, two, bo] =
        ["o-1", "Zo\u{eb} &amp; Bo", "coin", "o-2", "Bo"].map(word);
    let number = "<table:table-cell office:value-type=\"float\" office:value=\"150\"><text:p>150</text:p></table:table-cell>";
    let rest = "<table:table-cell table:number-columns-repeated=\"16000\"/>";
    let blank: &[&str] = &[rest];
    let bytes = open_document(&[
        &[&id, &name, &recipe, &size, rest],
        &[&one, &zoe, &coin, number, rest],
        blank,
        &[&two, &bo, &coin, rest],
    ]);
    let book = orders_book("o.ods", &bytes, &OrderForm::default());
    assert!(book.findings.is_empty(), "{}", report(&book.findings));
    let text = "id,name,recipe,size\no-1,Zo\u{eb} & Bo,coin,150\n\no-2,Bo,coin,\n";
    let csv = orders_csv("o.csv", text, &OrderForm::default());
    let said = |list: &OrderList| -> Vec<String> {
        let line = |order: &treen::model::Order| {
            let set: Vec<_> = order.set.iter().map(|it| (&it.name, &it.value)).collect();
            format!(
                "{} {} {} {set:?} {}",
                order.id, order.name, order.recipe, order.recipe_source.line
            )
        };
        list.orders.iter().map(line).collect()
    };
    assert_eq!(
        said(&book.value.expect("a list")),
        said(&csv.value.expect("a list")),
        "the same"
    );
}

fn refused(bytes: &[u8], what: &str) -> Finding {
    let read = orders_book("b.xlsx", bytes, &OrderForm::default());
    assert!(read.value.is_none(), "{what}");
    read.findings.into_iter().next().unwrap_or_else(|| panic!("{what}: nothing said"))
}

#[test]
fn workbooks_that_are_none_are_refused() {
    let sound = export();
    assert!(refused(b"", "empty").message.contains("not a workbook"), "empty");
    assert!(
        refused(&sound[..sound.len() / 2], "cut off").message.contains("not a workbook"),
        "cut"
    );
    refused(&packed(&[("a.txt", b"hello")]), "another archive");
    // Much packed into little.
    let zeros = vec![b' '; 80 << 20];
    let bomb = packed(&[("xl/workbook.xml", &zeros)]);
    assert!(bomb.len() < 1 << 20, "{} bytes", bomb.len());
    assert!(refused(&bomb, "unfolds").message.contains("64 MiB"), "unfolds");
    let far = "<table:table-cell table:number-columns-repeated=\"16000\" office:value-type=\"float\" office:value=\"1\"/>";
    let wide = open_document(&[&[far], &[far]]);
    assert!(refused(&wide, "wide").message.contains("beyond row"), "wide");
    let deep = "<table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell/></table:table-row>";
    let one = word("x");
    let row = format!("</table:table-row>{deep}<table:table-row>");
    let deep = open_document(&[&[&word("id"), &row, &one]]);
    assert!(refused(&deep, "deep").message.contains("beyond row"), "deep");
    // An end that never comes.
    for lost in ["</table:table>", "</table:table-row>", "</office:spreadsheet>"] {
        let sheet = open_document(&[&[&word("id"), &word("name")]]);
        let cut = without(&sheet, "content.xml", lost);
        assert!(refused(&cut, lost).message.contains("not a workbook"), "{lost}");
    }
    let cut = without(&sound, "xl/worksheets/sheet1.xml", "</sheetData>");
    assert!(refused(&cut, "sheet data").message.contains("not a workbook"), "XLSX");
    let texts = b"<sst xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" uniqueCount=\"99999999999\"></sst>";
    refused(
        &packed(&[("xl/workbook.xml", b"<workbook/>"), ("xl/sharedStrings.xml", texts)]),
        "counts",
    );
    let mut book = Workbook::new();
    book.add_worksheet().write(1_048_575, 16_383, "far").expect("written");
    let far = book.save_to_buffer().expect("a workbook");
    assert!(refused(&far, "far").message.contains("beyond row"), "far");
    let elsewhere = orders_book("b.xlsx", &sound, &form("  sheet: Salse\n"));
    let said = report(&elsewhere.findings);
    assert!(said.contains("did you mean `Sales`?"), "{said}");
}

/// Whatever bytes come, there is an answer that can be read.
#[test]
fn no_bytes_of_a_workbook_end_the_program() {
    let open = open_document(&[&[&word("id"), &word("name")], &[&word("a"), &word("b")]]);
    let books = [export(), open];
    let mut seed = 12_345_u64;
    let mut dice = |below: usize| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % below
    };
    for round in 0..400 {
        let mut bytes = books[round % 2].clone();
        for _ in 0..=dice(4) {
            let at = dice(bytes.len());
            bytes[at] = dice(256) as u8;
        }
        if dice(3) == 0 {
            bytes.truncate(dice(bytes.len()));
        }
        let read = orders_book("b.xlsx", &bytes, &form(MAPPED));
        let said = report(&read.findings);
        assert!(
            read.value.is_some() || worst(&read.findings) == Some(Severity::Stop),
            "{said}"
        );
        assert!(said.len() < 100_000, "round {round}: {} bytes said", said.len());
    }
}

#[test]
fn a_row_that_cannot_be_read_spoils_no_other() {
    let dir = tempfile::tempdir().expect("a folder");
    let put =
        |name: &str, text: &str| fs::write(dir.path().join(name), text).expect("written");
    put("coin.yaml", COIN);
    let good = "id,name,recipe,quantity\nr-1,Ada,coin,\nr-2,Bo,coin,2\nr-3,Di,coin,\n";
    put("list.csv", good);
    let args = ["proof", "list.csv", "--dpi", "20"];
    let ran = treen(dir.path(), &args);
    assert_eq!(code(&ran), 0, "{}", stderr(&ran));
    // A quantity that is none, a name that is missing, an id twice.
    put(
        "list.csv",
        &good
            .replace("coin,2", "coin,many")
            .replace("Di", "")
            .replace("r-3", "r-4")
            .replace("r-4,,coin,\n", "r-4,,coin,\nr-1,Flo,coin,\nr-5,Eve,coin,\n"),
    );
    let ran = treen(dir.path(), &[&args[..], &["--tidy"]].concat());
    assert_eq!(code(&ran), 2, "told by the code too");
    for said in
        ["list.csv:3:", "list.csv:4", "two orders have the id", "nothing is removed"]
    {
        assert!(stderr(&ran).contains(said), "{said}: {}", stderr(&ran));
    }
    let text = fs::read_to_string(dir.path().join("out/manifest.json")).expect("there");
    let manifest: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let ids: Vec<&str> = manifest["orders"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|it| it["id"].as_str())
        .collect();
    assert_eq!(ids, ["r-1", "r-5"], "the sound ones");
    assert_eq!(
        manifest["findings"].as_array().map(Vec::len),
        Some(3),
        "the others are told"
    );
    assert!(
        dir.path().join("out/r-2-proof.svg").exists(),
        "sheets of a row that is mended later"
    );
    let check = treen(dir.path(), &["check", "list.csv", "--json"]);
    assert_eq!(json(&check)["dishes"].as_array().map(Vec::len), Some(2), "check too");
}

#[test]
fn a_list_is_summed_up_as_it_is_made() {
    let dir = tempfile::tempdir().expect("a folder");
    let put =
        |name: &str, text: &str| fs::write(dir.path().join(name), text).expect("written");
    put("coin.yaml", COIN);
    put(
        "list.csv",
        "id,name,recipe,quantity,wood,size\nt-1,Ada,coin,3,maple,\nt-2,Bo,coin,,cherry,150\nt-3,Di,snail,2,maple,\nt-4,Eve,coin,,maple,9000\n",
    );
    let ran = treen(dir.path(), &["orders", "list.csv", "--json"]);
    assert_eq!(code(&ran), 1, "one cannot be made: {}", stderr(&ran));
    assert!(!dir.path().join("out").exists(), "nothing is drawn");
    let sum = json(&ran);
    // The snail has no parameter `size`, but none is set.
    assert_eq!(
        (sum["orders"].as_u64(), sum["dishes"].as_u64()),
        (Some(4), Some(7)),
        "{sum}"
    );
    assert_eq!(sum["stopped"], serde_json::json!(["t-4"]), "{sum}");
    let made = treen(dir.path(), &["proof", "list.csv", "--dpi", "20", "--json"]);
    let made = manifest(&made, &dir.path().join("out"));
    let minutes = |value: &serde_json::Value| value.as_f64().expect("a number");
    assert!(
        (minutes(&sum["minutes"]) - minutes(&made["machine_time"]["minutes"])).abs()
            < 0.01,
        "{sum}"
    );
    let mut area = 0.0;
    let mut cutters = std::collections::BTreeMap::<String, f64>::new();
    for (order, count) in
        made["orders"].as_array().expect("a list").iter().zip([3.0, 1.0, 2.0])
    {
        let blank = &order["plan"]["wood"]["blank_mm"];
        area += count * minutes(&blank[0]) * minutes(&blank[1]);
        for cut in order["plan"]["operations"].as_array().expect("a list") {
            let id = cut["cutter"].as_str().expect("an id").to_owned();
            *cutters.entry(id).or_default() += count * minutes(&cut["minutes"]);
        }
    }
    let woods = sum["woods"].as_array().expect("a list");
    let told: f64 = woods.iter().map(|wood| minutes(&wood["area_mm2"])).sum();
    assert!((told - area).abs() < 1.0, "{told}, not {area}");
    let told = sum["cutters"].as_array().expect("a list");
    assert_eq!(told.len(), cutters.len(), "{sum}");
    for cutter in told {
        let want = cutters[cutter["id"].as_str().expect("an id")];
        assert!(
            (minutes(&cutter["minutes"]) - want).abs() < 0.01,
            "{cutter}, not {want}"
        );
    }
    let text = stdout(&treen(dir.path(), &["orders", "list.csv"]));
    assert!(text.starts_with("4 orders for 7 dishes\n"), "{text}");
    assert!(
        text.contains(
            "1 orders cannot be made as they are (`treen check` says why): t-4"
        ),
        "{text}"
    );
}
