//! What can be ordered, and which options an order comes to, so that the generator knows what each unit uses.

use crate::names::{FREE, FREE_STANDARD, GROUPS, LINES, PACKAGES, RULES, SERIES};
use fastrand::Rng;

/// Options, packages, series and lines by number, at most 128 of them.
pub struct Catalogue {
    pub names: Vec<String>,
    /// For each group the numbers of its options.
    pub groups: Vec<Vec<usize>>,
    pub full: bool,
}

/// An order and what it comes to.
#[derive(Clone)]
pub struct Order {
    pub floorplan: usize,
    /// As it is typed, `-CODE` included.
    pub typed: Vec<String>,
    pub names: u128,
}

impl Catalogue {
    pub fn new(full: bool) -> Self {
        let mut names = Vec::new();
        let mut groups = Vec::new();
        for (group, size) in GROUPS {
            groups.push((names.len()..names.len() + size).collect());
            names.extend((1..=size).map(|n| format!("{group}{n}")));
        }
        names.extend(FREE.map(String::from));
        names.extend(PACKAGES.map(|package| package.0.to_string()));
        names.extend(SERIES.map(String::from));
        names.extend(LINES.map(String::from));
        Self { names, groups, full }
    }

    pub fn number(&self, name: &str) -> usize {
        self.names.iter().position(|known| known == name).expect("a known name")
    }

    fn grouped(&self) -> usize {
        GROUPS.iter().map(|group| group.1).sum()
    }

    /// An option that is no package.
    pub fn any_option(&self, rng: &mut Rng) -> usize {
        rng.usize(..self.grouped() + FREE.len())
    }

    pub fn any_series(&self, rng: &mut Rng) -> usize {
        self.number(SERIES[rng.usize(..SERIES.len())])
    }

    /// The option of a group that is standard on a floorplan; in the full book some floorplans have their own.
    pub fn standard(&self, group: usize, floorplan: usize) -> usize {
        self.groups[group][usize::from(self.full && self.own_standard(group, floorplan))]
    }

    pub fn own_standard(&self, group: usize, floorplan: usize) -> bool {
        group == floorplan % GROUPS.len()
    }

    /// The free option that a floorplan of the full book does not offer.
    pub fn not_offered(&self, floorplan: usize) -> usize {
        self.number(FREE[floorplan * 3 % 20])
    }

    /// A valid order, drawn again until it breaks no rule.
    pub fn order(&self, floorplan: usize, line: usize, rng: &mut Rng) -> Order {
        loop {
            let typed = self.wishes(floorplan, rng);
            let fixed = [self.number(SERIES[floorplan % SERIES.len()]), self.number(LINES[line])];
            if let Some(names) = self.resolve(floorplan, &typed, fixed) {
                return Order { floorplan, typed, names };
            }
        }
    }

    fn wishes(&self, floorplan: usize, rng: &mut Rng) -> Vec<String> {
        let mut typed = Vec::new();
        for (g, group) in self.groups.iter().enumerate() {
            let wish = group[rng.usize(..group.len())];
            if rng.u32(..100) < 60 && wish != self.standard(g, floorplan) {
                typed.push(self.names[wish].clone());
            }
        }
        for (i, name) in FREE.iter().enumerate() {
            let offered = !self.full || self.number(name) != self.not_offered(floorplan);
            let standard = self.full && FREE_STANDARD.contains(name);
            let wanted = rng.u32(..100) < 15 + (i as u32 * 7 % 36);
            if standard && rng.u32(..100) < 10 {
                typed.push(format!("-{name}"));
            } else if !standard && offered && wanted {
                typed.push((*name).to_string());
            }
        }
        let packages = PACKAGES.iter().filter(|_| self.full && rng.u32(..100) < 20);
        typed.extend(packages.map(|package| package.0.to_string()));
        typed
    }

    /// The names true for a unit; none where a `must` is broken.
    fn resolve(&self, floorplan: usize, typed: &[String], fixed: [usize; 2]) -> Option<u128> {
        let away = |name: &str| typed.iter().any(|word| word.strip_prefix('-') == Some(name));
        let ordered = typed.iter().filter(|word| !word.starts_with('-'));
        let mut chosen = ordered.fold(0, |all, word| all | self.unfolded(word));
        loop {
            let mut all = fixed.iter().fold(chosen, |all, n| all | 1 << n);
            for (g, group) in self.groups.iter().enumerate() {
                if group.iter().all(|n| all >> n & 1 == 0) {
                    all |= 1 << self.standard(g, floorplan);
                }
            }
            let free = FREE_STANDARD.iter().filter(|name| self.full && !away(name));
            all = free.fold(all, |all, name| all | self.unfolded(name));
            let has = |name: &str| all >> self.number(name) & 1 == 1;
            let ruled = RULES.iter().filter(|rule| self.full && rule.0.iter().all(|name| has(name)));
            let mut adding = ruled.clone().filter(|rule| !rule.1.is_empty() && !has(rule.1));
            let Some(rule) = adding.next() else {
                let kept = |must: &[&str]| match must {
                    [] => true,
                    ["not", name] => !has(name),
                    names => names.iter().any(|name| *name != "or" && has(name)),
                };
                return ruled.map(|rule| rule.2).all(kept).then_some(all);
            };
            chosen |= self.unfolded(rule.1);
        }
    }

    fn unfolded(&self, name: &str) -> u128 {
        let package = PACKAGES.iter().find(|package| package.0 == name);
        let inside = package.iter().flat_map(|package| package.1);
        inside.fold(1 << self.number(name), |all, name| all | 1 << self.number(name))
    }
}
