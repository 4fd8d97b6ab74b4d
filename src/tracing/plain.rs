//! Stiff laws as plain ohms, so that thousands of faults are solved at once.

use crate::devices::Model;
use crate::network::{Conductor, Law, Parameters};
use crate::solving::{Role, Setting};

/// Laws are taken as plain ohms where a fault makes them stiff: thousands of
/// faults are solved, many with the supply close to collapse.
pub(super) fn plain_law(law: Law, role: Role) -> Law {
    match (law, role) {
        (Law::Diode, Role::Channel { .. })
        | (Law::HeatedConductor | Law::HeatedLink | Law::ConstantPower | Law::ConstantCurrent, _) => {
            Law::Conductor
        }
        (law, _) => law,
    }
}

/// Volts at which electronics draw what their label says.
const LABEL_V: f64 = 12.5;
/// Amperes at which a driver's channel drops what its figure says.
const CHANNEL_A: f64 = 1.0;
/// Resistance of a fuse under its usual load over its cold one.
const WARM_FUSE: f64 = 1.2;

/// A setting as its branch of the frame takes it.
pub(super) fn plain(law: Law, setting: Setting) -> Setting {
    if law != Law::Conductor {
        return setting;
    }
    let conductance_s = match setting.parameters {
        Parameters::Conductor(_) => return setting,
        Parameters::HeatedConductor(law) => 1.0 / (law.r_joint_ohm + law.r_ambient_ohm),
        Parameters::HeatedLink(law) => 1.0 / (law.r_contacts_ohm + WARM_FUSE * law.r_cold_ohm),
        Parameters::ConstantPower(law) => law.p_w / (LABEL_V * LABEL_V),
        Parameters::ConstantCurrent(law) => law.i_a / LABEL_V,
        Parameters::Diode(law) => CHANNEL_A / law.v_drop_v.max(0.01),
        _ => 0.0,
    };
    Setting {
        parameters: Conductor { conductance_s }.into(),
        scale: setting.scale,
    }
}

/// Whether a model draws current as a load.
pub(super) const fn is_load(model: &Model) -> bool {
    matches!(
        model,
        Model::Motor(_) | Model::PulsePump(_) | Model::Solenoid(_) | Model::Load(_)
    )
}
