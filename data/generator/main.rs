//! Makes the demo plant, Alder Fen Works: `alder-fen [OUT_DIR]` writes a folder of CSV files, the same book as a workbook,
//! and a small second book with wrong orders. Everything in it is invented.

#![allow(clippy::disallowed_methods, reason = "a generator writes files")]

mod cabinet_material;
mod cabinets;
mod changes;
mod content;
mod days;
mod explode;
mod families;
mod families_body;
mod families_finish;
mod families_inside;
mod families_under;
mod family_lines;
mod family_parts;
mod fitted;
mod fixed_tables;
mod folder;
mod forecast;
mod layout;
mod load;
mod makes;
mod model;
mod new_floorplan;
mod options;
mod orders;
mod receipts;
mod scale;
mod sequence;
mod stock;
mod suppliers;
mod tables;
mod troubles;
mod tune;
mod units_of_measure;
mod when;
mod wishes;
mod write;
mod wrong_orders;

use model::Book;
use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let out = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "data".to_string()));
    let tables = tables::all(&plant());
    folder::csv_folder(&tables, &out.join("alder-fen"))?;
    write::workbook(&tables, &out.join("alder-fen.xlsx"))?;
    wrong_orders::write(&out.join("alder-fen-wrong-orders"))
}

/// The whole book: parts and bills, units, shop minutes, then supply to fit them, then what goes wrong.
fn plant() -> Book {
    let mut rng = fastrand::Rng::with_seed(tune::SEED);
    let mut book = Book::default();
    family_parts::build(&mut book, &mut rng);
    makes::build(&mut book);
    cabinets::build(&mut book, &mut rng);
    book.drop_unused();
    units_of_measure::build(&mut book);
    changes::build(&mut book);
    sequence::draw(&mut book, &mut rng);
    wishes::extras(&mut book);
    load::fit(&mut book);
    let found = explode::explode(&book);
    stock::ready(&mut book, &found);
    stock::started(&mut book, &found, &mut rng);
    let drawn = stock::consumption(&mut book, &found, &mut rng);
    receipts::build(&mut book, &drawn, &mut rng);
    fitted::set(&mut book);
    troubles::plant(&mut book, &drawn);
    wishes::slow_bench(&mut book);
    receipts::number(&mut book);
    content::plant(&mut book);
    scale::finished(&mut book);
    new_floorplan::add(&mut book, &drawn);
    book
}
