//! What the file does not say, and which marks that costs.

use super::section::Report;
use crate::{Aircraft, Propeller};

/// Adds a notice for each missing entry. Runs on a sound file only, after it was completed.
pub(crate) fn missing(report: &mut Report<'_>, aircraft: &Aircraft) {
    let s = &aircraft.speeds;
    let mut absent = |gone: bool, what: &str, mend: &str, criteria: &[&'static str]| {
        if gone {
            report.notice(None, what, mend, criteria);
        }
    };
    absent(
        s.vs1_mps.is_none(),
        "no clean stall speed: how far the speed is above the stall cannot be told with flaps up",
        "add vs1_kias under [speeds]",
        &["warning_speed", "no_stall_warning"],
    );
    absent(
        s.vs0_mps.is_none() && aircraft.has_flaps() != Some(false),
        "no stall speed with full flap: how far the speed is above the stall cannot be told with flaps",
        "add vs0_kias under [speeds]",
        &["warning_speed", "no_stall_warning"],
    );
    absent(
        s.vy_mps.is_none(),
        "no best rate of climb speed (VY): the climb after a recovery has no target",
        "add vy_kias under [speeds]",
        &["climb_not_delayed"],
    );
    absent(
        s.va_mps.is_none(),
        "no maneuvering speed (VA): the entry speed of steep turns is not held against it",
        "add va_kias under [speeds]",
        &["entry_airspeed"],
    );
    absent(
        aircraft.flaps.is_empty(),
        "no flap detents: flap steps cannot be told apart, nor that the airplane has none",
        "add a [[flaps]] for each setting from angle_deg = 0 up",
        &["flap_extension_speed", "flaps_in_steps", "flaps_retracted"],
    );
    let with_flaps = aircraft.has_flaps() != Some(false);
    let limits = !aircraft.flaps.is_empty()
        && (1..aircraft.flaps.len()).all(|detent| aircraft.flap_limit_mps(detent).is_some());
    absent(
        with_flaps && !limits && s.vfe_mps.is_none(),
        "no flap limit speed",
        "add vfe_kias under [speeds], or limit_kias to each [[flaps]] above 0°",
        &["flap_extension_speed"],
    );
    absent(
        aircraft.reference_mass_kg().is_none(),
        "no mass: stall speed and VA are taken as printed, whatever was aboard",
        "add reference_lb (what the speeds are for) and maximum_lb under [mass]",
        &["entry_airspeed", "warning_speed"],
    );
    engine(&mut absent, aircraft);
    let between: Vec<String> = (0..aircraft.flaps.len())
        .filter(|detent| {
            aircraft
                .stall_speed(*detent)
                .is_some_and(|f| f.basis == crate::Basis::Interpolated)
        })
        .filter_map(|detent| aircraft.flaps.get(detent))
        .map(|detent| format!("{:.0}°", detent.angle_rad.to_degrees()))
        .collect();
    absent(
        !between.is_empty(),
        &format!(
            "no stall speed at {} of flap: taken from the neighbors",
            between.join(" and ")
        ),
        "add stall_kias to these [[flaps]] if the manual has it",
        &[],
    );
}

fn engine(absent: &mut impl FnMut(bool, &str, &str, &[&'static str]), aircraft: &Aircraft) {
    let e = &aircraft.engine;
    absent(
        e.rated_power_w.is_none() && e.rated_speed_radps.is_none(),
        "no rated power and no rated rpm: the share of power is judged from the flight alone",
        "add rated_power_hp and rated_rpm under [engine]",
        &["power_percent"],
    );
    absent(
        e.rated_speed_radps.is_none() && e.rated_power_w.is_some(),
        "no rated rpm: full power is taken as the highest that the flight shows",
        "add rated_rpm under [engine]",
        &["power_percent"],
    );
    absent(
        e.propeller == Propeller::Unknown,
        "no kind of propeller: whether rpm shows power is judged from the flight",
        "add propeller = \"fixed_pitch\" or \"constant_speed\" under [engine]",
        &["power_percent"],
    );
}
