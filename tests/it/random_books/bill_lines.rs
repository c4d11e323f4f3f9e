//! What a random bill line holds: a part that may stand there, its quantity, scrap and changes.

use super::bills::{LineSketch, Maker};
use super::parts::{Kind, PartSketch};

impl Maker<'_> {
    /// A part after a place in the list whose kind will do.
    pub fn find(&mut self, after: usize, will_do: impl Fn(Kind) -> bool) -> Option<PartSketch> {
        let found = self.parts[after..].iter().filter(|part| will_do(part.kind));
        let found: Vec<PartSketch> = found.cloned().collect();
        self.dice.pick_or_none(&found)
    }

    /// Something that may stand at a station, and whether it comes free there.
    pub fn for_station(&mut self, after: usize) -> (PartSketch, bool) {
        let kind = self.dice.between(1, 100);
        let found = match kind {
            1..=24 => self.find(after, |kind| matches!(kind, Kind::Make(_))),
            25..=34 => self.find(after, |kind| kind == Kind::StationPhantom),
            35..=40 => self.find(after, |kind| kind == Kind::Phantom),
            41..=47 => self.find(after, |kind| matches!(kind, Kind::ByProduct { .. })),
            48..=51 => self.find(after, |kind| matches!(kind, Kind::ByProduct { at_stations: true, .. })),
            _ => None,
        };
        let gives = found.is_some() && (48..=51).contains(&kind);
        let part = found.or_else(|| self.find(0, |kind| kind == Kind::Buy)).expect("a bought part");
        (part, gives)
    }

    /// Something that may stand below a job of a shop, and whether it comes free with it.
    pub fn for_shop(&mut self, after: usize, shop: usize) -> (PartSketch, bool) {
        let kind = self.dice.between(1, 100);
        let found = match kind {
            1..=9 => self.find(after, |kind| kind == Kind::Make(shop)),
            10..=19 => self.find(after, |kind| matches!(kind, Kind::Make(_))),
            20..=27 => self.find(after, |kind| kind == Kind::ShopPhantom(shop)),
            28..=31 => self.find(after, |kind| kind == Kind::Phantom),
            32..=41 => self.find(after, |kind| is_given_before(kind, shop)),
            42..=44 => self.find(after, |kind| is_given_in(kind, shop)),
            _ => None,
        };
        let gives = found.is_some() && (42..=44).contains(&kind);
        let part = found.or_else(|| self.find(0, |kind| kind == Kind::Buy)).expect("a bought part");
        (part, gives)
    }

    /// A line with everything but its station.
    pub fn line(&mut self, parent: &str, part: &PartSketch, gives: bool) -> LineSketch {
        let dice = &mut *self.dice;
        let is_built = matches!(part.kind, Kind::Make(_) | Kind::StationPhantom | Kind::ShopPhantom(_));
        let mut uom = part.other_uom(dice);
        if is_built && ["box", "coil"].contains(&uom.as_str()) {
            uom = String::new(); // nobody builds a box of wall sets for one unit
        }
        let high = if is_built {
            2
        } else if gives {
            3
        } else {
            dice.pick(&[2, 6, 40])
        };
        let mut qty = part.quantity(dice, high, &uom);
        if dice.chance(2) && !gives {
            qty = "0".to_string();
        }
        if gives {
            qty = format!("-{qty}");
        }
        let scrap = match dice.between(1, 10) {
            1 => dice.decimal(0, 0, 2),
            2 => format!("{}%", dice.decimal(0, 12, 1)),
            3 => format!("0.{}", dice.between(1, 25)),
            _ => String::new(),
        };
        let mut line =
            LineSketch { parent: parent.to_string(), part: part.code.clone(), qty, uom, scrap, ..Default::default() };
        if dice.chance(12) && !self.changes.is_empty() {
            line.from = dice.pick(self.changes);
        }
        if dice.chance(12) && !self.changes.is_empty() {
            line.until = dice.pick(self.changes);
        }
        line
    }
}

fn is_given_in(kind: Kind, shop: usize) -> bool {
    matches!(kind, Kind::ByProduct { in_shop: Some(own), .. } if own == shop)
}

fn is_given_before(kind: Kind, shop: usize) -> bool {
    matches!(kind, Kind::ByProduct { in_shop, .. } if in_shop.is_none_or(|own| own < shop))
}
