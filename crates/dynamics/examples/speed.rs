//! Steps a second of our model beside those of an independent flight dynamics library: the same airframe, the same step, the
//! same inputs for a minute (pulses of every control, power, flaps, a stall), one core each, the best of several rounds; by
//! each method of integration. Like with like is Adams–Bashforth: one evaluation of the forces a step, as the library does.
//!
//! `.ci/jsbsim cargo run --release --package dynamics --example speed`; `make bench` does it.

use dynamics::outside::write;
use dynamics::trim::{Path as Flight, Trimmed, Wanted, trim};
use dynamics::{Airframe, Controls, Flying, Method, State, Weather, parse};
use std::error::Error;
use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::Instant;

const DEMO: &str = include_str!("../../../data/airframes/demo.toml");
/// The other library's default step, s.
const STEP_S: f64 = 1.0 / 120.0;
/// Steps of a round: a minute.
const STEPS: usize = 7200;
/// Steps of a part that is timed: a second.
const SECOND: usize = 120;
const HEIGHT_M: f64 = 1500.0;

fn main() -> Result<(), Box<dyn Error>> {
    let airframe = parse(DEMO, "demo.toml")?;
    let weather = Weather::default();
    let wanted = Wanted {
        tas_mps: 48.0,
        bank_rad: 0.0,
        flap_rad: 0.0,
        path: Flight::Angle(0.0),
        density_kgpm3: weather.density_kgpm3(HEIGHT_M),
    };
    let mut found = trim(&airframe, &wanted).ok_or("no steady flight")?;
    found.state.0[2] = -HEIGHT_M;

    let methods = [
        (Method::RungeKutta4, "Runge-Kutta 4"),
        (Method::Heun, "Heun"),
        (Method::AdamsBashforth2, "Adams-Bashforth 2"),
    ];
    let mut ours = methods.map(|(method, _)| self::ours(&airframe, &weather, &found, method));
    let folder = std::env::temp_dir().join(format!("proofwing-speed-{}", std::process::id()));
    let theirs = std::env::var_os("PROOFWING_TEST_JSBSIM")
        .map(|python| self::theirs(&python, &folder, &airframe, &found));
    let _ = std::fs::remove_dir_all(&folder);
    // Before and after: a machine is not equally fast all the time.
    for ((method, _), ours) in methods.iter().zip(&mut ours) {
        ours.0 = ours
            .0
            .max(self::ours(&airframe, &weather, &found, *method).0);
    }
    println!("A minute of flight, steps of 1/120 s, one core:");
    let theirs = theirs.transpose()?;
    let (called, bare) = theirs
        .as_ref()
        .map_or((f64::NAN, f64::NAN), |(steps, bare, _)| (*steps, *bare));
    match theirs {
        Some(_) => println!(
            "  {:<18} 1 evaluation a step  {called:>8.0} steps/s, {bare:.0} without the calls from Python",
            "JSBSim 1.3.3"
        ),
        None => println!("  JSBSim is not here: begin the line with .ci/jsbsim"),
    }
    for ((method, name), (steps, _)) in methods.iter().zip(&ours) {
        let count = method.evaluations();
        let of = if count == 1 {
            "evaluation a step "
        } else {
            "evaluations a step"
        };
        print!("  {name:<18} {count} {of} {steps:>8.0} steps/s");
        if theirs.is_some() {
            print!(
                ", {:.1} times theirs, {:.1} without the calls",
                steps / called,
                steps / bare
            );
        }
        println!();
    }
    let line = |what: &str, state: &State| {
        let [bank, pitch, _] = state.attitude().map(f64::to_degrees);
        let [u, v, w] = state.velocity_body();
        let speed = (u * u + v * v + w * w).sqrt();
        println!(
            "  at the end, {what:<18} {:.1} m, {speed:.2} m/s, pitch {pitch:.2}°, bank {bank:.2}°",
            state.height_m()
        );
    };
    for ((_, name), (_, end)) in methods.iter().zip(&ours) {
        line(name, end);
    }
    if let Some((_, _, end)) = &theirs {
        line("JSBSim 1.3.3", end);
    }
    Ok(())
}

/// Inputs at a step; they change only where [`changes`] says.
fn inputs(found: &Trimmed, step: usize) -> Controls {
    let t = step as f64 * STEP_S;
    let within = |from: f64, to: f64| if (from..to).contains(&t) { 1.0 } else { 0.0 };
    let s = &found.surfaces;
    // At the end the power comes off and the stick comes back, a little every half second: a stall.
    let pulled = (2.0 * (t - 45.0)).floor().max(0.0);
    Controls {
        elevator: s.elevator + 0.1 * within(5.0, 5.5) + 0.025 * pulled,
        aileron: s.aileron + 0.2 * within(15.0, 16.0) - 0.2 * within(16.0, 17.0),
        rudder: s.rudder + 0.1 * within(25.0, 26.0),
        throttle: (s.throttle + 0.2 * within(30.0, 40.0)) * (1.0 - within(45.0, 60.0)),
        flap_rad: 0.17 * within(40.0, 60.0),
        ..Controls::default()
    }
}

/// Steps at which an input changes, the first included.
fn changes(found: &Trimmed) -> Vec<usize> {
    let changed = |step: &usize| *step == 0 || inputs(found, *step) != inputs(found, step - 1);
    (0..STEPS).filter(changed).collect()
}

fn ours(airframe: &Airframe, weather: &Weather, found: &Trimmed, method: Method) -> (f64, State) {
    let row: Vec<Controls> = (0..STEPS).map(|step| inputs(found, step)).collect();
    // Cut and counted as the other library's rounds are (`outside/speed.py`).
    let mut best = vec![f64::INFINITY; STEPS / SECOND];
    let mut end = found.state;
    for _ in 0..50 {
        let mut flying = Flying::new(airframe, weather, found.state, &row[0], 1);
        flying.method = method;
        for (part, best) in row.chunks(SECOND).zip(&mut best) {
            let start = Instant::now();
            for controls in part {
                flying.step(controls, STEP_S);
            }
            *best = best.min(start.elapsed().as_secs_f64());
        }
        end = flying.state;
    }
    (STEPS as f64 / best.iter().sum::<f64>(), end)
}

/// Steps a second of the other library: best of its runs with the calls, and with what calls of nothing take taken off.
fn theirs(
    python: &std::ffi::OsStr,
    folder: &std::path::Path,
    airframe: &Airframe,
    found: &Trimmed,
) -> Result<(f64, f64, State), Box<dyn Error>> {
    write(airframe, folder)?;
    std::fs::write(folder.join("plant.py"), include_str!("../outside/plant.py"))?;
    std::fs::write(folder.join("speed.py"), include_str!("../outside/speed.py"))?;
    let s = &found.surfaces;
    let mut script = String::from("put");
    for value in found.state.0 {
        let _ = write!(script, " {value:?}");
    }
    for value in [s.elevator, s.aileron, s.rudder, s.throttle, s.flap_rad] {
        let _ = write!(script, " {value:?}");
    }
    for step in changes(found) {
        let c = inputs(found, step);
        let _ = write!(
            script,
            "\n{step} {:?} {:?} {:?}",
            c.elevator, c.aileron, c.rudder
        );
        let _ = write!(script, " {:?} {:?} 0", c.throttle, c.flap_rad);
    }
    let _ = writeln!(script, "\n{STEPS}");
    let mut best: Option<(f64, f64, State)> = None;
    for _ in 0..2 {
        let mut child = Command::new(python)
            .arg(folder.join("speed.py"))
            .arg(folder)
            .args([STEP_S.to_string(), "12".to_owned()])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()?;
        if let Some(mut ask) = child.stdin.take() {
            ask.write_all(script.as_bytes())?;
        }
        let text = String::from_utf8(child.wait_with_output()?.stdout)?;
        let numbers: Vec<f64> = text
            .split_whitespace()
            .map_while(|n| n.parse().ok())
            .collect();
        let [steps, taken, empty, states @ ..] = numbers.as_slice() else {
            return Err(format!("no answer but \"{text}\"").into());
        };
        let state = State(states.try_into()?);
        let (with, bare) = (steps / taken, steps / (taken - empty));
        if best.is_none_or(|(fastest, ..)| with > fastest) {
            best = Some((with, bare, state));
        }
    }
    best.ok_or_else(|| "it did not run".into())
}
