//! The stops of the list's walks by their numbers, as facts: for the sheet on which misses are entered, and for whoever reads it.

use super::day::Day;
use super::tour::Tour;
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::plan::Plan;
use crc32fast::Hasher;

/// A stop of a walk.
#[derive(Clone, Debug)]
pub struct ListedStop {
    /// Its run as the list names it: `06:00`, or `overdue`.
    pub run: String,
    /// The number of its walk among those of the run, from 1.
    pub walk: usize,
    /// Its number on the walk, from 1.
    pub stop: usize,
    /// What lies in the bin.
    pub part: PartId,
    /// Where it lies; blank where the book does not say.
    pub place: String,
    /// How much is taken.
    pub qty: Quantity,
    /// What the bin should hold behind it, without what is on hold.
    pub left: Quantity,
    /// For whom how much of it is taken.
    pub takes: Vec<ListedTake>,
}

/// What is taken at a stop for one pull.
#[derive(Clone, Copy, Debug)]
pub struct ListedTake {
    /// Whose it is; nobody's of bulk.
    pub owner: Option<OwnerId>,
    /// Where it goes.
    pub to: DestId,
    /// How much.
    pub qty: Quantity,
    /// When it is needed first.
    pub need: Moment,
}

/// The stops of all walks of a plan's list, run by run.
pub fn listed(plan: &Plan<'_>) -> Vec<ListedStop> {
    let day = Day::of(plan);
    let tours: Vec<Tour<'_>> = day.trips.iter().map(|trip| Tour::of(&day, trip)).collect();
    of_tours(&tours)
}

/// Those of tours.
pub fn of_tours(tours: &[Tour<'_>]) -> Vec<ListedStop> {
    let walks = tours.iter().flat_map(|tour| tour.walks.iter().map(move |walk| (tour, walk)));
    let stops =
        walks.flat_map(|(tour, walk)| walk.stops.iter().zip(1..).map(move |(stop, number)| (tour, walk, stop, number)));
    let listed = stops.map(|(tour, walk, stop, number)| ListedStop {
        run: tour.trip.short_name(),
        walk: walk.number,
        stop: number,
        part: stop.part,
        place: stop.place.to_owned(),
        qty: stop.qty(),
        left: stop.takes.last().map(|(_, take)| take.left).unwrap_or_default(),
        takes: stop
            .takes
            .iter()
            .map(|(picked, take)| ListedTake {
                owner: picked.pull.owner,
                to: picked.pull.to,
                qty: take.qty,
                need: picked.pull.need,
            })
            .collect(),
    });
    listed.collect()
}

/// What tells the walks of one list from those of another: eight hexadecimal digits of all that their stops say (CRC-32).
pub fn mark(plan: &Plan<'_>, stops: &[ListedStop]) -> String {
    let mut sum = Checksum(Hasher::new());
    for stop in stops {
        sum.text(&stop.run);
        sum.numbers(&[stop.walk as i64, stop.stop as i64, stop.qty.millionths(), stop.left.millionths()]);
        sum.text(&plan.plant.part(stop.part).code);
        sum.text(&stop.place);
        for take in &stop.takes {
            sum.text(take.owner.map_or("", |owner| plan.pace.owners[owner.at()].code.as_str()));
            sum.text(&plan.plant.dest(take.to).code);
            sum.numbers(&[take.qty.millionths(), take.need.seconds()]);
        }
    }
    format!("{:08x}", sum.0.finalize())
}

/// A sum of texts and numbers, in which none runs into the next.
struct Checksum(Hasher);

impl Checksum {
    fn text(&mut self, text: &str) {
        self.0.update(text.as_bytes());
        self.0.update(&[0]);
    }

    fn numbers(&mut self, numbers: &[i64]) {
        numbers.iter().for_each(|number| self.0.update(&number.to_le_bytes()));
    }
}
