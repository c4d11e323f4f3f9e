//! The kits of the list: what each holds, what it lacks, and the table of all of them.

use super::day::{Day, Missing, Picked, Trip};
use super::tour::{KitKey, Tour};
use super::weight::{self, Load};
use super::words::{comes, dest_order, floorplan, how, unit_code};
use crate::base::{DestId, Moment, OwnerId};
use crate::check::{DestKind, Issue};
use crate::plan::Plan;
use crate::report::fit;
use crate::report::limits::WORST;
use crate::report::listing::{Line, listing};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};

/// Wider, a screen does not show it at once.
const TOTAL: u16 = 175;

/// What one unit gets at one station or shop with one trip.
pub struct Kit<'a> {
    /// The station or shop.
    pub to: DestId,
    /// Whose material it is.
    pub owner: OwnerId,
    /// When it is needed first.
    pub need: Moment,
    /// Its pulls, in walking order.
    pub picked: Vec<&'a Picked>,
}

impl Kit<'_> {
    /// What tells it from others of its run.
    pub fn key(&self) -> KitKey {
        KitKey { to: self.to, owner: self.owner }
    }

    /// The kilograms of what is in it.
    pub fn load(&self, plan: &Plan<'_>) -> Load {
        let mut load = Load::default();
        for picked in self.lines() {
            load.add(plan.plant.part(picked.pull.part), picked.taken);
        }
        load
    }

    /// The lines of which something is in it.
    pub fn lines(&self) -> impl Iterator<Item = &Picked> {
        self.picked.iter().copied().filter(|picked| picked.taken.is_positive())
    }

    /// What is not in it.
    pub fn missing(&self) -> impl Iterator<Item = (&Picked, &Missing)> {
        self.picked.iter().flat_map(|picked| picked.missing.iter().map(move |missing| (*picked, missing)))
    }
}

/// When a unit arrives at a station of its own line.
pub fn arrives(plan: &Plan<'_>, owner: OwnerId, to: DestId) -> Option<Moment> {
    let unit = plan.pace.owners[owner.at()].unit?;
    let DestKind::Station { line, position, .. } = plan.plant.dest(to).what else { return None };
    let own = plan.plant.units[unit.at()].line == line;
    own.then(|| plan.pace.arrives(plan.plant, unit, position)).flatten()
}

/// The kits of a trip: stations in line order, then shops; at each its units in line order.
pub fn of_trip<'a>(plan: &Plan<'_>, trip: &'a Trip) -> Vec<Kit<'a>> {
    let mut own: Vec<(DestId, OwnerId, &Picked)> =
        trip.picked.iter().filter_map(|picked| Some((picked.pull.to, picked.pull.owner?, picked))).collect();
    own.sort_by_key(|(to, owner, _)| (dest_order(plan, *to), *owner));
    let of_kit = own.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1));
    let kit = |lines: &[(DestId, OwnerId, &'a Picked)]| {
        let (to, owner, first) = lines[0];
        let need = lines.iter().map(|(.., picked)| picked.pull.need).min().unwrap_or(first.pull.need);
        Kit { to, owner, need, picked: lines.iter().map(|(.., picked)| *picked).collect() }
    };
    of_kit.map(kit).collect()
}

/// Something that is not in a kit, and when it comes.
pub fn missing_words(plan: &Plan<'_>, picked: &Picked, missing: &Missing) -> String {
    let part = plan.plant.part(picked.pull.part);
    let (qty, uom, code) = (weight::measured(part, missing.qty), &part.uom, &part.code);
    let description = weight::marked(plan.plant, part, missing.qty);
    format!("{qty} {uom} {code} {description}: {}, {}", how(missing), comes(plan, missing))
}

/// The table of all kits.
pub fn sheet<'p>(day: &Day<'p>, tours: &[Tour<'_>]) -> Sheet<'p> {
    let plan = day.plan;
    let lines = tours.iter().flat_map(|tour| tour.kits.iter().map(move |kit| line(plan, tour.trip, kit)));
    let lines: Vec<Line<'p, Kits>> = lines.collect();
    let mut sheet = Sheet::new("kits", &fit::widths(&lines, TOTAL));
    sheet.for_the_screen = true;
    sheet.text(Look::Title, format!("For the screen: kits, {}", plan.day.long()));
    let what = "One line for each station and unit of a run; what is brought in line order counts.";
    sheet.paragraph(Look::Plain, what);
    if lines.is_empty() {
        sheet.text(Look::Plain, "No kits.");
    } else {
        sheet.table(Some("kits".to_owned()), lines);
    }
    sheet
}

listing! {
    /// A kit.
    Kits: fn line<'p>(plan: &'p Plan<'p>, trip: &Trip, kit: &Kit<'_>) {
        let load = kit.load(plan);
        let missing = few(kit.missing().map(|(picked, missing)| missing_words(plan, picked, missing)), WORST);
        let look = if missing.is_empty() { Look::Plain } else { Look::Wrong };
        let unknown = Some(load.unknown as i64).filter(|lines| *lines > 0);
    }
    look: look;
    "all there", 9, Box => "";
    "run", 14, Text => trip.name();
    "station", 11, Text => dest_code(plan, kit.to);
    "unit", 12, Text => unit_code(plan, kit.owner);
    "floorplan", 16, Text => floorplan(plan, kit.owner);
    "needed", 18, Moment => kit.need;
    "lines", 8, Whole => kit.lines().count() as i64;
    "kg", 10, Weight => load.cell();
    "weight not known (lines)", 11, Whole => unknown;
    "what is not in it", 40, Wrapped => missing;
}

/// Whether a part is brought in line order rather than in a kit.
pub fn in_line_order(plan: &Plan<'_>, picked: &Picked) -> bool {
    plan.plant.part(picked.pull.part).issue == Issue::Sequence
}
