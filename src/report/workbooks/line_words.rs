//! What the line loses, in the words that all sheets and the terminal share.

use super::{call_words, day_words};
use crate::base::{Date, Seconds};
use crate::plan::{DayStop, HandOver, Loss, Plan, Totals};
use crate::report::limits::WORST;
use crate::report::names::unit_status;
use crate::report::sheet::{Look, Sheet, Show};
use itertools::Itertools;

/// What these figures are not; it stands once below them.
pub const NOT_A_FORECAST: &str = "If the line only waits. Building past the unit, out of sequence or at a later position is the line lead's \
decision and is not counted, nor are the hours it costs elsewhere. To compare calls by, no promise of output.";

/// Working seconds as minutes, rounded up.
pub fn minutes(seconds: Seconds) -> i64 {
    (seconds + 59).div_euclid(60)
}

/// `Tue 20, Wed 341 min, each day begun on its times; 341 if nothing is made up`; `None` where nothing is lost. Of several lines each
/// is named.
pub fn loses(plan: &Plan<'_>, loss: &Loss) -> Option<String> {
    if *loss == Loss::default() {
        return None;
    }
    let several = plan.plant.lines.len() > 1;
    let shown = &loss.by_date[..loss.by_date.len().min(WORST)];
    let of_lines = shown.chunk_by(|a, b| a.line == b.line).map(|lost| {
        let days = lost.iter().map(|lost| format!("{} {}", day(plan, lost.date), minutes(lost.seconds))).join(", ");
        if several { format!("line {}: {days}", plan.plant.lines[lost[0].line.at()].code) } else { days }
    });
    let more = loss.by_date.len() - shown.len();
    let more = if more > 0 { format!(" and {more} days more") } else { String::new() };
    let in_all = loss.in_all.iter().map(|(line, seconds)| match several {
        true => format!("{} on line {}", minutes(*seconds), plan.plant.lines[line.at()].code),
        false => minutes(*seconds).to_string(),
    });
    let days = of_lines.collect_vec().join("; ");
    let days = if days.is_empty() { "nothing on any day".to_owned() } else { format!("{days} min{more}") };
    let in_all = Some(in_all.collect_vec().join(" and ")).filter(|words| !words.is_empty());
    let in_all = in_all.unwrap_or_else(|| "nothing".to_owned());
    Some(format!("{days}, each day begun on its times; {in_all} if nothing is made up"))
}

/// A day of the coming week by its name, another with its date.
fn day(plan: &Plan<'_>, date: Date) -> String {
    let today = plan.plant.as_of.date();
    let soon = (today..today.plus(7)).contains(&date);
    if soon { date.short()[..3].to_owned() } else { format!("{}:", date.short()) }
}

/// `16 units stop; the line loses Tue 20 min, …; 4 with no known end count beside; 3 special runs; 1 can follow`: all of it in a line.
pub fn line(plan: &Plan<'_>) -> String {
    let totals = Totals::of(plan);
    let loses = loses(plan, &plan.effects.loss).map(|words| format!("the line loses {words}"));
    let no_end = (totals.unknown > 0).then(|| no_end(totals, loses.is_some()));
    std::iter::once(totals.units_words()).chain(loses).chain(no_end).chain(totals.others()).join("; ")
}

/// `18: 12 clear to build, 3 late`: how the units of a plan stand.
pub fn units(plan: &Plan<'_>) -> String {
    let count = |word: &str| plan.units.iter().filter(|unit| unit_status(unit.state) == word).count();
    let others = ["late", "short", "hold", "set aside"].into_iter().map(|word| (count(word), word));
    let others = others.filter(|(units, _)| *units > 0).map(|(units, word)| format!(", {units} {word}")).join("");
    format!("{}: {} clear to build{others}", plan.units.len(), count("clear"))
}

/// `4 of them with no known end, which count beside`
pub fn no_end(totals: Totals, beside: bool) -> String {
    let which = match (totals.unknown, totals.units) {
        (1, 1) => "with no known end".to_owned(),
        (unknown, units) if unknown == units => "all of them with no known end".to_owned(),
        (unknown, _) => format!("{unknown} of them with no known end"),
    };
    if beside { format!("{which}, counted beside") } else { which }
}

/// Whether the plan's day works, and on what unpromised moment that rests; then the same of the whole plan in figures, and what these are not.
/// Labels take the first columns.
pub fn put<'p>(sheet: &mut Sheet<'p>, plan: &'p Plan<'p>, labels: u16) {
    let (works, words) = day_words::verdict(plan);
    let rests = call_words::rests_on(plan).map(|words| format!("This holds {words}."));
    let words = std::iter::once(format!("{} {words}.", plan.day.long())).chain(rests).join(" ");
    sheet.paragraph(if works { Look::Strong } else { Look::Wrong }, words);
    let totals = Totals::of(plan);
    let words = std::iter::once(totals.units_words()).chain(first(plan)).chain(totals.others()).join("; ");
    sheet.fact(Look::Strong, labels, "the line", words, Show::Text);
    if totals.units == 0 {
        return;
    }
    let loses = loses(plan, &plan.effects.loss);
    let no_end = (totals.unknown > 0).then(|| no_end(totals, loses.is_some()));
    let words = loses.into_iter().chain(no_end).join("; ");
    let words = if words.is_empty() { "nothing: the line does not work then".to_owned() } else { words };
    sheet.fact(Look::Strong, labels, "the line loses", words, Show::Text);
    sheet.paragraph(Look::Faint, NOT_A_FORECAST);
}

/// What the book itself has wrong: `A stock is negative (Stock.csv row 2705); …`, ten kinds at most; nothing where it has none.
pub fn of_the_book<'p>(sheet: &mut Sheet<'p>, plan: &'p Plan<'p>) {
    let all = &plan.plant.warnings;
    let told = all.iter().take(WORST).map(|noticed| {
        let what = noticed.kind.what.trim_end_matches('.');
        match noticed.number {
            1 => format!("{what} ({})", noticed.first),
            number => format!("{what} ({number} times, first {})", noticed.first),
        }
    });
    let more = all.len().saturating_sub(WORST);
    let more = (more > 0).then(|| format!("{more} kinds more"));
    let told = told.chain(more).join("; ");
    if !all.is_empty() {
        let words = format!("What the book itself has wrong: {told}. 'lineward check' tells each at its cell.");
        sheet.paragraph(Look::Plain, words);
    }
}

/// `AF3430 at APP, at the last Tue 14 Sep 09:40, and AF3431 at RTP, 09:45; …`: hand-overs due closer together than one takes, the first
/// ones; `None` where there are none.
pub fn at_once(plan: &Plan<'_>) -> Option<String> {
    let groups = plan.due_at_once();
    let of = |group: &Vec<HandOver>| {
        let told = group.iter().enumerate().map(|(number, one)| {
            let (unit, at) = (&plan.pace.owners[one.owner.at()].code, &plan.plant.dest(one.at).code);
            let same_day = number > 0 && one.by.date() == group[number - 1].by.date();
            let by = if same_day { one.by.clock() } else { format!("at the last {}", one.by.short()) };
            format!("{unit} at {at}, {by}")
        });
        told.collect_vec().join(", and ")
    };
    let more = groups.len().saturating_sub(WORST);
    let more = (more > 0).then(|| format!("{more} times more"));
    let told = groups.iter().take(WORST).map(of).chain(more).join("; ");
    let minutes = minutes(plan.plant.hand_over);
    (!groups.is_empty())
        .then(|| format!("Hand-overs due at once, closer together than the {minutes} min that one takes: {told}."))
}

/// `first Tue 14 Sep 07:51, AF3446 at SLD`: the first stop.
fn first(plan: &Plan<'_>) -> Option<String> {
    let stops = plan.effects.first.iter().filter_map(|row| plan.stops_at(row));
    let first = stops.min_by_key(DayStop::key)?;
    Some(format!("first {}, {}", first.at.short(), who_stops(plan, &first)))
}

/// `AF3446 at SLD`: the unit that stops, and the last station where its piece can be fitted.
pub fn who_stops(plan: &Plan<'_>, stop: &DayStop) -> String {
    let owner = &plan.pace.owners[stop.row.owner.at()].code;
    format!("{owner} at {}", plan.plant.dest(stop.station).code)
}
