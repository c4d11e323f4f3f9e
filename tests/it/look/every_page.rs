//! Every view in a real browser, of the demo and of the worked examples, on a screen of 1,280 by 720 and on a tablet both ways: what
//! page.js there looks for, that nothing was refused nor broke, and what is printed.

use super::browser::Browser;
use super::client::Server;
use super::walk::{EXAMPLES, walk};
use super::{copy, of_project};
use serde_json::json;

/// Width and height in points: a screen, and a tablet both ways.
const SCREENS: [(u32, u32); 3] = [(1280, 720), (768, 1024), (1024, 768)];

const WRONG: &str = include_str!("page.js");

/// What is wrong with the page that is shown, on each screen.
fn look(browser: &Browser, what: &str) {
    look_on(browser, what, &SCREENS);
}

fn look_on(browser: &Browser, what: &str, screens: &[(u32, u32)]) {
    for (width, height) in screens.iter().copied() {
        browser.size(width, height);
        let wrong = browser.script(WRONG);
        assert_eq!(wrong, json!([]), "{what}, {width} by {height}");
    }
}

/// Looks at pages of a server; of those that are not there the browser may say so, and nothing else.
fn look_at(browser: &Browser, server: &Server, addresses: &[String]) {
    for address in addresses {
        browser.go(&format!("http://{}{address}", server.host()));
        // Sheets are many and alike: each on the narrowest.
        look_on(browser, address, if address.starts_with("/sheet?") { &SCREENS[1..2] } else { &SCREENS });
        let missing = server.get(address).status == 404;
        let complaints: Vec<String> = browser.complaints();
        let complaints: Vec<&String> =
            complaints.iter().filter(|told| !(missing && told.contains("status of 404"))).collect();
        assert!(complaints.is_empty(), "{address}: {complaints:?}");
    }
}

/// So many pages of each kind, every sheet, and pages that no link leads to.
fn pages(server: &Server, most: usize) -> Vec<String> {
    let walk = walk(server, most * 30, |_, _| {});
    let sheets = server.page("/sheets").links();
    let sheets = sheets.into_iter().filter(|link| link.starts_with("/sheet?"));
    let others = walk.opened.into_iter().filter(|(kind, _)| kind != "/sheet" && !kind.contains('.'));
    let others = others.flat_map(|(_, addresses)| addresses.into_iter().take(most));
    let found = [
        "/cell?table=Calendar&new=1",
        "/cell?table=Sequence&row=2&column=options",
        "/find",
        "/find?words=a",
        "/find?words=no-such-thing",
        "/book",
        "/nothing",
        "/unit?unit=nobody",
    ];
    others.chain(sheets).chain(found.map(str::to_owned)).collect()
}

#[test]
fn the_examples_read_well() {
    let Some(browser) = Browser::open() else { return };
    for book in EXAMPLES {
        let server = Server::of(&of_project(book), &[]);
        let pages = pages(&server, 3);
        assert!(pages.len() > 60, "{book}: {pages:?}");
        look_at(&browser, &server, &pages);
    }
}

#[test]
fn the_demo_reads_well() {
    let Some(browser) = Browser::open() else { return };
    let server = Server::of(&of_project("data/alder-fen"), &[]);
    let pages = pages(&server, 4);
    assert!(pages.len() > 120, "{pages:?}");
    look_at(&browser, &server, &pages);
    // An order put together, and what a trial says.
    browser.go(&format!("http://{}/order?floorplan=TEAL+18", server.host()));
    browser.click("form.order input[value=AWNE]");
    browser.click("form.order button");
    browser.until("what forbids it", |browser| browser.text("main").contains("What forbids it"));
    look(&browser, "an order");
    browser.go(&format!("http://{}/try", server.host()));
    browser.types("#edits0", "Receipts all 52265 RAC-01 due=2027-09-14 05:00");
    browser.types("#edits1", "Receipts nobody qty=1");
    browser.click("button[name=token]");
    browser.until("what would be", |browser| browser.text("h1") == "What would be");
    look(&browser, "a trial");
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// The page of a book that is wrong, and every page's banner.
#[test]
fn a_wrong_book_reads_well() {
    let Some(browser) = Browser::open() else { return };
    let folder = copy("tests/examples/buyer/book");
    let server = Server::of(folder.path(), &[]);
    let file = folder.path().join("Parts.csv");
    let sound = std::fs::read_to_string(&file).expect("a file");
    std::fs::write(&file, sound.replace("uom", "oum")).expect("it is spoiled");
    server.until("/", |page| page.body.contains("can't be planned as it is"));
    browser.go(&format!("http://{}/", server.host()));
    look(&browser, "the line of a book that is wrong");
    browser.click("#banner a");
    browser.until("what is wrong", |browser| browser.text("h1") == "What is wrong with the book");
    assert!(browser.text("main").contains("Parts.csv"), "{}", browser.text("main"));
    look(&browser, "what is wrong");
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// On paper stand the plant, the moment, the heading and whole tables, and nothing that can only be pressed.
#[test]
fn paper_has_no_buttons() {
    let Some(browser) = Browser::open() else { return };
    let server = Server::of(&of_project("tests/examples/buyer/book"), &[]);
    let unit = server.page("/").links().into_iter().find(|link| link.starts_with("/unit")).expect("a unit");
    for address in ["/".to_owned(), unit, "/part?part=WN-20".to_owned(), "/run".to_owned(), "/try".to_owned()] {
        browser.go(&format!("http://{}{address}", server.host()));
        let seen = |selector: &str| {
            let script = format!(
                "return [...document.querySelectorAll({selector:?})].filter((one) => one.checkVisibility()).length"
            );
            browser.script(&script).as_u64().unwrap_or_else(|| panic!("{address}: {selector}"))
        };
        let pressed = "button, input, select, textarea, form, nav, footer";
        assert!(seen(pressed) > 4, "{address}: on the screen");
        browser.medium("print");
        assert_eq!(seen(pressed), 0, "{address}");
        assert_eq!((seen("h1"), seen("header .plant")), (1, 1), "{address}");
        let cut = "return [...document.querySelectorAll('.scroll')].every((box) => getComputedStyle(box).overflowX === 'visible')";
        assert_eq!(browser.script(cut), true, "{address}");
        browser.medium("screen");
    }
}
