//! The outline of what is wrapped, and the sheets it takes to go round it.

use measure::{Area, Length};
use plan::MaterialUse;
use shape::{Part, Placement, Solid};

use crate::material::whole;
use crate::{Material, ProtectionError, Stock};

/// Lap where a wound strip ends on itself. Source: judgement.
const LAP: Length = Length::from_inches(1.0);
/// How far off the axis a part may stand and still count as round about it, mm.
const ROUND_SLACK_MM: f64 = 1e-6;

/// The outline of some hard parts, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Envelope {
    /// Lowest corner.
    pub(crate) low: [f64; 3],
    /// Highest corner.
    pub(crate) high: [f64; 3],
    /// Whether its main part is round about the vertical.
    pub(crate) round: bool,
}

impl Envelope {
    /// Round these parts, each grown by what `thickness` says, mm.
    pub(crate) fn of(parts: &[Part], thickness: impl Fn(&Part) -> f64) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for part in parts {
            let grown = part.solid.grown(thickness(part));
            for axis in 0..3 {
                let (from, to) = part.placement.extent_mm(grown, axis);
                low[axis] = low[axis].min(from);
                high[axis] = high[axis].max(to);
            }
        }
        Self { low, high, round: parts.first().is_some_and(|part| radius_about_axis(part).is_some()) }
    }

    pub(crate) fn side(&self, axis: usize) -> f64 {
        self.high[axis] - self.low[axis]
    }

    pub(crate) fn volume_mm3(&self) -> f64 {
        (0..3).map(|axis| self.side(axis)).product()
    }

    /// Round the outline across `axis`, lying `out` mm outside it.
    fn perimeter(&self, axis: usize, out: f64) -> f64 {
        let (p, q) = (self.side((axis + 1) % 3) + 2.0 * out, self.side((axis + 2) % 3) + 2.0 * out);
        if axis == 2 && self.round {
            // A round body with what stands out of it on two sides: half circles joined by straights.
            std::f64::consts::PI * p.min(q) + 2.0 * (p - q).abs()
        } else {
            2.0 * (p + q)
        }
    }

    /// Whole stock sheets for a strip wound about one of the axes with its ends folded in, whichever way
    /// takes fewest. `inner_mm` is the thickness of wrap already on it.
    fn wound(&self, sides_in: [f64; 2], layer: Length, layers: u32, inner_mm: f64) -> u32 {
        let [a, b] = sides_in.map(|side| Length::from_inches(side).mm());
        (0..3)
            .map(|axis| {
                let at = |count: u32| inner_mm + layer.mm() * f64::from(count);
                let long = LAP.mm() + (1..=layers).map(|count| self.perimeter(axis, at(count))).sum::<f64>();
                let outer = 2.0 * at(layers);
                let fold = self.side((axis + 1) % 3).min(self.side((axis + 2) % 3)) + outer;
                let wide = self.side(axis) + outer + fold;
                let count = |along: f64, across: f64| whole(long / along) * whole(wide / across);
                count(a, b).min(count(b, a))
            })
            .min()
            .unwrap_or(0)
    }

    /// What one course of wrap over `inner_mm` of wrap uses.
    pub(crate) fn course(
        &self,
        material: &Material,
        layers: u32,
        inner_mm: f64,
    ) -> Result<MaterialUse, ProtectionError> {
        match (&material.stock, material.layer()) {
            (Stock::Sheet { sides_in, .. }, Some(layer)) => {
                material.sheets(self.wound(*sides_in, layer, layers, inner_mm))
            }
            // Board does not bend: it goes on the two largest faces.
            _ => material.board(Area::from_mm2(2.0 * f64::from(layers) * self.largest_face(inner_mm))),
        }
    }

    fn largest_face(&self, out: f64) -> f64 {
        let sides = [0, 1, 2].map(|axis| self.side(axis) + 2.0 * out);
        (sides[0] * sides[1]).max(sides[1] * sides[2]).max(sides[2] * sides[0])
    }

    /// What the layers between pieces use: `pieces` of them as large as the outline seen from above.
    pub(crate) fn interleaves(
        &self,
        material: &Material,
        pieces: u32,
    ) -> Result<MaterialUse, ProtectionError> {
        let (x, y) = (self.side(0), self.side(1));
        let Stock::Sheet { sides_in, .. } = &material.stock else {
            return material.board(Area::from_mm2(x * y * f64::from(pieces)));
        };
        let [a, b] = sides_in.map(|side| Length::from_inches(side).mm());
        let sheets = |x: f64, y: f64| {
            // As is floor: a sheet gives whole pieces only. Both counts are small and positive.
            let from_one = ((a / x + 1e-9) as u32).saturating_mul((b / y + 1e-9) as u32);
            if from_one > 0 { pieces.div_ceil(from_one) } else { pieces * whole(x / a) * whole(y / b) }
        };
        material.sheets(sheets(x, y).min(sheets(y, x)))
    }
}

/// Radius of a part that is round about the piece's vertical axis.
pub(crate) fn radius_about_axis(part: &Part) -> Option<f64> {
    let radius = match part.solid {
        Solid::Cylinder { radius_mm, .. } => radius_mm,
        Solid::Frustum { bottom_radius_mm, top_radius_mm, .. } => bottom_radius_mm.max(top_radius_mm),
        Solid::Block { .. } => return None,
    };
    let [x, y, _] = part.placement.at_mm;
    let up = part.placement.direction([0.0, 0.0, 1.0])[2].abs();
    (x.hypot(y) < ROUND_SLACK_MM && up > 1.0 - 1e-12).then_some(radius)
}

/// What the layers of a guard on one part come to: the length of the part and the area of the strip.
pub(crate) fn guard_size(part: &Part) -> (Length, Area) {
    let sides = [0, 1, 2].map(|axis| {
        let (from, to) = Placement::IDENTITY.extent_mm(part.solid, axis);
        to - from
    });
    let long = sides.into_iter().fold(0.0, f64::max);
    let girth = 2.0 * (sides.iter().sum::<f64>() - long);
    (Length::from_mm(long), Area::from_mm2(long * girth))
}

/// Volume of wrapped parts, mm3: at least the largest of them, at most their outline. Where two outlines
/// overlap, the overlap counts once, and what is uncertain counts as void, so that fill is not hoped away.
pub(crate) fn wrapped_volume_mm3(parts: &[Part]) -> f64 {
    let boxes: Vec<(Envelope, f64)> = parts
        .iter()
        .map(|part| {
            let envelope = Envelope::of(std::slice::from_ref(part), |part| part.wrap_mm);
            (envelope, part.solid.grown(part.wrap_mm).volume_mm3())
        })
        .collect();
    let largest = boxes.iter().map(|(_, volume)| *volume).fold(0.0, f64::max);
    let mut sum = 0.0;
    // Each part adds at most what its box holds outside the boxes before it, so that the sum stays
    // within the outline of them all.
    for (at, (envelope, volume)) in boxes.iter().enumerate() {
        let shared: f64 = boxes[..at].iter().map(|(other, _)| overlap_mm3(envelope, other)).sum();
        sum += volume * (1.0 - shared / envelope.volume_mm3()).max(0.0);
    }
    sum.max(largest)
}

fn overlap_mm3(a: &Envelope, b: &Envelope) -> f64 {
    (0..3).map(|axis| (a.high[axis].min(b.high[axis]) - a.low[axis].max(b.low[axis])).max(0.0)).product()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Materials;
    use shape::PartKind;

    fn cylinder(diameter_in: f64, height_in: f64) -> Envelope {
        let (radius_mm, height_mm) = (diameter_in * 12.7, height_in * 25.4);
        let solid = Solid::Cylinder { radius_mm, height_mm };
        let part = Part {
            kind: PartKind::Body,
            solid,
            placement: Placement::at(0.0, 0.0, height_mm / 2.0),
            wrap_mm: 0.0,
        };
        Envelope::of(&[part], |_| 0.0)
    }

    #[test]
    fn one_square_goes_once_round_a_small_mug() {
        let materials = Materials::published();
        let bubble = materials.find("bubble_small").expect("bubble");
        let used = cylinder(3.1, 3.4).course(bubble, 1, 0.0).expect("use");
        assert_eq!((used.quantity, used.unit.as_str()), (1.0, "sheet"));
        assert_eq!(cylinder(3.1, 3.4).course(bubble, 2, 0.0).expect("use").quantity, 2.0);
        // 11.4 in round and 1 in of lap are more than one square.
        assert_eq!(cylinder(3.3, 3.4).course(bubble, 1, 0.0).expect("use").quantity, 2.0);
    }

    #[test]
    fn several_small_interleaves_come_from_one_sheet() {
        let materials = Materials::published();
        let foam = materials.find("foam_8").expect("foam");
        assert_eq!(cylinder(5.5, 0.9).interleaves(foam, 6).expect("use").quantity, 2.0);
        assert_eq!(cylinder(10.25, 0.9).interleaves(foam, 6).expect("use").quantity, 6.0);
        assert_eq!(cylinder(13.0, 0.9).interleaves(foam, 2).expect("use").quantity, 8.0);
    }
    #[test]
    fn what_stands_out_of_a_body_counts_once_its_root_not_again() {
        let block = |kind, x_mm, side, at| Part {
            kind,
            solid: Solid::Block { x_mm, y_mm: side, z_mm: side },
            placement: Placement::at(at, 0.0, 50.0),
            wrap_mm: 10.0,
        };
        let body = block(PartKind::Body, 100.0, 100.0, 0.0);
        let handle = block(PartKind::Handle, 50.0, 20.0, 55.0);
        let volume = wrapped_volume_mm3(&[body, handle]);
        // Grown body 120 x 120 x 120; of the grown handle 30 x 40 x 40 stands out.
        assert!((volume - (1_728_000.0 + 48_000.0)).abs() < 1e-6, "{volume}");
    }
}
