//! Dropping a parcel on paper: every face, edge and corner.

use impact::{Drop, Model, Settings, attitudes};
use measure::Length;
use plan::Parcel;
use rayon::prelude::*;

use crate::columns::{Cushioned, End};
use crate::network::{Built, build};
use crate::{DropTestError, Filling, Guarded, Landing, Limit};

/// Metres in a millimetre.
const M: f64 = 1e-3;
/// Hard parts nearer than this have met, mm.
const MET_MM: f64 = 0.5;
/// Columns up to this multiple of the shortest carry most of a blow (judgement).
const NEAR: f64 = 1.6;

/// What a bundle felt in one landing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Felt {
    /// Peak deceleration, in multiples of gravity.
    pub peak_g: f64,
    /// What its weakest part is designed to bear, in the same unit.
    pub bears_g: f64,
}

impl Felt {
    /// What is borne over what is felt, less one: below 0 the piece is at risk.
    #[must_use]
    pub fn margin(self) -> f64 {
        self.bears_g / self.peak_g.max(f64::MIN_POSITIVE) - 1.0
    }
}

/// Two hard things that come nearest in one landing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// Index of a bundle.
    pub bundle: usize,
    /// Index of the other bundle; `None` for a wall or pad.
    pub other: Option<usize>,
    /// What is left between the hard surfaces, mm; 0 once they met.
    pub left_mm: f64,
}

/// One landing.
#[derive(Debug, Clone, PartialEq)]
pub struct Landed {
    /// The sides it strikes: for each axis -1 (left, front, floor), +1 (right, back, top) or 0.
    pub strikes: [i8; 3],
    /// One entry per bundle, in the plan's order.
    pub felt: Vec<Felt>,
    /// The bundles that came nearest to each other; `None` where no two have a cushion between them.
    pub nearest: Option<Nearest>,
    /// What holds the margin down for the worst bundle.
    pub limit: Limit,
}

impl Landed {
    /// Face, edge or corner.
    #[must_use]
    pub fn landing(&self) -> Landing {
        Landing::of(self.strikes)
    }

    /// Index of the bundle with the least margin.
    #[must_use]
    pub fn worst(&self) -> usize {
        (0..self.felt.len())
            .min_by(|&a, &b| self.felt[a].margin().total_cmp(&self.felt[b].margin()))
            .unwrap_or(0)
    }

    /// Least margin of any bundle; hard parts that meet leave none.
    #[must_use]
    pub fn margin(&self) -> f64 {
        let least = self.felt.iter().map(|felt| felt.margin()).fold(f64::INFINITY, f64::min);
        match self.nearest {
            Some(nearest) if nearest.left_mm < MET_MM => least.min(-1.0),
            Some(_) | None => least,
        }
    }
}

/// A parcel dropped on every face, edge and corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// Height of each fall.
    pub height: Length,
    /// Six faces, twelve edges, eight corners.
    pub landings: Vec<Landed>,
}

impl Assessment {
    /// The landing with the least margin, the first of equals.
    #[must_use]
    pub fn worst(&self) -> Option<&Landed> {
        self.landings.iter().min_by(|a, b| a.margin().total_cmp(&b.margin()))
    }

    /// Least margin over all landings.
    #[must_use]
    pub fn margin(&self) -> f64 {
        self.worst().map_or(f64::INFINITY, Landed::margin)
    }

    /// Least margin of one bundle over all landings.
    #[must_use]
    pub fn margin_of(&self, bundle: usize) -> f64 {
        self.landings
            .iter()
            .filter_map(|landed| landed.felt.get(bundle))
            .map(|felt| felt.margin())
            .fold(f64::INFINITY, f64::min)
    }
}

/// How closely a drop is followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// As it is shown.
    Full,
    /// Well enough to compare parcels: longer steps, until most of the energy is gone.
    Rough,
}

impl Detail {
    fn settings(self) -> Settings {
        match self {
            Self::Full => Settings::default(),
            Self::Rough => Settings {
                step_radians: 0.8,
                imbalance: 5e-3,
                time_s: 0.03,
                rest_share: 0.25,
                ..Settings::default()
            },
        }
    }
}

/// Drops a parcel from `height` on all faces, edges and corners.
///
/// `guarded` has one entry per bundle, in the plan's order; in a box in a box, per bundle of the inner one.
///
/// # Errors
/// When a bundle is not described, a cushion is unknown, or the model refuses a figure.
pub fn assess(
    parcel: &Parcel,
    guarded: &[Guarded],
    filling: &Filling<'_>,
    height: Length,
    detail: Detail,
) -> Result<Assessment, DropTestError> {
    let built = build(parcel, guarded, filling)?;
    let model = Model::new(&built.network)?;
    let ways = attitudes(parcel.carton.inside_mm.map(|side| side * M), built.centre_mm.map(|at| at * M))?;
    let pieces = parcel.holding();
    let settings = detail.settings();
    let landings = ways
        .into_par_iter()
        .map(|way| {
            let response = model.drop(&Drop::new(height.mm() * M, way.direction), &settings)?;
            Ok(landed(way.strikes, &response, &built, pieces, height))
        })
        .collect::<Result<Vec<_>, DropTestError>>()?;
    Ok(Assessment { height, landings })
}

fn landed(
    strikes: [i8; 3],
    response: &impact::Response,
    built: &Built,
    parcel: &Parcel,
    height: Length,
) -> Landed {
    let felt: Vec<Felt> = built
        .network
        .masses
        .iter()
        .zip(&response.masses)
        .take(parcel.bundles.len())
        .map(|(mass, response)| Felt {
            peak_g: response.peak_g,
            bears_g: mass.parts.first().map_or(f64::INFINITY, |part| part.allowable_g),
        })
        .collect();
    let nearest = built
        .columns
        .iter()
        .zip(&response.links)
        .filter_map(|(column, link)| {
            let column = column.as_ref()?;
            let (bundle, other) = match (column.low, column.high) {
                (End::Bundle(a), End::Bundle(b)) => (a, Some(b)),
                _ => return None,
            };
            Some(Nearest { bundle, other, left_mm: (column.least_mm - link.peak_m / M).max(0.0) })
        })
        .min_by(|a, b| a.left_mm.total_cmp(&b.left_mm));
    let mut landed = Landed { strikes, felt, nearest, limit: Limit::Thickness };
    landed.limit = match landed.nearest {
        Some(Nearest { left_mm, other: Some(other), bundle }) if left_mm < MET_MM => {
            Limit::Meets { bundle, other }
        }
        _ => limit(landed.worst(), strikes, response, built, parcel, height),
    };
    landed
}

/// What holds down the margin of one bundle: too little load for the cushion, too much, or its thickness.
fn limit(
    worst: usize,
    strikes: [i8; 3],
    response: &impact::Response,
    built: &Built,
    parcel: &Parcel,
    height: Length,
) -> Limit {
    // The axis along which it felt most.
    let peaks = response.masses.get(worst).map_or([0.0; 3], |mass| mass.axis_peak_g);
    let axis =
        (0..3).filter(|&k| strikes[k] != 0).max_by(|&a, &b| peaks[a].total_cmp(&peaks[b])).unwrap_or(2);
    let under = |column: &Cushioned| {
        column.axis == axis && if strikes[axis] < 0 { column.high } else { column.low } == End::Bundle(worst)
    };
    let near: Vec<(usize, &Cushioned)> = built
        .columns
        .iter()
        .enumerate()
        .filter_map(|(index, column)| Some((index, column.as_ref().filter(|column| under(column))?)))
        .collect();
    if near.iter().any(|(index, _)| response.links.get(*index).is_some_and(|link| link.bottomed)) {
        return Limit::Bottoms;
    }
    let shortest = near.iter().map(|(_, column)| column.thickness_mm).fold(f64::INFINITY, f64::min);
    let carrying: Vec<&(usize, &Cushioned)> =
        near.iter().filter(|(_, column)| column.thickness_mm <= NEAR * shortest).collect();
    let area_mm2: f64 = carrying.iter().map(|(_, column)| column.area_mm2).sum();
    // The softest law of the layers says where the load of the whole row should lie.
    let best_pa = carrying
        .iter()
        .filter_map(|(index, column)| {
            let layers = &built.network.links.get(*index)?.layers;
            layers
                .iter()
                .filter_map(|layer| match layer.law {
                    impact::Law::StressEnergy { b_per_pa, .. } => {
                        Some(column.thickness_mm / (b_per_pa * height.mm()))
                    }
                    impact::Law::Spring { .. }
                    | impact::Law::Bottoming { .. }
                    | impact::Law::Tangent { .. }
                    | impact::Law::Plateau { .. } => None,
                })
                .reduce(f64::min)
        })
        .reduce(f64::min);
    let weight_n =
        parcel.bundles.get(worst).map_or(0.0, |bundle| bundle.mass_g * M) * impact::STANDARD_GRAVITY;
    let load_pa = weight_n / (area_mm2 * M * M).max(f64::MIN_POSITIVE);
    Limit::of_load(load_pa, best_pa)
}
