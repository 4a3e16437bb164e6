//! Decisions at the shelf as the buyer sees them.

use measure::Money;
use selling::{
    BuyCase, BuyTargets, Delivered, Limit, LotKind, NewsvendorCase, NotEvenFree, PriceCase, Verdict,
    best_quantity, buy_decision, loss_risk, price_limits, sell_through_break_even,
};

const fn money(cents: i64) -> Money {
    Money::from_cents(cents)
}

const GOBLETS: [LotKind; 1] = [LotKind {
    name: "4 goblets",
    lots: 3,
    delivered: Delivered::Lognormal { median: 42.0, sigma: 0.30 },
    guarded_price: None,
    fee_share: 0.14,
    cost_per_lot: 14.80,
    chance_sold: 1.0,
    unsold_worth: 0.0,
}];

const RISK_ONLY: BuyTargets = BuyTargets {
    wage: Money::ZERO,
    return_on_cost: None,
    minimum_profit: None,
    loss_chance: Some(0.10),
    loss_counts_wage: false,
};

#[test]
fn the_chance_of_loss_binds_at_its_price_rounded_down() {
    let case = BuyCase { targets: RISK_ONLY, ..BuyCase::new(money(30_00), &GOBLETS, 1.0) };
    let decision = buy_decision(&case).unwrap();
    assert_eq!((decision.most_to_pay, decision.bound_by), (money(29_37), Limit::LossChance));
    assert_eq!(decision.verdict, Verdict::HaggleTo(money(29_37)));
    assert!((decision.at_asking.chance_of_loss - 0.105_040_346_6).abs() < 1e-9);
    let cheaper = buy_decision(&BuyCase { asking: money(29_37), ..case }).unwrap();
    assert_eq!(cheaper.verdict, Verdict::Buy);
    assert!(cheaper.at_asking.chance_of_loss <= 0.10);
}

#[test]
fn every_limit_can_bind() {
    // Counted at the mean, three lots leave 68.9476; 1.2 hours.
    let bound = |targets: BuyTargets| {
        let case = BuyCase { targets, price_percentile: None, ..BuyCase::new(money(10_00), &GOBLETS, 1.2) };
        let decision = buy_decision(&case).unwrap();
        (decision.bound_by, decision.most_to_pay)
    };
    let none = BuyTargets { loss_chance: None, ..RISK_ONLY };
    assert_eq!(bound(BuyTargets { wage: money(15_00), ..none }), (Limit::Wage, money(50_94)));
    assert_eq!(
        bound(BuyTargets { wage: money(15_00), return_on_cost: Some(0.5), ..none }),
        (Limit::Return, money(33_96))
    );
    assert_eq!(
        bound(BuyTargets { minimum_profit: Some(money(60_00)), return_on_cost: Some(0.5), ..none }),
        (Limit::MinimumProfit, money(8_94))
    );
    assert_eq!(bound(RISK_ONLY), (Limit::LossChance, money(29_37)));
    let wage_at_risk = BuyTargets { wage: money(15_00), loss_counts_wage: true, ..RISK_ONLY };
    assert_eq!(bound(wage_at_risk), (Limit::LossChance, money(11_37)));
}

#[test]
fn the_guard_counts_the_fortieth_percentile_or_the_price_it_is_given() {
    let targets = BuyTargets { loss_chance: None, ..RISK_ONLY };
    let case = BuyCase { targets, ..BuyCase::new(money(10_00), &GOBLETS, 1.0) };
    let decision = buy_decision(&case).unwrap();
    // z(0.40) = -0.2533471031
    let p40 = 42.0 * f64::exp(-0.3 * 0.253_347_103_135_799_8);
    assert!((decision.counted_prices[0] - p40).abs() < 1e-9);
    assert!((decision.limits.proceeds - 3.0 * (0.86 * p40 - 14.80)).abs() < 1e-9);
    assert!((decision.proceeds_at_means - 68.947_578_9).abs() < 1e-6);
    let given = [LotKind { guarded_price: Some(40.0), ..GOBLETS[0] }];
    let decision = buy_decision(&BuyCase { kinds: &given, ..case }).unwrap();
    assert_eq!((decision.counted_prices, decision.most_to_pay), (vec![40.0], money(58_80)));
}

#[test]
fn sales_tax_is_part_of_what_is_paid() {
    let case = BuyCase { targets: RISK_ONLY, tax_share: 0.0825, ..BuyCase::new(money(27_14), &GOBLETS, 1.0) };
    let decision = buy_decision(&case).unwrap();
    // 27.13 and 2.24 of tax are 29.37; 27.14 would come to 29.38.
    assert_eq!((decision.most_to_pay, decision.at_asking.paid), (money(27_13), money(29_38)));
    assert_eq!(decision.verdict, Verdict::HaggleTo(money(27_13)));
    assert_eq!(decision.at_asking.risk.paid, 29.38);
    let profit = decision.at_asking.profit_before_wage.cents() as f64 / 100.0;
    assert!((0.0..0.01).contains(&(decision.limits.proceeds - 29.38 - profit)));
}

#[test]
fn what_only_loses_is_left_even_for_nothing() {
    let heavy = [LotKind { cost_per_lot: 40.0, ..GOBLETS[0] }];
    let decision = buy_decision(&BuyCase::new(money(5_00), &heavy, 1.0)).unwrap();
    assert_eq!((decision.verdict, decision.most_to_pay), (Verdict::Leave, Money::ZERO));
    assert_eq!(decision.not_even_free, Some(NotEvenFree::LosesMoney));
    assert_eq!(decision.reasons()[0], "Leave it even for nothing.");
    // Free, it leaves 56.03 for five hours: less than the wage, but no loss.
    let slow = buy_decision(&BuyCase::new(Money::ZERO, &GOBLETS, 5.0)).unwrap();
    assert_eq!(slow.verdict, Verdict::Leave);
    assert_eq!(slow.not_even_free, Some(NotEvenFree::MissesLimit));
    let targets = BuyTargets { loss_chance: None, ..RISK_ONLY };
    let just = [LotKind { guarded_price: Some(20.0), fee_share: 0.0, cost_per_lot: 20.0, ..GOBLETS[0] }];
    let gift = buy_decision(&BuyCase { targets, ..BuyCase::new(Money::ZERO, &just, 0.0) }).unwrap();
    assert_eq!((gift.verdict, gift.most_to_pay, gift.not_even_free), (Verdict::Buy, Money::ZERO, None));
}

#[test]
fn the_asking_price_is_told_with_hours_and_what_an_hour_earns() {
    let given = [LotKind { guarded_price: Some(40.0), ..GOBLETS[0] }];
    let decision = buy_decision(&BuyCase::new(money(20_00), &given, 1.5)).unwrap();
    let at = &decision.at_asking;
    // 3 (0.86 * 40 - 14.80) = 58.80, less 20.00, less 22.50 of wage.
    assert_eq!((at.profit_before_wage, at.expected_profit), (money(38_80), money(16_30)));
    assert_eq!((at.hours, at.net_per_hour), (1.5, Some(money(25_86))));
    assert_eq!((at.sell_through.lots, at.sell_through.of), (Some(2), 3));
    let no_work = buy_decision(&BuyCase::new(money(20_00), &given, 0.0)).unwrap();
    assert_eq!(no_work.at_asking.net_per_hour, None);
}

#[test]
fn lots_that_may_not_sell_count_by_their_chance_and_what_is_left_of_them() {
    let targets = BuyTargets { loss_chance: None, ..RISK_ONLY };
    let kinds = [LotKind { guarded_price: Some(40.0), chance_sold: 0.8, unsold_worth: 5.0, ..GOBLETS[0] }];
    let case = BuyCase { targets, ..BuyCase::new(money(10_00), &kinds, 0.0) };
    // 3 (0.8 * 19.60 + 0.2 * 5)
    let decision = buy_decision(&case).unwrap();
    assert_eq!(decision.most_to_pay, money(50_04));
    // What a lot leaves once it sells, whatever its chance to.
    assert!((decision.at_asking.sell_through.share.unwrap() - 10.0 / (3.0 * 19.60)).abs() < 1e-12);
}

#[test]
fn several_kinds_share_one_error_of_prices() {
    let kinds = [GOBLETS[0], LotKind::new("2 mugs", 4, 25.0, 0.45, 0.14, 11.0)];
    let risk = loss_risk(&kinds, 60.0, 0.10).unwrap();
    let z = risk.break_even_z.unwrap();
    let leaves =
        3.0 * (0.86 * 42.0 * f64::exp(0.30 * z) - 14.80) + 4.0 * (0.86 * 25.0 * f64::exp(0.45 * z) - 11.0);
    assert!((leaves - 60.0).abs() < 1e-9);
    assert!((risk.break_even_delivered[1] - 25.0 * f64::exp(0.45 * z)).abs() < 1e-9);
    assert!((risk.chance_of_loss - 0.5 * libm::erfc(-z / 2_f64.sqrt())).abs() < 1e-12);
}

#[test]
fn certain_prices_lose_for_sure_or_not_at_all() {
    let certain = [LotKind { delivered: Delivered::Lognormal { median: 42.0, sigma: 0.0 }, ..GOBLETS[0] }];
    let all = 3.0 * (0.86 * 42.0 - 14.80);
    let chance = |paid: f64| loss_risk(&certain, paid, 0.10).unwrap().chance_of_loss;
    assert_eq!((chance(all - 0.01), chance(all + 0.01)), (0.0, 1.0));
    let risk = loss_risk(&certain, 30.0, 0.10).unwrap();
    assert_eq!(risk.break_even_z, None);
    assert!((risk.break_even_delivered[0] - 28.837_209_3).abs() < 1e-6);
}

#[test]
fn a_decision_says_why_in_sentences() {
    let decision = buy_decision(&BuyCase::new(money(30_00), &GOBLETS, 1.2)).unwrap();
    let said = decision.to_string();
    for part in [
        "Haggle: 30.00 is asked, pay at most 25.35.",
        "The return binds: a profit of 50.0 % of the price is asked for.",
        "The chance of a loss is 10.5 %.",
        "2 of 3 lots must sell to have the money back",
        "40th percentile",
    ] {
        assert!(said.contains(part), "{part} in {said}");
    }
}

#[test]
fn a_piece_that_leaves_what_it_costs_is_not_bought() {
    let case = NewsvendorCase { net_per_piece: 2.0, unit_cost: 2.0, salvage: 0.0, expected_demand: 5.0 };
    let none = best_quantity(&case).unwrap();
    assert_eq!((none.quantity, none.expected_profit, none.expected_sold), (0, 0.0, 0.0));
    // A mean whose e^-mean is no double.
    let many = NewsvendorCase { net_per_piece: 9.0, unit_cost: 4.5, expected_demand: 5000.0, ..case };
    let best = best_quantity(&many).unwrap();
    assert!((4998..=5002).contains(&best.quantity), "{best:?}");
}

#[test]
fn bad_figures_are_refused_by_name() {
    let good = BuyCase::new(money(30_00), &GOBLETS, 1.2);
    let kind = GOBLETS[0];
    for (case, field) in [
        (BuyCase { asking: money(-1), ..good }, "asking"),
        (BuyCase { tax_share: 1.0, ..good }, "tax_share"),
        (BuyCase { tax_share: f64::NAN, ..good }, "tax_share"),
        (BuyCase { hours: -1.0, ..good }, "hours"),
        (BuyCase { hours: f64::INFINITY, ..good }, "hours"),
        (BuyCase { kinds: &[], ..good }, "kinds"),
        (BuyCase { price_percentile: Some(0.0), ..good }, "price_percentile"),
        (BuyCase { price_percentile: Some(1.0), ..good }, "price_percentile"),
        (BuyCase { targets: BuyTargets { wage: money(-1), ..RISK_ONLY }, ..good }, "wage"),
        (
            BuyCase { targets: BuyTargets { return_on_cost: Some(-0.1), ..RISK_ONLY }, ..good },
            "return_on_cost",
        ),
        (
            BuyCase { targets: BuyTargets { minimum_profit: Some(money(-1)), ..RISK_ONLY }, ..good },
            "minimum_profit",
        ),
        (BuyCase { targets: BuyTargets { loss_chance: Some(1.0), ..RISK_ONLY }, ..good }, "loss_chance"),
    ] {
        let refusal = buy_decision(&case).unwrap_err().to_string();
        assert!(refusal.contains(&format!(": {field} can't be")), "{field}: {refusal}");
    }
    let lognormal = |median, sigma| Delivered::Lognormal { median, sigma };
    let not_a_price = |_: f64| f64::NAN;
    for (kind, field) in [
        (LotKind { lots: 0, ..kind }, "lots"),
        (LotKind { delivered: lognormal(0.0, 0.3), ..kind }, "median"),
        (LotKind { delivered: lognormal(42.0, f64::NAN), ..kind }, "sigma"),
        (LotKind { guarded_price: Some(-1.0), ..kind }, "guarded_price"),
        (LotKind { fee_share: 1.0, ..kind }, "fee_share"),
        (LotKind { cost_per_lot: -1.0, ..kind }, "cost_per_lot"),
        (LotKind { chance_sold: 1.5, ..kind }, "chance_sold"),
        (LotKind { unsold_worth: f64::NEG_INFINITY, ..kind }, "unsold_worth"),
        (
            LotKind { delivered: Delivered::Quantiles { of: &not_a_price, mean: 40.0 }, ..kind },
            "price by its quantiles",
        ),
        (LotKind { delivered: Delivered::Quantiles { of: &not_a_price, mean: f64::NAN }, ..kind }, "mean"),
    ] {
        let kinds = [kind];
        let refusal = buy_decision(&BuyCase { kinds: &kinds, ..good }).unwrap_err().to_string();
        assert!(refusal.starts_with(&format!("lots of 4 goblets: {field} can't be")), "{refusal}");
    }
    assert!(loss_risk(&[], 1.0, 0.1).is_err() && loss_risk(&GOBLETS, -1.0, 0.1).is_err());
    assert!(loss_risk(&GOBLETS, 1.0, 0.0).unwrap_err().to_string().contains("bad_luck"));
    let case = PriceCase { gross: f64::NAN, other_costs: 0.0, hours: 0.0, by_loss_chance: None };
    assert!(price_limits(&case, &RISK_ONLY).unwrap_err().to_string().contains("gross"));
    let case = PriceCase { gross: 1.0, by_loss_chance: Some(f64::NAN), ..case };
    assert!(price_limits(&case, &RISK_ONLY).unwrap_err().to_string().contains("by_loss_chance"));
    let case = NewsvendorCase { net_per_piece: 9.0, unit_cost: 2.5, salvage: 2.5, expected_demand: 6.0 };
    assert!(best_quantity(&case).unwrap_err().to_string().contains("salvage"));
    let case = NewsvendorCase { salvage: 0.0, expected_demand: 0.0, ..case };
    assert!(best_quantity(&case).unwrap_err().to_string().contains("expected_demand"));
    assert!(sell_through_break_even(1.0, 0, 1.0).unwrap_err().to_string().contains("lots"));
    assert!(sell_through_break_even(f64::NAN, 1, 1.0).unwrap_err().to_string().contains("paid"));
}
