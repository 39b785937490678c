//! Values from the command line, which stand before those of the file.

/// Values given by flags, each for one field.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Overrides {
    list: Vec<Override>,
    fallbacks: Vec<Fallback>,
}

/// What a field is taken to be where neither flags nor file give it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fallback {
    pub(super) path: &'static str,
    pub(super) text: &'static str,
    /// Whether the answer depends on it, so that it is listed among the defaults.
    pub(super) matters: bool,
}

/// A value given by a flag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Override {
    pub(super) path: String,
    pub(super) text: String,
}

impl Overrides {
    /// No flag at all.
    #[must_use]
    pub fn none() -> Self {
        Self::default()
    }

    /// Adds the value of the flag for the field at `path`, such as `cylinders.bore`. A later value for the
    /// same field replaces the earlier one. The name of the flag stands in the field table.
    pub fn set(&mut self, path: &str, text: &str) {
        self.list.retain(|given| given.path != path);
        self.list.push(Override { path: path.to_owned(), text: text.to_owned() });
    }

    /// Takes a value for a field that neither flags nor file give, and lists it among the defaults used.
    pub fn assume(&mut self, path: &'static str, text: &'static str) {
        self.fallbacks.push(Fallback { path, text, matters: true });
    }

    /// Takes a value for a field on which the question that is asked does not depend. It is listed nowhere,
    /// and the field does not count as given.
    pub fn stand_in(&mut self, path: &'static str, text: &'static str) {
        self.fallbacks.push(Fallback { path, text, matters: false });
    }

    pub(super) fn fallback(&self, path: &str) -> Option<Fallback> {
        self.fallbacks.iter().find(|fallback| fallback.path == path).copied()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    pub(super) fn get(&self, path: &str) -> Option<&Override> {
        self.list.iter().find(|given| given.path == path)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &Override> {
        self.list.iter()
    }
}
