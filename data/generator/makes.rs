//! What the plant makes itself: sets, walls and slide boxes, their cut-outs, and the kits that are only gathered.

use crate::model::{BillLine, Book, PLANS, Part};

/// Stem, name, shop, setup, minutes (before loads are tuned), station, floorplans, when.
type Make = (&'static str, &'static str, &'static str, f64, f64, &'static str, &'static [usize], &'static str);

const ALL: &[usize] = &[0, 1, 2, 3];
const WITH_SLIDE: &[usize] = &[1, 2, 3];

#[rustfmt::skip]
pub const MAKES: [Make; 11] = [
    ("GALLEY", "Galley cabinet set", "CABSHOP", 4.0, 6.0, "GAL", ALL, ""),
    ("BEDROOM", "Bedroom cabinet set", "CABSHOP", 4.0, 5.0, "BED", ALL, ""),
    ("WASHROOM", "Washroom cabinet set", "CABSHOP", 3.0, 4.0, "WSH", ALL, ""),
    ("DINETTE", "Dinette cabinet set", "CABSHOP", 3.0, 4.0, "DIN", ALL, "not SLIDE"),
    ("WALL-L", "Left side wall", "WALLSHOP", 3.0, 26.0, "WLS", ALL, ""),
    ("WALL-R", "Right side wall", "WALLSHOP", 3.0, 26.0, "WLS", ALL, ""),
    ("WALL-F", "Front wall", "WALLSHOP", 2.0, 15.0, "WLE", ALL, ""),
    ("WALL-B", "Rear wall", "WALLSHOP", 2.0, 15.0, "WLE", ALL, ""),
    ("ROOF", "Roof panel", "WALLSHOP", 3.0, 20.0, "ROF", ALL, ""),
    ("SLBOX-L", "Side slide box", "SLIDESHOP", 5.0, 46.0, "SB1", WITH_SLIDE, "SLIDE"),
    ("SLBOX-B", "Rear slide box", "SLIDESHOP", 5.0, 40.0, "SB2", &[3], "SLIDER"),
];

/// Cut-outs: stem, name, the wall that gives it, what takes it (a make, or `-` the floorplan), station, floorplans, when.
type Cut = (&'static str, &'static str, &'static str, &'static str, &'static str, &'static [usize], &'static str);

#[rustfmt::skip]
const CUTS: [Cut; 3] = [
    ("CUT-L", "Panel cut out of the left wall", "WALL-L", "SLBOX-L", "", WITH_SLIDE, "SLIDE"),
    ("CUT-B", "Panel cut out of the rear wall", "WALL-B", "SLBOX-B", "", &[3], "SLIDER"),
    ("CUT-H", "Hatch blank cut out of the right wall", "WALL-R", "-", "HAT", &[2, 3], ""),
];

/// Kits gathered, not stocked: stem, name, station, when; `!` one for all floorplans.
#[rustfmt::skip]
const KITS: [(&str, &str, &str, &str); 5] = [
    ("PLK", "Plumbing kit", "PLU", ""),
    ("WPK", "Washroom plumbing kit", "WSH", ""),
    ("ELK", "Electric kit", "LOM", ""),
    ("GLK!", "Gas locker kit", "GAS", ""),
    ("SOK!", "Solar kit", "RTP", "SOL1 or SOL2"),
];

/// Whether a stem of a family's `in` column is there on a floorplan.
pub fn exists(stem: &str, plan: usize) -> bool {
    let make = MAKES.iter().find(|make| make.0 == stem);
    make.is_none_or(|make| make.6.contains(&plan))
}

/// The code of a stem on a floorplan: the floorplan itself, one for all, or its own.
pub fn code(stem: &str, plan: usize) -> String {
    match stem.strip_suffix('!') {
        Some(shared) => shared.to_string(),
        None if stem == "-" => PLANS[plan].0.to_string(),
        None => format!("{stem}-{}", PLANS[plan].3),
    }
}

/// Adds made parts, cut-outs and kits, and their lines.
pub fn build(book: &mut Book) {
    for plan in 0..4 {
        MAKES.iter().filter(|make| make.6.contains(&plan)).for_each(|make| add_make(book, make, plan));
        KITS.iter().for_each(|kit| add_kit(book, kit, plan));
        CUTS.iter().filter(|cut| cut.5.contains(&plan)).for_each(|cut| add_cut(book, cut, plan));
    }
    for plan in WITH_SLIDE {
        let line = BillLine { qty: 1.0, ..line("SLBOX-L", "DINETTE", *plan) };
        book.add_line(BillLine { note: "built into the slide box".to_string(), ..line });
    }
}

fn line(parent: &str, part: &str, plan: usize) -> BillLine {
    BillLine { parent: code(parent, plan), part: code(part, plan), qty: 1.0, ..BillLine::default() }
}

fn part(stem: &str, name: &str, plan: usize) -> Part {
    let shared = stem.ends_with('!');
    let tail = if shared { String::new() } else { format!(", for {}", PLANS[plan].3) };
    Part { code: code(stem, plan), description: format!("{name}{tail}"), uom: "ea".to_string(), ..Part::default() }
}

fn add_make(book: &mut Book, make: &Make, plan: usize) {
    let size = PLANS[plan].4;
    let minutes = (make.4 * (0.4 + 0.6 * size) * 4.0).round() / 4.0;
    let issue = "sequence".to_string();
    let part = Part { source: "make", shop: make.2, setup: make.3, minutes, issue, ..part(make.0, make.1, plan) };
    book.add_part(part);
    let (station, when) = (make.5.to_string(), if plan == 0 && make.0 == "DINETTE" { "" } else { make.7 });
    book.add_line(BillLine { station, when: when.to_string(), ..line("-", make.0, plan) });
}

fn add_kit(book: &mut Book, kit: &(&str, &str, &str, &str), plan: usize) {
    book.add_part(Part { source: "phantom", ..part(kit.0, kit.1, plan) });
    let (station, when) = (kit.2.to_string(), kit.3.to_string());
    book.add_line(BillLine { station, when, ..line("-", kit.0, plan) });
}

fn add_cut(book: &mut Book, cut: &Cut, plan: usize) {
    book.add_part(Part { source: "by-product", issue: "sequence".to_string(), ..part(cut.0, cut.1, plan) });
    let when = cut.6.to_string();
    book.add_line(BillLine { qty: -1.0, when: when.clone(), ..line(cut.2, cut.0, plan) });
    let when = if cut.3 == "-" { when } else { String::new() };
    book.add_line(BillLine { station: cut.4.to_string(), when, ..line(cut.3, cut.0, plan) });
}
