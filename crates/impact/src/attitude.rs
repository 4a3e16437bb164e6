//! The twenty-six ways a carton comes down: on a face, an edge or a corner.

use crate::drop::unit;
use crate::error::{ImpactError, within};

/// One way down: the centre of mass stands over the face, edge or corner that strikes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attitude {
    /// For each axis: -1 for the wall at 0, 1 for the one opposite, 0 for neither. One that is not 0 is a
    /// face, two an edge, three a corner.
    pub strikes: [i8; 3],
    /// Direction of fall in the carton's axes, length 1.
    pub direction: [f64; 3],
}

/// All attitudes of a carton of these sides, in m, with its centre of mass at `centre_m` from the corner where
/// all coordinates are 0: 6 faces, then 12 edges, then 8 corners.
///
/// ```
/// let ways = impact::attitudes([0.4, 0.3, 0.2], [0.2, 0.15, 0.1])?;
/// assert_eq!(ways.len(), 26);
/// assert_eq!(ways[4].direction, [0.0, 0.0, -1.0]);
/// # Ok::<(), impact::ImpactError>(())
/// ```
///
/// # Errors
///
/// Sides outside 1 mm to 100 m, or a centre of mass not inside the carton.
pub fn attitudes(sides_m: [f64; 3], centre_m: [f64; 3]) -> Result<Vec<Attitude>, ImpactError> {
    let mut away = [[0.0; 2]; 3];
    for ((side, centre), away) in sides_m.into_iter().zip(centre_m).zip(&mut away) {
        within("the carton", "a side", side, (1e-3, 100.0), "m")?;
        within("the carton", "its centre of mass", centre, (side * 1e-6, side * (1.0 - 1e-6)), "m")?;
        *away = [-centre, side - centre];
    }
    let mut ways = Vec::with_capacity(26);
    for struck in 1..=3 {
        for code in 0..27_i8 {
            // Digits 0, 1, 2 of the code mean neither, low, high; the last axis turns slowest.
            let (mut strikes, mut direction) = ([0; 3], [0.0; 3]);
            let digits = [code % 3, code / 3 % 3, code / 9];
            for (n, digit) in digits.into_iter().enumerate() {
                (strikes[n], direction[n]) = match digit {
                    1 => (-1, away[n][0]),
                    2 => (1, away[n][1]),
                    _ => (0, 0.0),
                };
            }
            if strikes.iter().filter(|strike| **strike != 0).count() == struck {
                ways.push(Attitude { strikes, direction: unit(direction)? });
            }
        }
    }
    Ok(ways)
}
