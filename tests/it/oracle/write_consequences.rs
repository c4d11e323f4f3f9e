//! The rows of the table of consequences.

use super::clock::print as moment;
use super::consequences::{Consequence, Word};
use super::numbers::print as quantity;
use super::write::Plan;

pub fn consequences(plan: &Plan) -> Vec<Vec<String>> {
    plan.consequences.iter().zip(&plan.loss.adds).map(|(row, adds)| consequence_row(plan, row, *adds)).collect()
}

fn consequence_row(plan: &Plan, row: &Consequence, adds: Option<i64>) -> Vec<String> {
    let plant = plan.view.plant;
    let word = match row.outcome.word {
        Word::SpecialRun => "special run",
        Word::CanFollow => "can follow",
        Word::Stops => "stops the line",
    };
    let handed_over = row.outcome.hand_over_at.as_deref();
    vec![
        plan.view.crowd.takers[row.rank].name.clone(),
        plant.parts[&row.part].code.clone(),
        plant.place_code(&row.to).to_string(),
        quantity(row.qty),
        moment(row.outcome.arrives),
        row.there.map_or(String::new(), moment),
        word.to_string(),
        row.outcome.stop_minutes.map_or(String::new(), |minutes| minutes.to_string()),
        adds.map_or(String::new(), |seconds| seconds.to_string()),
        row.saves_until.map_or(String::new(), moment),
        handed_over.map_or(String::new(), |station| plant.place_code(station).to_string()),
    ]
}
