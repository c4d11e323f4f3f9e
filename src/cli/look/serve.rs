//! The server: on this machine alone, one request a connection, each within a time and a size.

use super::guard::{self, MOST_SENT, Refusal, Wanted};
use super::plans::{Plans, Question};
use crate::views::{self, Address, Around, View};
use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Bytes, Incoming};
use hyper::header::{ALLOW, CACHE_CONTROL, CONTENT_TYPE, HeaderName};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, oneshot};
use tokio::time::timeout;

/// So many connections are served at once; more are closed at once.
const MOST_CONNECTIONS: usize = 256;
/// A request must have come whole within this.
const TO_ASK: Duration = Duration::from_secs(5);
/// An answer must have been made and taken within this.
const TO_ANSWER: Duration = Duration::from_secs(120);
/// The headers of a request may be so many bytes long, and so many.
const MOST_HEADERS: (usize, usize) = (32_768, 64);

/// What all connections share.
pub struct Served {
    /// The plan that is shown.
    pub plans: Plans,
    /// Of this machine, by which requests must name it.
    pub port: u16,
    /// What a trial must carry.
    pub token: String,
    /// One trial at a time: each is a whole plan, which uses all there is by itself.
    pub trials: Semaphore,
}

const STYLE: &str = include_str!("look.css");
const SCRIPT: &str = include_str!("look.js");

/// Nothing runs and nothing is loaded but what these pages bring; nobody may show them inside another page, guess at their kind, keep them,
/// or learn from where somebody came (Content Security Policy level 3; Fetch; Referrer Policy).
const HEADERS: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src data:; connect-src 'self'; form-action 'self'; base-uri 'none'; \
         frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    // With less, a browser does not say from where a trial comes.
    ("referrer-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("x-frame-options", "DENY"),
];

type Answer = Response<Full<Bytes>>;

/// Serves until the program ends.
pub async fn serve(listener: TcpListener, served: Arc<Served>) {
    let room = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // The system has no more sockets to give: some will be free soon.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let Ok(place) = Arc::clone(&room).try_acquire_owned() else { continue };
        let served = Arc::clone(&served);
        tokio::spawn(async move {
            // One that takes too long, or breaks, is closed; there is nobody to tell.
            let _ = timeout(TO_ASK + TO_ANSWER, connection(stream, served)).await;
            drop(place);
        });
    }
}

async fn connection(stream: TcpStream, served: Arc<Served>) -> hyper::Result<()> {
    let answered = service_fn(move |request| {
        let served = Arc::clone(&served);
        async move { Ok::<_, Infallible>(answered(request, &served).await) }
    });
    let (bytes, count) = MOST_HEADERS;
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(TO_ASK)
        .keep_alive(false)
        .max_buf_size(bytes)
        .max_headers(count)
        .serve_connection(TokioIo::new(stream), answered)
        .await
}

async fn answered(request: Request<Incoming>, served: &Served) -> Answer {
    let (parts, body) = request.into_parts();
    let answer = match guard::wanted(&parts, served.port) {
        Ok(Wanted::Style) => text("text/css; charset=utf-8", STYLE),
        Ok(Wanted::Script) => text("text/javascript; charset=utf-8", SCRIPT),
        Ok(Wanted::State) => text("application/json", format!("{{\"number\":{}}}", served.plans.around().number)),
        Ok(Wanted::Book) => page(&served.plans.around(), &views::wrong(served.plans.wrong().as_deref()), ""),
        Ok(Wanted::View(address)) => view(served, address).await,
        Ok(Wanted::Trial) => match trial(body, served).await {
            Ok(answer) => answer,
            Err(refusal) => refused(&refusal),
        },
        Err(refusal) => refused(&refusal),
    };
    if parts.method == Method::HEAD { without_body(answer) } else { answer }
}

fn without_body(answer: Answer) -> Answer {
    let (parts, _) = answer.into_parts();
    Response::from_parts(parts, Full::default())
}

/// An answer with its kind, and with what keeps it here.
fn answer(status: StatusCode, kind: &'static str, content: impl Into<Bytes>) -> Answer {
    let mut answer = Response::new(Full::new(content.into()));
    *answer.status_mut() = status;
    let headers = answer.headers_mut();
    headers.insert(CONTENT_TYPE, hyper::header::HeaderValue::from_static(kind));
    headers.insert(CACHE_CONTROL, hyper::header::HeaderValue::from_static("no-store"));
    for (name, value) in HEADERS {
        headers.insert(HeaderName::from_static(name), hyper::header::HeaderValue::from_static(value));
    }
    answer
}

fn text(kind: &'static str, content: impl Into<Bytes>) -> Answer {
    answer(StatusCode::OK, kind, content)
}

const HTML: &str = "text/html; charset=utf-8";

fn page(around: &Around, view: &View, searched: &str) -> Answer {
    let status = if view.there { StatusCode::OK } else { StatusCode::NOT_FOUND };
    answer(status, HTML, views::page(around, view, searched))
}

fn refused(refusal: &Refusal) -> Answer {
    let title = refusal.status.canonical_reason().unwrap_or("refused");
    let mut answer = answer(refusal.status, HTML, views::plain_page(title, refusal.why));
    if refusal.status == StatusCode::METHOD_NOT_ALLOWED {
        answer.headers_mut().insert(ALLOW, hyper::header::HeaderValue::from_static("GET, HEAD"));
    }
    answer
}

async fn view(served: &Served, address: Address) -> Answer {
    let searched = match &address {
        Address::Find { words } => words.clone(),
        _ => String::new(),
    };
    match asked(served, move |looked| views::view(looked, &address)).await {
        Ok((view, around)) => page(&around, &view, &searched),
        Err(refusal) => refused(&refusal),
    }
}

/// What the plan that is shown answers, and what stands around it.
async fn asked(
    served: &Served,
    question: impl FnOnce(views::Looked<'_>) -> View + Send + 'static,
) -> Result<(View, Around), Refusal> {
    let (told, view) = oneshot::channel();
    // Who asked may have gone away.
    let question: Question = Box::new(move |looked| _ = told.send(question(looked)));
    let broken =
        Refusal { status: StatusCode::INTERNAL_SERVER_ERROR, why: "this is a mistake in the program, not in the book" };
    let Some(around) = served.plans.ask(question) else { return Err(broken) };
    match timeout(TO_ANSWER, view).await {
        Ok(Ok(view)) => Ok((view, around)),
        Ok(Err(_)) => Err(broken),
        Err(_) => Err(Refusal { status: StatusCode::SERVICE_UNAVAILABLE, why: "this takes too long to answer" }),
    }
}

async fn trial(body: Incoming, served: &Served) -> Result<Answer, Refusal> {
    let bad = |why| Refusal { status: StatusCode::BAD_REQUEST, why };
    let sent = timeout(TO_ASK, Limited::new(body, MOST_SENT).collect()).await;
    let sent =
        sent.map_err(|_| Refusal { status: StatusCode::REQUEST_TIMEOUT, why: "this trial did not come whole" })?;
    let sent = sent
        .map_err(|_| Refusal { status: StatusCode::PAYLOAD_TOO_LARGE, why: "this trial is too long, or broken off" })?;
    let (mut edits, mut token) = (Vec::new(), String::new());
    for (name, value) in form_urlencoded::parse(&sent.to_bytes()) {
        match &*name {
            "edits" => edits.push(value.replace("\r\n", "\n")),
            "token" => token = value.into_owned(),
            _ => return Err(bad("a trial has edits and nothing else")),
        }
    }
    if !guard::same(&token, &served.token) {
        return Err(Refusal {
            status: StatusCode::FORBIDDEN,
            why: "a trial must come from a page that this run of the program made: open it again",
        });
    }
    let busy = Refusal { status: StatusCode::SERVICE_UNAVAILABLE, why: "too many trials at once" };
    let turn = timeout(TO_ANSWER, served.trials.acquire()).await;
    let Ok(Ok(_turn)) = turn else { return Err(busy) };
    let (view, around) = asked(served, move |looked| views::results(looked, &edits)).await?;
    Ok(page(&around, &view, ""))
}
