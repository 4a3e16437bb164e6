//! `lotwright guard`: how much cushion one piece needs.

use keeping::Desk;
use keeping::guarding::{GuardAsked, GuardMistake, Spell, guarded, shock_chart};

use crate::args::GuardArgs;
use crate::guard_report;
use crate::guard_text;
use crate::problems::Stop;

/// What was typed, as it is asked.
fn asked(args: &GuardArgs) -> GuardAsked {
    GuardAsked {
        spell: Spell::Options,
        form: args.form.clone(),
        measure: args.measure.clone(),
        weight: args.weight.clone(),
        area: args.area.clone(),
        sides: args.sides.clone(),
        fragility: args.fragility.clone(),
        bears: args.bears.clone(),
        drop: args.drop.clone(),
        schedule: args.schedule.clone(),
        height: args.height.clone(),
        gross: args.gross.clone(),
        safety: args.safety.clone(),
        material: args.material.clone(),
        thickness: args.thickness.clone(),
        wrap: args.wrap.clone(),
        rule: args.rule.clone(),
        metric: args.metric,
    }
}

/// Answers.
pub fn guard(args: &GuardArgs) -> Result<String, Stop> {
    let told = guarded(&asked(args), &Desk::published(), |answer| {
        let chart = args.svg.as_deref().map(|path| (path, shock_chart(answer)));
        if let Some((path, chart)) = &chart {
            std::fs::write(path, draw::shock_chart_svg(chart))
                .map_err(|e| Stop::Outside(format!("--svg {}: {e}", path.display())))?;
        }
        if args.json {
            return crate::worth_report::written(&guard_report::report(answer));
        }
        let mut out = guard_text::answer(answer);
        if let Some((_, chart)) = &chart {
            out.push_str(&format!("\n{}\n{}", chart.title, draw::shock_plot(chart, crate::words::WIDTH)));
        }
        if args.method {
            out.push_str(&guard_text::method(answer));
        }
        Ok(out)
    });
    told.map_err(|wrong| {
        let lines: Vec<String> = wrong.iter().map(as_option).collect();
        Stop::Input(lines.join("\n"))
    })?
}

/// What is wrong, at the option that it was told by.
fn as_option(wrong: &GuardMistake) -> String {
    let (option, message) = (&wrong.option, &wrong.message);
    let right = wrong.right.as_ref().map_or_else(String::new, |right| format!("\n  right would be: {right}"));
    let missing = if wrong.is_missing { " is missing" } else { "" };
    format!("--{option}{missing}: {message}{right}")
}
