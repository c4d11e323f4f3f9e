//! Writing as one transaction: runs that are killed, fail, meet each other, or are told to write over what they read. Catches a
//! file that is lost, a mixture of two plans, and what is left behind.
//!
//! Calls of the system fail, or end the program, through a small library that is preloaded (`tests/files/faults.c`, built with
//! the compiler that links the program).

use super::support::rounds;
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::os::unix::fs::symlink;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;
use tempfile::TempDir;

const BOOK: &str = "tests/examples/buyer/book";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
    command.current_dir(root()).stdin(Stdio::null());
    command
}

fn run<W: AsRef<OsStr>>(words: impl IntoIterator<Item = W>) -> Output {
    program().args(words).output().expect("the command runs")
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn text(path: impl AsRef<Path>) -> String {
    path.as_ref().to_str().expect("a path").to_owned()
}

/// All that stands in a folder: files and what they hold, links and where they lead, folders.
type Seen = BTreeMap<PathBuf, Vec<u8>>;

fn seen(folder: &Path) -> Seen {
    let (mut all, mut open) = (Seen::new(), vec![folder.to_path_buf()]);
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(&next).into_iter().flatten() {
            let path = entry.expect("an entry").path();
            let kind = path.symlink_metadata().expect("it is there").file_type();
            let name = path.strip_prefix(folder).expect("below").to_path_buf();
            if kind.is_dir() {
                open.push(path);
            } else if kind.is_symlink() {
                all.insert(name, text(std::fs::read_link(&path).expect("a link")).into_bytes());
            } else {
                all.insert(name, std::fs::read(&path).expect("a file"));
            }
        }
    }
    all
}

fn put_back(folder: &Path, all: &Seen) {
    let _ = std::fs::remove_dir_all(folder);
    std::fs::create_dir(folder).expect("a folder");
    for (name, bytes) in all {
        let path = folder.join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(path, bytes).expect("a file");
    }
}

/// A copy of the worked example with another stock, so that all its files differ.
fn other_book(folder: &Path) -> PathBuf {
    let book = folder.join("other");
    std::fs::create_dir(&book).expect("a folder");
    for entry in std::fs::read_dir(root().join(BOOK)).expect("a book") {
        let path = entry.expect("a file").path();
        std::fs::copy(&path, book.join(path.file_name().expect("a name"))).expect("a copy");
    }
    let stock = std::fs::read_to_string(book.join("Stock.csv")).expect("a table");
    std::fs::write(book.join("Stock.csv"), stock.lines().take(2).collect::<Vec<_>>().join("\n")).expect("a table");
    book
}

/// A folder with a plan in it, and what a command makes of it.
struct Case {
    folder: TempDir,
    old: Seen,
    new: Seen,
    words: Vec<String>,
}

impl Case {
    fn out(&self) -> PathBuf {
        self.folder.path().join("out")
    }

    /// Whether what stands there is whole, and which of the two: the new one.
    fn is_new(&self, what: &str) -> bool {
        let now = seen(&self.out());
        assert!(now == self.old || now == self.new, "{what}: {:?}", now.keys().collect::<Vec<_>>());
        now == self.new
    }

    /// The command, with faults.
    fn command(&self, faults: &[(&str, String)]) -> Command {
        let mut command = program();
        command.args(&self.words).env("LD_PRELOAD", faults_library()).env("FAULT_UNDER", self.out());
        command.envs(faults.iter().map(|(name, value)| (name, value)));
        command
    }

    /// How many calls there are that may fail.
    fn calls(&self) -> u32 {
        put_back(&self.out(), &self.old);
        let count = self.folder.path().join("count");
        let output = self.command(&[("FAULT_COUNT", text(&count))]).output().expect("the command runs");
        assert!(output.status.success(), "{}", told(&output));
        assert!(self.is_new("without a fault"));
        std::fs::read_to_string(count).expect("a count").parse().expect("a number")
    }

    /// Looks after a run that ended in any way: another command that reads there puts right what it finds, and says so.
    fn look_after(&self, what: &str) -> bool {
        let mut now = seen(&self.out());
        // A lock that nobody holds is nothing that anybody waits for.
        now.remove(Path::new(".lineward/lock"));
        let half = now != self.old && now != self.new;
        let next = run(["compare", &text(self.out()), BOOK, "--json"]);
        assert_eq!(next.status.code(), Some(0), "{what}: {}", told(&next));
        assert!(!half || told(&next).contains("cut off"), "{what}: {}", told(&next));
        self.is_new(what)
    }
}

/// A plan over a plan, a notice beside a plan, and each with the folder made anew.
fn cases() -> Vec<Case> {
    let make = |words: &dyn Fn(&Path, String) -> Vec<String>| {
        let folder = tempfile::tempdir().expect("a folder");
        let (out, other) = (folder.path().join("out"), other_book(folder.path()));
        assert_eq!(run(["plan", BOOK, "--out", &text(&out)]).status.code(), Some(0));
        let old = seen(&out);
        let words = words(&other, text(&out));
        assert_eq!(run(&words).status.code(), Some(0));
        let new = seen(&out);
        assert_ne!(old, new);
        Case { folder, old, new, words }
    };
    let plan = |tables: &'static str| {
        move |other: &Path, out: String| {
            ["plan", &text(other), "--tables", tables, "--out", &out].map(str::to_owned).to_vec()
        }
    };
    let notice = |other: &Path, out: String| ["compare", BOOK, &text(other), "--out", &out].map(str::to_owned).to_vec();
    vec![make(&plan("csv")), make(&plan("parquet")), make(&notice)]
}

fn faults_library() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let library = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("faults-{}.so", std::process::id()));
        let mut cc = Command::new("cc");
        cc.args(["-shared", "-fPIC", "-O1", "-o"]).arg(&library).arg(root().join("tests/files/faults.c")).arg("-ldl");
        let built = cc.output().expect("a C compiler");
        assert!(built.status.success(), "{}", told(&built));
        library
    })
}

const SIGNALS: [(&str, i32); 4] = [("INT", 2), ("HUP", 1), ("TERM", 15), ("KILL", 9)];

#[test]
fn a_run_that_is_ended_at_any_call_leaves_the_old_or_the_new_whole() {
    for case in cases() {
        let calls = case.calls();
        assert!(calls > 10, "{calls}");
        for (name, signal) in SIGNALS {
            let (mut old, mut new) = (0, 0);
            let all = rounds(1) > 1 || name == "KILL";
            for at in (1..=calls).filter(|at| all || *at as usize % 4 == signal as usize % 4) {
                let what = format!("{:?}: {name} at call {at} of {calls}", case.words);
                put_back(&case.out(), &case.old);
                let faults = [("FAULT_AT", at.to_string()), ("FAULT_SIGNAL", signal.to_string())];
                let output = case.command(&faults).output().expect("the command runs");
                let ended = output.status.code().or(output.status.signal());
                assert!(matches!(ended, Some(0 | 130 | 9)), "{what}: {ended:?} {}", told(&output));
                if name != "KILL" {
                    // Asked to end it clears up itself, whatever it was doing.
                    case.is_new(&what);
                }
                *if case.look_after(&what) { &mut new } else { &mut old } += 1;
            }
            assert!(old > 0 && new > 0, "{name}: {old} {new}");
        }
    }
}

#[test]
fn a_call_that_fails_leaves_the_old_or_the_new_whole() {
    // No space, an error of the disk, no right, a quota that is used up.
    for (i, error) in [28, 5, 13, 122].into_iter().enumerate() {
        for case in cases() {
            let calls = case.calls();
            for on in [false, true] {
                // All of one error; of the others every twelfth call, each another one. `HUNT` takes all.
                let all = rounds(1) > 1 || (i == 0 && !on);
                for at in (1..=calls).filter(|at| all || *at as usize % 12 == 4 * (i % 3)) {
                    let what = format!("{:?}: error {error} at call {at} of {calls}, on: {on}", case.words);
                    put_back(&case.out(), &case.old);
                    let mut faults = vec![("FAULT_AT", at.to_string()), ("FAULT_ERROR", error.to_string())];
                    faults.extend(on.then(|| ("FAULT_ON", "1".to_owned())));
                    let output = case.command(&faults).output().expect("the command runs");
                    let status = output.status.code();
                    assert!(matches!(status, Some(0 | 3)), "{what}: {status:?} {}", told(&output));
                    assert!(
                        status == Some(0) || told(&output).starts_with("lineward: can't "),
                        "{what}: {}",
                        told(&output)
                    );
                    if !on {
                        let leftover = case.out().join(".lineward");
                        let whole: Seen =
                            seen(&case.out()).into_iter().filter(|(name, _)| !name.starts_with(".lineward")).collect();
                        assert!(
                            whole == if status == Some(0) { case.new.clone() } else { case.old.clone() },
                            "{what}: {:?} {}",
                            whole.keys(),
                            leftover.exists()
                        );
                    }
                    let new = case.look_after(&what);
                    assert_eq!(new, status == Some(0), "{what}: {}", told(&output));
                }
            }
        }
    }
}

/// All commands that write, ended at random moments. `HUNT=10` ends each two hundred times.
#[test]
fn runs_that_are_ended_at_random_moments() {
    let mut random = fastrand::Rng::with_seed(16);
    let folder = tempfile::tempdir().expect("a folder");
    let other = text(other_book(folder.path()));
    let out = folder.path().join("out");
    let there = text(&out);
    let at = |name: &str| text(out.join(name));
    let commands: [Vec<String>; 6] = [
        vec!["plan".into(), other.clone(), "--out".into(), there.clone()],
        vec!["compare".into(), BOOK.into(), other.clone(), "--out".into(), there.clone()],
        vec!["try".into(), BOOK.into(), "--out".into(), there.clone()],
        vec!["new".into(), at("blank")],
        vec!["check".into(), BOOK.into(), "--out".into(), at("findings.xlsx")],
        vec!["manual".into(), at("man")],
    ];
    for words in &commands {
        let old = match words[0].as_str() {
            "plan" | "compare" => {
                assert_eq!(run(["plan", BOOK, "--out", &there]).status.code(), Some(0));
                let old = seen(&out);
                std::fs::remove_dir_all(&out).expect("a folder");
                old
            }
            _ => Seen::from([("notes.txt".into(), b"mine".to_vec())]),
        };
        put_back(&out, &old);
        let begun = std::time::Instant::now();
        let whole = run(words);
        let takes = begun.elapsed().as_micros() as u64;
        assert_eq!(whole.status.code(), Some(0), "{}", told(&whole));
        let new = seen(&out);
        for _ in 0..rounds(20) {
            put_back(&out, &old);
            let (name, _) = SIGNALS[random.usize(..4)];
            let mut child =
                program().args(words).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("it runs");
            std::thread::sleep(std::time::Duration::from_micros(random.u64(..takes)));
            let _ = Command::new("kill").args(["-s", name, &child.id().to_string()]).stderr(Stdio::null()).status();
            child.wait().expect("an end");
            let what = format!("{words:?} {name}");
            if name != "KILL" {
                assert!([&old, &new].contains(&&seen(&out)), "{what}: {:?}", seen(&out).keys());
            }
            // Once more, to its end: it is all there, and no trace of the one before.
            let again = run(words);
            let there_already = told(&again).contains("exists already");
            assert!(again.status.success() || there_already, "{what}: {}", told(&again));
            assert_eq!(seen(&out).keys().collect::<Vec<_>>(), new.keys().collect::<Vec<_>>(), "{what}");
            assert!(seen(&out) == new, "{what}");
        }
        std::fs::remove_dir_all(&out).expect("a folder");
    }
}

#[test]
fn runs_at_once_do_not_mix() {
    let folder = tempfile::tempdir().expect("a folder");
    let (other, out) = (text(other_book(folder.path())), folder.path().join("out"));
    let whole = [BOOK, &other].map(|book| {
        assert_eq!(run(["plan", book, "--out", &text(&out)]).status.code(), Some(0));
        seen(&out)
    });
    for count in [2, 3, 5] {
        for _ in 0..rounds(5) {
            let begin = |i: usize| {
                let book = if i.is_multiple_of(2) { BOOK } else { &other };
                let mut command = program();
                command.args(["plan", book, "--out", &text(&out)]).stdout(Stdio::null()).stderr(Stdio::piped());
                command.spawn().expect("it runs")
            };
            let ended: Vec<Output> = (0..count)
                .map(begin)
                .collect::<Vec<_>>()
                .into_iter()
                .map(|run| run.wait_with_output().expect("an end"))
                .collect();
            assert!(ended.iter().any(|output| output.status.success()));
            for output in ended.iter().filter(|output| !output.status.success()) {
                assert!(
                    output.status.code() == Some(3) && told(output).contains("another run is writing there now"),
                    "{}",
                    told(output)
                );
            }
            assert!(whole.contains(&seen(&out)));
        }
    }
    // For sure: while a run has hold of the folder, another is told so, and a reader goes on.
    std::fs::create_dir(out.join(".lineward")).expect("a folder");
    let lock = std::fs::File::create(out.join(".lineward/lock")).expect("a file");
    lock.lock().expect("a lock");
    let before = seen(&out);
    let busy = run(["plan", BOOK, "--out", &text(&out)]);
    assert!(
        busy.status.code() == Some(3) && told(&busy).contains("another run is writing there now"),
        "{}",
        told(&busy)
    );
    assert_eq!(run(["compare", &text(&out), BOOK, "--json"]).status.code(), Some(0));
    assert!(seen(&out) == before);
    drop(lock);
    assert_eq!(run(["plan", BOOK, "--out", &text(&out)]).status.code(), Some(0));
    assert!(seen(&out) == whole[0]);
}

/// That a command ends with 3 and changes nothing below a folder.
fn refused(folder: &Path, words: &[&str], why: &str) {
    let before = seen(folder);
    let output = run(words);
    assert_eq!(output.status.code(), Some(3), "{words:?}: {}", told(&output));
    assert!(told(&output).contains(why), "{words:?}: {}", told(&output));
    assert!(seen(folder) == before, "{words:?}");
}

#[test]
fn a_book_is_never_its_own_output() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| text(folder.path().join(name));
    let out = at("");
    let workbook = root().join("tests/files/plant.xlsx");
    for name in ["shortages.xlsx", "pull-list.xlsx", "shop-orders.xlsx", "change-notice.xlsx"] {
        std::fs::copy(&workbook, at(name)).expect("a copy");
        let read = "which was read for this";
        let command = if name == "change-notice.xlsx" { vec!["compare", BOOK] } else { vec!["plan"] };
        let spellings =
            [at(name), at(&format!("./../{}/{name}", folder.path().file_name().expect("a name").to_string_lossy()))];
        for book in &spellings {
            refused(folder.path(), &[&command[..], &[book, "--out", &out]].concat(), read);
        }
        symlink(at(name), at("link.xlsx")).expect("a link");
        refused(folder.path(), &[&command[..], &[&at("link.xlsx"), "--out", &out]].concat(), read);
        std::fs::remove_file(at("link.xlsx")).expect("a link");
        std::fs::hard_link(at(name), at("hard.xlsx")).expect("a link");
        refused(folder.path(), &[&command[..], &[&at("hard.xlsx"), "--out", &out]].concat(), read);
        std::fs::remove_file(at("hard.xlsx")).expect("a link");
        // Another book's plan does not go there either.
        refused(folder.path(), &[&command[..], &[BOOK, "--out", &out]].concat(), "that this program did not write");
        std::fs::remove_file(at(name)).expect("a file");
    }
    std::fs::copy(&workbook, at("pull-list.xlsx")).expect("a copy");
    let edit = "Settings \"as of\" value=2027-09-14 06:00";
    refused(folder.path(), &["try", &at("pull-list.xlsx"), "--set", edit, "--out", &out], "which was read for this");
    std::fs::remove_file(at("pull-list.xlsx")).expect("a file");
    std::fs::write(at("shortages.xlsx"), "Settings \"as of\" value=2027-09-14 06:00\n").expect("edits");
    refused(
        folder.path(),
        &["try", BOOK, "--set-from", &at("shortages.xlsx"), "--out", &out],
        "which was read for this",
    );
    std::fs::remove_file(at("shortages.xlsx")).expect("a file");
    // A manifest whose tables lie where the plan's go: in the form that is written, and in the other.
    std::fs::create_dir(at("tables")).expect("a folder");
    std::fs::copy(root().join(BOOK).join("Stock.csv"), at("tables/units.csv")).expect("a copy");
    let rest = text(root().join(BOOK));
    let manifest = format!("outside = true\nrest = '{rest}'\n[Stock]\nfile = 'tables/units.csv'\n");
    std::fs::write(at("lineward.toml"), manifest).expect("a manifest");
    for tables in ["csv", "parquet", "none"] {
        refused(folder.path(), &["plan", &out, "--tables", tables, "--out", &out], "which was read for this");
    }
}

#[test]
fn what_the_program_did_not_write_or_somebody_changed_is_left() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let plan = ["plan", BOOK, "--out", &text(&out)];
    std::fs::create_dir_all(out.join("tables")).expect("a folder");
    for name in ["shortages.xlsx", "tables/units.csv", "tables/units.parquet", "contents.json", "tables/about.txt"] {
        std::fs::write(out.join(name), "mine").expect("a file");
        refused(folder.path(), &plan, name);
        std::fs::remove_file(out.join(name)).expect("a file");
    }
    assert_eq!(run(plan).status.code(), Some(0));
    let whole = seen(&out);
    // The same again is its own; a letter more is somebody's work.
    assert_eq!(run(plan).status.code(), Some(0));
    std::fs::write(out.join("tables/pegs.csv"), [&whole[Path::new("tables/pegs.csv")][..], b"x"].concat())
        .expect("a file");
    refused(folder.path(), &plan, "tables/pegs.csv");
    let same_length = whole[Path::new("tables/pegs.csv")].iter().map(|byte| if *byte == b'1' { b'2' } else { *byte });
    std::fs::write(out.join("tables/pegs.csv"), same_length.collect::<Vec<_>>()).expect("a file");
    refused(folder.path(), &plan, "tables/pegs.csv");
    std::fs::remove_file(out.join("tables/pegs.csv")).expect("a file");
    assert_eq!(run(plan).status.code(), Some(0));
    assert!(seen(&out) == whole);
    // A list that names what is not the program's leads to nothing being taken away.
    let list = String::from_utf8(whole[Path::new("contents.json")].clone()).expect("UTF-8");
    std::fs::write(folder.path().join("notes.txt"), "mine").expect("a file");
    let named = list.replacen("shop-orders.xlsx", "../notes.txt", 1);
    std::fs::write(out.join("contents.json"), named).expect("a file");
    std::fs::remove_file(out.join("shop-orders.xlsx")).expect("a file");
    assert_eq!(run(plan).status.code(), Some(0));
    assert_eq!(std::fs::read(folder.path().join("notes.txt")).expect("still there"), b"mine");
    assert!(seen(&out) == whole);
}

#[test]
fn links_are_not_written_through() {
    let folder = tempfile::tempdir().expect("a folder");
    let (out, elsewhere) = (folder.path().join("out"), folder.path().join("elsewhere"));
    std::fs::create_dir(&elsewhere).expect("a folder");
    std::fs::create_dir(&out).expect("a folder");
    std::fs::write(elsewhere.join("units.csv"), "mine").expect("a file");
    std::fs::write(elsewhere.join("units.parquet"), "mine").expect("a file");
    let plan = ["plan", BOOK, "--out", &text(&out)];
    symlink(&elsewhere, out.join("tables")).expect("a link");
    refused(folder.path(), &plan, "it is a link or a file, not a folder");
    std::fs::remove_file(out.join("tables")).expect("a link");
    for to in [elsewhere.join("units.csv"), elsewhere.join("not-there")] {
        symlink(to, out.join("shortages.xlsx")).expect("a link");
        refused(folder.path(), &plan, "shortages.xlsx");
        std::fs::remove_file(out.join("shortages.xlsx")).expect("a link");
    }
    symlink(&elsewhere, out.join(".lineward")).expect("a link");
    refused(folder.path(), &plan, "in the way");
    std::fs::remove_file(out.join(".lineward")).expect("a link");
    // A folder that is itself reached by a link is the folder that is meant.
    symlink(&out, folder.path().join("way")).expect("a link");
    assert_eq!(run(["plan", BOOK, "--out", &text(folder.path().join("way"))]).status.code(), Some(0));
    // A second name of a file keeps what it holds.
    std::fs::hard_link(out.join("shortages.xlsx"), elsewhere.join("kept.xlsx")).expect("a link");
    let kept = std::fs::read(elsewhere.join("kept.xlsx")).expect("a file");
    assert_eq!(run(["plan", &text(other_book(folder.path())), "--out", &text(&out)]).status.code(), Some(0));
    assert_eq!(std::fs::read(elsewhere.join("kept.xlsx")).expect("a file"), kept);
    assert_ne!(std::fs::read(out.join("shortages.xlsx")).expect("a file"), kept);
}

#[test]
fn a_file_that_appears_meanwhile_stays() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("it.xlsx");
    for words in
        [vec!["new".to_owned(), text(&file)], ["check", BOOK, "--out", &text(&file)].map(str::to_owned).to_vec()]
    {
        let mut stayed = 0;
        for at in 1..40 {
            let mut command = program();
            command.args(&words).env("LD_PRELOAD", faults_library()).env("FAULT_UNDER", folder.path());
            command.env("FAULT_AT", at.to_string()).env("FAULT_FILE", &file);
            let output = command.output().expect("the command runs");
            let mine = std::fs::read(&file).expect("a file") == b"mine";
            assert_eq!(output.status.code(), Some(if mine { 3 } else { 0 }), "{words:?} at {at}: {}", told(&output));
            stayed += usize::from(mine);
            assert_eq!(seen(folder.path()).len(), 1);
            std::fs::remove_file(&file).expect("a file");
        }
        assert!((3..39).contains(&stayed), "{stayed}");
    }
    // And one of a plan.
    let out = folder.path().join("out");
    assert_eq!(run(["plan", BOOK, "--out", &text(&out)]).status.code(), Some(0));
    let whole = seen(&out);
    std::fs::remove_dir_all(&out).expect("a folder");
    for at in (1..whole.len() * 8).step_by(3) {
        std::fs::create_dir(&out).expect("a folder");
        let mut command = program();
        command.args(["plan", BOOK, "--out", &text(&out)]).env("LD_PRELOAD", faults_library()).env("FAULT_UNDER", &out);
        command.env("FAULT_AT", at.to_string()).env("FAULT_FILE", out.join("shortages.xlsx"));
        let output = command.output().expect("the command runs");
        let now = seen(&out);
        let mine = Seen::from([("shortages.xlsx".into(), b"mine".to_vec())]);
        assert!(now == if output.status.success() { whole.clone() } else { mine }, "at {at}: {:?}", now.keys());
        std::fs::remove_dir_all(&out).expect("a folder");
    }
}

#[test]
fn names_that_are_no_text_stay_themselves() {
    use std::os::unix::ffi::OsStrExt;
    let folder = tempfile::tempdir().expect("a folder");
    let odd = folder.path().join(OsStr::from_bytes(b"odd\xff.xlsx"));
    let like = folder.path().join("odd\u{fffd}.xlsx");
    std::fs::write(&like, "mine").expect("a file");
    let words: [Vec<&OsStr>; 2] =
        [vec!["new".as_ref(), odd.as_ref()], vec!["check".as_ref(), BOOK.as_ref(), "--out".as_ref(), odd.as_ref()]];
    for words in words {
        let output = run(&words);
        assert_eq!(output.status.code(), Some(0), "{}", told(&output));
        assert!(std::fs::read(&odd).expect("a file").starts_with(b"PK"));
        assert_eq!(std::fs::read(&like).expect("a file"), b"mine");
        assert_eq!(run(&words).status.code(), Some(3));
        std::fs::remove_file(&odd).expect("a file");
    }
    let out = folder.path().join(OsStr::from_bytes(b"out\xfe"));
    assert_eq!(run::<&OsStr>(["plan".as_ref(), BOOK.as_ref(), "--out".as_ref(), out.as_ref()]).status.code(), Some(0));
    assert_eq!(seen(&out).len(), 13);
}

#[test]
fn what_is_tried_does_not_go_where_a_plan_stands() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let tried = ["try", BOOK, "--set", "Settings \"as of\" value=2027-09-14 06:00", "--out", &text(&out)];
    for tables in ["csv", "none"] {
        assert_eq!(run(["plan", BOOK, "--tables", tables, "--out", &text(&out)]).status.code(), Some(0));
        refused(folder.path(), &tried, "a plan stands there");
    }
    // Nor beside tables of a plan that is not listed.
    std::fs::remove_dir_all(&out).expect("a folder");
    std::fs::create_dir_all(out.join("tables")).expect("a folder");
    std::fs::write(out.join("tables/units.csv"), "unit\n").expect("a file");
    refused(folder.path(), &tried, "tables/units.csv");
    // A plan takes the place of what was tried, all of it.
    std::fs::remove_dir_all(&out).expect("a folder");
    assert_eq!(run(tried).status.code(), Some(0));
    assert!(seen(&out).contains_key(Path::new("change-notice.xlsx")));
    assert_eq!(run(["plan", BOOK, "--out", &text(&out)]).status.code(), Some(0));
    assert!(!seen(&out).contains_key(Path::new("change-notice.xlsx")));
    // Of two tries the second stays alone, too.
    std::fs::remove_dir_all(&out).expect("a folder");
    assert_eq!(run(tried).status.code(), Some(0));
    assert_eq!(run(["try", BOOK, "--out", &text(&out)]).status.code(), Some(0));
    let names: Vec<String> = seen(&out).keys().map(text).collect();
    assert_eq!(names, ["contents.json", "shortages.xlsx"]);
}

#[test]
fn other_file_systems() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    std::fs::create_dir_all(out.join("tables")).expect("a folder");
    let mounted = Command::new("mount").args(["-t", "tmpfs", "tmpfs"]).arg(out.join("tables")).output();
    if !mounted.is_ok_and(|output| output.status.success()) {
        return; // This machine does not allow it.
    }
    let output = run(["plan", BOOK, "--out", &text(&out)]);
    let left = seen(&out);
    assert!(Command::new("umount").arg(out.join("tables")).status().expect("umount").success());
    // The tables can't be moved there in one step: nothing is.
    assert_eq!(output.status.code(), Some(3), "{}", told(&output));
    assert!(left.is_empty(), "{:?}", left.keys());
}

/// One whose temporary files have no room: where the system's folder for them is full or missing, nothing depends on it.
#[test]
fn bytes_do_not_depend_on_the_folder_for_temporary_files() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let plan = |room: &Path| {
        let mut command = program();
        let output = command
            .args(["plan", "data/alder-fen", "--out", &text(&out)])
            .env("TMPDIR", room)
            .output()
            .expect("it runs");
        assert_eq!(output.status.code(), Some(0), "{}", told(&output));
        seen(&out)
    };
    assert!(plan(folder.path()) == plan(&folder.path().join("not-there")));
    // What is long is put away in the folder itself; where that is full, it is told, and nothing panics.
    let old = seen(&out);
    let other = ["plan", "data/alder-fen", "--as-of", "2027-09-14 06:00", "--out", &text(&out)].map(str::to_owned);
    for at in [1, 2, 5, 30, 60, 90] {
        let mut command = program();
        command.args(&other).env("LD_PRELOAD", faults_library()).env("FAULT_UNDER", &out);
        command.envs([
            ("FAULT_AT", at.to_string()),
            ("FAULT_ONLY", "write".into()),
            ("FAULT_ERROR", "28".into()),
            ("FAULT_ON", "1".into()),
        ]);
        let output = command.output().expect("it runs");
        assert_eq!(output.status.code(), Some(3), "{at}: {}", told(&output));
        assert!(
            told(&output).lines().count() == 1 && told(&output).contains("No space left"),
            "{at}: {}",
            told(&output)
        );
        assert!(seen(&out) == old);
    }
}
