//! The desk: the same questions without a terminal, in a browser of this machine.
//!
//! [`server`] takes requests: through the `door`, to a room of [`rooms`], back as a page, a stream or a
//! change. What a room shows is made of the documents of [`crate::questions`]. Nothing else knows the web
//! server, and nothing is kept but in the folder that the desk was opened in.

mod asked;
mod assets;
mod away;
mod door;
mod folder;
mod frame;
mod here;
mod known;
mod listening;
mod rooms;
mod sent;
mod server;
mod stream;
mod turns;

use std::fmt::Write;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::sync::watch;

use self::door::Door;
use self::folder::Folder;
use self::known::Known;
use self::turns::Turns;
use crate::cli;
use crate::printable::Shown;
use crate::progress::on_interrupt;
use crate::questions::Exit;
use crate::questions::context::{Failure, print, warn};

/// The desk.
#[derive(Debug)]
struct Desk {
    folder: Folder,
    door: Door,
    turns: Turns,
    known: Known,
    /// Held by whoever changes a file.
    writing: Mutex<()>,
}

/// `shimcast desk`: serves until Ctrl-C.
pub fn run(args: &cli::Desk) -> Result<Exit, Failure> {
    if args.folder.is_file() {
        return Err(Failure::BadInput(format!(
            "{} is a file: name the folder that it is in",
            args.folder.shown()
        )));
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_io()
        .enable_time()
        .build()
        .map_err(|e| Failure::CannotAccess(format!("can't start {e}")))?;
    let (tell_end, end) = watch::channel(false);
    on_interrupt(Some(Box::new(move || {
        // whoever served has ended already
        let _ = tell_end.send(true);
    })));
    let desk = runtime.block_on(async {
        let listeners = listen(args).await?;
        let addresses: Result<Vec<SocketAddr>, _> =
            listeners.iter().map(TcpListener::local_addr).collect();
        let addresses = addresses.map_err(|e| Failure::CannotAccess(e.to_string()))?;
        let desk = Arc::new(open(args, &addresses)?);
        say(args, &desk, &addresses)?;
        listening::serve(listeners, server::router(Arc::clone(&desk)), end).await;
        Ok::<_, Failure>(desk)
    })?;
    // what is being written is written to its end, and nothing more is begun
    let _writing = desk.writing.lock().unwrap_or_else(PoisonError::into_inner);
    runtime.shutdown_timeout(LAST);
    Ok(Exit::Done)
}

/// How long runs that heed no end may take.
const LAST: Duration = Duration::from_secs(1);

/// The sockets: of this machine alone, and of another address where it was given.
async fn listen(args: &cli::Desk) -> Result<Vec<TcpListener>, Failure> {
    let bind = async |address: SocketAddr| {
        TcpListener::bind(address).await.map_err(|e| {
            Failure::CannotAccess(format!(
                "can't listen on {address}: {e}\n  help: name another port with --port, or an address \
                 of this machine with --lan"
            ))
        })
    };
    let own = bind((Ipv4Addr::LOCALHOST, args.port).into()).await?;
    let port = own.local_addr().map_or(args.port, |address| address.port());
    let mut all = vec![own];
    if let Some(address) = args.lan {
        all.push(bind((address, port).into()).await?);
    }
    Ok(all)
}

fn open(args: &cli::Desk, addresses: &[SocketAddr]) -> Result<Desk, Failure> {
    let port = addresses[0].port();
    let mut hosts: Vec<String> = addresses.iter().map(SocketAddr::to_string).collect();
    hosts.push(format!("localhost:{port}"));
    let door = Door::new(hosts, port, args.lan.is_some()).map_err(Failure::CannotAccess)?;
    Ok(Desk {
        folder: Folder::new(args.folder.clone()),
        door,
        turns: Turns::default(),
        known: Known::default(),
        writing: Mutex::default(),
    })
}

/// Says where the desk is, and opens the browser there.
fn say(args: &cli::Desk, desk: &Desk, addresses: &[SocketAddr]) -> Result<(), Failure> {
    let address = format!("http://{}/?key={}", addresses[0], desk.door.key());
    let mut text = format!("The desk is open at\n  {address}\nCtrl-C ends it.\n");
    if let (Some(other), Some(code)) = (addresses.get(1), desk.door.code()) {
        text.push_str(&for_others(other, code));
    }
    print(&text)?;
    // other users of this machine may see the command that opens it
    let once = desk.door.key_once();
    let once = format!("http://{}/?key={once}", addresses[0]);
    if !args.no_open
        && let Err(e) = open::that_detached(&once)
    {
        warn(format!(
            "no browser could be opened ({e}): type the address into one"
        ));
    }
    Ok(())
}

/// What a phone is told: an address, a code to type, the same to scan, and what it is worth.
fn for_others(other: &SocketAddr, code: &str) -> String {
    let [first, second] = [&code[..5], &code[5..]];
    let mut text = format!(
        "\nOn a phone in the same network open\n  http://{other}/\nand type the code\n  {first} {second}\n"
    );
    if let Ok(scanned) = qrcode::QrCode::new(format!("http://{other}/?key={code}")) {
        let drawn = scanned
            .render::<qrcode::render::unicode::Dense1x2>()
            .quiet_zone(true)
            .build();
        let _ = write!(text, "or scan this:\n{drawn}\n");
    }
    text.push_str(
        "Anyone in that network can read what goes over it: nothing is encrypted on the way. Leave --lan \
         out when nobody needs it.\n",
    );
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    impl Desk {
        /// On an empty folder of its own.
        pub(super) fn of_tests(name: &str) -> Self {
            let name = format!("shimcast-desk-{name}-{}", std::process::id());
            let folder = std::env::temp_dir().join(name);
            std::fs::create_dir_all(&folder).expect("a folder");
            Self {
                folder: Folder::new(folder),
                door: Door::new(Vec::new(), 9, false).expect("a door"),
                turns: Turns::default(),
                known: Known::default(),
                writing: Mutex::default(),
            }
        }
    }

    impl Drop for Desk {
        fn drop(&mut self) {
            // only those of tests are here
            let _ = std::fs::remove_dir(self.folder.path());
        }
    }
}
