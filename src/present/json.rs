//! Answers as JSON: one flat object a command.
//!
//! [`envelope`] writes the keys every command has; a study adds its own with
//! an [`Object`]. Keys carry their unit (`drop_v`); numbers are finite or the
//! whole answer is refused.

mod object;
mod parts;
pub mod solution;
pub mod tables;
pub mod tolerance;

pub use object::{NotFinite, Object};
pub use parts::{assumed, finding, source};

use crate::findings::{Assumed, Finding};
use crate::sources::Source;
use crate::span::CircuitText;

/// Version of the JSON a command prints; keys are only added within one.
pub const FORMAT: u32 = 1;

/// What every command's JSON has beside its own keys.
#[derive(Debug, Clone, Copy, Default)]
pub struct Envelope<'a> {
    /// Name of the command.
    pub command: &'a str,
    /// What the answer is about, where that is not the file given.
    pub about: Option<&'a str>,
    /// Cautions; the key is left out where there are none.
    pub cautions: &'a [String],
    /// What was found.
    pub findings: &'a [Finding],
    /// The circuit file the findings point into.
    pub text: Option<&'a CircuitText>,
    /// Defaults that entered the result.
    pub assumed: &'a [Assumed],
    /// Citations of the result.
    pub sources: &'a [Source],
}

/// Puts the common keys and the command's own together and prints them.
///
/// # Errors
/// [`NotFinite`] names the first number that is infinite or not a number.
pub fn envelope(common: &Envelope<'_>, body: Object) -> Result<String, NotFinite> {
    let mut object = Object::new()
        .count("format", FORMAT as usize)
        .text("command", common.command);
    if let Some(about) = common.about {
        object = object.text("about", about);
    }
    if !common.cautions.is_empty() {
        object = object.texts("cautions", common.cautions);
    }
    let findings = super::findings::sorted(common.findings);
    object
        .objects(
            "findings",
            findings.into_iter().map(|f| finding(f, common.text)),
        )
        .objects("assumed", common.assumed.iter().map(assumed))
        .objects("sources", common.sources.iter().map(source))
        .and(body)
        .print()
}
