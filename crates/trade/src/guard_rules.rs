//! The published rules for the wall that stand beside a computed cushion, and the one that decides.

use cushion::Fragilities;
use measure::Length;
use protection::{AppliesTo, CushionRules, ProtectionError, RuleBeside, WallRule};

/// The rule that decides for ordinary breakables when none is named: what a parcel carrier asks for, since a
/// claim is judged by it. Guides of potters and sellers are told beside it (judgement).
const USUAL_RULE: &str = "carrier";

/// The rules about a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct RulesAbout {
    /// What kind of goods the piece is taken for.
    pub goods: AppliesTo,
    /// The rule that decides against the computed thickness.
    pub decides: WallRule,
    /// All others about such goods, the strictest first.
    pub others: Vec<WallRule>,
}

impl RulesAbout {
    /// The rules for a piece that bears `bears_g` (multiples of gravity): delicate where it bears no more than
    /// what calls for a second box, not fragile from the classic table's last step on, fragile between.
    /// `has_extremity` says whether a handle, spout or stem stands out; `named` names the rule that decides.
    ///
    /// # Errors
    /// When no rule has the name, with the nearest ones.
    pub fn of(
        bears_g: f64,
        has_extremity: bool,
        rules: &CushionRules,
        fragilities: &Fragilities,
        named: Option<&str>,
    ) -> Result<Self, ProtectionError> {
        let is_rugged = fragilities.classic(bears_g).is_some_and(|step| step.to_g.is_none());
        let goods = if is_rugged {
            AppliesTo::NotFragile
        } else if bears_g <= rules.fragility_g.value {
            AppliesTo::Delicate
        } else {
            AppliesTo::Fragile
        };
        let mut about: Vec<&WallRule> = rules.walls_for(goods);
        match goods {
            AppliesTo::Delicate => about.extend(rules.walls_for(AppliesTo::Fragile)),
            AppliesTo::Fragile
            | AppliesTo::NotFragile
            | AppliesTo::Large
            | AppliesTo::Extremity
            | AppliesTo::Dishes => {}
        }
        let strictest = about.first().map(|rule| rule.name.clone());
        let decides = match (named, goods) {
            (Some(name), _) => rules.wall(name)?,
            (None, AppliesTo::Fragile) => rules.wall(USUAL_RULE)?,
            (
                None,
                AppliesTo::Delicate
                | AppliesTo::NotFragile
                | AppliesTo::Large
                | AppliesTo::Extremity
                | AppliesTo::Dishes,
            ) => rules.wall(strictest.as_deref().unwrap_or(USUAL_RULE))?,
        }
        .clone();
        if has_extremity {
            about.extend(rules.walls_for(AppliesTo::Extremity));
        }
        let others = about.into_iter().filter(|rule| rule.name != decides.name).cloned().collect();
        Ok(Self { goods, decides, others })
    }

    /// The computed thickness, wrap included, beside the rule that decides: the stricter is used.
    #[must_use]
    pub fn beside(&self, computed: Length) -> RuleBeside {
        self.decides.beside(computed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn about(bears_g: f64, named: Option<&str>) -> Result<RulesAbout, ProtectionError> {
        RulesAbout::of(bears_g, true, &CushionRules::published(), &Fragilities::published(), named)
    }

    #[test]
    fn the_goods_decide_which_rules_speak() {
        let goods =
            |g| about(g, None).map(|rules| (rules.goods, rules.decides.least.inches().round() as u32));
        assert_eq!(goods(35.0).expect("rules"), (AppliesTo::Delicate, 4));
        assert_eq!(goods(40.0).expect("rules"), (AppliesTo::Delicate, 4));
        assert_eq!(goods(41.0).expect("rules"), (AppliesTo::Fragile, 2));
        assert_eq!(goods(114.0).expect("rules"), (AppliesTo::Fragile, 2));
        assert_eq!(goods(115.0).expect("rules"), (AppliesTo::NotFragile, 2));
    }

    #[test]
    fn the_stricter_of_rule_and_computation_is_used() {
        let rules = about(75.0, None).expect("rules");
        let used = |inches: f64| {
            let beside = rules.beside(Length::from_inches(inches));
            (beside.used.inches(), beside.rule_binds)
        };
        assert_eq!(used(1.5), (2.0, true));
        assert_eq!(used(2.25), (2.25, false));
    }

    #[test]
    fn a_named_rule_decides_and_is_not_told_twice() {
        let rules = about(75.0, Some("rule of three")).expect("rules");
        assert_eq!(rules.decides.name, "rule_of_three");
        assert!(rules.others.iter().all(|rule| rule.name != "rule_of_three"));
        assert!(rules.others.iter().any(|rule| rule.applies_to == AppliesTo::Extremity));
        assert!(
            about(75.0, Some("rule of thre")).is_err_and(|why| why.to_string().contains("rule_of_three"))
        );
    }
}
