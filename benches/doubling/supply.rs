//! Receipts, stock and what is demanded.

use crate::Direction;
use crate::plant::Plant;

pub const DIRECTIONS: &[Direction] = &[
    Direction {
        name: "receipts of one day behind one demand",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.set("Bills", &format!("parent,part,qty,station\nTEAL,SINK,{n},S1"));
            plant.set("Receipts", "purchase order,part,qty,due");
            (0..n).for_each(|i| plant.add("Receipts", format_args!("PO{i},SINK,1,2027-09-13")));
            plant.planned()
        },
    },
    Direction {
        name: "receipts of many days behind one demand",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.set("Bills", &format!("parent,part,qty,station\nTEAL,SINK,{n},S1"));
            plant.set("Receipts", "purchase order,part,qty,due");
            (0..n).for_each(|i| {
                plant.add("Receipts", format_args!("PO{i},SINK,1,{}-01-{:02}", 2028 + i / 28 % 170, i % 28 + 1))
            });
            plant.planned()
        },
    },
    Direction {
        name: "stock reserved for many units",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small().with_units(n);
            plant.set("Stock", "part,qty,unit");
            (1..=n).for_each(|i| plant.add("Stock", format_args!("SINK,1,U{i}")));
            plant.planned()
        },
    },
    Direction { name: "units, each short", first: 10_000, run: |n| Plant::small().with_units(n).planned() },
    Direction {
        name: "days of balance, each with an order",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.set("Parts", "part,uom,cover days\nSINK,ea,3000");
            plant.set("Extras", "part,qty,to,needed");
            (0..n).for_each(|i| {
                plant.add(
                    "Extras",
                    format_args!("SINK,1,S1,{}-{:02}-{:02}", 2028 + i / 336 % 60, i / 28 % 12 + 1, i % 28 + 1),
                );
            });
            plant.planned()
        },
    },
];
