//! A fuse or breaker as it is fitted in a circuit.

use super::protector::Protector;
use crate::circuit::zones::{FuseId, Written, fuse_name, written};
use crate::circuit::{Circuit, Place};
use crate::quantities::Amps;
use crate::span::Span;
use crate::tables::OutOfTable;

/// A fuse or breaker as fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// Which it is.
    pub id: FuseId,
    /// `NAME` or `BLOCK.SLOT`.
    pub name: String,
    /// What it does in time, in the air of its place.
    pub device: Protector,
    /// Rating printed on the cover.
    pub label: Option<Amps>,
    /// Where its rating is written.
    pub span: Span,
    /// Where it sits.
    pub place: Place,
}

/// A fuse or breaker of a circuit; none where the part is neither.
///
/// # Errors
/// A rating its family is not made in, or air outside its table.
pub fn fitted(circuit: &Circuit, id: FuseId) -> Result<Option<Fitted>, OutOfTable> {
    let Some(Written { rating, label, .. }) = written(circuit, id) else {
        return Ok(None);
    };
    Ok(Protector::fitted(circuit, id)?.map(|device| Fitted {
        id,
        name: fuse_name(circuit, id),
        device,
        label: label.map(|given| given.value),
        span: rating.span,
        place: circuit.part(id.part).place,
    }))
}
