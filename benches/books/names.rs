//! The names of the benchmark plant: floorplans, series, options, stations, shops. All of it is invented.

/// Floorplans are named after waders and small birds, with a length behind.
pub const BIRDS: [&str; 20] = [
    "DUNLIN",
    "TEAL",
    "PLOVER",
    "CURLEW",
    "SNIPE",
    "RUFF",
    "KNOT",
    "STINT",
    "AVOCET",
    "GODWIT",
    "WHIMBREL",
    "TURNSTONE",
    "SANDERLING",
    "REDSHANK",
    "LAPWING",
    "WIGEON",
    "PHALAROPE",
    "WREN",
    "LINNET",
    "SISKIN",
];

pub const SERIES: [&str; 4] = ["COMPACT", "FAMILY", "COAST", "WINTER"];

pub const LINES: [&str; 2] = ["L1", "L2"];

/// Groups of which a unit has exactly one option, with the number of options; the first is standard.
pub const GROUPS: [(&str, usize); 10] = [
    ("DECOR", 5),
    ("COLOUR", 4),
    ("FRIDGE", 3),
    ("HOB", 4),
    ("HEATER", 3),
    ("BED", 4),
    ("WINDOW", 3),
    ("FLOOR", 5),
    ("WHEEL", 3),
    ("BATTERY", 3),
];

/// Options of no group.
pub const FREE: [&str; 36] = [
    "SLIDE", "AWNING", "SOLAR", "BIKE", "OVEN", "MICRO", "TELLY", "AERIAL", "JACKS", "TOWBAR", "LADDER", "RACK",
    "SHOWER", "WASHER", "TENT", "SAFE", "ALARM", "CAMERA", "SPEAKER", "SKYLIGHT", "BLINDS", "BENCH", "BUNK", "STEP",
    "LAMPS", "SOCKETS", "INVERTER", "GENSET", "TANK", "PUMP", "HEATMAT", "GRILL", "HATCH", "RAMP", "COOLER", "CARPET",
];

/// Free options that the full book's floorplans have as standard; an order can take them away.
pub const FREE_STANDARD: [&str; 2] = ["COOLER", "CARPET"];

/// Packages and what they include (full book).
pub const PACKAGES: [(&str, [&str; 3]); 4] = [
    ("COLDSET", ["HEATMAT", "BLINDS", "TANK"]),
    ("TOURSET", ["AWNING", "RACK", "STEP"]),
    ("MEDIASET", ["TELLY", "AERIAL", "SPEAKER"]),
    ("GUARDSET", ["SAFE", "ALARM", "CAMERA"]),
];

/// When, adds, must, message (full book).
pub const RULES: [(&[&str], &str, &[&str], &str); 6] = [
    (&["SOLAR"], "INVERTER", &[], "A solar panel needs the inverter"),
    (&["JACKS"], "INVERTER", &[], "Power jacks need the inverter"),
    (&["WASHER"], "PUMP", &[], "A washer needs the second pump"),
    (&["AWNING"], "LAMPS", &[], "The awning comes with lamps"),
    (&["BIKE"], "", &["not", "LADDER"], "The bike rack hangs where the ladder would"),
    (&["HEATMAT"], "", &["INVERTER", "or", "GENSET"], "A heated floor needs the inverter or a generator"),
];

/// Station, position.
pub const STATIONS: [(&str, i64); 32] = [
    ("CHS", 1),
    ("AXL", 1),
    ("PLU", 2),
    ("GAS", 2),
    ("TNK", 3),
    ("FLR", 4),
    ("COV", 5),
    ("WHL", 5),
    ("GAL", 6),
    ("BED", 7),
    ("DIN", 7),
    ("WSH", 8),
    ("WLS", 9),
    ("WLE", 10),
    ("LOM", 11),
    ("ROF", 12),
    ("SB1", 13),
    ("SB2", 14),
    ("CAP", 14),
    ("WIN", 15),
    ("DOR", 15),
    ("RTP", 16),
    ("EXT", 17),
    ("HAT", 17),
    ("AWG", 17),
    ("APP", 18),
    ("SOF", 19),
    ("TRM", 20),
    ("TST", 21),
    ("FIN", 22),
    ("CLN", 23),
    ("INS", 24),
];

pub const POSITIONS: i64 = 24;

/// Stations from this one on take what shops make.
pub const FIRST_FED: usize = 9;

/// Shops that feed the line, then two that feed shops.
pub const SHOPS: [&str; 8] =
    ["CABSHOP", "WALLSHOP", "SLIDESHOP", "ROOFSHOP", "DOORSHOP", "SOFTSHOP", "MILLSHOP", "LOOMSHOP"];
pub const FEEDING: usize = 6;
pub const WALLS: usize = 1;
pub const SLIDES: usize = 2;
