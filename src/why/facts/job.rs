//! Facts of a job: its shop, its times, what it waits for.

use crate::base::{Moment, Quantity, Ratio};
use serde::Serialize;

/// A job.
#[derive(Debug, Serialize)]
pub struct JobFacts {
    /// Its name.
    pub job: String,
    /// The code of where it is built.
    pub shop: String,
    /// The shop's name.
    pub shop_name: String,
    /// The crew, from 1.
    pub crew: u32,
    /// What it builds.
    pub part: String,
    /// How much.
    pub qty: Quantity,
    /// Where to.
    pub to: String,
    /// When that is needed.
    pub need: Moment,
    /// Its length in minutes.
    pub minutes: Ratio,
    /// Whether it has begun.
    pub started: bool,
    /// Before this it can't start.
    pub release: Moment,
    /// By then it should be finished.
    pub due: Moment,
    /// Its earliest start.
    pub earliest: Moment,
    /// Its start, as late as possible.
    pub start: Moment,
    /// When it is finished.
    pub finish: Moment,
    /// When what it builds is there, its late material not waited for.
    pub available: Moment,
    /// The same with its late material waited for; `None` where nothing says when.
    pub there: Option<Moment>,
    /// How many minutes that is late; `None` where nothing says when it is there.
    pub late_minutes: Option<i64>,
    /// By-products of the unit it has to wait for.
    pub waits_for: Vec<String>,
    /// The job its crew does just before, and when that is finished.
    pub after: Option<(String, Moment)>,
    /// `ready`, `late`, `short` or `issued`.
    pub material: &'static str,
    /// When the last of the material is there, where it is late.
    pub material_at: Option<Moment>,
}
