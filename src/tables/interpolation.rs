//! Straight lines between table rows.

/// Value at `x` between points sorted by rising `x`; `None` outside them.
pub(super) fn between(points: &[(f64, f64)], x: f64) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        (x0 <= x && x <= x1).then(|| {
            if x1 > x0 {
                y0 + (y1 - y0) * (x - x0) / (x1 - x0)
            } else {
                y0
            }
        })
    })
}
