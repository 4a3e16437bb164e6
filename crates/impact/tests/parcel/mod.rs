//! A parcel of twelve masses, three by two by two, cushioned from each other and from the walls.

use impact::{Axis, Contact, End, HARD_STIFFNESS_N_PER_M, Law, Layer, Link, Mass, Network};

/// Masses along each axis.
const COUNT: [usize; 3] = [3, 2, 2];
/// Outside of the carton, m.
pub const SIDES_M: [f64; 3] = [0.46, 0.34, 0.34];

/// Foam against the walls, soft wrap between neighbours, hard parts behind both; 52 links, 52 contacts.
pub fn parcel() -> Network {
    let wall = Layer {
        law: Law::StressEnergy { a_pa: 54.5e3, b_per_pa: 2.02e-5 },
        area_m2: 0.003,
        thickness_m: 0.05,
        restitution: 0.6,
    };
    let wrap = Layer {
        law: Law::StressEnergy { a_pa: 13.8e3, b_per_pa: 1.2e-4 },
        area_m2: 0.006,
        thickness_m: 0.012,
        restitution: 0.6,
    };
    let mut network = Network::default();
    for n in 0..12_u8 {
        network.masses.push(Mass::new(0.3 + 0.02 * f64::from(n)).bearing(45.0).bearing(75.0));
    }
    let place = |at: [usize; 3]| at[0] + COUNT[0] * (at[1] + COUNT[1] * at[2]);
    for (k, axis) in Axis::ALL.into_iter().enumerate() {
        for mass in 0..12 {
            let at = [mass % COUNT[0], mass / COUNT[0] % COUNT[1], mass / (COUNT[0] * COUNT[1])];
            let high = if at[k] + 1 < COUNT[k] {
                let mut neighbour = at;
                neighbour[k] += 1;
                End::Mass(place(neighbour))
            } else {
                End::Wall
            };
            let mut tie = |low: End, high: End| {
                let outer = low == End::Wall || high == End::Wall;
                let link = Link::new(low, high, axis, wrap);
                network.links.push(if outer { link.and(wall) } else { link.and(wrap) });
                let gap_m = if outer { 0.06 } else { 0.023 };
                let stiffness_n_per_m = HARD_STIFFNESS_N_PER_M;
                network.contacts.push(Contact {
                    low,
                    high,
                    axis,
                    gap_m,
                    stiffness_n_per_m,
                    restitution: 0.8,
                });
            };
            if at[k] == 0 {
                tie(End::Wall, End::Mass(mass));
            }
            tie(End::Mass(mass), high);
        }
    }
    network
}
