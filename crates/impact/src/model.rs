//! A network made ready: checked, its curves laid out, to be dropped again and again.

use crate::curve::{Curve, Knot};
use crate::march::march;
use crate::network::{Axis, End, Network};
use crate::spring::Spring;
use crate::{Drop, ImpactError, Response, Settings};

/// A network made ready for any number of drops.
#[derive(Debug, Clone)]
pub struct Model {
    /// kg.
    pub(crate) masses: Vec<f64>,
    /// Allowable decelerations of the parts of each mass.
    pub(crate) allowable: Vec<Vec<f64>>,
    /// Springs with the axis they act along: first the links, then the contacts, in the network's order. Ends
    /// are places of masses; the wall is one past the last.
    pub(crate) springs: Vec<(Axis, Spring)>,
    /// Compression at which each spring bottoms, m.
    pub(crate) bottoms: Vec<f64>,
    pub(crate) links: usize,
    pub(crate) knots: Vec<Knot>,
}

impl Model {
    /// Makes a network ready.
    ///
    /// # Errors
    ///
    /// A figure out of range, an end that is not there, a link without layers, no masses.
    pub fn new(network: &Network) -> Result<Model, ImpactError> {
        network.check()?;
        let wall = network.masses.len();
        let mut model = Model {
            masses: network.masses.iter().map(|mass| mass.mass_kg).collect(),
            allowable: (network.masses.iter())
                .map(|mass| mass.parts.iter().map(|part| part.allowable_g).collect())
                .collect(),
            springs: Vec::with_capacity(network.links.len() + network.contacts.len()),
            bottoms: Vec::with_capacity(network.links.len() + network.contacts.len()),
            links: network.links.len(),
            knots: Vec::new(),
        };
        let place = |end: End| match end {
            End::Mass(mass) => mass,
            End::Wall => wall,
        };
        for link in &network.links {
            let ends = [place(link.low), place(link.high)];
            model.add(link.axis, ends, link.slack_m, link.damping_n_s_per_m, &Curve::of(&link.layers));
        }
        for contact in &network.contacts {
            let ends = [place(contact.low), place(contact.high)];
            let curve = Curve::hard(contact.stiffness_n_per_m, contact.restitution);
            model.add(contact.axis, ends, contact.gap_m, 0.0, &curve);
        }
        Ok(model)
    }

    fn add(&mut self, axis: Axis, [low, high]: [usize; 2], slack_m: f64, damping: f64, curve: &Curve) {
        let wall = self.masses.len();
        let weight = if low == wall || high == wall { 1.0 } else { 2.0 };
        let (first, knots) = (self.knots.len(), curve.knots.len());
        self.knots.extend_from_slice(&curve.knots);
        self.springs.push((axis, Spring { low, high, slack_m, damping, first, knots, weight }));
        self.bottoms.push(curve.bottom_m);
    }

    /// Drops it once.
    ///
    /// # Errors
    ///
    /// A height, direction or setting out of range; steps that ran out before the time was over.
    pub fn drop(&self, drop: &Drop, settings: &Settings) -> Result<Response, ImpactError> {
        drop.check()?;
        settings.check()?;
        march(self, drop, settings)
    }
}

/// Makes a network ready and drops it once; for many drops of one network keep a [`Model`].
///
/// # Errors
///
/// As [`Model::new`] and [`Model::drop`].
pub fn simulate(network: &Network, drop: &Drop, settings: &Settings) -> Result<Response, ImpactError> {
    Model::new(network)?.drop(drop, settings)
}
