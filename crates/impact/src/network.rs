//! Masses, what lies between them, and the wall around them.

use crate::Law;
use crate::error::{ImpactError, counted, within};

/// A hard part of a mass, with the deceleration it bears. All parts of a mass feel the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Deceleration it bears, in multiples of standard gravity.
    pub allowable_g: f64,
}

/// A body that moves as one point.
#[derive(Debug, Clone, PartialEq)]
pub struct Mass {
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Its parts; may be none.
    pub parts: Vec<Part>,
}

impl Mass {
    /// A mass in kg without stated parts.
    #[must_use]
    pub fn new(mass_kg: f64) -> Mass {
        Mass { mass_kg, parts: Vec::new() }
    }

    /// The same mass with one more part that bears this deceleration, in multiples of standard gravity.
    #[must_use]
    pub fn bearing(mut self, allowable_g: f64) -> Mass {
        self.parts.push(Part { allowable_g });
        self
    }
}

/// One of the carton's own axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// First axis.
    X,
    /// Second axis.
    Y,
    /// Third axis.
    Z,
}

impl Axis {
    /// The three, in order.
    pub const ALL: [Axis; 3] = [Axis::X, Axis::Y, Axis::Z];

    pub(crate) fn place(self) -> usize {
        match self {
            Axis::X => 0,
            Axis::Y => 1,
            Axis::Z => 2,
        }
    }
}

/// What a link or contact is tied to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// The mass at this place in the list, from 0.
    Mass(usize),
    /// The carton's wall, rigid.
    Wall,
}

/// One layer of cushion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Stress over strain on first pressing.
    pub law: Law,
    /// Bearing area, m2.
    pub area_m2: f64,
    /// Thickness when free, m.
    pub thickness_m: f64,
    /// Speed a mass gets back over the speed it came with, 0 (lost) to 1 (elastic); energies go with its
    /// square. Under 0.1 counts as 0.1, so that a cushion never lets go in no time.
    pub restitution: f64,
}

/// A one-sided cushion along one axis: it pushes when pressed and never pulls.
///
/// Several links between the same ends act in parallel; the layers of one link act in series.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// The end at the lower coordinate.
    pub low: End,
    /// The end at the higher coordinate.
    pub high: End,
    /// The axis along which it acts.
    pub axis: Axis,
    /// Layers in series, at least one.
    pub layers: Vec<Layer>,
    /// Way the ends may go towards each other before the cushion is touched, m.
    pub slack_m: f64,
    /// Force per closing speed while it is pressed, N s/m.
    pub damping_n_s_per_m: f64,
}

impl Link {
    /// A link of one layer, touching, undamped.
    #[must_use]
    pub fn new(low: End, high: End, axis: Axis, layer: Layer) -> Link {
        Link { low, high, axis, layers: vec![layer], slack_m: 0.0, damping_n_s_per_m: 0.0 }
    }

    /// The same link with one more layer in series.
    #[must_use]
    pub fn and(mut self, layer: Layer) -> Link {
        self.layers.push(layer);
        self
    }
}

/// Two hard parts that may meet along one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// The end at the lower coordinate.
    pub low: End,
    /// The end at the higher coordinate.
    pub high: End,
    /// The axis along which they approach.
    pub axis: Axis,
    /// Way between the hard parts at rest, m.
    pub gap_m: f64,
    /// Force per further approach once they touch, N/m; [`crate::HARD_STIFFNESS_N_PER_M`] if nothing better is
    /// known.
    pub stiffness_n_per_m: f64,
    /// Restitution of speed, 0 to 1, as for a layer.
    pub restitution: f64,
}

/// Masses in a rigid carton and all that lies between them.
///
/// ```
/// use impact::{Axis, Drop, End, Law, Layer, Link, Mass, Network, Settings, simulate};
///
/// // 10 lb on springs of 50 lb/in, dropped 36 in.
/// let spring = Law::Spring { modulus_pa: 50.0 * 175.126_835 * 0.1 / 0.01 };
/// let layer = Layer { law: spring, area_m2: 0.01, thickness_m: 0.1, restitution: 1.0 };
/// let network = Network {
///     masses: vec![Mass::new(4.535_923_7).bearing(25.0)],
///     links: vec![Link::new(End::Wall, End::Mass(0), Axis::Z, layer)],
///     contacts: vec![],
/// };
/// let response = simulate(&network, &Drop::new(36.0 * 0.0254, [0.0, 0.0, -1.0]), &Settings::default())?;
/// assert!((response.masses[0].peak_g - 18.97).abs() < 0.05);
/// assert!(response.masses[0].parts[0].share_of_allowable < 0.8);
/// # Ok::<(), impact::ImpactError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// The masses, at least one.
    pub masses: Vec<Mass>,
    /// The cushions between them and the wall.
    pub links: Vec<Link>,
    /// The hard parts that may meet.
    pub contacts: Vec<Contact>,
}

/// Most masses of one network, most links, most contacts.
const MOST: usize = 10_000;
/// Most layers of one link.
const MOST_LAYERS: usize = 20;
const FACTORS: (f64, f64) = (0.0, 1.0);
const WAYS_M: (f64, f64) = (0.0, 10.0);

impl Network {
    pub(crate) fn check(&self) -> Result<(), ImpactError> {
        counted("the network", "masses", self.masses.len(), (1, MOST))?;
        counted("the network", "links", self.links.len(), (0, MOST))?;
        counted("the network", "contacts", self.contacts.len(), (0, MOST))?;
        for (n, mass) in self.masses.iter().enumerate() {
            let place = format!("mass {n}");
            within(&place, "the mass", mass.mass_kg, (1e-4, 1e4), "kg")?;
            for part in &mass.parts {
                within(&place, "the allowable deceleration", part.allowable_g, (1e-3, 1e6), "g")?;
            }
        }
        for (n, link) in self.links.iter().enumerate() {
            let place = format!("link {n}");
            self.ends(&place, link.low, link.high)?;
            counted(&place, "layers", link.layers.len(), (1, MOST_LAYERS))?;
            within(&place, "the slack", link.slack_m, WAYS_M, "m")?;
            within(&place, "the damping", link.damping_n_s_per_m, (0.0, 1e6), "N s/m")?;
            for (m, layer) in link.layers.iter().enumerate() {
                let place = format!("link {n}, layer {m}");
                layer.law.check(&place)?;
                within(&place, "the area", layer.area_m2, (1e-7, 100.0), "m2")?;
                within(&place, "the thickness", layer.thickness_m, (1e-5, 10.0), "m")?;
                within(&place, "the restitution", layer.restitution, FACTORS, "(no unit)")?;
            }
        }
        for (n, contact) in self.contacts.iter().enumerate() {
            let place = format!("contact {n}");
            self.ends(&place, contact.low, contact.high)?;
            within(&place, "the gap", contact.gap_m, WAYS_M, "m")?;
            within(&place, "the stiffness", contact.stiffness_n_per_m, (1.0, 1e10), "N/m")?;
            within(&place, "the restitution", contact.restitution, FACTORS, "(no unit)")?;
        }
        Ok(())
    }

    fn ends(&self, place: &str, low: End, high: End) -> Result<(), ImpactError> {
        if low == high {
            return Err(ImpactError::SameEnds { place: place.to_owned() });
        }
        for end in [low, high] {
            match end {
                End::Mass(mass) if mass >= self.masses.len() => {
                    let count = self.masses.len();
                    return Err(ImpactError::UnknownMass { place: place.to_owned(), mass, count });
                }
                End::Mass(_) | End::Wall => {}
            }
        }
        Ok(())
    }
}
