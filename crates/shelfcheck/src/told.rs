//! What a job sheet's reader says, told to who filled a form.

use fields::Mistakes;
use sheet::Problem;

/// Tells problems at the fields they are about; `field` knows them by the sheet's keys. What belongs to no field
/// is told of the whole form.
pub fn told(problems: &[Problem], field: impl Fn(&Problem) -> Option<String>, mistakes: &mut Mistakes) {
    for problem in problems {
        let message =
            format!("{}. Right would be, for example: {}", capital(&problem.message), bare(&problem.right));
        match field(problem) {
            Some(name) => mistakes.add(&name, message),
            None => mistakes.add("", message),
        }
    }
}

/// The number of an item in a field like `find[1].comps[3]`, from 1.
#[must_use]
pub fn item(field: &str, list: &str) -> Option<usize> {
    field.split_once(&format!("{list}["))?.1.split(']').next()?.parse().ok()
}

/// What would be right without the sheet's key before it: `count = 6` is 6 to who looks at the field.
fn bare(right: &str) -> &str {
    let value = match right.split_once(" = ") {
        Some((key, value)) if key.chars().all(|c| c.is_ascii_lowercase() || c == '_') => value,
        Some(_) | None => right,
    };
    let unquoted = value.strip_prefix('"').and_then(|value| value.strip_suffix('"'));
    unquoted.filter(|value| !value.contains('"')).unwrap_or(value)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::{bare, item};

    #[test]
    fn what_would_be_right_is_said_without_the_sheets_key() {
        assert_eq!(bare("count = 6"), "6");
        assert_eq!(bare("diameter = \"3 1/4 in\""), "3 1/4 in");
        assert_eq!(bare("\"2 for 17.50 + 8\""), "2 for 17.50 + 8");
        assert_eq!(bare("\"this\" or \"that\""), "\"this\" or \"that\"");
        assert_eq!(bare("one of a = b"), "one of a = b");
    }

    #[test]
    fn items_of_lists_are_found() {
        assert_eq!(item("find[1].comps[3]", "comps"), Some(3));
        assert_eq!(item("find[2].piece[1].height", "piece"), Some(1));
        assert_eq!(item("find[1].count", "comps"), None);
    }
}
