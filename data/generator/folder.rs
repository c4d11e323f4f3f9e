//! Tables of text and the folder of CSV files they are written to; the books of `benches/` are written with it, too.

use std::error::Error;
use std::fs;
use std::path::Path;

pub struct Table {
    pub name: &'static str,
    pub head: Vec<&'static str>,
    pub rows: Vec<Vec<String>>,
}

/// A table of rows under headings written with commas.
pub fn table(name: &'static str, head: &'static str, rows: impl Iterator<Item = Vec<String>>) -> Table {
    Table { name, head: head.split(',').collect(), rows: rows.collect() }
}

pub fn texts<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.iter().map(|cell| (*cell).to_string()).collect()
}

/// One CSV file for each table.
pub fn csv_folder(tables: &[Table], folder: &Path) -> Result<(), Box<dyn Error>> {
    fs::create_dir_all(folder)?;
    for table in tables {
        let mut file = csv::Writer::from_path(folder.join(format!("{}.csv", table.name)))?;
        file.write_record(&table.head)?;
        for row in &table.rows {
            file.write_record(row)?;
        }
        file.flush()?;
    }
    Ok(())
}
