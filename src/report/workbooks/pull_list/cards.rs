//! Full kit cards, with all lines: where something is missing or owed, or for all kits where the plant wants them.

use super::day::{Day, Picked, Trip};
use super::kits::{Kit, in_line_order, missing_words};
use super::tour::Tour;
use super::weight;
use super::words::{Reasons, dest_name, floorplan, unit_code};
use crate::base::count;
use crate::report::limits::WORST;
use crate::report::pages::Pages;
use crate::report::sheet::{Cell, Look, Paper, ROW_HEIGHT, Row, Sheet, Show};
use crate::report::table::Value;
use crate::report::text_width::digits_of;
use std::ops::Range;

/// Two lists of lines side by side, with a gap between them.
const WIDTHS: [u16; 15] = [5, 9, 13, 29, 7, 6, 7, 2, 5, 9, 13, 29, 7, 6, 7];
const HALF: u16 = 8;
const HEADINGS: [&str; 7] = ["in it", "location", "part", "description", "qty", "uom", "kg"];
const ALL: u16 = WIDTHS.len() as u16;
/// The height of the card's large line, of its heading on later pages, and of the space below a card.
const LARGE: u16 = 32;
const AGAIN: u16 = 20;
const SPACE: u16 = 14;
/// So many kits of a run have a card because something is missing; where more have, the cause is not in the kits.
const MOST_CARDS: usize = 24;

/// The sheet of a trip's cards; none where no kit has one.
pub fn sheet<'p>(day: &Day<'p>, tour: &Tour<'_>, reasons: &Reasons<'p>) -> Option<Sheet<'p>> {
    let trip = tour.trip;
    let owed = |kit: &Kit<'_>| kit.picked.iter().any(|picked| !reasons.behind(picked).is_empty());
    let all = day.plan.plant.all_kit_cards;
    // Of a kit of which nothing is there the label says all.
    let partly = |kit: &Kit<'_>| kit.lines().next().is_some() && kit.missing().next().is_some();
    let carded = |kit: &&Kit<'_>| all || partly(kit) || owed(kit);
    let mut kits: Vec<&Kit<'_>> = tour.kits.iter().filter(carded).collect();
    let more = if all { 0 } else { kits.len().saturating_sub(MOST_CARDS) };
    kits.truncate(kits.len() - more);
    if kits.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(format!("cards {}", trip.tab()), &WIDTHS);
    sheet.paper = Paper::Scale(85);
    sheet.text(Look::Title, format!("Kit cards, {}, {}", trip.name(), day.plan.day.long()));
    sheet.text(Look::Plain, weight::SHORT_CAUTION);
    let first = sheet.next_row();
    let mut pages = Pages::of(&mut sheet, first);
    for kit in kits {
        add_card(&mut sheet, &mut pages, day, trip, kit, reasons);
    }
    if more > 0 {
        let text = format!(
            "and {more} kits more in which something is missing or owed: see 'kits', or set 'kit cards' to 'all'"
        );
        sheet.text(Look::Strong, text);
    }
    Some(sheet)
}

/// A card; on several pages where it does not fit on one.
fn add_card<'p>(
    sheet: &mut Sheet<'p>,
    pages: &mut Pages,
    day: &Day<'p>,
    trip: &Trip,
    kit: &Kit<'_>,
    reasons: &Reasons<'p>,
) {
    let name = format!("kit {} at {}", unit_code(day.plan, kit.owner), day.plan.plant.dest(kit.to).code);
    let (before, rows) = body(day, kit, reasons);
    let heights: Vec<u16> = rows.iter().map(|row| row.height.unwrap_or(ROW_HEIGHT)).collect();
    let room = pages.room() as u16;
    let parts = split(&heights, room.saturating_sub(LARGE + ROW_HEIGHT * 3 + SPACE));
    let heading = rows.get(before).cloned();
    let mut rows = rows.into_iter();
    for (i, part) in parts.iter().enumerate() {
        let start = sheet.next_row();
        let page = if parts.len() > 1 { format!(", page {} of {}", i + 1, parts.len()) } else { String::new() };
        if i == 0 {
            add_head(sheet, day, trip, kit, &format!("{name}{page}"));
        } else {
            sheet.row(Some(AGAIN), vec![Cell::new(0, format!("{name}{page}"), Show::Text, Look::Section).over(ALL)]);
            sheet.rows.extend(heading.clone().filter(|_| part.start > before));
        }
        sheet.rows.extend(rows.by_ref().take(part.len()));
        sheet.row(Some(SPACE), Vec::new());
        pages.keep(sheet, start..sheet.next_row());
    }
}

/// Splits rows into parts none of which is higher than there is room.
fn split(heights: &[u16], room: u16) -> Vec<Range<usize>> {
    let (mut parts, mut start, mut used) = (Vec::new(), 0, 0);
    for (i, height) in heights.iter().enumerate() {
        if used + height > room && i > start {
            parts.push(start..i);
            (start, used) = (i, 0);
        }
        used += height;
    }
    parts.push(start..heights.len());
    parts
}

/// As large as a text can be over so many columns from one on.
fn as_large(text: &str, span: usize, from: usize, looks: &[Look]) -> Look {
    let room: usize = WIDTHS[from..from + span].iter().map(|width| usize::from(*width)).sum();
    // Bold letters are wider by a tenth.
    let fits = |look: &&Look| digits_of(text) * 11 * usize::from(look.points()) / 100 < room;
    looks.iter().find(fits).or(looks.last()).copied().unwrap_or_default()
}

/// Unit, station and run, large; then how much it is, and a box to tick.
fn add_head<'p>(sheet: &mut Sheet<'p>, day: &Day<'p>, trip: &Trip, kit: &Kit<'_>, name: &str) {
    let plan = day.plan;
    let (unit, station) = (unit_code(plan, kit.owner), dest_name(plan, kit.to));
    let large = [Look::Large, Look::Title, Look::Section, Look::Strong];
    sheet.row(
        Some(LARGE),
        vec![
            Cell::new(0, unit, Show::Text, as_large(unit, 4, 0, &large)).over(4),
            Cell::new(4, station.clone(), Show::Text, as_large(&station, 7, 4, &large[1..])).over(7),
            Cell::new(11, trip.name(), Show::Text, Look::Title).over(4),
        ],
    );
    let lines = count(kit.lines().count(), "line", "lines");
    let mut facts = vec![name.to_owned(), lines, kit.load(plan).words(), format!("needed {}", kit.need.short())];
    facts.extend(Some(floorplan(plan, kit.owner).to_owned()).filter(|floorplan| !floorplan.is_empty()));
    sheet.row(
        Some(ROW_HEIGHT + 2),
        vec![
            Cell::new(0, facts.join("   |   "), Show::Text, Look::Strong).over(12),
            Cell::new(12, "all there", Show::Text, Look::Strong).over(2),
            Cell::new(14, "", Show::Box, Look::Plain).ruled(),
        ],
    );
}

/// What is not in the kit (and how many rows that is), then a heading and the kit's lines in two lists: down the left one,
/// then down the right one.
fn body<'p>(day: &Day<'p>, kit: &Kit<'_>, reasons: &Reasons<'p>) -> (usize, Vec<Row<'p>>) {
    let mut scratch = Sheet::new("", &WIDTHS);
    let more = kit.missing().count().saturating_sub(WORST);
    for (picked, missing) in kit.missing().take(WORST) {
        let text = format!("not in it: {}", missing_words(day.plan, picked, missing));
        scratch.row(None, vec![Cell::new(0, text, Show::Wrapped, Look::Wrong).over(ALL)]);
    }
    if more > 0 {
        let text = format!("and {} not in it: see 'not pulled'", count(more, "piece more is", "pieces more are"));
        scratch.row(None, vec![Cell::new(0, text, Show::Wrapped, Look::Wrong).over(ALL)]);
    }
    let before = scratch.rows.len();
    let lines: Vec<&Picked> = kit.lines().collect();
    if lines.is_empty() {
        return (before, scratch.rows);
    }
    let heads = (0..ALL).filter(|column| *column != HALF - 1 && (*column < HALF || lines.len() > 1));
    let heading = |column: u16| HEADINGS[usize::from(column % HALF)];
    scratch.row(None, heads.map(|at| Cell::new(at, heading(at), Show::Text, Look::Heading).ruled()).collect());
    let half = lines.len().div_ceil(2);
    for i in 0..half {
        let mut cells = line(day, lines[i], 0, reasons);
        if let Some(right) = lines.get(half + i) {
            cells.extend(line(day, right, HALF, reasons));
        }
        scratch.row(None, cells);
    }
    (before, scratch.rows)
}

fn line<'p>(day: &Day<'p>, picked: &Picked, from: u16, reasons: &Reasons<'p>) -> Vec<Cell<'p>> {
    let plan = day.plan;
    let part = plan.plant.part(picked.pull.part);
    let mut more: Vec<String> = Vec::new();
    more.extend(in_line_order(plan, picked).then(|| "in line order".to_owned()));
    more.extend((picked.taken < picked.pull.qty).then(|| format!("{} of {}", picked.taken, picked.pull.qty)));
    more.extend(weight::warning(plan.plant, part, picked.taken));
    more.extend(reasons.behind(picked).iter().map(|reason| (*reason).to_owned()));
    let description = match &more[..] {
        [] => Value::from(part.description.as_str()),
        more => format!("{}; {}", part.description, more.join("; ")).into(),
    };
    let values: [(Value<'p>, Show); 7] = [
        ("".into(), Show::Box),
        (day.places(picked).into(), Show::Wrapped),
        (part.code.as_str().into(), Show::Wrapped),
        (description, Show::Wrapped),
        (picked.taken.into(), Show::Quantity),
        (part.uom.as_str().into(), Show::Text),
        // That it is not known stands with the description.
        (weight::kilograms(part, picked.taken).into(), Show::Weight),
    ];
    let cells = values.into_iter().enumerate();
    cells.map(|(i, (value, show))| Cell::new(from + i as u16, value, show, Look::Plain).ruled()).collect()
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn rows_are_split_where_there_is_no_more_room() {
        assert_eq!(split(&[15; 10], 60), [0..4, 4..8, 8..10]);
        assert_eq!(split(&[15, 90, 15], 60), [0..1, 1..2, 2..3]);
        assert_eq!(split(&[15; 4], 60).len(), 1);
    }
}
