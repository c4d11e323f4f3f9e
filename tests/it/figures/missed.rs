//! The sheet of misses, filled in from the walks and read back: what is owed to whom, and by how much the book's counts are wrong.

use super::pull_list::by_name;
use super::takes::{self, Take, exact};
use super::walks::{OfRun, kit_of, walks};
use crate::oracle::numbers::{self, Millionths};
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, csv_rows, text};
use lineward::base::Moment;
use lineward::book::Rows;
use lineward::{check, owed, plan, trial};
use std::collections::BTreeMap;

/// A stop at which something is said not to have been there.
struct Miss {
    walk: usize,
    stop: usize,
    short: Millionths,
    /// What lies there now, if somebody counted.
    counted: Option<Millionths>,
    takes: Vec<Take>,
    /// What the bin should hold behind it, where no other walk goes to it.
    left: Option<Millionths>,
}

/// One stop of each walk of a run, each in its way: all of a stop short, a piece of it, none but a count.
fn misses(asked: &Asked<'_>, tab: &str) -> Option<Vec<Miss>> {
    let rows = takes::stop_rows(asked, &format!("stops {tab}"));
    let mut found = Vec::new();
    for (at, walk) in walks(asked, tab)?.into_iter().enumerate() {
        let stops: Vec<&Vec<Take>> = walk.takes.iter().collect();
        let Some(number) = stops.len().checked_sub(1).map(|last| at * 7 % (last + 1)) else { continue };
        let own = stops[number];
        let part = takes::part(asked, &own[0].part);
        let whole: Millionths = own.iter().map(|take| take.qty).sum();
        let step = 10_i128.pow(6 - part.decimals.min(6));
        if whole % step != 0 {
            continue;
        }
        let (short, counted) = match at % 3 {
            0 => (whole, None),
            1 => (step, Some(0)),
            _ => (0, Some(step)),
        };
        let row = rows.iter().find(|row| row["part"] == own[0].part && row["location"] == own[0].place)?;
        let left = (exact(&row["take"]) == whole).then(|| exact(&row["left"]));
        found.push(Miss { walk: at + 1, stop: number + 1, short, counted, takes: own.clone(), left });
    }
    Some(found)
}

/// What is owed for a miss: the last to need it go short, each no more than it takes.
fn owed_for(asked: &Asked<'_>, run: &OfRun<'_>, miss: &Miss) -> Vec<[String; 6]> {
    let need = |take: &Take| run.pulls[&kit_of(take)][0]["need"].to_owned();
    let mut takes: Vec<&Take> = miss.takes.iter().collect();
    // Of those who need it at one moment the last on the line, then by station.
    takes.sort_by_key(|take| {
        let rank = take.unit.as_ref().map(|unit| asked.tables.rank(unit));
        std::cmp::Reverse((need(take), rank, key(&take.to)))
    });
    let (mut short, mut rows) = (miss.short, Vec::new());
    for take in takes {
        let qty = short.min(take.qty);
        short -= qty;
        if qty > 0 {
            let uom = takes::part(asked, &take.part).uom.clone();
            let unit = take.unit.clone().unwrap_or_default();
            rows.push([take.part.clone(), numbers::print(qty), uom, take.to.clone(), need(take), unit]);
        }
    }
    rows
}

/// What the book has of a part at a place, on hold left aside.
fn lies(asked: &Asked<'_>, rows: &[Row], part: &str, place: &str) -> Millionths {
    let known = takes::part(asked, part);
    let here = |row: &&Row| {
        let get = |column: &str| row.get(column).unwrap_or("").trim().to_owned();
        let free = ["", "no", "n", "false", "0", "-"].contains(&&*get("hold").to_lowercase());
        let at = match (&*get("location"), &*get("station")) {
            ("", "") => known.location.clone(),
            ("", station) => format!("at {}", asked.tables.plant.place_code(&key(station))),
            (location, _) => location.to_owned(),
        };
        let at = if at.is_empty() { "not known".to_owned() } else { at };
        let in_stores = !get("unit").is_empty() || get("station").is_empty();
        // What is reserved for a unit that is not in the sequence counts for nothing.
        let listed = |unit: &str| asked.tables.plant.orders.iter().any(|order| key(&order.code) == key(unit));
        let in_stores = in_stores && (get("unit").is_empty() || listed(&get("unit")));
        key(&row["part"]) == key(part) && free && in_stores && key(&at) == key(place)
    };
    // Entered in another unit of measure it is as the second reading has it.
    let plain = |row: &&Row| ["", &*known.uom].contains(&&*row.get("uom").unwrap_or("").trim().to_lowercase());
    let own: Vec<&Row> = rows.iter().filter(here).collect();
    if !own.iter().all(plain) {
        return -1;
    }
    own.iter().map(|row| exact(row["qty"].trim()).max(0)).sum()
}

/// The sheet as it is written, with the misses below its headings, is read by the program: owed is what the walks say, and with the counts made in
/// the book the bin holds so much less.
pub fn read_back(asked: &Asked<'_>, sheet: &str) -> usize {
    let mut rows = Rows::default();
    let mut heading = 0;
    for (number, row) in (1..).zip(&asked.sheet(sheet).rows) {
        let mut cells: BTreeMap<u16, String> = row.cells.iter().map(|cell| (cell.column, text(&cell.value))).collect();
        let last = cells.keys().last().copied().unwrap_or(0);
        let told: Vec<String> = (0..=last).map(|column| cells.remove(&column).unwrap_or_default()).collect();
        rows.push(number, told.iter().map(String::as_str));
        heading = number;
        if told.first().is_some_and(|first| first == "run") {
            break;
        }
    }
    let tabs =
        asked.sheets.iter().filter_map(|sheet| sheet.name.strip_prefix("stops ")).filter(|tab| *tab != "overdue");
    let by_name = by_name(asked);
    let (mut expected, mut counts) = (Vec::new(), BTreeMap::new());
    for tab in tabs {
        let (Some(misses), Some(all)) = (misses(asked, tab), takes::takes(asked, tab)) else { return 0 };
        let run = OfRun::of(by_name.get(&takes::run_of(tab)).map_or(&[][..], Vec::as_slice), &all);
        for miss in &misses {
            heading += 1;
            let (short, counted) = (numbers::print(miss.short), miss.counted.map_or(String::new(), numbers::print));
            let cells =
                [tab.replace('.', ":"), miss.walk.to_string(), miss.stop.to_string(), short, counted, "Bo".to_owned()];
            rows.push(heading, cells.iter().map(String::as_str));
            expected.extend(owed_for(asked, &run, miss));
            let bin = (key(&miss.takes[0].part), key(&miss.takes[0].place));
            // Of several misses at one bin the last one's count decides: one alone is worked out here.
            let one: &mut Vec<Option<Millionths>> = counts.entry(bin).or_default();
            one.push(miss.left.map(|left| left + miss.short - miss.counted.unwrap_or(0)));
        }
    }
    let book = asked.tables.sheets.book();
    let (plant, _) = check::plant(&book, None, Moment::default());
    let request = plan::Request { set_aside: true, ..Default::default() };
    let plan = plan::plan(&plant, &request).0.expect("a plan");
    let told = owed::read("pull-list.xlsx", &rows).and_then(|misses| owed::owed(&plan, &book, &misses));
    let told = told.unwrap_or_else(|found| panic!("{:?}", found.iter().map(ToString::to_string).collect::<Vec<_>>()));
    let columns = ["part", "qty", "uom", "to", "needed", "unit"];
    let mut rows: Vec<[String; 6]> = csv_rows(&owed::rows_as_csv(&plan, &told.rows))
        .iter()
        .map(|row| columns.map(|column| row[column].to_owned()))
        .collect();
    rows.sort();
    expected.sort();
    assert_eq!(rows, expected);
    let with_counts = trial::apply(&book, &told.edits).expect("rows of the book").0;
    let (then, _) = check::plant(&with_counts, None, Moment::default());
    let mut seen = rows.len();
    for count in &told.counts {
        let part = &plant.parts[count.part.at()].code;
        let place = if count.place.is_empty() { "not known" } else { &count.place };
        let Some([Some(less)]) = counts.get(&(key(part), key(place))).map(Vec::as_slice) else { continue };
        assert_eq!(i128::from(count.less.millionths()), *less, "{part} at {place}");
        let by_book = lies(asked, asked.maybe_book("Stock"), part, place);
        if by_book >= 0 {
            assert_eq!(i128::from(count.by_book.millionths()), by_book, "{part} at {place}");
            assert_eq!(i128::from(count.beyond.millionths()), (less - by_book).max(0), "{part} at {place}");
        }
        // What the part's stock comes to in all, by the changed book, in all bins.
        let all = |plant: &check::Plant| -> i128 {
            let own = plant.stock.iter().filter(|row| row.part == count.part);
            own.map(|row| i128::from(row.qty.millionths())).sum()
        };
        let of_part = told.counts.iter().filter(|other| other.part == count.part);
        let gone: i128 = of_part.map(|count| i128::from((count.less - count.beyond).millionths())).sum();
        assert_eq!(all(&plant) - all(&then), gone, "{part} at {place}");
        seen += 1;
    }
    // A bin whose count agrees is not told.
    for ((part, place), less) in &counts {
        if let [Some(less)] = less.as_slice() {
            let told = told.counts.iter().any(|count| {
                let at = if count.place.is_empty() { "not known" } else { &count.place };
                key(&plant.parts[count.part.at()].code) == *part && key(at) == *place
            });
            assert_eq!(told, *less != 0, "{part} at {place}");
        }
    }
    seen
}
