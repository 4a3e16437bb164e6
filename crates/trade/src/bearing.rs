//! The areas that a piece bears on its cushion with: standing, and lying on its sides.

use measure::{Area, Length};
use shape::{Part, PartKind, Solid};

/// How far a piece sinks in before its bearing area is taken: what has come to bear by then counts (judgement;
/// a plate on edge then bears on 2 to 4 in2, which is what is reckoned for it).
const SUNK: Length = Length::from_inches(0.25);

/// The way a piece bears on its cushion.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// On an area that was told.
    Told,
    /// As it stands on a table.
    Standing,
    /// On its longer side.
    OnItsSide,
    /// On its shorter side.
    OnItsEnd,
}

impl Way {
    /// How it is said of a piece ("standing").
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Told => "bearing",
            Self::Standing => "standing",
            Self::OnItsSide => "on its side",
            Self::OnItsEnd => "on its end",
        }
    }
}

/// An area and the way it comes about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// The way.
    pub way: Way,
    /// The area that bears on the cushion.
    pub area: Area,
}

/// The areas of a block with these sides: as it stands on the first two, on its side, on its end.
#[must_use]
pub fn bearings_of_block([length, width, height]: [Length; 3]) -> [Bearing; 3] {
    let (long, short) = (length.max(width), length.min(width));
    let bearing = |way, a: Length, b: Length| Bearing { way, area: Area::from_mm2(a.mm() * b.mm()) };
    [
        bearing(Way::Standing, long, short),
        bearing(Way::OnItsSide, long, height),
        bearing(Way::OnItsEnd, short, height),
    ]
}

/// The ways that bare parts standing upright bear, standing first. Handles, spouts and lids are left out: nothing may rest on them.
///
/// A flat face bears whole, a round one with what has sunk in by a quarter of an inch.
#[must_use]
pub fn bearings(parts: &[Part]) -> Vec<Bearing> {
    let bearing: Vec<&Part> = parts.iter().filter(|part| bears(part.kind)).collect();
    // A lid packed apart is all there is to bear.
    let parts = if bearing.is_empty() { parts.iter().collect() } else { bearing };
    let mut found = vec![Bearing { way: Way::Standing, area: Area::from_mm2(standing(&parts)) }];
    let end = lying(&parts, 0);
    let side = lying(&parts, 1);
    found.push(Bearing { way: Way::OnItsSide, area: Area::from_mm2(side.max(end)) });
    // A round piece is alike all round.
    if parts.iter().any(|part| matches!(part.solid, Solid::Block { .. })) {
        found.push(Bearing { way: Way::OnItsEnd, area: Area::from_mm2(side.min(end)) });
    }
    found
}

const fn bears(kind: PartKind) -> bool {
    match kind {
        PartKind::Body | PartKind::Stem | PartKind::Foot => true,
        PartKind::Handle | PartKind::Spout | PartKind::Knob | PartKind::Lid => false,
    }
}

/// Area (mm2) of the largest part among those that stand on the table.
fn standing(parts: &[&Part]) -> f64 {
    let bottom = |part: &Part| part.placement.extent_mm(part.solid, 2).0;
    let lowest = parts.iter().map(|part| bottom(part)).fold(f64::INFINITY, f64::min);
    let foot = |part: &&&Part| bottom(part) <= lowest + SUNK.mm();
    parts.iter().filter(foot).map(|part| base(part.solid)).fold(0.0, f64::max)
}

fn base(solid: Solid) -> f64 {
    let disc = |radius: f64| std::f64::consts::PI * radius * radius;
    match solid {
        Solid::Cylinder { radius_mm, .. } => disc(radius_mm),
        Solid::Frustum { bottom_radius_mm, .. } => disc(bottom_radius_mm),
        Solid::Block { x_mm, y_mm, .. } => x_mm * y_mm,
    }
}

/// Area (mm2) of all that has sunk in when the piece lies on the side that looks along `axis` (0 or 1).
fn lying(parts: &[&Part], axis: usize) -> f64 {
    let reach = |part: &Part| part.placement.extent_mm(part.solid, axis).1;
    let farthest = parts.iter().map(|part| reach(part)).fold(0.0, f64::max);
    parts.iter().map(|part| sunk(part.solid, axis, SUNK.mm() - (farthest - reach(part)))).sum()
}

/// Area (mm2) of an upright solid that lies this deep (mm) in its cushion.
fn sunk(solid: Solid, axis: usize, depth: f64) -> f64 {
    if depth <= 0.0 {
        return 0.0;
    }
    let chord = |radius: f64| {
        let depth = depth.min(radius);
        2.0 * (depth * (2.0 * radius - depth)).max(0.0).sqrt()
    };
    match solid {
        Solid::Cylinder { radius_mm, height_mm } => chord(radius_mm) * height_mm,
        // Of a cone only the length near its wide end has sunk in.
        Solid::Frustum { bottom_radius_mm: a, top_radius_mm: b, height_mm } => {
            let taper = (a - b).abs();
            let share = if taper > depth { depth / taper } else { 1.0 };
            chord(a.max(b)) * height_mm * share
        }
        Solid::Block { x_mm, y_mm, z_mm } => z_mm * if axis == 0 { y_mm } else { x_mm },
    }
}

#[cfg(test)]
mod tests {
    use forms::{Catalogue, Measures};

    use super::*;

    fn of(form: &str) -> Vec<(Way, f64)> {
        let built = Catalogue::published().find(form).expect(form).piece(&Measures::default()).expect(form);
        bearings(&built.piece.parts).iter().map(|one| (one.way, one.area.square_feet() * 144.0)).collect()
    }

    #[test]
    fn a_mug_stands_on_its_whole_disc() {
        let [(Way::Standing, stands), (Way::OnItsSide, lies)] = of("mug")[..] else { panic!("two ways") };
        assert!((stands - std::f64::consts::PI * 1.6 * 1.6).abs() < 1e-6, "{stands}");
        // Its chord a quarter of an inch deep, times its height.
        assert!((lies - 2.0 * (0.25f64 * 2.95).sqrt() * 3.75).abs() < 1e-6, "{lies}");
    }

    #[test]
    fn a_plate_on_edge_bears_on_two_to_four_square_inches() {
        let ways = of("dinner plate");
        assert!((2.0..=4.0).contains(&ways[1].1), "{ways:?}");
        assert!(ways[0].1 > 60.0, "{ways:?}");
    }

    #[test]
    fn a_goblet_stands_on_its_foot() {
        let built = Catalogue::published().find("wine glass").expect("form").piece(&Measures::default());
        let built = built.expect("piece");
        let foot = built.used.iter().find(|figure| figure.name == "foot_diameter").expect("a foot");
        let forms::Value::Length(across) = foot.value else { panic!("a length") };
        let area = bearings(&built.piece.parts)[0].area.mm2();
        assert!((area - std::f64::consts::PI * (0.5 * across.mm()).powi(2)).abs() < 1e-6, "{area}");
    }

    #[test]
    fn every_form_bears_on_something_every_way() {
        for form in Catalogue::published().forms() {
            let piece = form.piece(&Measures::default()).expect("a piece").piece;
            for bearing in bearings(&piece.parts) {
                let in2 = bearing.area.square_feet() * 144.0;
                assert!((0.05..2000.0).contains(&in2), "{}: {bearing:?}", form.id);
            }
        }
    }

    #[test]
    fn a_block_bears_with_its_own_sides_in_falling_order() {
        let [stands, side, end] = bearings_of_block([4.0, 6.0, 2.0].map(Length::from_inches));
        let in2 = |bearing: Bearing| bearing.area.square_feet() * 144.0;
        assert!((in2(stands) - 24.0).abs() < 1e-9);
        assert!((in2(side) - 12.0).abs() < 1e-9 && (in2(end) - 8.0).abs() < 1e-9);
    }
}
