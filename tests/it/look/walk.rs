//! Every link leads to a page that is there, and every page reads without a script: the links of the worked examples are followed to
//! the end, those of the demo for some hundred pages, each kind of page in its turn.

use super::client::{Answer, Server};
use super::of_project;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// The worked examples.
pub const EXAMPLES: [&str; 3] =
    ["tests/examples/planner/book", "tests/examples/shops/book", "tests/examples/buyer/book"];

/// So many pages of a kind are walked to: cells of the book are as many as the book has.
const MOST_OF_A_KIND: usize = 400;

/// What a walk has come by.
pub struct Walk {
    /// The addresses that were opened, by their path.
    pub opened: BTreeMap<String, Vec<String>>,
    /// How many links were seen and not followed.
    pub left: usize,
}

/// Follows links from the first page on, of each kind of page one in its turn, so many pages at most; each page that is opened is
/// looked at.
pub fn walk(server: &Server, most: usize, look: impl Fn(&str, &Answer)) -> Walk {
    server.until("/sheets", |page| !page.body.contains("data-again"));
    let kind = |address: &str| address.split('?').next().unwrap_or_default().to_owned();
    let mut seen = BTreeSet::from(["/".to_owned()]);
    let mut waiting = BTreeMap::from([("/".to_owned(), VecDeque::from(["/".to_owned()]))]);
    let mut walk = Walk { opened: BTreeMap::new(), left: 0 };
    for _ in 0..most {
        let opened = |kind: &String| walk.opened.get(kind).map_or(0, Vec::len);
        let next = waiting.iter().filter(|(kind, queue)| !queue.is_empty() && opened(kind) < MOST_OF_A_KIND);
        let Some(next) = next.map(|(kind, _)| kind).min_by_key(|kind| opened(kind)).cloned() else { break };
        let address = waiting.get_mut(&next).and_then(VecDeque::pop_front).expect("one that waits");
        let page = server.get(&address);
        assert_eq!(page.status, 200, "{address}: {}", page.text());
        if page.header("content-type").is_some_and(|kind| kind.starts_with("text/html")) {
            look(&address, &page);
            for link in page.links() {
                assert!(link.starts_with('/') && !link.starts_with("//"), "{address} leads elsewhere: {link}");
                if seen.insert(link.clone()) {
                    waiting.entry(kind(&link)).or_default().push_back(link);
                }
            }
        }
        walk.opened.entry(next).or_default().push(address);
    }
    walk.left = waiting.values().map(VecDeque::len).sum();
    walk
}

/// Nothing on a page needs a script: each form says where it goes and has a button, no link and no attribute runs something.
fn reads_without_a_script(address: &str, page: &Answer) {
    let body = &page.body;
    assert_eq!(body.matches("<script").count(), 1, "{address}: one script, in a file of its own");
    assert!(body.contains("<script src=\"/look.js\" defer></script>"), "{address}");
    for what in ["javascript:", " style=", " onclick=", " onload=", " oninput=", " onchange=", "href=\"#\"", "<style"] {
        assert!(!body.contains(what), "{address}: {what}");
    }
    for form in body.split("<form").skip(1) {
        let form = form.split_once("</form>").expect("it ends").0;
        assert!(
            form.contains(" action=\"/") && form.contains(" method=\"") && form.contains("<button"),
            "{address}: {form}"
        );
    }
    let (content, _) = body.split_once("<main").and_then(|(_, rest)| rest.split_once("</main>")).expect("content");
    assert!(super::client::text(content).len() > 20, "{address}: {content}");
}

#[test]
fn every_link_of_the_examples_leads_somewhere() {
    for book in EXAMPLES {
        let walk = walk(&Server::of(&of_project(book), &[]), 10_000, reads_without_a_script);
        let of = |kind: &str| walk.opened.get(kind).map_or(0, Vec::len);
        assert!(
            of("/unit") >= 3 && of("/part") >= 5 && of("/sheet") > 20 && of("/why") > 10,
            "{book}: {:?}",
            walk.opened
        );
        assert!(walk.left == 0 || walk.opened.values().any(|of| of.len() == MOST_OF_A_KIND), "{book}: {}", walk.left);
    }
}

#[test]
fn hundreds_of_links_of_the_demo_lead_somewhere() {
    let walk = walk(&Server::of(&of_project("data/alder-fen"), &[]), 600, reads_without_a_script);
    for kind in ["/", "/run", "/shop", "/unit", "/why", "/part", "/supplier", "/sheets", "/sheet", "/order", "/try"] {
        assert!(walk.opened.contains_key(kind), "no link leads to {kind}");
    }
    for kind in ["/run", "/unit", "/why", "/part", "/sheet"] {
        assert!(walk.opened[kind].len() > 40, "{kind}: {}", walk.opened[kind].len());
    }
}

/// A long sheet is shown in stretches that together are all of it.
#[test]
fn a_long_sheet_is_shown_to_its_end() {
    let server = Server::of(&of_project("data/alder-fen"), &[]);
    server.until("/sheets", |page| !page.body.contains("data-again"));
    let first = "/sheet?file=shortages.xlsx&sheet=balance%2C+all+parts";
    let page = server.page(first);
    let of = page.body.split_once("Rows 1 to 1500 of ").and_then(|(_, rest)| rest.split(' ').next()?.parse().ok());
    let of: usize = of.unwrap_or_else(|| panic!("a long sheet: {}", &page.text()[..400]));
    // The first cell of every row of its table, which names the part; headings come again in each stretch.
    let (mut address, mut rows, mut stretches) = (first.to_owned(), 0, 0);
    loop {
        let page = server.page(&address);
        let lines = page.body.split("<tbody>").skip(1).map(|body| body.split("</tbody>").next().unwrap_or_default());
        rows += lines.map(|lines| lines.matches("<tr>").count()).sum::<usize>();
        stretches += 1;
        assert_eq!(page.body.matches("<thead>").count(), 1, "{address}");
        let next = page.body.split("<a href=\"").find(|rest| rest.contains("\">the rows behind</a>"));
        let Some(next) = next.and_then(|rest| rest.split('"').next()) else { break };
        address = next.replace("&amp;", "&");
    }
    assert_eq!(stretches, of.div_ceil(1_500));
    // All rows but those above the table and its heading.
    assert!(rows > 1_500 && of - rows < 12, "{rows} of {of}");
}
