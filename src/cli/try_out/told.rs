//! What `try` tells, as text and as JSON.

use super::Args;
use crate::base::Shown;
use crate::compare::{self, Notice, Side};
use crate::trial::{self, Changed, Instead, Measure};
use serde::Serialize;
use std::fmt::Write;

/// So many lines of each section are printed: of the notice of what was changed, and of each proposal's.
const SHOWN: [usize; 2] = [10, 3];

/// How a plan stands.
#[derive(Serialize)]
pub(super) struct Standing {
    pub(super) plan: Side,
    pub(super) units: String,
    pub(super) the_line: String,
    pub(super) measure: Measure,
}

/// How the book stands before anything is changed.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum Before {
    Planned(Box<Standing>),
    /// It holds errors, which a change may mend.
    Not {
        plan: Side,
        cannot_be_planned: String,
    },
}

/// What the changed cells do; there is no notice where there was no plan before.
#[derive(Serialize)]
pub(super) struct WhatIf {
    pub(super) changed: Vec<Changed>,
    /// `one crew less in CABSHOP, Tue 14 Sep 09:00 to Wed 15 Sep 00:00`
    pub(super) crews_less: Vec<String>,
    pub(super) would_be: Standing,
    pub(super) notice: Option<Notice>,
}

/// All that is told.
#[derive(Serialize)]
pub(super) struct Report {
    pub(super) as_it_is: Before,
    pub(super) what_if: Option<WhatIf>,
    pub(super) instead: Instead,
}

impl Before {
    /// Which plan it is.
    pub(super) fn plan(&self) -> &Side {
        match self {
            Self::Planned(standing) => &standing.plan,
            Self::Not { plan, .. } => plan,
        }
    }
}

impl Standing {
    fn words(&self) -> String {
        format!("the line: {}\nunits: {}\n", self.the_line, self.units)
    }
}

/// In words.
pub(super) fn told(args: &Args, report: &Report) -> String {
    let [most, short] = SHOWN.map(|usual| args.noticing.most(usual));
    let picked = args.noticing.picked_through.is_some();
    let mut text = format!("{}\n", report.as_it_is.plan());
    // An edit of the book's own moment: then two moments are compared, and both are told.
    let would_be = report.what_if.as_ref().map(|what_if| &what_if.would_be.plan);
    if let Some(would_be) = would_be.filter(|would_be| would_be.as_of != report.as_it_is.plan().as_of) {
        let _ = writeln!(text, "against {would_be}");
    }
    // Writing to a string can't fail.
    if let Before::Not { cannot_be_planned, .. } = &report.as_it_is {
        let _ = writeln!(text, "as it is it can't be planned: {cannot_be_planned} ('lineward check' tells them)");
    }
    let changed = report.what_if.iter().flat_map(|what_if| &what_if.changed);
    changed.for_each(|changed| text += &format!("tried: {changed}\n"));
    let less = report.what_if.iter().flat_map(|what_if| &what_if.crews_less);
    less.for_each(|less| text += &format!("tried: {less}\n"));
    match (&report.as_it_is, &report.what_if) {
        (Before::Planned(was), Some(WhatIf { would_be: is, notice, .. })) => {
            let _ = writeln!(text, "the line: {}\n     was: {}", is.the_line, was.the_line);
            let _ = writeln!(text, "units: {}\n  was: {}", is.units, was.units);
            let _ = writeln!(text, "cost: {}", trial::costs(&is.measure, &was.measure, picked));
            let notice = notice.as_ref().map(|notice| compare::text(notice, most)).unwrap_or_default();
            let _ = write!(text, "what changes:\n{notice}");
        }
        (Before::Planned(only), None) => text += &only.words(),
        (_, Some(what_if)) => text += &what_if.would_be.words(),
        (Before::Not { .. }, None) => {}
    }
    text += &trial::instead_text(&report.instead, picked, short);
    text += args.noticing.hint(&text);
    if let Some(out) = &args.out {
        let _ = writeln!(text, "written to {}", out.shown());
    }
    text
}
