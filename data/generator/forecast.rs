//! What the plant expects to build behind its sequence: eight weeks in two periods, in a mix that is slowly another one.

use crate::tables::{Table, table, texts};

/// Floorplan, first day, last day, units.
const FORECAST: [[&str; 4]; 9] = [
    ["DUNLIN 15", "2027-10-06", "2027-11-02", "62"],
    ["TEAL 18", "2027-10-06", "2027-11-02", "94"],
    ["PLOVER 21", "2027-10-06", "2027-11-02", "94"],
    ["CURLEW 25", "2027-10-06", "2027-11-02", "62"],
    ["DUNLIN 15", "2027-11-03", "2027-11-30", "48"],
    ["TEAL 18", "2027-11-03", "2027-11-30", "86"],
    ["PLOVER 21", "2027-11-03", "2027-11-30", "102"],
    ["CURLEW 25", "2027-11-03", "2027-11-30", "68"],
    ["GODWIT 21", "2027-11-03", "2027-11-30", "8"],
];

pub fn forecast() -> Table {
    table("Forecast", "floorplan,from,to,units", FORECAST.iter().map(|row| texts(*row)))
}
