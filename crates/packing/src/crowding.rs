//! How many points that keep a distance go into a rectangle: what discs need, whatever their handles do.
//!
//! The centres of discs that must keep apart are such points. Every figure here is an upper bound on
//! their number that has been proved, so that a layer it rejects has no layout at all.

/// Least side of a square that holds so many points at distance 1 or more: (points, side). Proved optimal:
/// 2 to 9 and 25 in closed form (Schaer 1965, Schaer and Meir 1965; Wengerodt 1987 for 25), the rest by
/// interval branch and bound or by hand (Markot and Csendes 2005 and the list kept by E. Specht, of which
/// half was at hand). A number that is not listed is answered by the next smaller one.
const SQUARES: [(usize, f64); 22] = [
    (2, std::f64::consts::FRAC_1_SQRT_2),
    (3, 0.965_925_826_289),
    (4, 1.0),
    (5, std::f64::consts::SQRT_2),
    (6, 1.664_100_588_675),
    (7, 1.866_025_403_784),
    (8, 1.931_851_652_578),
    (9, 2.0),
    (10, 2.373_720_761_619),
    (11, 2.511_254_751_715),
    (12, 2.572_478_777_137),
    (14, 2.866_025_403_784),
    (15, 2.931_851_652_578),
    (16, 3.0),
    (20, 3.489_041_676_411),
    (21, 3.679_009_979_436),
    (22, 3.731_922_545_488),
    (24, 3.931_851_652_578),
    (25, 4.0),
    (26, 4.188_749_101_956),
    (31, 4.596_701_676_023),
    (36, 5.0),
];
/// Taken off every side, so that the rounding of the table never rejects a layout that just fits.
const ROUNDING: f64 = 1e-9;
/// Most cells that a rectangle is divided into.
const CELLS: usize = 8;
/// Halvings of the range in which the least side is sought: a hundredth of a micrometre in ten metres.
const HALVINGS: usize = 44;

/// Whether `points` at distance 1 or more are proved not to go into a rectangle `long` by `short` (both in
/// units of that distance; any number).
pub(crate) fn too_crowded(points: usize, long: f64, short: f64) -> bool {
    if points < 2 {
        return false;
    }
    let (long, short) = (long.max(short) + ROUNDING, long.min(short) + ROUNDING);
    if short < 0.0 {
        return true;
    }
    let n = points as f64;
    // In the order of their places along the rectangle, neighbours differ by at most `short` across it, so
    // that they are at least this much apart along it.
    if short < 1.0 && (n - 1.0) * (1.0 - short * short).max(0.0).sqrt() > long {
        return true;
    }
    // Oler 1961 (Acta Mathematica 105): points at mutual distance 1 in a convex set of area A and
    // perimeter P number at most 2 A / sqrt 3 + P / 2 + 1.
    if n > 2.0 / 3f64.sqrt() * long * short + long + short + 1.0 + ROUNDING {
        return true;
    }
    // Cut along its length into equal cells, each of which lies in a square.
    (1..=CELLS).any(|cells| {
        let side = short.max(long / cells as f64);
        most_in_square(side).is_some_and(|most| most.saturating_mul(cells) < points)
    })
}

/// Most points at distance 1 in a square of this side; `None` beyond the table.
fn most_in_square(side: f64) -> Option<usize> {
    SQUARES.iter().find(|row| row.1 > side).map(|row| row.0 - 1)
}

/// The least shorter side of a rectangle, its sides differing by `difference`, into which `points` at
/// distance `apart` are not proved not to go, mm.
pub(crate) fn least_side(points: usize, apart: f64, difference: f64) -> f64 {
    if points < 2 || !(apart > 0.0 && difference.is_finite()) {
        return 0.0;
    }
    let crowded = |short: f64| too_crowded(points, (short + difference) / apart, short / apart);
    let (mut low, mut high) = (0.0, apart * points as f64);
    if !crowded(low) {
        return 0.0;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if crowded(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::{least_side, too_crowded};

    #[test]
    fn seven_discs_of_108_mm_need_309_53_mm_and_no_more_is_said() {
        // Proved radius of seven equal discs in the unit square: 0.174457630187.
        let side = least_side(7, 108.0, 0.0) + 108.0;
        assert!((side - 54.0 / 0.174_457_630_187).abs() < 1e-4, "{side}");
    }

    #[test]
    fn a_row_needs_its_length_and_a_zigzag_less() {
        assert!(too_crowded(4, 2.99, 0.0));
        assert!(!too_crowded(4, 3.0, 0.0));
        // Three points at the corners of an equilateral triangle and a fourth beside them.
        let height = 0.5 * 3f64.sqrt();
        assert!(too_crowded(4, 1.499, height));
        assert!(!too_crowded(4, 1.5, height));
    }

    #[test]
    fn hexagonal_rows_and_grids_are_never_called_crowded() {
        for columns in 1..9usize {
            for rows in 1..9usize {
                let (long, short) = ((columns - 1) as f64, (rows - 1) as f64);
                assert!(!too_crowded(columns * rows, long, short), "{columns} x {rows}");
                let staggered = columns * rows.div_ceil(2) + (columns - 1) * (rows / 2);
                assert!(
                    !too_crowded(staggered, long, short * 0.5 * 3f64.sqrt() + 1e-12),
                    "{columns} x {rows}"
                );
            }
        }
    }

    #[test]
    fn odd_input_is_answered_without_a_panic() {
        for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -5.0, 0.0, 1e300] {
            let _ = (too_crowded(9, odd, 1.0), least_side(9, odd, 1.0), least_side(9, 1.0, odd));
        }
        assert_eq!(least_side(0, 1.0, 0.0), 0.0);
        assert_eq!(least_side(1, 1.0, 0.0), 0.0);
    }
}
