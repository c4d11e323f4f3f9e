//! What must hold for every plan, on random books: catches pieces lost, taken twice, or crews in two places at once.

use super::random_books::{Size, random_book};
use super::support::{Sheets, supplies};
use lineward::base::{Moment, Quantity};
use lineward::check::Source;
use lineward::netting::Cover;
use lineward::{check, plan};
use std::collections::BTreeMap;

fn each_plan(mut visit: impl FnMut(u64, &plan::Plan<'_>)) {
    let mut planned = 0;
    for seed in 0..60 {
        let sheets = Sheets(random_book(seed, if seed % 6 == 0 { Size::Large } else { Size::Small }));
        let (plant, _) = check::plant(&sheets.book(), None, Moment::default());
        let (plan, _) = plan::plan(&plant, &plan::Request { set_aside: true, ..Default::default() });
        if let Some(plan) = plan {
            planned += 1;
            visit(seed, &plan);
        }
    }
    assert!(planned >= 55, "only {planned} of 60 random books could be planned");
}

#[test]
fn pegs_add_up_to_demands() {
    each_plan(|seed, plan| {
        for supply in &supplies(plan) {
            let mut pegged = vec![Quantity::ZERO; supply.demands.len()];
            supply.pegs.iter().for_each(|peg| pegged[peg.demand as usize] += peg.qty);
            for (demand, pegged) in supply.demands.iter().zip(pegged) {
                assert_eq!(demand.qty, pegged, "seed {seed}: {}", plan.plant.part(demand.part).code);
            }
        }
    });
}

/// Of a bought part that is short at least as much is ordered as nothing covers, and the safety stock besides: no stock that
/// nobody can use counts for it.
#[test]
fn what_is_short_is_ordered() {
    let mut short_parts = 0;
    each_plan(|seed, plan| {
        for (part, supply) in plan.plant.parts.iter().zip(&supplies(plan)) {
            let short: Quantity = supply.pegs.iter().filter(|peg| peg.cover == Cover::None).map(|peg| peg.qty).sum();
            if short.is_positive() && part.source == Source::Buy {
                let ordered: Quantity = supply.balances.iter().map(|day| day.planned).sum();
                assert!(ordered >= short + part.safety_stock, "seed {seed}: {} short {short}, {ordered}", part.code);
                short_parts += 1;
            }
        }
    });
    assert!(short_parts > 150, "only {short_parts} parts are short");
}

#[test]
fn nothing_is_taken_twice() {
    each_plan(|seed, plan| {
        let mut taken: BTreeMap<(u32, String), Quantity> = BTreeMap::new();
        for supply in &supplies(plan) {
            for peg in &supply.pegs {
                let demand = &supply.demands[peg.demand as usize];
                let from = match peg.cover {
                    Cover::Receipt(i) => {
                        format!("receipts of {}", plan.plant.receipts[i as usize].order.to_lowercase())
                    }
                    Cover::Stock => "stores".to_owned(),
                    Cover::Lineside => format!("at {:?}", demand.to),
                    Cover::Reserved => format!("for {:?}", plan.pace.owners[demand.owner.at()].unit),
                    _ => continue,
                };
                *taken.entry((demand.part.0, from)).or_default() += peg.qty;
            }
        }
        let mut there: BTreeMap<(u32, String), Quantity> = BTreeMap::new();
        for stock in plan.plant.stock.iter().filter(|stock| stock.hold.is_none()) {
            let from = match (stock.reserved, stock.lineside) {
                (Some(unit), _) => format!("for {:?}", Some(unit)),
                (_, Some(dest)) => format!("at {dest:?}"),
                _ => "stores".to_owned(),
            };
            *there.entry((stock.part.0, from)).or_default() += stock.qty;
        }
        for receipt in &plan.plant.receipts {
            *there.entry((receipt.part.0, format!("receipts of {}", receipt.order.to_lowercase()))).or_default() +=
                receipt.qty;
        }
        for (what, qty) in taken {
            let had = there.get(&what).copied().unwrap_or_default();
            assert!(qty <= had, "seed {seed}: {what:?}: {qty} of {had}");
        }
    });
}

#[test]
fn no_crew_is_in_two_places_and_no_job_runs_before_its_time() {
    each_plan(|seed, plan| {
        let mut crews: BTreeMap<(u32, u32), Vec<(i64, i64)>> = BTreeMap::new();
        for job in &plan.jobs {
            crews.entry((job.shop.0, job.slot.crew)).or_default().push((job.slot.start, job.slot.finish));
            assert_eq!(job.slot.finish - job.slot.start, job.times.length, "seed {seed}");
            assert!(job.slot.earliest >= job.times.release, "seed {seed}");
            assert!(job.slot.start >= job.slot.earliest, "seed {seed}");
            assert!(job.slot.finish <= job.times.due.max(job.slot.earliest + job.times.length), "seed {seed}");
        }
        for (crew, mut spans) in crews {
            spans.sort_unstable();
            assert!(spans.windows(2).all(|pair| pair[0].1 <= pair[1].0), "seed {seed}: {crew:?}");
        }
    });
}

#[test]
fn what_is_pulled_serves_what_is_pegged() {
    each_plan(|seed, plan| {
        let mut pulled: BTreeMap<(u32, u32), Quantity> = BTreeMap::new();
        plan.each_pull(|pull| *pulled.entry((pull.part.0, pull.to.0)).or_default() += pull.qty);
        let mut wanted: BTreeMap<(u32, u32), Quantity> = BTreeMap::new();
        for supply in &supplies(plan) {
            for peg in supply
                .pegs
                .iter()
                .filter(|peg| !matches!(peg.cover, Cover::ByProduct | Cover::Lineside | Cover::Job(_)))
            {
                let demand = &supply.demands[peg.demand as usize];
                *wanted.entry((demand.part.0, demand.to.0)).or_default() += peg.qty;
            }
        }
        for (what, qty) in &wanted {
            let pulled = pulled.get(what).copied().unwrap_or_default();
            assert!(pulled >= *qty, "seed {seed}: {what:?}: {pulled} pulled of {qty}");
        }
        assert_eq!(pulled.len(), wanted.len(), "seed {seed}: something is pulled that nothing asks for");
    });
}

#[test]
fn the_order_of_rows_changes_nothing_that_has_an_order_of_its_own() {
    let turn = |text: &str| {
        let mut lines: Vec<&str> = text.trim_end().split('\n').collect();
        lines[1..].reverse();
        lines.join("\n")
    };
    let mut compared = 0;
    for seed in 0..30 {
        let sheets = Sheets(random_book(seed, Size::Small));
        let mut turned = sheets.clone();
        // Rows with quoted line ends don't occur in random books.
        for table in ["Stock", "Sequence", "Stations", "Takt", "Calendar", "Waves", "Parts"] {
            if let Some(text) = sheets.0.get(table) {
                turned.set(table, &turn(text));
            }
        }
        if let (Ok(one), Ok(other)) = (sheets.plan_as(None, true), turned.plan_as(None, true)) {
            compared += 1;
            for (table, text) in one {
                // Codes print as first defined, which the order of rows may change.
                assert_eq!(text.to_lowercase(), other[table].to_lowercase(), "seed {seed} {table}\n{}", sheets.shown());
            }
        }
    }
    assert!(compared > 20);
}
