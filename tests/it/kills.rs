//! Runs killed at random moments, each followed by one that is left to end: shared by the
//! tests and by the bench of many kills.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A round dish, quick to draw.
pub(crate) const COIN: &str = "\
title: Coin
parameters: {size: {default: 120 mm, min: 90 mm, max: 200 mm}}
outline: [{circle: {radius: size / 2}}]
recess: {shape: {circle: {radius: size / 2 - 12}}, keep_floor: 6 mm}
name: {along: [[-32, -8], [32, -8]], height: 16 mm}
";

/// Every entry of a folder with its bytes, hidden ones too.
pub(crate) fn everything(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder");
    entries
        .map(|entry| {
            let entry = entry.expect("readable");
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, fs::read(entry.path()).expect("a file that can be read"))
        })
        .collect()
}

/// SHA-256 in lower-case hexadecimal.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    use sha2::Digest;
    let hash = sha2::Sha256::digest(bytes);
    hash.iter().fold(String::new(), |text, byte| format!("{text}{byte:02x}"))
}

/// What a manifest says of files against what is there; how many it names.
pub(crate) fn truth(files: &BTreeMap<String, Vec<u8>>) -> Result<usize, String> {
    let Some(text) = files.get("manifest.json") else { return Ok(0) };
    let manifest: serde_json::Value =
        serde_json::from_slice(text).map_err(|error| format!("the manifest: {error}"))?;
    let rows = ["orders", "swap_cards"].map(|key| manifest[key].as_array().cloned());
    let rows = rows.into_iter().flatten().flatten();
    let named = rows.flat_map(|row| row["files"].as_array().cloned().unwrap_or_default());
    let former = manifest["former"].as_array().cloned().unwrap_or_default();
    let mut count = 0;
    for file in named.chain(former) {
        let path = file["path"].as_str().unwrap_or_default();
        let bytes = files.get(path).ok_or(format!("{path} is named and not there"))?;
        if file["sha256"].as_str() != Some(&sha256(bytes)) {
            return Err(format!("{path} is not as the manifest says"));
        }
        count += 1;
    }
    Ok(count)
}

/// Writes the list of so many names, some changed, and starts a run in that folder.
pub(crate) struct Desk<'a> {
    pub(crate) treen: &'a str,
    pub(crate) folder: &'a Path,
    pub(crate) orders: usize,
}

impl Desk<'_> {
    pub(crate) fn set_out(&self) {
        fs::write(self.folder.join("coin.yaml"), COIN).expect("written");
    }

    fn list(&self, name: &str, changed: usize) {
        let row = |at: usize| {
            let word = if at < changed { "Ida" } else { "Bo" };
            format!("k-{at},{word},coin\n")
        };
        let rows: String = (0..self.orders).map(row).collect();
        fs::write(self.folder.join(name), format!("id,name,recipe\n{rows}"))
            .expect("written");
    }

    fn start(&self, out: &str) -> Child {
        Command::new(self.treen)
            .args(["proof", "list.csv", "--dpi", "20", "--quiet", "--out", out])
            .current_dir(self.folder)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the binary runs")
    }

    /// A run that is left to end, and how long it took.
    fn whole(&self, out: &str) -> Duration {
        let start = Instant::now();
        let ended = self.start(out).wait().expect("it ends");
        assert_eq!(ended.code(), Some(0), "a run that was not disturbed");
        start.elapsed()
    }
}

/// What so many kills came to.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    pub(crate) killed: usize,
    /// Runs that had ended before they could be killed.
    pub(crate) late: usize,
    /// Kills after which the folder held temporary names or rows not yet in the manifest.
    pub(crate) mid: usize,
}

/// Kills runs in turn in an empty folder and in one with the work of another list.
pub(crate) fn kill(desk: &Desk<'_>, rounds: usize, seed: u64) -> Result<Tally, String> {
    desk.set_out();
    desk.list("list.csv", 0);
    desk.whole("before");
    desk.list("list.csv", desk.orders - 1);
    let long = desk.whole("want");
    let sets = ["before", "want"].map(|name| everything(&desk.folder.join(name)));
    let (mut tally, mut state) = (Tally::default(), seed);
    for round in 0..rounds {
        // Knuth's generator for 64 bits; the high bits are the good ones.
        state = state.wrapping_mul(6_364_136_223_846_793_005);
        state = state.wrapping_add(1_442_695_040_888_963_407);
        let share = (state >> 40) as f64 / (1_u64 << 24) as f64;
        once(desk, round % 2 == 1, long.mul_f64(share), &sets, &mut tally)
            .map_err(|why| format!("round {round} of seed {seed}: {why}"))?;
    }
    Ok(tally)
}

/// One run killed after that long, then one that is left to end.
fn once(
    desk: &Desk<'_>,
    begun: bool,
    after: Duration,
    sets: &[BTreeMap<String, Vec<u8>>; 2],
    tally: &mut Tally,
) -> Result<(), String> {
    let out = desk.folder.join("out");
    let [before, want] = sets;
    // It is not there in the first round.
    let _ = fs::remove_dir_all(&out);
    fs::create_dir(&out).expect("a folder");
    for (name, bytes) in before.iter().filter(|_| begun) {
        fs::write(out.join(name), bytes).expect("written");
    }
    let mut child = desk.start("out");
    std::thread::sleep(after);
    let late = child.try_wait().expect("asked").is_some();
    // It may have ended by itself meanwhile.
    let _ = child.kill();
    child.wait().expect("it ends");
    let left = everything(&out);
    truth(&left)?;
    let shown = left.iter().filter(|(name, _)| !name.starts_with('.'));
    for (name, bytes) in shown.filter(|(name, _)| *name != "manifest.json") {
        if !sets.iter().any(|set| set.get(name) == Some(bytes)) {
            return Err(format!("{name} is not whole"));
        }
    }
    tally.late += usize::from(late);
    tally.killed += usize::from(!late);
    tally.mid += usize::from(left.keys().any(|name| name.starts_with('.')));
    desk.whole("out");
    let done = everything(&out);
    if done == *want {
        return Ok(());
    }
    Err(format!("not as an undisturbed run leaves it: {:?}", done.keys()))
}
