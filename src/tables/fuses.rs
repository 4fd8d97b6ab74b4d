//! Fuses and breakers: families, gates, thermal networks, resistance, rules.
//!
//! Families follow ISO 8820 (types C, F, E, strip) and UL 248-14 (glass). A
//! fuse is a band between an earliest and a latest opening; the gates of types
//! C and F are recalled, so nothing said from them is a guarantee.
//!
//! Used by the fuse and breaker devices, sizing, protection and tracing.

mod colours;
mod gates;
mod networks;
mod resistance;
mod rules;
mod style;

pub use colours::{colour, ratings_of_colour};
pub use gates::{Gate, breaker_gates, gates};
pub use networks::{Edge, ThermalState, breaker_network, early_stretch, network};
pub use resistance::{
    amps_per_millivolt, breaker_resistance, cold_resistance, heat_state_at_rating, hot_rise, i2t,
};
pub use rules::{
    ambient_factor, breaker_ambient_factor, breaker_capacity, loading_caution,
    motor_fuse_ceiling_percent, placement_length, pulse_share, selectivity_ratio, steady_loading,
    wire_rule_percent,
};
pub use style::{
    FuseStyle, breaker_ratings, breaking_capacity, rating_range, standard_ratings, voltage_rating,
};
