//! Kinds about what comes after the sequence.

use crate::base::kinds;

kinds! {
    FORECAST:
    Error PERIOD_BACKWARDS "period-backwards"
        "A period of Forecast ends before it begins."
        "No unit could start in it, so that what these units take would never be ordered."
        "Correct from or to; a period of one day has the same date in both.";
    Error PERIODS_OVERLAP "periods-overlap"
        "Two periods of a floorplan in Forecast share days."
        "Units that start on these days may stand in both rows: what they take would be ordered twice."
        "Correct from or to, or make one row of the two.";
    Warning FORECAST_TOO_EARLY "forecast-too-early"
        "A period of Forecast begins before the sequence has ended, or has passed."
        "Units of the sequence that start in it are counted twice, once with their own orders and once as a forecast, and too much is ordered."
        "Let the period begin after the day on which the last unit of the sequence enters, with the units that are not in it.";
}
