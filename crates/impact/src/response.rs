//! What a drop did.

/// How one part fared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartResponse {
    /// Largest deceleration over the allowable one; above 1 the part is at risk.
    pub share_of_allowable: f64,
}

/// What one mass felt. Decelerations are those of its motion, net of gravity: the force of the cushions less
/// its weight, over its mass.
#[derive(Debug, Clone, PartialEq)]
pub struct MassResponse {
    /// Largest size of its acceleration, over the three axes together, in multiples of standard gravity.
    pub peak_g: f64,
    /// Largest size along each axis, in the same unit.
    pub axis_peak_g: [f64; 3],
    /// When the largest came, s after the first touch.
    pub peak_at_s: f64,
    /// Its parts, as given.
    pub parts: Vec<PartResponse>,
}

/// What one link went through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinkResponse {
    /// Largest compression of all layers together, m.
    pub peak_m: f64,
    /// Largest force, N.
    pub peak_n: f64,
    /// Whether one of its layers was pressed solid.
    pub bottomed: bool,
}

/// How near two hard parts came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactResponse {
    /// Least way left between them, m; 0 once they touched.
    pub closest_m: f64,
    /// Largest speed at which they met, m/s; `None` if they never touched.
    pub met_m_per_s: Option<f64>,
    /// Largest force between them, N.
    pub peak_n: f64,
}

/// Energies at one moment, J.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Energies {
    /// Time after the first touch, s.
    pub time_s: f64,
    /// Of motion.
    pub moving_j: f64,
    /// In cushions and contacts, to come back.
    pub stored_j: f64,
    /// Of height over the start; negative once the masses have sunk.
    pub height_j: f64,
    /// Lost in cushions and dampers so far.
    pub lost_j: f64,
}

impl Energies {
    /// Moving, stored and of height: what may only fall.
    #[must_use]
    pub fn mechanical_j(&self) -> f64 {
        self.moving_j + self.stored_j + self.height_j
    }
}

/// The books of energy over a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Audit {
    /// At the first touch.
    pub start: Energies,
    /// At the end.
    pub end: Energies,
    /// Largest rise of the mechanical energy above its least value so far, as a share of the start's.
    pub largest_gain: f64,
    /// Largest difference between what is there plus what was lost and what there was, as a share of the
    /// start's.
    pub largest_imbalance: f64,
    /// Steps made.
    pub steps: usize,
    /// Steps thrown away and halved.
    pub halved: usize,
    /// Every step from the start on, if asked for.
    pub record: Vec<Energies>,
}

/// All that one drop did, in the order of the network's lists.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// One for each mass.
    pub masses: Vec<MassResponse>,
    /// One for each link.
    pub links: Vec<LinkResponse>,
    /// One for each contact.
    pub contacts: Vec<ContactResponse>,
    /// The books of energy.
    pub audit: Audit,
}
