//! How an option is offered on a floorplan, and which are standard there.

use super::options::Chooser;
use super::sheets::Key;

impl Chooser<'_> {
    /// How an option is offered on the floorplan.
    pub fn offer(&self, option: &str) -> &str {
        if self.book.offers.is_empty() {
            return "optional";
        }
        if let Some(own) = self.offer_row(&self.floorplan, option) {
            return own;
        }
        match self.offer_row("*", option) {
            Some("standard") if self.has_own_standard_beside(option) => "optional",
            Some(offer) => offer,
            None => "not offered",
        }
    }

    fn offer_row(&self, floorplan: &str, option: &str) -> Option<&str> {
        let mut rows = self.book.offers.iter();
        let row = rows.find(|row| row.floorplan == floorplan && row.option == option)?;
        Some(&row.offer)
    }

    /// Whether the floorplan's own rows have a standard of the option's single-choice group.
    fn has_own_standard_beside(&self, option: &str) -> bool {
        let Some(group) = self.single_choice_group(option) else {
            return false;
        };
        self.book.offers.iter().any(|row| {
            let own_standard = row.floorplan == self.floorplan && row.offer == "standard";
            own_standard && self.single_choice_group(&row.option) == Some(group)
        })
    }

    pub fn single_choice_group(&self, option: &str) -> Option<&str> {
        let group = self.book.options.get(option)?.group.as_str();
        let choose = self.book.groups.get(group)?;
        ["one", "at most one"].contains(&choose.as_str()).then_some(group)
    }

    /// The standard options in the order of the offers, a `*` row at its own place.
    pub fn standards(&self) -> Vec<Key> {
        let mut standards = Vec::new();
        for row in self.book.offers.iter().filter(|row| row.offer == "standard") {
            let counts = match row.floorplan.as_str() {
                "*" => {
                    let own = self.offer_row(&self.floorplan, &row.option);
                    own.is_none() && self.offer(&row.option) == "standard"
                }
                floorplan => floorplan == self.floorplan,
            };
            if counts {
                standards.push(row.option.clone());
            }
        }
        standards
    }

    pub fn offers_any_of(&self, group: &str) -> bool {
        let mut options = self.book.options.iter().filter(|(_, row)| row.group == group);
        options.any(|(option, _)| self.offer(option) != "not offered")
    }
}
