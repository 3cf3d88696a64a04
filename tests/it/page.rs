//! The local page, spoken to by hand: whom it answers, what it gives out, and what it tells.
//! What a browser makes of it is asked in `tests/browser/page.py`.

use crate::cli::{code, stderr, treen};
use crate::kills::{COIN, sha256};
use serde_json::Value;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// Long enough for a busy machine.
const PATIENCE: Duration = Duration::from_mins(1);

const LIST: &str = "orders:\n  - {id: a-1, name: Bo, recipe: coin}\n  - {id: a-2, name: Al, recipe: coin}\n";

/// A program whose page is open.
struct Open {
    child: Child,
    port: u16,
    dir: tempfile::TempDir,
    /// Kept, as a program whose words nobody reads ends.
    _said: BufReader<std::process::ChildStdout>,
}

impl Open {
    /// Opens the page and waits for the run's end.
    fn with(list: &str, more: &[&str]) -> Self {
        let dir = tempfile::tempdir().expect("a folder");
        fs::write(dir.path().join("coin.yaml"), COIN).expect("written");
        fs::write(dir.path().join("list.yaml"), list).expect("written");
        let args = ["proof", "list.yaml", "--dpi", "20", "--page=0"];
        let mut child = Command::new(env!("CARGO_BIN_EXE_treen"))
            .args(args)
            .args(more)
            .current_dir(dir.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the binary runs");
        let mut said = BufReader::new(child.stdout.take().expect("piped"));
        let mut line = String::new();
        said.read_line(&mut line).expect("a line");
        let url = line.trim().strip_prefix("page: http://127.0.0.1:");
        let port = url.and_then(|it| it.strip_suffix('/')?.parse().ok());
        let port = port.unwrap_or_else(|| panic!("no address: {line}"));
        let open = Self { child, port, dir, _said: said };
        open.until(|state| {
            matches!(state["run"]["state"].as_str(), Some("done" | "refused"))
        });
        open
    }

    fn ask(&self, request: &str) -> Answer {
        let mut stream = self.connect();
        let request = request.replace("PORT", &self.port.to_string());
        stream.write_all(request.as_bytes()).expect("sent");
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).expect("an answer that ends");
        Answer::of(&bytes)
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it answers");
        stream.set_read_timeout(Some(PATIENCE)).expect("set");
        stream
    }

    fn get(&self, path: &str) -> Answer {
        self.ask(&get(path, "Host: 127.0.0.1:PORT\r\n"))
    }

    fn state(&self) -> Value {
        serde_json::from_slice(&self.get("/orders.json").body).expect("JSON")
    }

    #[track_caller]
    fn until(&self, so: impl Fn(&Value) -> bool) -> Value {
        for _ in 0..600 {
            let state = self.state();
            if so(&state) {
                return state;
            }
            std::thread::sleep(PATIENCE / 600);
        }
        panic!("waited in vain: {}", self.state());
    }

    fn path(&self) -> &Path {
        self.dir.path()
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn get(path: &str, headers: &str) -> String {
    format!("GET {path} HTTP/1.1\r\n{headers}Connection: close\r\n\r\n")
}

struct Answer {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Answer {
    #[track_caller]
    fn of(bytes: &[u8]) -> Self {
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n");
        let end = end.unwrap_or_else(|| panic!("no head: {bytes:?}"));
        let head = String::from_utf8_lossy(&bytes[..end]).to_lowercase();
        let status = head.split(' ').nth(1).and_then(|it| it.parse().ok());
        Self { status: status.expect("a status"), head, body: bytes[end + 4..].to_vec() }
    }

    fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| line.strip_prefix(&format!("{name}: ")))
    }
}

/// What every answer must bear, whatever it says.
#[track_caller]
fn ruled(answer: &Answer) {
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-resource-policy", "same-origin"),
    ] {
        assert_eq!(answer.header(name), Some(value), "{}", answer.head);
    }
    let policy = answer.header("content-security-policy").unwrap_or_default();
    assert!(policy.contains("frame-ancestors 'none'"), "{}", answer.head);
    let shared = answer.header("access-control-allow-origin");
    assert_eq!(shared, None, "{}", answer.head);
}

#[test]
fn the_page_and_every_file_named_are_given_out() {
    let open = Open::with(LIST, &[]);
    let page = open.get("/");
    assert_eq!(page.status, 200);
    ruled(&page);
    let policy = page.header("content-security-policy").unwrap_or_default();
    for rule in ["default-src 'none'", "script-src 'self'", "trusted-types 'none'"] {
        assert!(policy.contains(rule), "{policy}");
    }
    let text = String::from_utf8(page.body).expect("UTF-8");
    assert!(!text.contains("://"), "nothing from elsewhere");
    for path in ["/page.js", "/page.css", "/icon.svg", "/orders.json"] {
        let answer = open.get(path);
        assert_eq!(answer.status, 200, "{path}");
        ruled(&answer);
    }
    let state = open.state();
    assert_eq!((&state["run"]["made"], &state["of"]), (&2.into(), &2.into()));
    let mut count = 0;
    for row in ["orders", "cards"].iter().flat_map(|key| state[*key].as_array().unwrap())
    {
        for file in row["files"].as_array().expect("a list") {
            let name = file["name"].as_str().expect("a name");
            let answer = open.get(&format!("/files/{name}"));
            assert_eq!(answer.status, 200, "{name}");
            ruled(&answer);
            assert_eq!(sha256(&answer.body), file["sha256"].as_str().unwrap(), "{name}");
            let boxed = answer.head.contains("sandbox");
            assert_eq!(boxed, name.rsplit('.').next() != Some("pdf"), "{name}");
            let tag = answer.header("etag").expect("a tag");
            let known = format!("Host: 127.0.0.1:PORT\r\nIf-None-Match: {tag}\r\n");
            let again = open.ask(&get(&format!("/files/{name}"), &known));
            assert_eq!((again.status, again.body.len()), (304, 0), "{name}");
            count += 1;
        }
    }
    assert!(count >= 18, "{count} files");
    let head = open.ask(&get("/", "Host: localhost:PORT\r\n").replace("GET", "HEAD"));
    assert_eq!((head.status, head.body.len()), (200, 0), "a head alone");
}

#[test]
fn only_this_machine_and_this_page_are_answered() {
    let open = Open::with(LIST, &[]);
    let host = "Host: 127.0.0.1:PORT\r\n";
    let refused = [
        // Names of others that lead here, and what is no host of ours.
        "Host: evil.example\r\n".to_owned(),
        "Host: evil.example:PORT\r\n".to_owned(),
        "Host: 127.0.0.1\r\n".to_owned(),
        "Host: 127.0.0.1:1\r\n".to_owned(),
        "Host: 127.0.0.1:PORT.evil.example\r\n".to_owned(),
        "Host: 127.0.0.1.evil.example:PORT\r\n".to_owned(),
        "Host: localhost.evil.example:PORT\r\n".to_owned(),
        "Host: 127.0.0.1:PORT@evil.example\r\n".to_owned(),
        "Host: [::1]:PORT\r\n".to_owned(),
        "Host: 0.0.0.0:PORT\r\n".to_owned(),
        "Host: 2130706433:PORT\r\n".to_owned(),
        "Host:\r\n".to_owned(),
        String::new(),
        format!("{host}Host: evil.example\r\n"),
        format!("{host}{host}"),
        // Pages of others.
        format!("{host}Origin: http://evil.example\r\n"),
        format!("{host}Origin: https://127.0.0.1:PORT\r\n"),
        format!("{host}Origin: http://127.0.0.1:1\r\n"),
        format!("{host}Origin: null\r\n"),
        format!("{host}Sec-Fetch-Site: cross-site\r\n"),
        format!("{host}Sec-Fetch-Site: same-site\r\n"),
        format!("{host}Sec-Fetch-Site: same-origin\r\nSec-Fetch-Site: cross-site\r\n"),
    ];
    for headers in &refused {
        for path in ["/", "/orders.json", "/news", "/files/a-1-proof.png"] {
            let answer = open.ask(&get(path, headers));
            assert!([400, 403].contains(&answer.status), "{headers}{}", answer.head);
            assert!(answer.body.len() < 100, "no more than why: {headers}");
            if answer.status == 403 {
                ruled(&answer);
            }
        }
    }
    // The whole address in the first line counts too.
    let answer = open.ask(&get("http://evil.example/", host));
    assert_eq!(answer.status, 403);
    let answered = [
        host.to_owned(),
        "Host: LOCALHOST:PORT\r\n".to_owned(),
        format!("{host}Origin: http://127.0.0.1:PORT\r\nSec-Fetch-Site: same-origin\r\n"),
        format!("{host}Sec-Fetch-Site: none\r\n"),
    ];
    for headers in &answered {
        assert_eq!(open.ask(&get("/", headers)).status, 200, "{headers}");
    }
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "PROPFIND"] {
        let answer = open.ask(&get("/", host).replace("GET", method));
        assert_eq!((answer.status, answer.header("allow")), (405, Some("get, head")));
        ruled(&answer);
    }
}

#[test]
fn nothing_else_is_given_out() {
    let open = Open::with(LIST, &[]);
    fs::write(open.path().join("secret.txt"), "secret").expect("written");
    fs::write(open.path().join("out/other.png"), "secret").expect("written");
    let outside = open.path().join("secret.txt").display().to_string();
    let mut names: Vec<String> = [
        // Not named by the manifest.
        "other.png",
        "manifest.json",
        ".manifest.json-seq",
        "",
        ".",
        "..",
        // Ways to other folders.
        "../secret.txt",
        "..%2fsecret.txt",
        "%2e%2e/secret.txt",
        "%2e%2e%2fsecret.txt",
        "%252e%252e%252fsecret.txt",
        "..%5csecret.txt",
        "..\\secret.txt",
        "....//secret.txt",
        "a-1-proof.png/../../secret.txt",
        "a-1-proof.png%2f..%2f..%2fsecret.txt",
        "./a-1-proof.png",
        "%2e%2fa-1-proof.png",
        "/a-1-proof.png",
        "%2fetc%2fpasswd",
        "//etc/passwd",
        "..;/secret.txt",
        "..%00/secret.txt",
        "a-1-proof.png%00",
        "a-1-proof.png%00.txt",
        "..%c0%afsecret.txt",
        "%c0%ae%c0%ae/secret.txt",
        "..%ef%bc%8fsecret.txt",
        "file:%2f%2f%2fetc%2fpasswd",
        "C:%5cboot.ini",
        "a-1-proof.png.",
        "a-1-proof.png%20",
        "A-1-PROOF.PNG",
        "a-1-proof.png::$DATA",
        "*",
        "%ff",
        "%",
    ]
    .map(str::to_owned)
    .to_vec();
    names.push(outside.clone());
    names.push(outside.replace('/', "%2f"));
    for name in &names {
        let answer = open.get(&format!("/files/{name}"));
        assert!([400, 404].contains(&answer.status), "{name}: {}", answer.head);
        assert!(!String::from_utf8_lossy(&answer.body).contains("secret"), "{name}");
        ruled(&answer);
    }
    for path in
        ["/out/a-1-proof.png", "/secret.txt", "/../secret.txt", "/manifest.json", "//"]
    {
        assert_eq!(open.get(path).status, 404, "{path}");
    }
}

/// A name in the manifest is not enough: the file must lie there itself and be as it says.
#[test]
fn a_file_is_what_the_manifest_says_or_is_not_given_out() {
    let open = Open::with(LIST, &[]);
    let file = open.path().join("out/a-1-proof.svg");
    let good = fs::read(&file).expect("there");
    assert_eq!(open.get("/files/a-1-proof.svg").status, 200);
    fs::write(&file, "<svg xmlns='http://www.w3.org/2000/svg'/>").expect("written");
    assert_eq!(open.get("/files/a-1-proof.svg").status, 404, "changed by another");
    #[cfg(unix)]
    {
        // Even a link to the very same bytes is one.
        let elsewhere = open.path().join("elsewhere.svg");
        fs::write(&elsewhere, &good).expect("written");
        fs::remove_file(&file).expect("removed");
        std::os::unix::fs::symlink(&elsewhere, &file).expect("linked");
        assert_eq!(open.get("/files/a-1-proof.svg").status, 404, "a link");
        fs::remove_file(&file).expect("removed");
    }
    fs::write(&file, &good).expect("written");
    assert_eq!(open.get("/files/a-1-proof.svg").status, 200, "as it was");
    // A manifest that names a way out.
    let secret = open.path().join("secret.svg");
    fs::write(&secret, "secret").expect("written");
    let manifest = open.path().join("out/manifest.json");
    let text = fs::read_to_string(&manifest).expect("there");
    let mut value: Value = serde_json::from_str(&text).expect("JSON");
    let hash = sha256(b"secret");
    value["orders"][0]["files"] = serde_json::json!([
        { "path": "../secret.svg", "sha256": hash },
        { "path": secret.display().to_string(), "sha256": hash },
    ]);
    fs::write(&manifest, value.to_string()).expect("written");
    open.until(|state| state["orders"][0]["files"][0]["name"] == "../secret.svg");
    let full = secret.display().to_string().replace('/', "%2f");
    for name in ["..%2fsecret.svg", &full] {
        assert_eq!(open.get(&format!("/files/{name}")).status, 404, "{name}");
    }
}

#[test]
fn news_come_when_a_saved_list_changes_an_order() {
    let open = Open::with(LIST, &["--watch"]);
    let mut stream = open.connect();
    let request = get("/news", &format!("Host: 127.0.0.1:{}\r\n", open.port));
    stream.write_all(request.as_bytes()).expect("sent");
    let mut lines = BufReader::new(stream).lines().map_while(Result::ok);
    let mut next = || lines.find(|line| line.starts_with("data:")).expect("news");
    let first = next();
    fs::write(open.path().join("list.yaml"), LIST.replace("Al", "Ali")).expect("written");
    assert_ne!(next(), first, "something is new");
    let state = open.until(|state| state["orders"][1]["name"] == "Ali");
    assert_eq!(state["orders"][0]["name"], "Bo", "in the order of the list");
    // What cannot be read is told, and what was made stays.
    fs::write(open.path().join("list.yaml"), "orders: 3").expect("written");
    let state = open.until(|state| state["run"]["state"] == "refused");
    assert!(state["why"][0]["place"].as_str().is_some_and(|it| it.contains(":1:9")));
    assert_eq!(state["orders"].as_array().map(Vec::len), Some(2));
}

#[test]
fn callers_that_hang_hold_nobody_up() {
    let open = Open::with(LIST, &["--watch"]);
    let hang = |sent: &str| {
        let mut stream = open.connect();
        stream.write_all(sent.as_bytes()).expect("sent");
        stream
    };
    let hanging: Vec<TcpStream> = ["", "GET", "GET / HTTP/1.1\r\nHost:"]
        .iter()
        .cycle()
        .take(30)
        .map(|it| hang(it))
        .collect();
    assert_eq!(open.get("/").status, 200, "others are answered");
    fs::write(open.path().join("list.yaml"), LIST.replace("Al", "Ali")).expect("written");
    open.until(|state| state["orders"][1]["name"] == "Ali");
    // Long heads and none at all.
    let long = format!("Host: 127.0.0.1:PORT\r\nX-Long: {}\r\n", "x".repeat(100_000));
    let mut stream = open.connect();
    // It may hang up before all is sent.
    let _ = stream.write_all(get("/", &long).as_bytes());
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    assert!(!answer.starts_with(b"HTTP/1.1 200"), "too long");
    for mut stream in hanging {
        let mut rest = Vec::new();
        // Whether it is told why or not, it ends.
        let ended = stream.read_to_end(&mut rest);
        assert!(
            ended.is_ok()
                || ended.is_err_and(|it| it.kind() != std::io::ErrorKind::WouldBlock)
        );
    }
    assert_eq!(open.get("/").status, 200, "all the same");
}

#[test]
fn words_stay_words_and_controls_are_spelled_out() {
    let name = "<script>alert(1)</script>]]>&";
    let list = format!(
        "orders: [{{id: \"$(x)&'b\", name: {}, recipe: coin}}]\n",
        Value::from(name)
    );
    let open = Open::with(&list, &[]);
    let answer = open.get("/orders.json");
    assert_eq!(answer.header("content-type"), Some("application/json; charset=utf-8"));
    let state = open.state();
    assert_eq!(state["orders"][0]["name"], name, "as it is");
    let file = open.get("/files/%24(x)%26'b-proof.svg");
    assert_eq!(file.status, 200, "asked for by its name");
    // Whatever a manifest says.
    let manifest = open.path().join("out/manifest.json");
    let mut value: Value =
        serde_json::from_slice(&fs::read(&manifest).expect("there")).expect("JSON");
    value["orders"][0]["name"] = "a\u{1b}]0;x\u{7}\u{202e}b".into();
    fs::write(&manifest, value.to_string()).expect("written");
    let state = open.until(|state| state["orders"][0]["name"] != name);
    assert_eq!(state["orders"][0]["name"], "a\\u{1b}]0;x\\u{7}\\u{202e}b");
}

#[test]
fn a_port_that_is_taken_is_told_with_a_way_out() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("bound").port();
    let dir = tempfile::tempdir().expect("a folder");
    let ran = treen(dir.path(), &["proof", &format!("--page={port}"), "--out", "o"]);
    assert_eq!(code(&ran), 3, "{}", stderr(&ran));
    let said = stderr(&ran);
    assert!(said.contains("stop[no-page]") && said.contains(&port.to_string()), "{said}");
    assert!(said.contains("--page=0"), "{said}");
    assert!(!dir.path().join("o/manifest.json").exists(), "nothing is made");
    let ran = treen(dir.path(), &["proof", "--page=seven"]);
    assert_eq!(code(&ran), 2, "{}", stderr(&ran));
}

/// Ctrl-C ends it all; nothing is left half-written.
#[cfg(unix)]
#[test]
fn an_interrupt_ends_page_and_program() {
    let mut open = Open::with(LIST, &[]);
    let id = open.child.id().to_string();
    let sent = Command::new("kill").args(["-INT", &id]).status().expect("kill runs");
    assert!(sent.success(), "the signal was sent");
    let ended = open.child.wait().expect("it ends");
    assert_eq!(std::os::unix::process::ExitStatusExt::signal(&ended), Some(2), "{ended}");
    assert!(TcpStream::connect(("127.0.0.1", open.port)).is_err(), "and its page");
}
