//! The commands as a person runs them: exit status, what is printed, what is written, and that bytes never differ.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn lineward(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineward")).current_dir(root()).args(words).output().expect("the command runs")
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("an exit status, not a signal")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// All files below a folder, by their path in it, in order.
fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(&next).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else {
                found.push((
                    path.strip_prefix(folder).expect("below").to_path_buf(),
                    std::fs::read(&path).expect("a file"),
                ));
            }
        }
    }
    found.sort();
    found
}

fn plan_to(out: &Path, words: &[&str]) -> Output {
    lineward(&[&["plan"], words, &["--out", out.to_str().expect("a path")]].concat())
}

#[test]
fn a_plan_is_written_whole_and_ends_in_ten_lines_at_most() {
    let out = tempfile::tempdir().expect("a folder");
    let output = plan_to(out.path(), &["data/alder-fen"]);
    assert_eq!(status(&output), 0, "{}", text(&output.stderr));
    assert!(text(&output.stdout).lines().count() <= 10);
    assert_eq!(text(&output.stderr), "", "no progress where nobody watches");
    let names: Vec<PathBuf> = files(out.path()).into_iter().map(|(path, _)| path).collect();
    let tables = ["balances", "consequences", "demands", "jobs", "outlook", "pegs", "pulls", "units"]
        .map(|table| format!("tables/{table}.csv"));
    let first = ["contents.json", "pull-list.xlsx", "shop-orders.xlsx", "shortages.xlsx", "tables/about.txt"];
    let expected: Vec<PathBuf> = first.map(PathBuf::from).into_iter().chain(tables.map(PathBuf::from)).collect();
    assert_eq!(names, expected);
}

#[test]
fn bytes_do_not_depend_on_threads_or_on_the_kind_of_book() {
    let run = |threads: &str, book: &str, tables: &str| {
        let out = tempfile::tempdir().expect("a folder");
        let output = Command::new(env!("CARGO_BIN_EXE_lineward"))
            .current_dir(root())
            .env("RAYON_NUM_THREADS", threads)
            .env("POLARS_MAX_THREADS", threads)
            .args(["plan", book, "--tables", tables, "--out"])
            .arg(out.path())
            .output();
        assert_eq!(status(&output.expect("the command runs")), 0);
        files(out.path())
    };
    let first = run("1", "data/alder-fen", "csv");
    assert!(first == run("2", "data/alder-fen", "csv") && first == run("8", "data/alder-fen", "csv"));
    let parquet = run("1", "data/alder-fen", "parquet");
    assert!(parquet == run("2", "data/alder-fen", "parquet") && parquet == run("8", "data/alder-fen", "parquet"));
    // A workbook of the same data: its name stands on the sheets, so only the tables can be equal.
    let tables = |all: &[(PathBuf, Vec<u8>)]| {
        all.iter().filter(|(path, _)| path.starts_with("tables")).cloned().collect::<Vec<_>>()
    };
    assert!(tables(&first) == tables(&run("2", "data/alder-fen.xlsx", "csv")));
}

#[test]
fn the_other_form_of_the_tables_does_not_stay_behind() {
    let out = tempfile::tempdir().expect("a folder");
    let book = "tests/examples/buyer/book";
    std::fs::write(out.path().join("notes.txt"), "mine").expect("a file");
    assert_eq!(status(&plan_to(out.path(), &[book])), 0);
    assert_eq!(status(&plan_to(out.path(), &[book, "--tables", "parquet"])), 0);
    let names: Vec<PathBuf> = files(out.path()).into_iter().map(|(path, _)| path).collect();
    let has = |name: &str| names.iter().any(|path| path == Path::new(name));
    assert!(has("tables/pegs.parquet") && !has("tables/pegs.csv"));
    assert_eq!(std::fs::read(out.path().join("notes.txt")).expect("still there"), b"mine");
    assert_eq!(status(&plan_to(out.path(), &[book, "--tables", "none"])), 0);
    assert_eq!(files(out.path()).len(), 5);
}

#[test]
fn parquet_holds_what_csv_holds() {
    let out = tempfile::tempdir().expect("a folder");
    let book = "tests/examples/buyer/book";
    assert_eq!(status(&plan_to(out.path(), &[book, "--tables", "parquet"])), 0);
    // Read back by the program's own reader of Parquet books is no proof; the data-frame library is.
    use polars::prelude::{ParquetReader, SerReader};
    let open = |table: &str| {
        let file = std::fs::File::open(out.path().join(format!("tables/{table}.parquet"))).expect("a file");
        ParquetReader::new(file).finish().expect("a table")
    };
    let balances = open("balances");
    let types: Vec<String> = balances.columns().iter().map(|column| column.dtype().to_string()).collect();
    assert_eq!(types, ["enum", "date", "decimal[18,6]", "decimal[18,6]", "decimal[18,6]", "decimal[18,6]", "date"]);
    // From the worked example: 24 rows, and the order of 10 windows released on 2027-09-11.
    assert_eq!(balances.height(), 24);
    let last: Vec<String> =
        balances.columns().iter().map(|column| column.get(23).expect("a row").to_string()).collect();
    assert_eq!(last[1], "2027-09-21");
    assert_eq!(last[6], "2027-09-11");
    assert!(last[5].starts_with("10"), "{last:?}");
}

#[test]
fn a_book_with_errors_ends_with_1_and_nothing_is_written() {
    let out = tempfile::tempdir().expect("a folder");
    let target = out.path().join("reports");
    let output = plan_to(&target, &["data/alder-fen-wrong-orders"]);
    assert_eq!(status(&output), 1);
    assert!(!target.exists());
    assert!(text(&output.stderr).contains("--set-aside"));
    assert_eq!(status(&lineward(&["check", "data/alder-fen-wrong-orders"])), 1);
    assert_eq!(status(&lineward(&["check", "data/alder-fen"])), 0);
}

#[test]
fn a_blank_book_is_told_what_it_lacks() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("blank");
    let book = book.to_str().expect("a path");
    assert_eq!(status(&lineward(&["new", book])), 0);
    for words in [&["check", book][..], &["plan", book, "--out", book]] {
        let told = lineward(words);
        assert_eq!(status(&told), 1);
        let told = text(&told.stdout) + &text(&told.stderr);
        assert!(told.contains("the book has no calendar: nothing says when anybody works"), "{told}");
    }
}

#[test]
fn units_with_wrong_orders_can_be_set_aside() {
    let out = tempfile::tempdir().expect("a folder");
    let output = plan_to(out.path(), &["data/alder-fen-wrong-orders", "--set-aside"]);
    assert_eq!(status(&output), 0);
    let units = std::fs::read_to_string(out.path().join("tables/units.csv")).expect("a table");
    let aside: Vec<&str> = units.lines().filter(|row| row.contains("set aside")).collect();
    assert_eq!(
        aside.iter().map(|row| row.split(',').next().expect("a unit")).collect::<Vec<_>>(),
        ["AF9004", "AF9005", "AF9007"]
    );
    // They keep their place on the line: they enter at the takt, and nothing is demanded for them.
    assert!(aside.iter().all(|row| row.matches("2027-09-").count() >= 2), "{aside:?}");
    let demands = std::fs::read_to_string(out.path().join("tables/demands.csv")).expect("a table");
    assert!(!demands.contains("AF9004") && demands.contains("AF9003"));
}

#[test]
fn what_cannot_be_read_or_written_ends_with_3_and_says_why() {
    let out = tempfile::tempdir().expect("a folder");
    let missing = lineward(&["check", "no/such/book.xlsx"]);
    assert_eq!(status(&missing), 3);
    assert!(text(&missing.stderr).contains(&Path::new("no").join("such").join("book.xlsx").display().to_string()));
    let broken = out.path().join("broken.xlsx");
    std::fs::write(&broken, b"PK\x03\x04 not a workbook").expect("a file");
    assert_eq!(status(&lineward(&["check", broken.to_str().expect("a path")])), 3);
    std::fs::write(out.path().join("file"), b"").expect("a file");
    let blocked = plan_to(&out.path().join("file"), &["tests/examples/buyer/book"]);
    assert_eq!(status(&blocked), 3);
    // A folder in the way of a file: nothing of the run is left behind, and what was there is still there.
    std::fs::create_dir_all(out.path().join("plan/shortages.xlsx")).expect("a folder");
    std::fs::write(out.path().join("plan/pull-list.xlsx"), b"before").expect("a file");
    let blocked = plan_to(&out.path().join("plan"), &["tests/examples/buyer/book"]);
    assert_eq!(status(&blocked), 3);
    assert_eq!(files(&out.path().join("plan")), [(PathBuf::from("pull-list.xlsx"), b"before".to_vec())]);
}

#[test]
fn a_wrong_command_line_ends_with_2() {
    for words in [
        &["plan"][..],
        &["plan", "x", "--day", "tomorrow"],
        &["check", "data/alder-fen", "--as-of", "13.09.2027"],
        &["paln"],
    ] {
        assert_eq!(status(&lineward(words)), 2, "{words:?}");
    }
}

#[test]
fn findings_are_there_for_programs_too() {
    let output = lineward(&["check", "data/alder-fen-wrong-orders", "--json"]);
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let findings = report["findings"].as_array().expect("a list");
    let errors: Vec<_> = findings.iter().filter(|finding| finding["level"] == "error").collect();
    assert_eq!(errors.len(), 3);
    assert!(errors.iter().all(|f| f["file"] == "Sequence.csv" && f["row"].as_u64() > Some(1) && f["unit"].is_string()));
}

#[test]
fn the_demo_is_what_its_generator_writes() {
    let binary =
        std::env::current_exe().expect("a path").parent().expect("deps").with_file_name("examples").join("alder-fen");
    let out = tempfile::tempdir().expect("a folder");
    assert!(Command::new(binary).arg(out.path()).status().expect("the generator runs").success());
    for book in ["alder-fen", "alder-fen-wrong-orders"] {
        assert!(files(&out.path().join(book)) == files(&root().join("data").join(book)), "{book}");
    }
    let workbook = |folder: &Path| std::fs::read(folder.join("alder-fen.xlsx")).expect("a workbook");
    assert!(workbook(out.path()) == workbook(&root().join("data")));
}

#[test]
fn the_reports_in_the_repository_are_what_the_program_writes() {
    let out = tempfile::tempdir().expect("a folder");
    assert_eq!(status(&plan_to(out.path(), &["data/alder-fen", "--tables", "none"])), 0);
    // A list of its own stands there, of whatever was planned last.
    for (name, bytes) in files(out.path()).into_iter().filter(|(name, _)| name != Path::new("contents.json")) {
        let kept = std::fs::read(root().join("reports").join(&name)).expect("a report");
        assert!(bytes == kept, "reports/{} is not what the program writes", name.display());
    }
}

/// The values of `data/TROUBLES.md`, which were worked out by a separate reading of the contract before there was a plan.
#[test]
fn the_demos_planted_troubles_are_what_its_plan_shows() {
    let out = tempfile::tempdir().expect("a folder");
    assert_eq!(status(&plan_to(out.path(), &["data/alder-fen"])), 0);
    let pegs =
        rows(out.path().join("tables/pegs.csv").to_str().expect("a path"), &["part", "unit", "late_minutes", "cover"]);
    let late = |part: &str| {
        let pegs = pegs.iter().filter(|peg| peg[0] == part && peg[2] != "0");
        pegs.map(|peg| format!("{} {}", peg[1], peg[2])).collect::<Vec<_>>().join(", ")
    };
    assert_eq!(late("RAC-01"), "AF3457 1200, AF3461 150, AF3462 120, AF3465 20");
    assert_eq!(late("WIN-21-03"), "AF3475 205, AF3478 115, AF3481 15");
    assert_eq!(late("HB4-01"), "AF3471 235, AF3473 175, AF3478 15");
    assert_eq!(late("F14-01"), "AF3430 70, AF3431 40, AF3432 10");
    let short = |part: &str| {
        let pegs = pegs.iter().filter(|peg| peg[0] == part && peg[3] == "none");
        pegs.map(|peg| peg[1].as_str()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(short("OSH-01"), "AF3661 AF3662 AF3664");
    assert_eq!(short("BIK-01"), "AF3634 AF3660");
    assert_eq!(short("SNK-01"), "AF3460");
    assert_eq!(short("BNF-21-01"), "AF3665 AF3666 AF3667");
    let units = std::fs::read_to_string(out.path().join("tables/units.csv")).expect("a table");
    let count = |word: &str| units.lines().filter(|row| row.contains(&format!(",{word},"))).count();
    assert_eq!([count("clear"), count("late"), count("short"), count("hold")], [227, 15, 9, 1]);
}

/// Common practice, no source: cabinets are set before the walls go up, and a unit's slide box goes in after its walls,
/// about half-way down the line.
#[test]
fn the_demo_builds_in_the_order_of_the_trade() {
    let out = tempfile::tempdir().expect("a folder");
    assert_eq!(status(&plan_to(out.path(), &["data/alder-fen"])), 0);
    let positions: std::collections::HashMap<String, u32> =
        rows("data/alder-fen/Stations.csv", &["station", "position"])
            .into_iter()
            .map(|row| (row[0].clone(), row[1].parse().expect("a position")))
            .collect();
    let jobs = rows(out.path().join("tables/jobs.csv").to_str().expect("a path"), &["shop", "to"]);
    let of_shop = |shop: &str| {
        jobs.iter().filter(|row| row[0] == shop).filter_map(|row| positions.get(&row[1])).collect::<Vec<_>>()
    };
    // What one shop builds for another is not counted.
    let (walls, slides) = (of_shop("WALLSHOP"), of_shop("SLIDESHOP"));
    assert!(of_shop("CABSHOP").iter().min() < walls.iter().min());
    assert!(walls.iter().min() < slides.iter().min());
    assert!(slides.iter().all(|position| (9..=16).contains(*position)), "about half-way down 24 positions");
}

fn rows(path: &str, columns: &[&str]) -> Vec<Vec<String>> {
    let mut reader = csv::Reader::from_path(root().join(path)).expect("a table");
    let headings = reader.headers().expect("headings").clone();
    let at: Vec<usize> = columns.iter().map(|c| headings.iter().position(|h| h == *c).expect("a column")).collect();
    reader.records().map(|row| row.expect("a row")).map(|row| at.iter().map(|i| row[*i].to_owned()).collect()).collect()
}

#[test]
fn why_and_uses_answer_and_say_what_is_not_there() {
    let why = lineward(&["why", "data/alder-fen", "--unit", "AF3460", "--part", "SNK-01"]);
    assert_eq!(status(&why), 0);
    assert!(text(&why.stdout).starts_with("AF3460 needs 1 ea of SNK-01"), "{}", text(&why.stdout));
    assert!(
        text(&lineward(&["why", "data/alder-fen", "--unit", "af3460"]).stdout).starts_with("AF3460 is a DUNLIN 15")
    );
    assert!(
        text(&lineward(&["uses", "data/alder-fen", "--part", "snk-01"]).stdout).starts_with("SNK-01 (Sink, flat edge)")
    );
    let wrong = [
        (
            &["why", "data/alder-fen", "--unit", "AF346O"][..],
            "lineward: the book has no unit 'AF346O' (did you mean AF3460?)\n",
        ),
        (
            &["why", "data/alder-fen", "--unit", "AF3460", "--part", "SNK-1"],
            "lineward: the book has no part 'SNK-1' (did you mean SNK-01?)\n",
        ),
        (&["uses", "data/alder-fen", "--part", "zzzzzz"], "lineward: the book has no part 'zzzzzz'\n"),
    ];
    for (words, told) in wrong {
        let output = lineward(words);
        assert_eq!((status(&output), text(&output.stderr).as_str(), text(&output.stdout).as_str()), (2, told, ""));
    }
    assert_eq!(status(&lineward(&["why", "no/such/book", "--unit", "U1"])), 3);
    let broken = lineward(&["why", "data/alder-fen-wrong-orders", "--unit", "AF9004"]);
    assert_eq!(status(&broken), 1);
    assert!(text(&broken.stderr).contains("--set-aside"));
    assert_eq!(status(&lineward(&["why", "data/alder-fen-wrong-orders", "--unit", "AF9004", "--set-aside"])), 0);
}

#[test]
fn why_and_uses_tell_programs_the_same_in_names_that_stay() {
    let json = |words: &[&str]| -> serde_json::Value {
        let output = lineward(&[words, &["--json"]].concat());
        serde_json::from_slice(&output.stdout).expect("JSON")
    };
    let why = json(&["why", "tests/examples/buyer/book", "--unit", "V6", "--part", "WN-20"]);
    let keys: Vec<&str> = why.as_object().expect("an object").keys().map(String::as_str).collect();
    assert_eq!(
        keys,
        [
            "as_of", "book", "demands", "effects", "jobs", "needed", "on_hold", "part", "paths", "unit", "used_on",
            "verdict"
        ]
    );
    // V6 takes 3 of the order and is short of 1, as the worked example says.
    let covers = why["demands"][0]["covers"].as_array().expect("pegs");
    let told: Vec<String> = covers.iter().map(|cover| format!("{} {}", cover["qty"], cover["cover"])).collect();
    assert_eq!(told, ["\"3\" \"receipt\"", "\"1\" \"none\""]);
    assert_eq!(why["verdict"], serde_json::json!({"is": "needed", "demand": 0}));
    assert_eq!(why["paths"][0]["steps"][0]["place"]["row"], 2);
    let uses = json(&["uses", "tests/examples/buyer/book", "--part", "WN-20"]);
    assert_eq!(
        uses["first_hit"],
        serde_json::json!({"unit": "V2", "to": "FN", "need": "2027-09-15T06:00:00", "qty": "6", "missing": "1"})
    );
    let unit = json(&["why", "tests/examples/buyer/book", "--unit", "V1"]);
    assert_eq!(unit["options"][0]["options"][0]["how"], "ordered");
}

/// The README's answer is the program's.
#[test]
fn the_readme_shows_what_why_says() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("a file");
    let shown = readme.split("```text\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a block of text");
    let output = lineward(&["why", "data/alder-fen", "--unit", "AF3425", "--part", "OVN-01"]);
    assert_eq!(text(&output.stdout), shown);
}

#[test]
fn a_shell_can_read_the_completions() {
    let script = lineward(&["completions", "bash"]);
    assert_eq!(status(&script), 0);
    let told = text(&script.stdout);
    assert!(told.contains("--picked-through") && told.contains("--set-aside"), "{told}");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("lineward.bash");
    std::fs::write(&path, &told).expect("a file");
    if cfg!(unix) {
        let read = Command::new("bash").arg("-n").arg(&path).output().expect("bash");
        assert!(read.status.success() && read.stderr.is_empty(), "{}", text(&read.stderr));
        // A script that bash can't read is told as such, so that the line above can fail.
        std::fs::write(&path, told.replacen("esac", "", 1)).expect("a file");
        assert!(!Command::new("bash").arg("-n").arg(&path).output().expect("bash").status.success());
    }
    for shell in ["zsh", "fish", "powershell", "elvish"] {
        assert_eq!(status(&lineward(&["completions", shell])), 0);
    }
    assert_eq!(status(&lineward(&["completions", "cobol"])), 2);
}

#[test]
fn there_is_a_manual_page_for_each_command() {
    let out = tempfile::tempdir().expect("a folder");
    let folder = out.path().join("man");
    assert_eq!(status(&lineward(&["manual", folder.to_str().expect("a path")])), 0);
    let help = text(&lineward(&["--help"]).stdout);
    let commands =
        help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| line.starts_with("  "));
    let commands = commands.filter(|line| !line.starts_with("   ")).filter_map(|line| line.split_whitespace().next());
    let commands = commands.filter(|name| *name != "help");
    let mut expected: Vec<String> = commands.map(|name| format!("lineward-{name}.1")).collect();
    expected.push("lineward.1".to_owned());
    expected.sort();
    let pages = files(&folder);
    assert_eq!(pages.iter().map(|(path, _)| path.display().to_string()).collect::<Vec<_>>(), expected);
    for (path, page) in pages {
        let page = text(&page);
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let macros = [".TH ", ".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION", ".SH OPTIONS"];
        assert!(macros.iter().all(|start| page.lines().any(|line| line.starts_with(start))), "{page}");
        assert!(page.contains(&name.replace('-', "\\-")) || page.contains(&name), "{page}");
        // Where there is a program that sets manual pages, it has nothing to say against them.
        let set = Command::new("groff").args(["-man", "-Tutf8", "-ww"]).arg(folder.join(&path)).output();
        if let Ok(set) = set {
            // Bold letters are struck twice, with a step back between.
            let told = text(&set.stdout);
            let once: Vec<char> = told.chars().filter(|letter| *letter != '\u{8}').collect();
            let struck = "SYNOPSIS".chars().flat_map(|letter| [letter, letter]).collect::<Vec<_>>();
            let heading = once.windows(struck.len()).any(|letters| letters == struck) || told.contains("SYNOPSIS");
            assert!(set.status.success() && set.stderr.is_empty() && heading, "{told}");
        }
    }
    // A file in the way: nothing is written.
    std::fs::write(out.path().join("file"), b"").expect("a file");
    assert_eq!(status(&lineward(&["manual", out.path().join("file").to_str().expect("a path")])), 3);
}

/// A book dropped onto the program: one path, no command. Nobody watches here, so that no window is kept open.
#[test]
fn a_book_without_a_command_is_planned_beside_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("my plant.xlsx");
    std::fs::copy(root().join("tests/files/plant.xlsx"), &book).expect("a copy");
    let dropped = || lineward(&[book.to_str().expect("text")]);
    let output = dropped();
    assert_eq!(status(&output), 0, "{}", text(&output.stderr));
    let names = |folder: &Path| -> Vec<String> {
        files(folder).iter().map(|(path, _)| path.file_name().expect("a name").to_string_lossy().into_owned()).collect()
    };
    let workbooks = ["contents.json", "pull-list.xlsx", "shop-orders.xlsx", "shortages.xlsx"];
    assert_eq!(names(&folder.path().join("reports")), workbooks);
    assert!(text(&output.stdout).contains("written to "), "{}", text(&output.stdout));
    // As a plan of the same book, but for the tables.
    let out = tempfile::tempdir().expect("a folder");
    plan_to(out.path(), &[book.to_str().expect("text"), "--tables", "none"]);
    assert_eq!(files(out.path()), files(&folder.path().join("reports")));
    // The plan that stands there is replaced by the next one.
    assert_eq!(status(&dropped()), 0);
}

/// What is wrong is told and listed, each time in a list of its own, and nothing is planned.
#[test]
fn a_book_with_errors_without_a_command_gets_a_list_of_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("plant");
    std::fs::create_dir(&book).expect("a folder");
    for (name, bytes) in files(&root().join("tests/examples/buyer/book")) {
        let bytes =
            if name == Path::new("Stock.csv") { b"part,location,qty\nSNK-02,A-1,three\n".to_vec() } else { bytes };
        std::fs::write(book.join(name), bytes).expect("a file");
    }
    for list in ["plant findings.xlsx", "plant findings 2.xlsx"] {
        let output = lineward(&[book.to_str().expect("text")]);
        assert_eq!(status(&output), 1);
        assert!(text(&output.stderr).contains("Stock.csv row 2 column qty"), "{}", text(&output.stderr));
        assert!(text(&output.stdout).contains(list), "{}", text(&output.stdout));
        let mut sheets = calamine::open_workbook_auto(folder.path().join(list)).expect("a workbook");
        let rows = calamine::Reader::worksheets(&mut sheets);
        let told = rows.iter().flat_map(|(_, sheet)| sheet.cells().map(|(.., cell)| cell.to_string()));
        assert!(told.into_iter().any(|cell| cell.contains("three")));
    }
    assert!(!folder.path().join("reports").exists());
}
