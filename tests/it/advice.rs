//! All advice of random small books really done in the book: catches advice that does not work, that stops somebody else
//! unsaid, that takes more than there is, or that comes in the past.

use super::random_books::Dice;
use super::support::{Sheets, rounds};
use lineward::base::{Moment, OwnerId, Quantity};
use lineward::check::{self, Plant};
use lineward::cures::{Advice, Change, Cures};
use lineward::plan::{self, Outcome, Plan, Request};
use std::collections::BTreeMap;

/// A book in which much is missing: bolts, rolls by the metre and boxes from a shop, some of it on hold, elsewhere, reserved or
/// late. Stock and receipts are kept apart, row by row, to be changed.
struct Small {
    sheets: Sheets,
    stock: Vec<Vec<String>>,
    receipts: Vec<Vec<String>>,
}

/// Such as `S3`, or blank.
fn code(dice: &mut Dice, percent: i64, letter: char, most: i64) -> String {
    let number = dice.between(1, most);
    dice.maybe(percent, &format!("{letter}{number}"))
}

const STOCK: &str = "part,qty,location,station,unit,hold";
const RECEIPTS: &str = "purchase order,part,qty,due";

impl Small {
    fn of(seed: u64) -> Self {
        let dice = &mut Dice::new(seed);
        let mut sheets = Sheets::plant(&["S1", "S2", "S3", "S4"]);
        let hand_over = dice.word(&["0", "10", "120"]);
        let overdue = dice.between(0, 3);
        let as_of = dice.word(&["2027-09-13 06:00", "2027-09-13 09:20"]);
        let settings = format!(
            "key,value\nas of,{as_of}\nreceipts at,{}\nhand over minutes,{hand_over}\noverdue receipts,{overdue}",
            dice.word(&["06:00", "10:00"])
        );
        sheets.set("Settings", &settings);
        sheets.set("Stations", "line,station,position,deliver ahead");
        for (i, ahead) in (1..=4).map(|i| (i, dice.pick(&[0, 0, 60, 480, 600]))) {
            sheets.add("Stations", &format!("L1,S{i},{i},{ahead}"));
        }
        if dice.chance(60) {
            let pick = dice.pick(&[0, 30]);
            sheets.set("Waves", &format!("wave,time,pick minutes\nA,06:00,{pick}\nB,10:00,{pick}"));
        }
        sheets.set("Shops", &format!("shop,calendar,crews,transit\nCAB,DAY,{},{}", dice.between(1, 2), dice.pick(&[0, 30])));
        sheets.set("Floorplans", "floorplan\nTEAL\nDUNLIN").set("Uoms", "uom,decimals\nm,2");
        let fit_by = |dice: &mut Dice| dice.maybe(25, "S4");
        sheets.set("Parts", "part,uom,source,shop,minutes,lead days,minimum buy,buy multiple,fit by");
        let minutes = dice.pick(&[60, 240, 400]);
        sheets.add("Parts", &format!("BOX,ea,make,CAB,{minutes},,,,{}", fit_by(dice)));
        sheets.add("Parts", &format!("PANEL,ea,make,CAB,{},,,,", dice.pick(&[30, 120])));
        for (part, uom) in [("BOLT", "ea"), ("NUT", "ea"), ("HINGE", "ea"), ("ROLL", "m")] {
            let (lead, least) = (dice.between(0, 9), dice.maybe_number(40, 2, 6));
            let multiple = dice.maybe(30, "3");
            sheets.add("Parts", &format!("{part},{uom},buy,,,{lead},{least},{multiple},{}", fit_by(dice)));
        }
        let qty = |dice: &mut Dice, part: &str| if part == "ROLL" { dice.decimal(0, 3, 3) } else { dice.between(1, 3).to_string() };
        for floorplan in ["TEAL", "DUNLIN"] {
            for _ in 0..dice.between(2, 4) {
                let part = dice.word(&["BOLT", "BOLT", "NUT", "ROLL", "BOX"]);
                let amount = if part == "BOX" { "1".to_owned() } else { qty(dice, &part) };
                sheets.add("Bills", &format!("{floorplan},{part},{amount},S{}", dice.between(1, 4)));
            }
        }
        sheets.add("Bills", "BOX,HINGE,2,");
        sheets.add("Bills", &dice.word(&["BOX,BOLT,1,", "BOX,PANEL,1,\nPANEL,ROLL,1,"]));
        sheets.set("Sequence", "line,seq,unit,floorplan,start,at,hold");
        let units = dice.between(3, 6);
        for unit in 1..=units {
            let at = if unit == 1 { dice.maybe(40, "S2") } else { String::new() };
            let (floorplan, hold) = (dice.word(&["TEAL", "DUNLIN"]), if unit > 1 { dice.maybe(8, "why") } else { String::new() });
            sheets.add("Sequence", &format!("L1,{unit},U{unit},{floorplan},2027-09-{},{at},{hold}", 13 + unit / 2));
        }
        if dice.chance(30) {
            sheets.set("Extras", "part,qty,to,needed,unit,reason");
            for _ in 0..dice.between(1, 2) {
                let unit = code(dice, 75, 'U', units);
                let needed = format!("2027-09-{}", dice.between(13, 16));
                sheets.add("Extras", &format!("BOLT,1,S{},{needed},{unit},owed", dice.between(1, 4)));
            }
        }
        let mut stock = Vec::new();
        let mut receipts = Vec::new();
        for part in ["BOLT", "NUT", "HINGE", "ROLL", "BOX"] {
            let rows = if part == "BOX" { 1 } else { dice.between(0, 4) };
            for _ in 0..rows {
                let place = code(dice, 30, 'S', 4);
                let unit = code(dice, 35, 'U', units);
                let (qty, hold) = (qty(dice, part), dice.maybe(35, "rust"));
                let place = if unit.is_empty() { place } else { String::new() };
                stock.push(vec![part.to_owned(), qty, "A-1".to_owned(), place, unit, hold]);
            }
            for _ in 0..(if part == "BOX" { 0 } else { dice.between(0, 4) }) {
                let order = dice.word(&["8", "8", "9"]);
                let qty = qty(dice, part);
                let due = format!("2027-09-{}{}", dice.between(11, 18), dice.word(&["", "", " 09:00", " 12:30"]));
                receipts.push(vec![order, part.to_owned(), qty, due]);
            }
        }
        Self { sheets, stock, receipts }
    }

    fn written(&self) -> Sheets {
        let mut sheets = self.sheets.clone();
        sheets.set("Stock", STOCK).set("Receipts", RECEIPTS);
        self.stock.iter().for_each(|row| _ = sheets.add("Stock", &row.join(",")));
        self.receipts.iter().for_each(|row| _ = sheets.add("Receipts", &row.join(",")));
        sheets
    }

    /// Does what is advised in the rows of the book. `false` where a job is to be taken first, which no book can say.
    fn do_it(&mut self, plant: &Plant, change: &Change) -> bool {
        let less = |cell: &mut String, qty: Quantity| {
            let rest = number(cell) - qty;
            assert!(rest >= Quantity::ZERO, "{cell} less {qty}");
            *cell = rest.to_string();
        };
        let cell = |moment: &Moment| moment.to_string().replace('T', " ");
        match change {
            Change::Keep { stock, qty, unit } => {
                less(&mut self.stock[*stock][1], *qty);
                let unit = plant.units[unit.at()].code.clone();
                let (part, blank) = (self.stock[*stock][0].clone(), String::new());
                self.stock.push(vec![part, qty.to_string(), "A-1".to_owned(), blank.clone(), unit, blank]);
            }
            Change::Sooner { receipt, qty, by } => {
                less(&mut self.receipts[*receipt][2], *qty);
                let mut row = self.receipts[*receipt].clone();
                (row[2], row[3]) = (qty.to_string(), cell(by));
                self.receipts.push(row);
            }
            Change::Order { part, qty, by } => {
                let part = plant.part(*part).code.clone();
                self.receipts.push(vec!["NEW".to_owned(), part, qty.to_string(), cell(by)]);
            }
            Change::First { .. } => return false,
        }
        true
    }
}

fn planned(plant: &Plant) -> Plan<'_> {
    plan::plan(plant, &Request::default()).0.expect("a plan")
}

fn plant_of(seed: u64, sheets: &Sheets) -> Plant {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    let told = findings.iter().map(ToString::to_string).collect::<Vec<_>>();
    assert!(!findings.any_error(), "seed {seed}: {told:?}\n{}", sheets.shown());
    plant
}

/// What the line waits for at stations and shops, by unit, part and place: how much, and how long at most.
type Waits = BTreeMap<(String, String, String), (Quantity, i64)>;

fn waits(plan: &Plan<'_>) -> Waits {
    let mut waits = Waits::new();
    for row in plan.consequences.iter().filter(|row| row.outcome == Outcome::StopsTheLine) {
        let key = (unit(plan, row.owner), plan.plant.part(row.part).code.clone(), plan.plant.dest(row.to).code.clone());
        let wait = waits.entry(key).or_default();
        wait.0 += row.qty;
        wait.1 = wait.1.max(row.stop_minutes.unwrap_or(i64::MAX));
    }
    waits
}

fn unit(plan: &Plan<'_>, owner: OwnerId) -> String {
    plan.pace.owners[owner.at()].code.clone()
}

fn stops(waits: &Waits) -> BTreeMap<String, i64> {
    let mut stops: BTreeMap<String, i64> = BTreeMap::new();
    for ((unit, ..), (_, minutes)) in waits {
        let longest = stops.entry(unit.clone()).or_default();
        *longest = (*longest).max(*minutes);
    }
    stops
}

#[test]
fn all_advice_done_in_the_book_does_what_it_says() {
    let mut complaints: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for seed in 0..rounds(300) {
        let mut small = Small::of(seed);
        let sheets = small.written();
        let plant = plant_of(seed, &sheets);
        let plan = planned(&plant);
        let cures = Cures::of(&plan);
        let before = waits(&plan);
        let mut say = |what: &'static str, words: String| complaints.entry(what).or_default().push(format!("seed {seed}: {words}"));
        let mut done = true;
        if std::env::var("SHOW").ok() == Some(seed.to_string()) {
            println!("{}", sheets.shown());
            super::cures::told(&plan, &cures).iter().zip(&cures.pieces).for_each(|(line, (piece, advice))| {
                let there = format!("{:?}", piece.there);
                let pegs: Vec<String> = piece.pegs.iter().map(|(d, p)| format!("{} {} {:?}", d.need, p.qty, p.cover)).collect();
                println!("{:?} after {:?}", waits(&plan).get(&(unit(&plan, piece.owner), plant.part(piece.part).code.clone(), plant.dest(piece.to).code.clone())), waits(&planned(&lineward::cures::changed(&plant, cures.changes()))).get(&(unit(&plan, piece.owner), plant.part(piece.part).code.clone(), plant.dest(piece.to).code.clone())));
                println!("{line} | qty {} there {there} by {:?} pegs {pegs:?} {:?}", piece.qty, piece.by.map(|b| b.to_string()), advice.working().map(|c| &c.candidate.changes));
            });
        }
        for (piece, advice) in &cures.pieces {
            let word = match advice {
                Advice::Do(cure) => format!("{:?} {}", cure.candidate.kind, cure.works),
                other => format!("{other:?}").chars().take_while(|c| c.is_alphabetic()).collect(),
            };
            *counts.entry(word).or_default() += 1;
            _ = piece;
        }
        let mut left: Vec<Quantity> = plant.receipts.iter().map(|row| row.qty).collect();
        let mut in_stock: Vec<Quantity> = plant.stock.iter().map(|row| row.qty).collect();
        for change in cures.changes() {
            match change {
                Change::Sooner { receipt, qty, by } => {
                    left[*receipt] -= *qty;
                    if left[*receipt] < Quantity::ZERO { say("too much of a receipt", format!("{change:?}")); done = false; }
                    if *by <= plant.as_of || *by > plant.receipts[*receipt].available { say("by", format!("{change:?}")); }
                }
                Change::Keep { stock, qty, .. } => {
                    in_stock[*stock] -= *qty;
                    if in_stock[*stock] < Quantity::ZERO { say("too much of stock", format!("{change:?}")); done = false; }
                }
                Change::Order { by, .. } => if *by <= plant.as_of { say("by", format!("{change:?}")); },
                Change::First { .. } => {}
            }
        }
        if !done { continue; }
        let book = cures.changes().into_iter().map(|change| small.do_it(&plant, change)).collect::<Vec<_>>().into_iter().all(|x| x);
        let plant_after = if book { plant_of(seed, &small.written()) } else { lineward::cures::changed(&plant, cures.changes()) };
        *counts.entry(format!("book {book}")).or_default() += 1;
        let after = waits(&planned(&plant_after));
        let (old, new) = (stops(&before), stops(&after));
        for (unit, minutes) in &new {
            if old.get(unit).is_none_or(|old| old < minutes) { say("stops longer", format!("{unit} {minutes} {:?}", old.get(unit))); }
        }
        let moving: Vec<String> = cures.moving.iter().map(|owner| unit(&plan, *owner)).collect();
        let really: Vec<String> = old.keys().filter(|unit| !new.contains_key(*unit)).cloned().collect();
        let mut sorted = moving.clone();
        sorted.sort();
        if sorted != really { say("moving", format!("{sorted:?} {really:?}")); }
        if cures.stopped.len() != old.len() { say("stopped", format!("{:?} {old:?}", cures.stopped)); }
        let mut promised: BTreeMap<(String, String, String), Quantity> = BTreeMap::new();
        for (piece, advice) in &cures.pieces {
            let key = (unit(&plan, piece.owner), plant.part(piece.part).code.clone(), plant.dest(piece.to).code.clone());
            let works = advice.working().is_some() || matches!(advice, Advice::With(_));
            let still = after.get(&key).map_or(Quantity::ZERO, |wait| wait.0);
            if works { *promised.entry(key).or_default() += piece.qty; }
            else if still.is_zero() { say("nothing, but it is there", format!("{key:?} {}", matches!(advice, Advice::Nothing))); }
        }
        for (key, qty) in promised {
            let still = after.get(&key).map_or(Quantity::ZERO, |wait| wait.0);
            if before[&key].0 - still < qty { say("does not work", format!("{key:?} {qty} promised, {still} of {} still waits", before[&key].0)); }
        }
        for (key, (_, minutes)) in &after {
            if before.get(key).is_none_or(|old| old.1 < *minutes) { say("another piece waits longer", format!("{key:?} {minutes} {:?}", before.get(key))); }
        }
        for (i, (piece, advice)) in cures.pieces.iter().enumerate() {
            let Advice::With(others) = advice else { continue };
            let key = (unit(&plan, piece.owner), plant.part(piece.part).code.clone(), plant.dest(piece.to).code.clone());
            for other in others {
                if cures.pieces[*other].1.working().is_none() {
                    say("with what does not work", format!("{i} {key:?} {other}"));
                }
            }
            // What bought pieces are told was found part by part, what made ones are told with all that is bought.
            let above = |j: &usize| {
                let other = &cures.pieces[*j].0;
                let first = if piece.made() { !other.made() } else { false };
                first || (*j < i && if piece.made() { other.made() } else { other.part == piece.part })
            };
            let only: Vec<&Change> = (0..cures.pieces.len()).filter(|j| above(j) || others.contains(j))
                .filter_map(|j| cures.pieces[j].1.working()).flat_map(|cure| &cure.candidate.changes).collect();
            let plant = lineward::cures::changed(&plant, only);
            let with = waits(&planned(&plant));
            if with.get(&key).is_some_and(|wait| wait.0 >= before[&key].0) {
                say("with, but not by it", format!("{i} {key:?} {others:?}"));
            }
        }
    }
    println!("{counts:#?}");
    for (what, list) in &complaints {
        println!("== {what}: {}", list.len());
        list.iter().take(8).for_each(|line| println!("   {line}"));
    }
    assert!(complaints.is_empty());
}

fn number(cell: &str) -> Quantity {
    Quantity::cut(lineward::base::Ratio::decimal(cell).expect("a number")).expect("not too large")
}
