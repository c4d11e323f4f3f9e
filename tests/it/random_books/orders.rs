//! The build sequence of a random book: what stands on the lines and what comes.

use super::calendars::Times;
use super::choices::{Choices, FloorplanSketch};
use super::dice::Dice;
use super::places::{LineSketch, Places};
use super::sheet::Sheet;
use super::{Size, Writer};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    Done,
    Held,
    At(i64),
    Coming,
}

#[derive(Clone)]
pub struct UnitSketch {
    pub code: String,
    pub line: usize,
    pub floorplan: String,
    pub role: Role,
}

pub fn write(
    dice: &mut Dice,
    size: Size,
    times: &Times,
    places: &Places,
    choices: &Choices,
    wrong_too: bool,
    book: &mut Writer,
) -> Vec<UnitSketch> {
    let mut rows: Vec<Vec<(&str, String)>> = Vec::new();
    let mut units = Vec::new();
    let count = size.of(10, 40) / places.lines.len() as i64;
    for line in 0..places.lines.len() {
        let mut seq = dice.between(1, 50);
        for role in roles(dice, &places.lines[line], count) {
            let can = |floorplan: &&FloorplanSketch| floorplan.lines.contains(&line);
            let mut floorplans: Vec<FloorplanSketch> = choices.floorplans.iter().filter(can).cloned().collect();
            if floorplans.is_empty() {
                continue;
            }
            let is_wrong = wrong_too && dice.chance(20) && !matches!(role, Role::Done | Role::Held);
            if is_wrong && dice.chance(20) {
                floorplans = choices.floorplans.clone();
            }
            let mut floorplan = dice.pick(&floorplans);
            if is_wrong && dice.chance(8) {
                floorplan.code = "WREN 9".to_string(); // nobody knows it
            }
            let code =
                format!("{}-{}{}", ["U", "v", "W"][line], 100 + units.len(), if dice.chance(10) { "a" } else { "" });
            let options = match is_wrong {
                true => wrong_order(dice, choices),
                false => right_order(dice, places, choices, &floorplan),
            };
            rows.push(row(dice, times, &places.lines[line], role, seq, &code, &floorplan.code, options));
            units.push(UnitSketch { code, line, floorplan: floorplan.code, role });
            seq += dice.between(1, 12);
        }
    }
    dice.shuffle(&mut rows);
    let mut sheet = Sheet::new(&[
        "line",
        "seq",
        "unit",
        "floorplan",
        "options",
        "start",
        "gap",
        "at",
        "issued through",
        "hold",
        "done",
    ]);
    for row in &rows {
        let cells: Vec<(&str, &str)> = row.iter().map(|(heading, value)| (*heading, value.as_str())).collect();
        sheet.add(&cells);
    }
    book.put("Sequence", &sheet);
    units
}

/// Done units, those on the line at falling positions, those to come; held ones anywhere, now and then behind all others.
fn roles(dice: &mut Dice, line: &LineSketch, count: i64) -> Vec<Role> {
    let mut roles = vec![Role::Done; dice.between(0, 2) as usize];
    let mut position = line.last_position() + 1 - dice.between(0, 2);
    while position > 1 && dice.chance(70) {
        position -= dice.pick(&[1, 1, 1, 2]);
        if position >= 1 {
            roles.push(Role::At(position));
        }
    }
    while (roles.len() as i64) < count {
        roles.push(Role::Coming);
    }
    for _ in 0..dice.between(0, 2) {
        let place = dice.between(0, roles.len() as i64 - 1) as usize;
        roles.insert(place, Role::Held);
    }
    if dice.chance(25) {
        let place = dice.between(0, roles.len() as i64 - 1) as usize;
        roles.insert(place, Role::Done);
    }
    if dice.chance(25) {
        roles.push(Role::Held);
    }
    roles
}

#[expect(clippy::too_many_arguments)]
fn row(
    dice: &mut Dice,
    times: &Times,
    line: &LineSketch,
    role: Role,
    seq: i64,
    code: &str,
    floorplan: &str,
    options: Vec<String>,
) -> Vec<(&'static str, String)> {
    let separator = dice.word(&[" ", " ", ", ", ";"]);
    let options: Vec<String> = options.iter().map(|option| dice.spelled(option).trim().to_string()).collect();
    let mut row = vec![
        ("line", dice.spelled(&line.code)),
        ("seq", seq.to_string()),
        ("unit", code.to_string()),
        ("floorplan", dice.spelled(floorplan)),
        ("options", options.join(&separator)),
    ];
    let start = times.date(dice.between(-6, 12));
    match role {
        Role::Done => row.push(("done", dice.word(&["yes", "x", "done"]))),
        Role::Held => row.push(("hold", dice.word(&["waits for the customer", "yes", "frame bent"]))),
        Role::At(position) => {
            row.push(("at", line.station_at(position)));
            row.push(("start", dice.maybe(30, &start)));
            if dice.chance(30) {
                row.push(("issued through", line.random_station(dice)));
            }
        }
        Role::Coming => {
            row.push(("start", dice.maybe(12, &start)));
            row.push(("gap", dice.maybe_number(15, 0, 4)));
            if dice.chance(8) {
                row.push(("issued through", line.random_station(dice)));
            }
        }
    }
    if dice.chance(15) && !matches!(role, Role::Held | Role::Done) {
        row.push(("hold", dice.word(&["no", "N", "false", "0"])));
    }
    row
}

/// Options that surely go together on a floorplan, with one taken away now and then.
fn right_order(dice: &mut Dice, places: &Places, choices: &Choices, floorplan: &FloorplanSketch) -> Vec<String> {
    let mut ordered = floorplan.base.clone();
    let mut taken: Vec<String> = Vec::new();
    let codes: Vec<String> = choices.options.iter().map(|option| option.code.clone()).collect();
    for _ in 0..dice.between(0, 8) {
        let code = dice.pick(&codes);
        let (mut more, mut less) = (ordered.clone(), taken.clone());
        if choices.offer(floorplan, &code) == "standard" && dice.chance(40) {
            less.push(code);
        } else {
            let group = choices.group(&code);
            let in_its_place = super::choices::single_choice(&group) && dice.chance(60);
            more.retain(|other| *other != code && !(in_its_place && choices.group(other) == group));
            more.push(code);
        }
        less.dedup();
        if choices.is_safe(places, floorplan, &more, &less) {
            (ordered, taken) = (more, less);
        }
    }
    dice.shuffle(&mut ordered);
    ordered.extend(taken.iter().map(|option| format!("-{option}")));
    ordered
}

/// Anything, a code that nobody knows among it.
fn wrong_order(dice: &mut Dice, choices: &Choices) -> Vec<String> {
    let codes: Vec<String> = choices.options.iter().map(|option| option.code.clone()).collect();
    let count = dice.between(0, 4) as usize;
    let mut ordered = dice.some_of(&codes, count);
    match dice.between(1, 6) {
        1 => ordered.push("NOBODY-1".to_string()),
        2 | 3 => ordered.push(format!("-{}", dice.pick(&codes))),
        _ => {}
    }
    ordered
}
