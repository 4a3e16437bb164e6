//! A packed parcel as masses on cushions.

use cushion::{Cushions, Hits};
use impact::{Axis, Layer, Link, Mass, Network};
use plan::Parcel;

use crate::columns::{Cushioned, End, cushions};
use crate::{DropTestError, Guarded};

/// Metres in a millimetre.
const M: f64 = 1e-3;
/// Inches in a millimetre.
const IN: f64 = 1.0 / 25.4;
/// Pascals in a pound per square inch.
const PA: f64 = 6_894.757_293_168_361;
/// Fill thinner than this between two wraps counts as none, mm.
const NO_FILL_MM: f64 = 0.5;
/// Thinnest layer that is told apart, mm.
const NO_LAYER_MM: f64 = 0.05;
/// Least mass of a pad, kg.
const LEAST_PAD_KG: f64 = 0.005;
/// tan x at the least of tan x / -ln cos x (derived).
const BEST_TANGENT: f64 = 1.980_291_3;
/// Modulus of a cushion of which only a factor is known, Pa (judgement: a hand presses it).
const BARE_PA: f64 = 1e5;
/// Least mass of an inner carton with what fills it, kg.
const LEAST_BOX_KG: f64 = 0.05;
/// Share of speed that a cushion gives back (judgement: packages rebound to a tenth or two of the height).
const RESTITUTION: f64 = 0.4;

/// Materials that fill a parcel.
#[derive(Debug, Clone, Copy)]
pub struct Filling<'a> {
    /// Cushioning figures.
    pub cushions: &'a Cushions,
    /// Key of the void fill.
    pub fill: &'a str,
    /// Mass of a pad, g per mm2.
    pub pad_g_mm2: f64,
}

/// A network with where each cushion came from.
pub(crate) struct Built {
    pub network: Network,
    /// One entry per link; `None` between the boxes of a box in a box.
    pub columns: Vec<Option<Cushioned>>,
    /// Centre of mass of the contents in the carton that lands, mm.
    pub centre_mm: [f64; 3],
}

/// The masses of a parcel (bundles, then pads, then the inner carton) and the cushions between them.
pub(crate) fn build(
    parcel: &Parcel,
    guarded: &[Guarded],
    filling: &Filling<'_>,
) -> Result<Built, DropTestError> {
    let pieces = parcel.holding();
    if guarded.len() != pieces.bundles.len() {
        return Err(DropTestError::Guarded { bundles: pieces.bundles.len(), guarded: guarded.len() });
    }
    let mut network = Network::default();
    for (bundle, guard) in pieces.bundles.iter().zip(guarded) {
        let (_, bears) =
            guard.weakest().ok_or_else(|| DropTestError::BearsNothing { label: bundle.label.clone() })?;
        network.masses.push(Mass::new(bundle.mass_g * M).bearing(bears));
    }
    let [length, width, _] = pieces.carton.inside_mm;
    let thinnest = pieces.pads.iter().map(|pad| pad.thickness_mm).fold(f64::INFINITY, f64::min);
    for pad in &pieces.pads {
        let sheets = (pad.thickness_mm / thinnest).round().max(1.0);
        let kilograms = filling.pad_g_mm2 * length * width * sheets * M;
        network.masses.push(Mass::new(kilograms.max(LEAST_PAD_KG)));
    }
    let mut built = Built { network, columns: Vec::new(), centre_mm: centre(parcel) };
    let wall = if parcel.inner.is_some() {
        // What is in the inner carton beside pieces and pads moves with it.
        let held: f64 = built.network.masses.iter().map(|mass| mass.mass_kg).sum();
        built.network.masses.push(Mass::new((pieces.gross_g * M - held).max(LEAST_BOX_KG)));
        impact::End::Mass(built.network.masses.len() - 1)
    } else {
        impact::End::Wall
    };
    let bundles = pieces.bundles.len();
    let inside = |end: End| match end {
        End::Low | End::High => wall,
        End::Bundle(index) => impact::End::Mass(index),
        End::Pad(index) => impact::End::Mass(bundles + index),
    };
    built.link(pieces, guarded, filling, &inside, true)?;
    if parcel.inner.is_some() {
        // The outer carton holds the inner one alone, bare.
        let bare = [Guarded { wrap: Vec::new(), guard: None, bears: Vec::new() }];
        let between = |end: End| match end {
            End::Bundle(_) => wall,
            End::Low | End::High | End::Pad(_) => impact::End::Wall,
        };
        built.link(parcel, &bare, filling, &between, false)?;
    }
    Ok(built)
}

impl Built {
    /// Links whatever stands between hard things of one carton.
    fn link(
        &mut self,
        parcel: &Parcel,
        guarded: &[Guarded],
        filling: &Filling<'_>,
        mass: &dyn Fn(End) -> impact::End,
        of_pieces: bool,
    ) -> Result<(), DropTestError> {
        for (axis, of) in Axis::ALL.into_iter().enumerate() {
            for column in cushions(parcel, axis) {
                let (low, high) = (mass(column.low), mass(column.high));
                // A pad from wall to wall stands on nothing that moves where it meets the wall.
                if low == high {
                    continue;
                }
                self.network.links.push(Link {
                    low,
                    high,
                    axis: of,
                    layers: layers(&column, guarded, filling)?,
                    slack_m: 0.0,
                    damping_n_s_per_m: 0.0,
                });
                self.columns.push(of_pieces.then_some(column));
            }
        }
        Ok(())
    }
}

/// The layers of one column, from its low end to its high end.
fn layers(
    column: &Cushioned,
    guarded: &[Guarded],
    filling: &Filling<'_>,
) -> Result<Vec<Layer>, DropTestError> {
    let wraps = column.low_wrap_mm + column.high_wrap_mm;
    // Wraps that touch share what there is between the hard parts.
    let pressed = if wraps > column.thickness_mm { column.thickness_mm / wraps } else { 1.0 };
    let of = |end: End, wrap: f64| match end {
        End::Bundle(index) => guarded.get(index).map_or_else(Vec::new, |guard| guard.layers(wrap * pressed)),
        End::Low | End::High | End::Pad(_) => Vec::new(),
    };
    let mut found: Vec<(&str, f64)> = of(column.low, column.low_wrap_mm);
    let fill = column.thickness_mm - wraps * pressed;
    if fill > NO_FILL_MM {
        found.push((filling.fill, fill));
    }
    found.extend(of(column.high, column.high_wrap_mm).into_iter().rev());
    found.retain(|(_, thickness)| *thickness > NO_LAYER_MM);
    if found.is_empty() {
        found.push((filling.fill, column.thickness_mm));
    }
    let layer = |(key, thickness_mm): (&str, f64)| -> Result<Layer, DropTestError> {
        let material = filling.cushions.find(key)?;
        // All of a material in a row counts for what its method asks of thickness.
        let together: f64 = column.thickness_mm * IN;
        let law = material.law(together, Hits::Repeated);
        Ok(Layer {
            law: law_of(&law),
            area_m2: column.area_mm2 * M * M,
            thickness_m: thickness_mm * M,
            restitution: RESTITUTION,
        })
    };
    found.into_iter().map(layer).collect()
}

/// A cushion's law as stress over strain: the exponential or tangent elasticity that has its factor in the middle
/// of its best loads.
fn law_of(law: &cushion::StressLaw) -> impact::Law {
    let Some((from, to)) = law.best() else {
        // A factor alone: the straight spring that has it where it bottoms, at 2 over the factor.
        let strain = (2.0 / law.factor()).min(1.0);
        return impact::Law::Bottoming { modulus_pa: BARE_PA, strain, beyond_pa: 1e3 * BARE_PA };
    };
    let best = (from * to).sqrt();
    let stress_pa = law.factor() * best * PA;
    match law.shape() {
        cushion::Shape::Foam => {
            impact::Law::StressEnergy { a_pa: stress_pa / std::f64::consts::E, b_per_pa: 1.0 / (best * PA) }
        }
        cushion::Shape::Soft => {
            // Stress at the best energy is (2 E l / pi) tan x with x = 1.1032 (see the cushion's law).
            let limit_strain = cushion::TANGENT_FACTOR / law.factor();
            let modulus_pa = stress_pa * std::f64::consts::PI / (2.0 * limit_strain * BEST_TANGENT);
            impact::Law::Tangent { modulus_pa, limit_strain }
        }
    }
}

fn centre(parcel: &Parcel) -> [f64; 3] {
    let total: f64 = parcel.bundles.iter().map(|bundle| bundle.mass_g).sum();
    [0, 1, 2].map(|axis| {
        let moment: f64 = parcel
            .bundles
            .iter()
            .map(|bundle| {
                let (low, high) = bundle.parts.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |at, part| {
                    let (low, high) = part.placement.extent_mm(part.bare, axis);
                    (at.0.min(low), at.1.max(high))
                });
                0.5 * (low + high) * bundle.mass_g
            })
            .sum();
        let side = parcel.carton.inside_mm[axis];
        // The model wants it inside, whatever the plan says.
        (moment / total.max(f64::MIN_POSITIVE)).clamp(0.01 * side, 0.99 * side)
    })
}
