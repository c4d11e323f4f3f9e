//! Random small books in which much is missing, their stock and receipts kept row by row so that advice can be done in them.

use super::random_books::Dice;
use super::support::Sheets;
use lineward::base::{Moment, Quantity, Ratio};
use lineward::check::Plant;
use lineward::cures::Change;

const STOCK: &str = "part,qty,location,station,unit,hold";
const RECEIPTS: &str = "purchase order,part,qty,due";
const BOUGHT: [(&str, &str); 4] = [("BOLT", "ea"), ("NUT", "ea"), ("HINGE", "ea"), ("ROLL", "m")];

/// Bolts, nuts, rolls by the metre, and boxes from a shop; much is on hold, elsewhere, reserved, overdue or late.
pub struct Short {
    sheets: Sheets,
    stock: Vec<Vec<String>>,
    receipts: Vec<Vec<String>>,
}

impl Short {
    /// The book of a seed.
    pub fn of(seed: u64) -> Self {
        let dice = &mut Dice::new(seed);
        let mut sheets = Sheets::plant(&["S1", "S2", "S3", "S4"]);
        times_and_places(dice, &mut sheets);
        parts(dice, &mut sheets);
        bills(dice, &mut sheets);
        let units = sequence(dice, &mut sheets);
        let (mut stock, mut receipts) = (Vec::new(), Vec::new());
        for part in ["BOLT", "NUT", "HINGE", "ROLL", "BOX"] {
            let (rows, coming) = if part == "BOX" { (1, 0) } else { (dice.between(0, 4), dice.between(0, 4)) };
            stock.extend((0..rows).map(|_| stock_row(dice, part, units)));
            receipts.extend((0..coming).map(|_| receipt_row(dice, part)));
        }
        Self { sheets, stock, receipts }
    }

    /// As it stands.
    pub fn written(&self) -> Sheets {
        let mut sheets = self.sheets.clone();
        sheets.set("Stock", STOCK).set("Receipts", RECEIPTS);
        self.stock.iter().for_each(|row| _ = sheets.add("Stock", &row.join(",")));
        self.receipts.iter().for_each(|row| _ = sheets.add("Receipts", &row.join(",")));
        sheets
    }

    /// Does what is advised in the rows of the book. `false` where a job is to be taken first, which no row can say.
    pub fn make(&mut self, plant: &Plant, change: &Change) -> bool {
        match change {
            Change::Keep { stock, qty, unit } => {
                take(&mut self.stock[*stock][1], *qty);
                let (part, unit) = (self.stock[*stock][0].clone(), plant.units[unit.at()].code.clone());
                let blank = String::new();
                self.stock.push(vec![part, qty.to_string(), "A-1".to_owned(), blank.clone(), unit, blank]);
            }
            Change::Sooner { receipt, qty, by } => {
                take(&mut self.receipts[*receipt][2], *qty);
                let mut row = self.receipts[*receipt].clone();
                (row[2], row[3]) = (qty.to_string(), cell(*by));
                self.receipts.push(row);
            }
            Change::Order { part, qty, by } => {
                let part = plant.part(*part).code.clone();
                self.receipts.push(vec!["NEW".to_owned(), part, qty.to_string(), cell(*by)]);
            }
            Change::Good { stock } => self.stock[*stock][5].clear(),
            Change::First { .. } => return false,
        }
        true
    }
}

fn cell(moment: Moment) -> String {
    moment.to_string().replace('T', " ")
}

fn take(cell: &mut String, qty: Quantity) {
    let there = Quantity::cut(Ratio::decimal(cell).expect("a number")).expect("not too large");
    assert!(there >= qty, "{cell} less {qty}");
    *cell = (there - qty).to_string();
}

fn times_and_places(dice: &mut Dice, sheets: &mut Sheets) {
    let as_of = dice.word(&["2027-09-13 06:00", "2027-09-13 09:20"]);
    let (at, hand_over) = (dice.word(&["06:00", "10:00"]), dice.word(&["0", "10", "120"]));
    let overdue = dice.between(0, 3);
    let settings =
        format!("as of,{as_of}\nreceipts at,{at}\nhand over minutes,{hand_over}\noverdue receipts,{overdue}");
    sheets.set("Settings", &format!("key,value\n{settings}"));
    sheets.set("Stations", "line,station,position,deliver ahead");
    for i in 1..=4 {
        sheets.add("Stations", &format!("L1,S{i},{i},{}", dice.pick(&[0, 0, 60, 480, 600])));
    }
    if dice.chance(60) {
        let pick = dice.pick(&[0, 30]);
        sheets.set("Waves", &format!("wave,time,pick minutes\nA,06:00,{pick}\nB,10:00,{pick}"));
    }
    let (crews, transit) = (dice.between(1, 2), dice.pick(&[0, 30]));
    sheets.set("Shops", &format!("shop,calendar,crews,transit\nCAB,DAY,{crews},{transit}"));
    sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN").set("Uoms", "uom,decimals\nm,2");
}

fn parts(dice: &mut Dice, sheets: &mut Sheets) {
    sheets.set("Parts", "part,uom,source,shop,minutes,lead days,minimum buy,buy multiple,fit by");
    let (box_minutes, panel_minutes) = (dice.pick(&[60, 240, 400]), dice.pick(&[30, 120]));
    sheets.add("Parts", &format!("BOX,ea,make,CAB,{box_minutes},,,,{}", dice.maybe(25, "S4")));
    sheets.add("Parts", &format!("PANEL,ea,make,CAB,{panel_minutes},,,,"));
    for (part, uom) in BOUGHT {
        let (lead, least, multiple) = (dice.between(0, 9), dice.maybe_number(40, 2, 6), dice.maybe(30, "3"));
        sheets.add("Parts", &format!("{part},{uom},buy,,,{lead},{least},{multiple},{}", dice.maybe(25, "S4")));
    }
}

fn bills(dice: &mut Dice, sheets: &mut Sheets) {
    for floorplan in ["TEAL", "DUNLIN"] {
        for _ in 0..dice.between(2, 4) {
            let part = dice.word(&["BOLT", "BOLT", "NUT", "ROLL", "BOX"]);
            let qty = if part == "BOX" { "1".to_owned() } else { quantity(dice, &part) };
            sheets.add("Bills", &format!("{floorplan},{part},{qty},S{}", dice.between(1, 4)));
        }
    }
    sheets.add("Bills", &dice.word(&["BOX,HINGE,2,\nBOX,BOLT,1,", "BOX,HINGE,2,\nBOX,PANEL,1,\nPANEL,ROLL,1,"]));
}

/// The units, one of which may be on the line already, and now and then what is owed; gives how many units there are.
fn sequence(dice: &mut Dice, sheets: &mut Sheets) -> i64 {
    sheets.set("Sequence", "line,seq,unit,floorplan,start,at,hold");
    let units = dice.between(3, 6);
    for unit in 1..=units {
        let (at, hold) = if unit == 1 { (40, 0) } else { (0, 8) };
        let (at, hold) = (dice.maybe(at, "S2"), dice.maybe(hold, "floor damp"));
        let (floorplan, day) = (dice.word(&["TEAL", "DUNLIN"]), 13 + unit / 2);
        sheets.add("Sequence", &format!("L1,{unit},U{unit},{floorplan},2027-09-{day},{at},{hold}"));
    }
    if dice.chance(30) {
        sheets.set("Extras", "part,qty,to,needed,unit,reason");
        for _ in 0..dice.between(1, 2) {
            let (unit, day, station) = (code(dice, 75, 'U', units), dice.between(13, 16), dice.between(1, 4));
            sheets.add("Extras", &format!("BOLT,1,S{station},2027-09-{day},{unit},owed"));
        }
    }
    units
}

fn stock_row(dice: &mut Dice, part: &str, units: i64) -> Vec<String> {
    let (place, unit) = (code(dice, 30, 'S', 4), code(dice, 35, 'U', units));
    let (qty, hold) = (quantity(dice, part), dice.maybe(35, "rust"));
    let place = if unit.is_empty() { place } else { String::new() };
    vec![part.to_owned(), qty, "A-1".to_owned(), place, unit, hold]
}

fn receipt_row(dice: &mut Dice, part: &str) -> Vec<String> {
    let (order, qty) = (dice.word(&["8", "8", "9"]), quantity(dice, part));
    let due = format!("2027-09-{}{}", dice.between(11, 18), dice.word(&["", "", " 09:00", " 12:30"]));
    vec![order, part.to_owned(), qty, due]
}

fn quantity(dice: &mut Dice, part: &str) -> String {
    if part == "ROLL" { dice.decimal(0, 3, 3) } else { dice.between(1, 3).to_string() }
}

/// Such as `S3`, or blank.
fn code(dice: &mut Dice, percent: i64, letter: char, most: i64) -> String {
    let number = dice.between(1, most);
    dice.maybe(percent, &format!("{letter}{number}"))
}
