//! What holds of every drop.

mod parcel;

use impact::{
    Axis, Contact, Drop, End, HARD_STIFFNESS_N_PER_M, Law, Layer, Link, Mass, Model, Network, Response,
    STANDARD_GRAVITY, Settings, attitudes, simulate,
};
use proptest::prelude::*;

fn long() -> Settings {
    Settings { rest_share: 0.0, ..Settings::default() }
}

fn spring(stiffness: f64, restitution: f64) -> Layer {
    Layer { law: Law::Spring { modulus_pa: stiffness * 10.0 }, area_m2: 0.01, thickness_m: 0.1, restitution }
}

fn foam(thickness_m: f64) -> Layer {
    let law = Law::StressEnergy { a_pa: 63.7e3, b_per_pa: 1.66e-5 };
    Layer { law, area_m2: 0.005, thickness_m, restitution: 0.6 }
}

fn single(links: Vec<Link>, mass_kg: f64) -> Network {
    Network { masses: vec![Mass::new(mass_kg)], links, contacts: vec![] }
}

fn floor(layer: Layer) -> Link {
    Link::new(End::Wall, End::Mass(0), Axis::Z, layer)
}

fn down(height_m: f64) -> Drop {
    Drop { gravity: false, ..Drop::new(height_m, [0.0, 0.0, -1.0]) }
}

#[test]
fn two_masses_in_series_move_as_their_two_modes() {
    for (m1, m2, k1, k2) in [(1.0, 0.5, 2e4, 1e4), (0.3, 2.0, 5e4, 5e4), (2.0, 0.2, 1e4, 8e3)] {
        let links =
            vec![floor(spring(k1, 1.0)), Link::new(End::Mass(0), End::Mass(1), Axis::Z, spring(k2, 1.0))];
        let network = Network { masses: vec![Mass::new(m1), Mass::new(m2)], links, contacts: vec![] };
        let drop = down(0.6);
        // Modes of [[k1 + k2, -k2], [-k2, k2]] over the masses, both set off at the speed of the fall.
        let (half, product): (f64, f64) = (((k1 + k2) * m2 + k2 * m1) / (2.0 * m1 * m2), k1 * k2 / (m1 * m2));
        let modes = [-1.0, 1.0].map(|sign| {
            let square = half + sign * (half * half - product).sqrt();
            let shape = (k1 + k2 - square * m1) / k2;
            let share = (m1 + shape * m2) / (m1 + shape * shape * m2);
            (square.sqrt(), shape, share * drop.speed())
        });
        let places = |time: f64| {
            modes.iter().fold((0.0, 0.0), |(one, two), (rate, shape, speed)| {
                let now = speed / rate * (rate * time).sin();
                (one + now, two + shape * now)
            })
        };
        // Up to the moment at which one of the springs lets go.
        let (mut time, mut most) = (1e-6, [0.0_f64; 4]);
        loop {
            let (one, two) = places(time);
            if one <= 0.0 || two <= one {
                break;
            }
            let pushes = (k1 * one, k2 * (two - one));
            let sizes = [(pushes.1 - pushes.0).abs() / m1, pushes.1 / m2, one, two - one];
            most = std::array::from_fn(|n| most[n].max(sizes[n]));
            time += 1e-6;
        }
        let response = simulate(&network, &drop, &Settings { time_s: time, ..long() }).unwrap();
        let found = [
            response.masses[0].peak_g * STANDARD_GRAVITY,
            response.masses[1].peak_g * STANDARD_GRAVITY,
            response.links[0].peak_m,
            response.links[1].peak_m,
        ];
        for (found, right) in found.iter().zip(most) {
            assert!((found / right - 1.0).abs() < 0.005, "{found} for {right}");
        }
    }
}

#[test]
fn a_mass_leaves_with_the_restitution_of_its_cushion_whatever_the_law() {
    let laws = [
        Law::Spring { modulus_pa: 1e5 },
        Law::Bottoming { modulus_pa: 1e5, strain: 0.2, beyond_pa: 1e6 },
        Law::Tangent { modulus_pa: 1e5, limit_strain: 0.7 },
        Law::StressEnergy { a_pa: 5e4, b_per_pa: 2e-5 },
        Law::Plateau { stress_pa: 8e4, cushion_factor: 2.0 },
    ];
    for law in laws {
        for restitution in [0.2, 0.5, 0.8, 1.0] {
            let layer = Layer { law, area_m2: 0.01, thickness_m: 0.1, restitution };
            let response = simulate(&single(vec![floor(layer)], 1.0), &down(0.7), &long()).unwrap();
            let (start, end) = (response.audit.start, response.audit.end);
            assert!(end.stored_j.abs() < 1e-9, "still in touch");
            let found = (end.moving_j / start.moving_j).sqrt();
            assert!((found / restitution - 1.0).abs() < 0.005, "{law:?}: {found} for {restitution}");
        }
    }
}

#[test]
fn springs_in_series_and_in_parallel_are_one_spring() {
    let peak =
        |links: Vec<Link>| simulate(&single(links, 1.0), &down(0.5), &long()).unwrap().masses[0].peak_g;
    let (a, b) = (spring(2e4, 1.0), spring(6e4, 1.0));
    let pairs = [
        (peak(vec![floor(a).and(b)]), peak(vec![floor(spring(1.5e4, 1.0))])),
        (peak(vec![floor(a), floor(b)]), peak(vec![floor(spring(8e4, 1.0))])),
    ];
    for (found, right) in pairs {
        assert!((found / right - 1.0).abs() < 1e-9, "{found} for {right}");
    }
}

#[test]
fn a_damped_spring_gives_the_damped_closed_form() {
    let (mass, stiffness, ratio) = (1.0, 1e4_f64, 0.2_f64);
    let rate = (stiffness / mass).sqrt();
    let mut link = floor(spring(stiffness, 1.0));
    link.damping_n_s_per_m = 2.0 * ratio * rate * mass;
    let response = simulate(&single(vec![link], mass), &down(0.5), &long()).unwrap();
    // Deepest place of x'' + 2 z w x' + w^2 x = 0 from 0 at speed v.
    let damped = (1.0 - ratio * ratio).sqrt();
    let angle = (damped / ratio).atan();
    let deepest = down(0.5).speed() / rate * (-ratio / damped * angle).exp();
    assert!((response.links[0].peak_m / deepest - 1.0).abs() < 0.005);
    // It leaves where spring and damper together would begin to pull, at the speed it has there.
    let speed_at = |time: f64| {
        let (turn, left) = (rate * damped * time, (-ratio * rate * time).exp() * down(0.5).speed());
        (left * turn.sin() / (rate * damped), left * (turn.cos() - ratio / damped * turn.sin()))
    };
    let pushes = |time: f64| rate * rate * speed_at(time).0 + 2.0 * ratio * rate * speed_at(time).1 > 0.0;
    let gone = (1..).map(|n| 1e-6 * f64::from(n)).find(|&time| !pushes(time)).unwrap();
    let left = (2.0 * response.audit.end.moving_j / mass).sqrt();
    assert!((left / speed_at(gone).1.abs() - 1.0).abs() < 0.005);
}

#[test]
fn a_link_never_pulls() {
    let settings = Settings { record: true, ..long() };
    let mut link = floor(spring(1e4, 1.0));
    link.damping_n_s_per_m = 50.0;
    let response = simulate(&single(vec![link], 1.0), &down(0.5), &settings).unwrap();
    let record = &response.audit.record;
    let gone = record.iter().position(|now| now.time_s > 0.0 && now.stored_j == 0.0).unwrap();
    let speeds = record[gone..].iter().map(|now| now.moving_j);
    assert!(speeds.clone().count() > 10);
    assert!(speeds.clone().all(|moving| (moving - record[gone].moving_j).abs() < 1e-12));
}

#[test]
fn slack_delays_the_peak_and_changes_nothing_else() {
    let mut link = floor(spring(1e4, 1.0));
    let taut = simulate(&single(vec![link.clone()], 1.0), &down(0.5), &long()).unwrap();
    link.slack_m = 0.02;
    let slack = simulate(&single(vec![link], 1.0), &down(0.5), &long()).unwrap();
    assert!((slack.masses[0].peak_g / taut.masses[0].peak_g - 1.0).abs() < 0.001);
    assert!((slack.links[0].peak_m / taut.links[0].peak_m - 1.0).abs() < 0.001);
    let delay = slack.masses[0].peak_at_s - taut.masses[0].peak_at_s;
    assert!((delay / (0.02 / down(0.5).speed()) - 1.0).abs() < 0.02);
}

#[test]
fn deceleration_falls_as_the_cushion_thickens_below_its_best_loading() {
    // At most 0.1 psi over a best loading of 0.4 psi and more.
    let mut last = f64::INFINITY;
    for n in 2..12 {
        let layer = foam(0.0127 * f64::from(n));
        let found =
            simulate(&single(vec![floor(layer)], 0.35), &down(0.76), &long()).unwrap().masses[0].peak_g;
        assert!(found < last, "{n}");
        last = found;
    }
}

#[test]
fn deceleration_rises_with_height() {
    let model = Model::new(&single(vec![floor(foam(0.05))], 0.5)).unwrap();
    let peaks: Vec<f64> =
        (1..20).map(|n| model.drop(&down(0.05 * f64::from(n)), &long()).unwrap().masses[0].peak_g).collect();
    assert!(peaks.windows(2).all(|pair| pair[1] > pair[0]));
}

#[test]
fn halving_the_step_moves_no_peak_by_a_hundredth() {
    let model = Model::new(&parcel::parcel()).unwrap();
    let coarse = Settings::default();
    let fine = Settings { step_radians: coarse.step_radians / 2.0, ..coarse };
    for way in attitudes(parcel::SIDES_M, [0.21, 0.16, 0.18]).unwrap() {
        for height in [0.46, 0.76, 0.91] {
            let drop = Drop::new(height, way.direction);
            let (one, two) = (model.drop(&drop, &coarse).unwrap(), model.drop(&drop, &fine).unwrap());
            for (one, two) in one.masses.iter().zip(&two.masses) {
                let change = (one.peak_g / two.peak_g - 1.0).abs();
                assert!(change < 0.01, "{:?} from {height} m: {change}", way.strikes);
            }
        }
    }
}

/// The network seen in a mirror across one axis.
fn mirrored(network: &Network, axis: Axis) -> Network {
    let mut seen = network.clone();
    for link in seen.links.iter_mut().filter(|link| link.axis == axis) {
        std::mem::swap(&mut link.low, &mut link.high);
    }
    for contact in seen.contacts.iter_mut().filter(|contact| contact.axis == axis) {
        std::mem::swap(&mut contact.low, &mut contact.high);
    }
    seen
}

#[test]
fn a_mirrored_network_answers_in_the_mirror() {
    let network = parcel::parcel();
    for (n, axis) in Axis::ALL.into_iter().enumerate() {
        let mut drop = Drop::new(0.76, [0.5, -0.6, 0.7]);
        let straight = simulate(&network, &drop, &Settings::default()).unwrap();
        drop.direction[n] = -drop.direction[n];
        let seen = simulate(&mirrored(&network, axis), &drop, &Settings::default()).unwrap();
        for (one, two) in straight.masses.iter().zip(&seen.masses) {
            assert!((one.peak_g / two.peak_g - 1.0).abs() < 1e-9);
        }
        for (one, two) in straight.links.iter().zip(&seen.links) {
            assert!((one.peak_m - two.peak_m).abs() < 1e-9);
        }
    }
}

/// One mass in a cube with the same cushion on all sides.
fn cube() -> Network {
    let mut network = single(vec![], 0.6);
    for axis in Axis::ALL {
        network.links.push(Link::new(End::Wall, End::Mass(0), axis, foam(0.05)));
        network.links.push(Link::new(End::Mass(0), End::Wall, axis, foam(0.05)));
    }
    network
}

#[test]
fn on_an_edge_or_corner_a_cube_feels_the_same_along_each_axis_struck() {
    let model = Model::new(&cube()).unwrap();
    for way in attitudes([0.3; 3], [0.15; 3]).unwrap() {
        let response = model.drop(&Drop::new(0.76, way.direction), &Settings::default()).unwrap();
        let mass = &response.masses[0];
        let struck: Vec<f64> = (0..3).filter(|&n| way.strikes[n] != 0).map(|n| mass.axis_peak_g[n]).collect();
        let most = struck.iter().fold(0.0_f64, |most, size| most.max(*size));
        assert!(struck.iter().all(|size| (size / most - 1.0).abs() < 1e-12));
        assert!((mass.peak_g / (most * (struck.len() as f64).sqrt()) - 1.0).abs() < 1e-9);
        for n in (0..3).filter(|&n| way.strikes[n] == 0) {
            assert_eq!(mass.axis_peak_g[n], 0.0);
        }
    }
}

#[test]
fn an_edge_drop_is_two_face_drops_from_the_shared_height() {
    // Without gravity the axes know nothing of each other: each falls with its part of the speed.
    let model = Model::new(&cube()).unwrap();
    let (height, part) = (0.76, 0.6);
    let edge = Drop { gravity: false, ..Drop::new(height, [0.6, 0.0, -0.8]) };
    let face = Drop { gravity: false, ..Drop::new(height * part * part, [1.0, 0.0, 0.0]) };
    let (both, one) = (model.drop(&edge, &long()).unwrap(), model.drop(&face, &long()).unwrap());
    assert!((both.masses[0].axis_peak_g[0] / one.masses[0].axis_peak_g[0] - 1.0).abs() < 0.005);
}

#[test]
fn the_same_drop_gives_the_same_bits() {
    let drop = Drop::new(0.76, [0.3, 0.4, -0.5]);
    let run =
        || simulate(&parcel::parcel(), &drop, &Settings { record: true, ..Settings::default() }).unwrap();
    let show = |response: &Response| format!("{response:?}");
    assert_eq!(show(&run()), show(&run()));
}

#[test]
fn hard_parts_that_close_their_gap_meet_in_a_spike() {
    let layer = spring(1e4, 0.8);
    let with_gap = |gap_m: f64| {
        let contact = Contact {
            low: End::Wall,
            high: End::Mass(0),
            axis: Axis::Z,
            gap_m,
            stiffness_n_per_m: HARD_STIFFNESS_N_PER_M,
            restitution: 0.8,
        };
        let network = Network { contacts: vec![contact], ..single(vec![floor(layer)], 0.5) };
        simulate(&network, &down(0.5), &long()).unwrap()
    };
    // Alone the spring is pressed by v sqrt(m / k).
    let depth = down(0.5).speed() * (0.5 / 1e4_f64).sqrt();
    let (wide, narrow) = (with_gap(depth + 0.004), with_gap(depth - 0.004));
    assert!((wide.contacts[0].closest_m - 0.004).abs() < 1e-5);
    assert_eq!((wide.contacts[0].met_m_per_s, wide.contacts[0].peak_n), (None, 0.0));
    assert_eq!(narrow.contacts[0].closest_m, 0.0);
    // Speed left at the gap, and the spike it makes on the hard spring beside the soft one.
    let left = (down(0.5).speed().powi(2) - 1e4 / 0.5 * (depth - 0.004).powi(2)).sqrt();
    let met = narrow.contacts[0].met_m_per_s.unwrap();
    assert!((met / left - 1.0).abs() < 0.01, "{met} for {left}");
    // Its energy goes into both: k x^2 / 2 + f x = m v^2 / 2, f being the soft force at the gap.
    let (both, soft) = (HARD_STIFFNESS_N_PER_M + 1e4, 1e4 * (depth - 0.004));
    let deep = ((soft * soft + both * 0.5 * left * left).sqrt() - soft) / both;
    assert!((narrow.contacts[0].peak_n / (HARD_STIFFNESS_N_PER_M * deep) - 1.0).abs() < 0.01);
    assert!(narrow.masses[0].peak_g > 5.0 * wide.masses[0].peak_g);
}

fn laws() -> impl Strategy<Value = Law> {
    prop_oneof![
        (4.0..7.0_f64).prop_map(|power| Law::Spring { modulus_pa: 10f64.powf(power) }),
        (4.0..6.0_f64, 0.1..0.9_f64, 6.0..8.0_f64).prop_map(|(power, strain, beyond)| Law::Bottoming {
            modulus_pa: 10f64.powf(power),
            strain,
            beyond_pa: 10f64.powf(beyond)
        }),
        (4.0..6.0_f64, 0.2..1.0_f64)
            .prop_map(|(power, limit_strain)| Law::Tangent { modulus_pa: 10f64.powf(power), limit_strain }),
        (3.5..5.5_f64, 0.5..3.0_f64).prop_map(|(power, product)| Law::StressEnergy {
            a_pa: 10f64.powf(power),
            b_per_pa: product / 10f64.powf(power)
        }),
        (3.5..5.5_f64, 1.2..6.0_f64).prop_map(|(power, cushion_factor)| Law::Plateau {
            stress_pa: 10f64.powf(power),
            cushion_factor
        }),
    ]
}

fn layers() -> impl Strategy<Value = Layer> {
    (laws(), 0.001..0.02_f64, 0.005..0.08_f64, 0.0..=1.0_f64)
        .prop_map(|(law, area_m2, thickness_m, restitution)| Layer { law, area_m2, thickness_m, restitution })
}

fn networks() -> impl Strategy<Value = Network> {
    let end = |n: usize| if n == 0 { End::Wall } else { End::Mass(n - 1) };
    let axes = prop::sample::select(Axis::ALL.to_vec());
    let links = (0..5_usize, 1..5_usize, axes.clone(), prop::collection::vec(layers(), 1..3));
    let links = (links, 0.0..0.01_f64, prop_oneof![Just(0.0), 0.0..100.0_f64]);
    let contacts = (0..5_usize, 1..5_usize, axes, 0.0..0.05_f64, 0.0..=1.0_f64);
    let masses = prop::collection::vec(0.05..5.0_f64, 4);
    (masses, prop::collection::vec(links, 1..12), prop::collection::vec(contacts, 0..4)).prop_map(
        move |(masses, links, contacts)| {
            let pair = |a: usize, step: usize| (end(a), end((a + step) % 5));
            let links = links.into_iter().map(|((a, step, axis, layers), slack_m, damping_n_s_per_m)| {
                let (low, high) = pair(a, step);
                Link { low, high, axis, layers, slack_m, damping_n_s_per_m }
            });
            let contacts = contacts.into_iter().map(|(a, step, axis, gap_m, restitution)| {
                let (low, high) = pair(a, step);
                let stiffness_n_per_m = HARD_STIFFNESS_N_PER_M;
                Contact { low, high, axis, gap_m, stiffness_n_per_m, restitution }
            });
            let masses = masses.into_iter().map(Mass::new);
            Network { masses: masses.collect(), links: links.collect(), contacts: contacts.collect() }
        },
    )
}

/// How far one step may miss its balance, as a share of the energy of the fall, and all steps together.
const BALANCED: f64 = 1e-3;

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn energy_never_grows_and_none_goes_missing(
        network in networks(),
        height in 0.05..2.0_f64,
        direction in [-1.0..1.0_f64, -1.0..1.0_f64, 0.1..1.0_f64],
        gravity in any::<bool>(),
    ) {
        let drop = Drop { gravity, ..Drop::new(height, direction) };
        let response = simulate(&network, &drop, &Settings { record: true, ..long() }).unwrap();
        let record = &response.audit.record;
        let start = record[0].mechanical_j();
        let mut least = start;
        for now in record {
            prop_assert!(now.mechanical_j() <= least + BALANCED * start, "gain {}", (now.mechanical_j() - least) / start);
            least = least.min(now.mechanical_j());
            prop_assert!((now.mechanical_j() + now.lost_j - start).abs() <= BALANCED * start,
                "imbalance {}", (now.mechanical_j() + now.lost_j - start) / start);
            prop_assert!(now.stored_j >= -1e-9 * start);
        }
        prop_assert!(record.windows(2).all(|pair| pair[1].lost_j >= pair[0].lost_j - 1e-9 * start));
    }
}
