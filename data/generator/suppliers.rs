//! The ninety suppliers, named after marsh plants, or by coined words that name no place, three to a trade.

/// Trade, what the supplier's name ends in, shortest and longest lead time in days.
const TRADES: [(&str, &str, i64, i64); 30] = [
    ("steel", "Chassis Steel", 10, 20),
    ("running", "Axles", 14, 28),
    ("timber", "Timber", 5, 12),
    ("board", "Boards", 7, 14),
    ("laminate", "Laminates", 10, 21),
    ("skin", "Panels", 10, 20),
    ("foam", "Foam", 4, 9),
    ("glue", "Adhesives", 3, 8),
    ("fixing", "Fixings", 2, 6),
    ("pipe", "Pipes", 4, 10),
    ("tank", "Tanks", 8, 16),
    ("gas", "Gas Fittings", 7, 14),
    ("loom", "Looms", 10, 18),
    ("lamp", "Lamps", 9, 20),
    ("electric", "Electrics", 8, 24),
    ("appliance", "Appliances", 18, 35),
    ("window", "Windows", 10, 21),
    ("door", "Doors", 12, 21),
    ("roof", "Roofing", 8, 16),
    ("awning", "Awnings", 14, 28),
    ("soft", "Upholstery", 7, 14),
    ("blind", "Blinds", 8, 15),
    ("floor", "Floors", 9, 16),
    ("mould", "Mouldings", 6, 14),
    ("hardware", "Hardware", 5, 15),
    ("seal", "Seals", 4, 9),
    ("paper", "Print", 3, 6),
    ("wash", "Washroom Ware", 8, 18),
    ("air", "Air and Heat", 15, 32),
    ("slide", "Slide Gear", 14, 26),
];

const WORDS: [&str; 90] = [
    "Sedge",
    "Withy",
    "Saltern",
    "Glasswort",
    "Reedmace",
    "Samphire",
    "Bulrush",
    "Osier",
    "Teasel",
    "Eelgrass",
    "Cordgrass",
    "Bogbean",
    "Mallow",
    "Meadowsweet",
    "Kingcup",
    "Flag Iris",
    "Sundew",
    "Watermint",
    "Purslane",
    "Sea Lavender",
    "Thrift",
    "Sallow",
    "Bog Myrtle",
    "Butterbur",
    "Comfrey",
    "Cotton Grass",
    "Cuckooflower",
    "Duckweed",
    "Fleabane",
    "Frogbit",
    "Gipsywort",
    "Hornwort",
    "Horsetail",
    "Loosestrife",
    "Marestail",
    "Milk Parsley",
    "Moneywort",
    "Pondweed",
    "Ragged Robin",
    "Rush Pond",
    "Saltbush",
    "Sea Aster",
    "Sea Blite",
    "Sea Holly",
    "Sneezewort",
    "Spearwort",
    "Sphagnum",
    "Starwort",
    "Sweet Flag",
    "Sweet Gale",
    "Valerian",
    "Water Avens",
    "Water Crowfoot",
    "Water Dock",
    "Water Violet",
    "Willowherb",
    "Yellowcress",
    "Aldremirke",
    "Blackmeremin",
    "Brackeroltain",
    "Causelon",
    "Coldvesan",
    "Crekheldo",
    "Drovenlal",
    "Ebbamank",
    "Eelbenso",
    "Fenberlo",
    "Ferrehesdo",
    "Flodgerrek",
    "Greylasmo",
    "Heronqeile",
    "Highsaltolnek",
    "Ingslervo",
    "Lapwinghenmo",
    "Longdasvo",
    "Lowlenno",
    "Mereserdo",
    "Mudwermil",
    "Neaplemto",
    "Oldstenlave",
    "Otterbesko",
    "Peatcemo",
    "Pillbrenmel",
    "Quaglelto",
    "Reedcottelin",
    "Saltmarrgertek",
    "Slushovermel",
    "Springterdo",
    "Staitherlel",
    "Washdranlo",
];

/// The name of one of a trade's three suppliers.
pub fn name(trade: &str, which: usize) -> String {
    let row = row_of(trade);
    let word = WORDS[row + (which % 3) * TRADES.len()];
    format!("{word} {}", TRADES[row].1)
}

/// Shortest and longest lead time of a trade, in days.
pub fn lead_days(trade: &str) -> (i64, i64) {
    let row = TRADES[row_of(trade)];
    (row.2, row.3)
}

fn row_of(trade: &str) -> usize {
    let row = TRADES.iter().position(|row| row.0 == trade);
    row.unwrap_or_else(|| panic!("no trade {trade}"))
}

/// The weekdays (1 Monday) on which a supplier delivers, told by its name so that it never changes.
pub fn delivery_days(supplier: &str) -> &'static [u32] {
    let sum: usize = supplier.bytes().map(usize::from).sum();
    [&[2, 4][..], &[1], &[3], &[1, 4], &[2, 5], &[2], &[4], &[3, 5]][sum % 8]
}
