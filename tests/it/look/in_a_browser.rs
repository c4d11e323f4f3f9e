//! The pages in a real browser: the slider, search, lists, a trial, a book that is spoiled and mended, markup, two browsers at once.

use super::browser::Browser;
use super::client::Server;
use super::{copy, of_project};

#[test]
fn what_a_person_does() {
    let Some(browser) = Browser::open() else { return };
    let folder = copy("data/alder-fen");
    let server = Server::of(folder.path(), &[]);
    let at = |path: &str| format!("http://{}{path}", server.host());
    browser.go(&at("/"));
    assert!(browser.title().contains("Alder Fen"), "{}", browser.title());
    let wide = "return document.documentElement.scrollWidth <= innerWidth";
    assert_eq!(browser.script(wide), true, "the line fits 1,280 points");
    // The slider, by its keys: one takt later, without another page being opened.
    browser.script("globalThis.stayed = true");
    let before = browser.text(".places");
    browser.types("#move", "\u{E014}");
    browser.until("a takt later", |browser| {
        browser.text(".places") != before && browser.text("label[for=move]").contains("after move 1 ")
    });
    assert_eq!(browser.script("return globalThis.stayed === true"), true);
    assert!(browser.address().contains("move=1"), "{}", browser.address());
    let server_says = server.page(&browser.address()[at("").len()..]).text();
    let first = browser.text(".places li:first-child .unit a");
    assert!(!first.is_empty() && server_says.contains(&first));
    // Search while typing, and on to a unit.
    browser.types("#words", "AF3446");
    browser.until("found", |browser| browser.text("h1").contains("AF3446"));
    browser.click(".found a");
    browser.until("the unit", |browser| browser.text("h1").starts_with("Unit AF3446"));
    assert!(browser.text("main").contains("CTP-18-MO-01"));
    browser.click("table a[href^='/why']");
    browser.until("why", |browser| browser.text("h1").starts_with("Why AF3446 needs"));
    // A list is sorted and searched.
    browser.go(&at("/part?part=RAC-01"));
    let cells = "return [...document.querySelectorAll('main table.list')].at(1).tBodies[0].rows.length > 10";
    assert_eq!(browser.script(cells), true);
    let sorted = "const table = [...document.querySelectorAll('main table.list')].at(1); table.tHead.rows[0].cells[0].firstChild.click(); \
                  const units = [...table.tBodies[0].rows].map((row) => row.cells[0].textContent); \
                  return units.every((unit, i) => i === 0 || units[i - 1].localeCompare(unit, undefined, { numeric: true }) <= 0) && table.tHead.rows[0].cells[0].ariaSort === 'ascending'";
    assert_eq!(browser.script(sorted), true);
    let searched = "const fields = document.querySelectorAll('main input[type=search]'); const field = [...fields].at(-1); \
                    field.value = 'no such line'; field.dispatchEvent(new Event('input')); \
                    return [...field.nextElementSibling.querySelectorAll('tbody tr')].every((row) => row.hidden)";
    assert_eq!(browser.script(searched), true);
    // A trial.
    browser.go(&at("/try"));
    browser.types("#edits0", "Receipts all 52265 RAC-01 due=2027-09-14 05:00");
    browser.click("button[name=token]");
    browser.until("what would be", |browser| browser.text("h1") == "What would be");
    assert!(browser.text("main").contains("Tried, not the plan"));
    let rows = browser.script("return [...document.querySelectorAll('main table tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent))");
    let lost = rows.as_array().and_then(|rows| {
        rows.iter().find(|row| row[0].as_str().is_some_and(|head| head.starts_with("units that stop")))
    });
    let lost = lost.expect("units that stop").clone();
    assert_ne!(lost[1], lost[2], "roof units that come sooner stop fewer: {lost}");
    // Nothing was refused by the pages' own policy, nor broke.
    assert_eq!(browser.script("return document.querySelectorAll('script').length"), 1);
}

#[test]
fn the_page_follows_without_being_asked() {
    let Some(browser) = Browser::open() else { return };
    let Some(other) = Browser::open() else { return };
    let folder = copy("tests/examples/buyer/book");
    let server = Server::of(folder.path(), &[]);
    browser.go(&format!("http://{}/", server.host()));
    other.go(&format!("http://localhost:{}/sheets", server.port));
    let file = folder.path().join("Parts.csv");
    let sound = std::fs::read_to_string(&file).expect("a file");
    std::fs::write(&file, sound.replacen("part,", "prat,", 1)).expect("it is spoiled");
    for browser in [&browser, &other] {
        browser.until("the banner", |browser| browser.text("#banner").contains("can't be planned as it is"));
    }
    assert!(!browser.text(".places").is_empty(), "the last good plan stays");
    std::fs::write(&file, &sound).expect("it is mended");
    for browser in [&browser, &other] {
        browser.until("no banner", |browser| browser.text("#banner").is_empty());
    }
}

#[test]
fn markup_stays_text_in_a_browser() {
    let Some(browser) = Browser::open() else { return };
    let server = Server::of(&of_project("tests/examples/buyer/book"), &[]);
    let evil =
        super::client::coded("<img src=x onerror='document.title=\"run\"'><script>document.title='run'</script>");
    browser.go(&format!("http://{}/find?words={evil}", server.host()));
    assert!(browser.text("h1").contains("<img src=x"));
    assert_ne!(browser.title(), "run");
    assert_eq!(browser.script("return document.querySelectorAll('main img, main script').length"), 0);
    // Another page, in the same browser, gets nothing: neither read nor sent.
    browser.go("data:text/html,<title>elsewhere</title>");
    let script = format!(
        "const done = arguments[arguments.length - 1]; return fetch('http://{}/state').then(() => 'read', () => 'refused')",
        server.host()
    );
    assert_eq!(browser.script(&script), "refused");
}
