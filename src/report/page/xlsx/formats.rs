//! How each style of the sheet model looks on the page.

use super::super::sheet::{Frame, Look, Show, Style};
use super::FONT;
use foldhash::fast::FixedState;
use rust_xlsxwriter as xl;
use std::collections::HashMap;

/// Formats, each made once.
#[derive(Default)]
pub(super) struct Formats(HashMap<Style, xl::Format, FixedState>);

impl Formats {
    /// That of a style.
    pub(super) fn of(&mut self, style: Style) -> &xl::Format {
        self.0.entry(style).or_insert_with(|| format(style))
    }
}

const LINE: xl::FormatBorder = xl::FormatBorder::Hair;

/// How a style is written.
pub(super) fn format(Style { show, look, lines }: Style) -> xl::Format {
    let base = xl::Format::new().set_font_name(FONT).set_font_size(look.points()).set_align(xl::FormatAlign::Top);
    let shown = match show {
        Show::Text => base,
        Show::Wrapped => base.set_text_wrap(),
        // Some programs keep a number off what stands to its right only where its format is the general one.
        Show::Quantity | Show::Whole => base.set_num_format("General"),
        Show::Money => base.set_num_format("#,##0.00"),
        // Never 0.0 where something weighs little.
        Show::Weight => base.set_num_format(r#"[<0.0005]"<0.001";[<0.1]0.000;0.0"#),
        Show::MoreOrLess => base.set_num_format("+0.0;-0.0;0.0"),
        Show::Minutes => base.set_num_format("#,##0.0"),
        Show::Moment => base.set_num_format("ddd d mmm hh:mm").set_align(xl::FormatAlign::Left),
        Show::Clock => base.set_num_format("hh:mm").set_align(xl::FormatAlign::Left),
        Show::Date => base.set_num_format("ddd d mmm").set_align(xl::FormatAlign::Left),
        Show::Box => base.set_align(xl::FormatAlign::Center),
    };
    let looked = match look {
        Look::Plain => shown,
        Look::Wrong => shown.set_bold().set_background_color(xl::Color::RGB(0xE4_E4_E4)),
        Look::Faint => shown.set_font_color(xl::Color::RGB(0x59_59_59)).set_italic(),
        Look::Heading => shown.set_bold().set_background_color(xl::Color::RGB(0xD0_D0_D0)),
        Look::Strong | Look::Title | Look::Section | Look::Large => shown.set_bold(),
    };
    if lines == Frame::None {
        return looked;
    }
    // A bold time would need more room than its column has.
    let looked = if matches!(show, Show::Moment | Show::Date) { unbold(looked, look) } else { looked };
    // Numbers keep off the text that may stand to their right; times stand at the left, as text does.
    let placed = match (show, look) {
        (_, Look::Heading) => looked,
        (Show::Quantity | Show::Whole | Show::Money | Show::Weight | Show::MoreOrLess | Show::Minutes, _) => {
            looked.set_align(xl::FormatAlign::Right).set_indent(1)
        }
        (Show::Moment | Show::Clock | Show::Date, _) => looked.set_align(xl::FormatAlign::Left),
        _ => looked,
    };
    let across = placed.set_border_top(LINE).set_border_bottom(LINE);
    match lines {
        Frame::None | Frame::Between => across,
        Frame::Around => across.set_border_left(LINE).set_border_right(LINE),
        Frame::First => across.set_border_left(LINE),
        Frame::Last => across.set_border_right(LINE),
    }
}

/// Not bold, where only the state of a row made it so.
fn unbold(format: xl::Format, look: Look) -> xl::Format {
    if matches!(look, Look::Wrong | Look::Strong) { format.unset_bold() } else { format }
}
