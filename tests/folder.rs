//! A folder of its own for each test, gone when the test is.

use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use shimcast::files::Source;

static NEXT: AtomicU32 = AtomicU32::new(0);

pub struct Folder(PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let own = format!("shimcast-{name}-{}-{number}", std::process::id());
        let path = std::env::temp_dir().join(own);
        std::fs::create_dir_all(&path).expect("a temporary folder");
        Self(path)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub fn file(&self, name: &str, bytes: &[u8]) -> Source {
        let path = self.path(name);
        std::fs::write(&path, bytes).expect("a temporary file");
        Source::File(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // a folder left behind does no harm
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
