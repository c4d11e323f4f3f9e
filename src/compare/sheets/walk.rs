//! What to do with what is picked already: the way along the stations and through the stores, and what stays.

use super::super::text::walk_totals;
use super::super::{Act, Kit, Notice, Task, Walk, words};
use super::listing::{Listing, grouped};
use crate::base::StorageKey;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;

const COLUMNS: [Column; 11] = [
    Column { heading: "done", show: Show::Box },
    Column { heading: "where", show: Show::Text },
    Column { heading: "place", show: Show::Text },
    Column { heading: "do", show: Show::Text },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "from", show: Show::Wrapped },
    Column { heading: "to", show: Show::Wrapped },
    Column { heading: "needed", show: Show::Moment },
];
const LEAST: [u16; 11] = [6, 9, 10, 10, 7, 6, 10, 20, 14, 14, 17];

const STAYS: [Column; 8] = [
    Column { heading: "station", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "why", show: Show::Wrapped },
];
const STAYS_LEAST: [u16; 8] = [10, 12, 12, 30, 8, 7, 18, 30];

/// The sheet of what is to do.
pub fn sheet<'n>(notice: &'n Notice, walk: &Walk) -> Sheet<'n> {
    let stations = walk.at_stations(&notice.parts).into_iter().map(|task| {
        let from = task.from.as_ref();
        ((false, from.map(|kit| kit.to.clone())), line(notice, task, true))
    });
    let stores = walk.in_stores(&notice.parts).into_iter().map(|task| ((true, None), line(notice, task, false)));
    let through = walk.through.short();
    let listing = Listing {
        name: "walk",
        title: format!("What to do, all runs picked up to the {through} run"),
        what: format!(
            "{}. First along the stations: take out what is too much, put what moves into the kit it goes to. Then the \
             stores: put away what came back, pick what lacks. No other way handles fewer pieces.",
            walk_totals(notice)
        ),
        columns: &COLUMNS,
        least: &LEAST,
    };
    listing.sheet(grouped(stations.chain(stores)))
}

fn line<'n>(notice: &'n Notice, task: &Task, station: bool) -> Line<'n> {
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
    let values = vec![
        "".into(),
        if station { "station" } else { "stores" }.into(),
        place.into(),
        act.into(),
        task.qty.into(),
        task.uom.to_string().into(),
        task.part.to_string().into(),
        description(notice, task),
        place_of(&task.from).into(),
        place_of(&task.to).into(),
        task.need.into(),
    ];
    (Look::Plain, values)
}

fn location(notice: &Notice, task: &Task) -> String {
    let location = notice.parts.get(&task.part).and_then(|facts| facts.location.given());
    location.map_or("not known".to_owned(), ToString::to_string)
}

fn description<'n>(notice: &'n Notice, task: &Task) -> Value<'n> {
    notice.parts.get(&task.part).map(|facts| facts.description.text()).into()
}

/// The sheet of what stays where it is, and what has reached its place.
pub fn stays<'n>(notice: &'n Notice, walk: &Walk) -> Sheet<'n> {
    let left = walk.tasks.iter().filter(|task| task.act == Act::Leave).map(|task| (task, "wanted there still"));
    let settled = walk.settled.iter().map(|settled| (&settled.task, settled.why));
    let mut all: Vec<(&Task, &'static str)> = left.chain(settled).collect();
    all.sort_by_cached_key(|(task, why)| {
        let station = task.from.as_ref().map(|kit| StorageKey::new(kit.to.text()));
        (station, task.from.clone(), task.part.clone(), task.uom.clone(), *why)
    });
    let lines = all.into_iter().map(|(task, why)| {
        let (to, unit) = task.from.as_ref().map(|kit| (kit.to.to_string(), kit.unit.to_string())).unwrap_or_default();
        let unit = if unit.is_empty() { "bulk".to_owned() } else { unit };
        let key = (to.clone(), unit.clone());
        let (part, uom) = (task.part.to_string(), task.uom.to_string());
        let values = vec![
            to.into(),
            unit.into(),
            part.into(),
            description(notice, task),
            task.qty.into(),
            uom.into(),
            task.need.into(),
            why.into(),
        ];
        (key, (Look::Plain, values))
    });
    let listing = Listing {
        name: "stays",
        title: "What stays where it is".to_owned(),
        what: "Pieces on carts of the picked runs that are not touched.".to_owned(),
        columns: &STAYS,
        least: &STAYS_LEAST,
    };
    listing.sheet(grouped(lines))
}
