//! `treen book`: every page of a list in one file, a bookmark for each order.

use crate::cli::{code, stderr, stdout, treen};
use crate::kills::COIN;
use std::fs;

const LIST: &str = "\
id,name,recipe
b-1,Ada,coin
b-2,Bo,coin
b-3,Cleo,nothing
b-4,Dot,coin
";

/// How often something stands in the plain parts of a PDF.
fn count(pdf: &[u8], what: &str) -> usize {
    pdf.windows(what.len()).filter(|part| *part == what.as_bytes()).count()
}

#[test]
fn a_book_has_every_order_that_can_be_drawn_and_the_same_bytes_again() {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("coin.yaml"), COIN).expect("written");
    fs::write(dir.path().join("list.csv"), LIST).expect("written");
    let mut books = Vec::new();
    for threads in ["1", "4"] {
        let ran = treen(dir.path(), &["book", "list.csv", "--threads", threads]);
        assert_eq!(code(&ran), 2, "one recipe is not there: {}", stderr(&ran));
        assert!(stderr(&ran).contains("b-3 is not in the book"), "{}", stderr(&ran));
        let said = stdout(&ran);
        assert!(
            said.starts_with("3 orders on ") && said.ends_with("out/book.pdf\n"),
            "{said}"
        );
        books.push(fs::read(dir.path().join("out/book.pdf")).expect("there"));
    }
    assert!(books[0] == books[1], "the same bytes, whatever the threads");
    let one = ["book", "list.csv", "--only", "proof", "--json"];
    let ran = treen(dir.path(), &one);
    let said: serde_json::Value = serde_json::from_str(&stdout(&ran)).expect("JSON");
    assert_eq!(said["pages"], 3, "a page for each proof: {said}");
    assert_eq!(said["orders"], 3, "{said}");
    assert_eq!(said["missing"][0]["id"], "b-3", "{said}");
    let proofs = fs::read(dir.path().join("out/book.pdf")).expect("there");
    assert!(proofs.len() < books[0].len(), "less without the bench");
    assert!(proofs.starts_with(b"%PDF-"), "a PDF");
    assert!(count(&proofs, "/Outlines") >= 1, "bookmarks");
}
