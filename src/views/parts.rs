//! A part: where it is used, who takes which piece from what, its balance by day, what comes and what to ask for.

use super::axis::{Axis, TOP, picture};
use super::{Address, Looked, MOST_LINES, View, found, pegs, tell};
use crate::base::{Moment, PartId};
use crate::check::Source;
use crate::netting::Cover;
use crate::plan::words::dest_code;
use crate::plan::{Consequence, Plan, There};
use crate::report::call_words;
use crate::supply::{Balance, Supply};
use crate::trial::word;
use crate::uses::facts::{PlaceUse, UsePath, Uses};
use itertools::Itertools;
use maud::{Markup, html};

pub fn view(looked: Looked<'_>, code: &str) -> View {
    let plan = looked.plan;
    let id = match found("part", code, plan.plant.parts.iter().map(|part| part.code.as_str())) {
        Ok(at) => PartId::of(at),
        Err(none) => return none,
    };
    let part = plan.plant.part(id);
    let calls = looked.calls.get_or_init(|| crate::uses::calls(plan));
    let facts = crate::uses::uses_among(plan, looked.book, id, calls);
    let supply = plan.supply(id);
    let body = html! {
        (head(plan, id, &facts))
        (does(plan, id))
        (pegs::pegs(plan, id, &supply))
        @if part.bought() { (coming(plan, id, &supply, &facts)) (balance(plan, id, &supply)) }
        (stock(&facts))
        (used(&facts))
    };
    View::new(format!("Part {} {}", part.code, part.description), body)
}

fn head(plan: &Plan<'_>, id: PartId, facts: &Uses) -> Markup {
    let part = plan.plant.part(id);
    html! {
        dl .facts {
            (tell::fact("comes from", &html! {
                (facts.part.source)
                @match part.source {
                    Source::Make(shop) => { ", made in " (tell::shop(&plan.plant.shop_dest(shop).code)) }
                    _ => { @if !part.supplier.is_empty() { ", from " (tell::supplier(&part.supplier)) } }
                }
            }))
            (tell::fact("unit of measure", &html! { (part.uom) }))
            (tell::fact("issued", &html! { (facts.part.issue) }))
            @if !part.location.is_empty() { (tell::fact("lies at", &html! { (part.location) })) }
            @if part.bought() { (tell::fact("lead days", &html! { (part.lead_days) })) }
            (tell::fact("weight", &html! { @match part.weight { Some(weight) => { (weight) " kg each by the book" }, None => "not known" } }))
            (tell::fact("the sequence asks for", &html! { (facts.total) " " (part.uom) }))
            (tell::fact("usable stock", &html! { (facts.usable) " " (part.uom) }))
            @if let Some(hit) = &facts.first_wrong {
                (tell::fact("first late or short", &html! { (tell::unit(&hit.unit)) " at " (hit.to) ", needed " (hit.need.short()) ": " (hit.missing) " " (part.uom) " missing" }))
            }
            @if let Some(hit) = &facts.first_hit {
                (tell::fact("if nothing came any more", &html! { (tell::unit(&hit.unit)) " at " (hit.to) " would be the first to lack some, " (hit.need.short()) }))
            }
            (tell::fact("stands in the book at", &html! { (facts.part.place) }))
        }
    }
}

/// What its pieces that are not there do.
fn does(plan: &Plan<'_>, id: PartId) -> Markup {
    let rows = plan.consequences_of(id);
    let uom = &plan.plant.part(id).uom;
    let line = |row: &Consequence| {
        html! {
            td { (tell::owner(plan, row.owner)) }
            td { (dest_code(plan, row.to)) }
            td .number { (row.qty) " " (uom) }
            td { (row.arrives.short()) }
            td { @match row.there { There::At(at) => (at.short()), There::Unknown => "nothing says when" } }
            td { (tell::outcome(row.outcome, row.stop_minutes)) }
            td { @if let Some(at) = row.saves_until { (at.short()) } }
        }
    };
    let headings = ["unit", "for", "how many", "unit arrives", "there", "what it does", "saves the line until"];
    html! { h2 { "What is not there when its run is picked" } (tell::first("Pieces not there", &headings, &rows, line)) }
}

/// The three moments of what comes for those who take of it: the first of each.
struct Moments {
    with_its_run: Moment,
    saves: Option<Moment>,
    needed: Moment,
}

fn moments(plan: &Plan<'_>, supply: &Supply, delivery: usize) -> Option<Moments> {
    let of = |cover: Cover| matches!(cover, Cover::Receipt(receipt) if plan.deliveries.of_receipt(receipt) == delivery);
    let mut takers = supply.pegged().pieces().filter(|(_, peg)| of(peg.cover)).map(|(demand, _)| demand);
    let first = takers.next()?;
    let picked = |need: Moment| plan.runs.serving(need).map_or(need, |run| run.picked);
    let rest = takers.take(MOST_LINES).collect_vec();
    let all = || std::iter::once(first).chain(rest.iter().copied());
    Some(Moments {
        with_its_run: all().map(|demand| picked(demand.need)).min()?,
        saves: all().filter_map(|demand| plan.saves_until(demand)).min(),
        needed: first.need,
    })
}

/// A trial in which a delivery comes with the run of the first who takes of it.
fn sooner(order: &str, part: &str, by: Moment) -> Address {
    let [order, part] = [order, part].map(word);
    Address::Try { edits: vec![format!("Receipts all {order} {part} due={}", by.to_string().replace('T', " "))] }
}

fn coming(plan: &Plan<'_>, id: PartId, supply: &Supply, facts: &Uses) -> Markup {
    let (part, first) = (plan.plant.part(id), plan.deliveries.first_of(id));
    let deliveries = plan.deliveries.of_part(id);
    let taken = &plan.account(id).taken;
    let line = |(number, delivery): &(usize, &crate::plan::Delivery<'_>)| {
        let moments = moments(plan, supply, first + number);
        html! {
            td { (delivery.order) }
            td { (tell::supplier(delivery.supplier)) }
            td .number { (delivery.open) " " (part.uom) }
            td .number { @if let Some(taken) = taken.get(*number) { (taken.qty) } }
            td { (delivery.available.short()) @if !delivery.not_promised().is_empty() { " (" (delivery.not_promised()) ")" } }
            @match moments {
                Some(moments) => {
                    td { (moments.with_its_run.short()) }
                    td { @if let Some(at) = moments.saves { (at.short()) } }
                    td { (moments.needed.short()) }
                    td { a href=(sooner(delivery.order, &part.code, moments.with_its_run)) aria-label=(format!("try order {} sooner", delivery.order)) { "sooner" } }
                }
                None => { td { "nobody takes of it" } td {} td {} td {} }
            }
        }
    };
    let deliveries = deliveries.iter().enumerate().collect_vec();
    let headings =
        ["order", "supplier", "open", "taken", "there", "with its run until", "saves the line until", "needed", "try"];
    let planned = &plan.account(id).planned;
    let order = |order: &crate::plan::Planned| {
        html! { td { (order.day.short()) } td .number { (order.qty) " " (part.uom) } td { (order.release.short()) @if order.release < plan.plant.as_of.date() { " (inside lead time)" } } }
    };
    html! {
        h2 { "What comes" }
        (tell::first("Open deliveries, and the first moments of those who take of them", &headings, &deliveries, line))
        (tell::first("Orders that the balance asks for", &["needed on", "how many", "order by"], planned, order))
        @if !facts.calls.is_empty() {
            h3 { "What to ask for" }
            ul { @for call in &facts.calls {
                li { (call.what) " " (call.purchase_order) ": "
                    @for (number, step) in call.steps.iter().enumerate() { @if number > 0 { "; " } (step.qty) " " (part.uom) " by " (step.by.short()) }
                    ". If it alone fails, the line loses " (call_words::words(
                        call.fails_alone.by_date.iter().map(|lost| lost.seconds).sum(),
                        call.fails_alone.if_nothing_is_made_up,
                        i64::try_from(call.fails_alone.no_known_end).unwrap_or(i64::MAX),
                    )) "."
                }
            } }
        }
    }
}

/// The balance by day, as bars and as numbers.
fn balance(plan: &Plan<'_>, id: PartId, supply: &Supply) -> Markup {
    let part = plan.plant.part(id);
    let line = |day: &Balance| {
        html! {
            td { (day.date.short()) }
            td .number { (day.gross) }
            td .number { (day.receipts) }
            td .number { (day.available) }
            td .number { @if day.planned.is_positive() { (day.planned) } }
            td { @if let Some(release) = day.release { (release.short()) } }
        }
    };
    let headings = ["day", "needed", "comes", "left at its end", "order planned", "order by"];
    html! {
        h2 { "Balance by day, in " (part.uom) }
        (bars(supply))
        (tell::first("Balance", &headings, &supply.balances, line))
    }
}

fn bars(supply: &Supply) -> Markup {
    let days = &supply.balances[..supply.balances.len().min(MOST_LINES)];
    let most = days.iter().map(|day| day.available.millionths().abs()).max().unwrap_or_default().max(1);
    let Some(axis) = Axis::over(days.iter().map(|day| day.date.midnight())) else { return html! {} };
    let (middle, half) = (TOP + 70, 60);
    let height = middle + half + 10;
    let tall = |millionths: i64| {
        let tall = i128::from(millionths.abs()) * i128::from(half) / i128::from(most);
        i64::try_from(tall).unwrap_or_default()
    };
    let below = days.iter().find(|day| day.available.millionths() < 0);
    let words = match below {
        Some(day) => format!("Below nothing first on {}.", day.date.short()),
        None => "Never below nothing.".to_owned(),
    };
    let content = html! {
        (axis.marks(height))
        line .mark x1=(super::axis::LEFT) x2=(super::axis::RIGHT) y1=(middle) y2=(middle) {}
        @for day in days {
            @let (x, tall, low) = (axis.x(day.date.midnight()), tall(day.available.millionths()), day.available.millionths() < 0);
            rect class=(if low { "bar low" } else { "bar" }) x=(x) y=(if low { middle } else { middle - tall }) width="6" height=(tall.max(1)) {
                title { (day.date.short()) ": " (day.available) }
            }
        }
    };
    picture("What is left at the end of each day", &words, height, &content)
}

fn stock(facts: &Uses) -> Markup {
    let uom = &facts.part.uom;
    let line = |row: &crate::why::facts::StockFacts| {
        let kept = row.lineside.as_ref().map(|at| format!("at {at}"));
        let kept = kept.into_iter().chain(row.reserved.as_ref().map(|unit| format!("for {unit}")));
        let kept = kept.chain(row.hold.as_ref().map(|why| format!("on hold: {why}"))).join(", ");
        html! { td .number { (row.qty) " " (uom) } td { (row.location) } td { (kept) } td { (row.place) } }
    };
    let recount = vec![format!("Stock all {} qty=", word(&facts.part.part))];
    html! {
        h2 { "Stock" }
        (tell::first("Stock", &["how many", "lies at", "kept", "row"], &facts.stock, line))
        @if !facts.stock.is_empty() { p { "Try: " a href=(Address::Try { edits: recount }) { "another count" } } }
    }
}

fn used(facts: &Uses) -> Markup {
    let place = |place: &PlaceUse| html! { td { (place.to) " " (place.name) } td .number { (place.demands) } td .number { (place.qty) " " (facts.part.uom) } };
    let path = |path: &UsePath| {
        html! {
            td { (path.floorplan) }
            td { @for step in &path.steps { (tell::part_code(&step.part)) " " } }
            td .number { @if let Some(qty) = &path.qty { @if path.gives { "gives " } (qty) } }
            td { (path.when) " " (path.changes.join(", ")) }
            td { (path.to) }
        }
    };
    html! {
        h2 { "Where it is used" }
        (tell::first("By station and shop, in units ahead", &["at", "demands", "how many"], &facts.places, place))
        (tell::first("Ways from a floorplan", &["floorplan", "through", "one unit takes", "when", "for"], &facts.paths, path))
        @if !facts.not_on.is_empty() { p { "Not on " (facts.not_on.join(", ")) "." } }
    }
}
