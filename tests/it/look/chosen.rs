//! Cells chosen one by one for a trial: the edit on the page changes the cell that was chosen and no other, and what comes of several is
//! what the command says of the same edits.

use super::browser::Browser;
use super::client::{Server, coded, text};
use super::{copy, of_project};
use lineward::book::{self, Table};
use lineward::trial;

/// The edit that a page says it has added.
fn added(page: &str) -> String {
    text(page.split_once("<code>").and_then(|(_, rest)| rest.split_once("</code>")).expect("an edit").0)
}

/// Without a script: of every table of the demo some rows, every column, made in the book by the command's own reading of the words.
#[test]
fn the_cell_that_was_chosen_and_no_other() {
    let path = of_project("data/alder-fen");
    let (book, server) = (book::open(&path).expect("a book"), Server::of(&path, &[]));
    let mut tried = 0;
    for spec in Table::all() {
        let Some(table) = book.table(spec.table) else { continue };
        let step = (table.rows.len() / 3).max(1);
        for row in table.rows.iter().step_by(step) {
            let row = format!("/cell?table={}&row={}", spec.name, row.number());
            for (number, column) in spec.columns().enumerate() {
                let value = ["other, as=so", "2027-09-20 05:00", "", "36\""][number % 4];
                let page = server.page(&format!("{row}&column={}&value={}", coded(column), coded(value))).body;
                let edit = added(&page);
                let edits = trial::from_file(&edit).unwrap_or_else(|why| panic!("{edit}: {why}"));
                let (_, changed) = trial::apply(&book, &edits).unwrap_or_else(|why| panic!("{edit}: {why}"));
                assert_eq!(changed.len(), 1, "{edit}");
                let place = format!("&row={}", changed[0].place.row);
                assert!(row.ends_with(&place) && changed[0].place.table == spec.name, "{edit}: {changed:?}");
                assert_eq!(changed[0].new.as_deref(), Some(value), "{edit}");
                // A column that the file lacks comes behind its others, by its own name.
                let at = table.shape.columns[number].as_ref().map_or(column, |(_, heading)| heading);
                assert_eq!(&*changed[0].place.column, at, "{edit}");
                tried += 1;
            }
            let page = server.page(&format!("{row}&drop=1")).body;
            let edits = trial::from_file(&added(&page)).expect("an edit");
            let (_, changed) = trial::apply(&book, &edits).expect("a row is left out");
            assert_eq!(changed.len(), 1);
            assert!(
                row.ends_with(&format!("&row={}", changed[0].place.row)) && changed[0].new.is_none(),
                "{changed:?}"
            );
        }
    }
    assert!(tried > 300, "{tried}");
}

/// A row that is added has what was typed in its columns, and nothing else.
#[test]
fn a_new_row_has_what_was_typed() {
    let path = of_project("data/alder-fen");
    let (book, server) = (book::open(&path).expect("a book"), Server::of(&path, &[]));
    for spec in Table::all().filter(|spec| book.table(spec.table).is_some()) {
        let form = server.page(&format!("/cell?table={}&new=1", spec.name)).body;
        assert_eq!(form.matches("name=\"cell\"").count(), spec.columns().count(), "{}", spec.name);
        let values = ["one, as=so", "", "36\"", "2027-09-18"];
        let cells: String = (0..spec.columns().count()).map(|at| format!("&cell={}", coded(values[at % 4]))).collect();
        let edit = added(&server.page(&format!("/cell?table={}&new=1{cells}", spec.name)).body);
        let edits = trial::from_file(&edit).unwrap_or_else(|why| panic!("{edit}: {why}"));
        let (changed_book, changed) = trial::apply(&book, &edits).unwrap_or_else(|why| panic!("{edit}: {why}"));
        assert!(changed.len() == 1 && changed[0].old.is_none(), "{edit}: {changed:?}");
        let table = changed_book.table(spec.table).expect("the table");
        let row = table.rows.numbered(changed[0].place.row).expect("the row");
        for (at, column) in spec.columns().enumerate() {
            assert_eq!(table.cell(row, at), values[at % 4], "{edit}: {column}");
        }
        assert_eq!(table.rows.len(), book.table(spec.table).expect("the table").rows.len() + 1);
    }
    // A Saturday's shift, as somebody would type it, does what the command does.
    let shift = "/cell?table=Calendar&new=1&cell=MAIN&cell=2027-09-18&cell=06%3A00&cell=14%3A00&cell=";
    assert_eq!(added(&server.page(shift).body), "add Calendar calendar=MAIN, day=2027-09-18, start=06:00, end=14:00");
}

/// Rows are found by words, few at a time; what is behind an edit of the same trial is chosen with that edit made.
#[test]
fn rows_are_found_by_words() {
    let server = Server::of(&of_project("data/alder-fen"), &[]);
    let all = server.page("/cell?table=Sequence");
    assert_eq!(all.table("Rows of Sequence").len(), 20);
    assert!(all.of("Rows of Sequence").expect("how many") > 200, "{}", all.text());
    let found = server.page("/cell?table=Sequence&words=af3446").table("Rows of Sequence");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0][1], "AF3446");
    let row = &found[0][0];
    let held = coded("Sequence AF3446 hold=tried");
    let cells = |address: &str| server.page(address).table("Its cells");
    let hold = |cells: &[Vec<String>]| cells.iter().find(|cells| cells[0] == "hold").expect("the column")[1].clone();
    assert_eq!(hold(&cells(&format!("/cell?table=Sequence&row={row}"))), "");
    assert_eq!(hold(&cells(&format!("/cell?table=Sequence&row={row}&into=0&edits={held}"))), "tried");
    assert_eq!(hold(&cells(&format!("/cell?table=Sequence&row={row}&into=1&edits={held}"))), "");
    let page = server.page(&format!("/cell?table=Sequence&row={row}&column=gap&value=1&into=0&edits={held}"));
    let first = page.body.split_once("<textarea id=\"edits0\"").and_then(|(_, rest)| rest.split_once("</textarea>"));
    let first = first.and_then(|(first, _)| first.split_once('>')).expect("a box").1;
    assert_eq!(first.trim(), "Sequence AF3446 hold=tried\nSequence AF3446 gap=1");
    // What is not there, or can't be said, is told.
    for (address, words) in [
        ("/cell?table=Sequenze", "Did you mean Sequence?"),
        ("/cell?table=Sequence&row=99999", "no row of Sequence"),
        ("/cell?table=Sequence&row=2&column=gapp", "Did you mean gap?"),
        ("/cell?into=9", "no trial"),
    ] {
        let page = server.get(address);
        assert!(page.status == 404 && page.text().contains(words), "{address}: {}", page.text());
    }
    let said = server.page(&format!("/cell?table=Sequence&row={row}&column=hold&value={}", coded("a\nb"))).text();
    assert!(said.contains("There are no words for this"), "{said}");
    let wrong = server.page("/cell?table=Sequence&edits=Sequence+nobody+gap%3D1").text();
    assert!(wrong.contains("can't be tried") && wrong.contains("nobody"), "{wrong}");
}

/// In a browser: two cells and a row that is left out, for one trial; the page says what the command says, and nothing is written.
#[test]
fn a_trial_by_hand_and_by_the_command() {
    let Some(browser) = Browser::open() else { return };
    let folder = copy("data/alder-fen");
    let server = Server::of(folder.path(), &[]);
    let before: Vec<Vec<u8>> =
        ["Receipts.csv", "Stock.csv"].map(|file| std::fs::read(folder.path().join(file)).expect("a file")).into();
    browser.go(&format!("http://{}/try", server.host()));
    let heading = |words: &str| browser.until(words, |browser| browser.text("h1").starts_with(words));
    let to_row = |table: &str, words: &str| {
        browser.click("button[name=into][value='0']");
        heading("Choose a cell");
        browser.click(&format!(".found a[href*='table={table}']"));
        heading(&format!("Choose a row of {table}"));
        browser.types("#row-words", &format!("{words}\u{E007}"));
        browser.until("found", |browser| browser.address().contains("words="));
        browser.click("main table.list tbody a");
        heading(&format!("{table} "));
    };
    for (table, words, column, value) in
        [("Receipts", "52265 RAC-01", "due", "2027-09-14 05:00"), ("Stock", "F14-01", "qty", "0")]
    {
        to_row(table, words);
        browser.click(&format!("a[aria-label='another value for {column}']"));
        browser.until("a field", |browser| browser.text("label[for=value]").starts_with("Instead"));
        browser.script("document.getElementById('value').value = ''");
        browser.types("#value", value);
        browser.click("main form.choice button");
        heading("Try a change");
    }
    to_row("Receipts", "52103 F14-01");
    browser.click("a[href*='drop=1']");
    heading("Try a change");
    let edits = browser.script("return document.getElementById('edits0').value");
    let edits: Vec<&str> = edits.as_str().expect("edits").lines().collect();
    assert_eq!(edits.len(), 3, "{edits:?}");
    assert!(edits[0].starts_with("Receipts 52265 RAC-01") && edits[0].ends_with("due=2027-09-14 05:00"), "{edits:?}");
    assert!(edits[1].starts_with("Stock F14-01") && edits[1].ends_with("qty=0"), "{edits:?}");
    browser.click("button[name=token]");
    heading("What would be");
    assert!(!browser.address().contains("token"), "{}", browser.address());
    let page = browser.text("main");
    let notice = browser.script("return document.querySelector('main pre.answer').textContent");
    let notice = notice.as_str().expect("a notice");
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_lineward"));
    command.arg("try").arg(folder.path()).args(["--trials", "0", "--set", edits[0], "--set", edits[1]]);
    let output =
        command.args(["--drop", edits[2].strip_prefix("drop ").expect("a row left out")]).output().expect("it ends");
    let told = String::from_utf8(output.stdout).expect("text");
    assert!(told.contains(notice.trim()) && notice.trim().lines().count() > 5, "{notice}\n{told}");
    for begin in ["the line: ", "     was: ", "units: ", "  was: "] {
        let line = told.lines().find_map(|line| line.strip_prefix(begin)).unwrap_or_else(|| panic!("{begin}: {told}"));
        assert!(page.contains(line), "{begin}{line}: {page}");
    }
    let after: Vec<Vec<u8>> =
        ["Receipts.csv", "Stock.csv"].map(|file| std::fs::read(folder.path().join(file)).expect("a file")).into();
    assert_eq!(before, after);
}
