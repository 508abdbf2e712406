//! The desk as a process: what it serves, whom it lets in, what it never does.

mod addresses;
mod doors;
mod driven;
mod kept;
mod mutated;
mod plain;
mod seen;
mod visit;
#[cfg(target_os = "linux")]
mod weight;
mod words;

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::time::Duration;

use crate::given::Folder;

/// What any answer may take, however busy the machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// A desk that is open on a folder of its own.
pub struct Desk {
    child: Mutex<Child>,
    folder: Option<Folder>,
    pub port: u16,
    pub key: String,
    pub cookie: String,
}

/// What came back.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Answer {
    /// The value of a header.
    pub fn header(&self, name: &str) -> Option<&str> {
        let mut lines = self.head.lines().filter_map(|line| line.split_once(": "));
        lines
            .find(|(other, _)| other.eq_ignore_ascii_case(name))
            .map(|(_, value)| value)
    }
}

impl Desk {
    /// On the starter files.
    pub fn with_starters(name: &str) -> Self {
        let folder = Folder::new(name);
        let made = Command::new(env!("CARGO_BIN_EXE_shimcast"))
            .args(["new", folder.path("").to_str().expect("a path")])
            .output()
            .expect("the program runs");
        assert!(made.status.success(), "{made:?}");
        Self::on(folder)
    }

    /// On a folder as it is.
    pub fn on(folder: Folder) -> Self {
        Self::with(folder, &[]).0
    }

    /// The same with options; gives what it said as well.
    pub fn with(folder: Folder, options: &[&str]) -> (Self, String) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_shimcast"));
        command.args(["desk", "--no-open"]).args(options);
        Self::of(folder, command)
    }

    /// One that opens a browser by a command from these folders.
    #[cfg(unix)]
    pub fn opening(folder: Folder, path: &str) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_shimcast"));
        command.arg("desk").env("PATH", path);
        Self::of(folder, command).0
    }

    fn of(folder: Folder, mut command: Command) -> (Self, String) {
        let mut child = command
            .arg(folder.path(""))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()
            .expect("the program starts");
        let mut out = child.stdout.take().expect("stdout");
        let mut said = Vec::new();
        // all of it is said at once
        while !said.ends_with(b"\n") {
            let mut more = [0; 65536];
            let read = out.read(&mut more).expect("what it says");
            assert!(read > 0, "it ended");
            said.extend(&more[..read]);
        }
        let said = String::from_utf8(said).expect("text");
        let address = said
            .lines()
            .find(|line| line.contains("/?key="))
            .expect("an address");
        let address = address
            .trim()
            .strip_prefix("http://127.0.0.1:")
            .expect("this machine");
        let (port, key) = address.split_once("/?key=").expect("a key");
        let mut desk = Self {
            child: Mutex::new(child),
            folder: Some(folder),
            port: port.parse().expect("a port"),
            key: key.to_owned(),
            cookie: String::new(),
        };
        let let_in = desk.ask("GET", &format!("/?key={}", desk.key), &[], "");
        let cookie = let_in.header("set-cookie").expect("a cookie");
        desk.cookie = cookie.split(';').next().expect("a pair").to_owned();
        (desk, said)
    }

    /// The most memory that it has had, kB.
    #[cfg(target_os = "linux")]
    pub fn peak_memory(&self) -> u64 {
        let process = self.child.lock().expect("the process").id();
        crate::given::peak_memory(process).expect("it runs")
    }

    /// Ends it at once, whatever it is doing.
    pub fn kill(&self) {
        let mut child = self.child.lock().expect("the process");
        child.kill().expect("it was running");
        child.wait().expect("its end");
    }

    /// The folder that it worked in, without the desk.
    pub fn into_folder(mut self) -> Folder {
        self.folder.take().expect("a folder")
    }

    fn folder(&self) -> &Folder {
        self.folder.as_ref().expect("a folder")
    }

    /// A request of which nothing is read.
    pub fn begin(&self, path: &str) -> TcpStream {
        let mut stream = self.connect();
        let request = self.request("GET", path, &[], "");
        stream.write_all(&request).expect("a request");
        stream
    }

    /// A form that may find nobody any more.
    pub fn try_post(&self, path: &str, body: &str) {
        let origin = format!("Origin: http://127.0.0.1:{}", self.port);
        if let Ok(mut stream) = TcpStream::connect(("127.0.0.1", self.port)) {
            let _ = stream.write_all(&self.request("POST", path, &[&origin], body));
            answer(&mut stream);
        }
    }

    /// The address of a path.
    pub fn at(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    pub fn path(&self, name: &str) -> std::path::PathBuf {
        self.folder().path(name)
    }

    /// All files of the folder, as they are to the byte.
    pub fn files(&self) -> Vec<(String, Vec<u8>)> {
        let entries = fs::read_dir(self.folder().path("")).expect("the folder");
        let files = entries.map(|entry| entry.expect("an entry"));
        let mut all: Vec<(String, Vec<u8>)> = files
            .filter(|entry| entry.path().is_file())
            .map(|entry| {
                let name = entry.file_name().to_string_lossy().into_owned();
                (name, read(&entry.path()))
            })
            .collect();
        all.sort();
        all
    }

    /// Bytes as they are, and what comes back until the other end closes.
    pub fn send(&self, bytes: &[u8]) -> Answer {
        self.send_to(&format!("127.0.0.1:{}", self.port), bytes)
    }

    /// The same to another of its addresses.
    pub fn send_to(&self, address: &str, bytes: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(address).expect("a connection");
        stream.set_read_timeout(Some(PATIENCE)).expect("a timeout");
        // the other end may have had enough before all of it is sent
        let _ = stream.write_all(bytes);
        answer(&mut stream)
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("a connection");
        stream.set_read_timeout(Some(PATIENCE)).expect("a timeout");
        stream
    }

    /// A request as a browser of this place sends it, with more headers and a body.
    pub fn request(&self, method: &str, path: &str, more: &[&str], body: &str) -> Vec<u8> {
        let port = self.port;
        let mut text =
            format!("{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n");
        if !self.cookie.is_empty() {
            text.push_str(&format!("Cookie: {}\r\n", self.cookie));
        }
        for line in more {
            text.push_str(&format!("{line}\r\n"));
        }
        if !body.is_empty() {
            text.push_str("Content-Type: application/x-www-form-urlencoded\r\n");
            text.push_str(&format!("Content-Length: {}\r\n", body.len()));
        }
        text.push_str(&format!("\r\n{body}"));
        text.into_bytes()
    }

    pub fn ask(&self, method: &str, path: &str, more: &[&str], body: &str) -> Answer {
        self.send(&self.request(method, path, more, body))
    }

    pub fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], "")
    }

    /// A form as a page of this place sends it.
    pub fn post(&self, path: &str, body: &str) -> Answer {
        let origin = format!("Origin: http://127.0.0.1:{}", self.port);
        self.ask("POST", path, &[&origin], body)
    }

    /// Asks it to end as Ctrl-C does, and gives its exit code.
    #[cfg(unix)]
    pub fn interrupt(&mut self) -> Option<i32> {
        let child = self.child.get_mut().expect("the process");
        let told = Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .status();
        assert!(told.is_ok_and(|status| status.success()));
        child.wait().expect("it ends").code()
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        // one that has ended already needs no end
        if let Ok(child) = self.child.get_mut() {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

/// The value of a hidden field, as it stands in a page.
fn hidden<'a>(page: &'a str, name: &str) -> Option<&'a str> {
    let (_, value) = page.split_once(&format!("name=\"{name}\" value=\""))?;
    value.split('"').next()
}

fn read(path: &Path) -> Vec<u8> {
    fs::read(path).unwrap_or_default()
}

/// Reads until the other end closes; nothing at all is status 0.
pub fn answer(stream: &mut TcpStream) -> Answer {
    let mut bytes = Vec::new();
    // what came before the other end broke off counts
    let _ = stream.read_to_end(&mut bytes);
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok());
    Answer {
        status: status.unwrap_or(0),
        head: head.to_owned(),
        body: body.to_owned(),
    }
}
