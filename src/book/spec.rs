//! The tables of a book and their columns, as the contract lists them.

/// A table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the names are the tables' own; `TableSpec` says what each holds")]
pub enum Table {
    Settings,
    Calendar,
    Lines,
    Takt,
    Stations,
    Shops,
    Floorplans,
    Parts,
    Bills,
    Options,
    Groups,
    Offers,
    Packages,
    Rules,
    Changes,
    Sequence,
    Stock,
    Receipts,
    Extras,
    Started,
    Waves,
    Conversions,
    Uoms,
    Content,
    Forecast,
    Scale,
}

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Codes, names and other text, kept as written.
    Text,
    /// A number.
    Number,
    /// A date.
    Date,
    /// A date, or a date and time.
    Moment,
    /// A time of day.
    Time,
    /// One of a few words.
    Words(&'static [&'static str]),
}

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ColumnSpec {
    /// Its heading.
    pub name: &'static str,
    /// Whether the table can't do without it.
    pub needed: bool,
    /// What its cells hold.
    pub holds: Holds,
    /// What it means, in a sentence.
    pub about: &'static str,
}

/// What a table is called and which columns it has.
#[derive(Debug, PartialEq, Eq)]
pub struct TableSpec {
    /// Which of the book's tables it describes.
    pub table: Table,
    /// Its name.
    pub name: &'static str,
    /// Whether a book can't do without it.
    pub needed: bool,
    /// What it is about, in a sentence.
    pub about: &'static str,
    /// Its columns, the needed ones first.
    pub all: &'static [ColumnSpec],
}

impl TableSpec {
    /// The names of all columns, the needed ones first.
    pub fn columns(&self) -> impl Iterator<Item = &'static str> {
        self.all.iter().map(|column| column.name)
    }
}

/// The keys of the table Settings.
pub const SETTINGS: [&str; 14] = [
    "plant",
    "as of",
    "stores calendar",
    "receipts at",
    "overdue receipts",
    "delivered to",
    "one person lifts",
    "hand over minutes",
    "kit cards",
    "seconds a stop",
    "kits a cart",
    "count days",
    "currency",
    "sample units",
];

const YES_NO: Holds = Holds::Words(&["yes", "no"]);
const KEYS: Holds = Holds::Words(&SETTINGS);
const SOURCES: Holds = Holds::Words(&["buy", "make", "phantom", "by-product"]);
const ISSUES: Holds = Holds::Words(&["kit", "sequence", "bulk"]);
const CHOOSE: Holds = Holds::Words(&["one", "at most one", "any"]);
const OFFER: Holds = Holds::Words(&["standard", "optional", "not offered"]);
use Holds::{Date, Moment, Number, Text, Time};

macro_rules! specs {
    ($($table:ident $needed:literal $about:literal { $($must:ident $column:literal $holds:ident $meaning:literal;)* })*) => {
        static SPECS: &[TableSpec] = &[$(TableSpec {
            table: Table::$table,
            name: stringify!($table),
            needed: $needed,
            about: $about,
            all: &[$(ColumnSpec { name: $column, needed: specs!(@$must), holds: $holds, about: $meaning }),*],
        }),*];
    };
    (@needed) => { true };
    (@may) => { false };
}

specs! {
    Settings false "What holds for the whole plant, one setting a row." {
        needed "key" KEYS "Which setting.";
        needed "value" Text "Its value: the plant's name; the moment to plan for; the calendar of the stores; the time of day at which receipts with only a date are there; on which open day an overdue receipt is taken to come; the last delivery run that has left; the kilograms one person lifts; the minutes it takes to hand over a piece that comes after its run; whether kits have a label each and a full card only where something is missing or owed ('labels'), or all a full card ('all'); how many seconds a picker takes for a stop; how many kits a cart takes; over how many open days of the stores bins to count are looked for; the currency of all prices; from how many of the last units of a floorplan it is taken what one further on will need (100 if it is not said).";
    }
    Calendar true "Working time: each row gives hours to days, or takes them away." {
        needed "calendar" Text "The calendar's code; as many rows as it needs.";
        needed "day" Text "Mon, Mon-Fri, a date, or two dates with 'to' between. A date's own hours replace those of its weekday.";
        may "start" Time "When work begins. A date without start and end is a closed day.";
        may "end" Time "When it ends; at or before the start: on the next day.";
        may "open" YES_NO "no: this interval is taken out of what the other rows give (a break, a drill).";
    }
    Lines true "The paced lines." {
        needed "line" Text "The line's code.";
        needed "calendar" Text "When it works.";
        may "name" Text "Its name.";
        may "last move" Moment "When all units last went one position on; blank: at the moment of the plan.";
    }
    Takt true "How long a unit stays at each position, from a date on." {
        needed "line" Text "Which line.";
        needed "from" Date "From this date on.";
        needed "minutes" Number "Minutes between two moves.";
    }
    Stations true "The stations of each line." {
        needed "line" Text "Which line.";
        needed "station" Text "The station's code, unique in the plant.";
        needed "position" Number "Its position on the line, from 1; several stations may share one.";
        may "name" Text "Its name.";
        may "deliver ahead" Number "Minutes before a unit arrives at which its material is wanted.";
    }
    Shops false "The feeder shops." {
        needed "shop" Text "The shop's code.";
        needed "calendar" Text "When it works.";
        may "name" Text "Its name.";
        may "crews" Number "How many jobs it works on at a time; 1 if blank.";
        may "transit" Number "Minutes from a finished job to where it is wanted.";
        may "deliver ahead" Number "Minutes before a job starts at which its material is wanted.";
    }
    Floorplans true "The kinds of units." {
        needed "floorplan" Text "The floorplan's code.";
        may "name" Text "Its name.";
        may "series" Text "The series it belongs to, which conditions can name.";
    }
    Parts true "What is bought, made, or comes off." {
        needed "part" Text "The part's code.";
        needed "uom" Text "The unit of measure it is kept in.";
        may "description" Text "What it is.";
        may "source" SOURCES "Where it comes from; buy if blank, or make where a shop is given.";
        may "shop" Text "The shop that makes it.";
        may "setup" Number "Minutes to set up a job.";
        may "minutes" Number "Minutes of work for one.";
        may "location" Text "Where it is stored.";
        may "issue" ISSUES "How it is issued: in the unit's kit, in line order, or in whole packs.";
        may "pack quantity" Number "How much is in a pack.";
        may "supplier" Text "Who sells it.";
        may "lead days" Number "Calendar days from order to receipt.";
        may "minimum buy" Number "The smallest order.";
        may "buy multiple" Number "Orders are whole multiples of this.";
        may "cover days" Number "How many calendar days an order covers; 1 if blank.";
        may "safety stock" Number "What the balance should not go below.";
        may "cost" Number "The price of one.";
        may "weight" Number "Kilograms of one unit of measure.";
        may "kind" Text "What it is (fridge, axle), for the table Content.";
        may "fit by" Text "The last station where it can still be fitted; the station it is needed at if blank.";
    }
    Bills true "What each floorplan and each part is made of." {
        needed "parent" Text "The floorplan or part.";
        needed "part" Text "The component.";
        needed "qty" Number "How much of it one parent takes; negative for a by-product that comes off.";
        may "uom" Text "The unit of measure of qty; the part's own if blank.";
        may "station" Text "Where it is needed; a phantom's lines take the phantom's if blank.";
        may "when" Text "The condition on options, floorplan, series and line; always if blank.";
        may "scrap" Number "The part of the input that is lost: 0.05 or 5%.";
        may "from change" Text "The change from which on the line holds.";
        may "until change" Text "The change from which on it no longer holds.";
        may "note" Text "For people.";
    }
    Options false "What can be ordered." {
        needed "option" Text "The option's code: no spaces, commas or semicolons.";
        may "name" Text "Its name.";
        may "group" Text "The group it belongs to.";
    }
    Groups false "Options of which a unit has one, at most one, or any number." {
        needed "group" Text "The group's code.";
        needed "choose" CHOOSE "How many of it a unit has.";
    }
    Offers false "Which options each floorplan offers; without this table all are optional everywhere." {
        needed "floorplan" Text "The floorplan, or * for all.";
        needed "option" Text "The option.";
        needed "offer" OFFER "Standard, optional or not offered. A floorplan's own row counts before a * row.";
    }
    Packages false "Options that bring others along." {
        needed "option" Text "The package.";
        needed "includes" Text "An option that comes with it.";
    }
    Rules false "What options bring or forbid." {
        may "when" Text "The condition under which the row applies.";
        may "adds" Text "Options that are then added.";
        may "must" Text "A condition that must then be true.";
        may "message" Text "What to tell people where it is not.";
    }
    Changes false "Engineering changes: from when on bill lines hold." {
        needed "change" Text "The change's code.";
        may "from date" Date "For units that start on this date or later.";
        may "from unit" Text "For this unit and all behind it, and on other lines for what enters no earlier; of a unit on hold the next behind it counts there.";
        may "description" Text "What changes.";
    }
    Sequence true "The build sequence: which unit enters which line in which order." {
        needed "line" Text "The line.";
        needed "seq" Number "The unit's place in the line's order.";
        needed "unit" Text "The unit's code.";
        needed "floorplan" Text "Its floorplan.";
        may "options" Text "Its ordered options; -CODE takes a standard one away.";
        may "start" Date "It does not enter before this date.";
        may "gap" Number "Empty places before it.";
        may "at" Text "The station it stands at, for a unit that is on the line.";
        may "issued through" Text "The last station whose material it has; the one it stands at if blank.";
        may "hold" Text "Why it is held back; blank, - or no: it is not.";
        may "done" Text "yes, or the day, for a unit that has left the line.";
    }
    Stock false "What is on hand." {
        needed "part" Text "The part.";
        needed "qty" Number "How much.";
        may "uom" Text "The unit of measure of qty; the part's own if blank.";
        may "location" Text "Where it lies.";
        may "station" Text "The station or shop it lies at; it serves no other.";
        may "unit" Text "The unit it is reserved for.";
        may "hold" Text "Why it can't be used; blank, - or no: it can.";
    }
    Receipts false "Open purchase orders." {
        needed "purchase order" Text "The order's number; as many rows as it has.";
        needed "part" Text "The part.";
        needed "qty" Number "What is still open.";
        needed "due" Moment "When it is promised: a date, or a date and time.";
        may "uom" Text "The unit of measure of qty; the part's own if blank.";
        may "supplier" Text "Who sends it; the part's own supplier if blank.";
        may "confirmed" YES_NO "yes: the supplier has confirmed the due moment; no: not; blank: not known.";
    }
    Extras false "What no bill asks for: owed, remade, a sample." {
        needed "part" Text "The part.";
        needed "qty" Number "How much.";
        needed "to" Text "The station or shop it goes to.";
        may "uom" Text "The unit of measure of qty; the part's own if blank.";
        may "needed" Moment "By when; blank: when the unit's material is wanted at that station.";
        may "unit" Text "The unit it is for.";
        may "reason" Text "Why.";
    }
    Started false "Jobs that shops have begun." {
        needed "unit" Text "The unit it is for.";
        needed "part" Text "What is being made.";
        needed "minutes left" Number "Minutes of work left.";
    }
    Waves false "The delivery runs of a day." {
        needed "wave" Text "The run's code.";
        needed "time" Time "When it leaves the stores.";
        may "pick minutes" Number "How long before that its picking starts.";
    }
    Conversions false "How units of measure of different kinds turn into each other." {
        needed "from" Text "One of these …";
        needed "to" Text "… is so many of these.";
        needed "factor" Number "How many.";
        may "part" Text "Only for this part; for all if blank.";
    }
    Uoms false "Decimal places of units of measure." {
        needed "uom" Text "The unit of measure.";
        needed "decimals" Number "Its decimal places; 0 for what is counted.";
    }
    Content false "How many pieces of a kind a unit has." {
        needed "kind" Text "The kind, as in the column kind of Parts.";
        may "floorplan" Text "The floorplan or series that it holds for; * or blank: all.";
        may "least" Number "A unit has at least so many; 1 if blank.";
        may "most" Number "It has at most so many; 1 if blank.";
        may "when" Text "The condition under which the row applies; always if blank.";
        may "message" Text "What to tell people where it is broken.";
    }
    Forecast false "How many units of a floorplan start after the sequence ends." {
        needed "floorplan" Text "The floorplan.";
        needed "from" Date "The first day of the period, after the last unit of the sequence has entered.";
        needed "to" Date "The last day of the period.";
        needed "units" Number "How many units start in it.";
    }
    Scale false "What finished units weigh." {
        needed "unit" Text "The unit, as in the sequence: it is done, or stands at the last position of its line.";
        needed "kg" Number "What the scale showed, in kilograms.";
        may "when" Moment "When it was weighed: of several rows of a unit the last counts.";
    }
}

impl Table {
    /// All tables, in the order of the contract.
    pub fn all() -> impl Iterator<Item = &'static TableSpec> {
        SPECS.iter()
    }

    /// What it is called and which columns it has.
    pub fn spec(self) -> &'static TableSpec {
        &SPECS[self as usize]
    }

    /// The table of a file's or sheet's name, without regard to case, spaces, `_` and `-`.
    pub fn named(name: &str) -> Option<&'static TableSpec> {
        let plain = plain_name(name);
        SPECS.iter().find(|spec| plain_name(spec.name) == plain)
    }
}

/// A table's or column's name as it is compared: lower case, without spaces, `_` and `-`.
pub fn plain_name(name: &str) -> String {
    name.chars().filter(|c| !c.is_whitespace() && !matches!(c, '_' | '-')).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_found_by_its_number_and_any_spelling_of_its_name() {
        for spec in Table::all() {
            assert_eq!(spec.table.spec().name, spec.name);
            assert_eq!(Table::named(&format!(" {}_", spec.name.to_uppercase())).map(|s| s.table), Some(spec.table));
        }
        assert!(Table::named("Bill").is_none());
    }
}
