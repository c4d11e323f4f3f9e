//! All stops of a run with all that is known of each, in the order of a walk that never goes back: for the screen.

use super::day::{Day, Picked, Take, Trip};
use super::tour::Tour;
use super::weight;
use super::words::{DestOrder, Reasons, dest_order, unit_code};
use crate::base::{MustBe, OwnerId, PartId, Quantity, StorageKey, count, fold};
use crate::check::Issue;
use crate::report::fit;
use crate::report::limits::{ON_THE_SCREEN, WORST};
use crate::report::listing::{Line, listing};
use crate::report::pages::Pages;
use crate::report::prose::few;
use crate::report::sheet::{Look, Paper, Sheet};
use itertools::Itertools;
use std::collections::BTreeMap;

/// What a page takes at this sheet's scale.
const TOTAL: u16 = 168;
const TAKE: usize = 6;

/// One stop of a walk: what is taken from one bin, and for whom.
#[derive(Clone)]
pub struct Stop<'a> {
    /// What lies in the bin.
    pub part: PartId,
    /// Where it lies; blank where the book does not say.
    pub place: &'a str,
    /// What is taken for each pull.
    pub takes: Vec<(&'a Picked, &'a Take)>,
}

impl Stop<'_> {
    /// How much is taken in all.
    pub fn qty(&self) -> Quantity {
        self.takes.iter().map(|(_, take)| take.qty).sum()
    }
}

/// What is said of a bin from which all is taken.
pub const EMPTY: &str = "bin empty after";

/// The sheet of a trip.
pub fn sheet<'p>(day: &Day<'p>, tour: &Tour<'_>, reasons: &Reasons<'p>) -> Sheet<'p> {
    let (trip, stops) = (tour.trip, &tour.stops[..tour.stops.len().min(ON_THE_SCREEN)]);
    let zones: Vec<String> = stops.iter().map(|stop| zone(stop.place)).collect();
    let lines: Vec<Line<'p, WalkStops>> =
        stops.iter().zip(&zones).map(|(stop, zone)| line(day, reasons, stop, zone)).collect();
    let widths = fit::widths(&lines, TOTAL);
    let mut sheet = Sheet::new(format!("stops {}", trip.tab()), &widths);
    sheet.paper = Paper::Scale(78);
    sheet.for_the_screen = true;
    sheet.text(Look::Title, format!("For the screen: stops, {}, {}", trip.name(), day.plan.day.long()));
    sheet.paragraph(Look::Plain, told(trip, &tour.stops));
    let first = sheet.next_row() + 1;
    sheet.table(Some(format!("stops_{}", trip.tab())), lines);
    for row in &mut sheet.rows[first as usize..] {
        row.cells[TAKE].look = Look::Strong;
    }
    let mut pages = Pages::of(&mut sheet, first);
    let mut at = first;
    for (_, run) in &zones.iter().chunk_by(|zone| zone.as_str()) {
        let end = at + run.count() as u32;
        pages.keep(&mut sheet, at..end);
        at = end;
    }
    if tour.stops.len() > stops.len() {
        let more = tour.stops.len() - stops.len();
        sheet.text(Look::Strong, format!("and {more} stops more: the walks have all, and so has tables/pulls"));
    }
    sheet
}

/// The stops of a walk in the order of their locations.
pub fn stops<'a>(day: &'a Day<'_>, trip: &'a Trip) -> Vec<Stop<'a>> {
    let takes = trip.picked.iter().flat_map(|picked| picked.takes.iter().map(move |take| (picked, take)));
    let mut takes: Vec<(&Picked, &Take)> = takes.collect();
    let bin = |(picked, take): &(&Picked, &Take)| (picked.pull.part, take.bin);
    takes.sort_by_key(bin);
    let stop = |takes: &[(&'a Picked, &'a Take)]| {
        let (picked, take) = takes[0];
        let place = &*day.bin(picked.pull.part, take).place;
        Stop { part: picked.pull.part, place, takes: takes.to_vec() }
    };
    let mut stops: Vec<Stop<'a>> = takes.chunk_by(|a, b| bin(a) == bin(b)).map(stop).collect();
    stops.sort_by_cached_key(|stop| (StorageKey::new(stop.place), stop.place.to_lowercase(), stop.part));
    stops
}

/// The zones of a walk, in its order.
pub fn zones(stops: &[Stop<'_>]) -> Vec<String> {
    let named = |zone: String| if zone.is_empty() { "not known".to_owned() } else { zone };
    let zones = stops.iter().dedup_by(|one, other| same_zone(one.place, other.place));
    zones.map(|stop| named(zone(stop.place))).collect()
}

/// What a picker should know before setting out.
fn told(trip: &Trip, stops: &[Stop<'_>]) -> String {
    let mut text = match trip.run {
        Some(run) => format!("Picking starts {}, the run leaves {}. ", run.picked.short(), run.leaves.short()),
        None => "These runs have left: pick this first. ".to_owned(),
    };
    text += &count(stops.len(), "stop", "stops");
    text += ", in the order of the locations. ";
    let open = trip.picked.iter().filter(|picked| !picked.missing.is_empty()).count();
    if open > 0 {
        text += &format!("{} not there or not whole: see 'not pulled'. ", count(open, "pull is", "pulls are"));
    }
    text + weight::SHORT_CAUTION
}

/// The zone of a location: what stands before its first number, or that number where it begins with one.
pub fn zone(place: &str) -> String {
    let digits = place.starts_with(|c: char| c.is_ascii_digit());
    let end = place.find(|c: char| c.is_ascii_digit() != digits).unwrap_or(place.len());
    place[..end].trim_end_matches(|c: char| !c.is_alphanumeric()).to_owned()
}

/// Whether two places lie in one zone: capitals and small letters are one to a reader.
pub fn same_zone(one: &str, other: &str) -> bool {
    fold(&zone(one)) == fold(&zone(other))
}

listing! {
    /// A stop.
    WalkStops: fn line<'p>(day: &Day<'p>, reasons: &Reasons<'p>, stop: &Stop<'_>, zone: &str) {
        let plant = day.plan.plant;
        let part = plant.part(stop.part);
        let qty = stop.qty();
        let before = stop.takes.first().map(|(_, take)| take.before);
        let left = stop.takes.last().map(|(_, take)| take.left);
        let notes = few(notes(day, reasons, stop).into_iter(), WORST);
        let place = if stop.place.is_empty() { "not known" } else { stop.place };
    }
    look: Look::Plain;
    "done", 5, Box => "";
    "zone", 7, Wrapped => zone.to_owned();
    "location", 9, Wrapped => place.to_owned();
    "part", 6, Wrapped => part.code.as_str();
    "description", 14, Wrapped => part.description.as_str();
    "bin before", 7, Quantity => before;
    "take", 6, Quantity => qty;
    "uom", 5, Text => part.uom.as_str();
    "left", 6, Quantity => left;
    "what to know", 16, Wrapped => notes;
    "goes to", 16, Wrapped => goes_to(day, stop);
    "kg each", 8, Weight => part.weight;
    "kg", 8, Weight => weight::cell(part, qty);
    "was not there", 9, Box => "";
}

/// `bin empty after`, `part pack`, what is reserved or on hold there, heavy pieces, why something is pulled.
pub fn notes(day: &Day<'_>, reasons: &Reasons<'_>, stop: &Stop<'_>) -> Vec<String> {
    let (plan, part) = (day.plan, day.plan.plant.part(stop.part));
    let mut notes: Vec<String> = Vec::new();
    let Some((_, last)) = stop.takes.last() else { return notes };
    notes.extend(last.left.is_zero().then(|| EMPTY.to_owned()));
    for (picked, take) in &stop.takes {
        notes.extend(pack_note(picked, part.pack).filter(|_| part.issue == Issue::Bulk));
        if let Some(owner) = picked.pull.owner {
            let unit = unit_code(plan, owner);
            notes.extend(take.reserved.then(|| format!("reserved for {unit}")));
            let partly = picked.taken < picked.pull.qty;
            notes.extend(partly.then(|| format!("{} of {} there for {unit}", picked.taken, picked.pull.qty)));
        }
        notes.extend(reasons.behind(picked).iter().map(|reason| (*reason).to_owned()));
    }
    let bin = day.bin(stop.part, last);
    for (unit, qty) in bin.reserved.iter().filter(|(_, qty)| qty.is_positive()) {
        notes.push(format!("leave {qty}, reserved for {}", plan.plant.units[unit.at()].code));
    }
    for held in &bin.held {
        notes.push(format!(
            "leave {} more, on hold: {}",
            held.qty,
            held.hold.as_deref().must("what is on hold has no reason")
        ));
    }
    let most = stop.takes.iter().map(|(_, take)| take.qty).max().unwrap_or_default();
    notes.extend(weight::warning(plan.plant, part, most));
    notes.into_iter().unique().collect()
}

/// That less is there than the packs that should go out.
fn pack_note(picked: &Picked, pack: Option<Quantity>) -> Option<String> {
    let (taken, qty) = (picked.taken, picked.pull.qty);
    let whole = pack.is_none_or(|pack| taken.up_to_multiple(pack) == taken);
    let what = if whole { "" } else { "part pack: " };
    (taken < qty).then(|| format!("{what}{taken} of {qty} in the stores"))
}

/// So many kits of a station are named to which pieces of one stop go; the cards have all.
const MOST_KITS: usize = 60;

/// Which kit each piece goes to, stations in line order: `CB: U2 1, U3 1; FN: U1 1`.
pub fn goes_to(day: &Day<'_>, stop: &Stop<'_>) -> String {
    let plan = day.plan;
    let issue = plan.plant.part(stop.part).issue;
    let mut by_dest: BTreeMap<DestOrder, BTreeMap<Option<OwnerId>, Quantity>> = BTreeMap::new();
    for (picked, take) in &stop.takes {
        let owners = by_dest.entry(dest_order(plan, picked.pull.to)).or_default();
        *owners.entry(picked.pull.owner).or_default() += take.qty;
    }
    let mut dests = by_dest.into_iter().map(|((.., dest), owners)| {
        let code = &plan.plant.dest(dest).code;
        let how = match issue {
            Issue::Kit => "",
            Issue::Sequence => " in line order",
            Issue::Bulk => " in bulk",
        };
        let pieces = owners.iter().map(|(owner, qty)| match owner {
            Some(owner) => format!("{} {qty}", unit_code(plan, *owner)),
            None => qty.to_string(),
        });
        format!("{code}{how}: {}", few(pieces, MOST_KITS).replace("; ", ", "))
    });
    dests.join("; ")
}

#[cfg(test)]
mod tests {
    use super::zone;

    #[test]
    fn a_zone_is_what_stands_before_the_first_number() {
        for (place, expected) in
            [("A-2-1", "A"), ("WALL-RACK", "WALL-RACK"), ("Aisle 3/2", "Aisle"), ("12-3", "12"), ("B7", "B"), ("", "")]
        {
            assert_eq!(zone(place), expected, "{place}");
        }
    }
}
