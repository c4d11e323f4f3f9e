//! `lineward look`: a page to look at a plan, on this machine alone, that follows the book.

mod guard;
mod plans;
mod serve;

use super::planned::Planning;
use super::{Failure, tell, warn};
use plans::{LookRequest, Plans};
use serve::Served;
use std::hash::{BuildHasher, RandomState};
use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use tokio::net::TcpListener;
use tokio::runtime::Builder;
use tokio::sync::Semaphore;

/// Look at a plan in a browser: the line, units, parts, runs, shops, suppliers, and what would be if something were otherwise.
///
/// The page is served to this machine alone and follows the book: when its files change, it is planned again. Nothing is written. It
/// stays until it is stopped (Ctrl-C).
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    #[command(flatten)]
    planning: Planning,
    /// The port to serve on; 0 takes any that is free
    #[arg(long, default_value_t = 7410)]
    port: u16,
    /// Only say where the page is
    #[arg(long)]
    no_browser: bool,
}

/// Runs the command: it ends when it is stopped.
pub fn run(args: &Args) -> Result<(), Failure> {
    let asked = LookRequest {
        path: args.book.clone(),
        as_of: args.planning.as_of.clone(),
        set_aside: args.planning.set_aside,
        token: token(),
    };
    let plans = Plans::default();
    plans.begin(&asked)?;
    let runtime = Builder::new_current_thread().enable_io().enable_time().build();
    let runtime = runtime.map_err(|why| Failure::File(format!("can't serve a page: {why}")))?;
    runtime.block_on(async {
        let listener = listen(args.port).await?;
        let port = listener.local_addr().map_err(|why| Failure::File(format!("can't serve a page: {why}")))?.port();
        let address = format!("http://127.0.0.1:{port}/");
        tell(&format!("{address}\nserved to this machine alone, until it is stopped (Ctrl-C)\n"))?;
        if !args.no_browser && open::that_detached(&address).is_err() {
            warn("no browser could be opened: open the address in one\n");
        }
        serve::serve(listener, Arc::new(Served { plans, port, token: asked.token, trials: Semaphore::new(1) })).await;
        Ok(())
    })
}

/// Listens on a port of this machine alone; where another program has it, on any other, and says so.
async fn listen(port: u16) -> Result<TcpListener, Failure> {
    let at = |port| SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    match TcpListener::bind(at(port)).await {
        Ok(listener) => Ok(listener),
        Err(_) if port != 0 => {
            warn(&format!("port {port} is taken, by another look perhaps: another is used\n"));
            TcpListener::bind(at(0)).await.map_err(|why| Failure::File(format!("can't serve a page: {why}")))
        }
        Err(why) => Err(Failure::File(format!("can't serve a page: {why}"))),
    }
}

/// What nobody else can know: the standard library's own random keys, which the system gives.
fn token() -> String {
    (0..4).map(|number| format!("{:016x}", RandomState::new().hash_one(number))).collect()
}
