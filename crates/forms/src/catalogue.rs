//! All forms a person can name.

use std::collections::BTreeMap;

use crate::{Caution, Form, FormsError, read};
use measure::{nearest, plain, plural};

/// The forms table as compiled in.
const PUBLISHED: &str = include_str!("../data/forms.toml");

/// Forms by id, with every name they answer to.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    pub(crate) forms: BTreeMap<String, Form>,
    pub(crate) cautions: BTreeMap<String, Caution>,
    /// Plain name, or its plural, to id.
    names: BTreeMap<String, String>,
}

impl Catalogue {
    /// The forms table that comes with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the compiled-in forms table is read by this room's tests")
    }

    /// Reads a whole forms file (TOML); see the guide on forms for its keys.
    ///
    /// # Errors
    /// Text that isn't TOML, unknown or missing keys, values out of range, names that two forms claim, or
    /// a form whose defaults can't make a piece. The message names the form, the field and what's right.
    pub fn read(toml_text: &str) -> Result<Self, FormsError> {
        read::forms_file(toml_text, BTreeMap::new(), BTreeMap::new())
    }

    /// This catalogue with a person's own forms file laid over it: its forms are added, or replace those
    /// of the same id.
    ///
    /// # Errors
    /// As [`Catalogue::read`].
    pub fn with_overrides(&self, toml_text: &str) -> Result<Self, FormsError> {
        read::forms_file(toml_text, self.cautions.clone(), self.forms.clone())
    }

    /// Indexes the names of forms that have been read.
    pub(crate) fn index(
        cautions: BTreeMap<String, Caution>,
        forms: BTreeMap<String, Form>,
    ) -> Result<Self, FormsError> {
        let mut names: BTreeMap<String, String> = BTreeMap::new();
        for form in forms.values() {
            for name in names_of(form) {
                let taken = names.insert(plain(name), form.id.clone()).filter(|by| *by != form.id);
                if let Some(taken_by) = taken {
                    return Err(FormsError::NameTaken {
                        place: form.id.clone(),
                        name: name.to_owned(),
                        taken_by,
                    });
                }
            }
        }
        // People say what is before them in the plural. A name of its own goes before a plural of another.
        let plurals: Vec<(String, String)> = forms
            .values()
            .flat_map(|form| names_of(form).map(|name| (plain(&plural(name)), form.id.clone())))
            .collect();
        for (name, id) in plurals {
            names.entry(name).or_insert(id);
        }
        Ok(Self { forms, cautions, names })
    }

    /// The form with this id, name or synonym, or the plural of one; case, spaces, hyphens, dots and accents don't matter.
    ///
    /// # Errors
    /// [`FormsError::UnknownForm`] with up to three names that may have been meant.
    pub fn find(&self, name_or_synonym: &str) -> Result<&Form, FormsError> {
        self.names.get(&plain(name_or_synonym)).and_then(|id| self.forms.get(id)).ok_or_else(|| {
            FormsError::UnknownForm {
                name: name_or_synonym.to_owned(),
                nearest: nearest(name_or_synonym, self.spoken_names()),
            }
        })
    }

    /// All forms, by id.
    pub fn forms(&self) -> impl Iterator<Item = &Form> {
        self.forms.values()
    }

    /// All cautions, by key.
    pub fn cautions(&self) -> impl Iterator<Item = &Caution> {
        self.cautions.values()
    }

    /// How many forms there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.forms.len()
    }

    /// Whether there is no form at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.forms.is_empty()
    }

    /// Names and synonyms as people say them; ids only repeat them with underscores.
    fn spoken_names(&self) -> impl Iterator<Item = &str> {
        self.forms
            .values()
            .flat_map(|form| std::iter::once(&form.name).chain(&form.synonyms))
            .map(String::as_str)
    }
}

fn names_of(form: &Form) -> impl Iterator<Item = &str> {
    [&form.id, &form.name].into_iter().chain(&form.synonyms).map(String::as_str)
}
