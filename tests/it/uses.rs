//! Where a part is used: catches sums that differ from the plan's, conditions that are lost on the way, and a wrong first hit.

use super::examples::folder;
use lineward::base::{Moment, PartId, Quantity};
use lineward::plan::Request;
use lineward::report::uses::text;
use lineward::uses::facts::Uses;
use lineward::{book, check, plan, uses};
use std::path::{Path, PathBuf};

fn of(path: &Path, part: &str) -> Uses {
    let book = book::open(path).expect("a book");
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error());
    let plan = plan::plan(&plant, &Request { set_aside: true, ..Default::default() }).0.expect("a plan");
    let id = plant.parts.iter().position(|known| known.code == part).expect("a part");
    uses::uses(&plan, &book, PartId::of(id))
}

fn example(name: &str, part: &str) -> Uses {
    of(&folder(name).join("book"), part)
}

fn demo(part: &str) -> Uses {
    of(&PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"), part)
}

/// The buyer's example by hand: V1 to V6 need 4, 6, 4, 6, 6 and 4 windows, one unit a day from Tue 14 (Sat and Sun closed);
/// of the 9 on hand V1 takes 4, so V2 finds 5 of its 6. The 3 on hold are not counted.
#[test]
fn windows_of_the_buyers_example() {
    let uses = example("buyer", "WN-20");
    let days: Vec<String> =
        uses.days.iter().map(|day| format!("{} {} {}", day.date, day.qty, day.units.join(" "))).collect();
    assert_eq!(
        days,
        [
            "2027-09-14 4 V1",
            "2027-09-15 6 V2",
            "2027-09-16 4 V3",
            "2027-09-17 6 V4",
            "2027-09-20 6 V5",
            "2027-09-21 4 V6"
        ]
    );
    assert_eq!((uses.total, uses.usable), (Quantity::whole(30), Quantity::whole(9)));
    let hit = uses.first_hit.as_ref().expect("9 are not enough for 30");
    assert_eq!((hit.unit.as_str(), hit.qty, hit.missing), ("V2", Quantity::whole(6), Quantity::whole(1)));
    assert_eq!(hit.need.to_string(), "2027-09-15T06:00:00");
    assert_eq!(uses.first_wrong.as_ref().expect("V2 waits").unit, "V2");
}

/// Read line by line; the same figures. Waiting: V2 for 1, V3 for 4, V4 for 6; V6 is short of 1. Of 8001 they need 1, then 5, then 11 all
/// told, picked at 05:00 and handed over ten minutes before 06:00 at the last; the line loses for it what `loss` works out.
#[test]
fn the_whole_text() {
    let expected = "\
WN-20 (Window) is used on every floorplan; the units ahead need 30 ea of it. If nothing came any
  more, V2 would be the first to be hit, at FN on Wed 15 Sep 06:00, missing 1 of 6 ea. As things are
  promised, V2 at FN on Wed 15 Sep 06:00 is the first to wait.

Where it is used
  D takes 4 ea for FN (Bills.csv row 2)
  T takes 6 ea for FN (Bills.csv row 3)

Units ahead, by day
  Tue 14 Sep: 4 ea for V1
  Wed 15 Sep: 6 ea for V2; 1 of it late or short
  Thu 16 Sep: 4 ea for V3; 4 of it late or short
  Fri 17 Sep: 6 ea for V4; 6 of it late or short
  Mon 20 Sep: 6 ea for V5
  Tue 21 Sep: 4 ea for V6; 1 of it late or short
  By place: FN 30 ea.

Stock and receipts
  9 ea in stock (Stock.csv row 2)
  3 ea in stock, on hold, so not counted: scratched? (Stock.csv row 3)
  20 ea with order 8001 from Glasswort, due Fri 17 Sep, there Fri 17 Sep 09:30 (day only)
    (Receipts.csv row 2)

What to call for
  Bring forward 8001: 1 by Wed 15 Sep 05:00, at the last Wed 15 Sep 05:50; 5 by Thu 16 Sep 05:00, at
    the last Thu 16 Sep 05:50; 11 by Fri 17 Sep 05:00, at the last Fri 17 Sep 05:50.
    If this alone fails, the line loses Wed 15 Sep 480, Thu 16 Sep 480, Fri 17 Sep 220 min, each day
      begun on its times; 1180 if nothing is made up.
    If this alone succeeds, it saves 1180 min.
  Order: 1 by Tue 21 Sep 05:00, at the last Tue 21 Sep 05:50.
    If this alone fails, the line loses nothing for a known time; 1 stop with no known end beside.
    If this alone succeeds, it saves 1 stop with no known end.
  If the line only waits. Building past the unit, out of sequence or at a later position is the line
    lead's decision and is not counted, nor are the hours it costs elsewhere. To compare calls by,
    no promise of output.
";
    assert_eq!(text(&example("buyer", "WN-20")), expected);
}

/// The shops' example by hand: board goes 3 into a set D and 5 into a set T, in the cabinet shop; U4, U5 and U6 need
/// 5 + 3 + 5 = 13 of the 20 that are there; U3's has begun.
#[test]
fn board_of_the_shops_example() {
    let uses = example("shops", "BRD-15");
    let paths: Vec<String> = uses
        .paths
        .iter()
        .map(|path| {
            let chain: Vec<&str> = path.steps.iter().map(|step| step.parent.as_str()).collect();
            let rows: Vec<u32> = path.steps.iter().map(|step| step.place.row).collect();
            format!("{} {} {} {rows:?}", chain.join(">"), path.qty.expect("a quantity"), path.to)
        })
        .collect();
    assert_eq!(paths, ["D>CABS-D 3 CAB [2, 10]", "T>CABS-T 5 CAB [4, 11]"]);
    assert_eq!((uses.total, uses.first_hit.is_none()), (Quantity::whole(13), true));
    // Conditions joined: the cabinet for a microwave only with MIC; a panel comes off a wall and goes into a slide box.
    assert_eq!(example("shops", "OVH-DM").paths[0].when, "MIC");
    let cut = example("shops", "CUT-T");
    assert_eq!(
        cut.paths.iter().map(|path| (path.gives, path.to.as_str())).collect::<Vec<_>>(),
        [(true, "WAL"), (false, "SLD")]
    );
    assert_eq!(cut.not_on, ["D"]);
}

/// Demo parts at random: the days and the places add up to the plan's demands, and what is missing where nothing comes any
/// more is the first need beyond the stock, counted here over the plan's own table of demands.
#[test]
fn sums_are_those_of_the_plan() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let book = book::open(&root.join("data/alder-fen")).expect("a book");
    let (plant, _) = check::plant(&book, None, Moment::default());
    let plan = plan::plan(&plant, &Request::default()).0.expect("a plan");
    let mut random = fastrand::Rng::with_seed(11);
    let (mut hit, mut enough) = (0, 0);
    for _ in 0..200 {
        let part = PartId::of(random.usize(..plant.parts.len()));
        let found = uses::uses(&plan, &book, part);
        let demands = &plan.supply(part).into_owned().demands;
        let total: Quantity = demands.iter().map(|demand| demand.qty).sum();
        assert_eq!(found.days.iter().map(|day| day.qty).sum::<Quantity>(), total);
        assert_eq!(found.places.iter().map(|place| place.qty).sum::<Quantity>(), total);
        let rows = || plant.stock.iter().filter(|row| row.part == part && row.hold.is_none());
        if !plant.part(part).bought() || rows().any(|row| row.lineside.is_some() || row.reserved.is_some()) {
            continue;
        }
        let mut left: Quantity = rows().map(|row| row.qty).sum();
        let first = demands.iter().find(|demand| {
            left -= demand.qty;
            left.millionths() < 0
        });
        let told = found.first_hit.as_ref().map(|hit| (hit.need, hit.missing));
        assert_eq!(told, first.map(|demand| (demand.need, -left)), "{}", found.part.part);
        if first.is_some() { hit += 1 } else { enough += 1 }
    }
    assert!(hit > 20 && enough > 5, "{hit} {enough}");
}

/// Conditions along a path, by hand from the demo's bills: the left seat base of a 21 (rows 3461, 4406, 4417) is built into
/// the dinette only without the side slide box, and the moss door only with MOSS.
#[test]
fn conditions_are_joined_along_the_path() {
    let uses = demo("CDR-21-MO-12");
    let rows = |path: &uses::facts::UsePath| path.steps.iter().map(|step| step.place.row).collect::<Vec<_>>();
    let path = uses.paths.iter().find(|path| rows(path) == [3461, 4406, 4417]).expect("the path");
    assert_eq!((path.when.as_str(), path.to.as_str()), ("not SLIDE and MOSS", "CABSHOP"));
    let shelf = uses.paths.iter().find(|path| rows(path) == [3461, 4458, 4469]).expect("the path");
    assert_eq!(shelf.when, "not SLIDE and (TV24 or TV32) and MOSS");
}
