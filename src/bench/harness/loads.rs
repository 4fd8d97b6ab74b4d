//! Loads as an ohmmeter sees them.

use crate::circuit::{Device, LoadLaw, Part};
use crate::devices::{LoadModel, LoadShape, Model};
use crate::quantities::Band;
use crate::tables::OutOfTable;
use crate::tables::readings::{bench_limit, engine_load_ohms, plugged_in};

/// A filament cold over hot: a tenth, by its surge of ten (6 to 12) times.
const COLD: Band<f64> = Band {
    low: 1.0 / 12.0,
    typical: 0.1,
    high: 1.0 / 6.0,
};

/// What a meter shows over a motor's winding, lowest of ten tries, as its
/// multiple: brushes and their film.
pub const FILM: Band<f64> = Band {
    low: 1.0,
    typical: 1.15,
    high: 2.5,
};
/// The same at one try: of fifty readings over the lowest the mean was 1.95, the
/// median 1.7, the highest 4.9 (`ohmmeter-scatter`); this triangle has 2.0 and 1.9.
const FILM_OF_ONE: Band<f64> = Band {
    low: 1.0,
    typical: 1.0,
    high: 4.0,
};

/// A load as an ohmmeter sees it, with the film of its brushes if asked for; none
/// for what no ohmmeter sees.
pub(super) fn of_load(
    part: &Part,
    model: &Model,
    film: bool,
) -> Result<Option<Band<f64>>, OutOfTable> {
    Ok(match model {
        Model::Motor(motor) if film => {
            let r = motor.parameters.r.si();
            Some(Band {
                low: r.low * FILM_OF_ONE.low,
                typical: r.typical * FILM_OF_ONE.typical,
                high: r.high * FILM_OF_ONE.high,
            })
        }
        Model::Motor(motor) => Some(motor.parameters.r.si()),
        Model::PulsePump(pump) => Some(pump.coil_warm.si()),
        Model::Solenoid(solenoid) => Some(solenoid.coil_warm.si()),
        Model::Load(load) => Some(other_load(part, load)?),
        _ => None,
    })
}

fn other_load(part: &Part, load: &LoadModel) -> Result<Band<f64>, OutOfTable> {
    let class = match &part.device {
        Device::Load(spec) => match &spec.law.value {
            LoadLaw::Class(class) => class.as_str(),
            _ => "",
        },
        _ => "",
    };
    if class == "ignition coil" {
        return Ok(engine_load_ohms("ignition coil, inductive")?.value.si());
    }
    if class == "horn" {
        let limits = bench_limit("horn with a coil, by an ohmmeter")?.value;
        let (low, high) = (limits.low.unwrap_or(0.2), limits.high.unwrap_or(10.0));
        let typical = (low * high).sqrt();
        return Ok(Band { low, typical, high });
    }
    Ok(match &load.shape {
        LoadShape::Resistance(ohms) => ohms.si(),
        LoadShape::Lamp { nominal_v, current } => Band {
            low: COLD.low * nominal_v / current.high.si(),
            typical: COLD.typical * nominal_v / current.typical.si(),
            high: COLD.high * nominal_v / current.low.si(),
        },
        LoadShape::Power(_) | LoadShape::Current(_) => {
            let (low, high) = plugged_in("engine control unit feed")?.value;
            Band {
                low: low.si(),
                typical: (low.si() * high.si()).sqrt(),
                high: high.si(),
            }
        }
    })
}
