//! The sheet model as an `.xlsx` workbook; the one folder that knows the spreadsheet writer.

mod fill;
mod formats;

use super::sheet::{Look, Paper, Sheet, Show, Style, Workbook};
use super::table::Value;
use formats::format;
use rayon::prelude::*;
use rust_xlsxwriter as xl;

const FONT: &str = "Arial";
const SIZE: u32 = 10;
/// A row and a column of that font, as a spreadsheet program makes them.
const ROW_PIXELS: u32 = 17;
const COLUMN_PIXELS: u32 = 64;

/// How many links a sheet may have; spreadsheet programs take 65,530.
const MOST_LINKS: usize = 60_000;

/// How hard files are packed, from 1 to 9: packing costs as much time as all else, and harder saves little.
const PACKING: u8 = 1;

/// Fills of a chart's series, told apart in black and white.
const GREYS: [u32; 3] = [0x40_40_40, 0xD9_D9_D9, 0x8C_8C_8C];

/// The bytes of a workbook; the same model gives the same bytes.
///
/// # Errors
/// Where the spreadsheet writer refuses a name or a range.
pub fn to_xlsx(workbook: &Workbook<'_>) -> Result<Vec<u8>, xl::XlsxError> {
    let mut book = xl::Workbook::new();
    book.set_zip_compression_level(PACKING);
    // A fixed time: two runs give the same file.
    let made = xl::ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&xl::DocProperties::new().set_title(&workbook.title).set_creation_datetime(&made));
    // Column widths count in digits of the default font: the sheets' own, which every program has or has the like of.
    book.set_default_format(&xl::Format::new().set_font_name(FONT).set_font_size(SIZE), ROW_PIXELS, COLUMN_PIXELS)?;
    workbook.sheets.iter().for_each(|_| _ = book.add_worksheet());
    let pages = book.worksheets_mut().par_iter_mut().zip(&workbook.sheets);
    pages.try_for_each(|(page, sheet)| make(page, workbook, sheet))?;
    book.save_to_buffer()
}

fn make(page: &mut xl::Worksheet, workbook: &Workbook<'_>, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    page.set_name(&sheet.name)?;
    set_up_page(page, workbook, sheet)?;
    fill::fill(page, sheet)?;
    add_links(page, sheet)?;
    add_tables(page, sheet)?;
    add_pictures(page, sheet)
}

fn set_up_page(page: &mut xl::Worksheet, workbook: &Workbook<'_>, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    for (i, width) in sheet.widths.iter().enumerate() {
        page.set_column_width(i as u16, *width)?;
    }
    let plain = |text: &str| text.replace('&', "&&");
    page.set_landscape().set_paper_size(9).set_margins(0.4, 0.4, 0.6, 0.6, 0.3, 0.3);
    page.set_header(format!("&L{}&R{}", plain(&workbook.title), plain(&sheet.name)));
    page.set_footer(format!("&L{}&Rpage &P of &N", plain(&workbook.foot)));
    match sheet.paper {
        Paper::FitWidth => page.set_print_fit_to_pages(1, 0),
        Paper::OnePage => page.set_print_fit_to_pages(1, 1),
        Paper::Scale(percent) => page.set_print_scale(percent),
    };
    if let Some((first, last)) = sheet.repeat {
        page.set_repeat_rows(first, last)?;
    }
    if sheet.freeze.is_some() || sheet.freeze_columns > 0 {
        page.set_freeze_panes(sheet.freeze.unwrap_or(0), sheet.freeze_columns)?;
    }
    if !sheet.breaks.is_empty() {
        page.set_page_breaks(&sheet.breaks)?;
    }
    Ok(())
}

/// Text that leads to a file on the same disk, by a path from this workbook's own folder.
fn add_links(page: &mut xl::Worksheet, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    for (row, column, target) in sheet.links.iter().take(MOST_LINKS) {
        let Some(cells) = sheet.rows.get(*row as usize).map(|row| &row.cells) else { continue };
        let Some(cell) = cells.iter().find(|cell| cell.column == *column) else { continue };
        let Value::Text(text) = &cell.value else { continue };
        let format = format(cell.style()).set_underline(xl::FormatUnderline::Single);
        let link = xl::Url::new(format!("file:///{target}")).set_text(text.as_ref());
        page.write_url_with_format(*row, *column, link, &format)?;
    }
    Ok(())
}

fn add_tables(page: &mut xl::Worksheet, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    // A real table writes its headings again, so it must know how they look.
    let look = format(Style { show: Show::Wrapped, look: Look::Heading, ruled: true });
    for span in &sheet.tables {
        let heading = |text: &String| xl::TableColumn::new().set_header(text).set_header_format(&look);
        let columns: Vec<xl::TableColumn> = span.headings.iter().map(heading).collect();
        let table = xl::Table::new().set_name(&span.name).set_columns(&columns).set_style(xl::TableStyle::None);
        page.add_table(span.heading, 0, span.last, span.headings.len() as u16 - 1, &table)?;
    }
    Ok(())
}

fn add_pictures(page: &mut xl::Worksheet, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    for spark in &sheet.sparks {
        let range = (sheet.name.as_str(), spark.row, spark.from.0, spark.row, spark.from.1);
        let line = xl::Sparkline::new().set_range(range).set_sparkline_color(xl::Color::Black).set_line_weight(1.25);
        page.add_sparkline(spark.row, spark.column, &line)?;
    }
    for chart in &sheet.charts {
        let mut picture = xl::Chart::new(xl::ChartType::Column);
        picture.title().set_name(&chart.title);
        picture.y_axis().set_name(&chart.unit);
        picture.x_axis().set_num_format("ddd d mmm").set_text_axis(true);
        picture.legend().set_position(xl::ChartLegendPosition::Bottom);
        picture.set_width(chart.size.0).set_height(chart.size.1);
        for ((name, column), grey) in chart.series.iter().zip(GREYS.iter().cycle()) {
            let rows = chart.rows;
            picture
                .add_series()
                .set_name(name)
                .set_categories((sheet.name.as_str(), rows.0, chart.categories, rows.1, chart.categories))
                .set_values((sheet.name.as_str(), rows.0, *column, rows.1, *column))
                .set_format(
                    xl::ChartFormat::new()
                        .set_solid_fill(xl::ChartSolidFill::new().set_color(xl::Color::RGB(*grey)))
                        .set_border(xl::ChartLine::new().set_color(xl::Color::Black).set_width(0.75)),
                );
        }
        page.insert_chart(chart.at.0, chart.at.1, &picture)?;
    }
    Ok(())
}
