//! How much flaps lower the critical angle of attack.
//!
//! A flap moves the lift curve to smaller angles and raises its top, and the wing stalls at a smaller angle
//! (Abbott and von Doenhoff, *Theory of Wing Sections*, 1959, chapter 8). The aircraft file gives the
//! warning angle of each setting, at 83 % of the greatest lift: from there it is the last sixth of the lift
//! up to the stall, and that part is larger the more lift the setting gives, as (V<sub>S1</sub> / V<sub>S</sub>)².

use aircraft::Aircraft;

/// Part of the way from the warning to the stall where lift still grows with the angle as below; the rest
/// is the rounded top of the curve, the same for every flap setting.
const STRAIGHT: f64 = 0.75;
/// What the rule does not know, as a share of the fall.
const DOUBT: f64 = 0.3;

/// A fall of the critical angle.
#[derive(Clone, Copy, Debug, Default)]
pub struct Drop {
    /// How much, rad, not negative.
    pub rad: f64,
    /// 1-σ, rad.
    pub sigma_rad: f64,
}

/// Fall of the critical angle with flaps at `flap_rad`; none where the flaps or their warning angle are
/// not known.
pub fn drop(aircraft: &Aircraft, clean_rad: f64, flap_rad: f64) -> Drop {
    let detents = &aircraft.flaps;
    let (Some(clean), Some(set)) = (
        detents.first(),
        detents
            .iter()
            .filter(|_| flap_rad.is_finite())
            .min_by(|a, b| {
                (a.angle_rad - flap_rad)
                    .abs()
                    .total_cmp(&(b.angle_rad - flap_rad).abs())
            }),
    ) else {
        return Drop::default();
    };
    let (Some(warns), Some(warns_set)) = (clean.warning_aoa_rad, set.warning_aoa_rad) else {
        return Drop::default();
    };
    let gap = clean_rad - warns;
    if set.angle_rad <= clean.angle_rad || gap.is_nan() || gap <= 0.0 {
        return Drop::default();
    }
    let gap_set = gap * (1.0 - STRAIGHT + STRAIGHT * lift_gain(aircraft, set.angle_rad));
    let rad = (clean_rad - (warns_set + gap_set)).clamp(0.0, 0.5 * clean_rad);
    Drop {
        rad,
        sigma_rad: DOUBT * rad,
    }
}

/// Greatest lift with flaps over that without, from the stall speeds; between the settings whose stall
/// speed is known it grows with the angle. One where only the clean speed is known.
fn lift_gain(aircraft: &Aircraft, flap_rad: f64) -> f64 {
    let Some(first) = aircraft.flaps.first() else {
        return 1.0;
    };
    let Some(clean_mps) = first.stall_mps.or(aircraft.speeds.vs1_mps) else {
        return 1.0;
    };
    let last = aircraft.flaps.last().map_or(0.0, |last| last.angle_rad);
    let mut below = (first.angle_rad, 1.0);
    for detent in aircraft.flaps.iter().skip(1) {
        let known = detent.stall_mps.or_else(|| {
            (detent.angle_rad >= last)
                .then_some(aircraft.speeds.vs0_mps)
                .flatten()
        });
        let Some(stall_mps) = known.filter(|stall| *stall > 0.0) else {
            continue;
        };
        let here = (detent.angle_rad, (clean_mps / stall_mps).powi(2).max(1.0));
        if flap_rad <= here.0 {
            let share = (flap_rad - below.0) / (here.0 - below.0).max(1e-6);
            return below.1 + share.clamp(0.0, 1.0) * (here.1 - below.1);
        }
        below = here;
    }
    below.1
}

#[cfg(test)]
mod tests {
    use super::*;
    use aircraft::Detent;

    fn with_flaps(warnings_deg: &[(f64, Option<f64>)]) -> Aircraft {
        let mut aircraft = Aircraft::unknown();
        aircraft.speeds.vs1_mps = Some(30.0);
        aircraft.speeds.vs0_mps = Some(26.0);
        aircraft.flaps = warnings_deg
            .iter()
            .map(|(angle, warning)| Detent {
                angle_rad: angle.to_radians(),
                limit_mps: None,
                stall_mps: None,
                warning_aoa_rad: warning.map(f64::to_radians),
                aoa_offset_rad: None,
                drag_offset: None,
            })
            .collect();
        aircraft
    }

    fn drop_deg(aircraft: &Aircraft, flap_deg: f64) -> f64 {
        drop(aircraft, 16f64.to_radians(), flap_deg.to_radians())
            .rad
            .to_degrees()
    }

    /// A plain flap at 40° to 60° lowers the angle of the stall by some 3° to 5° (Abbott and von Doenhoff,
    /// 1959, chapter 8, from memory); with the zero-lift angle down by 8° the warning is near 4° lower.
    #[test]
    fn val_flaps_lower_the_critical_angle() {
        let aircraft = with_flaps(&[(0.0, Some(11.0)), (20.0, Some(9.0)), (40.0, Some(6.5))]);
        let full = drop_deg(&aircraft, 40.0);
        assert!((2.0..5.0).contains(&full), "{full}");
        assert!(drop_deg(&aircraft, 20.0) < full);
    }

    #[test]
    fn prop_nothing_falls_without_flaps_or_without_knowing() {
        let aircraft = with_flaps(&[(0.0, Some(11.0)), (40.0, Some(6.5))]);
        assert_eq!(drop_deg(&aircraft, 0.0), 0.0);
        assert_eq!(drop_deg(&aircraft, f64::NAN), 0.0);
        assert_eq!(
            drop_deg(&with_flaps(&[(0.0, None), (40.0, None)]), 40.0),
            0.0
        );
        assert_eq!(drop_deg(&Aircraft::unknown(), 40.0), 0.0);
    }
}
