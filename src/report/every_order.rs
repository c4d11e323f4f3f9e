//! Figures over every order that could be placed: as text, as sheets, and as facts for programs.

use super::listing::{listing, widths};
use super::sheet::{Look, Sheet};
use super::table::Value;
use crate::base::{PartId, Quantity};
use crate::check::Plant;
use crate::every_order::{Count, Figures, Over};
use itertools::Itertools;
use serde::Serialize;
use std::fmt::Write;

/// Figures of one floorplan.
#[derive(Debug, Serialize)]
pub struct Facts<'p> {
    /// Its code.
    pub floorplan: &'p str,
    /// The line, where orders differ by it.
    pub line: Option<&'p str>,
    /// How many builds there are; none where they could not be counted.
    pub builds: Option<String>,
    /// Then there are more than so many.
    pub more_than: Option<usize>,
    /// Kilograms of the bought parts of the lightest build.
    pub lightest: Option<String>,
    /// Of the heaviest.
    pub heaviest: Option<String>,
    /// How many of its bought parts have no weight.
    pub weights_not_known: usize,
    /// The most minutes of each shop.
    pub shops: Vec<ShopFacts<'p>>,
    /// The most that one unit takes of each part.
    pub most: Vec<MostFacts<'p>>,
}

/// The most minutes that one unit asks of a shop.
#[derive(Debug, Serialize)]
pub struct ShopFacts<'p> {
    /// Its code.
    pub shop: &'p str,
    /// Minutes; none where they could not be worked out.
    pub minutes: Option<Quantity>,
}

/// The most of a part that one unit takes.
#[derive(Debug, Serialize)]
pub struct MostFacts<'p> {
    /// Its code.
    pub part: &'p str,
    /// How much; none where it could not be worked out.
    pub qty: Option<Quantity>,
    /// Then a unit can take so much at least.
    pub at_least: Option<Quantity>,
    /// Its unit of measure.
    pub uom: &'p str,
}

impl<'p> Facts<'p> {
    /// Of a plant's figures.
    pub fn of(plant: &'p Plant, figures: &Figures) -> Self {
        let (builds, more_than) = match &figures.builds {
            Count::Exactly(count) => (Some(count.to_string()), None),
            Count::MoreThan(count) => (None, Some(*count)),
        };
        let (lightest, heaviest) = match figures.weight {
            Over::Is((least, most)) => (Some(least.to_string()), Some(most.to_string())),
            Over::AtLeast(_) | Over::Unknown => (None, None),
        };
        let shops = figures.minutes.iter().map(|(shop, minutes)| {
            let minutes = if let Over::Is(minutes) = minutes { Quantity::cut(*minutes) } else { None };
            ShopFacts { shop: &plant.shop_dest(*shop).code, minutes }
        });
        let most = figures.most.iter().map(|(part, qty)| {
            let part = plant.part(*part);
            let (qty, at_least) = match qty {
                Over::Is(qty) => (Some(*qty), None),
                Over::AtLeast(qty) => (None, Some(*qty)),
                Over::Unknown => (None, None),
            };
            MostFacts { part: &part.code, qty, at_least, uom: &part.uom }
        });
        Self {
            floorplan: &plant.floorplans[figures.floorplan.at()].code,
            line: figures.line.map(|line| plant.lines[line.at()].code.as_str()),
            builds,
            more_than,
            lightest,
            heaviest,
            weights_not_known: figures.weights_unknown,
            shops: shops.collect(),
            most: most.collect(),
        }
    }

    /// The floorplan, and its line where orders differ by it.
    fn name(&self) -> String {
        self.line.map_or_else(|| self.floorplan.to_owned(), |line| format!("{} on {line}", self.floorplan))
    }

    /// `1,536` or `more than 1,000`.
    fn count(&self) -> String {
        match (&self.builds, self.more_than) {
            (Some(builds), _) => grouped(builds),
            (None, more) => format!("more than {}", grouped(&more.unwrap_or(0).to_string())),
        }
    }
}

/// Digits in groups of three.
fn grouped(digits: &str) -> String {
    let sign = |(i, digit): (usize, char)| {
        let comma = i > 0 && (digits.len() - i).is_multiple_of(3);
        if comma { format!(",{digit}") } else { digit.to_string() }
    };
    digits.chars().enumerate().map(sign).collect()
}

/// Whole minutes, rounded up.
fn minutes(minutes: Option<Quantity>) -> String {
    minutes.map_or_else(|| "not worked out".to_owned(), |minutes| format!("{} min", minutes.round_up(0)))
}

/// A line for each floorplan that can be ordered.
pub fn text(plant: &Plant, figures: &[Figures]) -> String {
    if figures.is_empty() {
        return String::new();
    }
    let mut text =
        "every order that could be placed (weights by the book: the scale and the certification label govern):\n"
            .to_owned();
    for figures in figures {
        let facts = Facts::of(plant, figures);
        let one = facts.builds.as_deref() == Some("1");
        // Writing to a string can't fail.
        let _ = write!(text, "  {}: {} build{}", facts.name(), facts.count(), if one { "" } else { "s" });
        let _ = match (&facts.lightest, &facts.heaviest) {
            (Some(least), Some(most)) => write!(text, "; bought parts weigh {least} to {most} kg"),
            _ => write!(text, "; weights not worked out"),
        };
        if facts.weights_not_known > 0 {
            let _ = write!(text, " ({} without a weight)", facts.weights_not_known);
        }
        if !facts.shops.is_empty() {
            let shops = facts.shops.iter().map(|shop| format!("{} {}", shop.shop, minutes(shop.minutes))).join(", ");
            let _ = write!(text, "; at most {shops}");
        }
        text.push('\n');
    }
    text + "\n"
}

listing! {
    /// A floorplan's builds.
    Builds: fn builds_line<'p>(plant: &'p Plant, figures: &'p Figures) {
        let (least, most) = match figures.weight {
            Over::Is((least, most)) => (Value::from(least), Value::from(most)),
            Over::AtLeast(_) | Over::Unknown => (Value::Blank, Value::Blank),
        };
        let facts = Facts::of(plant, figures);
    }
    look: Look::Plain;
    "floorplan", 18, Text => facts.floorplan;
    "line", 10, Text => facts.line;
    "builds", 26, Text => facts.count();
    "lightest, kg", 14, Weight => least;
    "heaviest, kg", 14, Weight => most;
    "parts without a weight", 14, Whole => figures.weights_unknown as i64;
}

listing! {
    /// What a unit of a floorplan asks of a shop at most.
    Shops: fn shop_line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>) {}
    look: Look::Plain;
    "floorplan", Text => facts.floorplan;
    "line", Text => facts.line;
    "shop", Text => shop.shop;
    "most minutes", Quantity => shop.minutes;
}

listing! {
    /// The most of a part that a unit of a floorplan takes.
    Most: fn most_line<'p>(plant: &'p Plant, part: PartId, figures: &'p Figures, most: &'p Over<Quantity>) {
        let part = plant.part(part);
        let qty = match most {
            Over::Is(qty) => Value::from(*qty),
            Over::AtLeast(qty) => format!("at least {qty}").into(),
            Over::Unknown => "not worked out".into(),
        };
    }
    look: Look::Plain;
    "part", 20, Text => part.code.as_str();
    "description", 40, Wrapped => part.description.as_str();
    "floorplan", 18, Text => plant.floorplans[figures.floorplan.at()].code.as_str();
    "line", 10, Text => figures.line.map(|line| plant.lines[line.at()].code.as_str());
    "most of a unit", 14, Quantity => qty;
    "uom", 8, Text => part.uom.as_str();
}

/// So many rows of the most of a part.
const LONGEST: usize = 100_000;

/// The figures, and the most of each part.
pub fn sheets<'p>(plant: &'p Plant, figures: &'p [Figures]) -> Vec<Sheet<'p>> {
    vec![builds(plant, figures), most(plant, figures)]
}

fn builds<'p>(plant: &'p Plant, figures: &'p [Figures]) -> Sheet<'p> {
    let mut sheet = Sheet::new("Builds", &widths::<Builds>());
    sheet.text(Look::Title, "Every order that could be placed");
    sheet.paragraph(
        Look::Plain,
        "A build is all that a unit has: two orders of one build are one. Weights are those of bought parts in the book; the \
         scale and the certification label govern.",
    );
    sheet.table(Some("builds".to_owned()), figures.iter().map(|figures| builds_line(plant, figures)).collect());
    let facts = figures.iter().map(|figures| Facts::of(plant, figures)).collect_vec();
    let lines = facts.iter().flat_map(|facts| facts.shops.iter().map(|shop| shop_line(facts, shop))).collect_vec();
    if !lines.is_empty() {
        sheet.gap().text(Look::Section, "What one unit asks of a shop at most");
        sheet.table(Some("shops".to_owned()), lines);
    }
    sheet
}

fn most<'p>(plant: &'p Plant, figures: &'p [Figures]) -> Sheet<'p> {
    let mut sheet = Sheet::new("Most of a part", &widths::<Most>());
    let all = figures.iter().flat_map(|figures| figures.most.iter().map(move |(part, most)| (*part, figures, most)));
    let all = all.sorted_by_key(|(part, figures, _)| (*part, figures.floorplan, figures.line)).collect_vec();
    let more = all.len().saturating_sub(LONGEST);
    if more > 0 {
        sheet.text(
            Look::Plain,
            format!("{more} rows more are not shown; 'lineward check --every-order --json' has them."),
        );
    }
    let lines = all.iter().take(LONGEST).map(|(part, figures, most)| most_line(plant, *part, figures, most));
    sheet.table(Some("most_of_a_part".to_owned()), lines.collect());
    sheet
}
