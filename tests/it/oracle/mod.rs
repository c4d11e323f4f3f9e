//! The slow, obvious planner: a book's tables in, the seven tables of the plan out.

use std::collections::BTreeMap;

mod balances;
mod calendar;
pub mod clock;
mod consequences;
mod crews;
#[cfg(test)]
mod hand_tests;
mod jobs;
pub mod loss;
mod measures;
mod moved;
mod moves;
pub mod numbers;
mod offers;
mod options;
pub mod plant;
mod pulls;
mod read_orders;
mod read_parts;
mod read_places;
mod read_supply;
mod saves;
mod sequence;
pub mod sheets;
mod shelf_order;
mod shop_order;
mod shops;
mod standing;
mod stations;
mod stock;
mod supply;
mod takers;
mod wants;
pub mod waves;
pub mod weights;
mod whens;
mod write;
mod write_consequences;
mod write_jobs;
mod write_units;

/// Table names such as `Bills`, and their CSV text with headings.
pub type Book = BTreeMap<String, String>;

/// The tables of a plan as CSV text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tables {
    pub units: String,
    pub demands: String,
    pub pegs: String,
    pub jobs: String,
    pub pulls: String,
    pub balances: String,
    pub consequences: String,
    /// What the lines lose, by line, day (`Some`) and seconds; if nothing is made up without a day.
    pub loss: Vec<(String, Option<String>, i64)>,
    /// What there is to say of how it came about.
    pub loss_cases: Vec<&'static str>,
    /// What there is to say of how rows of the consequences came about, of changes that begin with held units, and of reserved
    /// and lineside stock.
    pub cases: Vec<&'static str>,
}

/// Plans a book without errors, but for those of single units: these are told, or set aside.
pub fn plan(book: &Book, as_of: Option<&str>, set_aside: bool) -> Result<Tables, Vec<String>> {
    let plant = read(book, as_of)?;
    let (crowd, problems) = takers::Crowd::gather(&plant);
    if !set_aside && !problems.is_empty() {
        return Err(problems);
    }
    let view = wants::View::new(&plant, &crowd);
    let mut run = shops::run_twice(&view);
    waves::drop_delivered(&plant, &mut run);
    let demands = wants::demands(&run.wants);
    let names = supply::job_names(&view, &run);
    let pegs = supply::pegs(&view, &run, &demands, &names);
    let pulls = pulls::pulls(&view, &pegs);
    let balances = balances::balances(&plant, &demands, &pegs);
    let consequences = consequences::consequences(&view, &run, &pegs, &names);
    let there = moved::there(&view, &run, &pegs);
    let loss = loss::loss(&view, &consequences);
    let mut others = crowd.cases_of_changes(&plant);
    others.extend(balances::cases(&plant, &pegs));
    let view = &view;
    let mut tables =
        write::tables(&write::Plan { view, run, names, demands, pegs, pulls, balances, consequences, loss, there });
    tables.cases.extend(others);
    Ok(tables)
}

/// What an order of a floorplan on a line leads to, all names that are true then in lower case; `None` where it is wrong. The
/// rest of the unit is that of the first row.
pub fn names_with(
    plant: &plant::Plant,
    floorplan: &str,
    line: &str,
    order: &str,
) -> Option<std::collections::BTreeSet<String>> {
    let unit = sequence::units(plant).into_iter().next()?;
    let (floorplan_text, line, order) = (floorplan.to_owned(), line.to_lowercase(), order.to_owned());
    let names = [floorplan.to_lowercase(), line.clone()];
    let mut options = options::options_of(plant, &sequence::Unit { floorplan_text, line, order, ..unit }).ok()?;
    options.extend(names);
    Some(options)
}

/// Everyone who takes material, by rank; and when each unit on a line arrives at each station of it, by unit and station.
pub fn ranks_and_arrivals(plant: &plant::Plant) -> (Vec<sheets::Key>, BTreeMap<(sheets::Key, sheets::Key), i64>) {
    let (crowd, _) = takers::Crowd::gather(plant);
    let view = wants::View::new(plant, &crowd);
    let mut arrivals = BTreeMap::new();
    for (rank, taker) in crowd.takers.iter().enumerate() {
        let Some(unit) = crowd.unit_of(rank) else { continue };
        for (key, station) in plant.stations.iter().filter(|(_, station)| station.line == unit.line) {
            arrivals.insert((taker.key.clone(), key.clone()), view.arrives(rank, station.position));
        }
    }
    (crowd.takers.iter().map(|taker| taker.key.clone()).collect(), arrivals)
}

/// Reads a book; what else is to be worked out from its rows can begin here.
pub fn read(book: &Book, as_of: Option<&str>) -> Result<plant::Plant, Vec<String>> {
    let settings = read_places::settings(book, as_of)?;
    let calendars = read_places::calendars(book, settings.as_of);
    let measures = measures::Measures::read(book);
    let parts = read_parts::parts(book, &measures);
    let scale = read_supply::Scale { parts: &parts, measures: &measures };
    let stores = &calendars[&settings.stores_calendar];
    Ok(plant::Plant {
        lines: read_places::lines(book),
        stations: read_places::stations(book),
        shops: read_places::shops(book),
        waves: read_places::waves(book),
        floorplans: read_parts::floorplans(book),
        bills: read_parts::bills(book, &parts, &measures),
        catalogue: read_orders::catalogue(book),
        changes: read_orders::changes(book),
        orders: read_orders::sequence(book),
        stock: read_supply::stock(book, &scale),
        receipts: read_supply::receipts(book, &scale, &settings, stores),
        extras: read_supply::extras(book, &scale),
        started: read_supply::started(book),
        settings,
        calendars,
        parts,
    })
}
