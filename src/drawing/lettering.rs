//! How much room letters take, and cutting off what is too long.
//!
//! Nobody knows the reader's letters: the widths are those of a wide plain
//! face, so that narrower ones fit all the more.

/// Width of a letter of a wide plain face against its height.
const WIDE: f64 = 0.62;
/// The same of a bold one.
const BOLD: f64 = 0.70;

/// Width of a text, in the unit of its height.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let one = if bold { BOLD } else { WIDE };
    let letters = text.chars().map(|c| if is_broad(c) { 1.7 } else { 1.0 });
    letters.sum::<f64>() * one * size
}

/// Signs as broad as high: East Asian letters, pictures.
fn is_broad(sign: char) -> bool {
    u32::from(sign) >= 0x1100
}

/// The text, or its beginning with a mark that something is missing.
pub(super) fn cut(text: &str, most: usize) -> String {
    let plain: String = text.chars().filter(|c| !c.is_control()).collect();
    if plain.chars().count() <= most {
        return plain;
    }
    let mut short: String = plain.chars().take(most - 1).collect();
    short.push('\u{2026}');
    short
}
