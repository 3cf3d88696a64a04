//! Gives the program a mark of what it was made from, so that work done by another one is known.

use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let mut files = Vec::new();
    for root in ["src", "shapes", "Cargo.toml", "Cargo.lock"] {
        println!("cargo::rerun-if-changed={root}");
        collect(Path::new(root), &mut files)?;
    }
    // The order in which a disk lists its files is no order.
    files.sort();
    let mut mark = Sha256::new();
    for file in files {
        let bytes = fs::read(&file)?;
        let head = format!("{} {}\n", file.display(), bytes.len());
        mark.update(head.replace('\\', "/"));
        mark.update(bytes);
    }
    let compiler = env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    mark.update(Command::new(compiler).arg("--version").output()?.stdout);
    mark.update(env::var("TARGET").unwrap_or_default());
    print!("cargo::rustc-env=TREEN_MADE_FROM=");
    mark.finalize().iter().for_each(|byte| print!("{byte:02x}"));
    println!();
    Ok(())
}

/// The file, or every file of the folder; nothing where there is none of that name.
fn collect(path: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    if path.is_file() {
        files.push(path.to_owned());
    } else if path.is_dir() {
        for entry in fs::read_dir(path)? {
            collect(&entry?.path(), files)?;
        }
    }
    Ok(())
}
