//! What to do with what is picked already: the way along the stations and through the stores, and what stays.

use super::super::text::walk_totals;
use super::super::{Act, CartTour, Kit, Notice, Task, words};
use super::one_table::{OneTable, grouped};
use crate::base::{Moment, StorageKey};
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use std::collections::BTreeMap;

/// The sheet of what is to do.
pub fn sheet<'n>(notice: &'n Notice, walk: &CartTour) -> Sheet<'n> {
    let stations = walk.at_stations(&notice.parts).into_iter().map(|task| {
        let from = task.from.as_ref();
        ((false, from.map(|kit| kit.to.clone())), line(notice, task, true))
    });
    let stores = walk.in_stores(&notice.parts).into_iter().map(|task| ((true, None), line(notice, task, false)));
    let through = walk.through.short();
    let listing = OneTable {
        name: "walk",
        title: format!("What to do, all runs picked up to the {through} run"),
        what: format!(
            "{}. First along the stations: take out what is too much, put what moves into the kit it goes to. Then the \
             stores: put away what came back, pick what lacks. No other way handles fewer pieces.",
            walk_totals(notice)
        ),
    };
    listing.sheet(grouped(stations.chain(stores)))
}

listing! {
    /// What is to do on the carts.
    ToDo: fn line<'n>(notice: &'n Notice, task: &Task, station: bool) {
        let place = match &task.from {
            Some(from) if station => from.to.to_string(),
            _ => location(notice, task),
        };
        let act = match task.act {
            Act::BringBack if station => "take out",
            Act::BringBack => "put away",
            other => other.word(),
        };
        let stores = || format!("stores {}", location(notice, task));
        let place_of = |kit: &Option<Kit>| kit.as_ref().map_or_else(stores, words::kit);
    }
    look: Look::Plain;
    "done", 6, Box => "";
    "where", 9, Text => if station { "station" } else { "stores" };
    "place", 10, Text => place;
    "do", 10, Text => act;
    "qty", 7, Quantity => task.qty;
    "uom", 6, Text => task.uom.to_string();
    "part", 10, Wrapped => task.part.to_string();
    "description", 20, Wrapped => description(notice, task);
    "from", 14, Wrapped => place_of(&task.from);
    "to", 14, Wrapped => place_of(&task.to);
    "needed", 17, Moment => task.need;
}

fn location(notice: &Notice, task: &Task) -> String {
    let location = notice.parts.get(&task.part).and_then(|facts| facts.location.given());
    location.map_or("not known".to_owned(), ToString::to_string)
}

fn description<'n>(notice: &'n Notice, task: &Task) -> Value<'n> {
    notice.parts.get(&task.part).map(|facts| facts.description.text()).into()
}

/// The sheet of what stays where it is, kit by kit.
pub fn stays(walk: &CartTour) -> Sheet<'_> {
    let left = walk.tasks.iter().filter(|task| task.act == Act::Leave).map(|task| (task, "wanted there still"));
    let all = left.chain(walk.settled.iter().map(|settled| (&settled.task, settled.why)));
    let mut kits: BTreeMap<(StorageKey, &Kit, &str), (i64, Option<Moment>)> = BTreeMap::new();
    for (task, why) in all {
        let Some(kit) = &task.from else { continue };
        let (parts, need) = kits.entry((StorageKey::new(kit.to.text()), kit, why)).or_default();
        *parts += 1;
        *need = [*need, task.need].into_iter().flatten().min();
    }
    let lines = kits.into_iter().map(|((_, kit, why), (parts, need))| (&kit.to, staying(kit, parts, need, why)));
    let listing = OneTable {
        name: "stays",
        title: "What stays where it is".to_owned(),
        what: "How many parts of each kit of the picked runs are not touched.".to_owned(),
    };
    listing.sheet(grouped(lines))
}

listing! {
    /// What of a kit stays where it is.
    Stays: fn staying<'n>(kit: &'n Kit, parts: i64, need: Option<Moment>, why: &'n str) {}
    look: Look::Plain;
    "station", 12, Text => kit.to.text();
    "unit", 14, Text => kit.unit.given().map_or("bulk", |unit| unit.text());
    "parts", 8, Whole => parts;
    "needed", 18, Moment => need;
    "why", 50, Wrapped => why;
}
