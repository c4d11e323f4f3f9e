//! The colours of the style sheet, each ink against each ground.

use std::collections::{BTreeMap, BTreeSet};

const STYLE: &str = include_str!("../../../src/cli/look/look.css");

/// A colour's parts of 255.
fn rgb(colour: &str) -> [f64; 3] {
    let digits = colour.trim().strip_prefix('#').unwrap_or_else(|| panic!("a colour in digits: '{colour}'"));
    let digits =
        if digits.len() == 3 { digits.chars().flat_map(|digit| [digit, digit]).collect() } else { digits.to_owned() };
    assert_eq!(digits.len(), 6, "{colour}");
    [0, 2, 4].map(|at| f64::from(u8::from_str_radix(&digits[at..at + 2], 16).expect("digits")))
}

/// The contrast ratio of two colours, from 1 to 21: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, definitions of relative
/// luminance and contrast ratio.
fn contrast(one: &str, other: &str) -> f64 {
    let part = |of: f64| {
        let share = of / 255.0;
        if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    let luminance = |colour: &str| {
        let [red, green, blue] = rgb(colour).map(part);
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    };
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The rules: selectors, and what they declare.
fn rules() -> Vec<(&'static str, Vec<(&'static str, &'static str)>)> {
    let style = STYLE.split_once("*/").expect("a comment first").1;
    let rules = style.split('}').filter_map(|rule| rule.rsplit_once('{'));
    let declared = |body: &'static str| {
        body.split(';').filter_map(|declared| declared.split_once(':')).map(|(name, value)| (name.trim(), value.trim()))
    };
    rules
        .map(|(selectors, body)| (selectors.rsplit('{').next().unwrap_or_default().trim(), declared(body).collect()))
        .collect()
}

/// Text of at least 4.5 to 1 (success criterion 1.4.3), and what a picture draws of 3 to 1 (1.4.11), on every ground there is.
#[test]
fn every_ink_is_dark_enough_on_every_ground() {
    assert!((contrast("#000", "#fff") - 21.0).abs() < 1e-9);
    // The lightest grey that is dark enough on white: known to everybody who works with this formula, from memory.
    assert!(contrast("#767676", "#ffffff") >= 4.5 && contrast("#777777", "#ffffff") < 4.5);
    let rules = rules();
    let names: BTreeMap<&str, &str> =
        rules.iter().flat_map(|(_, body)| body).filter(|(name, _)| name.starts_with("--")).copied().collect();
    let colour = |value: &'static str| -> &str {
        let name = value.strip_prefix("var(").and_then(|name| name.strip_suffix(')'));
        name.map_or(value, |name| names[name])
    };
    let of = |wanted: &dyn Fn(&str, &str) -> bool| -> BTreeSet<&str> {
        let declared = rules
            .iter()
            .flat_map(|(selectors, body)| body.iter().map(move |(name, value)| (*selectors, *name, *value)));
        declared.filter(|(selectors, name, _)| wanted(selectors, name)).map(|(_, _, value)| colour(value)).collect()
    };
    // Words in pictures are filled, and may stand on what is filled there.
    let words = ["text", ".date", ".lane", ".stop-mark"];
    let in_words = |selectors: &str| words.iter().any(|word| selectors.contains(word));
    let inks = of(&|selectors, name| name == "color" || name == "fill" && in_words(selectors));
    let grounds = of(&|selectors, name| name == "background" || name == "fill" && selectors.contains("rect"));
    assert!(inks.len() >= 4 && grounds.len() >= 4, "{inks:?} {grounds:?}");
    for ink in &inks {
        for ground in &grounds {
            let told = contrast(ink, ground);
            assert!(told >= 4.5, "{ink} on {ground}: {told:.2}");
        }
    }
    let pale = |selectors: &str| {
        [".mark", "rect", "table", "th,", "header", "footer", "svg", "details", "fieldset"].contains(&selectors)
    };
    let drawn = of(&|selectors, name| {
        selectors.starts_with("svg .")
            && ["fill", "stroke"].contains(&name)
            && !pale(selectors)
            && !selectors.contains("rect")
            && selectors != "svg .mark"
    });
    assert!(drawn.len() >= 3, "{drawn:?}");
    for colour in drawn {
        let told = contrast(colour, "#fff");
        assert!(told >= 3.0, "{colour} drawn on white: {told:.2}");
    }
}
