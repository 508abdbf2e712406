//! Answers as server-sent events (HTML Living Standard, clause 9.2), each better than the one before.

use std::convert::Infallible;
use std::time::Duration;

use axum::response::sse::{Event, KeepAlive, Sse};
use tokio::sync::mpsc::{Sender, channel};
use tokio_stream::wrappers::ReceiverStream;

/// Events on their way at the most.
const AHEAD: usize = 2;
/// Something is sent after this long at the latest, so that a browser that left is noticed.
const STILL_HERE: Duration = Duration::from_secs(5);

/// An event, or why it failed, which none does.
pub type Sent = Result<Event, Infallible>;

/// Where events go in, and the stream in which they come out.
pub fn answers() -> (Sender<Sent>, Sse<impl tokio_stream::Stream<Item = Sent>>) {
    let (sender, events) = channel(AHEAD);
    let stays = KeepAlive::new().interval(STILL_HERE);
    (
        sender,
        Sse::new(ReceiverStream::new(events)).keep_alive(stays),
    )
}

/// A piece of a page that takes the place of the one before it.
pub fn piece(html: &str) -> Sent {
    // a line feed ends a line of an event; what else does must not
    Ok(Event::default().event("piece").data(html.replace('\r', "")))
}

/// Nothing better follows.
pub fn last() -> Sent {
    // an event without data is none to a browser (clause 9.2.6), which then takes the end for a fault
    Ok(Event::default().event("last").data("that is all"))
}
