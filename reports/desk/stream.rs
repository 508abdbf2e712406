//! Answers as server-sent events (HTML Living Standard, clause 9.2), each better than the one before.

use std::convert::Infallible;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use axum::response::sse::{Event, KeepAlive, Sse};
use futures_core::Stream;
use tokio::sync::mpsc::{Receiver, Sender, channel};

use super::turns::Waiting;

/// Events on their way at the most.
const AHEAD: usize = 2;
/// Something is sent after this long at the latest, so that a browser that left is noticed.
const STILL_HERE: Duration = Duration::from_secs(5);

/// Answers as they come. Whoever no longer reads them ends the run behind them.
#[derive(Debug)]
pub struct Answers {
    events: Receiver<Event>,
    _waiting: Waiting,
}

impl Stream for Answers {
    type Item = Result<Event, Infallible>;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        self.events.poll_recv(context).map(|event| event.map(Ok))
    }
}

/// A stream, and where its events go in.
pub fn answers(
    waiting: Waiting,
) -> (
    Sender<Event>,
    Sse<impl Stream<Item = Result<Event, Infallible>>>,
) {
    let (sender, events) = channel(AHEAD);
    let stream = Answers {
        events,
        _waiting: waiting,
    };
    let stays = KeepAlive::new().interval(STILL_HERE);
    (sender, Sse::new(stream).keep_alive(stays))
}

/// A piece of a page that takes the place of the one before it.
pub fn piece(html: &str) -> Event {
    // a line feed ends a line of an event; what else does must not
    Event::default().event("piece").data(html.replace('\r', ""))
}

/// Nothing better follows.
pub fn last() -> Event {
    Event::default().event("last").data("")
}
