//! From settled figures to solids.

use std::f64::consts::{PI, TAU};

use measure::Length;
use shape::{Part, PartKind, Piece, Placement, Solid};

use crate::settle::{Bound, Settling, UsedFigure};
use crate::{BodyKind, Field, Form, FormsError, Measures, Value};

/// Share of the body's half-width at which handles and spouts begin, so that they overlap the body and
/// leave no gap between the solids. Source: judgement.
const ROOT_SHARE: f64 = 0.6;
/// Wall of a hollow body where neither form nor person gives one. Source: judgement.
const WALL: Length = Length::from_inches(0.2);
/// A handle across where nothing gives it. Source: judgement.
const HANDLE_WIDTH: Length = Length::from_inches(0.75);
/// A handle's share of the body's height where nothing gives it. Source: judgement.
const HANDLE_SHARE: f64 = 0.5;
/// A spout across where nothing gives it. Source: judgement.
const SPOUT_WIDTH: Length = Length::from_inches(1.0);
/// A spout's share of the body's height where nothing gives it. Source: judgement.
const SPOUT_SHARE: f64 = 0.6;
/// A foot's thickness where nothing gives it. Source: judgement.
const FOOT_HEIGHT: Length = Length::from_inches(0.25);
/// A knob across where nothing gives it. Source: judgement.
const KNOB_DIAMETER: Length = Length::from_inches(0.9);
/// A lid's share of the piece's mass where nothing gives it. Source: judgement.
const LID_MASS_SHARE: f64 = 0.25;

/// A piece as geometry, with the figures it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct BuiltPiece {
    /// The bare piece, standing upright; wraps are 0.
    pub piece: Piece,
    /// Every figure used, measured or estimated.
    pub used: Vec<UsedFigure>,
}

/// The level outline of the body.
#[derive(Debug, Clone, Copy)]
enum Outline {
    Round { radius: f64 },
    Sides { half_x: f64, half_y: f64 },
}

impl Outline {
    /// From the axis to the outline in the direction `yaw` (radians), mm.
    fn reach(self, yaw: f64) -> f64 {
        match self {
            Self::Round { radius } => radius,
            Self::Sides { half_x, half_y } => {
                // A direction along one side meets only the other one: division by 0 gives infinity.
                (half_x / yaw.cos().abs()).min(half_y / yaw.sin().abs())
            }
        }
    }
}

/// A body in the piece's frame.
struct Body {
    parts: Vec<Part>,
    outline: Outline,
    /// Where the bowl begins (0 unless it stands on a stem), mm.
    bottom: f64,
    /// Height of it all, mm.
    height: f64,
    hollow_mm3: f64,
}

pub(crate) fn build(form: &Form, measures: &Measures) -> Result<BuiltPiece, FormsError> {
    let mut settling = Settling::begin(form, measures)?;
    let mut body = match form.body {
        BodyKind::Cylinder => cylinder(&mut settling)?,
        BodyKind::Block => block(&mut settling)?,
        BodyKind::Stemmed => stemmed(&mut settling)?,
    };
    if let Some(Value::Volume(volume)) = form.fact(Field::Hollow).map(|fact| fact.value) {
        settling.take(Field::Hollow);
        body.hollow_mm3 = volume.mm3();
    }
    let spout = spout(&mut settling, &body)?;
    let handles = handles(&mut settling, &body, spout.is_some())?;
    let height = body.height;
    let pitch_mm = if settling.has(Field::Pitch) {
        let bound = Bound::at_most(height, "the height of one piece");
        Some(settling.within(Field::Pitch, 1.0, height, bound)?)
    } else {
        None
    };
    let mass_g = settling.need(Field::Weight)?;
    let lid = lid(&mut settling, &body, mass_g)?;
    let mut parts = body.parts;
    parts.extend(spout);
    parts.extend(handles);
    let (apart, apart_mass_share) = match lid {
        Some((parts, share)) => (vec![parts], vec![share]),
        None => (Vec::new(), Vec::new()),
    };
    let piece = Piece { parts, apart, hollow_mm3: body.hollow_mm3, mass_g, apart_mass_share, pitch_mm };
    Ok(BuiltPiece { piece, used: settling.used() })
}

fn part(kind: PartKind, solid: Solid, placement: Placement) -> Part {
    Part { kind, solid, placement, wrap_mm: 0.0 }
}

/// An upright cylinder between two heights on the axis.
fn upright(kind: PartKind, radius_mm: f64, from: f64, to: f64) -> Part {
    let solid = Solid::Cylinder { radius_mm, height_mm: to - from };
    part(kind, solid, Placement::at(0.0, 0.0, (from + to) / 2.0))
}

fn wall(settling: &mut Settling<'_>, radius: f64, height: f64) -> Result<f64, FormsError> {
    let bound = Bound::less_than(radius.min(height), "half the body's breadth, or its height");
    settling.within(Field::Wall, 1.0, WALL.mm(), bound)
}

fn cylinder(settling: &mut Settling<'_>) -> Result<Body, FormsError> {
    let diameter = settling.need(Field::Diameter)?;
    let radius = diameter / 2.0;
    let height = settling.need(Field::Height)?;
    let waist = if settling.has(Field::WaistDiameter) {
        let bound = Bound::at_most(diameter, "the diameter of the body");
        Some(settling.within(Field::WaistDiameter, 1.0, diameter, bound)? / 2.0)
    } else {
        None
    };
    let parts = match waist {
        None => vec![upright(PartKind::Body, radius, 0.0, height)],
        Some(waist) => {
            let half = height / 2.0;
            let cone = |bottom_radius_mm, top_radius_mm, centre| {
                let solid = Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm: half };
                part(PartKind::Body, solid, Placement::at(0.0, 0.0, centre))
            };
            vec![cone(radius, waist, half / 2.0), cone(waist, radius, half * 1.5)]
        }
    };
    let hollow_mm3 = if settling.form.hollow {
        let wall = wall(settling, waist.unwrap_or(radius), height)?;
        let inner = height - wall;
        match waist {
            None => Solid::Cylinder { radius_mm: radius - wall, height_mm: inner }.volume_mm3(),
            Some(waist) => Solid::Frustum {
                bottom_radius_mm: radius - wall,
                top_radius_mm: waist - wall,
                height_mm: inner,
            }
            .volume_mm3(),
        }
    } else {
        0.0
    };
    Ok(Body { parts, outline: Outline::Round { radius }, bottom: 0.0, height, hollow_mm3 })
}

fn block(settling: &mut Settling<'_>) -> Result<Body, FormsError> {
    let (a, b) = (settling.need(Field::Length)?, settling.need(Field::Width)?);
    // x is the longer side, whichever way round the tape was read.
    let (x_mm, y_mm) = (a.max(b), a.min(b));
    let z_mm = settling.need(Field::Height)?;
    let solid = Solid::Block { x_mm, y_mm, z_mm };
    let hollow_mm3 = if settling.form.hollow {
        let wall = wall(settling, y_mm / 2.0, z_mm)?;
        (x_mm - 2.0 * wall) * (y_mm - 2.0 * wall) * (z_mm - wall)
    } else {
        0.0
    };
    let parts = vec![part(PartKind::Body, solid, Placement::at(0.0, 0.0, z_mm / 2.0))];
    let outline = Outline::Sides { half_x: x_mm / 2.0, half_y: y_mm / 2.0 };
    Ok(Body { parts, outline, bottom: 0.0, height: z_mm, hollow_mm3 })
}

fn stemmed(settling: &mut Settling<'_>) -> Result<Body, FormsError> {
    let radius = settling.need(Field::Diameter)? / 2.0;
    let height = settling.need(Field::Height)?;
    let taller = settling.growth(Field::Height);
    let wider = settling.growth(Field::Diameter);
    let foot = settling.within(
        Field::FootHeight,
        1.0,
        FOOT_HEIGHT.mm(),
        Bound::less_than(height, "the height of the piece"),
    )?;
    let above = height - foot;
    let stem = settling.within(
        Field::StemHeight,
        taller,
        above / 2.0,
        Bound::less_than(above, "the height of the piece without its foot"),
    )?;
    let bottom = foot + stem;
    // The stem runs through the foot and a little way into the bowl, so that the solids overlap.
    let stem_top = bottom + 0.1 * (height - bottom);
    let foot_radius = settling.scaled(Field::FootDiameter, wider, radius * 2.0) / 2.0;
    let stem_radius = settling.scaled(Field::StemDiameter, 1.0, radius / 2.0) / 2.0;
    let hollow_mm3 = if settling.form.hollow {
        let deep = height - bottom;
        let wall = wall(settling, radius, deep)?;
        PI * (radius - wall).powi(2) * (deep - wall)
    } else {
        0.0
    };
    let parts = vec![
        upright(PartKind::Body, radius, bottom, height),
        upright(PartKind::Stem, stem_radius, 0.0, stem_top),
        upright(PartKind::Foot, foot_radius, 0.0, foot),
    ];
    Ok(Body { parts, outline: Outline::Round { radius }, bottom, height, hollow_mm3 })
}

/// A block that begins inside the body and stands out by `reach` in the direction `yaw`.
fn arm(kind: PartKind, body: &Body, yaw: f64, reach: f64, width: f64, from: f64, to: f64) -> Part {
    let edge = body.outline.reach(yaw);
    let root = ROOT_SHARE * edge;
    let tip = edge + reach;
    let middle = (root + tip) / 2.0;
    let solid = Solid::Block { x_mm: tip - root, y_mm: width, z_mm: to - from };
    let at_mm = [middle * yaw.cos(), middle * yaw.sin(), (from + to) / 2.0];
    // No turn at all for the first direction keeps its coordinates free of rounding.
    let placement =
        if yaw == 0.0 { Placement::at(middle, 0.0, at_mm[2]) } else { Placement::yawed(yaw, at_mm) };
    part(kind, solid, placement)
}

fn spout(settling: &mut Settling<'_>, body: &Body) -> Result<Option<Part>, FormsError> {
    let Some(reach) = settling.take(Field::SpoutReach) else {
        return Ok(None);
    };
    let width = settling.scaled(Field::SpoutWidth, 1.0, SPOUT_WIDTH.mm());
    let taller = settling.growth(Field::Height);
    let bound = Bound::at_most(body.height, "the height of the body");
    let tall = settling.within(Field::SpoutHeight, taller, body.height * SPOUT_SHARE, bound)?;
    Ok(Some(arm(PartKind::Spout, body, 0.0, reach, width, body.height - tall, body.height)))
}

fn handles(settling: &mut Settling<'_>, body: &Body, has_spout: bool) -> Result<Vec<Part>, FormsError> {
    let count = settling.take(Field::Handles).unwrap_or(0.0);
    if count < 1.0 {
        return Ok(Vec::new());
    }
    let Some(reach) = settling.take(Field::HandleReach).filter(|&reach| reach > 0.0) else {
        return Err(settling.handle_without_reach());
    };
    let width = settling.scaled(Field::HandleWidth, 1.0, HANDLE_WIDTH.mm());
    let (from, to) = handle_heights(settling, body)?;
    let first = match settling.take(Field::HandleAngle) {
        Some(degrees) => degrees.to_radians(),
        None if has_spout => PI,
        None => 0.0,
    };
    let turn = |index: u32| first + TAU * f64::from(index) / count;
    // `as` is exact: counts are whole and at most MAX_HANDLES.
    Ok((0..count as u32).map(|k| arm(PartKind::Handle, body, turn(k), reach, width, from, to)).collect())
}

/// Lower and upper end of the handles: at the height given, else half way up the bowl.
fn handle_heights(settling: &mut Settling<'_>, body: &Body) -> Result<(f64, f64), FormsError> {
    let height = body.height;
    let bowl = height - body.bottom;
    let body_bound = Bound::less_than(height, "the height of the body");
    let lifted = settling.is_measured(Field::HandleBottom);
    let lift = if lifted { settling.within(Field::HandleBottom, 1.0, 0.0, body_bound)? } else { 0.0 };
    let bound = if lifted {
        Bound::at_most(height - lift, "from the handle's lower end to the rim")
    } else {
        Bound::at_most(height, "the height of the body")
    };
    let tall = settling.within(Field::HandleHeight, 1.0, bowl * HANDLE_SHARE, bound)?;
    let spare = height - tall;
    let from = if lifted {
        lift
    } else if settling.form.fact(Field::HandleBottom).is_some() {
        let default_spare = Bound::at_most(spare, "the height of the body above the handle");
        settling.within(Field::HandleBottom, 1.0, spare, default_spare)?
    } else {
        (body.bottom + (bowl - tall) / 2.0).min(spare).max(0.0)
    };
    Ok((from, from + tall))
}

/// The lid in its own frame, rim down, with its share of the mass.
fn lid(
    settling: &mut Settling<'_>,
    body: &Body,
    mass_g: f64,
) -> Result<Option<(Vec<Part>, f64)>, FormsError> {
    let Some(height) = settling.take(Field::LidHeight) else {
        return Ok(None);
    };
    let knob = if settling.has(Field::KnobHeight) {
        settling.within(Field::KnobHeight, 1.0, 0.0, Bound::less_than(height, "the height of the lid"))?
    } else {
        0.0
    };
    let disc = height - knob;
    let round = |settling: &mut Settling<'_>, otherwise| {
        let wider = settling.growth(Field::Diameter);
        let radius = settling.scaled(Field::LidDiameter, wider, otherwise) / 2.0;
        upright(PartKind::Lid, radius, 0.0, disc)
    };
    let cover = match body.outline {
        Outline::Round { radius } => round(settling, radius * 2.0),
        Outline::Sides { .. } if settling.form.takes(Field::LidDiameter) => {
            round(settling, HANDLE_WIDTH.mm())
        }
        Outline::Sides { half_x, half_y } => {
            let solid = Solid::Block { x_mm: half_x * 2.0, y_mm: half_y * 2.0, z_mm: disc };
            part(PartKind::Lid, solid, Placement::at(0.0, 0.0, disc / 2.0))
        }
    };
    let mut parts = vec![cover];
    if knob > 0.0 {
        let radius = settling.scaled(Field::KnobDiameter, 1.0, KNOB_DIAMETER.mm()) / 2.0;
        // The knob begins half way down the cover, so that the solids overlap.
        parts.push(upright(PartKind::Knob, radius, disc / 2.0, height));
    }
    let heavier = settling.growth(Field::Weight);
    let bound = Bound::less_than(mass_g, "the weight of the whole piece");
    let lid_g = settling.within(Field::LidWeight, heavier, mass_g * LID_MASS_SHARE, bound)?;
    Ok(Some((parts, lid_g / mass_g)))
}
