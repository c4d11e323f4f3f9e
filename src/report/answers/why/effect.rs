//! What the part's missing pieces do to the line, in a sentence each.

use crate::report::prose::{Prose, amount};
use crate::why::facts::{EffectFacts, Why};

/// Writes it, where something is missing.
pub fn write(why: &Why, prose: &mut Prose) {
    if why.effects.is_empty() {
        return;
    }
    prose.heading("What it does to the line");
    why.effects.iter().for_each(|effect| {
        prose.line(2, &sentence(effect, &why.part.uom));
    });
}

fn sentence(effect: &EffectFacts, uom: &str) -> String {
    let piece = format!("{} for {}", amount(effect.qty, uom), effect.to);
    let there = match effect.there {
        Some(at) => format!("there {}", at.short()),
        None => "with nothing to say when it comes".to_owned(),
    };
    let does = match (effect.what, effect.stop_minutes) {
        ("stops the line", Some(minutes)) => {
            format!("stops the line for {minutes} of its working minutes by itself{}", adds(effect, minutes))
        }
        ("stops the line", None) => "stops the line, for how long is not known".to_owned(),
        ("can follow", _) => can_follow(effect),
        _ => "comes with a special run, before the unit does".to_owned(),
    };
    let hand_over = match (&effect.hand_over_at, effect.what, effect.there) {
        (Some(at), ..) => format!("; it is handed over at {at}"),
        (None, "can follow", Some(_)) => "; it is off the line before this can be handed over".to_owned(),
        _ => String::new(),
    };
    let because = match effect.because.as_slice() {
        [] => String::new(),
        [part] => format!(" The job waits for {part}, which is late."),
        parts => format!(" The job waits for {}, which are late.", parts.join(" and ")),
    };
    let saves =
        effect.saves_until.map(|until| format!(" It saves the line until {}.", until.short())).unwrap_or_default();
    format!("{piece}, {there}, {does}: the unit arrives {}{hand_over}.{saves}{because}", effect.arrives.short())
}

/// What it adds to what the line loses, where that is not what it stops by itself.
fn adds(effect: &EffectFacts, minutes: i64) -> String {
    match (effect.adds_seconds.map(crate::report::line_words::minutes), &effect.behind) {
        (Some(0), Some(unit)) => format!(", but adds nothing to what it loses, behind {unit}"),
        (Some(adds), _) if adds != minutes => format!(", and adds {adds} to what it loses"),
        _ => String::new(),
    }
}

fn can_follow(effect: &EffectFacts) -> String {
    match &effect.left {
        Some(station) => {
            format!("can follow, as the unit has left {station}, the last station where it could be fitted")
        }
        None if effect.at_shop => "can follow, as the line does not wait for what is made of it".to_owned(),
        None => "can follow, as the book says where it can be fitted last".to_owned(),
    }
}
