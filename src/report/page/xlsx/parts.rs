//! What stands on a sheet besides its cells: real tables, links, small lines and charts.

use super::super::sheet::{Frame, Look, Sheet, Show, Style, TableSpan};
use super::formats::format;
use super::texts::in_cell;
use crate::report::table::Value;
use rust_xlsxwriter as xl;

/// How many links a sheet may have; spreadsheet programs take 65,530.
const MOST_LINKS: usize = 60_000;

/// Fills of a chart's series, told apart in black and white.
const GREYS: [u32; 3] = [0x40_40_40, 0xD9_D9_D9, 0x8C_8C_8C];

/// A real table; its rows may follow, but it writes its headings, so it must know how they look.
pub(super) fn add_table(page: &mut xl::Worksheet, span: &TableSpan) -> Result<(), xl::XlsxError> {
    let look = format(Style { show: Show::Wrapped, look: Look::Heading, lines: Frame::Around });
    let heading = |text: &String| xl::TableColumn::new().set_header(text).set_header_format(&look);
    let columns: Vec<xl::TableColumn> = span.headings.iter().map(heading).collect();
    let table = xl::Table::new().set_name(&span.name).set_columns(&columns).set_style(xl::TableStyle::None);
    page.add_table(span.heading, 0, span.last, span.headings.len() as u16 - 1, &table)?;
    Ok(())
}

/// Text that leads to a file on the same disk, by a path from this workbook's own folder.
pub(super) fn add_links(page: &mut xl::Worksheet, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    for (row, column, target) in sheet.links.iter().take(MOST_LINKS) {
        let Some(cells) = sheet.rows.get(*row as usize).map(|row| &row.cells) else { continue };
        let Some(cell) = cells.iter().find(|cell| cell.column == *column) else { continue };
        let Value::Text(text) = &cell.value else { continue };
        let format = format(cell.style()).set_underline(xl::FormatUnderline::Single);
        let link = xl::Url::new(format!("file:///{target}")).set_text(in_cell(text));
        page.write_url_with_format(*row, *column, link, &format)?;
    }
    Ok(())
}

/// Small lines of numbers, and charts.
pub(super) fn add_pictures(page: &mut xl::Worksheet, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
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
