//! The model against closed forms: what must hold for any airplane.

use air::atmosphere::RHO0_KGPM3;
use air::units::{G0_MPS2, MPS_PER_FPM, MPS_PER_KT};
use dynamics::figures::{figures, stall_speed_mps};
use dynamics::trim::{Path, Wanted, trim};
use dynamics::{Airframe, Controls, Flying, Weather, parse};

const STEP_S: f64 = 0.01;

fn demo() -> Airframe {
    parse(
        include_str!("../../../data/airframes/demo.toml"),
        "demo.toml",
    )
    .expect("the demo airframe reads")
}

fn wanted(tas_mps: f64, bank_deg: f64, path: Path) -> Wanted {
    Wanted {
        tas_mps,
        bank_rad: bank_deg.to_radians(),
        flap_rad: 0.0,
        path,
        density_kgpm3: RHO0_KGPM3,
    }
}

#[test]
fn print_figures() {
    let airframe = demo();
    let f = figures(&airframe, RHO0_KGPM3);
    for (angle, v) in &f.stall {
        let c = airframe.critical(*angle);
        println!(
            "flap {:.0} VS {:.1} KCAS alpha {:.1} CL {:.2}",
            angle.to_degrees(),
            v / MPS_PER_KT,
            c.0.to_degrees(),
            c.1
        );
    }
    let show = |x: Option<(f64, f64)>, k: f64| x.map(|(v, y)| (v / MPS_PER_KT, y / k));
    println!(
        "VY {:?} VX {:?} glide {:?} level {:?}",
        show(f.best_rate, MPS_PER_FPM),
        show(f.best_angle, 1_f64.to_radians()),
        show(f.best_glide, 1.0),
        f.level.map(|v| v / MPS_PER_KT)
    );
    for kt in [60.0, 70.0, 80.0, 100.0, 120.0] {
        let t = trim(&airframe, &wanted(kt * MPS_PER_KT, 0.0, Path::Angle(0.0)));
        println!(
            "{kt} {:?}",
            t.map(|t| (t.alpha_rad.to_degrees(), t.surfaces, t.state.0[13] * 9.549))
        );
    }
    println!("{:?}", stall_speed_mps(&airframe, 0.0));
    panic!();
}

#[test]
fn steady_flight_stays_steady() {
    let airframe = demo();
    let weather = Weather::default();
    let found = trim(&airframe, &wanted(50.0, 0.0, Path::Angle(0.0))).expect("level flight");
    let controls = Controls {
        elevator: found.surfaces.elevator,
        aileron: found.surfaces.aileron,
        rudder: found.surfaces.rudder,
        throttle: found.surfaces.throttle,
        ..Controls::default()
    };
    let mut flying = Flying::new(&airframe, &weather, found.state, &controls, 1);
    flying.ground_m = -5000.0;
    for _ in 0..1000 {
        flying.step(&controls, STEP_S);
    }
    let [_, _, down] = flying.state.velocity_ned();
    assert!(
        down.abs() < 0.05 && flying.state.height_m().abs() < 0.5,
        "{:?}",
        flying.state
    );
    assert!(G0_MPS2 > 9.0);
}
