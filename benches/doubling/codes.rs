//! Rows and keys that are read, and edits of them.

use crate::plant::Plant;
use crate::{Direction, books, timed};
use lineward::trial::{self, Act};

pub const DIRECTIONS: &[Direction] = &[
    Direction {
        name: "edits",
        first: 5_000,
        run: |n| {
            let book = receipts(n).book();
            let edits: Vec<_> = (0..n)
                .map(|i| trial::parse(Act::Set, &format!("Receipts PO{i} qty=2")).unwrap_or_else(|why| panic!("{why}")))
                .collect();
            timed(|| trial::apply(&book, &edits).unwrap_or_else(|why| panic!("{why}")))
        },
    },
    Direction {
        name: "rows dropped and added",
        first: 5_000,
        run: |n| {
            let book = receipts(n).book();
            let edit = |act, text: String| trial::parse(act, &text).unwrap_or_else(|why| panic!("{why}"));
            let dropped = (0..n).map(|i| edit(Act::Drop, format!("Receipts PO{i}")));
            let added = |i| format!("Receipts purchase order=N{i}, part=SINK, qty=1, due=2027-09-14");
            let edits: Vec<_> = dropped.chain((0..n).map(|i| edit(Act::Add, added(i)))).collect();
            timed(|| trial::apply(&book, &edits).unwrap_or_else(|why| panic!("{why}")))
        },
    },
    Direction {
        name: "dates of a calendar, open and closed",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small();
            let date = |i: usize| format!("{}-{:02}-{:02}", 2028 + i / 336 % 170, i / 28 % 12 + 1, i % 28 + 1);
            (0..n).for_each(|i| plant.add("Calendar", format_args!("DAY,{},06:00,12:00", date(2 * i))));
            (0..n).for_each(|i| plant.add("Calendar", format_args!("DAY,{},,", date(2 * i + 1))));
            plant.planned()
        },
    },
    Direction { name: "keys of a manifest nobody knows", first: 5_000, run: books::manifest },
    Direction {
        name: "headings nobody knows",
        first: 200,
        run: |n| {
            let mut plant = Plant::small();
            let more: String = (0..n).map(|i| format!(",odd {i}")).collect();
            plant.set("Parts", &format!("part,uom,source,shop,minutes{more}\nSINK,ea,,,"));
            plant.planned()
        },
    },
    Direction {
        name: "parts nobody knows in bills",
        first: 2_000,
        run: |n| {
            let mut plant = Plant::small();
            (0..n).for_each(|i| plant.add("Parts", format_args!("P{i},ea,,,")));
            (0..n).for_each(|i| plant.add("Bills", format_args!("TEAL,Q{i},1,S1")));
            plant.checked()
        },
    },
    Direction {
        name: "conversions in a row",
        first: 1_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.set("Conversions", "part,from,to,factor");
            plant.set("Uoms", "uom,decimals");
            (0..n).for_each(|i| plant.add("Uoms", format_args!("u{i},3")));
            (0..n).for_each(|i| plant.add("Conversions", format_args!(",u{i},ea,2")));
            plant.set("Stock", "part,qty,uom");
            (0..n).for_each(|i| plant.add("Stock", format_args!("SINK,1,u{i}")));
            plant.planned()
        },
    },
    Direction {
        name: "stations",
        first: 2_000,
        run: |n| {
            let mut plant = Plant::small();
            for i in 4..=n {
                plant.add("Stations", format_args!("L1,S{i},{i}"));
                plant.add("Bills", format_args!("TEAL,SINK,1,S{i}"));
            }
            plant.planned()
        },
    },
    Direction {
        name: "lines of a plant",
        first: 500,
        run: |n| {
            let mut plant = Plant::small();
            for i in 2..=n {
                plant.add("Lines", format_args!("L{i},DAY"));
                plant.add("Takt", format_args!("L{i},2027-01-01,20"));
                plant.add("Stations", format_args!("L{i},T{i},1"));
                plant.add("Floorplans", format_args!("F{i}"));
                plant.add("Bills", format_args!("F{i},SINK,1,T{i}"));
                plant.add("Sequence", format_args!("L{i},1,V{i},F{i},"));
            }
            plant.planned()
        },
    },
    Direction {
        name: "changes",
        first: 2_000,
        run: |n| {
            let mut plant = Plant::small().with_units(20);
            plant.set("Changes", "change,from unit");
            plant.set("Bills", "parent,part,qty,station,from change,until change");
            for i in 0..n {
                plant.add("Changes", format_args!("C{i},U{}", i % 20 + 1));
                plant.add("Bills", format_args!("TEAL,SINK,1,S1,C{i},"));
            }
            plant.planned()
        },
    },
    Direction {
        name: "extras",
        first: 5_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.set("Extras", "part,qty,to,needed,unit");
            (0..n).for_each(|i| plant.add("Extras", format_args!("SINK,1,S1,2027-09-14,X{i}")));
            plant.planned()
        },
    },
    Direction {
        name: "codes defined twice",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small();
            (0..n).for_each(|_| plant.add("Parts", format_args!("SINK,ea,,,")));
            plant.checked()
        },
    },
];

fn receipts(number: usize) -> Plant {
    let mut plant = Plant::small();
    plant.set("Receipts", "purchase order,part,qty,due");
    (0..number).for_each(|i| plant.add("Receipts", format_args!("PO{i},SINK,1,2027-09-13")));
    plant
}
