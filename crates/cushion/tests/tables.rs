//! The data files: every figure named, every key shared with its neighbours.

use cushion::{Cushions, Drops, Fragilities, Part};
use protection::{Figure, Flag, Materials, Stock};

fn sourced(figure: &Figure) {
    assert_ne!(figure.origin.flag, Flag::Own, "{figure:?}");
    assert!(figure.origin.source.len() > 5, "{figure:?}");
}

#[test]
fn every_published_figure_names_its_source() {
    let cushions = Cushions::published();
    for material in cushions.iter() {
        sourced(&material.factor);
        let others = [
            &material.layer_in,
            &material.density_lb_ft3,
            &material.best_load_psi,
            &material.a_psi,
            &material.b_per_psi,
            &material.tested_load_psi,
            &material.tested_in,
            &material.usable_strain,
            &material.repeated,
        ];
        others.into_iter().flatten().for_each(sourced);
    }
    let fragilities = Fragilities::published();
    for class in fragilities.iter() {
        sourced(&class.g);
        assert_eq!(class.g.origin.flag, Flag::Judgement, "no published figure exists for {}", class.key);
        class.parts().for_each(|(_, figure)| sourced(figure));
    }
    sourced(fragilities.safety());
    for schedule in Drops::published().schedules() {
        assert!(schedule.origin.flag != Flag::Own && schedule.origin.source.len() > 5, "{}", schedule.key);
    }
}

#[test]
fn every_wrap_guard_and_fill_has_a_cushion_of_the_same_thickness() {
    let (materials, cushions) = (Materials::published(), Cushions::published());
    let mut seen = 0;
    for material in materials.iter() {
        match material.stock {
            Stock::Sheet { .. } | Stock::Board { .. } | Stock::Tube { .. } | Stock::Fill { .. } => {
                let cushion = cushions.find(&material.id).expect("a cushion of the same key");
                if let (Some(own), Some(layer)) = (&cushion.layer_in, material.layer()) {
                    assert!((own.value - layer.inches()).abs() < 1e-9, "{}", material.id);
                }
                seen += 1;
            }
            Stock::Tape { .. } | Stock::Label { .. } => {}
        }
    }
    assert_eq!(seen, 14);
}

#[test]
fn classes_go_from_weak_to_strong_in_every_part() {
    let table = Fragilities::published();
    let order = ["thin", "fine", "ordinary", "compact", "vitrified", "rugged"];
    let expected = [35.0, 45.0, 55.0, 75.0, 95.0, 115.0];
    for (key, expected) in order.iter().zip(expected) {
        let class = table.find(key).expect("class");
        assert_eq!(class.g.value, expected);
        let least = Part::ALL.iter().map(|part| class.part(*part).value).fold(f64::INFINITY, f64::min);
        assert_eq!(least, class.g.value, "{key}");
        assert_eq!(class.of_parts(&[]), expected);
        assert!(class.of_parts(&[Part::Foot, Part::Handle]) <= class.part(Part::Foot).value);
    }
    for pair in order.windows(2) {
        let (weak, strong) = (table.find(pair[0]).expect("class"), table.find(pair[1]).expect("class"));
        assert!(Part::ALL.iter().all(|part| weak.part(*part).value <= strong.part(*part).value), "{pair:?}");
    }
    let design = table.find("compact").expect("class").design_g(table.safety().value).expect("factor");
    assert!((design - 60.0).abs() < 1e-9);
}
