//! The benchmark plant in memory.

use crate::names::STATIONS;
use crate::options::{Catalogue, Order};
use crate::when::When;

/// What is asked of the generator.
#[derive(clap::Parser)]
pub struct Wanted {
    /// The folder to write to
    pub out: std::path::PathBuf,
    /// How many units
    #[arg(long, default_value_t = 200)]
    pub units: usize,
    /// How many distinct configurations; by default every unit has its own
    #[arg(long)]
    pub distinct: Option<usize>,
    /// Two lines, packages, rules, changes, phantoms, by-products, extras, begun jobs, lineside and reserved stock
    #[arg(long)]
    pub full: bool,
    /// How many floorplans, at most 100
    #[arg(long, default_value_t = 20)]
    pub floorplans: usize,
    /// How many receipts; by default 60 for each unit, but no more than 120,000
    #[arg(long)]
    pub receipts: Option<usize>,
    /// How well what is used is supplied
    #[arg(long, value_enum, default_value_t)]
    pub supply: Supply,
    /// The seed of everything that is drawn
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
}

/// How well what is used is supplied.
#[derive(Clone, Copy, Default, PartialEq, clap::ValueEnum)]
pub enum Supply {
    /// Stock and receipts as they are used, with a small share late or short
    #[default]
    Well,
    /// Stock for the first days and four fifths of the receipts, which come on random days
    Scarce,
    /// Neither stock nor receipts
    None,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Source {
    Buy,
    Make(usize),
    Phantom,
    ByProduct,
}

#[derive(Clone)]
pub struct Part {
    pub code: String,
    pub uom: &'static str,
    pub source: Source,
    pub setup: f64,
    pub minutes: f64,
    pub issue: &'static str,
    pub pack: f64,
    pub bill: Vec<Line>,
}

#[derive(Clone)]
pub struct Line {
    pub part: usize,
    pub qty: f64,
    pub uom: &'static str,
    pub station: Option<usize>,
    pub when: When,
    pub scrap: f64,
    pub from: Option<usize>,
    pub until: Option<usize>,
}

pub struct Floorplan {
    pub code: String,
    pub line: usize,
    pub bill: Vec<Line>,
}

pub struct Unit {
    pub code: String,
    pub line: usize,
    pub order: Order,
    /// The move by which it enters.
    pub entry: i64,
    /// The position it stands at; 0 where it is not on the line.
    pub at: i64,
    pub gap: i64,
    pub hold: bool,
    pub done: bool,
}

pub struct Stock {
    pub part: usize,
    pub qty: f64,
    pub station: String,
    pub unit: String,
    pub hold: &'static str,
}

pub struct Receipt {
    pub part: usize,
    pub qty: f64,
    pub day: i64,
}

pub struct Book {
    pub wanted: Wanted,
    pub catalogue: Catalogue,
    pub parts: Vec<Part>,
    pub floorplans: Vec<Floorplan>,
    pub units: Vec<Unit>,
    /// Crews by shop.
    pub crews: Vec<i64>,
    pub stock: Vec<Stock>,
    pub receipts: Vec<Receipt>,
    /// Part, station, needed, unit, reason.
    pub extras: Vec<[String; 5]>,
    /// Unit, part, minutes left.
    pub started: Vec<[String; 3]>,
}

impl Book {
    pub fn lines(&self) -> usize {
        if self.wanted.full { 2 } else { 1 }
    }

    /// Minutes between two moves of a line: together the lines build forty units a day.
    pub fn takt(&self) -> i64 {
        12 * self.lines() as i64
    }

    /// When a unit needs what a line of its floorplan asks for, in working minutes from the as-of moment, about.
    pub fn need(&self, unit: &Unit, line: &Line) -> i64 {
        let position = line.station.map_or(0, |station| STATIONS[station % STATIONS.len()].1);
        (unit.entry + position - 1) * self.takt() - 60
    }
}
