//! Everything that may be tuned: seeds, loads, crews, stock days and how large each trouble is.

/// The seed of all draws: another seed is another plant.
pub const SEED: u64 = 20_270_913;

/// Units still to enter the line, and units finished that are still listed.
pub const UNITS_AHEAD: usize = 225;
pub const UNITS_DONE: usize = 6;

/// The line: takt, and working minutes since the last move at the as-of moment.
pub const TAKT: f64 = 30.0;
pub const SINCE_LAST_MOVE: f64 = 20.0;
/// Working minutes of a normal day, used to tell on which day something is needed.
pub const DAY_MINUTES: f64 = 470.0;

/// Chance in a hundred that two neighbours of the levelled mix change places.
pub const SWAP_PERCENT: u32 = 12;

/// A feeder shop: crews, the share of crew time its jobs take over the horizon, minutes of road to the line, minutes its
/// material is wanted ahead, and how far ahead of the line (minutes) finished work stands ready at the as-of moment.
pub struct ShopTune {
    pub shop: &'static str,
    pub name: &'static str,
    pub calendar: &'static str,
    pub crews: f64,
    pub load: f64,
    pub transit: f64,
    pub ahead: f64,
    pub ready: f64,
}

pub const SHOPS: [ShopTune; 3] = [
    ShopTune {
        shop: "CABSHOP",
        name: "Cabinet shop",
        calendar: "CABINETS",
        crews: 4.0,
        load: 0.93,
        transit: 15.0,
        ahead: 60.0,
        ready: 210.0,
    },
    ShopTune {
        shop: "WALLSHOP",
        name: "Wall shop across the road",
        calendar: "SHOPS",
        crews: 4.0,
        load: 0.92,
        transit: 25.0,
        ahead: 45.0,
        ready: 200.0,
    },
    ShopTune {
        shop: "SLIDESHOP",
        name: "Slide-box shop",
        calendar: "SHOPS",
        crews: 2.0,
        load: 0.88,
        transit: 10.0,
        ahead: 15.0,
        ready: 150.0,
    },
];

/// Jobs begun at the as-of moment, by shop in the order above.
pub const STARTED: [usize; 3] = [3, 3, 1];

/// Minutes before a station's use at which its material is wanted.
pub const STATION_AHEAD: f64 = 60.0;

/// Working days of consumption kept as a cushion behind each delivery.
pub const CUSHION_DAYS: usize = 2;
/// Chance in a hundred that a part's lot is so large that one delivery covers all that is left.
pub const ONE_DELIVERY_PERCENT: u32 = 35;
/// Chance in a hundred that a part with a short lead time is not yet ordered for the last days (safety stock only).
pub const OPEN_END_PERCENT: u32 = 12;
/// Chance in a hundred that bulk stock stands at the line already, and its size in packs.
pub const LINESIDE_PERCENT: u32 = 85;
pub const LINESIDE_PACKS: f64 = 1.2;

/// How many units each planted supply trouble hits, about.
pub const LATE_HITS: usize = 4;
pub const OVERDUE_HITS: usize = 3;
pub const HOLD_HITS: usize = 3;
pub const SHORT_HITS: usize = 3;

/// Minutes left of the set that has to be glued again, a job that will be late.
pub const SLOW_BENCH_MINUTES: f64 = 260.0;

/// Write times of day in the workbook as text (`06:00`) instead of real times.
pub const TIMES_AS_TEXT: bool = false;

/// Finished units that were weighed, the seed of what is drawn for them, and the weights that are wrong, by how many kilograms.
pub const UNITS_WEIGHED: usize = 60;
pub const SCALE_SEED: u64 = 20_270_914;
pub const SCALE_ERRORS: [(&str, i64); 2] = [("AF3377", 180), ("AF3398", -64)];
