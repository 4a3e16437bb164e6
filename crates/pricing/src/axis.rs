//! Evenly spaced points, and the interpolation between them.

/// Evenly spaced points along one parameter; never fewer than two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Axis {
    pub(crate) start: f64,
    pub(crate) step: f64,
    pub(crate) count: usize,
}

impl Axis {
    pub(crate) fn spanning((low, high): (f64, f64), count: usize) -> Self {
        let count = count.max(2);
        Self { start: low, step: (high - low) / (count - 1) as f64, count }
    }

    pub(crate) fn at(&self, index: usize) -> f64 {
        self.start + self.step * index as f64
    }

    pub(crate) fn width(&self) -> f64 {
        self.step * (self.count - 1) as f64
    }

    pub(crate) fn end(&self) -> f64 {
        self.start + self.width()
    }

    /// The range that holds the points `first` to `last`, one step wider on both sides; on a side where these
    /// points reach the end of the axis it goes on for as much again as the axis is wide.
    pub(crate) fn range_holding(&self, first: usize, last: usize) -> (f64, f64) {
        let before = if first == 0 { self.width() } else { self.step };
        let after = if last + 1 >= self.count { self.width() } else { self.step };
        (self.at(first) - before, self.at(last) + after)
    }
}

/// Points that one interpolated value draws on: two before and three after the place it lies past.
pub(crate) const STENCIL: usize = 6;
/// How many points of the stencil come before the place.
pub(crate) const STENCIL_BEFORE: usize = 2;

/// Weights of the six neighbours of a place `t` (0 to 1) past the third of them: Lagrange's polynomial of
/// fifth degree (Abramowitz & Stegun, *Handbook of Mathematical Functions*, 25.2.21).
pub(crate) fn stencil(t: f64) -> [f64; STENCIL] {
    let (a, b, c, d, e, f) = (t + 2.0, t + 1.0, t, t - 1.0, t - 2.0, t - 3.0);
    let (low, high) = (a * b * c, d * e * f);
    [
        -b * c * high / 120.0,
        a * c * high / 24.0,
        -a * b * high / 12.0,
        low * e * f / 12.0,
        -low * d * f / 24.0,
        low * d * e / 120.0,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stencil_is_exact_for_polynomials_of_fifth_degree() {
        for t in [0.0, 0.1, 0.5, 0.77, 1.0] {
            for degree in 0..=5 {
                let found: f64 =
                    stencil(t).iter().zip(-2..).map(|(w, place)| w * f64::from(place).powi(degree)).sum();
                assert!((found - f64::powi(t, degree)).abs() < 1e-13, "{t} {degree}");
            }
        }
    }

    #[test]
    fn a_range_grows_where_its_points_reach_the_end() {
        let axis = Axis::spanning((0.0, 10.0), 11);
        assert_eq!(axis.range_holding(3, 5), (2.0, 6.0));
        assert_eq!(axis.range_holding(0, 5), (-10.0, 6.0));
        assert_eq!(axis.range_holding(4, 10), (3.0, 20.0));
    }
}
