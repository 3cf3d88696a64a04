//! `cargo bench --bench letters -- FOLDER` writes every built-in face as a file there, named
//! as recipes name it, for other libraries (`../reference/shaping.py`).

use std::fs;
use std::path::Path;
use std::process::ExitCode;
use treen::sheet::Face;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().skip(1).find(|word| word != "--bench") else {
        println!("name a folder for the faces");
        return ExitCode::FAILURE;
    };
    let folder = Path::new(&folder);
    let written = fs::create_dir_all(folder).and_then(|()| {
        Face::ALL
            .iter()
            .try_for_each(|face| fs::write(folder.join(face.name()), face.bytes()))
    });
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            println!("{}: {fault}", folder.display());
            ExitCode::FAILURE
        }
    }
}
