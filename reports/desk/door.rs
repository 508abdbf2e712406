//! Who may come in: this machine's own browser with the key it was given, and nobody whom another site
//! sends.
//!
//! A request must name this place as its host, so that no other name can be bound to it (DNS rebinding);
//! what changes something must come from a page of this place; and everything asks for a cookie that
//! only the key from the first address gets, which pages of other sites can neither read nor send along.

use std::net::IpAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::http::header::{COOKIE, HOST, ORIGIN};
use axum::http::{HeaderMap, Method};

/// Visitors that are remembered; the first of more is forgotten.
const MOST_VISITORS: usize = 64;
/// Letters and digits that nobody takes for another.
const CODE: &[u8; 31] = b"abcdefghjkmnpqrstuvwxyz23456789";
/// How many of them a code has: one of 31¹⁰, about 8·10¹⁴. Two hundred and fifty devices in a network that
/// each try one a minute find it in a year with a chance of 1 in 6 million; whoever has any number of
/// addresses and tries ten thousand a second, in a day with one of 1 in a million.
const LENGTH: usize = 10;
/// Wrong codes from one address before it has to wait, and how long at the most.
const FREE: u32 = 5;
const LONGEST: Duration = Duration::from_secs(60);
/// Addresses whose wrong codes are remembered; the first of more is forgotten.
const MOST_WAITING: usize = 256;
/// How long the key holds with which the desk opens the browser: other users of this machine may see the
/// command that does it.
const ONCE: Duration = Duration::from_secs(60);

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
    /// The key with which the browser was opened, once more or too late.
    Spent,
    /// Too many codes from this address were wrong just now.
    Waits,
    /// The system gives no random bytes.
    Lost,
}

/// The key with which the browser is opened.
#[derive(Debug)]
struct Once {
    key: String,
    /// Until when it holds; `None` once it was used.
    until: Option<Instant>,
}

/// Addresses from which codes were wrong.
#[derive(Debug, Default)]
struct Wrong(Vec<(IpAddr, u32, Instant)>);

impl Wrong {
    fn waits(&self, from: IpAddr, now: Instant) -> bool {
        self.0
            .iter()
            .any(|(at, _, until)| *at == from && now < *until)
    }

    /// Takes an address out of the list; gives how many of its codes were wrong.
    fn forget(&mut self, from: IpAddr) -> u32 {
        let known = self.0.iter().position(|(at, ..)| *at == from);
        known.map_or(0, |known| self.0.remove(known).1)
    }

    /// One more was wrong: from the fifth on the next is looked at a second later, then two, then four.
    fn add(&mut self, from: IpAddr, now: Instant) {
        let wrong = self.forget(from).saturating_add(1);
        let wait = match wrong.checked_sub(FREE) {
            Some(more) => LONGEST.min(Duration::from_secs(1 << more.min(6))),
            None => Duration::ZERO,
        };
        if self.0.len() >= MOST_WAITING {
            self.0.remove(0);
        }
        self.0.push((from, wrong, now + wait));
    }
}

/// The door.
#[derive(Debug)]
pub struct Door {
    /// What a request may name as its host.
    hosts: Vec<String>,
    /// Keys that let in: the one of the first address and, where others may come, a code to type.
    key: String,
    code: Option<String>,
    once: Mutex<Once>,
    wrong: Mutex<Wrong>,
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

/// A code to type, every one as likely as the others.
fn code() -> Result<String, String> {
    let mut code = String::new();
    while code.len() < LENGTH {
        let [byte] = secret::<1>()?;
        // what is left of 256 beyond whole alphabets would favour its first letters
        let fair = usize::from(byte) < 256 / CODE.len() * CODE.len();
        code.extend(fair.then(|| char::from(CODE[usize::from(byte) % CODE.len()])));
    }
    Ok(code)
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
        Ok(Self {
            hosts,
            key: hex(&secret::<16>()?),
            code: for_others.then(code).transpose()?,
            once: Mutex::new(Once {
                key: hex(&secret::<16>()?),
                until: Some(Instant::now() + ONCE),
            }),
            wrong: Mutex::default(),
            // cookies do not know ports, and there may be a desk for each
            cookie: format!("desk-{port}"),
            visitors: Mutex::default(),
        })
    }

    /// The key of the first address.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The key with which the browser is opened: it lets in once, and not for long.
    pub fn key_once(&self) -> String {
        self.once().key.clone()
    }

    fn once(&self) -> MutexGuard<'_, Once> {
        self.once.lock().unwrap_or_else(PoisonError::into_inner)
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

    /// The cookie for whoever has a key or the code, from this address at this time.
    ///
    /// # Errors
    /// Where it is neither, or is not taken any more or not yet.
    pub fn exchange(&self, said: &str, from: IpAddr, now: Instant) -> Result<String, Outside> {
        if !same(said, &self.key) && !self.opens_once(said, now)? {
            self.is_code(said, from, now)?;
        }
        let secret = secret::<16>().map_err(|_| Outside::Lost)?;
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

    /// Whether this is the key with which the browser is opened, which is spent by that.
    fn opens_once(&self, said: &str, now: Instant) -> Result<bool, Outside> {
        let mut once = self.once();
        if !same(said, &once.key) {
            return Ok(false);
        }
        match once.until.take().is_some_and(|until| now < until) {
            true => Ok(true),
            false => Err(Outside::Spent),
        }
    }

    /// Refuses what is not the code. Whoever is wrong often waits; nobody else does, so that no stranger
    /// locks anyone out.
    fn is_code(&self, said: &str, from: IpAddr, now: Instant) -> Result<(), Outside> {
        let code = self.code().ok_or(Outside::WrongKey)?;
        let typed = said.to_lowercase().replace([' ', '-'], "");
        let mut wrong = self.wrong.lock().unwrap_or_else(PoisonError::into_inner);
        if wrong.waits(from, now) {
            return Err(Outside::Waits);
        }
        if !same(&typed, code) {
            wrong.add(from, now);
            return Err(Outside::WrongKey);
        }
        wrong.forget(from);
        Ok(())
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

    const HERE: IpAddr = IpAddr::V4(std::net::Ipv4Addr::LOCALHOST);

    fn exchange(door: &Door, said: &str) -> Result<String, Outside> {
        door.exchange(said, HERE, Instant::now())
    }

    fn door() -> Door {
        Door::new(vec!["127.0.0.1:9".into(), "localhost:9".into()], 9, true).expect("a door")
    }

    #[test]
    fn only_the_key_and_the_code_get_a_cookie() {
        let door = door();
        assert_eq!(door.visitor(&headers(&[])), Err(Outside::NoKey));
        assert_eq!(exchange(&door, ""), Err(Outside::WrongKey));
        let first = exchange(&door, door.key()).expect("a cookie");
        let code = door.code().expect("a code").to_uppercase();
        let second = exchange(&door, &format!(" {} {}", &code[..5], &code[5..])).expect("a cookie");
        let sent = |set: &str| format!("a=b; {}", set.split(';').next().expect("a pair"));
        let of = |set: &str| door.visitor(&headers(&[("cookie", &sent(set))]));
        assert_eq!(of(&first), Ok(Visitor(0)));
        assert_eq!(of(&second), Ok(Visitor(1)));
        assert!(first.contains("HttpOnly") && first.contains("SameSite=Strict"));
        let guessed = headers(&[("cookie", "desk-9=0000")]);
        assert_eq!(door.visitor(&guessed), Err(Outside::NoKey));
    }

    #[test]
    fn whoever_guesses_codes_waits_and_nobody_else_does() {
        let door = door();
        let code = door.code().expect("a code");
        let (start, phone) = (Instant::now(), IpAddr::from([192, 168, 1, 30]));
        let (mut looked_at, mut seconds) = (0, 0);
        // four times a second for an hour
        for quarter in 0..4 * 3600 {
            let now = start + Duration::from_millis(250 * quarter);
            match door.exchange("aaaaaaaaaa", HERE, now) {
                Err(Outside::WrongKey) => looked_at += 1,
                refused => assert_eq!(refused, Err(Outside::Waits)),
            }
            seconds = quarter / 4;
            assert!(quarter % 4000 != 0 || door.exchange(code, phone, now).is_ok());
        }
        assert!((60..80).contains(&looked_at), "{looked_at}");
        let late = |more| start + Duration::from_secs(seconds + more);
        assert_eq!(door.exchange(code, HERE, late(0)), Err(Outside::Waits));
        assert!(door.exchange(door.key(), HERE, late(0)).is_ok());
        assert!(door.exchange(code, HERE, late(61)).is_ok());
        assert_eq!(exchange(&door, "aaaaaaaaaa"), Err(Outside::WrongKey));
    }

    #[test]
    fn the_key_of_the_browser_opens_once_and_not_long() {
        let door = door();
        let (once, now) = (door.key_once(), Instant::now());
        assert_ne!(once, door.key());
        assert!(door.exchange(&once, HERE, now).is_ok());
        assert_eq!(door.exchange(&once, HERE, now), Err(Outside::Spent));
        assert!(exchange(&door, door.key()).is_ok());
        let other = self::door();
        let late = now + 2 * ONCE;
        let refused = other.exchange(&other.key_once(), HERE, late);
        assert_eq!(refused, Err(Outside::Spent));
        assert!(other.exchange(other.key(), HERE, late).is_ok());
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
