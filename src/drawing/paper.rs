//! A laid out circuit: what stands where, in units of about a screen's dot.

use super::graph::Conductor;
use super::lettering::width;
use super::symbol::{Side, Symbol};

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

/// Where lettering hangs on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It starts there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// Lettering on the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Lettering {
    /// What is shown.
    pub text: String,
    /// Point it hangs on; `y` is the line it stands on.
    pub x: f64,
    /// Line it stands on.
    pub y: f64,
    /// How it hangs.
    pub anchor: Anchor,
    /// Height of the letters.
    pub size: f64,
    /// Whether it is bold.
    pub bold: bool,
}

impl Lettering {
    /// The room it takes at most.
    pub fn room(&self) -> Rect {
        let w = width(&self.text, self.size, self.bold);
        let x = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - w / 2.0,
            Anchor::End => self.x - w,
        };
        Rect {
            x,
            y: self.y - 0.8 * self.size,
            w,
            h: self.size,
        }
    }
}

/// A terminal of a placed symbol.
#[derive(Debug, Clone, PartialEq)]
pub struct Port {
    /// Index of the pin in the symbol.
    pub pin: usize,
    /// Which side it is on.
    pub side: Side,
    /// Where its conductors meet.
    pub x: f64,
    /// Heights at which they come in.
    pub ys: Vec<f64>,
}

impl Port {
    /// Height of the terminal itself.
    pub fn y(&self) -> f64 {
        let (low, high) = self.reach();
        f64::midpoint(low, high)
    }

    /// Highest and lowest conductor.
    pub fn reach(&self) -> (f64, f64) {
        let low = self.ys.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (low, high)
    }
}

/// A symbol in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// The symbol.
    pub symbol: Symbol,
    /// What is drawn of it, without its lettering.
    pub body: Rect,
    /// Its terminals.
    pub ports: Vec<Port>,
    /// Name, figures under it, marks of its terminals.
    pub lettering: Vec<Lettering>,
}

impl Placed {
    /// The port of a pin; a bar has one on either side.
    pub fn port(&self, pin: usize) -> Option<&Port> {
        self.ports.iter().find(|port| port.pin == pin)
    }

    /// The lettering of a pin's mark, where it has one and a conductor reaches
    /// it. Two pins may have equal marks, cut to fit: the mark is found by its
    /// place, never by its text.
    pub fn mark(&self, pin: usize) -> Option<&Lettering> {
        let pins = &self.symbol.pins;
        let is_marked = |port: &&Port| pins.get(port.pin).is_some_and(|pin| !pin.mark.is_empty());
        let marked = || self.ports.iter().filter(is_marked);
        // Marks come last, in the ports' order.
        let first = self.lettering.len().checked_sub(marked().count())?;
        let mut marks = marked().zip(&self.lettering[first..]);
        marks
            .find(|(port, _)| port.pin == pin)
            .map(|(_, mark)| mark)
    }
}

/// A conductor in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Routed {
    /// Which it is.
    pub conductor: Conductor,
    /// Its corners from end to end; only level and upright pieces.
    pub points: Vec<(f64, f64)>,
    /// Size, colour and length.
    pub lettering: Lettering,
    /// Where a state's figures stand, below the line.
    pub figures: Lettering,
}

/// A laid out circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width of the whole.
    pub width: f64,
    /// Height of the whole.
    pub height: f64,
    /// Symbols in the order of the circuit's parts.
    pub symbols: Vec<Placed>,
    /// Conductors, wires first.
    pub conductors: Vec<Routed>,
    /// From left to right where level conductors alone pass, so that a drawing
    /// too wide for its paper can be folded there.
    pub folds: Vec<f64>,
}
