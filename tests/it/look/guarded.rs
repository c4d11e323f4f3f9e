//! What is refused or outlived: other hosts, origins, methods, paths, giant headers, broken requests, a thousand connections; and names
//! from the book that are markup.

use super::client::Server;
use super::{copy, of_project};
use std::io::Write;
use std::net::TcpStream;
use std::time::Duration;

fn small() -> Server {
    Server::of(&of_project("tests/examples/buyer/book"), &[])
}

/// The status of a request with some lines behind the first.
fn status(server: &Server, first: &str, lines: &[&str]) -> Option<u16> {
    let request =
        format!("{first} HTTP/1.1\r\n{}\r\n", lines.iter().map(|line| format!("{line}\r\n")).collect::<String>());
    server.raw(request.as_bytes()).map(|answer| answer.status)
}

#[test]
fn requests_from_elsewhere_are_refused() {
    let server = small();
    let host = format!("Host: {}", server.host());
    assert_eq!(status(&server, "GET /", &[&host]), Some(200));
    assert_eq!(status(&server, "GET /", &["Host: elsewhere.example"]), Some(421));
    assert_eq!(status(&server, "GET /", &[]), Some(400));
    assert_eq!(status(&server, "GET http://elsewhere.example/", &[&host]), Some(421));
    assert_eq!(status(&server, "GET /", &[&host, "Origin: http://elsewhere.example"]), Some(403));
    assert_eq!(status(&server, "GET /", &[&host, "Origin: null"]), Some(403));
    assert_eq!(
        status(&server, "GET /unit?unit=1", &[&host, "Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: no-cors"]),
        Some(403)
    );
    for method in ["PUT", "DELETE", "OPTIONS", "TRACE", "POST", "PATCH"] {
        assert_eq!(status(&server, &format!("{method} /"), &[&host, "Content-Length: 0"]), Some(405), "{method}");
    }
    for path in ["/../../etc/passwd", "/%2e%2e/etc/passwd", "/look.css/x", "/.git", "/unit", "/state/x"] {
        assert_eq!(status(&server, &format!("GET {path}"), &[&host]), Some(404), "{path}");
    }
    assert_eq!(status(&server, &format!("GET /find?words={}", "a".repeat(10_000)), &[&host]), Some(414));
    // None of it was answered with a leave to ask from elsewhere.
    let answer = server.page("/");
    assert!(answer.header("access-control-allow-origin").is_none());
    for (name, value) in
        [("x-content-type-options", "nosniff"), ("cache-control", "no-store"), ("referrer-policy", "same-origin")]
    {
        assert_eq!(answer.header(name), Some(value));
    }
    let policy = answer.header("content-security-policy").expect("a policy");
    assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
}

#[test]
fn a_trial_needs_its_token() {
    let server = small();
    assert_eq!(server.send("", &["Stock all qty=1"]).status, 403);
    assert_eq!(server.send(&"0".repeat(64), &["Stock all qty=1"]).status, 403);
    let other = small();
    let page = other.page("/try");
    let token =
        page.body.split_once("name=\"token\" value=\"").and_then(|(_, rest)| rest.split_once('"')).expect("a token").0;
    assert_eq!(token.len(), 64);
    assert_eq!(server.send(token, &["Stock all qty=1"]).status, 403, "another run's token");
    assert_eq!(server.send(token, &[&"x".repeat(70_000)]).status, 413);
    let body = "token=1&edits=Stock";
    let host = server.host();
    let without_origin = format!(
        "POST /try HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    assert_eq!(server.raw(without_origin.as_bytes()).expect("an answer").status, 403);
}

#[test]
fn giants_and_rubbish_are_outlived() {
    let server = small();
    let host = server.host();
    let giant = format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: {}\r\n\r\n", "a".repeat(2_000_000));
    assert!(server.raw(giant.as_bytes()).is_none_or(|answer| answer.status >= 400));
    let many: String = (0..5_000).map(|number| format!("X-{number}: 1\r\n")).collect();
    assert!(
        server
            .raw(format!("GET / HTTP/1.1\r\nHost: {host}\r\n{many}\r\n").as_bytes())
            .is_none_or(|answer| answer.status >= 400)
    );
    for rubbish in [
        &b"\0\0\0\0"[..],
        b"GET",
        b"GET / HTTP/9.9\r\n\r\n",
        b"\x16\x03\x01\x02\x00\x01",
        b"GET / HTTP/1.1\r\nHost : x\r\n\r\n",
    ] {
        if let Ok(mut stream) = TcpStream::connect(&host) {
            // It may be closed before all of it is sent.
            let _ = stream.write_all(rubbish);
        }
    }
    assert_eq!(server.get("/").status, 200);
}

#[test]
fn a_thousand_connections_are_outlived() {
    let server = small();
    let open: Vec<TcpStream> = (0..1_000).filter_map(|_| TcpStream::connect(server.host()).ok()).collect();
    assert!(open.len() > 500, "{}", open.len());
    // Those that say nothing are closed in a few seconds, and then there is room again, though they are held open on this side.
    let begin = std::time::Instant::now();
    while server
        .raw(format!("GET / HTTP/1.1\r\nHost: {}\r\n\r\n", server.host()).as_bytes())
        .is_none_or(|answer| answer.status != 200)
    {
        assert!(begin.elapsed() < Duration::from_secs(60), "nobody is answered any more");
        std::thread::sleep(Duration::from_millis(200));
    }
    drop(open);
    assert_eq!(server.get("/").status, 200);
}

/// Nothing of the book is ever markup, wherever it is shown.
#[test]
fn a_name_that_is_markup_is_text() {
    let folder = copy("tests/examples/buyer/book");
    let evil = "<script>alert(1)</script><img src=x onerror=alert(2)>&amp;\"'";
    let parts = folder.path().join("Parts.csv");
    let text = std::fs::read_to_string(&parts).expect("a file");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings = reader.headers().expect("headings").clone();
    let description = headings.iter().position(|heading| heading == "description").expect("a description");
    let supplier = headings.iter().position(|heading| heading == "supplier").expect("a supplier");
    let mut writer = csv::Writer::from_path(&parts).expect("a file");
    writer.write_record(&headings).expect("headings");
    let mut codes = Vec::new();
    for row in reader.records() {
        let row = row.expect("a row");
        codes.push(row[0].to_owned());
        let cells = row
            .iter()
            .enumerate()
            .map(|(at, cell)| if at == description || at == supplier && !cell.is_empty() { evil } else { cell });
        writer.write_record(cells).expect("a row");
    }
    writer.flush().expect("it is written");
    drop(writer);
    let server = Server::of(folder.path(), &[]);
    server.until("/sheets", |page| !page.body.contains("data-again"));
    let mut addresses = vec![
        "/".to_owned(),
        "/run".to_owned(),
        format!("/find?words={}", super::client::coded("<script>")),
        format!("/supplier?supplier={}", super::client::coded(evil)),
        format!("/unit?unit={}", super::client::coded(evil)),
        format!("/try?edits={}", super::client::coded(&format!("</textarea>{evil}"))),
        format!("/cell?edits={}", super::client::coded(&format!("</textarea>{evil}"))),
        format!("/cell?table=Parts&words={}", super::client::coded("<script>")),
        format!("/cell?table=Parts&row=2&column=description&value={}", super::client::coded("<script>")),
        "/cell?table=Parts&row=2&column=description".to_owned(),
    ];
    addresses.extend(codes.iter().map(|code| format!("/part?part={}", super::client::coded(code))));
    let sheets = server.page("/sheets");
    addresses.extend(
        sheets
            .body
            .split("href=\"/sheet?")
            .skip(1)
            .map(|rest| format!("/sheet?{}", rest.split_once('"').expect("an address").0.replace("&amp;", "&"))),
    );
    let mut seen = 0;
    for address in &addresses {
        let body = server.get(address).body;
        assert!(!body.contains("<script>") && !body.contains("<img") && !body.contains("</textarea>&"), "{address}");
        seen += usize::from(body.contains("&lt;script&gt;"));
    }
    assert!(seen > 5, "{seen} pages show the name");
}

/// Ctrl-C ends it at once, as every command, and nothing is left: no file in the book, none beside it.
#[cfg(unix)]
#[test]
fn stopping_leaves_nothing() {
    let folder = copy("tests/examples/buyer/book");
    let names = || {
        let mut names: Vec<_> = std::fs::read_dir(folder.path())
            .expect("a folder")
            .map(|entry| entry.expect("an entry").file_name())
            .collect();
        names.sort();
        names
    };
    let before = names();
    let mut server = Server::of(folder.path(), &[]);
    server.page("/");
    let stopped = std::process::Command::new("kill").args(["-INT", &server.child.id().to_string()]).status();
    assert!(stopped.is_ok_and(|status| status.success()));
    assert_eq!(server.child.wait().expect("it ends").code(), Some(130));
    assert!(TcpStream::connect(server.host()).is_err(), "nobody listens any more");
    assert_eq!(names(), before);
}

/// Two look at two books at once; each is told its own.
#[test]
fn two_at_once() {
    let (one, other) = (small(), Server::of(&of_project("tests/examples/planner/book"), &[]));
    assert_ne!(one.port, other.port);
    let line = |server: &Server| server.page("/").body.split_once("<main").expect("a page").1.to_owned();
    assert_ne!(line(&one), line(&other));
    let again = (line(&one), line(&other));
    assert_eq!(again, (line(&one), line(&other)));
}
