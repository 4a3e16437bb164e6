//! What can't be asked, and that nothing asked brings the room down.

use impact::{
    Axis, Contact, Drop, End, ImpactError, Law, Layer, Link, Mass, Model, Network, Settings, attitudes,
    simulate,
};
use proptest::prelude::*;

const BAD: [f64; 5] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 1e300];

fn layer() -> Layer {
    Layer { law: Law::Spring { modulus_pa: 1e5 }, area_m2: 0.01, thickness_m: 0.05, restitution: 0.5 }
}

fn link() -> Link {
    Link::new(End::Wall, End::Mass(0), Axis::X, layer())
}

fn contact() -> Contact {
    Contact {
        low: End::Mass(0),
        high: End::Wall,
        axis: Axis::X,
        gap_m: 0.01,
        stiffness_n_per_m: 1e6,
        restitution: 0.5,
    }
}

fn network() -> Network {
    Network { masses: vec![Mass::new(1.0).bearing(50.0)], links: vec![link()], contacts: vec![contact()] }
}

fn refused(change: impl Fn(&mut Network)) -> ImpactError {
    let mut changed = network();
    change(&mut changed);
    Model::new(&changed).expect_err("it is out of range")
}

#[test]
fn every_figure_of_a_network_out_of_range_is_named() {
    for bad in BAD {
        let found = [
            refused(|network| network.masses[0].mass_kg = bad),
            refused(|network| network.masses[0].parts[0].allowable_g = bad),
            refused(|network| network.links[0].slack_m = bad),
            refused(|network| network.links[0].damping_n_s_per_m = bad),
            refused(|network| network.links[0].layers[0].area_m2 = bad),
            refused(|network| network.links[0].layers[0].thickness_m = bad),
            refused(|network| network.links[0].layers[0].restitution = bad),
            refused(|network| network.contacts[0].gap_m = bad),
            refused(|network| network.contacts[0].stiffness_n_per_m = bad),
            refused(|network| network.contacts[0].restitution = bad),
        ];
        let laws = [
            Law::Spring { modulus_pa: bad },
            Law::Bottoming { modulus_pa: bad, strain: 0.5, beyond_pa: 1e6 },
            Law::Bottoming { modulus_pa: 1e5, strain: bad, beyond_pa: 1e6 },
            Law::Bottoming { modulus_pa: 1e5, strain: 0.5, beyond_pa: bad },
            Law::Tangent { modulus_pa: bad, limit_strain: 0.5 },
            Law::Tangent { modulus_pa: 1e5, limit_strain: bad },
            Law::StressEnergy { a_pa: bad, b_per_pa: 1e-5 },
            Law::StressEnergy { a_pa: 1e5, b_per_pa: bad },
            Law::Plateau { stress_pa: bad, cushion_factor: 3.0 },
            Law::Plateau { stress_pa: 1e5, cushion_factor: bad },
        ];
        let laws = laws.map(|law| refused(|network| network.links[0].layers[0].law = law));
        for error in found.into_iter().chain(laws) {
            assert!(matches!(error, ImpactError::OutOfRange { .. }), "{error}");
        }
    }
    let told = refused(|network| network.links[0].layers[0].thickness_m = 0.0).to_string();
    assert_eq!(told, "link 0, layer 0: the thickness is 0; it has to be from 0.00001 to 10 m");
}

#[test]
fn ends_that_are_not_there_or_the_same_are_refused() {
    let error = refused(|network| network.links[0].high = End::Mass(7));
    assert_eq!(error.to_string(), "link 0: it is tied to mass 7, but there are 1 masses, counted from 0");
    assert!(matches!(refused(|network| network.links[0].high = End::Wall), ImpactError::SameEnds { .. }));
    assert!(matches!(refused(|network| network.contacts[0].low = End::Wall), ImpactError::SameEnds { .. }));
    assert!(matches!(refused(|network| network.links[0].layers.clear()), ImpactError::Count { .. }));
    assert!(matches!(refused(|network| network.masses.clear()), ImpactError::Count { .. }));
}

#[test]
fn drops_settings_and_cartons_out_of_range_are_refused() {
    let (network, settings) = (network(), Settings::default());
    for bad in BAD {
        let drops =
            [Drop::new(bad, [1.0, 0.0, 0.0]), Drop { rebound: bad, ..Drop::new(0.5, [1.0, 0.0, 0.0]) }];
        for drop in drops {
            assert!(simulate(&network, &drop, &settings).is_err());
        }
        let drop = Drop::new(0.5, [1.0, 0.0, 0.0]);
        let wrong = [
            Settings { step_radians: bad, ..settings },
            Settings { imbalance: bad, ..settings },
            Settings { time_s: bad, ..settings },
            Settings { rest_share: bad, ..settings },
            Settings { most_steps: 0, ..settings },
        ];
        for settings in wrong {
            assert!(simulate(&network, &drop, &settings).is_err());
        }
        assert!(attitudes([bad, 0.3, 0.3], [0.1; 3]).is_err());
        assert!(attitudes([0.3; 3], [0.1, bad, 0.1]).is_err());
    }
    for direction in [[0.0; 3], [f64::NAN, 1.0, 0.0], [1.0, f64::INFINITY, 0.0]] {
        let found = simulate(&network, &Drop::new(0.5, direction), &settings);
        assert!(matches!(found, Err(ImpactError::Direction { .. })));
    }
}

#[test]
fn a_run_out_of_steps_says_how_far_it_came() {
    let settings = Settings { most_steps: 5, ..Settings::default() };
    match simulate(&network(), &Drop::new(0.5, [-1.0, 0.0, 0.0]), &settings) {
        Err(ImpactError::Unfinished { steps: 5, reached_s }) => assert!(reached_s > 0.0 && reached_s < 0.06),
        other => panic!("{other:?}"),
    }
}

#[test]
fn no_links_at_all_is_free_flight() {
    let network = Network { masses: vec![Mass::new(1.0)], ..Network::default() };
    let response = simulate(&network, &Drop::new(0.5, [0.0, 0.0, -1.0]), &Settings::default()).unwrap();
    assert!((response.masses[0].peak_g - 1.0).abs() < 1e-9);
}

fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        prop::sample::select(vec![0.0, 1e-5, 0.01, 0.05, 0.5, 0.99, 1.0, 2.0, 10.0, 1e3, 1e6, 1e9, 1e12]),
    ]
}

fn wild_law() -> impl Strategy<Value = Law> {
    (0..5_u8, wild(), wild(), wild()).prop_map(|(kind, a, b, c)| match kind {
        0 => Law::Spring { modulus_pa: a },
        1 => Law::Bottoming { modulus_pa: a, strain: b, beyond_pa: c },
        2 => Law::Tangent { modulus_pa: a, limit_strain: b },
        3 => Law::StressEnergy { a_pa: a, b_per_pa: if c > 0.0 { b / a } else { b } },
        _ => Law::Plateau { stress_pa: a, cushion_factor: b },
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_figures_bring_it_down(
        law in wild_law(),
        figures in prop::array::uniform8(wild()),
        direction in prop::array::uniform3(wild()),
        gravity in any::<bool>(),
    ) {
        let [mass, area_m2, thickness_m, restitution, damping, slack, height, rebound] = figures;
        let layer = Layer { law, area_m2, thickness_m, restitution };
        let mut link = Link::new(End::Wall, End::Mass(0), Axis::Z, layer);
        (link.damping_n_s_per_m, link.slack_m) = (damping, slack);
        let contact = Contact { gap_m: slack, axis: Axis::Z, stiffness_n_per_m: mass, ..contact() };
        let network = Network { masses: vec![Mass::new(mass)], links: vec![link.and(super_layer(law))], contacts: vec![contact] };
        let settings = Settings { most_steps: 2000, ..Settings::default() };
        if let Ok(response) = simulate(&network, &Drop { gravity, rebound, ..Drop::new(height, direction) }, &settings) {
            prop_assert!(response.masses[0].peak_g.is_finite());
        }
    }

    #[test]
    fn sound_figures_at_their_extremes_bring_answers_or_errors(
        law in prop::sample::select(vec![
            Law::Spring { modulus_pa: 1.0 },
            Law::Spring { modulus_pa: 1e12 },
            Law::Bottoming { modulus_pa: 1e12, strain: 0.001, beyond_pa: 1.0 },
            Law::Tangent { modulus_pa: 1.0, limit_strain: 0.001 },
            Law::StressEnergy { a_pa: 1.0, b_per_pa: 1000.0 },
            Law::StressEnergy { a_pa: 1e9, b_per_pa: 1e-11 },
            Law::Plateau { stress_pa: 1e9, cushion_factor: 1000.0 },
            Law::Plateau { stress_pa: 1.0, cushion_factor: 1.1 },
        ]),
        mass in prop::sample::select(vec![1e-4, 1.0, 1e4]),
        area_m2 in prop::sample::select(vec![1e-7, 0.01, 100.0]),
        thickness_m in prop::sample::select(vec![1e-5, 0.05, 10.0]),
        restitution in prop::sample::select(vec![0.0, 0.5, 1.0]),
        damping in prop::sample::select(vec![0.0, 1e6]),
        height in prop::sample::select(vec![1e-4, 1.0, 100.0]),
    ) {
        let mut link = Link::new(End::Wall, End::Mass(0), Axis::Z, Layer { law, area_m2, thickness_m, restitution });
        link.damping_n_s_per_m = damping;
        let network = Network { masses: vec![Mass::new(mass)], links: vec![link], contacts: vec![] };
        let settings = Settings { most_steps: 2000, ..Settings::default() };
        match simulate(&network, &Drop::new(height, [0.0, 0.0, -1.0]), &settings) {
            Ok(response) => {
                prop_assert!(response.masses[0].peak_g.is_finite() && response.links[0].peak_m.is_finite());
            }
            Err(ImpactError::Unfinished { .. }) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}

/// A sound layer of the same law.
fn super_layer(law: Law) -> Layer {
    Layer { law, ..layer() }
}
