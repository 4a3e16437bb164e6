//! How much cushion a piece needs, for a reader at a terminal: plain words first, then figures, rules and cautions.

use keeping::guarding::{Guarded, Sentence, cautions, rules, verdict, why_more, worked};

use crate::guard_table;
use crate::words::wrapped;

/// The answer.
pub fn answer(answer: &Guarded<'_>) -> String {
    let mut out = vec![lines(&verdict(answer))];
    out.extend(why_more(answer).map(|one| lines(&[one])));
    out.push(guard_table::shocks(answer));
    out.push(beside(answer));
    out.push(lines(&cautions(answer)));
    out.retain(|part| !part.is_empty());
    out.join("\n\n") + "\n"
}

fn lines(sentences: &[Sentence]) -> String {
    sentences.iter().map(|one| wrapped(one.mark, &one.words)).collect::<Vec<_>>().join("\n")
}

fn beside(answer: &Guarded<'_>) -> String {
    let (heading, rules) = rules(answer);
    let mut lines = vec![format!("{heading}:")];
    lines.extend(rules.iter().map(|rule| wrapped(&format!("  {:<11}", rule.asks), &rule.words)));
    lines.join("\n")
}

/// The arithmetic: of the material that the answer speaks of, or of every one that was named.
pub fn method(answer: &Guarded<'_>) -> String {
    let mut lines = vec![String::from("How it is reckoned")];
    for part in worked(answer) {
        let lead = if part.heading.is_empty() {
            "  "
        } else {
            lines.push(format!("\n  {}", part.heading));
            "    "
        };
        lines.extend(part.lines.iter().map(|line| wrapped(lead, line)));
    }
    format!("\n{}\n", lines.join("\n"))
}
