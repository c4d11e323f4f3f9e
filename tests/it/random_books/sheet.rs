//! A table on its way to CSV text: cells are given by heading, in any order.

pub struct Sheet {
    headings: Vec<&'static str>,
    rows: Vec<Vec<String>>,
}

impl Sheet {
    pub fn new(headings: &[&'static str]) -> Sheet {
        Sheet { headings: headings.to_vec(), rows: Vec::new() }
    }

    /// Adds a row; what is not given stays blank.
    pub fn add(&mut self, cells: &[(&str, &str)]) {
        let mut row = vec![String::new(); self.headings.len()];
        for (heading, value) in cells {
            let place = self.headings.iter().position(|known| known == heading);
            row[place.expect("a heading of the sheet")] = value.to_string();
        }
        self.rows.push(row);
    }

    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    pub fn text(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&self.headings).expect("room for a row");
        for row in &self.rows {
            writer.write_record(row).expect("room for a row");
        }
        String::from_utf8(writer.into_inner().expect("all is written")).expect("text")
    }
}
