//! Taking what was left out from the class, and writing it down.

use crate::circuit::Given;
use crate::findings::Assumed;
use crate::quantities::{Band, Quantity, print};
use crate::sources::{Source, Sourced};

/// Collects every default that enters a result.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    taken: Vec<Assumed>,
}

impl Shelf {
    /// Returns what was written, or the class's figure, which is written down
    /// under the name of the part.
    pub(super) fn take<Q: Quantity>(
        &mut self,
        given: Option<&Given<Band<Q>>>,
        subject: &str,
        label: &str,
        class: Sourced<Band<Q>>,
    ) -> Band<Q> {
        if let Some(given) = given {
            return given.value;
        }
        self.note(
            subject,
            format!("{label} {}", in_words(&class.value)),
            class.source,
        );
        class.value
    }

    /// Writes down a default in words.
    pub(super) fn note(&mut self, subject: &str, what: impl Into<String>, source: Source) {
        let assumed = Assumed {
            subject: subject.to_owned(),
            what: what.into(),
            source,
        };
        if !self.taken.contains(&assumed) {
            self.taken.push(assumed);
        }
    }

    /// Everything taken, in order of the parts.
    pub(super) fn into_assumed(self) -> Vec<Assumed> {
        self.taken
    }
}

/// `85 ohm (72.3 to 97.8 ohm)`, or the plain figure.
pub(super) fn in_words<Q: Quantity>(band: &Band<Q>) -> String {
    if band.is_range() {
        format!(
            "{} ({} to {})",
            print::quantity(band.typical),
            print::quantity(band.low),
            print::quantity(band.high)
        )
    } else {
        print::quantity(band.typical)
    }
}
