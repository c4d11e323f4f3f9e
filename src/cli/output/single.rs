//! One new workbook, which replaces nothing.

use super::{Output, Over, Wanted, folder_and_name, mend};
use crate::base::Shown;
use crate::cli::Failure;
use crate::report::{self, sheet::Workbook};
use std::path::Path;

/// Nothing that exists is written over, and only workbooks are written.
pub fn may_write(out: &Path) -> Result<(), Failure> {
    mend(out)?;
    if out.exists() {
        return Err(Failure::File(format!("{} exists already; nothing was written", out.shown())));
    }
    let ending = out.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("xlsx") => Ok(()),
        _ => Err(Failure::File(format!("can't write {}: only .xlsx is written", out.shown()))),
    }
}

/// Writes a workbook to a file that is not there yet; nothing is replaced, so that nothing that was read can be.
pub fn write_new(out: &Path, workbook: &Workbook<'_>) -> Result<(), Failure> {
    let (folder, name) = folder_and_name(out)?;
    let names = vec![name.clone()];
    let mut output = Output::to(Wanted { folder, names, gone: Vec::new(), over: Over::Nothing, read: &[] })?;
    let bytes = report::to_xlsx_in(workbook, output.room())
        .map_err(|why| Failure::File(format!("can't make {}: {why}", out.shown())))?;
    output.add(&name, |file| file.write_all(&bytes))?;
    output.finish()
}
