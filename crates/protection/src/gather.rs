//! Several like pieces gathered into what is placed as one: bare geometry, before any wrap.

use shape::{Part, PartKind, Piece, Placement, Solid, WayUp};

use crate::BundleRule;
use crate::envelope::{Envelope, radius_about_axis};

/// Sizes of the bundles of `count` pieces with at most `most` in each: as even as can be, larger first.
pub(crate) fn even_split(count: u32, most: u32) -> Vec<u32> {
    let bundles = count.div_ceil(most.max(1));
    (0..bundles).map(|at| count / bundles + u32::from(at < count % bundles)).collect()
}

/// Most pieces of this shape that the rule puts in one bundle.
pub(crate) fn most_together(rule: &BundleRule, piece: &Piece) -> u32 {
    match rule {
        // A piece without a pitch never goes into another.
        BundleRule::Nest { .. } if piece.pitch_mm.is_none() => 1,
        _ => rule.most(),
    }
}

/// Parts set down so that the lowest hard point lies at height 0.
pub(crate) fn set_down(parts: &[Part]) -> Vec<Part> {
    let lowest = Envelope::of(parts, |_| 0.0).low[2];
    parts
        .iter()
        .map(|part| Part { placement: Placement::at(0.0, 0.0, -lowest).after(part.placement), ..*part })
        .collect()
}

/// Bare parts of `count` pieces gathered by the rule, `between_mm` of interleaf between two of them.
pub(crate) fn gathered(piece: &Piece, count: u32, between_mm: f64) -> Vec<Part> {
    if count == 1 {
        return set_down(&piece.parts);
    }
    let one = Envelope::of(&piece.parts, |_| 0.0);
    let height = one.side(2);
    let pitch = piece.pitch_mm.unwrap_or(height);
    let height_mm = height + f64::from(count - 1) * (pitch + between_mm);
    let radii: Option<Vec<f64>> = piece.parts.iter().map(radius_about_axis).collect();
    let solid = match radii {
        Some(radii) => Solid::Cylinder { radius_mm: radii.into_iter().fold(0.0, f64::max), height_mm },
        None => Solid::Block { x_mm: one.side(0), y_mm: one.side(1), z_mm: height_mm },
    };
    vec![Part {
        kind: PartKind::Body,
        solid,
        placement: Placement::at(0.0, 0.0, height_mm / 2.0),
        wrap_mm: 0.0,
    }]
}

/// Ways up of a bundle of `count` pieces.
pub(crate) fn ways_up(rule: &BundleRule, ways: &[WayUp], count: u32) -> Vec<WayUp> {
    match rule {
        BundleRule::OnEdge { .. } if count > 1 => vec![WayUp::OnEdge],
        _ => ways.to_vec(),
    }
}

/// What a packer calls a bundle: "cup", "4 saucers on edge".
pub(crate) fn label(rule: &BundleRule, what: &str, count: u32) -> String {
    if count == 1 {
        return what.to_owned();
    }
    let together = match rule {
        BundleRule::Single => "together",
        BundleRule::OnEdge { .. } => "on edge",
        BundleRule::Nest { .. } => "nested",
        BundleRule::FlatStack { .. } => "in a stack",
    };
    format!("{count} {} {together}", measure::plural(what))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_split_is_even_and_conserves_the_count() {
        assert_eq!(even_split(11, 4), [4, 4, 3]);
        assert_eq!(even_split(8, 4), [4, 4]);
        assert_eq!(even_split(5, 4), [3, 2]);
        assert_eq!(even_split(1, 6), [1]);
    }

    #[test]
    fn words_take_their_plural() {
        for (one, many) in [
            ("saucer", "saucers"),
            ("dish", "dishes"),
            ("glass", "glasses"),
            ("tray", "trays"),
            ("knife", "knives"),
        ] {
            assert_eq!(measure::plural(one), many);
        }
    }
}
