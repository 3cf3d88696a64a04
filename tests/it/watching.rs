//! A recipe redrawn while it is written, however an editor saves it.

use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

const PLATE: &str = "title: Plate\nabout: one\noutline:\n  - circle: {radius: 80}\n";

/// Long enough for a busy machine.
const PATIENCE: Duration = Duration::from_mins(1);

struct Watched {
    child: Child,
    said: Receiver<String>,
}

impl Watched {
    fn start(folder: &Path) -> Self {
        Self::with(&["shapes", "plate.yaml", "--watch"], folder)
    }

    fn with(args: &[&str], folder: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_treen"))
            .args(args)
            .current_dir(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the binary runs");
        let (sender, said) = channel();
        let out: Box<dyn Read + Send> = Box::new(child.stdout.take().expect("piped"));
        let err: Box<dyn Read + Send> = Box::new(child.stderr.take().expect("piped"));
        for pipe in [out, err] {
            let sender = sender.clone();
            std::thread::spawn(move || {
                for line in BufReader::new(pipe).lines().map_while(Result::ok) {
                    if sender.send(line).is_err() {
                        return;
                    }
                }
            });
        }
        Self { child, said }
    }

    /// Waits for a line that holds some words.
    #[track_caller]
    fn says(&self, words: &str) {
        let mut heard = Vec::new();
        while let Ok(line) = self.said.recv_timeout(PATIENCE) {
            let found = line.contains(words);
            heard.push(line);
            if found {
                return;
            }
        }
        panic!("`{words}` was not said, but\n{}", heard.join("\n"));
    }
}

impl Watched {
    /// Nothing more is said for a while.
    #[track_caller]
    fn says_nothing(&self) {
        while let Ok(line) = self.said.recv_timeout(Duration::from_millis(800)) {
            assert!(!line.contains("sheet files"), "made again: {line}");
        }
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn every_way_of_saving_is_seen() {
    let dir = tempfile::tempdir().expect("a folder");
    let file = dir.path().join("plate.yaml");
    fs::write(&file, PLATE).expect("written");
    let watched = Watched::start(dir.path());
    watched.says("160 x 160 mm");
    watched.says("shape-plate.png in out");
    let picture = dir.path().join("out/shape-plate.png");
    let before = fs::read(&picture).expect("drawn");

    // Written over in place, in two steps.
    fs::write(&file, "title: Pl").expect("written");
    fs::write(&file, PLATE.replace("80", "70")).expect("written");
    watched.says("140 x 140 mm");
    watched.says("shape-plate.png in out");
    let after = fs::read(&picture).expect("drawn again");
    assert_ne!(before, after, "the picture is another");

    // A mistake is told with its place; the last picture stays.
    fs::write(&file, PLATE.replace("circle", "cirle")).expect("written");
    watched.says("did you mean `circle`");
    assert_eq!(fs::read(&picture).expect("still there"), after, "untouched");

    // Another file renamed over it.
    let other = dir.path().join("plate.yaml~");
    fs::write(&other, PLATE.replace("80", "60")).expect("written");
    fs::rename(&other, &file).expect("renamed");
    watched.says("120 x 120 mm");

    // Deleted, told, and written again.
    fs::remove_file(&file).expect("removed");
    watched.says("there is no such file");
    fs::write(&file, PLATE.replace("80", "90")).expect("written");
    watched.says("180 x 180 mm");
}

#[test]
fn a_mistake_points_into_the_file() {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("plate.yaml"), PLATE.replace("circle", "cirle"))
        .expect("written");
    let watched = Watched::start(dir.path());
    watched.says("plate.yaml:4:5");
}

/// Ctrl-C ends it at once; what was written is whole.
#[cfg(unix)]
#[test]
fn an_interrupt_ends_it() {
    let dir = tempfile::tempdir().expect("a folder");
    fs::write(dir.path().join("plate.yaml"), PLATE).expect("written");
    let mut watched = Watched::start(dir.path());
    watched.says("shape-plate.png in out");
    let id = watched.child.id().to_string();
    let sent = Command::new("kill").args(["-INT", &id]).status().expect("kill runs");
    assert!(sent.success(), "the signal was sent");
    let ended = watched.child.wait().expect("it ends");
    let signal = std::os::unix::process::ExitStatusExt::signal(&ended);
    assert_eq!(signal, Some(2), "ended by the interrupt itself: {ended}");
    let names: Vec<String> = fs::read_dir(dir.path().join("out"))
        .expect("there")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    assert!(!names.iter().any(|name| name.starts_with('.')), "{names:?}");
}

#[test]
fn only_a_file_can_be_watched() {
    let dir = tempfile::tempdir().expect("a folder");
    let said = Command::new(env!("CARGO_BIN_EXE_treen"))
        .args(["shapes", "snail", "--watch"])
        .current_dir(dir.path())
        .output()
        .expect("the binary runs");
    assert_eq!(said.status.code(), Some(2), "a built-in shape is no file");
}

const LIST: &str = "orders:\n  - {id: a-1, name: Bo, recipe: plate}\n  - {id: a-2, name: Al, recipe: bowl}\n";

/// The list, a recipe, a drawing beside it: what is saved is made again, that alone, and what
/// is written makes nothing again.
#[test]
fn a_list_is_made_again_as_far_as_it_changes() {
    let dir = tempfile::tempdir().expect("a folder");
    let at = |name: &str| dir.path().join(name);
    fs::create_dir(at("shapes")).expect("a folder");
    fs::write(at("shapes/plate.yaml"), PLATE).expect("written");
    fs::write(at("shapes/bowl.yaml"), PLATE.replace("Plate", "Bowl")).expect("written");
    fs::write(at("orders.yaml"), LIST).expect("written");
    // What the run itself writes beside the list is no save either.
    let args = ["proof", "orders.yaml", "--watch", "--dpi", "20", "--log", "log.jsonl"];
    let watched = Watched::with(&args, dir.path());
    watched.says("2 orders: ");
    watched.says_nothing();
    let time = |name: &str| {
        let data = fs::metadata(at(name)).expect("there");
        data.modified().expect("a time")
    };
    let [first, second] = ["out/a-1-proof.html", "out/a-2-proof.html"];
    let before = [time(first), time(second)];

    // A recipe: the dish that is made from it.
    fs::write(at("shapes/plate.yaml"), PLATE.replace("80", "70")).expect("written");
    watched.says("140 x 140 mm");
    watched.says("1 of the orders were there already");
    watched.says_nothing();
    assert!(time(first) > before[0], "made again");
    assert_eq!(time(second), before[1], "left as it is");

    // The list: a mistake leaves all as it is, the next save makes one dish.
    fs::write(at("orders.yaml"), "orders: 3").expect("written");
    watched.says("orders.yaml:1:9");
    assert_eq!(time(second), before[1], "left as it is");
    fs::write(at("orders.yaml"), LIST.replace("Al", "Ali")).expect("written");
    watched.says("1 of the orders were there already");
    assert!(time(second) > before[1], "made again");

    // What an editor keeps for itself is no save.
    watched.says_nothing();
    fs::write(at(".orders.yaml.swp"), "x").expect("written");
    watched.says_nothing();
}

/// A shop with its mark in a folder below its own, and a recipe that is a link to elsewhere.
#[cfg(unix)]
#[test]
fn what_is_read_from_elsewhere_is_followed() {
    let dir = tempfile::tempdir().expect("a folder");
    let at = |name: &str| dir.path().join(name);
    for folder in ["list/shapes", "shop/marks", "recipes"] {
        fs::create_dir_all(at(folder)).expect("a folder");
    }
    let mark = |shape: &str| {
        format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'>{shape}</svg>")
    };
    let [round, long] = [
        mark("<circle cx='4' cy='4' r='3'/>"),
        mark("<rect x='1' y='1' width='7' height='2'/>"),
    ];
    let shop = treen::intake::demo::SHOP.replace("pebble.svg", "marks/mark.svg");
    assert!(shop.contains("marks/mark.svg"), "the demo's shop has a mark");
    fs::write(at("shop/shop.yaml"), shop).expect("written");
    fs::write(at("shop/marks/mark.svg"), round).expect("written");
    fs::write(at("recipes/plate.yaml"), PLATE).expect("written");
    std::os::unix::fs::symlink(at("recipes/plate.yaml"), at("list/shapes/plate.yaml"))
        .expect("linked");
    let list = "orders: [{id: a-1, name: Bo, recipe: plate}]\n";
    fs::write(at("list/orders.yaml"), list).expect("written");
    let shop = at("shop/shop.yaml").display().to_string();
    let args = ["proof", "list/orders.yaml", "--shop", &shop, "--watch", "--dpi", "20"];
    let watched = Watched::with(&args, dir.path());
    watched.says("160 x 160 mm");
    watched.says("1 orders: ");
    watched.says_nothing();
    fs::write(at("recipes/plate.yaml"), PLATE.replace("80", "70")).expect("written");
    watched.says("140 x 140 mm");
    watched.says("1 orders: ");
    watched.says_nothing();
    // What else lies there is no save.
    fs::write(at("recipes/other.txt"), "x").expect("written");
    fs::write(at("shop/marks/other.txt"), "x").expect("written");
    watched.says_nothing();
    let proof = at("out/a-1-proof.svg");
    let before = fs::read(&proof).expect("there");
    fs::write(at("shop/marks/mark.svg"), long).expect("written");
    watched.says("1 orders: ");
    assert_ne!(fs::read(&proof).expect("there"), before, "with the new mark");
}

/// Whoever reads what was made, all the time, keeps no save from being seen.
#[test]
fn reading_is_no_save_and_hides_none() {
    let dir = tempfile::tempdir().expect("a folder");
    let at = |name: &str| dir.path().join(name);
    fs::write(at("plate.yaml"), PLATE).expect("written");
    let list = "orders: [{id: a-1, name: Bo, recipe: plate}]\n";
    fs::write(at("orders.yaml"), list).expect("written");
    let args = ["proof", "orders.yaml", "--watch", "--dpi", "20"];
    let watched = Watched::with(&args, dir.path());
    watched.says("1 orders: ");
    let (done, asked) = channel::<()>();
    let manifest = at("out/manifest.json");
    let reader = std::thread::spawn(move || {
        while asked.recv_timeout(Duration::from_millis(5)).is_err() {
            // It is not there while another takes its place.
            let _ = fs::read(&manifest);
        }
    });
    fs::write(at("orders.yaml"), list.replace("Bo", "Bob")).expect("written");
    watched.says("Bob");
    done.send(()).expect("it reads");
    reader.join().expect("it ends");
}

#[test]
fn the_demo_cannot_be_watched() {
    let dir = tempfile::tempdir().expect("a folder");
    let said = Command::new(env!("CARGO_BIN_EXE_treen"))
        .args(["proof", "--watch"])
        .current_dir(dir.path())
        .output()
        .expect("the binary runs");
    assert_eq!(said.status.code(), Some(2), "there is no file to watch");
}
