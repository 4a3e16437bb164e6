//! What is said of lots beside their records: where they are sold, and in which condition they are.

use pricing::Grade;
use serde_json::Value;

/// What is said of a find's lots beside its records; what isn't said is as usual.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LotsAsked {
    /// The venue they are sold at, by name.
    pub venue: Option<String>,
    /// Condition of the sound pieces; ordinary (C) where nobody says.
    pub grade: Option<Grade>,
    /// Condition of the flawed pieces; damaged (E) where nobody says.
    pub flawed_grade: Option<Grade>,
}

/// All conditions, the best first.
const GRADES: [(Grade, &str, &str); 5] = [
    (Grade::A, "A", "as new"),
    (Grade::B, "B", "light wear"),
    (Grade::C, "C", "ordinary used"),
    (Grade::D, "D", "small flaws"),
    (Grade::E, "E", "damaged"),
];

/// The letter of a condition.
pub(crate) fn letter(grade: Grade) -> &'static str {
    GRADES.iter().find(|(known, ..)| *known == grade).map_or("C", |(_, letter, _)| letter)
}

/// The condition with this letter.
#[must_use]
pub fn grade_named(text: &str) -> Option<Grade> {
    let wanted = text.trim().to_uppercase();
    GRADES.iter().find(|(_, letter, _)| *letter == wanted).map(|(grade, ..)| *grade)
}

/// Letter and words of every condition, the best first.
#[must_use]
pub fn grade_words() -> [(&'static str, &'static str); 5] {
    GRADES.map(|(_, letter, words)| (letter, words))
}

/// The condition that a listing's card says its pieces are in.
#[must_use]
pub fn grade_of(card: &Value) -> Option<Grade> {
    card.get("grade").and_then(Value::as_str).and_then(grade_named)
}

#[cfg(test)]
mod tests {
    use super::{grade_named, grade_of, grade_words, letter};
    use pricing::Grade;

    #[test]
    fn every_condition_is_read_back_by_its_letter_and_nothing_else_is_one() {
        for (word, _) in grade_words() {
            assert_eq!(grade_named(word).map(letter), Some(word));
        }
        assert_eq!(grade_named(" d "), Some(Grade::D));
        assert_eq!((grade_named("F"), grade_named("")), (None, None));
        assert_eq!(grade_of(&serde_json::json!({ "grade": "A" })), Some(Grade::A));
        assert_eq!(grade_of(&serde_json::json!({ "grade": 1 })), None);
    }
}
