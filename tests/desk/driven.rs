//! A real browser, driven: Debian's Chromium by its own driver. Where there is none, tests say that they
//! were skipped.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tokio::runtime::Runtime;

use super::Desk;
use crate::browser::{on_path, skipped};

/// How long a page may take to show something, however busy the machine.
const PATIENCE: Duration = Duration::from_secs(60);
/// Between two looks at it.
const LOOK: Duration = Duration::from_millis(30);

/// What a page is looked at with.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    pub width: u32,
    pub height: u32,
    /// Points of the screen to one of the page.
    pub scale: f32,
    pub dark: bool,
    pub script: bool,
}

pub const LAPTOP: Look = Look {
    width: 1280,
    height: 800,
    scale: 1.0,
    dark: false,
    script: true,
};
pub const PHONE: Look = Look {
    width: 360,
    height: 740,
    scale: 1.0,
    dark: true,
    script: true,
};

/// A browser with one window.
pub struct Browser {
    driver: Child,
    client: Option<Client>,
    runtime: Runtime,
}

impl Browser {
    /// A fresh one; `None` where this machine has none.
    pub fn open(test: &str, look: Look) -> Option<Self> {
        let (Some(driver), Some(program)) = (on_path("chromedriver"), on_path("chromium")) else {
            skipped(test, "no Chromium with its driver on the path");
            return None;
        };
        let mut driver = Command::new(driver)
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the driver starts");
        let out = driver.stdout.take().expect("stdout");
        let mut lines = BufReader::new(out).lines().map_while(Result::ok);
        let port = lines.find_map(|line| {
            let port = line.split("started successfully on port ").nth(1)?;
            port.trim_end_matches('.').parse::<u16>().ok()
        });
        let port = port.expect("a port");
        let runtime = Runtime::new().expect("a runtime");
        let Look {
            width,
            height,
            scale,
            dark,
            script,
        } = look;
        let scheme = format!("--blink-settings=preferredColorScheme={}", u8::from(!dark));
        let mut options = json!({
            "binary": program,
            "args": ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                "--disable-extensions", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
                format!("--window-size={width},{height}"), format!("--force-device-scale-factor={scale}"), scheme],
        });
        if width < 500 {
            // a window is no narrower than that, but what it shows may be
            options["mobileEmulation"] = json!({ "deviceMetrics":
                { "width": width, "height": height, "pixelRatio": 1, "touch": true } });
        }
        if !script {
            options["prefs"] = json!({ "profile.managed_default_content_settings.javascript": 2 });
        }
        let wanted =
            json!({ "goog:chromeOptions": options, "goog:loggingPrefs": { "browser": "ALL" } });
        let Value::Object(wanted) = wanted else {
            unreachable!("an object")
        };
        let address = format!("http://127.0.0.1:{port}");
        let client = runtime.block_on(async {
            ClientBuilder::new(HttpConnector::new())
                .capabilities(wanted)
                .connect(&address)
                .await
        });
        Some(Self {
            driver,
            client: Some(client.expect("a session")),
            runtime,
        })
    }

    fn client(&self) -> &Client {
        self.client.as_ref().expect("a session")
    }

    /// Opens an address of the desk, with its key the first time.
    pub fn enter(&self, desk: &Desk, path: &str) {
        self.go(&desk.at(&format!("/?key={}", desk.key)));
        self.go(&desk.at(path));
    }

    pub fn go(&self, address: &str) {
        self.runtime
            .block_on(self.client().goto(address))
            .expect("a page");
    }

    /// The path and query of the page that is shown.
    pub fn at(&self) -> String {
        let address = self
            .runtime
            .block_on(self.client().current_url())
            .expect("an address");
        match address.query() {
            Some(query) => format!("{}?{query}", address.path()),
            None => address.path().to_owned(),
        }
    }

    /// What a script in the page gives.
    pub fn eval(&self, script: &str) -> Value {
        let asked = format!("return {script}");
        let run = self.client().execute(&asked, Vec::new());
        self.runtime
            .block_on(run)
            .unwrap_or_else(|e| panic!("{script}: {e}"))
    }

    /// Waits until something holds in the page.
    pub fn until(&self, script: &str, what: &str) {
        let started = Instant::now();
        while self.eval(&format!("!!({script})")) != Value::Bool(true) {
            if started.elapsed() > PATIENCE {
                let picture = std::env::temp_dir().join("shimcast-desk.png");
                self.screenshot(&picture);
                let (at, text) = (self.at(), self.text("body"));
                panic!("{what}: never; seen in {}\n{at}\n{text}", picture.display());
            }
            std::thread::sleep(LOOK);
        }
    }

    /// The text of the first element that a selector finds.
    pub fn text(&self, selector: &str) -> String {
        let found = self.eval(&format!(
            "document.querySelector({})?.innerText ?? ''",
            json!(selector)
        ));
        found.as_str().unwrap_or_default().to_owned()
    }

    pub fn click(&self, selector: &str) {
        let click = async {
            let found = self.client().find(Locator::Css(selector)).await?;
            found.click().await
        };
        self.runtime
            .block_on(click)
            .unwrap_or_else(|e| panic!("{selector}: {e}"));
    }

    /// Empties a field and types into it.
    pub fn fill(&self, selector: &str, text: &str) {
        let fill = async {
            let found = self.client().find(Locator::Css(selector)).await?;
            found.clear().await?;
            found.send_keys(text).await
        };
        self.runtime
            .block_on(fill)
            .unwrap_or_else(|e| panic!("{selector}: {e}"));
    }

    /// Types keys at whatever has the focus; `\u{e004}` is Tab, `\u{e007}` Enter (WebDriver, clause 17.4.2).
    pub fn keys(&self, keys: &str) {
        let mut all = KeyActions::new("keys".to_owned());
        for value in keys.chars() {
            all = all
                .then(KeyAction::Down { value })
                .then(KeyAction::Up { value });
        }
        self.runtime
            .block_on(self.client().perform_actions(all))
            .expect("keys");
    }

    pub fn back(&self) {
        self.runtime
            .block_on(self.client().back())
            .expect("a page before");
    }

    pub fn reload(&self) {
        self.runtime
            .block_on(self.client().refresh())
            .expect("the same page");
    }

    /// What keeps people from using the page, by the rules of WCAG 2.2 (levels A and AA) and good practice.
    pub fn violations(&self, axe: &str) -> Vec<String> {
        let asked = format!(
            "{axe}; const done = arguments[arguments.length - 1]; axe.run(document, {{ runOnly: \
             ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }}).then(r => \
             done(r.violations.map(v => v.id + ': ' + v.nodes[0].html.slice(0, 200))))"
        );
        let run = self.client().execute_async(&asked, Vec::new());
        let found = self.runtime.block_on(run).expect("the rules");
        let found = found.as_array().expect("a list").iter();
        found
            .map(|one| one.as_str().unwrap_or_default().to_owned())
            .collect()
    }

    /// What the window shows, as PNG.
    pub fn screenshot(&self, path: &std::path::Path) {
        let png = self
            .runtime
            .block_on(self.client().screenshot())
            .expect("a picture");
        fs::write(path, png).expect("a file");
    }
}

/// The rules, which `.ci/run` brings; `None` where they are not there, which is said.
pub fn axe(test: &str) -> Option<String> {
    let place = std::env::var_os("SHIMCAST_AXE").map(PathBuf::from);
    let rules = place.and_then(|place| fs::read_to_string(place).ok());
    if rules.is_none() {
        skipped(test, "SHIMCAST_AXE names no rules of accessibility");
    }
    rules
}

impl Drop for Browser {
    fn drop(&mut self) {
        if let Some(client) = self.client.take() {
            // a browser that is gone already needs no end
            let _ = self.runtime.block_on(client.close());
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
