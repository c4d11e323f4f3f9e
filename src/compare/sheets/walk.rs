//! What to do with what is picked already: the way along the stations and through the stores, and what stays.

use super::super::text::walk_totals;
use super::super::{Act, Kit, Notice, Task, Walk, words};
use super::listing::{Listing, grouped};
use crate::base::{Moment, StorageKey};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use std::collections::BTreeMap;

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

const STAYS: [Column; 5] = [
    Column { heading: "station", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "parts", show: Show::Whole },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "why", show: Show::Wrapped },
];
const STAYS_LEAST: [u16; 5] = [12, 14, 8, 18, 50];

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

/// The sheet of what stays where it is, kit by kit.
pub fn stays(walk: &Walk) -> Sheet<'_> {
    let left = walk.tasks.iter().filter(|task| task.act == Act::Leave).map(|task| (task, "wanted there still"));
    let all = left.chain(walk.settled.iter().map(|settled| (&settled.task, settled.why)));
    let mut kits: BTreeMap<(StorageKey, &Kit, &str), (i64, Option<Moment>)> = BTreeMap::new();
    for (task, why) in all {
        let Some(kit) = &task.from else { continue };
        let (parts, need) = kits.entry((StorageKey::new(kit.to.text()), kit, why)).or_default();
        *parts += 1;
        *need = [*need, task.need].into_iter().flatten().min();
    }
    let lines = kits.into_iter().map(|((_, kit, why), (parts, need))| {
        let unit = kit.unit.given().map_or("bulk", |unit| unit.text());
        (&kit.to, (Look::Plain, vec![kit.to.text().into(), unit.into(), parts.into(), need.into(), why.into()]))
    });
    let listing = Listing {
        name: "stays",
        title: "What stays where it is".to_owned(),
        what: "How many parts of each kit of the picked runs are not touched.".to_owned(),
        columns: &STAYS,
        least: &STAYS_LEAST,
    };
    listing.sheet(grouped(lines))
}
