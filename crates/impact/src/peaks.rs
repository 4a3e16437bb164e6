//! Largest values, found between the points at which they are computed.

/// Largest size of one quantity and when it came.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Peak {
    pub size: f64,
    pub at_s: f64,
}

impl Peak {
    /// Takes note of a step: sizes at its start, middle and end. The parabola through them tells how far a
    /// smooth top stands above the highest; `most_above` is the share by which it can, so that a corner, as
    /// where a plateau begins, is not taken for a top.
    pub fn note(&mut self, [first, middle, last]: [f64; 3], (start_s, step_s): (f64, f64), most_above: f64) {
        let (highest, share) = if first >= middle && first >= last {
            (first, 0.0)
        } else if middle >= last {
            (middle, 0.5)
        } else {
            (last, 1.0)
        };
        if highest * (1.0 + most_above) <= self.size {
            return;
        }
        let curvature = 2.0 * first - 4.0 * middle + 2.0 * last;
        let slope = 4.0 * middle - 3.0 * first - last;
        let top = -slope / (2.0 * curvature);
        let (size, share) = if curvature < 0.0 && top > 0.0 && top < 1.0 {
            ((first + slope * top / 2.0).min(highest * (1.0 + most_above)), top)
        } else {
            (highest, share)
        };
        if size > self.size {
            *self = Peak { size, at_s: start_s + share * step_s };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_top_of_a_sine_is_found_between_its_points() {
        for shift in [0.0, 0.05, 0.1, 0.2, 0.3] {
            let at = |share: f64| (std::f64::consts::FRAC_PI_2 - shift + 0.3 * share).sin();
            let mut peak = Peak::default();
            peak.note([at(0.0), at(0.5), at(1.0)], (0.0, 0.3), 0.3 * 0.3 / 32.0);
            assert!((peak.size - 1.0).abs() < 1e-4);
            assert!((peak.at_s - shift).abs() < 3e-3);
        }
    }

    #[test]
    fn a_corner_is_not_taken_for_a_top() {
        let mut peak = Peak::default();
        peak.note([0.0, 1.0, 1.0], (0.0, 1.0), 0.01);
        assert!(peak.size <= 1.01);
    }
}
