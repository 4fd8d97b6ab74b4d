//! What there is to choose from: sizes of wire and ratings of fuses.

use crate::circuit::Wire;
use crate::quantities::{Amps, WireSize};
use crate::tables::OutOfTable;
use crate::tables::conductors::{area, standard_sizes};
use crate::tables::fuses::{FuseStyle, breaker_ratings, rating_range, standard_ratings};

/// What may be used; everything listed in the tables where nothing is named.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stock {
    /// Wire sizes at hand; none for every listed size of a wire's own system.
    pub sizes: Option<Vec<WireSize>>,
    /// Fuse ratings at hand, each for one style or for any made in it; none
    /// for every standard rating.
    pub ratings: Option<Vec<(Option<FuseStyle>, Amps)>>,
    /// Whether wires that are thick enough stay: only the copper of new wire
    /// counts, and no wire becomes thinner.
    pub never_thinner: bool,
    /// Whether wires also have to stand every overload that their fuse lets
    /// through for a while.
    pub overloads: bool,
}

impl Stock {
    /// Sizes a wire may get, thin to thick.
    ///
    /// # Errors
    /// When a table cannot be read, or a size at hand is in none.
    pub fn sizes_for(&self, wire: &Wire) -> Result<Vec<WireSize>, OutOfTable> {
        let sizes = match &self.sizes {
            Some(sizes) => sizes.clone(),
            None => standard_sizes(wire.size.value.system())?,
        };
        let mut by_area = sizes
            .into_iter()
            .map(|size| Ok((area(size)?.value.si(), size)))
            .collect::<Result<Vec<_>, OutOfTable>>()?;
        by_area.sort_by(|a, b| a.0.total_cmp(&b.0));
        by_area.dedup_by(|a, b| a.1 == b.1);
        Ok(by_area.into_iter().map(|(_, size)| size).collect())
    }

    /// Ratings of a style, rising; of breakers where there is no style.
    ///
    /// # Errors
    /// When a table cannot be read.
    pub fn ratings_for(&self, style: Option<FuseStyle>) -> Result<Vec<Amps>, OutOfTable> {
        let standard = match style {
            Some(style) => standard_ratings(style)?.value,
            None => breaker_ratings()?.value,
        };
        let Some(at_hand) = &self.ratings else {
            return Ok(standard);
        };
        let mut ratings: Vec<Amps> = at_hand
            .iter()
            .filter(|(of, rating)| match of {
                Some(of) => Some(*of) == style,
                None => is_made(style, *rating, &standard),
            })
            .map(|(_, rating)| *rating)
            .collect();
        ratings.sort_by(|a, b| a.si().total_cmp(&b.si()));
        ratings.dedup();
        Ok(ratings)
    }
}

/// Whether a style has a rating at all.
fn is_made(style: Option<FuseStyle>, rating: Amps, standard: &[Amps]) -> bool {
    let range = style.and_then(|style| rating_range(style).ok());
    match range.map(|found| found.value) {
        Some((least, most)) => (least.si()..=most.si()).contains(&rating.si()),
        None => standard.contains(&rating),
    }
}
