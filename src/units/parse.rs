//! Reading a quantity from text.

/// Why a text is not a quantity of the kind that is needed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("`{text}`: {reason}")]
pub struct QuantityError {
    /// The text as given.
    pub text: String,
    /// What is wrong with it, with the rule.
    pub reason: String,
    /// How to mend it.
    pub hint: Option<String>,
}
