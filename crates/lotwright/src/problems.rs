//! Mistakes of a person, shown with the line they stand in.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use sheet::Problem;

/// What ended a command: wrong input is exit code 2, a failure outside exit code 1.
pub use keeping::Stop;

/// More problems than this are counted, not shown.
const MOST_SHOWN: usize = 20;

/// All problems of a sheet, each with its line.
pub fn render(file: &str, text: &str, problems: &[Problem]) -> String {
    let renderer = Renderer::plain();
    let mut out = String::new();
    for problem in problems.iter().take(MOST_SHOWN) {
        let start = problem.span.start.min(text.len());
        let end = problem.span.end.clamp(start, text.len());
        // A sheet of one enormous line would drown its own message.
        let line_is_short = text[..start].rsplit('\n').next().map_or(0, str::len)
            + text[start..].split('\n').next().map_or(0, str::len)
            < 400;
        if line_is_short && !text.is_empty() && text.is_char_boundary(start) && text.is_char_boundary(end) {
            let group = Level::ERROR
                .primary_title(&problem.message)
                .element(
                    Snippet::source(text)
                        .path(file)
                        .annotation(AnnotationKind::Primary.span(start..end).label(&problem.field)),
                )
                .element(Level::HELP.message(&problem.right));
            out.push_str(&renderer.render(&[group]));
        } else {
            out.push_str(&problem.plain(file));
        }
        out.push_str("\n\n");
    }
    if problems.len() > MOST_SHOWN {
        out.push_str(&format!("and {} more\n", problems.len() - MOST_SHOWN));
    }
    out
}

/// The line of a text with a mark under the part that is meant; `None` when that lies over several lines.
pub fn caret(text: &str, span: &std::ops::Range<usize>) -> Option<String> {
    let start = text.get(..span.start)?.rfind('\n').map_or(0, |newline| newline + 1);
    let end = text.get(span.start..)?.find('\n').map_or(text.len(), |newline| span.start + newline);
    let line = text.get(start..end)?;
    let before = text.get(start..span.start)?.chars().count();
    let marked = text.get(span.start..span.end.min(end))?.chars().count().max(1);
    Some(format!("    {line}\n    {}{}", " ".repeat(before), "^".repeat(marked)))
}
