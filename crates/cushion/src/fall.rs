//! A fall: its speed and energy, how it bounces, and the area it lands on.

use measure::{Area, Length, Mass};

use crate::bounds::{area_in2, height_in, weight_lb, within};
use crate::mechanics::NEWTONS_PER_POUND;
use crate::{CushionError, GRAVITY_IN_S2, Speed, Stress};

/// Slowest and fastest change of speed that is reckoned, in/s.
pub(crate) const SPEED_IN_S: (f64, f64) = (1e-3, 1e5);

/// A weight falling freely from a height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    weight_lb: f64,
    height_in: f64,
}

impl Fall {
    /// A fall of this weight from this height.
    ///
    /// # Errors
    /// When either is nothing, negative, no number, or beyond anything in a parcel.
    pub fn new(weight: Mass, height: Length) -> Result<Self, CushionError> {
        Ok(Self { weight_lb: weight_lb(weight)?, height_in: height_in(height)? })
    }

    /// What falls.
    #[must_use]
    pub fn weight(&self) -> Mass {
        Mass::from_pounds(self.weight_lb)
    }

    /// How far.
    #[must_use]
    pub fn height(&self) -> Length {
        Length::from_inches(self.height_in)
    }

    pub(crate) fn pounds(&self) -> f64 {
        self.weight_lb
    }

    pub(crate) fn inches(&self) -> f64 {
        self.height_in
    }

    /// Speed at the ground, v = sqrt(2 g h).
    #[must_use]
    pub fn speed(&self) -> Speed {
        Speed::from_inches_per_second((2.0 * GRAVITY_IN_S2 * self.height_in).sqrt())
    }

    /// Energy at the ground in inch-pounds, W h.
    #[must_use]
    pub fn inch_pounds(&self) -> f64 {
        self.weight_lb * self.height_in
    }

    /// Energy at the ground in joules, m g h.
    #[must_use]
    pub fn joules(&self) -> f64 {
        self.inch_pounds() * NEWTONS_PER_POUND * 0.0254
    }
}

/// A fall onto a bearing area: what a cushion has to take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Impact {
    fall: Fall,
    area_in2: f64,
}

impl Impact {
    /// `area` is the true area that bears on the cushion (the foot ring of a mug standing, the edge of a
    /// plate on edge), not the side of the carton.
    ///
    /// # Errors
    /// When weight, area or height is nothing, negative, no number, or beyond anything in a parcel.
    pub fn new(weight: Mass, area: Area, height: Length) -> Result<Self, CushionError> {
        Ok(Self { fall: Fall::new(weight, height)?, area_in2: area_in2(area)? })
    }

    /// The fall.
    #[must_use]
    pub fn fall(&self) -> &Fall {
        &self.fall
    }

    pub(crate) fn square_inches(&self) -> f64 {
        self.area_in2
    }

    /// Static stress on the cushion, s = W / A.
    #[must_use]
    pub fn static_stress(&self) -> Stress {
        Stress::from_psi(self.fall.weight_lb / self.area_in2)
    }
}

/// How much of its speed a falling body keeps as it bounces: 0 (stays) to 1 (as fast as it came).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Rebound(f64);

impl Rebound {
    /// A coefficient of restitution.
    ///
    /// # Errors
    /// When it is not from 0 to 1.
    pub fn new(restitution: f64) -> Result<Self, CushionError> {
        within("restitution", restitution, "", (0.0, 1.0)).map(Self)
    }

    /// Whole change of speed, dV = (1 + e) v (ASTM D3332, from memory).
    #[must_use]
    pub fn velocity_change(self, fall: &Fall) -> Speed {
        Speed::from_inches_per_second((1.0 + self.0) * fall.speed().inches_per_second())
    }

    /// The free fall that gives this change of speed, h = dV2 / (2 g (1 + e)2) (ASTM D3332, from memory).
    ///
    /// # Errors
    /// When the change is nothing, negative, no number, or beyond anything a parcel sees.
    pub fn equivalent_height(self, change: Speed) -> Result<Length, CushionError> {
        let change = within("velocity change", change.inches_per_second(), "in/s", SPEED_IN_S)?;
        let speed = change / (1.0 + self.0);
        Ok(Length::from_inches(speed * speed / (2.0 * GRAVITY_IN_S2)))
    }
}
