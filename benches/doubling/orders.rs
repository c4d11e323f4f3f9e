//! Options, their groups and rules, and what is ordered.

use crate::Direction;
use crate::plant::Plant;

/// Units where something else grows.
const UNITS: usize = 100;

pub const DIRECTIONS: &[Direction] = &[
    Direction {
        name: "options, each standard in a group of two",
        first: 1_000,
        run: |n| {
            let mut plant = pairs(n).with_units(UNITS);
            plant.set("Offers", "floorplan,option,offer");
            (0..n).for_each(|i| {
                plant.add("Offers", format_args!("TEAL,A{i},standard"));
                plant.add("Offers", format_args!("TEAL,B{i},optional"));
            });
            plant.planned()
        },
    },
    Direction {
        name: "standards of all floorplans, replaced on one",
        first: 5_000,
        run: |n| {
            let mut plant = pairs(n);
            plant.set("Offers", "floorplan,option,offer");
            (0..n).for_each(|i| {
                plant.add("Offers", format_args!("*,A{i},standard"));
                plant.add("Offers", format_args!("TEAL,B{i},standard"));
            });
            plant.planned()
        },
    },
    Direction {
        name: "options of one group",
        first: 10_000,
        run: |n| {
            let mut plant = Plant::small().with_units(UNITS);
            plant.set("Groups", "group,choose\nG,one");
            plant.set("Options", "option,group");
            plant.set("Offers", "floorplan,option,offer\nTEAL,A0,standard");
            (0..n).for_each(|i| plant.add("Options", format_args!("A{i},G")));
            (1..n).for_each(|i| plant.add("Offers", format_args!("TEAL,A{i},optional")));
            plant.planned()
        },
    },
    Direction {
        name: "standards of one group: all of them wrong",
        first: 5_000,
        run: |n| {
            let mut plant = Plant::small();
            plant.set("Groups", "group,choose\nG,one");
            plant.set("Options", "option,group");
            plant.set("Offers", "floorplan,option,offer");
            (0..n).for_each(|i| {
                plant.add("Options", format_args!("A{i},G"));
                plant.add("Offers", format_args!("TEAL,A{i},standard"));
            });
            plant.checked()
        },
    },
    Direction {
        name: "rules, each after the one below it",
        first: 500,
        run: |n| {
            let mut plant = Plant::small();
            options(&mut plant, n + 1);
            plant.set("Rules", "when,adds");
            (0..n).rev().for_each(|i| plant.add("Rules", format_args!("O{i},O{}", i + 1)));
            ordered(&mut plant, "O0");
            plant.planned()
        },
    },
    Direction {
        name: "rules, each taking a standard's place",
        first: 1_000,
        run: |n| {
            let mut plant = pairs(n);
            plant.add("Options", format_args!("O,"));
            plant.set("Offers", "floorplan,option,offer\nTEAL,O,optional");
            plant.set("Rules", "when,adds");
            for i in (0..n).rev() {
                plant.add("Offers", format_args!("TEAL,A{i},standard"));
                let when = if i == 0 { "O".to_owned() } else { format!("B{}", i - 1) };
                plant.add("Rules", format_args!("{when},B{i}"));
            }
            ordered(&mut plant, "O");
            plant.planned()
        },
    },
    Direction {
        name: "options ordered and taken away",
        first: 500,
        run: |n| {
            let mut plant = pairs(n);
            plant.set("Offers", "floorplan,option,offer");
            let mut words = String::new();
            for i in 0..n {
                plant.add("Offers", format_args!("TEAL,A{i},standard"));
                plant.add("Offers", format_args!("TEAL,B{i},optional"));
                words += &format!("-A{i} B{i} ");
            }
            ordered(&mut plant, &words);
            plant.planned()
        },
    },
    Direction {
        name: "options nobody knows",
        first: 1_000,
        run: |n| {
            let mut plant = Plant::small();
            options(&mut plant, n);
            plant.set("Sequence", "line,seq,unit,floorplan,options");
            (0..n).for_each(|i| plant.add("Sequence", format_args!("L1,{i},U{i},TEAL,P{i}")));
            plant.checked()
        },
    },
];

/// Twice as many options, two to each group.
fn pairs(groups: usize) -> Plant {
    let mut plant = Plant::small();
    plant.set("Groups", "group,choose");
    plant.set("Options", "option,group");
    for i in 0..groups {
        plant.add("Groups", format_args!("G{i},one"));
        plant.add("Options", format_args!("A{i},G{i}"));
        plant.add("Options", format_args!("B{i},G{i}"));
    }
    plant
}

fn options(plant: &mut Plant, number: usize) {
    plant.set("Options", "option");
    plant.set("Offers", "floorplan,option,offer");
    for i in 0..number {
        plant.add("Options", format_args!("O{i}"));
        plant.add("Offers", format_args!("TEAL,O{i},optional"));
    }
}

/// Units that all order the same.
fn ordered(plant: &mut Plant, words: &str) {
    plant.set("Sequence", "line,seq,unit,floorplan,options");
    (1..=20).for_each(|i| plant.add("Sequence", format_args!("L1,{i},U{i},TEAL,{words}")));
}
