//! The methods of integration: their order, and when Adams–Bashforth begins anew.

mod support;

use dynamics::trim::Path;
use dynamics::{Controls, Flying, Method, State, Weather, WindAt};
use support::{METHODS, STEP_S, aloft, demo, held, steady};

/// Two seconds out of a disturbed turn in steady wind, in steps of 2 s over `steps`.
fn flown(method: Method, steps: u32) -> State {
    let airframe = demo();
    let weather = Weather {
        wind: vec![WindAt {
            height_m: 0.0,
            toward_mps: [3.0, -4.0],
        }],
        ..Weather::default()
    };
    let found = steady(&airframe, 55.0, 20.0, Path::Angle(0.0)).expect("a turn");
    let mut hands = held(&found);
    (hands.elevator, hands.rudder) = (hands.elevator + 0.15, hands.rudder - 0.1);
    let mut state = found.state;
    (state.0[5], state.0[10], state.0[12]) = (state.0[5] + 2.0, 0.3, -0.1);
    // Begun with these hands: the surfaces stand where they belong from the first step on.
    let mut flying = Flying::new(&airframe, &weather, state, &hands, 1);
    (flying.ground_m, flying.method) = (-10_000.0, method);
    for _ in 0..steps {
        // Density is held over a step: an error of first order that belongs to no method. At one height there is none.
        flying.state.0[2] = 0.0;
        flying.step(&hands, 2.0 / f64::from(steps));
    }
    flying.state
}

/// Largest difference, each kind of number by its own size; the height was set.
fn apart(a: &State, b: &State) -> f64 {
    let size = |place: usize| match place {
        0 | 1 => 100.0,
        3..=5 => 50.0,
        13 => 200.0,
        _ => 1.0,
    };
    (0..a.0.len())
        .filter(|place| *place != 2)
        .map(|place| (a.0[place] - b.0[place]).abs() / size(place))
        .fold(0.0, f64::max)
}

#[test]
fn each_method_has_its_order() {
    // An error that goes with the step to the power of the order: halved steps show it (Hairer, Nørsett & Wanner, Solving
    // Ordinary Differential Equations I, 2nd ed. 1993, II.1 and III.2). The truth is Runge–Kutta by half milliseconds.
    let truth = flown(Method::RungeKutta4, 4000);
    for (method, order, near) in [
        (Method::RungeKutta4, 4.0, 0.3),
        (Method::Heun, 2.0, 0.2),
        (Method::AdamsBashforth2, 2.0, 0.2),
    ] {
        let off = [100, 200, 400].map(|steps| apart(&flown(method, steps), &truth));
        let slopes = [(off[0] / off[1]).log2(), (off[1] / off[2]).log2()];
        println!("{method:?}: {off:?}, slopes {slopes:.2?}");
        for slope in slopes {
            assert!((slope - order).abs() < near, "{method:?} {slopes:?}");
        }
    }
}

#[test]
fn an_airplane_that_was_moved_begins_anew() {
    // From the rates of a state that it is not in any more, the step would be wrong by its own size; begun anew, it is Heun's.
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 50.0, 0.0, Path::Angle(0.0)).expect("level flight");
    let mut pulled = held(&found);
    pulled.elevator += 0.2;
    let step = |moves: bool| {
        let mut adams = aloft(&airframe, &weather, &found, 1);
        adams.method = Method::AdamsBashforth2;
        for _ in 0..20 {
            adams.step(&pulled, STEP_S);
        }
        if moves {
            adams.state.0[4] += 1.0;
        }
        let mut heun = adams.clone();
        heun.method = Method::Heun;
        adams.step(&pulled, STEP_S);
        heun.step(&pulled, STEP_S);
        adams.state == heun.state
    };
    assert!(step(true), "begins anew");
    assert!(!step(false), "goes on");
}

#[test]
fn on_its_wheels_it_stands_and_weighs_what_it_weighs() {
    // Springs, dampers and friction are the stiffest that a step meets: forces of the ground are the weight (Newton).
    let (airframe, weather) = (demo(), Weather::default());
    let brakes = Controls {
        brakes: 1.0,
        ..Controls::default()
    };
    for method in METHODS {
        let mut state = State::level(1.3, 0.5, 0.0);
        state.0[13] = 0.0;
        let mut flying = Flying::new(&airframe, &weather, state, &brakes, 1);
        flying.method = method;
        for _ in 0..1500 {
            flying.step(&brakes, STEP_S);
        }
        let felt = flying.step(&brakes, STEP_S);
        let [_, _, down] = flying.state.velocity_ned();
        let weight = felt.specific_force_g.iter().map(|g| g * g).sum::<f64>();
        println!("{method:?}: {:.4} g, {down:.5} m/s", weight.sqrt());
        assert!(felt.on_ground && down.abs() < 0.001);
        assert!((weight.sqrt() - 1.0).abs() < 0.001);
    }
}
