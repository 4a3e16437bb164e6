//! What one piece needs round it: the shock behind each material and thickness, and what keeps it.

use cushion::{
    Caution, CushionError, Fall, Hits, Impact, Layer, Material, Method, Outside, Working, needed_behind,
    needed_thickness, peak_g, series_g,
};
use measure::{Area, Length, Mass};
use protection::Origin;

use crate::Bearing;

/// A thickness is stated up to the next of these steps (judgement).
const STEP_IN: f64 = 0.25;
/// What a thickness may pass a step by and still keep it, in.
const STEP_SLACK_IN: f64 = 1e-6;
/// What a shock may pass the allowed one by and still keep it, as a share: rounding.
const SHOCK_SLACK: f64 = 1e-9;

/// The most cushion that any carton of the post leaves room for on one side, in (judgement; the protection room
/// draws the same line).
const ROOM_IN: f64 = 12.0;

/// What is asked about one piece.
#[derive(Debug, Clone)]
pub struct GuardQuestion<'a> {
    /// Weight of the piece.
    pub weight: Mass,
    /// The ways it bears on its cushion, at least one; the first is the one whose shocks are told.
    pub bearings: &'a [Bearing],
    /// The most it should feel, in multiples of gravity: what it bears over the safety factor.
    pub allowed_g: f64,
    /// How far it falls.
    pub height: Length,
    /// Layers of wrap on it, from the piece outwards.
    pub wrap: &'a [(&'a Material, Length)],
    /// Materials to compare.
    pub materials: &'a [&'a Material],
    /// Thicknesses to compare.
    pub thicknesses: &'a [Length],
    /// Which drops are reckoned with.
    pub hits: Hits,
}

/// The shock behind one thickness of one material, behind the wrap where there is one.
#[derive(Debug, Clone, PartialEq)]
pub struct Shock {
    /// Thickness of the material.
    pub thickness: Length,
    /// Peak shock, in multiples of gravity.
    pub peak_g: f64,
    /// The same at the low and high end of the cushion factor; `None` where several layers share the fall.
    pub range_g: Option<(f64, f64)>,
    /// Whether it stays within what is allowed.
    pub is_enough: bool,
    /// How it was reckoned.
    pub method: Method,
    /// Why not by the stress-energy law; empty when it was.
    pub outside: Vec<Outside>,
    /// What to look at beside the figure.
    pub cautions: Vec<Caution>,
    /// The figures it rests on and where they come from.
    pub rests_on: Vec<(&'static str, Origin)>,
    /// The arithmetic, line by line.
    pub working: Working,
}

impl Shock {
    /// Whether the stress-energy law of the material is known but doesn't hold here.
    #[must_use]
    pub fn is_outside_its_method(&self) -> bool {
        self.outside.iter().any(|reason| match reason {
            Outside::NoPair { .. } => false,
            Outside::Thin { .. }
            | Outside::Dense { .. }
            | Outside::Load { .. }
            | Outside::Thickness { .. } => true,
        })
    }
}

/// What one way of bearing needs of a material.
#[derive(Debug, Clone, PartialEq)]
pub struct NeededThickness {
    /// The way the piece bears.
    pub bearing: Bearing,
    /// The thickness that just keeps the shock; nothing where the wrap is enough by itself.
    pub exact: Length,
    /// The same up to the next quarter of an inch.
    pub rounded_up: Length,
    /// The arithmetic, line by line; empty where it was found by halving.
    pub working: Working,
}

impl NeededThickness {
    /// The most cushion that any carton of the post leaves room for on one side.
    pub const ROOM: Length = Length::from_inches(ROOM_IN);
}

/// One material.
#[derive(Debug, Clone)]
pub struct GuardRow<'a> {
    /// The material.
    pub material: &'a Material,
    /// The shock behind each thickness asked for, in that order, the piece bearing the first way.
    pub shocks: Vec<Result<Shock, CushionError>>,
    /// What each way of bearing needs, or why no thickness is enough.
    pub needed: Vec<Result<NeededThickness, CushionError>>,
}

impl GuardRow<'_> {
    /// The most that any way of bearing needs; `None` where one finds no thickness enough.
    #[must_use]
    pub fn most(&self) -> Option<Length> {
        self.needed
            .iter()
            .try_fold(Length::ZERO, |most, one| one.as_ref().ok().map(|one| most.max(one.rounded_up)))
    }

    /// Whole layers of so much of it; `None` for what is poured or crumpled.
    #[must_use]
    pub fn layers(&self, thickness: Length) -> Option<u32> {
        let layer = self.material.layer_in.as_ref()?;
        // At most 100 in over a layer of at least 0.0005 in: far inside the range of u32.
        Some(((thickness.inches() - STEP_SLACK_IN) / layer.value).ceil().max(0.0) as u32)
    }
}

/// What every material does for the piece, in the order asked.
///
/// # Errors
/// When weight, area, height, thickness or the allowed shock can't be reckoned with, or nothing was asked
/// about. That one material is not enough is part of the answer.
pub fn guard<'a>(question: &GuardQuestion<'a>) -> Result<Vec<GuardRow<'a>>, CushionError> {
    let Some(first) = question.bearings.first() else {
        return Err(CushionError::Nothing { what: "bearing areas" });
    };
    question.materials.iter().map(|material| question.row(material, first.area)).collect()
}

impl<'a> GuardQuestion<'a> {
    fn row(&self, material: &'a Material, first: Area) -> Result<GuardRow<'a>, CushionError> {
        let shocks = self.thicknesses.iter().map(|&thickness| self.shock(material, thickness, first));
        let needed = self.bearings.iter().map(|bearing| self.needed(material, *bearing));
        Ok(GuardRow {
            material,
            shocks: shocks.map(answered).collect::<Result<_, _>>()?,
            needed: needed.map(answered).collect::<Result<_, _>>()?,
        })
    }

    /// The shock behind a thickness of a material, the piece bearing on `area`.
    ///
    /// # Errors
    /// When a figure can't be reckoned with, or the cushion bottoms out altogether.
    pub fn shock(&self, material: &Material, thickness: Length, area: Area) -> Result<Shock, CushionError> {
        let within = |g: f64| g <= self.allowed_g * (1.0 + SHOCK_SLACK);
        if self.wrap.is_empty() {
            let impact = Impact::new(self.weight, area, self.height)?;
            let found = peak_g(&impact, thickness, material, self.hits)?;
            return Ok(Shock {
                thickness,
                peak_g: found.peak_g,
                range_g: Some(found.range_g),
                is_enough: within(found.peak_g),
                method: found.method,
                outside: found.outside,
                cautions: found.cautions,
                rests_on: found.rests_on,
                working: found.working,
            });
        }
        let mut layers = self.layers(area);
        layers.push(Layer { material, thickness, area });
        let found = series_g(&Fall::new(self.weight, self.height)?, &layers, self.hits)?;
        let last = found.layers.last().ok_or(CushionError::Nothing { what: "layers" })?;
        Ok(Shock {
            thickness,
            peak_g: found.peak_g,
            range_g: None,
            is_enough: within(found.peak_g),
            method: last.method,
            outside: last.outside.clone(),
            cautions: last.cautions.clone(),
            rests_on: Vec::new(),
            working: found.working,
        })
    }

    /// The wrap as layers. It bears on the same area as the piece (judgement: it spreads the load a little,
    /// which is left out).
    fn layers(&self, area: Area) -> Vec<Layer<'a>> {
        self.wrap.iter().map(|&(material, thickness)| Layer { material, thickness, area }).collect()
    }

    fn needed(&self, material: &Material, bearing: Bearing) -> Result<NeededThickness, CushionError> {
        let (exact, working) = if self.wrap.is_empty() {
            let impact = Impact::new(self.weight, bearing.area, self.height)?;
            let needed = needed_thickness(&impact, self.allowed_g, material, self.hits)?;
            (needed.thickness, needed.working)
        } else {
            let fall = Fall::new(self.weight, self.height)?;
            let wrap = self.layers(bearing.area);
            let behind = needed_behind(&fall, self.allowed_g, &wrap, material, bearing.area, self.hits)?;
            (behind, Working::default())
        };
        Ok(NeededThickness { bearing, exact, rounded_up: up_to_quarter_inch(exact), working })
    }
}

/// A thickness up to the next quarter of an inch; nothing stays nothing.
#[must_use]
pub fn up_to_quarter_inch(thickness: Length) -> Length {
    Length::from_inches(((thickness.inches() - STEP_SLACK_IN) / STEP_IN).ceil().max(0.0) * STEP_IN)
}

/// Keeps what one material answers apart from what is wrong with the question.
#[allow(clippy::type_complexity)] // An answer within an answer.
fn answered<T>(found: Result<T, CushionError>) -> Result<Result<T, CushionError>, CushionError> {
    match found {
        Ok(one) => Ok(Ok(one)),
        Err(why @ (CushionError::TooStiff { .. } | CushionError::BottomsOut { .. })) => Ok(Err(why)),
        Err(why) => Err(why),
    }
}
