//! A real browser without a window, driven by the W3C's WebDriver protocol; where the machine has none, that is said loudly.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A browser with one window.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
}

/// The name under which WebDriver hands over an element (WebDriver, section 12.1).
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

impl Browser {
    /// Opens one; nothing where there is none here.
    pub fn open() -> Option<Self> {
        let Some((driver, port)) = start() else {
            eprintln!(
                "\nNO BROWSER HERE: the pages of 'look' were NOT tried in one (chromium and chromium-driver are missing)\n"
            );
            return None;
        };
        let mut browser = Self { driver, port, session: String::new() };
        let options = json!({ "args": ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
            "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--window-size=1280,720"] });
        let logs = json!({ "browser": "ALL" });
        let wanted =
            json!({ "capabilities": { "alwaysMatch": { "goog:chromeOptions": options, "goog:loggingPrefs": logs } } });
        let made = browser.ask("POST", "/session", &wanted);
        browser.session = made["sessionId"].as_str().unwrap_or_else(|| panic!("a session: {made}")).to_owned();
        Some(browser)
    }

    fn ask(&self, method: &str, path: &str, body: &Value) -> Value {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("the driver");
        stream.set_read_timeout(Some(Duration::from_secs(60))).expect("a limit");
        let body = if method == "GET" { String::new() } else { body.to_string() };
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.port,
            body.len()
        )
        .expect("it is sent");
        // The driver keeps the connection open: its answer is as long as it says.
        let mut answer = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            answer.read_line(&mut line).expect("an answer");
            match line.trim_end().to_lowercase().split_once(':') {
                Some(("content-length", said)) => length = said.trim().parse().expect("a length"),
                None if line.trim_end().is_empty() => break,
                _ => {}
            }
        }
        let mut body = vec![0; length];
        answer.read_exact(&mut body).expect("all of it");
        let value: Value =
            serde_json::from_slice(&body).unwrap_or_else(|why| panic!("{why}: {}", String::from_utf8_lossy(&body)));
        value["value"].clone()
    }

    fn of(&self, method: &str, path: &str, body: &Value) -> Value {
        self.ask(method, &format!("/session/{}{path}", self.session), body)
    }

    pub fn go(&self, address: &str) {
        let gone = self.of("POST", "/url", &json!({ "url": address }));
        assert!(gone.is_null(), "{address}: {gone}");
    }

    pub fn title(&self) -> String {
        self.of("GET", "/title", &Value::Null).as_str().unwrap_or_default().to_owned()
    }

    pub fn address(&self) -> String {
        self.of("GET", "/url", &Value::Null).as_str().unwrap_or_default().to_owned()
    }

    /// What a script gives.
    pub fn script(&self, script: &str) -> Value {
        self.of("POST", "/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// The text of the first element that a selector finds.
    pub fn text(&self, selector: &str) -> String {
        let script = format!("return document.querySelector({selector:?})?.innerText ?? ''");
        self.script(&script).as_str().unwrap_or_default().to_owned()
    }

    fn element(&self, selector: &str) -> String {
        let found = self.of("POST", "/element", &json!({ "using": "css selector", "value": selector }));
        found[ELEMENT].as_str().unwrap_or_else(|| panic!("no '{selector}': {found}")).to_owned()
    }

    pub fn click(&self, selector: &str) {
        let element = self.element(selector);
        let clicked = self.of("POST", &format!("/element/{element}/click"), &json!({}));
        assert!(clicked.is_null(), "{selector}: {clicked}");
    }

    /// Types into a field; `\u{E014}` is the right arrow, `\u{E007}` the enter key.
    pub fn types(&self, selector: &str, text: &str) {
        let element = self.element(selector);
        let typed = self.of("POST", &format!("/element/{element}/value"), &json!({ "text": text }));
        assert!(typed.is_null(), "{selector}: {typed}");
    }

    /// A command of the browser's own protocol, which chromedriver hands through.
    fn command(&self, name: &str, params: &Value) {
        let told = self.of("POST", "/goog/cdp/execute", &json!({ "cmd": name, "params": params }));
        assert!(told["error"].is_null(), "{name}: {told}");
    }

    /// Makes the page so many points wide and high.
    pub fn size(&self, width: u32, height: u32) {
        let screen = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.command("Emulation.setDeviceMetricsOverride", &screen);
    }

    /// Shows the page as on a medium: `print`, or `screen`.
    pub fn medium(&self, medium: &str) {
        self.command("Emulation.setEmulatedMedia", &json!({ "media": medium }));
    }

    /// What the browser has complained of since the last time: broken scripts, what a page's policy refused, what could not be loaded.
    pub fn complaints(&self) -> Vec<String> {
        let log = self.of("POST", "/se/log", &json!({ "type": "browser" }));
        let entries = log.as_array().unwrap_or_else(|| panic!("a log: {log}"));
        entries.iter().map(|entry| entry["message"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// Waits until something holds, half a minute at most.
    pub fn until(&self, what: &str, holds: impl Fn(&Self) -> bool) {
        let begin = Instant::now();
        while !holds(self) {
            assert!(begin.elapsed() < Duration::from_secs(60), "never: {what}; {}", self.text("main"));
            std::thread::sleep(Duration::from_millis(100));
        }
    }
}

/// Starts the browser's driver; which port it listens on. Nothing where there is none here.
fn start() -> Option<(Child, u16)> {
    // Of several that are started at once two may be given one port, and then one of them gives up.
    for _ in 0..5 {
        let driver = Command::new("chromedriver").arg("--port=0").stdout(Stdio::piped()).stderr(Stdio::null()).spawn();
        let mut driver = driver.ok()?;
        let words = BufReader::new(driver.stdout.take().expect("its words"));
        let port = words.lines().map_while(Result::ok).find_map(|line| {
            let (_, port) = line.split_once("successfully on port ")?;
            port.trim_end_matches('.').parse().ok()
        });
        if let Some(port) = port {
            return Some((driver, port));
        }
        driver.kill().and_then(|()| driver.wait()).expect("its end");
    }
    panic!("the browser's driver does not start");
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            self.ask("DELETE", &format!("/session/{}", self.session), &Value::Null);
        }
        // It may have ended already.
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
