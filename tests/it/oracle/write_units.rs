//! The rows of the table of units.

use super::clock::print as moment;
use super::sequence::{State, Unit};
use super::standing::{Standing, of_unit};
use super::write::Plan;

pub fn units(plan: &Plan) -> Vec<Vec<String>> {
    let crowd = plan.view.crowd;
    let mut on_line = Vec::new();
    for (rank, taker) in crowd.takers.iter().enumerate() {
        let Some(unit) = crowd.unit_of(rank) else {
            continue;
        };
        let options = if taker.set_aside { String::new() } else { option_codes(plan, rank) };
        let standing = match taker.set_aside {
            true => ["set aside".to_string(), String::new(), String::new()],
            false => unit_standing(plan, rank),
        };
        let times = [options, moment(unit.enters), moment(unit.leaves)];
        on_line.push([identity(plan, unit).to_vec(), times.to_vec(), standing.to_vec()].concat());
    }
    let held = crowd.units.iter().filter(|unit| unit.state == State::Held);
    let held = held.map(|unit| {
        let rest = ["", "", "", "hold", "", ""].map(str::to_string);
        [identity(plan, unit).to_vec(), rest.to_vec()].concat()
    });
    on_line.into_iter().chain(held).collect()
}

fn identity(plan: &Plan, unit: &Unit) -> [String; 4] {
    let line = plan.view.plant.line(&unit.line).code.clone();
    [unit.code.clone(), line, unit.seq_text.clone(), unit.floorplan_text.clone()]
}

fn option_codes(plan: &Plan, rank: usize) -> String {
    let options = plan.view.crowd.takers[rank].options.iter();
    let codes: Vec<&str> = options.map(|key| plan.view.plant.catalogue.options[key].code.as_str()).collect();
    codes.join(" ")
}

fn unit_standing(plan: &Plan, rank: usize) -> [String; 3] {
    let code = |part: &str| plan.view.plant.parts[part].code.clone();
    match of_unit(&plan.pegs, rank) {
        Standing::Clear => ["clear".to_string(), String::new(), String::new()],
        Standing::Late(part, at) => ["late".to_string(), code(&part), moment(at)],
        Standing::Short(part) => ["short".to_string(), code(&part), String::new()],
    }
}
