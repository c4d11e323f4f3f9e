//! The plant itself: calendars, line, stations, delivery runs and settings.

/// Key and value; the value's form (date, time, number, text) is told by its look.
pub const SETTINGS: [(&str, &str); 7] = [
    ("plant", "Alder Fen Works"),
    ("as of", "2027-09-13 14:30"),
    ("stores calendar", "STORES"),
    ("receipts at", "10:00"),
    ("overdue receipts", "1"),
    ("delivered to", "2027-09-13 13:30"),
    ("one person lifts", "25"),
];

/// Calendar, day, start, end, open.
pub const CALENDAR: [[&str; 5]; 19] = [
    ["MAIN", "Mon-Fri", "06:00", "14:30", ""],
    ["MAIN", "Mon-Fri", "08:30", "08:40", "no"],
    ["MAIN", "Mon-Fri", "11:00", "11:30", "no"],
    ["MAIN", "2027-09-16", "10:00", "10:25", "no"],
    ["MAIN", "2027-09-24", "", "", "no"],
    ["STORES", "Mon-Fri", "04:30", "14:30", ""],
    ["STORES", "Mon-Fri", "08:00", "08:10", "no"],
    ["STORES", "Mon-Fri", "12:00", "12:30", "no"],
    ["STORES", "2027-09-16", "10:00", "10:25", "no"],
    ["STORES", "2027-09-24", "", "", "no"],
    ["CABINETS", "Mon-Fri", "05:30", "14:00", ""],
    ["CABINETS", "Mon-Fri", "08:00", "08:10", "no"],
    ["CABINETS", "Mon-Fri", "11:00", "11:30", "no"],
    ["CABINETS", "2027-09-24", "", "", "no"],
    ["SHOPS", "Mon-Fri", "06:00", "14:30", ""],
    ["SHOPS", "Mon-Fri", "08:40", "08:50", "no"],
    ["SHOPS", "Mon-Fri", "11:30", "12:00", "no"],
    ["SHOPS", "2027-09-16", "10:00", "10:25", "no"],
    ["SHOPS", "2027-09-24", "", "", "no"],
];

pub const LINE: &str = "L1";
pub const LINE_NAME: &str = "Alder line";
pub const LAST_MOVE: &str = "2027-09-13 14:10";
pub const TAKT_FROM: &str = "2027-08-30";
pub const POSITIONS: i64 = 24;

/// Station, position, name, deliver ahead (blank: the tuned one).
pub const STATIONS: [(&str, i64, &str, &str); 32] = [
    ("CHS", 1, "Chassis", "90"),
    ("AXL", 1, "Axles and brakes", "90"),
    ("PLU", 2, "Underfloor plumbing", ""),
    ("GAS", 2, "Gas pipes and locker", ""),
    ("TNK", 3, "Tanks", ""),
    ("FLR", 4, "Floor deck", "90"),
    ("COV", 5, "Floor covering", ""),
    ("WHL", 5, "Wheels", ""),
    ("GAL", 6, "Galley", ""),
    ("BED", 7, "Bedroom", ""),
    ("DIN", 7, "Dinette", ""),
    ("WSH", 8, "Washroom", ""),
    ("WLS", 9, "Side walls", ""),
    ("WLE", 10, "End walls", ""),
    ("LOM", 11, "Wiring looms", ""),
    ("ROF", 12, "Roof", ""),
    ("SB1", 13, "Side slide box", "30"),
    ("SB2", 14, "Rear slide box", "30"),
    ("CAP", 14, "End caps", ""),
    ("WIN", 15, "Windows", ""),
    ("DOR", 15, "Doors", ""),
    ("RTP", 16, "Roof top", ""),
    ("EXT", 17, "Outside trim and lamps", ""),
    ("HAT", 17, "Hatches", "0"),
    ("AWG", 17, "Awnings", ""),
    ("APP", 18, "Appliances", ""),
    ("SOF", 19, "Soft goods", ""),
    ("TRM", 20, "Inside trim", ""),
    ("TST", 21, "Gas, water and mains test", ""),
    ("FIN", 22, "Finish", ""),
    ("CLN", 23, "Cleaning", ""),
    ("INS", 24, "Final inspection", ""),
];

/// Wave, time, pick minutes.
pub const WAVES: [(&str, &str, &str); 5] = [
    ("first", "05:30", "60"),
    ("second", "07:30", "60"),
    ("third", "09:30", "45"),
    ("fourth", "11:30", "45"),
    ("fifth", "13:30", "45"),
];

/// The position of a station and the minutes its material is wanted ahead.
pub fn station(code: &str) -> Option<(i64, f64)> {
    let row = STATIONS.iter().find(|row| row.0 == code)?;
    let ahead = row.3.parse().unwrap_or(crate::tune::STATION_AHEAD);
    Some((row.1, ahead))
}

/// The last station of a position.
pub fn station_at(position: i64) -> &'static str {
    let at = STATIONS.iter().rev().find(|row| row.1 == position);
    at.expect("every position has a station").0
}
