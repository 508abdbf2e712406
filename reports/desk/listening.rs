//! Connections: how many at once, how long anyone may take to say what they want, and their end.

use std::future::poll_fn;
use std::io;
use std::net::IpAddr;
use std::pin::pin;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::task::Poll;
use std::time::Duration;

use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::select;
use tokio::sync::watch;
use tokio::task::AbortHandle;
use tokio::time::{sleep, timeout};

/// Connections at once; of more, the oldest that nobody let in is closed.
const MOST: usize = 128;
/// How long a request may take to name what it wants, and an idle connection to go on.
const PATIENCE: Duration = Duration::from_secs(10);
/// Bytes of a request without its body.
const MOST_HEAD: usize = 16 * 1024;
/// How long answers that are under way may take once the desk ends.
const LAST: Duration = Duration::from_secs(2);

/// Turns true when the desk is to end.
pub type End = watch::Receiver<bool>;

/// Whether whoever is at the other end of a connection was let in.
#[derive(Debug, Clone, Default)]
pub struct LetIn(Arc<AtomicBool>);

impl LetIn {
    /// They were.
    pub fn set(&self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// The address that a connection comes from.
#[derive(Debug, Clone, Copy)]
pub struct Peer(pub IpAddr);

/// The connections that there are, oldest first.
#[derive(Debug, Default)]
struct Connections(Mutex<Vec<(LetIn, AbortHandle)>>);

impl Connections {
    /// Adds one; where there are many already, one that nobody let in makes room, or else the oldest: a
    /// browser opens another when it needs it.
    fn add(&self, let_in: LetIn, task: AbortHandle) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|(_, task)| !task.is_finished());
        if all.len() >= MOST {
            let stranger = all
                .iter()
                .position(|(let_in, _)| !let_in.0.load(Ordering::Relaxed));
            all.remove(stranger.unwrap_or(0)).1.abort();
        }
        all.push((let_in, task));
    }

    fn are_over(&self) -> bool {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.iter().all(|(_, task)| task.is_finished())
    }
}

/// Serves until the end, then lets answers that are under way finish.
pub async fn serve(listeners: Vec<TcpListener>, router: Router, mut end: End) {
    let connections = Connections::default();
    let of_connections = end.clone();
    loop {
        let accepted = select! {
            _ = end.wait_for(|end| *end) => break,
            accepted = accept(&listeners) => accepted,
        };
        let Ok((stream, peer)) = accepted else {
            // too many open files: those that are closed meanwhile make room
            sleep(Duration::from_millis(20)).await;
            continue;
        };
        let let_in = LetIn::default();
        let router = router.clone().layer(Extension(let_in.clone()));
        let router = router.layer(Extension(peer));
        let task = tokio::spawn(connection(stream, router, of_connections.clone()));
        connections.add(let_in, task.abort_handle());
    }
    let all_over = async {
        while !connections.are_over() {
            sleep(Duration::from_millis(10)).await;
        }
    };
    // whoever takes longer than that is not waited for
    let _ = timeout(LAST, all_over).await;
}

/// The next connection to any of these.
async fn accept(listeners: &[TcpListener]) -> io::Result<(TcpStream, Peer)> {
    poll_fn(|context| {
        let mut ready = listeners.iter().filter_map(|listener| {
            let Poll::Ready(accepted) = listener.poll_accept(context) else {
                return None;
            };
            Some(accepted.map(|(stream, from)| (stream, Peer(from.ip().to_canonical()))))
        });
        ready.next().map_or(Poll::Pending, Poll::Ready)
    })
    .await
}

async fn connection(stream: TcpStream, router: Router, mut end: End) {
    // small answers go at once
    let _ = stream.set_nodelay(true);
    let serving = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(PATIENCE)
        .max_buf_size(MOST_HEAD)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    let mut serving = pin!(serving);
    select! {
        _ = serving.as_mut() => return,
        _ = end.wait_for(|end| *end) => {}
    }
    serving.as_mut().graceful_shutdown();
    // a connection that breaks is over as well
    let _ = serving.await;
}
