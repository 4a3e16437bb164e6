//! What a person measured on their own piece.

use measure::{Length, Mass};

use crate::{Field, Value};

/// A person's measures of one piece; whatever is absent is filled from the form.
///
/// All lengths are of the bare piece. See [`Field`] for what each one spans.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measures {
    /// Across the body at its widest, without handles.
    pub diameter: Option<Length>,
    /// The longer level side of a block.
    pub length: Option<Length>,
    /// The shorter level side of a block.
    pub width: Option<Length>,
    /// Up to the rim, without the lid; the thickness of what lies flat.
    pub height: Option<Length>,
    /// The narrowest diameter, half way up.
    pub waist_diameter: Option<Length>,
    /// How many handles; 0 takes the form's own handles away.
    pub handles: Option<u32>,
    /// How far a handle stands out beyond the body.
    pub handle_reach: Option<Length>,
    /// A handle across, seen from above.
    pub handle_width: Option<Length>,
    /// A handle from its lower to its upper end.
    pub handle_height: Option<Length>,
    /// From the table up to a handle's lower end.
    pub handle_bottom: Option<Length>,
    /// How far a spout stands out beyond the body.
    pub spout_reach: Option<Length>,
    /// A spout across, seen from above.
    pub spout_width: Option<Length>,
    /// A spout from its lower end up to the rim.
    pub spout_height: Option<Length>,
    /// A stem across.
    pub stem_diameter: Option<Length>,
    /// From the foot up to the bowl.
    pub stem_height: Option<Length>,
    /// Across the foot.
    pub foot_diameter: Option<Length>,
    /// Thickness of the foot.
    pub foot_height: Option<Length>,
    /// Thickness of the wall of a hollow body.
    pub wall: Option<Length>,
    /// Across a lid or stopper.
    pub lid_diameter: Option<Length>,
    /// A lid from its rim to the top of its knob.
    pub lid_height: Option<Length>,
    /// The knob's share of the lid's height.
    pub knob_height: Option<Length>,
    /// A knob across.
    pub knob_diameter: Option<Length>,
    /// Added height of each further nested or stacked piece.
    pub pitch: Option<Length>,
    /// One piece, its lid included.
    pub weight: Option<Mass>,
    /// The lid alone.
    pub lid_weight: Option<Mass>,
}

impl Measures {
    /// The measure of a field; `None` when it wasn't taken (or can't be: angles and hollows).
    #[must_use]
    pub fn get(&self, field: Field) -> Option<Value> {
        let length = match field {
            Field::Handles => return self.handles.map(Value::Count),
            Field::Weight => return self.weight.map(Value::Mass),
            Field::LidWeight => return self.lid_weight.map(Value::Mass),
            Field::HandleAngle | Field::Hollow => None,
            Field::Diameter => self.diameter,
            Field::Length => self.length,
            Field::Width => self.width,
            Field::Height => self.height,
            Field::WaistDiameter => self.waist_diameter,
            Field::HandleReach => self.handle_reach,
            Field::HandleWidth => self.handle_width,
            Field::HandleHeight => self.handle_height,
            Field::HandleBottom => self.handle_bottom,
            Field::SpoutReach => self.spout_reach,
            Field::SpoutWidth => self.spout_width,
            Field::SpoutHeight => self.spout_height,
            Field::StemDiameter => self.stem_diameter,
            Field::StemHeight => self.stem_height,
            Field::FootDiameter => self.foot_diameter,
            Field::FootHeight => self.foot_height,
            Field::Wall => self.wall,
            Field::LidDiameter => self.lid_diameter,
            Field::LidHeight => self.lid_height,
            Field::KnobHeight => self.knob_height,
            Field::KnobDiameter => self.knob_diameter,
            Field::Pitch => self.pitch,
        };
        length.map(Value::Length)
    }
}
