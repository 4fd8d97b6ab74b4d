//! A browser driven by its own protocol over two pipes: keys pressed one by one,
//! sizes, media and paper chosen; the page's policy stays in force.

use super::browser::browser;
use serde_json::{Value, json};
use std::fs::File;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// A page in a browser.
pub(super) struct Driven {
    child: Child,
    to: File,
    from: BufReader<File>,
    session: Option<String>,
    count: u64,
}

/// Keys that are pressed here, with the text they enter and their numbers.
const KEYS: &[(&str, &str, u32)] = &[("Tab", "", 9), ("Enter", "\r", 13), ("ArrowRight", "", 39)];

impl Driven {
    /// Opens a page.
    pub(super) fn open(page: &Path) -> Self {
        let folder = page.parent().expect("folder");
        let stem = page.file_stem().expect("name").to_string_lossy();
        let pipe = |name: &str| {
            let path = folder.join(format!("{stem}.{name}"));
            drop(std::fs::remove_file(&path));
            let made = Command::new("mkfifo").arg(&path).status();
            assert!(made.expect("mkfifo").success());
            path
        };
        let (to, from) = (pipe("to"), pipe("from"));
        // A browser that hangs is ended, so that no test waits for ever.
        let child = Command::new("sh")
            .arg("-c")
            .arg("exec timeout 300 \"$0\" \"$@\" 3<\"$TO\" 4>\"$FROM\"")
            .arg(browser().expect("a browser"))
            .args(["--headless", "--no-sandbox", "--disable-gpu"])
            .args([
                "--host-resolver-rules=MAP * ~NOTFOUND",
                "--disable-extensions",
            ])
            .arg("--remote-debugging-pipe")
            .arg(format!(
                "--user-data-dir={}",
                folder.join(format!("{stem}-driven")).display()
            ))
            .env("TO", &to)
            .env("FROM", &from)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the browser runs");
        let to = File::options().write(true).open(to).expect("a pipe");
        let from = BufReader::new(File::open(from).expect("a pipe"));
        let mut driven = Self {
            child,
            to,
            from,
            session: None,
            count: 0,
        };
        let address = format!("file://{}", page.display());
        let made = driven.ask("Target.createTarget", &json!({ "url": address }));
        let target = &made["targetId"];
        let attached = driven.ask(
            "Target.attachToTarget",
            &json!({ "targetId": target, "flatten": true }),
        );
        driven.session = attached["sessionId"].as_str().map(str::to_owned);
        for _ in 0..200 {
            if driven.eval("document.readyState + location.protocol") == "completefile:" {
                return driven;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        panic!("{} does not load", page.display());
    }

    /// Asks the browser and waits for its answer.
    pub(super) fn ask(&mut self, method: &str, params: &Value) -> Value {
        self.count += 1;
        let mut message = json!({ "id": self.count, "method": method, "params": params });
        if let Some(session) = &self.session {
            message["sessionId"] = json!(session);
        }
        let mut text = message.to_string().into_bytes();
        text.push(0);
        self.to.write_all(&text).expect("the browser listens");
        loop {
            let mut answer = Vec::new();
            self.from.read_until(0, &mut answer).expect("an answer");
            assert_eq!(answer.pop(), Some(0), "{method}: the browser ended");
            let mut answer: Value = serde_json::from_slice(&answer).expect("JSON");
            if answer["id"] == json!(self.count) {
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].take();
            }
        }
    }

    /// What an expression gives, as text.
    pub(super) fn eval(&mut self, expression: &str) -> String {
        let asked = json!({ "expression": expression, "returnByValue": true });
        let found = self.ask("Runtime.evaluate", &asked);
        assert!(
            found["exceptionDetails"].is_null(),
            "{expression}: {}",
            found["exceptionDetails"]
        );
        match &found["result"]["value"] {
            Value::String(text) => text.clone(),
            other => other.to_string(),
        }
    }

    /// Presses a key and lets it go.
    pub(super) fn press(&mut self, key: &str) {
        let known = KEYS.iter().find(|(name, ..)| *name == key);
        let (_, text, number) = known.expect("a key");
        for kind in ["keyDown", "keyUp"] {
            let text = if kind == "keyDown" { text } else { "" };
            self.ask(
                "Input.dispatchKeyEvent",
                &json!({ "type": kind, "key": key, "code": key, "text": text,
                    "windowsVirtualKeyCode": number }),
            );
        }
    }

    /// Types a text into what has the focus.
    pub(super) fn type_in(&mut self, text: &str) {
        self.ask("Input.insertText", &json!({ "text": text }));
    }

    /// Prints on paper of a size in inches; returns the bytes of the file.
    pub(super) fn print(&mut self, (wide, high): (f64, f64)) -> Vec<u8> {
        let asked = json!({ "paperWidth": wide, "paperHeight": high,
            "printBackground": false, "preferCSSPageSize": false });
        let printed = self.ask("Page.printToPDF", &asked);
        bytes(printed["data"].as_str().expect("data"))
    }
}

impl Drop for Driven {
    fn drop(&mut self) {
        let close = json!({ "id": 0, "method": "Browser.close" });
        drop(self.to.write_all(format!("{close}\0").as_bytes()));
        drop(self.child.wait());
    }
}

/// Bytes out of the letters of base 64.
fn bytes(text: &str) -> Vec<u8> {
    let mut all = Vec::new();
    let (mut bits, mut count) = (0u32, 0);
    for letter in text.bytes() {
        let value = match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => break,
        };
        bits = bits << 6 | u32::from(value);
        count += 6;
        if count >= 8 {
            count -= 8;
            all.push((bits >> count) as u8);
            bits &= (1 << count) - 1;
        }
    }
    all
}
