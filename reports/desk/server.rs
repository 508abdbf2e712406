//! Requests: each through the door, then to its room, whose answer goes back as a page, a stream of better
//! ones, or the address to go on at.

use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

use axum::body::{Body, to_bytes};
use axum::extract::{Path, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, COOKIE, ETAG,
    IF_NONE_MATCH, LOCATION, REFERRER_POLICY, SET_COOKIE, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, Uri};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use maud::{Markup, html};
use serde_json::Value;
use tokio::select;
use tokio::task::spawn_blocking;
use tokio::time::timeout;

use super::asked::{Asked, MOST_BYTES};
use super::away::{Away, HTML};
use super::door::{Outside, Visitor};
use super::frame::{self, Page};
use super::here::Here;
use super::listening::{LetIn, Peer};
use super::rooms::{Changed, ROOMS, Room, Shown, View, room_of};
use super::turns::{Turn, Waiting};
use super::{Desk, assets, stream};
use crate::progress::Listener;
use crate::questions::context::Failure;

/// How long a form may take to arrive.
const PATIENCE: Duration = Duration::from_secs(10);
/// Bytes of an address.
const LONGEST: usize = 8 * 1024;
/// What a page of the desk may load and do: its own scripts and styles, nothing else.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// A page that is sent to others has its style in itself, and no script.
const POLICY_OF_WHOLE: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
                               form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

type Shared = State<Arc<Desk>>;

/// Every address there is.
pub(super) fn router(desk: Arc<Desk>) -> Router {
    Router::new()
        .route("/", get(begin))
        .route("/enter", get(enter).post(entered))
        .route("/assets/{name}", get(asset))
        .route("/news", get(news))
        .route("/{room}", get(show).post(change))
        .route("/{room}/answers", get(answers))
        .fallback(nowhere)
        .layer(from_fn_with_state(Arc::clone(&desk), door))
        .with_state(desk)
}

/// Lets in, or says why not; nothing behind it is reached otherwise.
async fn door(State(desk): Shared, mut request: Request, next: Next) -> Response {
    with_headers(match let_in(&desk, &mut request) {
        Ok(()) => next.run(request).await,
        Err(away) => away.into_response(),
    })
}

fn let_in(desk: &Desk, request: &mut Request) -> Result<(), Away> {
    let method = request.method();
    if ![Method::GET, Method::HEAD, Method::POST].contains(method) {
        return Err(Away::METHOD);
    }
    let address = request.uri().path_and_query();
    if address.map_or("", |all| all.as_str()).len() > LONGEST {
        return Err(Away::TOO_LONG);
    }
    let elsewhere = request.uri().authority();
    if elsewhere.is_some_and(|other| !desk.door.is_at(other.as_str())) {
        return Err(Outside::WrongHost.into());
    }
    desk.door.place(method, request.headers())?;
    match desk.door.visitor(request.headers()) {
        Ok(visitor) => {
            if let Some(let_in) = request.extensions().get::<LetIn>() {
                let_in.set();
            }
            request.extensions_mut().insert(visitor);
            Ok(())
        }
        // what brings a key, and the page that asks for one with its style
        Err(_) if ["/", "/enter", assets::STYLE_SHEET].contains(&request.uri().path()) => Ok(()),
        Err(why) => Err(why.into()),
    }
}

fn with_headers(mut answer: Response) -> Response {
    let headers = answer.headers_mut();
    let mut say = |name: HeaderName, value: &'static str| {
        headers
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    };
    say(CONTENT_SECURITY_POLICY, POLICY);
    say(X_CONTENT_TYPE_OPTIONS, "nosniff");
    say(X_FRAME_OPTIONS, "DENY");
    // forms would otherwise come from nowhere
    say(REFERRER_POLICY, "same-origin");
    say(
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    );
    say(
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    );
    say(CACHE_CONTROL, "no-store");
    answer
}

fn page(status: StatusCode, html: String) -> Response {
    (status, [(CONTENT_TYPE, HTML)], html).into_response()
}

fn go(address: &str) -> Response {
    match HeaderValue::from_str(address) {
        Ok(address) => (StatusCode::SEE_OTHER, [(LOCATION, address)]).into_response(),
        Err(_) => Away::LOST.into_response(),
    }
}

async fn nowhere() -> Away {
    Away::NOWHERE
}

fn asked_by(uri: &Uri) -> Result<Asked, Away> {
    Asked::read(uri.query().unwrap_or_default().as_bytes()).map_err(Away::not_understood)
}

/// The first address: takes the key, then leads to the first room.
async fn begin(
    State(desk): Shared,
    uri: Uri,
    Extension(peer): Extension<Peer>,
    visitor: Option<Extension<Visitor>>,
) -> Result<Response, Away> {
    match (asked_by(&uri)?.get("key"), visitor) {
        (Some(key), _) => with_key(&desk, key, peer),
        (None, Some(_)) => Ok(go(&format!("/{}", ROOMS[0].name()))),
        (None, None) if desk.door.code().is_some() => Ok(go("/enter")),
        (None, None) => Err(Outside::NoKey.into()),
    }
}

fn with_key(desk: &Desk, key: &str, Peer(from): Peer) -> Result<Response, Away> {
    let cookie = desk.door.exchange(key, from, Instant::now())?;
    let cookie = HeaderValue::from_str(&cookie).map_err(|_| Away::LOST)?;
    Ok(([(SET_COOKIE, cookie)], go("/")).into_response())
}

/// Asks for the code.
async fn enter() -> Response {
    let body = html! {
        form method="post" action="/enter" { "\n"
            p { label for="key" { "The code that the desk shows" } } "\n"
            p { input id="key" name="key" autocomplete="off" autocapitalize="none" required; } "\n"
            p { button { "Come in" } } "\n"
        } "\n"
    };
    page(StatusCode::OK, frame::bare("The desk", &body))
}

async fn entered(
    State(desk): Shared,
    Extension(peer): Extension<Peer>,
    body: Body,
) -> Result<Response, Away> {
    with_key(
        &desk,
        form(body).await?.get("key").unwrap_or_default(),
        peer,
    )
}

/// A form that was sent.
async fn form(body: Body) -> Result<Asked, Away> {
    match timeout(PATIENCE, to_bytes(body, MOST_BYTES)).await {
        Ok(Ok(bytes)) => Asked::read(&bytes).map_err(Away::not_understood),
        Ok(Err(_)) => Err(Away::TOO_MUCH),
        Err(_) => Err(Away::TOO_SLOW),
    }
}

/// A script or the style sheet: a browser that has this version of the program's own keeps it.
async fn asset(Path(name): Path<String>, headers: HeaderMap) -> Result<Response, Away> {
    let asset = assets::asset(&name).ok_or(Away::NOWHERE)?;
    let own = [
        (CONTENT_TYPE, asset.kind),
        (CACHE_CONTROL, "no-cache"),
        (ETAG, asset.tag.as_str()),
    ];
    let is_known = headers
        .get(IF_NONE_MATCH)
        .is_some_and(|known| known == asset.tag.as_str());
    Ok(match is_known {
        true => (StatusCode::NOT_MODIFIED, own).into_response(),
        false => (own, asset.text.as_str()).into_response(),
    })
}

/// What the folder holds now, so that a page sees what changed.
async fn news(State(desk): Shared) -> Result<Response, Away> {
    // a disk may be slow, and nobody else waits for it
    let now = spawn_blocking(move || desk.folder.as_it_is());
    let text = Value::from(now.await.map_err(|_| Away::LOST)?).to_string();
    Ok(([(CONTENT_TYPE, "application/json")], text).into_response())
}

/// Name and value by which a browser says that its pages have no script any more.
const NO_SCRIPT: (&str, &str) = ("script", "no");
/// What makes it forget that they had one.
const FORGET_SCRIPT: &str = "script=; Max-Age=0; SameSite=Strict; Path=/";

/// Whether a page refines its answers itself: its script has said so.
fn has_script(headers: &HeaderMap) -> bool {
    let cookies = headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok());
    let mut pairs = cookies.flat_map(|line| line.split(';'));
    pairs.any(|pair| pair.trim() == "script=1")
}

async fn show(
    State(desk): Shared,
    Path(name): Path<String>,
    Extension(visitor): Extension<Visitor>,
    headers: HeaderMap,
    uri: Uri,
) -> Result<Response, Away> {
    let room = room_of(&name).ok_or(Away::NOWHERE)?;
    let asked = asked_by(&uri)?;
    let (name, no) = NO_SCRIPT;
    if asked.get(name) == Some(no) {
        let plain = go(&asked.without(name).address(uri.path()));
        return Ok(([(SET_COOKIE, FORGET_SCRIPT)], plain).into_response());
    }
    let script = has_script(&headers);
    let waiting = Waiting::default();
    let here = Arc::clone(&desk);
    let work = move |turn: &Turn| shown(&here, room, &asked, script, turn);
    let listener = waiting.0.clone();
    let answer = desk.turns.take(visitor, listener, work).await;
    answer.ok_or(Away::LOST)
}

/// A room as it is asked for.
fn shown(desk: &Desk, room: &dyn Room, asked: &Asked, script: bool, turn: &Turn) -> Response {
    let (name, no) = NO_SCRIPT;
    let plain = asked.with(name, no).address(&format!("/{}", room.name()));
    let plain = script.then_some(plain.as_str());
    let here = Here::new(desk, asked, script, turn).plain_at(plain);
    match here.are_listed().and_then(|()| room.show(&here)) {
        Ok(Shown::View(view)) => in_room(&here, room, view, StatusCode::OK),
        Ok(Shown::Whole(html)) => {
            let own = [
                (CONTENT_TYPE, HTML),
                (CONTENT_SECURITY_POLICY, POLICY_OF_WHOLE),
            ];
            (own, html).into_response()
        }
        Ok(Shown::File(name, text)) => {
            let saved = format!("attachment; filename=\"{name}\"");
            (
                [
                    (CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()),
                    (CONTENT_DISPOSITION, saved),
                ],
                text,
            )
                .into_response()
        }
        Err(failure) => {
            let set = html! {
                (here.choose(&format!("/{}", room.name()), false))
                (frame::refused(failure.message()))
                @if here.folder.has_none_of_ours() {
                    p { a href="/files" { "Begin with the starter files" } } "\n"
                } @else {
                    p { a href=(format!("/{}", room.name())) { "All of " (room.title()) } } "\n"
                }
            };
            in_room(
                &here,
                room,
                View::of(room.title(), set),
                status_of(&failure),
            )
        }
    }
}

fn status_of(failure: &Failure) -> StatusCode {
    match failure {
        Failure::BadInput(_) => StatusCode::UNPROCESSABLE_ENTITY,
        Failure::NotThere(_) => StatusCode::NOT_FOUND,
        Failure::CannotAccess(_) => StatusCode::INTERNAL_SERVER_ERROR,
        Failure::BrokenOff(_) => StatusCode::SERVICE_UNAVAILABLE,
    }
}

/// A view in its room, with its answer as good as it is wanted at once.
fn in_room(here: &Here<'_>, room: &dyn Room, view: View, status: StatusCode) -> Response {
    let best = room.stages().saturating_sub(1);
    let live = view.live.then(|| match here.script {
        true if !room.is_quick() => (
            html! { p class="working" { "Being worked out …" } "\n" },
            false,
        ),
        true => (live(here, room, 0), best == 0),
        false => (live(here, room, best), true),
    });
    let carried = here.carried();
    let path = format!("/{}", room.name());
    let body = html! {
        div class={ "room " (view.class) } { "\n"
            div class="set" { "\n" h1 { (view.title) } "\n" (view.set) } "\n"
            @if let Some((piece, done)) = &live {
                div class="answer" { "\n"
                    (view.beside)
                    section id="live" class="live" aria-label="Answer"
                        data-from=(format!("{path}/answers"))
                        data-better[!done] { "\n" (piece) } "\n"
                } "\n"
            }
        } "\n"
    };
    let html = frame::whole(&Page {
        title: &view.title,
        room: room.name(),
        carried: &carried,
        files_were: Value::from(here.files_were.clone()).to_string(),
        plain: here.plain,
        body,
    });
    page(status, html)
}

/// The answer of a stage, or why there is none, with what was said beside it.
fn live(here: &Here<'_>, room: &dyn Room, stage: usize) -> Markup {
    let piece = match here.are_listed().and_then(|()| room.live(here, stage)) {
        Ok(piece) => piece,
        Err(failure) => frame::refused(failure.message()),
    };
    let said = here.listener.heard();
    html! {
        (piece)
        @if !said.is_empty() {
            details class="said" { "\n"
                summary { "What was noticed in the files" } "\n"
                @for words in &said { pre { (words) } "\n" }
            } "\n"
        }
    }
}

/// Answers to one question, each better than the one before.
async fn answers(
    State(desk): Shared,
    Path(name): Path<String>,
    Extension(visitor): Extension<Visitor>,
    uri: Uri,
) -> Result<Response, Away> {
    let room = room_of(&name).filter(|room| room.stages() > 0);
    let room = room.ok_or(Away::NOWHERE)?;
    let asked = Arc::new(asked_by(&uri)?);
    let listener = Listener::default();
    let (events, stream) = stream::answers();
    tokio::spawn(async move {
        for stage in 0..room.stages() {
            let (of, asked) = (Arc::clone(&desk), Arc::clone(&asked));
            let work = move |turn: &Turn| {
                let here = Here::new(&of, &asked, true, turn);
                live(&here, room, stage).into_string()
            };
            let piece = select! {
                piece = desk.turns.take(visitor, listener.clone(), work) => piece,
                () = events.closed() => {
                    listener.leave();
                    return;
                }
            };
            let lost = || frame::refused("Something went wrong here.").into_string();
            if events
                .send(stream::piece(&piece.unwrap_or_else(lost)))
                .await
                .is_err()
            {
                return;
            }
        }
        // whoever reads no more needs no end
        let _ = events.send(stream::last()).await;
    });
    Ok(stream.into_response())
}

async fn change(
    State(desk): Shared,
    Path(name): Path<String>,
    Extension(visitor): Extension<Visitor>,
    headers: HeaderMap,
    body: Body,
) -> Result<Response, Away> {
    let room = room_of(&name).ok_or(Away::NOWHERE)?;
    let asked = Arc::new(form(body).await?);
    let script = has_script(&headers);
    // nothing is written yet: whoever leaves ends this
    let waiting = Waiting::default();
    let (of, form) = (Arc::clone(&desk), Arc::clone(&asked));
    let work = move |turn: &Turn| room.prepare(&Here::new(&of, &form, script, turn));
    let prepared = desk.turns.take(visitor, waiting.0.clone(), work).await;
    let prepared = prepared.ok_or(Away::LOST)?;
    let of = Arc::clone(&desk);
    let work = move |turn: &Turn| {
        let here = Here::new(&of, &asked, script, turn);
        let changed = prepared.and_then(|()| {
            // one change at a time, each seen by the next
            let _writing = of.writing.lock().unwrap_or_else(PoisonError::into_inner);
            room.change(&here)
        });
        match changed {
            Ok(Changed::Go(address)) => go(&address),
            Ok(Changed::Not(view)) => in_room(&here, room, view, StatusCode::UNPROCESSABLE_ENTITY),
            Ok(Changed::Meanwhile(view)) => in_room(&here, room, view, StatusCode::CONFLICT),
            Err(failure) => {
                let view = View::of(room.title(), frame::refused(failure.message()));
                in_room(&here, room, view, status_of(&failure))
            }
        }
    };
    // what was begun is brought to its end, whoever leaves
    let answer = desk.turns.take(visitor, Listener::default(), work).await;
    answer.ok_or(Away::LOST)
}

#[cfg(test)]
mod tests {
    use std::future::poll_fn;
    use std::pin::pin;
    use std::task::Poll;

    use tokio::runtime::Builder;

    use super::*;

    /// Other requests go on while the folder is looked at.
    #[test]
    fn news_of_the_folder_keeps_nobody_waiting() {
        let desk = Arc::new(Desk::of_tests("news"));
        let runtime = Builder::new_current_thread().build().expect("a runtime");
        runtime.block_on(async {
            let mut news = pin!(news(State(desk)));
            let at_once = poll_fn(|context| Poll::Ready(news.as_mut().poll(context))).await;
            assert!(at_once.is_pending(), "the folder was read at once");
            assert_eq!(news.await.expect("news").status(), StatusCode::OK);
        });
    }
}
