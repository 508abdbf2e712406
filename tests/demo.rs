//! What many tests look at of the demo, asked for once: its drawer, and its page with all files.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::{LazyLock, OnceLock};

use serde_json::Value;

use crate::given::{Folder, answer, answer_once};

/// The drawer as JSON.
pub fn drawer() -> &'static Value {
    static DRAWER: LazyLock<Value> =
        LazyLock::new(|| serde_json::from_str(&answer_once(&["stock", "--json"])).expect("JSON"));
    &DRAWER
}

/// How the page with every figure is asked for, but for where its files go.
pub const PAGE: [&str; 7] = [
    "report",
    "--for",
    "student",
    "--rebuilds",
    REBUILDS,
    "--sample",
    "50",
];
pub const REBUILDS: &str = "4000";

/// The page and what was written with it.
pub struct Page {
    pub html: String,
    /// Text of each file, by its name.
    pub tables: BTreeMap<String, String>,
    pub charts: BTreeMap<String, String>,
}

pub fn page() -> &'static Page {
    static PAGE_OF_DEMO: OnceLock<Page> = OnceLock::new();
    PAGE_OF_DEMO.get_or_init(|| {
        let folder = Folder::new("demo-page");
        let [page, tables, charts] = ["page.html", "tables", "charts"].map(|to| folder.path(to));
        let text = |path: &Path| path.to_str().expect("text").to_owned();
        let [to, csv, svg] = [&page, &tables, &charts].map(|path| text(path));
        answer(&[&PAGE[..], &["-o", &to, "--csv", &csv, "--charts", &svg]].concat());
        Page {
            html: fs::read_to_string(&page).expect("it is written"),
            tables: files(&tables),
            charts: files(&charts),
        }
    })
}

fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = fs::read_dir(folder).expect("the folder is made");
    entries
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let name = path.file_name().expect("a name").display().to_string();
            (name, fs::read_to_string(&path).expect("text"))
        })
        .collect()
}
