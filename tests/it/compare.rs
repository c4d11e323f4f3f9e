//! Two plans side by side: catches changes that do not add up, a walk that loses pieces or handles too many, and a notice that
//! depends on where the plans come from.
//!
//! The expected notices of the worked examples are worked out by hand beside them; the least number of pieces handled comes
//! from a general algorithm for flows of least cost, which knows nothing of kits.

use super::random_books::{Book, Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::Moment;
use lineward::compare::{
    Act, Codes, CompareTerms, Deliveries, Kit, Notice, PlanRows, PullChange, Side, notice, picked, settle, workbook,
};
use lineward::report::{table::TABLES, to_csv, to_parquet};
use lineward::{check, plan};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const ALL: CompareTerms = CompareTerms { jobs_moved: 0, picked_through: None, as_of: None };

/// The plan of a book, its rows and its tables as texts; none where the book can't be planned.
struct Planned {
    rows: PlanRows,
    tables: BTreeMap<&'static str, String>,
}

fn planned(sheets: &Sheets) -> Option<Planned> {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    if findings.any_error() {
        return None;
    }
    let (plan, _) = plan::plan(&plant, &plan::Request { set_aside: true, ..Default::default() });
    let plan = plan?;
    let rows = PlanRows::of_plan(&plan, &mut Codes::default()).expect("the plan's own tables");
    let tables = TABLES.iter().map(|table| (table.name, super::support::table_text(table, &plan)));
    Some(Planned { rows, tables: tables.collect() })
}

/// A book with a few random edits: rows gone, units held, amounts changed.
fn edited(book: &Book, seed: u64) -> Sheets {
    let mut rng = fastrand::Rng::with_seed(seed.wrapping_mul(77) + 5);
    let mut sheets = Sheets(book.clone());
    for _ in 0..rng.usize(1..4) {
        let table = ["Sequence", "Stock", "Receipts", "Extras", "Bills", "Sequence", "Started"][rng.usize(0..7)];
        let Some(text) = sheets.0.get(table) else { continue };
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        if lines.len() < 3 {
            continue;
        }
        let at = rng.usize(1..lines.len());
        let headings: Vec<String> = lines[0].split(',').map(|heading| heading.trim().to_lowercase()).collect();
        let column = |name: &str| headings.iter().position(|heading| heading == name);
        let mut cells: Vec<String> = lines[at].split(',').map(str::to_owned).collect();
        match (table, column("hold"), column("qty")) {
            ("Sequence", Some(hold), _) if cells.len() == headings.len() && rng.bool() => {
                cells[hold] = if cells[hold].is_empty() { "broken".to_owned() } else { String::new() };
                lines[at] = cells.join(",");
            }
            ("Stock" | "Receipts", _, Some(qty)) if cells.len() == headings.len() && rng.bool() => {
                cells[qty] = rng.u8(1..9).to_string();
                lines[at] = cells.join(",");
            }
            _ => _ = lines.remove(at),
        }
        sheets.0.insert(table.to_owned(), lines.join("\n"));
    }
    sheets
}

/// Random plans and their edited copies.
fn pairs(first: u64, count: u64, mut visit: impl FnMut(u64, &Planned, &Planned)) {
    let (mut seen, mut different) = (0, 0);
    for seed in first..first + rounds(count) {
        let book = random_book(seed, if seed % 8 == 0 { Size::Large } else { Size::Small });
        let (old, new) = (planned(&Sheets(book.clone())), planned(&edited(&book, seed)));
        let (Some(old), Some(new)) = (old, new) else { continue };
        seen += 1;
        different += u64::from(old.tables != new.tables);
        visit(seed, &old, &new);
    }
    assert!(seen * 2 > rounds(count) && different * 3 > rounds(count), "{seen} pairs, {different} different");
}

/// A table's rows, each a map from heading to cell.
fn records(text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings: Vec<String> = reader.headers().expect("headings").iter().map(str::to_owned).collect();
    let rows = reader.records().map(|row| row.expect("a row"));
    rows.map(|row| headings.iter().cloned().zip(row.iter().map(str::to_owned)).collect()).collect()
}

/// A plain decimal in millionths.
fn millionths(text: &str) -> i64 {
    let (sign, digits) = text.strip_prefix('-').map_or((1, text), |digits| (-1, digits));
    let (whole, places) = digits.split_once('.').unwrap_or((digits, ""));
    let all: i64 = format!("{whole}{places:0<6}").parse().expect("a decimal");
    sign * all
}

/// The sums of the quantities of a table's rows that are alike in some columns, codes in lower case.
fn sums(text: &str, columns: &[&str]) -> BTreeMap<Vec<String>, i64> {
    let mut sums = BTreeMap::new();
    for row in records(text) {
        let key: Vec<String> = columns.iter().map(|column| row[*column].to_lowercase()).collect();
        *sums.entry(key).or_default() += millionths(&row["qty"]);
    }
    sums
}

fn lower(text: impl ToString) -> String {
    text.to_string().to_lowercase()
}

#[test]
fn old_and_changes_are_new_for_every_pull_and_demand() {
    pairs(0, 150, |seed, old, new| {
        let notice = notice(&old.rows, &new.rows, &ALL);
        let columns = ["wave", "part", "to", "unit"];
        let mut pulls = sums(&old.tables["pulls"], &columns);
        for change in &notice.pulls {
            let key = vec![lower(change.wave), lower(&change.part), lower(&change.to), lower(&change.unit)];
            assert!(change.old != change.new || change.was != change.is, "seed {seed}: a change that is none");
            *pulls.entry(key).or_default() += (change.add() - change.take_out()).millionths();
        }
        pulls.retain(|_, qty| *qty != 0);
        assert_eq!(pulls, sums(&new.tables["pulls"], &columns), "seed {seed}");
        let columns = ["unit", "part", "to", "need"];
        let mut demands = sums(&old.tables["demands"], &columns);
        for change in &notice.needs {
            let key = vec![lower(&change.unit), lower(&change.part), lower(&change.to), lower(change.need)];
            *demands.entry(key).or_default() += (change.new - change.old).millionths();
        }
        demands.retain(|_, qty| *qty != 0);
        assert_eq!(demands, sums(&new.tables["demands"], &columns), "seed {seed}");
    });
}

/// A unit's cells as its table prints them.
fn unit_cells(row: &lineward::compare::UnitRow) -> Vec<String> {
    let time = |at: Option<Moment>| at.map_or(String::new(), lower);
    let options: Vec<String> = row.options.iter().map(lower).collect();
    let mut cells =
        vec![lower(&row.unit), lower(&row.line), row.seq.to_string(), lower(&row.floorplan), options.join(" ")];
    cells.extend([time(row.enters), time(row.leaves), lower(&row.status), lower(&row.first_part), time(row.clear_at)]);
    cells
}

#[test]
fn old_and_changes_are_new_for_every_unit_and_job() {
    const UNIT: [&str; 10] =
        ["unit", "line", "seq", "floorplan", "options", "enters", "leaves", "status", "first_part", "clear_at"];
    const JOB: [&str; 7] = ["shop", "unit", "part", "to", "qty", "start", "material"];
    let cells = |text: &str, columns: &[&str]| -> Vec<Vec<String>> {
        let rows = records(text).into_iter().map(|row| columns.iter().map(|column| lower(&row[*column])).collect());
        let mut rows: Vec<Vec<String>> = rows.collect();
        rows.sort();
        rows
    };
    let job = |row: &lineward::compare::JobRow| -> Vec<String> {
        let codes = [&row.shop, &row.unit, &row.part, &row.to].map(lower);
        codes.into_iter().chain([row.qty.to_string(), lower(row.start), lower(&row.material)]).collect()
    };
    let mut jobs_seen = 0;
    pairs(1000, 150, |seed, old, new| {
        let notice = notice(&old.rows, &new.rows, &ALL);
        let apply = |rows: &mut Vec<Vec<String>>, gone: Option<Vec<String>>, came: Option<Vec<String>>| {
            if let Some(gone) = gone {
                let at = rows.iter().position(|row| *row == gone);
                rows.remove(at.unwrap_or_else(|| panic!("seed {seed}: {gone:?} was not there")));
            }
            rows.extend(came);
        };
        let mut units = cells(&old.tables["units"], &UNIT);
        for change in &notice.units {
            apply(&mut units, change.old.as_ref().map(unit_cells), change.new.as_ref().map(unit_cells));
        }
        units.sort();
        assert_eq!(units, cells(&new.tables["units"], &UNIT), "seed {seed}");
        let mut jobs = cells(&old.tables["jobs"], &JOB);
        for change in &notice.jobs {
            apply(&mut jobs, change.old.as_ref().map(job), change.new.as_ref().map(job));
        }
        jobs.sort();
        jobs_seen += notice.jobs.len();
        assert_eq!(jobs, cells(&new.tables["jobs"], &JOB), "seed {seed}");
    });
    assert!(jobs_seen > 20);
}

/// What is short or late by unit and part, straight from the pegs.
#[test]
fn old_and_changes_are_new_for_every_shortage_and_receipt() {
    let lacks = |text: &str, late: bool| {
        let mut lacks: BTreeMap<(String, String), i64> = BTreeMap::new();
        for peg in records(text) {
            let is = if late { peg["late_minutes"] != "0" } else { peg["cover"] == "none" };
            if is {
                *lacks.entry((lower(&peg["unit"]), lower(&peg["part"]))).or_default() += millionths(&peg["qty"]);
            }
        }
        lacks
    };
    let taken = |text: &str| {
        let mut taken: BTreeMap<(String, String), i64> = BTreeMap::new();
        for peg in records(text).iter().filter(|peg| peg["cover"] == "receipt") {
            *taken.entry((lower(&peg["source"]), lower(&peg["part"]))).or_default() += millionths(&peg["qty"]);
        }
        taken
    };
    pairs(2000, 120, |seed, old, new| {
        let notice = notice(&old.rows, &new.rows, &ALL);
        for (late, word) in [(false, "short"), (true, "late")] {
            let mut all = lacks(&old.tables["pegs"], late);
            for change in notice.shortages.iter().filter(|change| change.missing.word() == word) {
                let qty =
                    |lack: &Option<lineward::compare::Lack>| lack.as_ref().map_or(0, |lack| lack.qty.millionths());
                *all.entry((lower(&change.unit), lower(&change.part))).or_default() +=
                    qty(&change.new) - qty(&change.old);
            }
            all.retain(|_, qty| *qty != 0);
            assert_eq!(all, lacks(&new.tables["pegs"], late), "seed {seed} {word}");
        }
        // The last moment of a receipt tells all that is taken of it.
        let (before, after) = (taken(&old.tables["pegs"]), taken(&new.tables["pegs"]));
        for (key, qty) in before.iter().chain(&after) {
            let change = notice.receipts.iter().find(|change| (lower(&change.order), lower(&change.part)) == *key);
            let (old, new) = (before.get(key).unwrap_or(&0), after.get(key).unwrap_or(&0));
            match change.and_then(|change| change.steps.last()) {
                Some(step) => assert_eq!(step.new.millionths() - step.old.millionths(), {
                    if old == new { step.new.millionths() - step.old.millionths() } else { new - old }
                }),
                None => assert_eq!(old, new, "seed {seed}: {key:?} {qty}"),
            }
        }
    });
}

#[test]
fn a_plan_is_the_same_as_itself_and_the_way_back_is_the_mirror() {
    pairs(3000, 80, |seed, old, new| {
        let asked = CompareTerms { picked_through: old.rows.pulls.last().map(|pull| pull.wave), ..ALL };
        let same = notice(&old.rows, &old.rows, &asked);
        assert!(same.is_empty(), "seed {seed}");
        let tasks = same.walk.map(|walk| walk.tasks).unwrap_or_default();
        assert!(tasks.iter().all(|task| task.act == Act::Leave), "seed {seed}");
        let (there, back) = (notice(&old.rows, &new.rows, &ALL), notice(&new.rows, &old.rows, &ALL));
        assert_eq!(told(&there, false), told(&back, true), "seed {seed}");
    });
}

/// All that a notice tells, sorted; with `turned` old and new change places.
fn told(notice: &Notice, turned: bool) -> Vec<String> {
    fn pair<T: std::fmt::Debug>(old: T, new: T, turned: bool) -> String {
        let told = if turned { (new, old) } else { (old, new) };
        format!("{told:?}").to_lowercase()
    }
    let mut all: Vec<String> = Vec::new();
    all.extend(notice.units.iter().map(|c| format!("{} {}", lower(&c.unit), pair(&c.old, &c.new, turned))));
    all.extend(notice.units.iter().map(|c| pair(&c.options_went, &c.options_came, turned)));
    all.extend(notice.pulls.iter().map(|c| {
        let key = [&c.to, &c.unit, &c.part, &c.uom].map(lower);
        format!("{} {key:?} {}", c.wave, pair((c.old, &c.was), (c.new, &c.is), turned))
    }));
    all.extend(notice.needs.iter().map(|c| {
        format!("{:?} {} {}", [&c.to, &c.unit, &c.part, &c.uom].map(lower), c.need, pair(c.old, c.new, turned))
    }));
    all.extend(notice.jobs.iter().map(|c| pair(&c.old, &c.new, turned)));
    all.extend(
        notice
            .shortages
            .iter()
            .map(|c| format!("{} {} {:?} {}", lower(&c.unit), lower(&c.part), c.missing, pair(&c.old, &c.new, turned))),
    );
    for c in &notice.receipts {
        let steps = c.steps.iter().map(|step| format!("{} {}", step.by, pair(step.old, step.new, turned)));
        all.push(format!("{} {} {:?}", lower(&c.order), lower(&c.part), steps.collect::<Vec<_>>()));
    }
    all.extend(notice.orders.iter().map(|c| pair(&c.old, &c.new, turned)));
    all.sort();
    all
}

/// The least cost of sending all that can be sent through a net, by shortest ways until there is none (Bellman and Ford).
fn least_cost(nodes: usize, edges: &[(usize, usize, i64, i64)], from: usize, to: usize) -> (i64, i64) {
    let mut net: Vec<(usize, usize, i64, i64)> = Vec::new();
    for (a, b, room, cost) in edges {
        net.push((*a, *b, *room, *cost));
        net.push((*b, *a, 0, -cost));
    }
    let (mut sent, mut total) = (0, 0);
    loop {
        let mut best = vec![(i64::MAX / 2, usize::MAX); nodes];
        best[from].0 = 0;
        for _ in 0..nodes {
            for (i, (a, b, room, cost)) in net.iter().enumerate() {
                if *room > 0 && best[*a].0 + cost < best[*b].0 {
                    best[*b] = (best[*a].0 + cost, i);
                }
            }
        }
        if best[to].0 >= i64::MAX / 4 {
            return (sent, total);
        }
        let mut way = Vec::new();
        let mut at = to;
        while at != from {
            way.push(best[at].1);
            at = net[best[at].1].0;
        }
        let room = way.iter().map(|i| net[*i].2).min().expect("a way");
        for i in way {
            net[i].2 -= room;
            net[i ^ 1].2 += room;
        }
        sent += room;
        total += room * best[to].0;
    }
}

/// The fewest pieces handled that turn what kits have into what they should have: whatever stays costs nothing, whatever goes
/// anywhere else, the stores included, costs one.
fn fewest(has: &BTreeMap<Kit, i64>, should: &BTreeMap<Kit, i64>) -> i64 {
    let (kits, wanted): (Vec<_>, Vec<_>) = (has.iter().collect(), should.iter().collect());
    let (all, lacking): (i64, i64) = (has.values().sum(), should.values().sum());
    // Nodes: source, sink, stores giving, stores taking, then the kits as they are, then as they should be.
    let (source, sink, giving, taking) = (0, 1, 2, 3);
    let mut edges = vec![(source, giving, lacking, 0), (taking, sink, all, 0), (giving, taking, lacking, 0)];
    for (i, (kit, qty)) in kits.iter().enumerate() {
        edges.push((source, 4 + i, **qty, 0));
        edges.push((4 + i, taking, **qty, 1));
        for (j, (other, _)) in wanted.iter().enumerate() {
            edges.push((4 + i, 4 + kits.len() + j, **qty, i64::from(kit != other)));
        }
    }
    for (j, (_, qty)) in wanted.iter().enumerate() {
        edges.push((giving, 4 + kits.len() + j, **qty, 1));
        edges.push((4 + kits.len() + j, sink, **qty, 0));
    }
    let (sent, cost) = least_cost(4 + kits.len() + wanted.len(), &edges, source, sink);
    assert_eq!(sent, all + lacking, "everything goes somewhere");
    cost
}

#[test]
fn the_walk_gives_the_new_carts_and_handles_the_fewest_pieces() {
    let (mut moved, mut picked_up, mut settled_seen) = (0, 0, 0);
    pairs(4000, 150, |seed, old, new| {
        let waves: Vec<Moment> = old.rows.pulls.iter().map(|pull| pull.wave).collect();
        for through in waves.iter().step_by(waves.len().div_ceil(3).max(1)) {
            let notice = notice(&old.rows, &new.rows, &CompareTerms { picked_through: Some(*through), ..ALL });
            let walk = notice.walk.expect("a walk");
            let mut has = picked(&old.rows, *through);
            let settled = settle(&mut has, &old.rows, &new.rows, None);
            assert_eq!(settled, walk.settled);
            settled_seen += settled.len();
            let should = picked(&new.rows, *through);
            for material in has.keys().chain(should.keys()) {
                let amounts = |carts: &lineward::compare::Carts| -> BTreeMap<Kit, i64> {
                    let kits = carts.get(material).into_iter().flatten();
                    kits.map(|(kit, held)| (kit.clone(), held.qty.millionths())).collect()
                };
                let (before, after) = (amounts(&has), amounts(&should));
                let mut now = before.clone();
                let mut handled = 0;
                let tasks = walk.tasks.iter().filter(|task| (&task.part, &task.uom) == (&material.part, &material.uom));
                let mut touched: BTreeMap<Kit, i64> = BTreeMap::new();
                for task in tasks {
                    let qty = task.qty.millionths();
                    assert!(qty > 0);
                    if let Some(from) = &task.from {
                        *touched.entry(from.clone()).or_default() += qty;
                    }
                    if task.act == Act::Leave {
                        continue;
                    }
                    moved += i64::from(task.act == Act::Move);
                    picked_up += i64::from(task.act == Act::Pick);
                    handled += qty;
                    task.from.iter().for_each(|kit| *now.entry(kit.clone()).or_default() -= qty);
                    task.to.iter().for_each(|kit| *now.entry(kit.clone()).or_default() += qty);
                }
                now.retain(|_, qty| *qty != 0);
                assert_eq!(now, after, "seed {seed} {material:?}");
                // Something is said of each piece that is on a cart.
                assert_eq!(touched, before, "seed {seed} {material:?}");
                assert_eq!(handled, fewest(&before, &after), "seed {seed} {material:?}");
            }
        }
    });
    assert!(moved > 10 && picked_up > 10 && settled_seen > 10, "{moved} {picked_up} {settled_seen}");
}

/// The carts of the old plan, straight from its tables: what is pulled, less the pegs that were not there.
#[test]
fn carts_hold_what_was_there_when_they_were_picked() {
    pairs(5000, 60, |seed, old, _| {
        let Some(last) = old.rows.pulls.last().map(|pull| pull.wave) else { return };
        let mut expected: BTreeMap<[String; 3], i64> = BTreeMap::new();
        let (pulls, pegs) = (records(&old.tables["pulls"]), records(&old.tables["pegs"]));
        for pull in &pulls {
            let mut qty = millionths(&pull["qty"]);
            let same = |peg: &&BTreeMap<String, String>| ["part", "to", "unit"].iter().all(|c| peg[*c] == pull[*c]);
            for peg in pegs.iter().filter(same).filter(|_| pull["issue"] != "bulk") {
                let later = pulls
                    .iter()
                    .any(|other| same(&other) && other["wave"] > pull["wave"] && other["wave"] <= peg["need"]);
                let absent =
                    peg["cover"] == "none" || (peg["cover"] == "receipt" && peg["available"] > pull["pick_start"]);
                if absent && !later && peg["need"] >= pull["wave"] {
                    qty -= millionths(&peg["qty"]);
                }
            }
            *expected.entry(["part", "to", "unit"].map(|c| lower(&pull[c]))).or_default() += qty.max(0);
        }
        expected.retain(|_, qty| *qty != 0);
        let mut found: BTreeMap<[String; 3], i64> = BTreeMap::new();
        for (material, kits) in picked(&old.rows, last) {
            for (kit, held) in kits {
                *found.entry([&material.part, &kit.to, &kit.unit].map(lower)).or_default() += held.qty.millionths();
            }
        }
        // A part pulled in bulk for somebody and in kits for somebody else is one material; random books have none.
        assert_eq!(found, expected, "seed {seed}");
    });
}

/// An example, and the same with some texts of a table replaced.
fn example(name: &str, table: &str, edits: &[(&str, &str)]) -> [Sheets; 2] {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/examples/{name}/book"));
    let mut sheets = Sheets::default();
    for entry in std::fs::read_dir(folder).expect("the example") {
        let path = entry.expect("a file").path();
        let table = path.file_stem().expect("a name").to_string_lossy().into_owned();
        sheets.set(&table, &std::fs::read_to_string(&path).expect("text"));
    }
    let mut changed = sheets.clone();
    for (old, new) in edits {
        let text = &changed.0[table];
        assert_eq!(text.matches(old).count(), 1, "{old}");
        let text = text.replace(old, new);
        changed.set(table, &text);
    }
    [sheets, changed]
}

/// The notice of an example, jobs told that moved by more than half an hour.
fn notice_of(books: &[Sheets; 2], picked_through: Option<&str>) -> Notice {
    let [old, new] = [&books[0], &books[1]].map(|sheets| planned(sheets).expect("a plan"));
    let picked_through = picked_through.map(|text| Moment::parse(text).expect("a moment").0);
    notice(&old.rows, &new.rows, &CompareTerms { jobs_moved: 30 * 60, picked_through, as_of: None })
}

/// A notice as it is told, whole.
fn lines(notice: &Notice) -> Vec<String> {
    lineward::compare::text(notice, usize::MAX).lines().map(str::to_owned).collect()
}

const HOLD_U6: [(&str, &str); 2] =
    [("options,at\n", "options,at,hold\n"), ("L1,60,U6,T,MIC AWN,", "L1,60,U6,T,MIC AWN,,weld to redo")];

/// U6 is the last unit: nobody else moves. Of its six parts the screws are served from the pack that U5 makes follow, so five
/// pulls go; AX-35 was late by 90 minutes (need 08:00, receipt 09:30); MW-07 came in time, as a special run. Both receipts
/// are needed less, none earlier.
#[test]
fn a_unit_on_hold_takes_its_own_away_and_nothing_else() {
    let notice = notice_of(&example("planner", "Sequence", &HOLD_U6), None);
    let expected = [
        "Units: 1 on or off hold",
        "  U6: no longer enters (was Tue 14 Sep 09:00); on hold (was late, waits for AX-35, clear Tue 14 Sep 09:30)",
        "Kits and bulk: 3 deliveries changed",
        "  Tue 14 Sep 06:00 run, U6 at CH: take out 2 ea AX-35 Axle with brakes",
        "  Tue 14 Sep 08:30 run, U6 at CB: take out 1 ea SNK-02 Sink; take out 1 ea MW-07 Microwave",
        "  Tue 14 Sep 11:00 run, U6 at FN: take out 1 ea AW-14 Awning 3.6 m",
        "Shortages: 1 went",
        "  U6, AX-35 Axle with brakes: went: 2 late (by 1 h 30 min)",
    ];
    assert_eq!(lines(&notice), expected);
    // Picking for the 06:00 run begins at 05:00, for the 08:30 run at 07:30.
    let receipts = notice.receipts.iter().map(|change| {
        let steps = change.steps.iter().map(|step| format!("{} {} {}", step.by, step.old, step.new));
        format!("{} {}: {}", change.order, change.part, steps.collect::<Vec<_>>().join(", "))
    });
    let expected = ["7001 AX-35: 2027-09-14T05:00:00 2 0", "7002 MW-07: 2027-09-14T07:30:00 1 0"];
    assert_eq!(receipts.collect::<Vec<_>>(), expected);
}

/// U4 of floorplan T gets an awning: one AW-14 at FN, where U4 arrives at W 360, wanted 60 minutes before: 11:30, with the
/// 11:00 run; six are in stock.
#[test]
fn an_option_more_adds_its_part_and_nothing_else() {
    let books = example("planner", "Sequence", &[("L1,40,U4,T,AC,", "L1,40,U4,T,AC AWN,")]);
    let expected = [
        "Units: 1 built otherwise",
        "  U4: now with AWN",
        "Kits and bulk: 1 delivery changed",
        "  Tue 14 Sep 11:00 run, U4 at FN: add 1 ea AW-14 Awning 3.6 m",
        "Needs of another quantity",
        "  U4 at FN: 1 ea AW-14 Awning 3.6 m (was 0)",
    ];
    assert_eq!(lines(&notice_of(&books, None)), expected);
}

/// Windows come on Wed 15 at 09:30 instead of Fri 17. V2 waits for one from Wed 06:00: 210 minutes instead of 3,090. V3 (Thu
/// 06:00) and V4 (Fri 06:00) find theirs there when their runs are picked. V6 is short of one as before.
#[test]
fn a_receipt_that_comes_earlier_clears_units() {
    let books = example("buyer", "Receipts", &[("8001,WN-20,20,2027-09-17", "8001,WN-20,20,2027-09-15")]);
    let expected = [
        "Units: 3 standing otherwise",
        "  V2: late, waits for WN-20, clear Wed 15 Sep 09:30 (was late, waits for WN-20, clear Fri 17 Sep 09:30)",
        "  V3: clear (was late, waits for WN-20, clear Fri 17 Sep 09:30)",
        "  V4: clear (was late, waits for WN-20, clear Fri 17 Sep 09:30)",
        "Kits and bulk: 2 deliveries changed",
        "  Thu 16 Sep 06:00 run, V3 at FN: 4 ea WN-20 Window, arriving (was late)",
        "  Fri 17 Sep 06:00 run, V4 at FN: 6 ea WN-20 Window, arriving (was late)",
        "Shortages: 2 went, 1 changed",
        "  V2, WN-20 Window: sooner: 1 late (by 3 h 30 min) (was 1 late (by 2 days 3 h 30 min))",
        "  V3, WN-20 Window: went: 4 late (by 1 day 3 h 30 min)",
        "  V4, WN-20 Window: went: 6 late (by 3 h 30 min)",
    ];
    assert_eq!(lines(&notice_of(&books, None)), expected);
}

/// With one place empty before it U6 enters at W 240 (10:30) instead of W 180. 60 working minutes ahead of CH that is 09:00, with
/// the 08:30 run (was 08:00, 06:00 run); of CB, W 360, 11:30 with the 11:00 run (was W 240, 08:30 run); of FN, W 540, Wed 06:00
/// (was W 420, 13:30, 11:00 run). AX-35 comes at 09:30, after 09:00; MW-07 at 10:00, when the 11:00 run is picked. The screws of
/// U6 are in the pack that U5 makes follow, then and now.
#[test]
fn a_kit_that_goes_with_another_run_is_told_in_one_line() {
    let books =
        example("planner", "Sequence", &[("options,at\n", "options,at,gap\n"), ("U6,T,MIC AWN,", "U6,T,MIC AWN,,1")]);
    let notice = notice_of(&books, None);
    let told = lines(&notice);
    let expected = [
        "Otherwise as it was: 3 kits go with another run",
        "  U6 at CH: 1 line with the Tue 14 Sep 08:30 run (was Tue 14 Sep 06:00); 1 late",
        "  U6 at CB: 2 lines with the Tue 14 Sep 11:00 run (was Tue 14 Sep 08:30); 1 arriving",
        "  U6 at FN: 1 line with the Wed 15 Sep 06:00 run (was Tue 14 Sep 11:00)",
    ];
    assert_eq!(told[2..6], expected);
    assert!(!told.iter().any(|line| line.contains("add ") || line.contains("take out ")), "{told:?}");
    let sheets = written(&notice, &ALL);
    let kits = [
        ["", "U6", "CH", "2027-09-14 06:00", "2027-09-14 08:30", "1", "1 late"],
        ["", "U6", "CB", "2027-09-14 08:30", "2027-09-14 11:00", "2", "1 arriving"],
        ["", "U6", "FN", "2027-09-14 11:00", "2027-09-15 06:00", "1", ""],
    ];
    assert!(sheets["other runs"].ends_with(&kits.map(|row| row.map(str::to_owned).to_vec())), "{sheets:#?}");
    assert!(sheets["front"].iter().any(|row| row[0] == "kits on another run" && row[2] == "3"), "{sheets:#?}");
    assert!(!sheets.contains_key("kits"));
    // With an air unit more at FN that kit is another one; the others are as they were.
    let more = [("options,at\n", "options,at,gap\n"), ("U6,T,MIC AWN,", "U6,T,MIC AWN AC,,1")];
    let told = lines(&notice_of(&example("planner", "Sequence", &more), None));
    assert!(told.contains(&"Otherwise as it was: 2 kits go with another run".to_owned()), "{told:?}");
    assert!(told.iter().any(|line| line.contains("U6 at FN: take out 1 ea AW-14")), "{told:?}");
}

/// Every line that changed is told once: in a delivery that changed, or with its other half in a kit that goes over.
#[test]
fn nothing_is_lost_between_deliveries() {
    let mut over = 0;
    pairs(0, 60, |seed, old, new| {
        let notice = notice(&old.rows, &new.rows, &ALL);
        let deliveries = Deliveries::of(&notice);
        let mut told: Vec<&PullChange> = deliveries.changed.iter().flatten().copied().collect();
        for kit in &deliveries.other_run {
            for line in &kit.lines {
                let same = |other: &&PullChange| {
                    (&other.to, &other.unit, &other.part, &other.uom) == (&line.to, &line.unit, &line.part, &line.uom)
                        && (other.wave, other.old, other.new) == (kit.was, line.new, line.old)
                };
                let was: Vec<&PullChange> = notice.pulls.iter().filter(same).collect();
                assert!(was.len() == 1 && line.old.is_zero() && !line.bulk && line.wave != kit.was, "seed {seed}");
                told.extend([*line, was[0]]);
                over += 1;
            }
        }
        let key = |line: &&PullChange| format!("{line:?}");
        told.sort_by_key(key);
        let mut all: Vec<&PullChange> = notice.pulls.iter().collect();
        all.sort_by_key(key);
        assert_eq!(told, all, "seed {seed}");
    });
    assert!(over > 0);
}

/// Without U6 its three jobs go. U5's walls (40 min, due W 220) no longer make room for U6's (W 180): they start at W 180
/// (09:00) instead of W 140 (08:20). U5's cabinets start 10 minutes later, which is not told. U6's starts: cabinets W 155,
/// slide box W 275 (11:05, after the break), walls W 180.
#[test]
fn jobs_that_moved_by_more_than_half_an_hour_are_told() {
    let expected = [
        "Units: 1 on or off hold",
        "  U6: no longer enters (was Tue 14 Sep 09:00); on hold (was clear)",
        "Kits and bulk: 1 delivery changed",
        "  Tue 14 Sep 06:00 run, U6 at CAB: take out 5 sheet BRD-15 Board 15 mm",
        "Jobs: 3 gone, 1 moved",
        "  CAB U6 CABS-T: gone: 1, was to start Tue 14 Sep 08:35",
        "  SLD U6 SBX-T: gone: 1, was to start Tue 14 Sep 11:05",
        "  WAL U5 WALL-D: starts 40 min later, Tue 14 Sep 09:00 (was Tue 14 Sep 08:20)",
        "  WAL U6 WALL-T: gone: 1, was to start Tue 14 Sep 09:00",
    ];
    assert_eq!(lines(&notice_of(&example("shops", "Sequence", &HOLD_U6), None)), expected);
}

/// U4 gives its roof air unit up and U6 wants one. The three good ones now go to U1, U2 and U5 (by need), so the one on U4's
/// cart is U5's, which had none; U6 waits for the receipt, and what is not there can't be picked.
const AIR: [(&str, &str); 2] = [("L1,40,U4,T,AC,", "L1,40,U4,T,,"), ("L1,60,U6,T,MIC AWN,", "L1,60,U6,T,AC MIC AWN,")];

#[test]
fn what_one_unit_gives_up_is_carried_to_the_one_that_needs_it() {
    let notice = notice_of(&example("planner", "Sequence", &AIR), Some("2027-09-14 11:00"));
    let walk = notice.walk.as_ref().expect("a walk");
    let all: Vec<String> = lines(&notice).into_iter().take(2).collect();
    // AX-35 for U4 and U5; a pack of screws; five sinks; one microwave; roof air units of U1 and U2; three awnings.
    let expected = [
        "With all runs picked up to the Tue 14 Sep 11:00 run: 1 to move, 14 to leave",
        "  move 1 ea RA-13 Roof air unit from U4 at FN to U5 at FN",
    ];
    assert_eq!(all, expected);
    assert_eq!(walk.settled, []);
    // Up to the 08:30 run none is on a cart that should not be.
    let earlier = notice_of(&example("planner", "Sequence", &AIR), Some("2027-09-14 08:30")).walk.expect("a walk");
    assert!(earlier.tasks.iter().all(|task| task.act == Act::Leave) && earlier.tasks.len() == 12);
}

/// With the 08:30 run picked, U6's sink is on a cart; its axles and its microwave were not there when their runs were picked.
#[test]
fn what_was_not_there_is_not_brought_back() {
    let notice = notice_of(&example("planner", "Sequence", &HOLD_U6), Some("2027-09-14 08:30"));
    assert_eq!(lines(&notice)[1], "  bring back 1 ea SNK-02 Sink from U6 at CB");
    assert_eq!(lines(&notice)[0], "With all runs picked up to the Tue 14 Sep 08:30 run: 1 to bring back, 11 to leave");
}

/// A side of a comparison, for the workbook.
fn sides() -> [Side; 2] {
    ["monday", "tuesday"].map(|name| Side { name: name.to_owned(), as_of: None })
}

/// The cells of each sheet of the notice's workbook, as text.
fn written(notice: &Notice, asked: &CompareTerms) -> BTreeMap<String, Vec<Vec<String>>> {
    use calamine::Reader;
    let [old, new] = sides();
    let bytes = lineward::report::to_xlsx(&workbook(notice, [&old, &new], asked)).expect("its bytes");
    let again = lineward::report::to_xlsx(&workbook(notice, [&old, &new], asked)).expect("its bytes");
    assert_eq!(bytes, again, "the same notice gives the same file");
    let mut xlsx: calamine::Xlsx<_> = calamine::open_workbook_from_rs(std::io::Cursor::new(bytes)).expect("a workbook");
    let sheets = xlsx.worksheets().into_iter();
    sheets.map(|(name, range)| (name, range.rows().map(|row| row.iter().map(cell).collect()).collect())).collect()
}

fn cell(cell: &calamine::Data) -> String {
    match cell {
        calamine::Data::DateTime(time) => {
            let (year, month, day, hours, minutes, ..) = time.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02} {hours:02}:{minutes:02}")
        }
        other => other.to_string(),
    }
}

#[test]
fn the_workbook_holds_what_the_notice_tells() {
    let through = Moment::parse("2027-09-14 11:00").expect("a moment").0;
    let asked = CompareTerms { jobs_moved: 1800, picked_through: Some(through), as_of: None };
    let sheets = written(&notice_of(&example("planner", "Sequence", &AIR), Some("2027-09-14 11:00")), &asked);
    let has = |sheet: &str, cells: &[&str]| {
        let found = sheets[sheet].iter().any(|row| row.windows(cells.len()).any(|part| part == cells));
        assert!(found, "{sheet}: {cells:?} in {:#?}", sheets[sheet]);
    };
    let needed = "2027-09-14 12:30";
    has("walk", &["station", "FN", "move", "1", "ea", "RA-13", "Roof air unit", "U4 at FN", "U5 at FN", needed]);
    has("kits", &["2027-09-14 11:00", "FN", "U4", "D-1", "RA-13", "Roof air unit", "1", "0", "", "1", "ea"]);
    has("kits", &["FN", "U6", "D-1", "RA-13", "Roof air unit", "0", "1", "1", "", "ea", "late"]);
    has("kits", &["FN", "U5", "D-1", "RA-13", "Roof air unit", "1", "1", "", "", "ea", "ready (was late)"]);
    // U5 had waited for Thu 09:30 from Tue 12:30: 45 h. U6 needs its own from Tue 13:30: 44 h.
    has("shortages", &["went", "late", "U5", "RA-13", "Roof air unit", "1", "", "ea"]);
    has(
        "shortages",
        &[
            "came",
            "late",
            "U6",
            "RA-13",
            "Roof air unit",
            "",
            "1",
            "ea",
            "2027-09-14 13:30",
            "2027-09-16 09:30",
            "2640",
        ],
    );
    // The receipt is needed by the same run as before: nothing to tell.
    assert_eq!(sheets.keys().collect::<Vec<_>>(), ["front", "kits", "needs", "shortages", "stays", "units", "walk"]);
    has("front", &["the plan as it was", "", "monday"]);
    has("front", &["built otherwise", "", "U4 (now without AC), U6 (now with AC)"]);
    // Fourteen parts in twelve kits: CH 2, FL in bulk, CB 5, FN 4.
    let stays = sheets["stays"].iter().filter(|row| row.iter().any(|cell| cell == "wanted there still"));
    let parts: Vec<i64> = stays.map(|row| row[2].parse().expect("a number")).collect();
    assert_eq!((parts.len(), parts.iter().sum::<i64>()), (12, 14));
}

fn files_of(sheets: &Sheets, folder: &Path, parquet: bool) {
    std::fs::create_dir_all(folder.join("tables")).expect("a folder");
    let (plant, _) = check::plant(&sheets.book(), None, Moment::default());
    let (plan, _) = plan::plan(&plant, &plan::Request { set_aside: true, ..Default::default() });
    let plan = plan.expect("a plan");
    for table in &TABLES {
        let mut bytes = Vec::new();
        let outcome = if parquet { to_parquet(table, &plan, &mut bytes) } else { to_csv(table, &plan, &mut bytes) };
        outcome.expect("memory");
        let ending = if parquet { "parquet" } else { "csv" };
        std::fs::write(folder.join(format!("tables/{}.{ending}", table.name)), bytes).expect("a file");
    }
}

#[test]
fn folders_and_books_give_the_same_notice() {
    let mut books: Vec<[Sheets; 2]> =
        vec![example("planner", "Sequence", &AIR), example("shops", "Sequence", &HOLD_U6)];
    let random = (6000..6040).map(|seed| {
        let book = random_book(seed, Size::Small);
        [Sheets(book.clone()), edited(&book, seed)]
    });
    books.extend(random.filter(|pair| pair.iter().all(|sheets| planned(sheets).is_some())).take(12));
    assert!(books.len() > 8);
    for pair in books {
        let [old, new] = [&pair[0], &pair[1]].map(|sheets| planned(sheets).expect("a plan").rows);
        let asked = CompareTerms { picked_through: old.pulls.get(old.pulls.len() / 2).map(|pull| pull.wave), ..ALL };
        let expected = notice(&old, &new, &asked);
        for parquet in [[false, false], [true, false], [true, true]] {
            let folder = tempfile::tempdir().expect("a folder");
            let sides =
                [("old", &pair[0], parquet[0]), ("new", &pair[1], parquet[1])].map(|(name, sheets, parquet)| {
                    files_of(sheets, &folder.path().join(name), parquet);
                    let tables = lineward::compare::tables_of(&folder.path().join(name)).expect("a plan's folder");
                    lineward::compare::read(&tables, &mut Codes::default()).expect("its tables")
                });
            assert!(notice(&sides[0], &sides[1], &asked) == expected, "{}", pair[0].shown());
        }
    }
}

fn lineward(words: &[&str]) -> std::process::Output {
    let root = env!("CARGO_MANIFEST_DIR");
    std::process::Command::new(env!("CARGO_BIN_EXE_lineward")).current_dir(root).args(words).output().expect("it runs")
}

fn text(path: PathBuf) -> String {
    path.to_str().expect("UTF-8").to_owned()
}

#[test]
fn the_command_reads_folders_and_books_and_says_what_is_neither() {
    let folder = tempfile::tempdir().expect("a folder");
    let [old, new] = example("planner", "Sequence", &AIR);
    files_of(&old, &folder.path().join("old"), false);
    files_of(&new, &folder.path().join("new"), true);
    let [old, new, out] = ["old", "new", "out"].map(|name| text(folder.path().join(name)));
    let book = "tests/examples/planner/book";
    for first in [old.as_str(), book] {
        let done = lineward(&["compare", first, &new, "--picked-through", "2027-09-14 11:00", "--out", &out]);
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        let told = String::from_utf8(done.stdout).expect("UTF-8");
        assert!(told.contains("  move 1 ea RA-13 Roof air unit from U4 at FN to U5 at FN\n"), "{told}");
        assert!(Path::new(&out).join("change-notice.xlsx").is_file());
    }
    let same = lineward(&["compare", &old, book, "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&same.stdout).expect("JSON");
    assert_eq!((&json["units"], &json["pulls"]), (&serde_json::json!([]), &serde_json::json!([])));
    // Neither a plan nor a book; a table that is missing; a table that lacks a column; a cell that is no number.
    let refused = |words: &[&str]| {
        let refused = lineward(&[&["compare"], words, &["--json"]].concat());
        assert_eq!((refused.status.code(), refused.stdout.len()), (Some(3), 0));
        String::from_utf8(refused.stderr).expect("UTF-8")
    };
    let empty = text(folder.path().join("out"));
    assert!(refused(&[&empty, &new]).contains("neither a plan's folder"));
    let pulls = Path::new(&old).join("tables/pulls.csv");
    let sound = std::fs::read_to_string(&pulls).expect("a table");
    std::fs::remove_file(&pulls).expect("a table");
    assert!(refused(&[&new, &old]).contains("the plan's table 'pulls' is missing"));
    std::fs::write(&pulls, sound.replace("pick_start", "picked")).expect("a table");
    assert!(refused(&[&new, &old]).contains("the column 'pick_start' is missing"));
    std::fs::write(&pulls, sound.replacen(",2,ea,", ",two,ea,", 1)).expect("a table");
    assert!(refused(&[&new, &old]).contains("row 2, column 'qty': expected a quantity"));
}
