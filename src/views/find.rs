//! What the book has that is called so: units, parts, orders, suppliers, stations, shops.

use super::{Address, View, tell};
use crate::base::fold;
use crate::check::DestKind;
use crate::plan::Plan;
use itertools::Itertools;
use maud::{Markup, html};

/// So many of each are shown.
const MOST: usize = 20;

pub fn view(plan: &Plan<'_>, words: &str) -> View {
    let wanted = fold(words.trim());
    if wanted.is_empty() {
        return View::new(
            "Search",
            html! { p { "Type a unit, a part or what it is, an order, a supplier, a station or a shop." } },
        );
    }
    let groups = [
        units(plan, &wanted),
        parts(plan, &wanted),
        orders(plan, &wanted),
        suppliers(plan, &wanted),
        places(plan, &wanted),
    ];
    let nothing = groups.iter().all(|(_, of, _)| *of == 0);
    let body = html! {
        @if nothing { p { "The book has nothing that is called “" (words) "”." } }
        @for (what, of, found) in groups.iter().filter(|(_, of, _)| *of > 0) {
            h2 { (what) @if *of > found.len() { " (the first " (found.len()) " of " (of) ")" } }
            ul .found { @for line in found { li { (line) } } }
        }
    };
    View::new(format!("What is called “{words}”"), body)
}

/// What was found of a kind: its name, how many, the first of them.
type Group = (&'static str, usize, Vec<Markup>);

/// Those that are called so, those whose code is just that before those that only contain it.
fn group<T>(
    what: &'static str,
    all: impl Iterator<Item = (String, T)>,
    wanted: &str,
    line: impl Fn(&T) -> Markup,
) -> Group {
    let found = all.filter(|(name, _)| name.contains(wanted)).collect_vec();
    let of = found.len();
    let rank = |name: &str| (!(name == wanted || name.split('\n').next() == Some(wanted)), !name.starts_with(wanted));
    let first = found.into_iter().sorted_by_key(|(name, _)| rank(name)).take(MOST);
    (what, of, first.map(|(_, found)| line(&found)).collect())
}

fn units(plan: &Plan<'_>, wanted: &str) -> Group {
    let all = plan.plant.units.iter().map(|unit| (fold(&unit.code), unit));
    group("Units", all, wanted, |unit| tell::unit(&unit.code))
}

fn parts(plan: &Plan<'_>, wanted: &str) -> Group {
    let all = plan.plant.parts.iter().map(|part| (format!("{}\n{}", fold(&part.code), fold(&part.description)), part));
    group("Parts", all, wanted, |part| html! { (tell::part_code(&part.code)) " " (part.description) })
}

fn orders(plan: &Plan<'_>, wanted: &str) -> Group {
    let all = plan.deliveries.all().iter().map(|delivery| (fold(delivery.order), delivery));
    group("Orders", all, wanted, |delivery| {
        html! { "order " (delivery.order) ": " (tell::part(plan, delivery.part)) ", " (delivery.open) " " (plan.plant.part(delivery.part).uom) ", " (delivery.available.short()) }
    })
}

fn suppliers(plan: &Plan<'_>, wanted: &str) -> Group {
    let of_parts = plan.plant.parts.iter().map(|part| part.supplier.as_str());
    let all = of_parts.chain(plan.deliveries.all().iter().map(|delivery| delivery.supplier));
    let all = all.filter(|name| !name.is_empty()).map(|name| (fold(name), name)).sorted().dedup_by(|a, b| a.0 == b.0);
    group("Suppliers", all, wanted, |name| tell::supplier(name))
}

fn places(plan: &Plan<'_>, wanted: &str) -> Group {
    let all = plan.plant.dests.iter().map(|dest| (format!("{}\n{}", fold(&dest.code), fold(&dest.name)), dest));
    group("Stations and shops", all, wanted, |dest| match dest.what {
        DestKind::Shop(_) => html! { "shop " (tell::shop(&dest.code)) " " (dest.name) },
        DestKind::Station { line, position, .. } => {
            let line = Address::Line { line: Some(plan.plant.lines[line.at()].code.clone()), number: None };
            html! { "station " (dest.code) " " (dest.name) ", position " (position) " of " a href=(line) { "its line" } }
        }
    })
}
