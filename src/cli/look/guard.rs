//! What is asked for, and whether it may be: only from this machine, only by its own pages, only to look, but for a trial.
//!
//! A page from elsewhere, open in the same browser, must reach nothing here: not by another name for this machine, and not by sending
//! something. So the request's own `Host` must be one of ours, an `Origin` must be ours, and what a browser says of where a request
//! comes from (`Sec-Fetch-Site`, of the Fetch Metadata standard) must be this page, or nobody, or a link that opens a page of its own.

use crate::views::Address;
use hyper::header::{CONTENT_LENGTH, CONTENT_TYPE, HOST, ORIGIN, TRANSFER_ENCODING};
use hyper::http::request::Parts;
use hyper::{Method, StatusCode};

/// An address may be so many bytes long.
const MOST_ADDRESS: usize = 8_192;
/// What is sent for a trial may be so many bytes long.
pub const MOST_SENT: usize = 65_536;

/// What is asked for.
#[derive(Debug, PartialEq, Eq)]
pub enum Wanted {
    /// A view.
    View(Address),
    /// What is wrong with the book.
    Book,
    /// How the pages look.
    Style,
    /// What follows the slider and the book.
    Script,
    /// Which plan is shown, for pages that follow it.
    State,
    /// A trial, whose edits come with the request.
    Trial,
}

/// Why something is not answered.
#[derive(Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Its number in the protocol (RFC 9110, section 15).
    pub status: StatusCode,
    /// In words.
    pub why: &'static str,
}

fn refused<T>(status: StatusCode, why: &'static str) -> Result<T, Refusal> {
    Err(Refusal { status, why })
}

/// What a request asks for, where it may.
///
/// # Errors
/// Where it comes from elsewhere, or asks for what is not there.
pub fn wanted(request: &Parts, port: u16) -> Result<Wanted, Refusal> {
    let text = |name| request.headers.get(name).map(|value| value.to_str().unwrap_or("not text"));
    let host = request.uri.authority().map(|authority| authority.as_str()).or(text(HOST));
    let Some(host) = host else { return refused(StatusCode::BAD_REQUEST, "a request must say which host it is for") };
    let ours = ours(port);
    if request.headers.get_all(HOST).iter().count() > 1 || !ours.iter().any(|name| name == host) {
        return refused(StatusCode::MISDIRECTED_REQUEST, "this is served to this machine alone, under its own name");
    }
    let origin = text(ORIGIN);
    if origin.is_some_and(|origin| !ours.iter().any(|name| origin.strip_prefix("http://") == Some(name))) {
        return refused(StatusCode::FORBIDDEN, "another page may not ask for this");
    }
    let word = |name: &str| request.headers.get(name).map(|value| value.to_str().unwrap_or("not text"));
    let followed = word("sec-fetch-mode") == Some("navigate") && word("sec-fetch-dest") == Some("document");
    match word("sec-fetch-site") {
        None | Some("same-origin" | "none") => {}
        Some("same-site" | "cross-site") if followed && request.method == Method::GET => {}
        Some(_) => return refused(StatusCode::FORBIDDEN, "another page may not ask for this"),
    }
    if request.uri.to_string().len() > MOST_ADDRESS {
        return refused(StatusCode::URI_TOO_LONG, "this address is too long");
    }
    let path = request.uri.path();
    match (&request.method, path) {
        (&Method::POST, "/try") => sent(request, origin),
        (&Method::GET | &Method::HEAD, _) => shown(path, request.uri.query().unwrap_or_default()),
        _ => refused(StatusCode::METHOD_NOT_ALLOWED, "this can only be looked at"),
    }
}

/// The names under which this machine serves itself alone.
fn ours(port: u16) -> [String; 2] {
    [format!("127.0.0.1:{port}"), format!("localhost:{port}")]
}

fn shown(path: &str, query: &str) -> Result<Wanted, Refusal> {
    match path {
        "/look.css" => Ok(Wanted::Style),
        "/look.js" => Ok(Wanted::Script),
        "/state" => Ok(Wanted::State),
        "/book" => Ok(Wanted::Book),
        _ => match Address::parse(path, query) {
            Some(address) => Ok(Wanted::View(address)),
            None => refused(StatusCode::NOT_FOUND, "nothing stands at this address"),
        },
    }
}

/// A trial is sent by one of our own forms, and says so; its token is looked at with its edits.
fn sent(request: &Parts, origin: Option<&str>) -> Result<Wanted, Refusal> {
    if origin.is_none() {
        return refused(StatusCode::FORBIDDEN, "a trial must come from one of these pages");
    }
    let kind = request.headers.get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    if kind.split(';').next().map(str::trim) != Some("application/x-www-form-urlencoded") {
        return refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, "a trial must come from one of these pages");
    }
    let length = request.headers.get(CONTENT_LENGTH).and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    match length {
        Some(length) if length > MOST_SENT => refused(StatusCode::PAYLOAD_TOO_LARGE, "this trial is too long"),
        None if !request.headers.contains_key(TRANSFER_ENCODING) => {
            refused(StatusCode::LENGTH_REQUIRED, "how long is it?")
        }
        _ => Ok(Wanted::Trial),
    }
}

/// Whether two texts are the same, in a time that does not tell how much of them is.
pub fn same(one: &str, other: &str) -> bool {
    let differ = one.bytes().zip(other.bytes()).fold(0, |differ, (one, other)| differ | (one ^ other));
    one.len() == other.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use super::*;
    use hyper::Request;

    fn asked(method: &str, path: &str, headers: &[(&str, &str)]) -> Result<Wanted, StatusCode> {
        let request = Request::builder().method(method).uri(path);
        let request = headers.iter().fold(request, |request, (name, value)| request.header(*name, *value));
        let (parts, ()) = request.body(()).expect("a request").into_parts();
        wanted(&parts, 7410).map_err(|refusal| refusal.status)
    }

    const HERE: (&str, &str) = ("host", "127.0.0.1:7410");
    const FORM: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");

    #[test]
    fn only_this_machine_under_its_own_name() {
        assert_eq!(asked("GET", "/", &[HERE]), Ok(Wanted::View(Address::FIRST)));
        assert_eq!(asked("GET", "/", &[("host", "localhost:7410")]), Ok(Wanted::View(Address::FIRST)));
        for host in [
            "elsewhere.example:7410",
            "127.0.0.1",
            "127.0.0.1:80",
            "localhost:7410.elsewhere.example",
            "",
            "LOCALHOST:7411",
        ] {
            assert_eq!(asked("GET", "/", &[("host", host)]), Err(StatusCode::MISDIRECTED_REQUEST), "{host}");
        }
        assert_eq!(asked("GET", "/", &[]), Err(StatusCode::BAD_REQUEST));
        assert_eq!(asked("GET", "/", &[HERE, ("host", "elsewhere.example")]), Err(StatusCode::MISDIRECTED_REQUEST));
    }

    #[test]
    fn only_our_own_pages() {
        let site = |site, mode, dest| {
            asked(
                "GET",
                "/unit?unit=1",
                &[HERE, ("sec-fetch-site", site), ("sec-fetch-mode", mode), ("sec-fetch-dest", dest)],
            )
            .is_ok()
        };
        assert!(site("same-origin", "cors", "empty") && site("none", "navigate", "document"));
        assert!(site("cross-site", "navigate", "document"), "a link in a message opens a page");
        assert!(
            !site("cross-site", "no-cors", "image")
                && !site("cross-site", "navigate", "iframe")
                && !site("same-site", "cors", "empty")
        );
        for origin in ["http://elsewhere.example", "null", "https://127.0.0.1:7410", "http://127.0.0.1:7411"] {
            assert_eq!(asked("GET", "/", &[HERE, ("origin", origin)]), Err(StatusCode::FORBIDDEN), "{origin}");
        }
        assert!(asked("GET", "/", &[HERE, ("origin", "http://127.0.0.1:7410")]).is_ok());
    }

    #[test]
    fn only_to_look_but_for_a_trial() {
        for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "POST"] {
            assert_eq!(asked(method, "/unit?unit=1", &[HERE]), Err(StatusCode::METHOD_NOT_ALLOWED), "{method}");
        }
        let origin = ("origin", "http://127.0.0.1:7410");
        assert_eq!(asked("POST", "/try", &[HERE, origin, FORM, ("content-length", "10")]), Ok(Wanted::Trial));
        assert_eq!(asked("POST", "/try", &[HERE, FORM, ("content-length", "10")]), Err(StatusCode::FORBIDDEN));
        assert_eq!(
            asked("POST", "/try", &[HERE, origin, ("content-length", "10")]),
            Err(StatusCode::UNSUPPORTED_MEDIA_TYPE)
        );
        assert_eq!(asked("POST", "/try", &[HERE, origin, FORM]), Err(StatusCode::LENGTH_REQUIRED));
        assert_eq!(
            asked("POST", "/try", &[HERE, origin, FORM, ("content-length", "99999999")]),
            Err(StatusCode::PAYLOAD_TOO_LARGE)
        );
    }

    #[test]
    fn what_is_not_there_is_refused() {
        for path in ["/nothing", "/../etc/passwd", "/look.css/..", "/unit", "//"] {
            assert_eq!(asked("GET", path, &[HERE]), Err(StatusCode::NOT_FOUND), "{path}");
        }
        let long = format!("/find?words={}", "a".repeat(9_000));
        assert_eq!(asked("GET", &long, &[HERE]), Err(StatusCode::URI_TOO_LONG));
    }

    #[test]
    fn tokens_are_compared_whole() {
        assert!(same("abc", "abc") && !same("abc", "abd") && !same("abc", "ab") && !same("", "a"));
    }
}
