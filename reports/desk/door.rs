//! Who may come in: this machine's own browser with the key it was given, and nobody whom another site
//! sends.
//!
//! A request must name this place as its host, so that no other name can be bound to it (DNS rebinding);
//! what changes something must come from a page of this place; and everything asks for a cookie that
//! only the key from the first address gets, which pages of other sites can neither read nor send along.

use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use axum::http::header::{COOKIE, HOST, ORIGIN};
use axum::http::{HeaderMap, Method};

/// Visitors that are remembered; the first of more is forgotten.
const MOST_VISITORS: usize = 64;
/// Wrong codes after which no more are taken: a code to be typed is short.
const MOST_WRONG: u32 = 50;
/// Letters and digits that nobody takes for another.
const CODE: &[u8; 31] = b"abcdefghjkmnpqrstuvwxyz23456789";

/// Somebody who came in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Visitor(pub u64);

/// Why somebody stays outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outside {
    /// The request names another place, or none.
    WrongHost,
    /// It comes from a page of another place.
    WrongOrigin,
    /// It has no cookie of this desk.
    NoKey,
    /// The key or code is wrong.
    WrongKey,
    /// Too many codes were wrong.
    Shut,
}

/// The door.
#[derive(Debug)]
pub struct Door {
    /// What a request may name as its host.
    hosts: Vec<String>,
    /// Keys that let in: the one of the first address and, where others may come, a code to type.
    key: String,
    code: Option<String>,
    wrong: AtomicU32,
    cookie: String,
    visitors: Mutex<Vec<(u64, String)>>,
}

/// Bytes that nobody can guess.
fn secret<const N: usize>() -> Result<[u8; N], String> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|e| format!("this system gives no random bytes: {e}"))?;
    Ok(bytes)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Whether two texts are the same, in a time that does not tell where they differ.
fn same(one: &str, other: &str) -> bool {
    let differ = one
        .bytes()
        .zip(other.bytes())
        .fold(0, |all, (a, b)| all | (a ^ b));
    one.len() == other.len() && differ == 0
}

impl Door {
    /// A door with new keys; a code to type as well where others than this machine's browser may come.
    ///
    /// # Errors
    /// In words, where the system gives no random bytes.
    pub fn new(hosts: Vec<String>, port: u16, for_others: bool) -> Result<Self, String> {
        let code = match for_others {
            true => {
                let letters =
                    secret::<10>()?.map(|byte| char::from(CODE[usize::from(byte) % CODE.len()]));
                Some(letters.iter().collect())
            }
            false => None,
        };
        Ok(Self {
            hosts,
            key: hex(&secret::<16>()?),
            code,
            wrong: AtomicU32::new(0),
            // cookies do not know ports, and there may be a desk for each
            cookie: format!("desk-{port}"),
            visitors: Mutex::default(),
        })
    }

    /// The key of the first address.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The code to type, where there is one.
    pub fn code(&self) -> Option<&str> {
        self.code.as_deref()
    }

    fn visitors(&self) -> MutexGuard<'_, Vec<(u64, String)>> {
        self.visitors.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether this is where the desk is.
    pub fn is_at(&self, host: &str) -> bool {
        self.hosts
            .iter()
            .any(|known| known.eq_ignore_ascii_case(host))
    }

    /// Refuses what names another place, or comes from a page of one. Whoever only opens an address from
    /// elsewhere, as by a link, has no cookie to send and gets no further.
    ///
    /// # Errors
    /// What is wrong.
    pub fn place(&self, method: &Method, headers: &HeaderMap) -> Result<(), Outside> {
        let one = |name| {
            let mut all = headers.get_all(name).iter();
            let first = all.next().and_then(|value| value.to_str().ok());
            first.filter(|_| all.next().is_none())
        };
        let host = one(HOST).ok_or(Outside::WrongHost)?;
        if !self.is_at(host) {
            return Err(Outside::WrongHost);
        }
        let own = format!("http://{host}");
        let origin_is_own = one(ORIGIN).is_some_and(|origin| origin.eq_ignore_ascii_case(&own));
        let is_read = *method == Method::GET || *method == Method::HEAD;
        let fine = match headers.contains_key(ORIGIN) {
            true => origin_is_own,
            // browsers say where a change comes from
            false => is_read,
        };
        let site = headers.get("sec-fetch-site").map(|site| site.as_bytes());
        let from_outside = matches!(site, Some(b"cross-site" | b"same-site"));
        match fine && (is_opened(headers) || !from_outside) {
            true => Ok(()),
            false => Err(Outside::WrongOrigin),
        }
    }

    /// Whoever has a cookie of this desk.
    ///
    /// # Errors
    /// Where there is none.
    pub fn visitor(&self, headers: &HeaderMap) -> Result<Visitor, Outside> {
        let sent = headers.get_all(COOKIE).iter();
        let all = sent
            .filter_map(|value| value.to_str().ok())
            .flat_map(|line| line.split(';'));
        let own = all.filter_map(|pair| pair.trim().split_once('='));
        let own: Vec<&str> = own
            .filter(|(name, _)| *name == self.cookie)
            .map(|(_, value)| value)
            .collect();
        let visitors = self.visitors();
        let known = visitors
            .iter()
            .find(|(_, secret)| own.iter().any(|sent| same(secret, sent)));
        known
            .map(|(number, _)| Visitor(*number))
            .ok_or(Outside::NoKey)
    }

    /// The cookie for whoever has the key or the code.
    ///
    /// # Errors
    /// Where it is neither, or too many were wrong before.
    pub fn exchange(&self, said: &str) -> Result<String, Outside> {
        let typed = || {
            let plain = |c: &char| !matches!(c, ' ' | '-');
            said.to_lowercase()
                .chars()
                .filter(plain)
                .collect::<String>()
        };
        let fits = same(said, &self.key)
            || match &self.code {
                Some(_) if self.wrong.load(Ordering::Relaxed) >= MOST_WRONG => {
                    return Err(Outside::Shut);
                }
                Some(code) => same(&typed(), code),
                None => false,
            };
        if !fits {
            self.wrong.fetch_add(1, Ordering::Relaxed);
            return Err(Outside::WrongKey);
        }
        let secret = secret::<16>().map_err(|_| Outside::Shut)?;
        let secret = hex(&secret);
        let mut visitors = self.visitors();
        let number = visitors.last().map_or(0, |(number, _)| number + 1);
        visitors.push((number, secret.clone()));
        if visitors.len() > MOST_VISITORS {
            visitors.remove(0);
        }
        Ok(format!(
            "{}={secret}; HttpOnly; SameSite=Strict; Path=/",
            self.cookie
        ))
    }
}

/// Whether somebody opens this as a page of its own (Fetch Metadata, clause 2).
fn is_opened(headers: &HeaderMap) -> bool {
    let is = |name: &str, wanted: &str| headers.get(name).is_some_and(|value| value == wanted);
    is("sec-fetch-mode", "navigate") && is("sec-fetch-dest", "document")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        let mut all = HeaderMap::new();
        for (name, value) in pairs {
            all.append(*name, value.parse().expect("a value"));
        }
        all
    }

    fn door() -> Door {
        Door::new(vec!["127.0.0.1:9".into(), "localhost:9".into()], 9, true).expect("a door")
    }

    #[test]
    fn only_the_key_and_the_code_get_a_cookie() {
        let door = door();
        assert_eq!(door.visitor(&headers(&[])), Err(Outside::NoKey));
        assert_eq!(door.exchange(""), Err(Outside::WrongKey));
        let first = door.exchange(door.key()).expect("a cookie");
        let code = door.code().expect("a code").to_uppercase();
        let second = door
            .exchange(&format!(" {} {}", &code[..5], &code[5..]))
            .expect("a cookie");
        let sent = |set: &str| format!("a=b; {}", set.split(';').next().expect("a pair"));
        let of = |set: &str| door.visitor(&headers(&[("cookie", &sent(set))]));
        assert_eq!(of(&first), Ok(Visitor(0)));
        assert_eq!(of(&second), Ok(Visitor(1)));
        assert!(first.contains("HttpOnly") && first.contains("SameSite=Strict"));
        let guessed = headers(&[("cookie", "desk-9=0000")]);
        assert_eq!(door.visitor(&guessed), Err(Outside::NoKey));
    }

    #[test]
    fn whoever_guesses_codes_shuts_the_door_for_codes() {
        let door = door();
        for _ in 0..MOST_WRONG {
            assert_eq!(door.exchange("aaaaaaaaaa"), Err(Outside::WrongKey));
        }
        let code = door.code().expect("a code");
        assert_eq!(door.exchange(code), Err(Outside::Shut));
        assert!(door.exchange(door.key()).is_ok());
    }

    #[test]
    fn pages_of_other_places_get_nowhere() {
        let door = door();
        let own = ("host", "127.0.0.1:9");
        let place = |method, more: &[(&'static str, &str)]| door.place(&method, &headers(more));
        assert_eq!(place(Method::GET, &[own]), Ok(()));
        assert_eq!(place(Method::GET, &[]), Err(Outside::WrongHost));
        assert_eq!(place(Method::GET, &[own, own]), Err(Outside::WrongHost));
        for other in ["evil.example", "127.0.0.1", "127.0.0.1:10"] {
            assert_eq!(
                place(Method::GET, &[("host", other)]),
                Err(Outside::WrongHost)
            );
        }
        let from = |origin| [own, ("origin", origin)];
        assert_eq!(place(Method::POST, &[own]), Err(Outside::WrongOrigin));
        assert_eq!(place(Method::POST, &from("http://127.0.0.1:9")), Ok(()));
        for origin in [
            "null",
            "http://localhost:9",
            "https://127.0.0.1:9",
            "http://evil.example",
        ] {
            for method in [Method::POST, Method::GET] {
                assert_eq!(
                    place(method, &from(origin)),
                    Err(Outside::WrongOrigin),
                    "{origin}"
                );
            }
        }
        let by = ("sec-fetch-site", "cross-site");
        assert_eq!(place(Method::GET, &[own, by]), Err(Outside::WrongOrigin));
        let opened = [
            own,
            by,
            ("sec-fetch-mode", "navigate"),
            ("sec-fetch-dest", "document"),
        ];
        assert_eq!(place(Method::GET, &opened), Ok(()));
    }
}
