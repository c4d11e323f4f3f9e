//! A small plant that a direction adds to.

use crate::timed;
use lineward::base::Moment;
use lineward::book::{self, Book};
use lineward::{check, plan};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::time::Duration;

/// Tables by name, each a CSV text.
pub struct Plant(BTreeMap<&'static str, String>);

impl Plant {
    /// One line of three stations, one shop, one floorplan of one bought part, one unit.
    pub fn small() -> Self {
        let mut plant = Self(BTreeMap::new());
        plant.set("Settings", "key,value\nas of,2027-09-13 06:00");
        plant.set("Calendar", "calendar,day,start,end\nDAY,Mon-Fri,06:00,14:00");
        plant.set("Lines", "line,calendar\nL1,DAY");
        plant.set("Takt", "line,from,minutes\nL1,2027-01-01,20");
        plant.set("Stations", "line,station,position\nL1,S1,1\nL1,S2,2\nL1,S3,3");
        plant.set("Shops", "shop,calendar,crews\nCAB,DAY,2");
        plant.set("Floorplans", "floorplan\nTEAL");
        plant.set("Parts", "part,uom,source,shop,minutes\nSINK,ea,,,");
        plant.set("Bills", "parent,part,qty,station\nTEAL,SINK,1,S1");
        plant.set("Sequence", "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,");
        plant
    }

    /// Replaces a table.
    pub fn set(&mut self, table: &'static str, text: &str) {
        self.0.insert(table, text.to_owned());
    }

    /// Adds a row to a table.
    pub fn add(&mut self, table: &'static str, row: std::fmt::Arguments<'_>) {
        let text = self.0.entry(table).or_default();
        // Writing to a string can't fail.
        let _ = write!(text, "\n{row}");
    }

    /// With so many units more.
    pub fn with_units(mut self, units: usize) -> Self {
        (2..=units).for_each(|i| self.add("Sequence", format_args!("L1,{i},U{i},TEAL,")));
        self
    }

    /// The book.
    pub fn book(&self) -> Book {
        let files: Vec<_> = self.0.iter().map(|(table, text)| (format!("{table}.csv"), text.as_str())).collect();
        let texts = files.iter().map(|(file, text)| (file.as_str(), *text));
        book::from_texts("book", texts).unwrap_or_else(|why| panic!("{why}"))
    }

    /// How long it takes to read, check and plan it.
    pub fn planned(&self) -> Duration {
        timed(|| {
            let (plant, findings) = check::plant(&self.book(), None, Moment::default());
            let (plan, more) = plan::plan(&plant, &plan::Request::default());
            let sound = plan.is_some() && !findings.any_error();
            let told = || findings.iter().chain(more.iter()).take(3).map(ToString::to_string).collect::<Vec<_>>();
            assert!(sound, "{:?}", told());
        })
    }

    /// How long it takes to find what is wrong with it.
    pub fn checked(&self) -> Duration {
        timed(|| {
            let (plant, findings) = check::plant(&self.book(), None, Moment::default());
            let more = plan::more_findings(&plant, &findings);
            assert!(findings.any_error() || more.any_error(), "this book was to be wrong");
            let mut all = findings;
            all.extend(more);
            all.sort();
            all
        })
    }
}
