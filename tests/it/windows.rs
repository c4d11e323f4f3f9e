//! What only Windows does: files that another program holds open, files that may only be read, names of all kinds, and the ways
//! in which a run is ended there. `tests/windows/run` runs these under wine.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs::OpenOptions;
use std::os::windows::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const BOOK: &str = "tests/examples/buyer/book";

/// What others may do with a file that is held open, in the system's numbers: nothing, read, write, rename and remove.
const NOTHING: u32 = 0;
const READ: u32 = 1;
const WRITE: u32 = 2;
const REMOVE: u32 = 4;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run<W: AsRef<OsStr>>(words: impl IntoIterator<Item = W>) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
    command.current_dir(root()).stdin(Stdio::null()).args(words).output().expect("the command runs")
}

fn plan(book: &Path, out: &Path) -> Output {
    run([OsStr::new("plan"), book.as_os_str(), OsStr::new("--out"), out.as_os_str()])
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// All files below a folder, and what they hold.
fn seen(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let (mut all, mut open) = (BTreeMap::new(), vec![folder.to_path_buf()]);
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(&next).into_iter().flatten() {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else {
                let bytes = std::fs::read(&path).expect("a file");
                all.insert(path.strip_prefix(folder).expect("below").to_path_buf(), bytes);
            }
        }
    }
    all
}

fn copy(book: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(book).expect("a book") {
        let path = entry.expect("a file").path();
        std::fs::copy(&path, to.join(path.file_name().expect("a name"))).expect("a copy");
    }
}

/// The worked example with less stock: all files of its plan differ.
fn other_book(folder: &Path) -> PathBuf {
    let book = folder.join("other");
    copy(&root().join(BOOK), &book);
    let stock = std::fs::read_to_string(book.join("Stock.csv")).expect("a table");
    std::fs::write(book.join("Stock.csv"), stock.lines().take(2).collect::<Vec<_>>().join("\n")).expect("a table");
    book
}

#[test]
fn a_workbook_that_is_open_elsewhere_is_named_and_nothing_changes() {
    let folder = tempfile::tempdir().expect("a folder");
    let (other, out) = (other_book(folder.path()), folder.path().join("out"));
    assert_eq!(plan(&root().join(BOOK), &out).status.code(), Some(0));
    let old = seen(&out);
    for shared in [NOTHING, READ, READ | WRITE] {
        let held = OpenOptions::new().read(true).share_mode(shared).open(out.join("shortages.xlsx")).expect("a file");
        let refused = plan(&other, &out);
        let why = told(&refused);
        assert_eq!(refused.status.code(), Some(3), "{shared}: {why}");
        assert!(why.contains("shortages.xlsx") && why.contains("another program has it open"), "{shared}: {why}");
        drop(held);
        assert!(seen(&out) == old, "{shared}");
    }
    // One who lets others rename and remove it stands in nobody's way.
    let held = OpenOptions::new().read(true).share_mode(READ | WRITE | REMOVE).open(out.join("shortages.xlsx"));
    assert_eq!(plan(&other, &out).status.code(), Some(0));
    drop(held.expect("a file"));
    assert!(seen(&out).keys().eq(old.keys()) && seen(&out) != old);
}

#[test]
fn a_book_that_is_open_elsewhere_is_read_or_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("book");
    copy(&root().join(BOOK), &book);
    for (shared, read) in [(NOTHING, false), (READ, true), (READ | WRITE, true)] {
        let held = OpenOptions::new().read(true).share_mode(shared).open(book.join("Parts.csv")).expect("a table");
        let output = run([OsStr::new("check"), book.as_os_str()]);
        let why = String::from_utf8_lossy(&output.stdout).into_owned() + &told(&output);
        assert_eq!(output.status.code(), Some(if read { 0 } else { 3 }), "{shared}: {why}");
        assert!(read || why.contains("Parts.csv") && why.contains("another program has it open"), "{shared}: {why}");
        drop(held);
    }
}

#[test]
fn a_plan_that_may_only_be_read_is_not_half_replaced() {
    let folder = tempfile::tempdir().expect("a folder");
    let (other, out) = (other_book(folder.path()), folder.path().join("out"));
    assert_eq!(plan(&other, &out).status.code(), Some(0));
    let new = seen(&out);
    assert_eq!(plan(&root().join(BOOK), &out).status.code(), Some(0));
    let old = seen(&out);
    let path = out.join("shortages.xlsx");
    let mut rights = std::fs::metadata(&path).expect("a file").permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&path, rights.clone()).expect("rights");
    let output = plan(&other, &out);
    let now = seen(&out);
    if output.status.success() {
        assert!(now == new, "{:?}", now.keys());
    } else {
        assert!(told(&output).contains("shortages.xlsx"), "{}", told(&output));
        assert!(now == old, "{:?}", now.keys());
    }
    // No folder of a run's own is left, and the next run is not stopped by it.
    assert!(!out.join(".lineward").exists());
}

#[test]
fn names_of_all_kinds() {
    let folder = tempfile::tempdir().expect("a folder");
    let plain = folder.path().join("plain");
    assert_eq!(plan(&root().join(BOOK), &plain).status.code(), Some(0));
    let tables = |out: &Path| seen(&out.join("tables"));
    // More than the 260 letters that older programs stop at: as the system's own prefix allows, and without it.
    let long = "a name that goes on and on, as somebody might well call a folder of a plan".repeat(2);
    let long = PathBuf::from(format!(r"\\?\{}", folder.path().display())).join(&long).join(&long);
    let names = [
        folder.path().join("Möbel, Größe & Söhne (2)"),
        folder.path().join("план 日本 ✓"),
        long,
        PathBuf::from(folder.path().display().to_string().replace('\\', "/")).join("turned"),
        PathBuf::from(format!(r"\\?\{}", folder.path().display())).join("with its prefix"),
    ];
    for place in names {
        let book = place.join("the book");
        copy(&root().join(BOOK), &book);
        let out = place.join("reports");
        let output = plan(&book, &out);
        assert_eq!(output.status.code(), Some(0), "{}: {}", place.display(), told(&output));
        assert!(tables(&out) == tables(&plain), "{}", place.display());
    }
    // A drive's letter and a path from where one stands on it; and a share that nobody offers, told and not waited for.
    let here = |words: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
        command.current_dir(&folder).stdin(Stdio::null()).args(words).output().expect("the command runs")
    };
    copy(&root().join(BOOK), &folder.path().join("near"));
    let drive = folder.path().display().to_string()[..2].to_owned();
    assert_eq!(here(&["check", &format!("{drive}near")]).status.code(), Some(0));
    let away = here(&["check", r"\\no-such-machine\plans\book.xlsx"]);
    assert_eq!(away.status.code(), Some(3), "{}", told(&away));
    assert!(told(&away).contains(r"\\no-such-machine\plans\book.xlsx"), "{}", told(&away));
}

/// Ends a run that goes on.
type End = fn(&mut std::process::Child);

/// Ends runs of a plan over another plan at random moments; how many of them ended with the status of Ctrl-C.
fn ended_at_random_moments(end: End) -> u32 {
    let folder = tempfile::tempdir().expect("a folder");
    let (other, out) = (other_book(folder.path()), folder.path().join("out"));
    let whole = |book: &Path| {
        let _ = std::fs::remove_dir_all(&out);
        assert_eq!(plan(book, &out).status.code(), Some(0));
        seen(&out)
    };
    let begun = std::time::Instant::now();
    let new = whole(&other);
    let takes = begun.elapsed().as_micros() as u64;
    let mut random = fastrand::Rng::with_seed(20);
    let mut by_word = 0;
    for round in 0..super::support::rounds(20) {
        let old = whole(&root().join(BOOK));
        let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
        command.current_dir(root()).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        command.args([OsStr::new("plan"), other.as_os_str(), OsStr::new("--out"), out.as_os_str()]);
        let mut child = command.spawn().expect("it runs");
        std::thread::sleep(std::time::Duration::from_micros(random.u64(..takes)));
        end(&mut child);
        if child.wait().expect("an end").code() == Some(130) {
            by_word += 1;
            assert!([&old, &new].contains(&&seen(&out)), "{round}: {:?}", seen(&out).keys());
        }
        // Once more, to its end: it is all there, and no trace of the one before.
        let again = plan(&other, &out);
        assert_eq!(again.status.code(), Some(0), "{round}: {}", told(&again));
        assert!(seen(&out) == new, "{round}: {:?}", seen(&out).keys());
    }
    by_word
}

/// What is left to a run whose window is closed, or that is ended from a list of tasks.
#[test]
fn runs_that_the_system_ends() {
    ended_at_random_moments(|child| _ = child.kill());
}

#[link(name = "kernel32")]
unsafe extern "system" {
    /// Sends Ctrl-C (0) to all processes of this console (0).
    fn GenerateConsoleCtrlEvent(event: u32, group: u32) -> i32;
    /// Who hears of it first.
    fn SetConsoleCtrlHandler(handler: unsafe extern "system" fn(u32) -> i32, add: i32) -> i32;
}

/// These tests hear it, and go on.
unsafe extern "system" fn heard(_event: u32) -> i32 {
    1
}

#[test]
#[ignore = "all that runs in the same console would be ended: `tests/windows/run` runs it alone, in a console"]
fn runs_that_are_ended_by_ctrl_c() {
    // SAFETY: the handler looks at nothing.
    assert!(unsafe { SetConsoleCtrlHandler(heard, 1) } != 0);
    let by_word = ended_at_random_moments(|_| {
        // SAFETY: it takes two numbers.
        assert!(unsafe { GenerateConsoleCtrlEvent(0, 0) } != 0, "there is a console");
    });
    assert!(by_word > 0, "no run was reached");
}
