//! Curves on two logarithmic axes, before anyone decides how they are drawn.

/// An axis; both ends above zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Unit beside its figures.
    pub name: String,
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

/// A curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// The sign it is drawn with.
    pub sign: char,
    /// What it is.
    pub name: String,
    /// Its points, both figures above zero; those outside are not drawn.
    pub points: Vec<(f64, f64)>,
}

/// A chart, both axes logarithmic. Later curves are drawn over earlier ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// Left to right.
    pub x: Axis,
    /// Bottom to top.
    pub y: Axis,
    /// The curves.
    pub curves: Vec<Curve>,
}
