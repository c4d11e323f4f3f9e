//! Random books with a forecast of few units: what they take by every sequence of units of the sample, counted one by one. What each unit of
//! the sample takes comes from the second implementation: the same book with all units ahead and nothing in stock.
//!
//! Rules `past-the-sequence`, `sample`.

use super::super::oracle::{self, sheets::key};
use super::super::random_books::{Book, Size, random_book};
use super::super::support::{Sheets, rounds};
use super::{Row, rows};
use lineward::base::{Date, Quantity, Ratio};
use lineward::forecast::MOST_STEPS;
use std::collections::BTreeMap;
use std::fmt::Write;

/// An amount in millionths.
type Amount = i128;

fn millionths(text: &str) -> Amount {
    let qty = Ratio::decimal(text).and_then(Quantity::cut).expect("a quantity");
    qty.millionths().into()
}

fn plain(heading: &str) -> String {
    heading.chars().filter(|c| !" _-".contains(*c)).flat_map(char::to_lowercase).collect()
}

/// Rows of a table of a book, by heading.
pub fn of_book(book: &Book, table: &str) -> Vec<Row> {
    let all = book.get(table).map_or(Vec::new(), |text| rows(text));
    all.into_iter()
        .map(|row| row.into_iter().map(|(heading, cell)| (plain(&heading), cell.trim().to_owned())).collect())
        .collect()
}

pub fn cell<'r>(row: &'r Row, heading: &str) -> &'r str {
    row.get(&plain(heading)).map_or("", String::as_str)
}

/// A table of rows with some columns as they are and some of another text.
pub fn table(rows: &[Row], text: impl Fn(&Row, &str) -> String) -> String {
    let headings: Vec<&String> = rows.first().map_or(Vec::new(), |row| row.keys().collect());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&headings).expect("memory");
    for row in rows {
        writer.write_record(headings.iter().map(|heading| text(row, heading))).expect("memory");
    }
    String::from_utf8(writer.into_inner().expect("memory")).expect("UTF-8")
}

/// Whether a change is reached behind the sequence by a day.
fn reached(change: &Row, units: &[Row], from: Date) -> bool {
    let unit = key(cell(change, "from unit"));
    let by_date = Date::parse(cell(change, "from date")).is_some_and(|date| date <= from);
    by_date || units.iter().any(|row| key(cell(row, "unit")) == unit)
}

/// What each unit takes of each part with all changes that are reached by a day: all units are ahead, and nothing is in stock. Units
/// whose orders are wrong are not in it.
fn takes(book: &Book, from: Date) -> Option<BTreeMap<String, BTreeMap<String, Amount>>> {
    let mut clean = book.clone();
    ["Stock", "Receipts", "Extras", "Started", "Forecast"].iter().for_each(|table| _ = clean.remove(*table));
    let units = of_book(book, "Sequence");
    let cleared = ["at", "issuedthrough", "hold", "done"];
    clean.insert(
        "Sequence".into(),
        table(&units, |row, heading| if cleared.contains(&heading) { String::new() } else { row[heading].clone() }),
    );
    let changes = of_book(book, "Changes");
    if !changes.is_empty() {
        let text = |row: &Row, heading: &str| match heading {
            "fromdate" if reached(row, &units, from) => "2000-01-01".to_owned(),
            "fromdate" => "2100-01-01".to_owned(),
            "fromunit" => String::new(),
            _ => row[heading].clone(),
        };
        clean.insert("Changes".into(), table(&changes, text));
    }
    let settings: Vec<Row> =
        of_book(book, "Settings").into_iter().filter(|row| plain(cell(row, "key")) != "deliveredto").collect();
    clean.insert("Settings".into(), table(&settings, |row, heading| row[heading].clone()));
    let plan = oracle::plan(&clean, None, true).ok()?;
    let mut takes = BTreeMap::new();
    for row in rows(&plan.units).iter().filter(|row| row["status"] != "set aside") {
        takes.insert(key(&row["unit"]), BTreeMap::new());
    }
    for row in rows(&plan.demands) {
        let unit = takes.get_mut(&key(&row["unit"])).expect("a unit");
        *unit.entry(row["part"].clone()).or_default() += millionths(&row["qty"]);
    }
    Some(takes)
}

/// The units of a floorplan, the last to be built last.
fn in_order(units: &[Row], planned: &[Row], floorplan: &str) -> Vec<String> {
    let seq = |row: &Row| millionths(cell(row, "seq"));
    let is = |row: &Row, heading: &str| {
        !["", "no", "n", "false", "0", "-"].contains(&cell(row, heading).to_lowercase().as_str())
    };
    let enters = |row: &Row| {
        planned.iter().find(|unit| key(&unit["unit"]) == key(cell(row, "unit"))).map(|unit| unit["enters"].clone())
    };
    let same_line = |a: &Row, b: &Row| key(cell(a, "line")) == key(cell(b, "line"));
    let mut found: Vec<_> = units
        .iter()
        .filter(|row| key(cell(row, "floorplan")) == key(floorplan))
        .map(|row| {
            let line = key(cell(row, "line"));
            if is(row, "done") {
                let behind = units
                    .iter()
                    .filter(|other| is(other, "done") && same_line(row, other) && seq(other) > seq(row))
                    .count();
                return ((0, -(behind as i64), String::new(), line, seq(row)), key(cell(row, "unit")));
            }
            let ahead = |other: &&Row| {
                same_line(row, other) && seq(other) >= seq(row) && !is(other, "done") && !is(other, "hold")
            };
            let leads = units.iter().filter(ahead).min_by_key(|other| seq(other));
            let enters = leads.and_then(enters).unwrap_or_else(|| "9999".to_owned());
            ((1, 0, enters, line, seq(row)), key(cell(row, "unit")))
        })
        .collect();
    found.sort();
    found.into_iter().map(|(_, unit)| unit).collect()
}

/// So many units of a floorplan are the sample.
const SAMPLE: usize = 4;

/// What is found of a part in a period by counting every sequence of units: mean, half and nearly all.
fn counted(lists: &[(Vec<Amount>, u32)]) -> (Amount, Amount, Amount) {
    let mut sums = vec![0];
    let mut mean = 0;
    for (amounts, units) in lists {
        let of_all: Amount = amounts.iter().sum();
        mean += of_all * Amount::from(*units) / amounts.len() as Amount;
        for _ in 0..*units {
            sums = sums.iter().flat_map(|sum| amounts.iter().map(move |amount| sum + amount)).collect();
        }
    }
    sums.sort_unstable();
    let enough = |percent: usize| sums[(sums.len() * percent).div_ceil(100) - 1];
    (mean, enough(50), enough(95))
}

/// How many steps there are from the least to the most that can be taken, of the largest size on which all amounts lie.
fn steps(lists: &[(Vec<Amount>, u32)]) -> Amount {
    let (mut range, mut step) = (0, 0);
    for (amounts, units) in lists {
        let least = *amounts.iter().min().expect("amounts");
        range += (amounts.iter().max().expect("amounts") - least) * Amount::from(*units);
        step = amounts.iter().fold(step, |step, amount| common(step, amount - least));
    }
    if step == 0 { 0 } else { range / step }
}

fn common(one: Amount, other: Amount) -> Amount {
    if other == 0 { one } else { common(other, one % other) }
}

/// What a book comes to: how many rows were looked at, of them such with a chance, and orders.
#[derive(Debug, Default)]
struct Seen {
    rows: usize,
    by_chance: usize,
    orders: usize,
    after_others: usize,
    with_changes: usize,
    wrong: usize,
    fine: usize,
}

/// Two periods behind the last entry with few units of each floorplan.
fn forecast(book: &mut Book, planned: &[Row], seed: u64) -> Vec<(Date, Date, BTreeMap<String, u32>)> {
    let enters = planned.iter().map(|row| row["enters"].clone()).max().unwrap_or_default();
    let last = Date::parse(enters.get(..10).unwrap_or("2027-09-13")).expect("a date");
    let floorplans: Vec<String> =
        of_book(book, "Floorplans").iter().map(|row| cell(row, "floorplan").to_owned()).collect();
    let mut text = "floorplan,from,to,units".to_owned();
    let mut periods = Vec::new();
    for (i, (from, to)) in [(1, 3), (4, 40)].into_iter().enumerate() {
        let (from, to) = (last.plus(from), last.plus(to));
        let mut units = BTreeMap::new();
        for (at, floorplan) in floorplans.iter().take(3).enumerate() {
            let count = (seed as usize + i + at) % 3;
            let _ = write!(text, "\n{floorplan},{from},{to},{count}");
            units.insert(floorplan.clone(), count as u32);
        }
        periods.push((from, to, units));
    }
    book.insert("Forecast".into(), text);
    let settings = book["Settings"].trim_end().to_owned() + &format!("\nsample units,{SAMPLE}");
    book.insert("Settings".into(), settings);
    periods
}

fn compare(seed: u64, seen: &mut Seen) {
    let mut book = random_book(seed, Size::Small);
    let Ok(before) = Sheets(book.clone()).plan_as(None, true) else { return };
    let planned = rows(&before["units"]);
    let periods = forecast(&mut book, &planned, seed);
    let sheets = Sheets(book.clone());
    let shown = || sheets.shown();
    let facts = |plan: &lineward::plan::Plan<'_>| {
        let bought = plan.plant.parts.iter().filter(|part| part.bought());
        let lots = bought.map(|part| {
            let lot = [Some(part.safety_stock), Some(part.minimum_buy), part.buy_multiple];
            (
                part.code.clone(),
                (lot.map(|qty| qty.map_or(0, |qty| Amount::from(qty.millionths()))), part.decimals, part.lead_days),
            )
        });
        (super::super::support::tables(plan), lots.collect::<BTreeMap<_, _>>())
    };
    let (tables, lots) =
        sheets.look(None, true, facts).unwrap_or_else(|found| panic!("seed {seed}: {found:?} {}", shown()));
    // All that there was before is the same.
    for (name, text) in &before {
        assert!(*name == "outlook" || *text == tables[name], "seed {seed}: {name}");
    }
    let units = of_book(&book, "Sequence");
    let mut ends: BTreeMap<String, Amount> = BTreeMap::new();
    rows(&tables["balances"])
        .iter()
        .for_each(|row| _ = ends.insert(row["part"].clone(), millionths(&row["available"])));
    let found = rows(&tables["outlook"]);
    let mut left_over = found.len();
    for (code, (lot, decimals, lead)) in &lots {
        let own: Vec<&Row> = found.iter().filter(|row| row["part"] == *code).collect();
        let (mut before, mut ordered, mut at) = (0, 0, 0);
        for (from, to, counts) in &periods {
            let Some(takes) = takes(&book, *from) else { return };
            let of_floorplan = |(floorplan, count): (&String, &u32)| {
                let all = in_order(&units, &planned, floorplan);
                let mut right: Vec<&String> = all.iter().filter(|unit| takes.contains_key(*unit)).collect();
                let wrong = all.len() - right.len();
                right.drain(..right.len().saturating_sub(SAMPLE));
                let amounts: Vec<Amount> =
                    right.iter().map(|unit| takes[*unit].get(code).copied().unwrap_or(0)).collect();
                (amounts, *count, wrong)
            };
            let lists: Vec<_> = counts.iter().map(of_floorplan).collect();
            seen.wrong += lists.iter().map(|(.., wrong)| wrong).sum::<usize>();
            let lists: Vec<(Vec<Amount>, u32)> =
                lists.into_iter().map(|(amounts, count, _)| (amounts, count)).collect();
            let lists: Vec<_> = lists
                .into_iter()
                .filter(|(amounts, count)| *count > 0 && amounts.iter().any(|amount| *amount > 0))
                .collect();
            let row = own.get(at).filter(|row| row["from"] == from.to_string() && row["to"] == to.to_string());
            assert_eq!(row.is_some(), !lists.is_empty(), "seed {seed}: {code} {from}: {lists:?} {own:?} {}", shown());
            let Some(row) = row else { continue };
            at += 1;
            let (mean, half, nearly_all) = counted(&lists);
            let told = |column: &str| millionths(&row[column]);
            // A job for two takers cuts what it needs once, two jobs twice: a millionth each. With too many steps half and nearly all
            // are right to half of a hundredth.
            let near = |found: Amount, right: Amount| (found - right).abs() <= 50;
            let fine = steps(&lists) >= MOST_STEPS as Amount;
            let good =
                |found: Amount, right: Amount| near(found, right) || fine && (found - right).abs() * 200 <= right;
            let right = near(told("mean"), mean) && good(told("half"), half) && good(told("nearly_all"), nearly_all);
            seen.fine += usize::from(fine);
            assert!(right, "seed {seed}: {row:?}, not {mean} {half} {nearly_all}: {lists:?} {}", shown());
            let end = ends.get(code).copied().unwrap_or_else(|| told("left") + before);
            assert_eq!(told("left"), end - before, "seed {seed}: {row:?}");
            let [safety, minimum, multiple] = *lot;
            let lack = safety + before + told("nearly_all") - end - ordered;
            let step = if multiple > 0 { multiple } else { 10_i128.pow(6 - u32::from((*decimals).min(6))) };
            let order = if lack > 0 { (lack.max(minimum) + step - 1) / step * step } else { 0 };
            assert_eq!(told("to_order"), order, "seed {seed}: {row:?}");
            let order_by = if order > 0 { from.plus(-(*lead as i32)).to_string() } else { String::new() };
            assert_eq!(row["order_by"], order_by, "seed {seed}: {row:?}");
            before += told("nearly_all");
            ordered += order;
            seen.rows += 1;
            seen.by_chance += usize::from(half != nearly_all);
            seen.orders += usize::from(order > 0);
            seen.after_others += usize::from(at > 1 && order > 0);
        }
        assert_eq!(own.len(), at, "seed {seed}: {code}");
        left_over -= at;
    }
    assert_eq!(left_over, 0, "seed {seed}: rows of parts that are not bought");
    seen.with_changes += usize::from(!of_book(&book, "Changes").is_empty());
}

#[test]
fn every_sequence_of_the_sample_is_counted() {
    let mut seen = Seen::default();
    for seed in 230_000..230_000 + rounds(60) {
        compare(seed, &mut seen);
    }
    assert!(seen.rows > 1_000 && seen.by_chance > 100 && seen.orders > 250, "{seen:?}");
    assert!(seen.after_others > 100 && seen.with_changes > 20 && seen.wrong > 10 && seen.fine > 5, "{seen:?}");
}
