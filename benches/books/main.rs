//! Makes the books that benchmarks plan: `bench-books OUT --units 2000` writes a folder of CSV files, the same for the
//! same words. Everything in it is invented.

#![allow(clippy::disallowed_methods, reason = "a generator writes files")]

mod begun;
mod bills;
mod days;
#[path = "../../data/generator/folder.rs"]
mod folder;
mod load;
mod model;
mod names;
mod options;
mod ordering;
mod parts;
mod sequence;
mod special;
#[allow(dead_code, reason = "the demo plant uses more of it")]
#[path = "../../data/generator/suppliers.rs"]
mod suppliers;
mod supply;
mod tables;
mod usage;
mod when;

use clap::Parser;
use model::{Book, Wanted};
use std::error::Error;
use usage::Usage;

fn main() -> Result<(), Box<dyn Error>> {
    let book = book(Wanted::parse());
    folder::csv_folder(&tables::all(&book), &book.wanted.out)
}

/// Parts, bills and units, then crews and supply to fit what the units use.
fn book(wanted: Wanted) -> Book {
    let mut rng = fastrand::Rng::with_seed(wanted.seed);
    let catalogue = options::Catalogue::new(wanted.full);
    let mut parts = parts::parts(&wanted, &mut rng);
    let mut bills = bills::Bills::new(&wanted, &catalogue, &mut rng);
    for part in parts::BOUGHT..parts.len() {
        parts[part].bill = bills.inside(&parts, part);
    }
    let line = |f: usize| if wanted.full { f % 2 } else { 0 };
    let mut floorplans: Vec<_> = (0..wanted.floorplans).map(|f| bills.floorplan(&parts, f, line(f))).collect();
    if wanted.full {
        special::add(&mut bills, &mut parts, &mut floorplans);
    }
    let units = sequence::units(&wanted, &catalogue, &floorplans, &mut rng);
    let (crews, stock, receipts) = (Vec::new(), Vec::new(), Vec::new());
    let (extras, started) = (Vec::new(), Vec::new());
    let mut book = Book { wanted, catalogue, parts, floorplans, units, crews, stock, receipts, extras, started };
    let usage = Usage::of(&book);
    load::balance(&mut book, &usage);
    supply::build(&mut book, &usage, &mut rng);
    if book.wanted.full {
        supply::reserve(&mut book, &mut rng);
        begun::extras(&mut book, &mut rng);
        begun::started(&mut book);
    }
    let bill_lines = book.floorplans.iter().map(|f| f.bill.len()).chain(book.parts.iter().map(|p| p.bill.len()));
    eprintln!(
        "{} units, {} bill lines, {} active lines, {} receipts",
        book.units.len(),
        bill_lines.sum::<usize>(),
        usage.lines,
        book.receipts.len()
    );
    book
}
