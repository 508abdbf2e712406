//! What is said to whoever asks for what is not to be had: a status and a short page.

use axum::http::StatusCode;
use axum::http::header::{ALLOW, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use maud::html;

use super::door::Outside;
use super::frame::bare;

/// What pages are.
pub const HTML: &str = "text/html; charset=utf-8";
/// What is done here.
pub const METHODS: &str = "GET, HEAD, POST";

/// Why a request gets no further.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Away {
    status: StatusCode,
    title: &'static str,
    text: &'static str,
}

impl Away {
    /// There is no such page, file or method.
    pub const NOWHERE: Self = Self::new(
        StatusCode::NOT_FOUND,
        "There is no such page",
        "The rooms of the desk are at its first address.",
    );
    /// What nobody should see.
    pub const LOST: Self = Self::new(
        StatusCode::INTERNAL_SERVER_ERROR,
        "Something went wrong here",
        "Nothing was half written. Go back and try again; if it happens again, the same question at the \
         terminal says more.",
    );
    pub const METHOD: Self = Self::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "This is not done here",
        "Pages are read and forms are sent, nothing else.",
    );
    pub const TOO_LONG: Self = Self::new(
        StatusCode::URI_TOO_LONG,
        "Too long",
        "The address is longer than any here.",
    );
    pub const TOO_MUCH: Self = Self::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        "Not understood",
        "More was sent than any form here holds, or it broke off. Nothing was changed.",
    );
    pub const TOO_SLOW: Self = Self::new(
        StatusCode::REQUEST_TIMEOUT,
        "Not understood",
        "It took too long to arrive. Nothing was changed.",
    );

    const fn new(status: StatusCode, title: &'static str, text: &'static str) -> Self {
        Self {
            status,
            title,
            text,
        }
    }

    /// What was sent is no form or address of here.
    pub const fn not_understood(why: &'static str) -> Self {
        Self::new(StatusCode::BAD_REQUEST, "Not understood", why)
    }
}

impl From<Outside> for Away {
    fn from(why: Outside) -> Self {
        match why {
            Outside::WrongHost => Self::new(
                StatusCode::MISDIRECTED_REQUEST,
                "This is not the desk's address",
                "Open the address that the desk printed when it was started.",
            ),
            Outside::WrongOrigin => Self::new(
                StatusCode::FORBIDDEN,
                "This came from another site",
                "Nothing was read or changed. Open the address that the desk printed, and go on from there.",
            ),
            Outside::NoKey => Self::new(
                StatusCode::UNAUTHORIZED,
                "The desk does not know this browser",
                "Open the address that the desk printed when it was started, with its key; a desk that was \
                 restarted has a new one. On a phone, go to /enter and type the code.",
            ),
            Outside::WrongKey => Self::new(
                StatusCode::FORBIDDEN,
                "That is not the key",
                "Open the address that the desk printed when it was started, or type its code again.",
            ),
            Outside::Spent => Self::new(
                StatusCode::FORBIDDEN,
                "This address has opened the desk already",
                "The address with which the desk opens the browser works once, and for a minute. Open the \
                 address in the terminal in which the desk was started: that one works as long as it runs.",
            ),
            Outside::Waits => Self::new(
                StatusCode::TOO_MANY_REQUESTS,
                "Wait before the next code",
                "Several codes from this device were wrong. Wait a minute, then type the code as the \
                 terminal shows it. Other devices are not kept waiting.",
            ),
            Outside::Lost => Self::LOST,
        }
    }
}

impl IntoResponse for Away {
    fn into_response(self) -> Response {
        let body = html! { p { (self.text) } "\n" };
        let page = (self.status, [(CONTENT_TYPE, HTML)], bare(self.title, &body));
        match self.status {
            StatusCode::METHOD_NOT_ALLOWED => ([(ALLOW, METHODS)], page).into_response(),
            _ => page.into_response(),
        }
    }
}
