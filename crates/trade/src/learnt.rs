//! What parcels were against what was reckoned, so that the next are reckoned by it.

/// What parcels of a kind teach: factors on reckoned weight and minutes. 1 and 1 where nothing was learnt.
///
/// A parcel is posted by the sum of its parts times the weight factor, and its minutes count times the minutes
/// factor. The plan itself keeps the sum of its parts, so that what is learnt later is learnt against that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Learnt {
    weight: f64,
    minutes: f64,
}

/// Factors that a few parcels can honestly teach lie within this of 1, either way (judgement).
const MOST: f64 = 3.0;

impl Default for Learnt {
    fn default() -> Self {
        Self { weight: 1.0, minutes: 1.0 }
    }
}

impl Learnt {
    /// From factors of actual over reckoned. Errors go against hope: a weight factor below 1 counts as 1, since a
    /// parcel is never posted as lighter than its measured parts together. Both are held within a third and three;
    /// what is no figure counts as 1.
    #[must_use]
    pub fn new(weight: f64, minutes: f64) -> Self {
        let held = |factor: f64, least: f64| if factor.is_finite() { factor.clamp(least, MOST) } else { 1.0 };
        Self { weight: held(weight, 1.0), minutes: held(minutes, 1.0 / MOST) }
    }

    /// Factor on the gross weight; from 1 to 3.
    #[must_use]
    pub const fn weight(self) -> f64 {
        self.weight
    }

    /// Factor on the minutes; from a third to 3.
    #[must_use]
    pub const fn minutes(self) -> f64 {
        self.minutes
    }
}

#[cfg(test)]
mod tests {
    use super::Learnt;

    #[test]
    fn a_parcel_is_never_reckoned_lighter_than_its_parts_and_nonsense_teaches_nothing() {
        assert_eq!(Learnt::new(0.9, 0.5).weight(), 1.0);
        assert_eq!(Learnt::new(1.1, 0.5).minutes(), 0.5);
        for nonsense in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(Learnt::new(nonsense, nonsense), Learnt::default());
        }
        assert_eq!((Learnt::new(99.0, 0.0).weight(), Learnt::new(99.0, 0.0).minutes()), (3.0, 1.0 / 3.0));
    }
}
