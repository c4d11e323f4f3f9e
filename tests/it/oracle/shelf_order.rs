//! Sorts storage locations as a person reads them: digit runs as numbers, before other text.

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Piece {
    Number(u128),
    Sign(char),
}

/// A location as pieces that sort.
pub fn pieces(location: &str) -> Vec<Piece> {
    let lower = location.to_lowercase();
    let mut pieces = Vec::new();
    let mut rest = lower.as_str();
    while let Some(first) = rest.chars().next() {
        if first.is_ascii_digit() {
            let end = rest.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(rest.len());
            pieces.push(Piece::Number(rest[..end].parse().unwrap_or(u128::MAX)));
            rest = &rest[end..];
        } else {
            pieces.push(Piece::Sign(first));
            rest = &rest[first.len_utf8()..];
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_person_goes_from_a_2_to_a_10() {
        let mut places = ["B-1", "A-10-1", "a-2-1", "A-2", "A1", "AB-1", "", "7", "A-2-10"];
        places.sort_by_key(|place| pieces(place));
        assert_eq!(places, ["", "7", "A1", "A-2", "a-2-1", "A-2-10", "A-10-1", "AB-1", "B-1"]);
    }
}
