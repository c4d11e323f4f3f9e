//! What a plant prints for a day: how many pages, counted from the sheets' own page ends, heights and widths, so that no other
//! program is needed; and what stands on walks and labels, read off their cells and compared with the plan's pulls. Catches a
//! sheet that grows, a page that nobody needs, a piece that two pickers fetch or none, and a picker who walks back.

use super::support::Sheets;
use lineward::base::Moment;
use lineward::plan::{Plan, Request, plan};
use lineward::report::sheet::{Look, Paper, Sheet, Show};
use lineward::report::table::Value;
use lineward::{check, report};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// What is between the margins of a landscape A4 page, 297 by 210 mm with 0.4 inch at the sides and 0.6 above and below, in points.
const WIDE: f64 = 297.0 / 25.4 * 72.0 - 2.0 * 0.4 * 72.0;
const HIGH: f64 = 210.0 / 25.4 * 72.0 - 2.0 * 0.6 * 72.0;

/// How wide a sheet is in points. A digit of the font, ten points high, is 0.556 of that wide (the published metrics of Helvetica, which
/// Arial shares); a column has five seventh of one beside its own.
fn width(sheet: &Sheet<'_>) -> f64 {
    let digits: f64 = sheet.widths.iter().map(|width| f64::from(*width) + 5.0 / 7.0).sum();
    digits * 5.56
}

/// How full each page of a sheet is, of 1.
fn fills(sheet: &Sheet<'_>) -> Vec<f64> {
    let scale = match sheet.paper {
        Paper::OnePage => return vec![1.0],
        Paper::Scale(percent) => {
            let scale = f64::from(percent) / 100.0;
            assert!(
                width(sheet) * scale <= WIDE,
                "'{}' has a second page across: {}",
                sheet.name,
                width(sheet) * scale
            );
            scale
        }
        Paper::FitWidth => (WIDE / width(sheet)).min(1.0),
    };
    for cell in sheet.rows.iter().flat_map(|row| &row.cells).filter(|cell| !cell.ruled && cell.show == Show::Text) {
        let room: f64 = sheet.widths.iter().skip(usize::from(cell.column)).map(|width| f64::from(*width)).sum();
        let text = text(&cell.value);
        let wide = digits(&text, cell.look != Look::Plain) * f64::from(cell.look.points()) / 10.0;
        assert!(wide <= room + 0.7, "'{}': '{text}' leaves the page: {wide} of {room}", sheet.name);
    }
    let room = HIGH / scale;
    let height = |row: u32| f64::from(sheet.rows[row as usize].height.unwrap_or(15));
    let repeated: f64 = sheet.repeat.map_or(0.0, |(from, to)| (from..=to).map(height).sum());
    let (mut pages, mut used) = (Vec::new(), 0.0);
    for row in 0..sheet.rows.len() as u32 {
        if row > 0 && (sheet.breaks.contains(&row) || used + height(row) > room) {
            pages.push(used / room);
            used = repeated;
        }
        used += height(row);
    }
    pages.push(used / room);
    pages
}

/// How many pages of paper a sheet is.
fn pages(sheet: &Sheet<'_>) -> usize {
    fills(sheet).len()
}

fn demo() -> Sheets {
    Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"))
}

/// Shows a book's plan.
fn with_plan(sheets: &Sheets, look: impl FnOnce(&Plan<'_>)) {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}");
    let (plan, findings) = plan(&plant, &Request::default());
    look(&plan.unwrap_or_else(|| panic!("{findings:?}")));
}

fn pull_list<'p>(plan: &'p Plan<'p>) -> Vec<Sheet<'p>> {
    let [workbook, ..] = report::workbooks(plan);
    workbook.sheets
}

/// The pages of what is printed, by the first word of the sheet's name, and of all of it.
fn printed(plan: &Plan<'_>) -> (BTreeMap<String, usize>, usize) {
    let mut by_name = BTreeMap::new();
    for sheet in pull_list(plan).iter().filter(|sheet| !sheet.for_the_screen) {
        let word = sheet.name.split(' ').next().expect("a word").to_owned();
        *by_name.entry(word).or_default() += pages(sheet);
    }
    let all = by_name.values().sum();
    (by_name, all)
}

/// The demo's day is 180 pages at most, walks 110 and labels 42 of them, and its first sheet is one.
#[test]
fn a_day_of_the_demo_is_few_pages() {
    with_plan(&demo(), |plan| {
        let (of, all) = printed(plan);
        assert!(all <= 180 && of["walks"] <= 110 && of["labels"] <= 42 && of["front"] == 1, "{all}: {of:?}");
        // Nothing is few because it is missing: 8,808 pulls leave on the day, of which a column of a page has 36 at most.
        assert!(of["walks"] >= 8_808 / 2 / 72, "{of:?}");
    });
}

/// No page has three lines: but the last of a sheet each has a fifth of what it can hold.
#[test]
fn pages_of_the_demo_are_filled() {
    with_plan(&demo(), |plan| {
        for sheet in pull_list(plan).iter().filter(|sheet| !sheet.for_the_screen) {
            let fills = fills(sheet);
            let (_, but_the_last) = fills.split_last().expect("a page");
            assert!(but_the_last.iter().all(|fill| *fill >= 0.2), "'{}': {fills:?}", sheet.name);
        }
    });
}

/// With nothing in the stores and nothing to come the same day prints no more.
#[test]
fn a_day_without_stock_is_no_more_pages() {
    let mut sheets = demo();
    sheets.0.remove("Stock");
    sheets.0.remove("Receipts");
    with_plan(&sheets, |plan| {
        let (of, all) = printed(plan);
        assert!(all <= 180 && of["front"] == 1, "{all}: {of:?}");
    });
}

/// The demo's line moves 460 minutes a day and every 30; at 7.6 minutes it is 60 units a day, four times as many. Walks have longer
/// lines then, not four times as many; labels are one for each kit.
#[test]
fn a_day_of_60_units_is_as_many_pages_a_unit_or_fewer() {
    let mut sheets = demo();
    sheets.set("Takt", "line,from,minutes\nL1,2027-08-30,7.6");
    with_plan(&sheets, |plan| {
        let (of, all) = printed(plan);
        assert!(all <= 180 * 4 && of["labels"] <= 42 * 4 && of["front"] == 1, "{all}: {of:?}");
    });
}

fn text(value: &Value<'_>) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        Value::Whole(number) => number.to_string(),
        _ => String::new(),
    }
}

/// A line of a walk by its headings.
type Line = BTreeMap<&'static str, String>;

/// A walk as it stands on paper.
#[derive(Default)]
struct Walk {
    title: String,
    /// The kits on the cart, `station unit`, by their places.
    cart: BTreeMap<String, String>,
    stops: Vec<Line>,
    waits: Vec<Line>,
}

const COLUMNS: [&str; 7] = ["stop", "took", "location", "take", "part", "for", "mind"];

/// The walks of a sheet, page by page down the left column and then down the right one.
fn walks(sheet: &Sheet<'_>) -> Vec<Walk> {
    let mut walks: Vec<Walk> = Vec::new();
    let (mut left, mut right) = (Vec::new(), Vec::new());
    let flush = |walk: Option<&mut Walk>, left: &mut Vec<Line>, right: &mut Vec<Line>| {
        let Some(walk) = walk else { return };
        for line in left.drain(..).chain(right.drain(..)) {
            // A stop for one kit names it beside its place.
            if let [place, station, unit] = *line["for"].split(' ').collect::<Vec<_>>().as_slice() {
                let kit = format!("{station} {unit}");
                let known = walk.cart.entry(place.to_owned()).or_insert_with(|| kit.clone());
                assert_eq!(*known, kit, "{line:?}");
            }
            if line["stop"].is_empty() { walk.waits.push(line) } else { walk.stops.push(line) }
        }
    };
    let (mut listed, mut slip) = (false, false);
    for row in &sheet.rows {
        let texts: BTreeMap<u16, String> = row.cells.iter().map(|cell| (cell.column, text(&cell.value))).collect();
        let first = texts.get(&0).map(String::as_str).unwrap_or_default();
        if let Some((title, _)) = first.split_once(": ").filter(|(title, _)| title.contains(", walk ")) {
            flush(walks.last_mut(), &mut left, &mut right);
            if walks.last().is_none_or(|walk| walk.title != title) {
                walks.push(Walk { title: title.to_owned(), ..Walk::default() });
            }
            (listed, slip) = (false, false);
        } else if first == "stop" {
            listed = true;
        } else if first.starts_with("What was not there") {
            slip = true;
        } else if let Some(walk) = walks.last_mut().filter(|_| !listed && !slip) {
            // The stops are not listed yet: what the head says, and the places of the cart.
            let placed = texts
                .values()
                .filter_map(|text| text.split_once(' '))
                .filter(|(place, _)| place.parse::<u32>().is_ok());
            walk.cart.extend(
                placed.filter(|(_, kit)| !kit.contains(", ")).map(|(place, kit)| (place.to_owned(), kit.to_owned())),
            );
        } else if !slip {
            for (from, lines) in [(0, &mut left), (8, &mut right)] {
                if row.cells.iter().any(|cell| cell.column == from) {
                    let cell = |at: u16| texts.get(&(from + at)).cloned().unwrap_or_default();
                    lines.push((0..).zip(COLUMNS).map(|(at, name)| (name, cell(at))).collect());
                }
            }
        }
    }
    flush(walks.last_mut(), &mut left, &mut right);
    walks
}

/// Which kit, `station unit`, gets how much of what a line of a walk names; of bulk the station.
fn goes_to(walk: &Walk, line: &Line) -> Vec<(String, f64)> {
    let number = |text: &str| text.parse::<f64>().unwrap_or_else(|_| panic!("a number in {line:?}"));
    let all = number(line["take"].split(' ').next().expect("a number"));
    let kit = |place: &str| walk.cart.get(place).unwrap_or_else(|| panic!("place {place} of {line:?}")).clone();
    let told = |text: &str| -> Vec<(String, f64)> {
        if let Some((each, places)) = text.split_once(" each to ") {
            return places.split(", ").map(|place| (kit(place), number(each))).collect();
        }
        if text.contains(" to ") {
            let pieces = text.split(", ").map(|piece| piece.split_once(" to ").expect("a number and a place"));
            return pieces.map(|(qty, place)| (kit(place), number(qty))).collect();
        }
        match *text.split(' ').collect::<Vec<_>>().as_slice() {
            [place, station, unit] => {
                assert_eq!(kit(place), format!("{station} {unit}"), "{line:?}");
                vec![(kit(place), all)]
            }
            // What is not there is on no cart; a pack goes to a station.
            [station, unit] if line["stop"].is_empty() => vec![(format!("{station} {unit}"), all)],
            [station, qty] => vec![(station.to_owned(), number(qty))],
            [station] => vec![(station.to_owned(), all)],
            _ => panic!("{line:?}"),
        }
    };
    line["for"].split("; ").flat_map(told).collect()
}

/// What is told on walks: for each run, part and kit (or station) how much, on how many walks, and on which.
type OnWalks = BTreeMap<(String, String, String), (f64, BTreeSet<String>)>;

fn on_walks(sheets: &[Sheet<'_>]) -> OnWalks {
    let mut all = OnWalks::new();
    for sheet in sheets {
        let Some(run) = sheet.name.strip_prefix("walks ") else { continue };
        for walk in walks(sheet) {
            for line in walk.stops.iter().chain(&walk.waits) {
                for (kit, qty) in goes_to(&walk, line) {
                    let entry = all.entry((run.to_owned(), line["part"].clone(), kit)).or_default();
                    entry.0 += qty;
                    entry.1.insert(walk.title.clone());
                }
            }
        }
    }
    all
}

/// Each pull of the day stands on one walk with all of it, and no walk has anything else.
fn every_pull_is_on_one_walk(plan: &Plan<'_>, sheets: &[Sheet<'_>]) {
    let mut told = on_walks(sheets);
    let until =
        plan.pulls.iter().filter(|pull| pull.run.leaves < plan.plant.as_of || pull.run.leaves.date() == plan.day);
    for pull in until {
        let overdue = pull.run.leaves < plan.plant.as_of;
        let run = if overdue { "overdue".to_owned() } else { pull.run.leaves.clock().replace(':', ".") };
        let to = &plan.plant.dest(pull.to).code;
        let kit = match pull.owner {
            Some(owner) => format!("{to} {}", plan.pace.owners[owner.at()].code),
            None => to.clone(),
        };
        let key = (run, plan.plant.part(pull.part).code.clone(), kit);
        let (qty, walks) = told.remove(&key).unwrap_or_else(|| panic!("{key:?} is on no walk"));
        let asked: f64 = pull.qty.to_string().parse().expect("a number");
        assert!((qty - asked).abs() < 1e-6, "{key:?}: {qty} on walks, {asked} to pull");
        assert_eq!(walks.len(), 1, "{key:?} is on {walks:?}");
    }
    assert!(told.is_empty(), "{:?}", told.iter().take(9).collect::<Vec<_>>());
}

/// A location as a person reads it: numbers as numbers, letters without case.
fn as_read(place: &str) -> Vec<Result<u64, String>> {
    let lower = place.to_lowercase();
    let mut parts = Vec::new();
    let mut rest = lower.as_str();
    while let Some(first) = rest.chars().next() {
        let digits = first.is_ascii_digit();
        let end = rest.find(|c: char| c.is_ascii_digit() != digits).unwrap_or(rest.len());
        let (part, more) = rest.split_at(end);
        parts.push(if digits { Ok(part.parse().expect("a number")) } else { Err(part.to_owned()) });
        rest = more;
    }
    parts
}

/// Stops are numbered from 1 and never go back, and a location without one comes first.
fn no_walk_goes_back(sheets: &[Sheet<'_>]) {
    let mut seen = 0;
    for sheet in sheets.iter().filter(|sheet| sheet.name.starts_with("walks ")) {
        for walk in walks(sheet) {
            for (stop, number) in walk.stops.iter().zip(1..) {
                assert_eq!(stop["stop"], number.to_string(), "{}", walk.title);
            }
            let places: Vec<_> =
                walk.stops.iter().map(|stop| as_read(&stop["location"].replace("no location", ""))).collect();
            assert!(places.is_sorted(), "{}: {places:?}", walk.title);
            seen += places.len();
        }
    }
    assert!(seen > 0);
}

/// A label as it stands on paper: its lines, the first of them unit and station.
fn labels(sheet: &Sheet<'_>) -> Vec<Vec<String>> {
    let mut labels = Vec::new();
    for rows in sheet.rows.chunks(7) {
        for from in [0, 3, 6, 9] {
            let at = |row: usize, column: u16| {
                rows[row].cells.iter().find(|cell| cell.column == column).map(|cell| text(&cell.value))
            };
            let Some(unit) = at(0, from) else { continue };
            let mut lines = vec![unit, at(0, from + 1).expect("a station")];
            lines.extend((1..6).filter_map(|row| at(row, from)));
            labels.push(lines);
        }
    }
    labels
}

/// Each kit of which a walk brings something has a label for that walk, which says the how manieth of how many it is and what it
/// brings; no other label stands there but those of kits of which nothing is there.
fn every_kit_has_a_label_for_each_walk(plan: &Plan<'_>, sheets: &[Sheet<'_>]) {
    let mut seen = 0;
    for of_run in sheets.iter().filter(|sheet| sheet.name.starts_with("labels ")) {
        let run = of_run.name.strip_prefix("labels ").expect("a run");
        let walked = sheets.iter().find(|sheet| sheet.name == format!("walks {run}")).expect("its walks");
        // Of each walk and kit its lines.
        let mut brought: BTreeMap<(String, String), BTreeSet<String>> = BTreeMap::new();
        let mut carts: BTreeMap<String, BTreeMap<String, String>> = BTreeMap::new();
        for walk in walks(walked) {
            let title = walk.title.split(" of ").next().expect("a number").to_owned();
            for stop in &walk.stops {
                for (kit, _) in goes_to(&walk, stop).into_iter().filter(|(kit, _)| kit.contains(' ')) {
                    brought.entry((title.clone(), kit)).or_default().insert(stop["part"].clone());
                }
            }
            carts.insert(title, walk.cart);
        }
        let of_kit = |kit: &str| brought.keys().filter(|(_, other)| other == kit).count();
        let mut printed: BTreeMap<String, usize> = BTreeMap::new();
        for label in labels(of_run).iter().filter(|label| !label[0].ends_with("no kits.")) {
            let [unit, station, walk, .., pieces, part, _] = label.as_slice() else { panic!("{label:?}") };
            let kit = format!("{station} {unit}");
            if part == "nothing of it is there" {
                assert_eq!(of_kit(&kit), 0, "{label:?}");
                continue;
            }
            let (title, place) = walk.split_once(", place ").expect("a walk and a place");
            let place = place.split(':').next().expect("a place");
            assert_eq!(carts[title].get(place), Some(&kit), "{label:?}");
            let lines = &brought[&(title.to_owned(), kit.clone())];
            let told: usize = pieces.split(' ').next().expect("a number").parse().expect("a number");
            assert_eq!(told, lines.len(), "{label:?}: {lines:?}");
            let number = printed.entry(kit.clone()).or_default();
            *number += 1;
            let expected = match of_kit(&kit) {
                1 => "the whole kit".to_owned(),
                parts => format!("part {number} of {parts}; "),
            };
            assert!(part.starts_with(&expected), "{label:?}: {expected}");
            seen += 1;
        }
        assert_eq!(printed.values().sum::<usize>(), brought.len(), "{run}");
    }
    assert!(seen > 0 || plan.pulls.is_empty());
}

#[test]
fn walks_and_labels_of_the_demo_agree_with_its_pulls() {
    with_plan(&demo(), |plan| {
        let sheets = pull_list(plan);
        every_pull_is_on_one_walk(plan, &sheets);
        no_walk_goes_back(&sheets);
        every_kit_has_a_label_for_each_walk(plan, &sheets);
    });
}

/// With 20 seconds a stop and 12 kits a cart: the first run of the demo is picked in 60 minutes, 180 stops; no walk has more kits or
/// stops, and all that holds of whole zones holds of carts.
#[test]
fn walks_are_cut_to_the_cart_and_the_picking_time() {
    let mut sheets = demo();
    sheets.add("Settings", "seconds a stop,20\nkits a cart,12");
    with_plan(&sheets, |plan| {
        let sheets = pull_list(plan);
        every_pull_is_on_one_walk(plan, &sheets);
        no_walk_goes_back(&sheets);
        every_kit_has_a_label_for_each_walk(plan, &sheets);
        let first = sheets.iter().find(|sheet| sheet.name == "walks 05.30").expect("the first run");
        let walks = walks(first);
        assert!(walks.iter().all(|walk| walk.stops.len() <= 180));
        let kits = |walk: &Walk| {
            let all = walk.stops.iter().flat_map(|stop| goes_to(walk, stop)).map(|(kit, _)| kit);
            all.filter(|kit| kit.contains(' ')).collect::<BTreeSet<_>>().len()
        };
        assert_eq!(walks.iter().map(kits).max(), Some(12));
    });
}

/// The width of a text in digits, by the published metrics of Helvetica (of bold letters where they stand out).
fn digits(text: &str, bold: bool) -> f64 {
    let width = |letter: char| match letter {
        'i' | 'j' | 'l' => 0.222,
        ' ' | '.' | ',' | ':' | ';' | '/' | 'f' | 't' | 'I' | '[' | ']' => 0.278,
        'r' | '-' | '(' | ')' => 0.333,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 0.5,
        'F' | 'T' | 'Z' => 0.611,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 0.667,
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' | 'w' => 0.722,
        'G' | 'O' | 'Q' => 0.778,
        'm' | 'M' => 0.833,
        'W' => 0.944,
        _ => 0.556,
    };
    let all: f64 = text.chars().map(width).sum();
    all * if bold { 1.06 } else { 1.0 } / 0.556
}

/// A station, a part, an order, a supplier and units with long codes: on one line no code is longer than its cell; all others wrap.
#[test]
fn long_codes_do_not_run_into_their_neighbours() {
    let mut sheets = Sheets::plant(&["INNER-TRIM-STATION-07", "FINISH"]);
    sheets.set("Parts", "part,uom,description,location\nPANEL-WITH-A-VERY-LONG-CODE-0001,ea,Panel,RACK-NUMBER-0012-04\nROOF,ea,Roof,R-1");
    sheets.set(
        "Bills",
        "parent,part,qty,station\nTEAL,PANEL-WITH-A-VERY-LONG-CODE-0001,2,INNER-TRIM-STATION-07\nTEAL,ROOF,1,FINISH",
    );
    sheets.set("Stock", "part,qty,location\nPANEL-WITH-A-VERY-LONG-CODE-0001,3,RACK-NUMBER-0012-04\nROOF,1,R-1");
    sheets.set(
        "Receipts",
        "purchase order,part,qty,due,supplier\nPO-2027-000000123-A,ROOF,9,2027-09-13 09:30,A Supplier Of Large Panels",
    );
    for unit in 1..5 {
        sheets.add("Sequence", &format!("L1,{unit},ORDER-2027-0000{unit}-SPECIAL,TEAL"));
    }
    sheets.add("Settings", "kit cards,all");
    with_plan(&sheets, |plan| {
        let mut seen = 0;
        for sheet in pull_list(plan).iter().filter(|sheet| !sheet.for_the_screen) {
            for cell in
                sheet.rows.iter().flat_map(|row| &row.cells).filter(|cell| cell.ruled && cell.show != Show::Wrapped)
            {
                let Value::Text(text) = &cell.value else { continue };
                let columns = sheet.widths.iter().skip(usize::from(cell.column)).take(usize::from(cell.span));
                let room: f64 = columns.map(|width| f64::from(*width)).sum();
                let wide = digits(text, cell.look != Look::Plain) * f64::from(cell.look.points()) / 10.0;
                assert!(wide <= room + 0.7, "'{}': '{text}' is {wide:.1} wide, its cell {room}", sheet.name);
                seen += 1;
            }
        }
        assert!(seen > 20);
    });
}
