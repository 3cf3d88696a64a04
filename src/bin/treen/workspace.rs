//! `treen new`: a starting workspace with the demo's files.

use crate::Outcome;
use crate::output::Output;
use std::io;
use std::path::{Path, PathBuf};
use treen::batch::Folder;
use treen::finding::{Code, Finding, Source, SourceFile, plain};
use treen::intake::{FileKind, demo, schema};

pub(crate) fn run(dir: &Path, out: Output) -> io::Result<Outcome> {
    let label = dir.display().to_string();
    let taken = match std::fs::read_dir(dir) {
        Ok(mut entries) => entries.next().is_some(),
        Err(error) => error.kind() != io::ErrorKind::NotFound,
    };
    if taken {
        let finding = Finding::stop(Code::UnwritableFile, "something is there already")
            .from(Source::whole(&SourceFile::new(label, "")))
            .expected("an empty folder, or a name that is free")
            .help("name another folder");
        out.refuse(&[finding])?;
        return Ok(Outcome::BadInput);
    }
    for (path, text) in files() {
        let file = dir.join(path);
        let folder = file.parent().unwrap_or(dir);
        let name = file.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let written = Folder::create(folder, &|| ())
            .and_then(|folder| folder.write(name, text.as_bytes()));
        if let Err(finding) = written {
            out.refuse(&[*finding])?;
            return Ok(Outcome::Broken);
        }
    }
    let dir = plain(&label);
    out.tell(&format!(
        "{dir} has a shop, an order list in YAML and in CSV, the built-in shapes and the \
         schemas.\nnext: treen proof {dir}/orders.yaml --out {dir}/out\n"
    ))?;
    Ok(Outcome::AllWell)
}

/// Every file of a workspace, by its path in it.
fn files() -> Vec<(PathBuf, String)> {
    let near = |text: &str| text.replacen("../schema/", "shapes/schema/", 1);
    let mut files = vec![
        (PathBuf::from("shop.yaml"), near(demo::SHOP)),
        (PathBuf::from("pebble.svg"), demo::MARK.to_owned()),
        (PathBuf::from("orders.yaml"), near(demo::ORDERS)),
        (PathBuf::from("orders.csv"), demo::ORDERS_CSV.to_owned()),
    ];
    let shapes = Path::new("shapes");
    for (key, text) in demo::RECIPES {
        files.push((shapes.join(format!("{key}.yaml")), (*text).to_owned()));
    }
    for kind in FileKind::ALL {
        let name = format!("{}.json", kind.word());
        files.push((shapes.join("schema").join(name), schema(kind).to_owned()));
    }
    files
}
