//! Steps, seeds and inputs of any kind.

mod support;

use air::units::MPS_PER_KT;
use dynamics::trim::Path;
use dynamics::{Controls, State, Surfaces, Weather, WindAt};
use support::{STEP_S, aloft, demo, held, steady};

#[test]
fn half_the_step_changes_little() {
    // Runge–Kutta of fourth order: the error falls with the fourth power, until what is held over a step (density,
    // surfaces) shows. Ten seconds with a hand that moves.
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 50.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let fly = |step_s: f64| {
        let mut flying = aloft(&airframe, &weather, &found, 1);
        let mut hands = held(&found);
        for step in 0..(10.0 / step_s).round() as u32 {
            let t = f64::from(step) * step_s;
            hands.elevator = found.surfaces.elevator + 0.05 * t.sin();
            hands.aileron = found.surfaces.aileron + 0.05 * (0.8 * t).sin();
            flying.step(&hands, step_s);
        }
        flying.state
    };
    let [coarse, normal, fine] = [0.02, 0.01, 0.005].map(fly);
    let apart = |a: &State, b: &State| {
        (0..3)
            .map(|i| (a.0[i] - b.0[i]).powi(2))
            .sum::<f64>()
            .sqrt()
    };
    let (first, second) = (apart(&coarse, &normal), apart(&normal, &fine));
    println!("0.02 to 0.01 s: {first:.4} m, 0.01 to 0.005 s: {second:.4} m");
    assert!(second < 0.6 * first && second < 1.0);
    for axis in 6..10 {
        assert!((normal.0[axis] - fine.0[axis]).abs() < 0.005);
    }
}

#[test]
fn held_controls_converge_with_the_fourth_power() {
    // Same density everywhere near the start height and controls that rest: the error falls by about 2⁴.
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 50.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let fly = |step_s: f64| {
        let mut flying = aloft(&airframe, &weather, &found, 1);
        flying.state.0[11] += 0.3;
        for _ in 0..(0.8 / step_s).round() as u32 {
            flying.state.0[2] = 0.0;
            flying.step(&held(&found), step_s);
        }
        flying.state.0[11]
    };
    let [coarse, normal, fine] = [0.08, 0.04, 0.02].map(fly);
    let ratio = (coarse - normal) / (normal - fine);
    println!("errors fall by {ratio:.1} when the step is halved");
    assert!(ratio.abs() > 8.0, "{ratio}");
}

fn rough() -> Weather {
    Weather {
        gust_mps: 1.2,
        wind: vec![WindAt {
            height_m: 0.0,
            toward_mps: [10.0 * MPS_PER_KT, 0.0],
        }],
        ..Weather::default()
    }
}

#[test]
fn the_same_seed_gives_the_same_flight_and_another_another() {
    let (airframe, weather) = (demo(), rough());
    let found = steady(&airframe, 50.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let fly = |seed: u64| {
        let mut flying = aloft(&airframe, &weather, &found, seed);
        for _ in 0..2000 {
            flying.step(&held(&found), STEP_S);
        }
        flying.state.0.map(f64::to_bits)
    };
    assert_eq!(fly(5), fly(5));
    assert_ne!(fly(5), fly(6));
}

#[test]
fn flaps_take_their_time() {
    // The file says 5°/s: 40° take 8 s.
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 40.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let mut flying = aloft(&airframe, &weather, &found, 1);
    let mut hands = held(&found);
    hands.flap_rad = 40_f64.to_radians();
    let mut taken = 0.0;
    while flying.surfaces.flap_rad < hands.flap_rad - 1e-9 && taken < 20.0 {
        flying.step(&hands, STEP_S);
        taken += STEP_S;
    }
    assert!((taken - 8.0).abs() < 0.05, "{taken}");
}

#[test]
fn inputs_end_where_the_travel_ends() {
    let wild = Controls {
        elevator: 7.0,
        trim: 1.0,
        aileron: -9.0,
        rudder: f64::INFINITY,
        throttle: -3.0,
        flap_rad: 9.0,
        brakes: 4.0,
    };
    let at = Surfaces::settled(&wild);
    assert_eq!((at.elevator, at.aileron, at.rudder), (1.0, -1.0, 1.0));
    assert_eq!((at.throttle, at.brakes), (0.0, 1.0));
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 45.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let mut flying = aloft(&airframe, &weather, &found, 1);
    for _ in 0..3000 {
        flying.step(&wild, STEP_S);
    }
    let last = airframe.flaps.last().expect("flaps").angle_rad;
    assert!(flying.surfaces.flap_rad <= last + 1e-12);
    assert!(flying.state.0.iter().all(|x| x.is_finite()));
}

#[test]
fn what_is_no_number_counts_as_the_middle() {
    let none = Controls {
        elevator: f64::NAN,
        trim: f64::NAN,
        aileron: f64::NAN,
        rudder: f64::NAN,
        throttle: f64::NAN,
        flap_rad: f64::NAN,
        brakes: f64::NAN,
    };
    let (airframe, weather) = (demo(), rough());
    let found = steady(&airframe, 45.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let mut flying = aloft(&airframe, &weather, &found, 1);
    for _ in 0..1000 {
        flying.step(&none, STEP_S);
    }
    assert!(flying.state.0.iter().all(|x| x.is_finite()));
    assert_eq!(flying.surfaces.elevator, 0.0);
}

#[test]
fn there_is_no_steady_flight_where_there_is_none() {
    let airframe = demo();
    // Slower than any stall, faster than any throttle.
    assert!(steady(&airframe, 12.0, 0.0, Path::Angle(0.0)).is_none());
    assert!(steady(&airframe, 110.0, 0.0, Path::Angle(0.0)).is_none());
    assert!(steady(&airframe, f64::NAN, 0.0, Path::Angle(0.0)).is_none());
}
