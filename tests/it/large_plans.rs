//! Plans too large to hold every supply: catches a table, a sheet, a state or a total that depends on whether supplies are held
//! or made again, and first demands that are others than the whole plan has; and demands that depend on the way in which they
//! are put together; and a plan that packs the pulls of its day alone and shows others, or other sheets.

use super::random_books::{Size, random_book};
use super::support::{Sheets, supplies};
use lineward::base::{Date, DestId, Moment, PartId, Quantity};
use lineward::check::{DestKind, Extra, ExtraFor};
use lineward::netting::{Demand, Peg};
use lineward::plan::{AskedPulls, Plan, Request, plan};
use lineward::report::{self, table::TABLES};
use lineward::{book, check};
use std::path::Path;

/// All tables as text.
fn tables(plan: &Plan<'_>) -> Vec<Vec<u8>> {
    let written = TABLES.iter().map(|table| {
        let mut bytes = Vec::new();
        report::to_csv(table, plan, &mut bytes).expect("memory");
        bytes
    });
    written.collect()
}

/// A plan that holds so many demands.
fn planned(plant: &check::Plant, most_held: usize) -> Option<Plan<'_>> {
    plan(plant, &Request { set_aside: true, most_held: Some(most_held), ..Default::default() }).0
}

/// All workbooks as they are written.
fn workbooks(plan: &Plan<'_>) -> Vec<Vec<u8>> {
    report::workbooks(plan).iter().map(|workbook| report::to_xlsx(workbook).expect("a workbook")).collect()
}

/// Compares a plan with one that packs the pulls up to its day alone, and with one that packs none; how many pulls there are.
fn compare_pulls(plant: &check::Plant, random: &mut fastrand::Rng) -> usize {
    let asked = |day, pulls| plan(plant, &Request { set_aside: true, day, pulls, ..Default::default() }).0;
    let Some(whole) = asked(None, AskedPulls::All) else { return 0 };
    let days: Vec<Date> = whole.runs.all().iter().map(|run| run.leaves.date()).collect();
    let mut count = 0;
    for day in [None, random.choice(&days).copied()] {
        let all = asked(day, AskedPulls::All).expect("a plan");
        let some = asked(day, AskedPulls::UpToDay).expect("a plan");
        assert!(all.pulls == some.pulls && workbooks(&all) == workbooks(&some), "{:?}", all.day);
        count += all.pulls.len();
    }
    let judged = asked(None, AskedPulls::None).expect("a plan");
    assert!(judged.pulls.is_empty() && judged.materials == whole.materials && judged.lacks == whole.lacks);
    count
}

#[test]
fn a_plan_that_packs_the_pulls_of_its_day_alone_shows_the_same() {
    let mut random = fastrand::Rng::with_seed(32);
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    assert!(compare_pulls(&plant, &mut random) > 10_000, "the demo has too few pulls to tell anything");
    let pulls = (0..super::support::rounds(30)).map(|seed| {
        let (plant, findings) = check::plant(&Sheets(random_book(seed, Size::Large)).book(), None, Moment::default());
        if findings.any_error() { 0 } else { compare_pulls(&plant, &mut random) }
    });
    assert!(pulls.sum::<usize>() > 1_000, "the random plans have too few pulls to tell anything");
}

/// Compares a plan that holds every supply with one that holds none, and what comes first of each with the whole of it; how
/// many demands there are.
fn compare(plant: &check::Plant) -> usize {
    let (Some(whole), Some(small)) = (planned(plant, usize::MAX), planned(plant, 0)) else { return 0 };
    assert!(tables(&whole) == tables(&small));
    assert!(whole.pulls == small.pulls && whole.materials == small.materials && whole.lacks == small.lacks);
    assert!(workbooks(&whole) == workbooks(&small));
    let mut random = fastrand::Rng::with_seed(31);
    let mut count = 0;
    for (part, all) in (0..).map(PartId::of).zip(supplies(&whole)) {
        let again = small.supply(part);
        assert!(all.demands == again.demands && all.pegs == again.pegs && all.balances == again.balances);
        count += all.demands.len();
        let Some(until) = random.choice(&all.demands).map(|demand| demand.need) else { continue };
        let first: Vec<Demand> = all.demands.iter().copied().filter(|demand| demand.need < until).collect();
        let pegs: Vec<Peg> = all.pegs.iter().copied().filter(|peg| (peg.demand as usize) < first.len()).collect();
        for plan in [&whole, &small] {
            let near = plan.near(part, until);
            assert!(near.pegged().demands == first && near.pegged().pegs == pegs, "{}", plant.part(part).code);
        }
    }
    count
}

#[test]
fn the_demo_is_the_same_whether_or_not_it_is_held() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    assert!(compare(&plant) > 100_000, "the demo has too few demands to tell anything");
}

#[test]
fn random_plans_are_the_same_whether_or_not_they_are_held() {
    let demands = (0..super::support::rounds(30)).map(|seed| {
        let (plant, findings) = check::plant(&Sheets(random_book(seed, Size::Large)).book(), None, Moment::default());
        if findings.any_error() { 0 } else { compare(&plant) }
    });
    let demands: usize = demands.sum();
    assert!(demands > 1_000, "the random plans have only {demands} demands");
}

/// A plant in which nobody in particular asks for every bought part once more, at a moment that is the last need already.
fn asked_once_more(plan: &Plan<'_>) -> check::Plant {
    let mut plant = plan.plant.clone();
    let last = supplies(plan).iter().filter_map(|supply| Some(supply.demands.last()?.need)).max();
    for part in (0..plant.parts.len()).map(PartId::of).filter(|part| plan.plant.part(*part).bought()) {
        let (qty, owner, reason) = (Quantity::whole(1), ExtraFor::Nobody, String::new());
        plant.extras.push(Extra { part, qty, to: DestId::of(0), needed: last, owner, reason, row: 2 });
    }
    plant
}

/// Compares each bought part's demands for known owners with those beside which somebody else asks, too; how many parts have
/// several at one station and nowhere else, so that theirs were put together the short way.
fn compare_with_merged(plant: &check::Plant) -> usize {
    let needed = |plan: &Plan<'_>| supplies(plan).iter().any(|supply| !supply.demands.is_empty());
    let Some(alone) = planned(plant, usize::MAX).filter(needed) else { return 0 };
    let more = asked_once_more(&alone);
    let merged = planned(&more, usize::MAX).expect("a plan with extras");
    let known = |plan: &Plan<'_>, part: usize| -> Vec<Demand> {
        let supply = plan.supply(PartId::of(part));
        let known = supply.demands.iter().filter(|demand| !plan.pace.owners[demand.owner.at()].code.is_empty());
        known.copied().collect()
    };
    let at_one_station = |part: &usize| {
        let demands = known(&alone, *part);
        assert!(demands == known(&merged, *part), "the demands for {}", plant.parts[*part].code);
        let station = |demand: &Demand| matches!(plant.dest(demand.to).what, DestKind::Station { .. });
        demands.len() > 1 && demands.iter().all(|demand| demand.to == demands[0].to && station(demand))
    };
    (0..plant.parts.len()).filter(|part| plant.parts[*part].bought()).filter(at_one_station).count()
}

#[test]
fn demands_at_one_station_are_those_that_merging_gives() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let (plant, _) = check::plant(&book::open(&path).expect("the demo"), None, Moment::default());
    assert!(compare_with_merged(&plant) > 100, "the demo has parts for one station");
    let short = (0..super::support::rounds(30)).map(|seed| {
        let (plant, findings) = check::plant(&Sheets(random_book(seed, Size::Large)).book(), None, Moment::default());
        if findings.any_error() { 0 } else { compare_with_merged(&plant) }
    });
    assert!(short.sum::<usize>() > 0, "no random plan has a part for one station");
}
