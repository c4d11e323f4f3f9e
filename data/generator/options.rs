//! What can be ordered: options, groups, offers, packages and rules.

/// Option, name, group.
pub const OPTIONS: [(&str, &str, &str); 35] = [
    ("MOSS", "Inside in moss", "DECOR"),
    ("SAND", "Inside in sand", "DECOR"),
    ("DUSK", "Inside in dusk", "DECOR"),
    ("HEATHER", "Inside in heather", "DECOR"),
    ("WHITE", "Outside white", "COLOUR"),
    ("GREY", "Outside grey", "COLOUR"),
    ("FERN", "Outside fern", "COLOUR"),
    ("STEEL", "Steel wheels", "WHEELS"),
    ("ALLOY", "Alloy wheels", "WHEELS"),
    ("FR90", "Fridge, 90 litres", "FRIDGE"),
    ("FR140", "Fridge, 140 litres", "FRIDGE"),
    ("FR190", "Fridge, 190 litres", "FRIDGE"),
    ("HOB3", "Hob with three burners", "HOB"),
    ("HOB4", "Hob with four burners", "HOB"),
    ("AC", "Roof air unit", "AIR"),
    ("ACHEAT", "Roof air unit with heat", "AIR"),
    ("AWN", "Awning", "AWNING"),
    ("AWNE", "Electric awning", "AWNING"),
    ("TV24", "Television, 24 inch", "SCREEN"),
    ("TV32", "Television, 32 inch", "SCREEN"),
    ("BATT", "Standard battery", "BATTERY"),
    ("BATTLI", "Lithium battery", "BATTERY"),
    ("SOL1", "One solar panel", "SOLAR"),
    ("SOL2", "Two large solar panels", "SOLAR"),
    ("SLIDE", "Side slide box", "SLIDES"),
    ("SLIDER", "Rear slide box", "SLIDES"),
    ("MIC", "Microwave", ""),
    ("OVEN", "Oven", ""),
    ("JACKE", "Power jacks", ""),
    ("TANKH", "Heated tanks", ""),
    ("OUTSH", "Outside shower", ""),
    ("BIKE", "Bike rack", ""),
    ("FLOORI", "Extra floor insulation", ""),
    ("COLD", "Cold weather package", ""),
    ("TOUR", "Touring package", ""),
];

pub const GROUPS: [(&str, &str); 11] = [
    ("DECOR", "one"),
    ("COLOUR", "one"),
    ("WHEELS", "one"),
    ("FRIDGE", "one"),
    ("HOB", "one"),
    ("AIR", "at most one"),
    ("AWNING", "at most one"),
    ("SCREEN", "at most one"),
    ("BATTERY", "one"),
    ("SOLAR", "at most one"),
    ("SLIDES", "any"),
];

/// Floorplan or `*`, option, offer; an option with no row of its own here is `*`, optional.
const OFFERS: [(&str, &str, &str); 30] = [
    ("*", "MOSS", "standard"),
    ("*", "HEATHER", "not offered"),
    ("PLOVER 21", "HEATHER", "optional"),
    ("CURLEW 25", "HEATHER", "optional"),
    ("DUNLIN 15", "SAND", "standard"),
    ("*", "WHITE", "standard"),
    ("*", "STEEL", "standard"),
    ("*", "FR140", "standard"),
    ("DUNLIN 15", "FR90", "standard"),
    ("DUNLIN 15", "FR190", "not offered"),
    ("CURLEW 25", "FR190", "standard"),
    ("CURLEW 25", "FR90", "not offered"),
    ("*", "HOB3", "standard"),
    ("*", "BATT", "standard"),
    ("CURLEW 25", "AC", "standard"),
    ("DUNLIN 15", "ACHEAT", "not offered"),
    ("*", "SLIDE", "standard"),
    ("DUNLIN 15", "SLIDE", "not offered"),
    ("TEAL 18", "SLIDE", "optional"),
    ("*", "SLIDER", "not offered"),
    ("CURLEW 25", "SLIDER", "optional"),
    ("DUNLIN 15", "TV32", "not offered"),
    ("DUNLIN 15", "AWNE", "not offered"),
    ("DUNLIN 15", "OVEN", "not offered"),
    ("DUNLIN 15", "SOL2", "not offered"),
    ("CURLEW 25", "MIC", "standard"),
    ("CURLEW 25", "AWN", "standard"),
    ("DUNLIN 15", "JACKE", "not offered"),
    ("CURLEW 25", "TOUR", "optional"),
    ("PLOVER 21", "AWN", "standard"),
];

/// The new floorplan's own rows, behind all others: no slide box yet, the small fridge.
const OFFERS_OF_THE_NEW: [(&str, &str, &str); 3] =
    [("GODWIT 21", "SLIDE", "not offered"), ("GODWIT 21", "FR90", "standard"), ("GODWIT 21", "AWN", "standard")];

/// Option, what it includes.
pub const PACKAGES: [(&str, &str); 5] =
    [("COLD", "TANKH"), ("COLD", "FLOORI"), ("TOUR", "AWN"), ("TOUR", "SOL1"), ("TOUR", "OUTSH")];

/// When, adds, must, message.
pub const RULES: [[&str; 4]; 8] = [
    ["SOL2", "BATTLI", "", "Two large panels need the lithium battery"],
    ["JACKE", "BATTLI", "", "Power jacks need the lithium battery"],
    ["OVEN", "HOB4", "", "The oven comes with the four-burner hob"],
    ["AWNE", "", "BATTLI or SOL1 or SOL2", "An electric awning needs a lithium battery or a solar panel"],
    ["BIKE", "", "not SLIDER", "The rear slide box leaves no room for a bike rack"],
    ["SLIDER", "", "SLIDE", "A rear slide box is built only with the side slide box"],
    ["FR190", "", "not MIC or \"CURLEW 25\"", "The tall fridge stands where the microwave goes, except on CURLEW 25"],
    ["FAMILY and COLD", "", "AC or ACHEAT", "Cold weather package on a family floorplan: order a roof air unit"],
];

/// All offers in sheet order: the rows above, then `*` optional for every option without a `*` row, then the new floorplan's own.
pub fn offers() -> Vec<(&'static str, &'static str, &'static str)> {
    let has_row = |code: &str| OFFERS.iter().any(|row| row.0 == "*" && row.1 == code);
    let rest = OPTIONS.iter().filter(|row| !has_row(row.0));
    let rest = rest.map(|row| ("*", row.0, "optional"));
    OFFERS.iter().copied().chain(rest).chain(OFFERS_OF_THE_NEW).collect()
}

/// How an option is offered on a floorplan; its own row counts before `*`.
pub fn offer(plan: &str, option: &str) -> &'static str {
    let rows = offers();
    let on = |place: &str| rows.iter().find(|row| row.0 == place && row.1 == option);
    on(plan).or_else(|| on("*")).map_or("not offered", |row| row.2)
}

/// The single-choice group of an option, if it stands in one.
pub fn single_group(option: &str) -> Option<&'static str> {
    let group = OPTIONS.iter().find(|row| row.0 == option)?.2;
    let single = GROUPS.iter().filter(|row| row.1 != "any");
    single.map(|row| row.0).find(|name| *name == group)
}
