//! A running `lineward look`, asked over plain sockets, and what stands on its pages.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A running server; it is stopped when it is dropped.
pub struct Server {
    pub child: Child,
    pub port: u16,
}

/// An answer.
pub struct Answer {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub body: String,
}

impl Answer {
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// The lines of the table with a caption: the texts of its cells; without any where there is no such table.
    pub fn table(&self, caption: &str) -> Vec<Vec<String>> {
        let begin = self.body.split("<table").find(|table| {
            let own = table.split_once("<caption>").and_then(|(_, rest)| rest.split_once("</caption>"));
            own.is_some_and(|(own, _)| own.starts_with(caption))
        });
        let Some((table, _)) = begin.and_then(|table| table.split_once("</table>")) else { return Vec::new() };
        let Some((_, rows)) = table.split_once("<tbody>") else { return Vec::new() };
        let cells = |row: &str| {
            row.split("<td").skip(1).map(|cell| text(cell.split_once('>').map_or("", |(_, cell)| cell))).collect()
        };
        rows.split("<tr>").skip(1).map(cells).collect()
    }

    /// What a table says of how many lines it has in all.
    pub fn of(&self, caption: &str) -> Option<usize> {
        let own = self.body.split("<caption>").find(|own| own.starts_with(caption))?;
        let own = own.split_once("</caption>")?.0;
        own.rsplit_once(" of ").and_then(|(_, of)| of.trim_end_matches(')').parse().ok())
    }

    /// The addresses of all links on the page, without what stands behind `#`.
    pub fn links(&self) -> Vec<String> {
        let hrefs = self.body.split("href=\"").skip(1).filter_map(|rest| Some(rest.split_once('"')?.0));
        let hrefs = hrefs.map(|href| href.replace("&amp;", "&").replace("&quot;", "\"").replace("&#39;", "'"));
        let hrefs = hrefs.map(|href| href.split('#').next().unwrap_or_default().to_owned());
        hrefs.filter(|href| !href.is_empty() && !href.starts_with("data:")).collect()
    }

    /// The text of the page.
    pub fn text(&self) -> String {
        text(&self.body)
    }
}

/// What a piece of a page reads as.
pub fn text(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for sign in html.chars() {
        match sign {
            '<' => inside = true,
            '>' if inside => inside = false,
            sign if !inside => text.push(sign),
            _ => {}
        }
    }
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'");
    text.replace("&amp;", "&").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A part of an address.
pub fn coded(text: &str) -> String {
    form_urlencoded::byte_serialize(text.as_bytes()).collect()
}

impl Server {
    /// Looks at a book, on any port that is free.
    pub fn of(book: &Path, words: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
        command.arg("look").arg(book).args(["--no-browser", "--port", "0"]).args(words);
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("it starts");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("its words")).read_line(&mut line).expect("its address");
        let port = line.trim().trim_end_matches('/').rsplit_once(':').and_then(|(_, port)| port.parse().ok());
        Self { child, port: port.unwrap_or_else(|| panic!("an address, not '{line}'")) }
    }

    pub fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// Sends bytes as they are, and reads what comes; nothing where the connection is closed.
    pub fn raw(&self, bytes: &[u8]) -> Option<Answer> {
        let mut stream = TcpStream::connect(self.host()).ok()?;
        stream.set_read_timeout(Some(Duration::from_secs(180))).ok()?;
        // It may be refused before all of it is sent.
        let _ = stream.write_all(bytes);
        let mut answer = Vec::new();
        let read = stream.read_to_end(&mut answer);
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let (head, body) = answer.split_once("\r\n\r\n").or_else(|| read.is_ok().then_some(("", "")))?;
        let mut lines = head.lines();
        let status = lines.next()?.split(' ').nth(1)?.parse().ok()?;
        let header = |line: &str| line.split_once(": ").map(|(name, value)| (name.to_lowercase(), value.to_owned()));
        Some(Answer { status, headers: lines.filter_map(header).collect(), body: body.to_owned() })
    }

    /// Asks for an address.
    pub fn get(&self, address: &str) -> Answer {
        let request = format!("GET {address} HTTP/1.1\r\nHost: {}\r\n\r\n", self.host());
        self.raw(request.as_bytes()).unwrap_or_else(|| panic!("an answer to {address}"))
    }

    /// The page at an address, which must be there.
    pub fn page(&self, address: &str) -> Answer {
        let answer = self.get(address);
        assert_eq!(answer.status, 200, "{address}: {}", answer.text());
        answer
    }

    /// Sends edits from a page of our own.
    pub fn trial(&self, edits: &[&str]) -> Answer {
        let page = self.page("/try");
        let token = page.body.split_once("name=\"token\" value=\"").and_then(|(_, rest)| rest.split_once('"'));
        let token = token.expect("a token").0.to_owned();
        self.send(&token, edits)
    }

    /// Sends edits with a token.
    pub fn send(&self, token: &str, edits: &[&str]) -> Answer {
        let edits = edits.iter().map(|edits| format!("&edits={}", coded(edits))).collect::<String>();
        let body = format!("token={token}{edits}");
        let host = self.host();
        let request = format!(
            "POST /try HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nContent-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: {}\r\n\r\n{body}",
            body.len()
        );
        self.raw(request.as_bytes()).expect("an answer")
    }

    /// Waits until a page says something, five minutes at most: workbooks of a large plan take their time where others want the machine, too.
    pub fn until(&self, address: &str, says: impl Fn(&Answer) -> bool) -> Answer {
        let begin = Instant::now();
        loop {
            let answer = self.get(address);
            if says(&answer) {
                return answer;
            }
            assert!(begin.elapsed() < Duration::from_secs(300), "{address} never says it: {}", answer.text());
            std::thread::sleep(Duration::from_millis(200));
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
