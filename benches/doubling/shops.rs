//! Feeder shops, their jobs and what they give.

use crate::Direction;
use crate::plant::Plant;

pub const DIRECTIONS: &[Direction] = &[
    Direction { name: "shops in a chain", first: 2_000, run: |n| chain(n, false).planned() },
    Direction { name: "shops in a circle", first: 2_000, run: |n| chain(n, true).checked() },
    Direction {
        name: "shops that give and take one by-product",
        first: 1_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.add("Parts", format_args!("CUT,ea,by-product,,"));
            for i in 0..2 * n {
                plant.add("Shops", format_args!("W{i},DAY,1"));
                plant.add("Parts", format_args!("M{i},ea,make,W{i},1"));
                plant.add("Bills", format_args!("TEAL,M{i},1,S1"));
                plant.add("Bills", format_args!("M{i},CUT,{},", if i < n { -1 } else { 1 }));
            }
            plant.planned()
        },
    },
    Direction {
        name: "jobs that give one by-product, and wait",
        first: 500,
        run: |n| {
            // Of what all jobs need there is none, so that all who take the by-product wait, too.
            let mut plant = Plant::small();
            plant.add("Parts", format_args!("CUT,ea,by-product,,"));
            for i in 0..2 * n {
                plant.add("Shops", format_args!("W{i},DAY,1"));
                plant.add("Parts", format_args!("M{i},ea,make,W{i},1"));
                plant.add("Bills", format_args!("TEAL,M{i},1,S1"));
                plant.add("Bills", format_args!("M{i},CUT,{},", if i < n { -1 } else { 1 }));
                plant.add("Bills", format_args!("M{i},SINK,1,"));
            }
            plant.planned()
        },
    },
    Direction {
        name: "begun jobs",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small().with_units(n);
            plant.add("Parts", format_args!("BOX,ea,make,CAB,5"));
            plant.add("Bills", format_args!("TEAL,BOX,1,S3"));
            plant.set("Started", "unit,part,minutes left");
            (1..=n).for_each(|i| plant.add("Started", format_args!("U{i},BOX,3")));
            plant.planned()
        },
    },
    Direction {
        name: "begun jobs of many shops",
        first: 1_000,
        run: |n| {
            let mut plant = Plant::small().with_units(n);
            plant.set("Started", "unit,part,minutes left");
            for i in 1..=n {
                plant.add("Shops", format_args!("W{i},DAY,1"));
                plant.add("Parts", format_args!("M{i},ea,make,W{i},1"));
                plant.add("Started", format_args!("U{i},M{i},3"));
            }
            // Ten parts of each unit, by its number.
            plant.set("Floorplans", "floorplan");
            plant.set("Sequence", "line,seq,unit,floorplan,options");
            for i in 1..=n {
                plant.add("Floorplans", format_args!("F{i}"));
                plant.add("Bills", format_args!("F{i},M{i},1,S3"));
                plant.add("Sequence", format_args!("L1,{i},U{i},F{i},"));
            }
            plant.add("Floorplans", format_args!("TEAL"));
            plant.planned()
        },
    },
];

/// Each shop builds with what the one before it in the table makes; in a circle, so does the first.
fn chain(shops: usize, circle: bool) -> Plant {
    let mut plant = Plant::small();
    for i in 0..shops {
        plant.add("Shops", format_args!("W{i},DAY,1"));
        // One part for the line, one for the shop behind: bills stay flat.
        plant.add("Parts", format_args!("M{i},ea,make,W{i},1"));
        plant.add("Parts", format_args!("N{i},ea,make,W{i},1"));
        plant.add("Bills", format_args!("N{i},SINK,1,"));
        plant.add("Bills", format_args!("TEAL,M{i},1,S1"));
        let before = if i > 0 { format!("N{}", i - 1) } else { format!("N{}", shops - 1) };
        if i > 0 || circle {
            plant.add("Bills", format_args!("M{i},{before},1,"));
        }
    }
    plant
}
