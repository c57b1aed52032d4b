use air::units::{M_PER_FT, MPS_PER_KT};
use dynamics::trim::{Path, Wanted, trim};
use dynamics::*;
use practice::maneuvers::{legs, performance, slow_flight, stalls, turns};
use practice::pilot::{Pilot, Skill};
use practice::speeds::Speeds;
fn main() {
    let text = std::fs::read_to_string("data/airframes/demo.toml").unwrap();
    let a = parse(&text, "f").unwrap();
    let mut w = Weather::default();
    w.gust_mps = std::env::args().nth(1).map_or(0.0, |x| x.parse().unwrap());
    let s = Speeds::of(&a);
    let t = trim(
        &a,
        &Wanted {
            tas_mps: s.cruise,
            bank_rad: 0.0,
            flap_rad: 0.0,
            path: Path::Angle(0.0),
            density_kgpm3: w.density_kgpm3(1200.0),
        },
    )
    .unwrap();
    let mut st = t.state;
    st.0[2] = -1200.0;
    let c = Controls {
        elevator: t.surfaces.elevator,
        aileron: t.surfaces.aileron,
        rudder: t.surfaces.rudder,
        throttle: t.surfaces.throttle,
        ..Controls::default()
    };
    let mut p = Pilot::new(&a, &w, st, c, Skill { wander: 1.0 }, 3);
    let mut all = Vec::new();
    legs::cruise(&mut p, s.cruise, 30.0);
    all.push(turns::clearing(&mut p, &s));
    all.push(turns::steep(&mut p, &s, true, 0.785));
    legs::cruise(&mut p, s.cruise, 20.0);
    all.push(slow_flight::fly(
        &mut p,
        &s,
        &slow_flight::SlowFlight {
            seconds: 70.0,
            margin: 1.15,
            detent: 3,
            turn: 0.0,
            recover: true,
        },
    ));
    legs::settle(&mut p, 1200.0, &s);
    for e in [
        stalls::Entry::PowerOff,
        stalls::Entry::PowerOn,
        stalls::Entry::Accelerated,
    ] {
        all.push(stalls::fly(&mut p, &s, &stalls::Stall::clean(e)));
        legs::settle(&mut p, 1200.0, &s);
    }
    all.push(performance::chandelle(&mut p, &s, true));
    legs::settle(&mut p, 1200.0, &s);
    all.push(performance::half_eight(&mut p, true));
    legs::settle(&mut p, 1200.0, &s);
    all.push(performance::spiral(&mut p, &s, false, 3.0));
    for f in &all {
        println!("{} {:.1}-{:.1} {:?}", f.kind, f.start_s, f.end_s, f.moments);
    }
    let (from, to): (f64, f64) = (
        std::env::args().nth(2).map_or(0.0, |x| x.parse().unwrap()),
        std::env::args().nth(3).map_or(0.0, |x| x.parse().unwrap()),
    );
    for (i, x) in p.log.samples.iter().enumerate() {
        let q = &x.seen;
        if q.t >= from && q.t < to && i % 10 == 0 {
            println!(
                "{:.0} h {:.0}ft V {:.1} vs {:.0} pitch {:.1} bank {:.1} hdg {:.0} a {:.1} n {:.2} ball {:.2} thr {:.2} el {:.2} flap {:.0} X {:.2} {}",
                q.t,
                q.height / M_PER_FT,
                q.ias / MPS_PER_KT,
                q.climb * 196.85,
                q.pitch.to_degrees(),
                q.bank.to_degrees(),
                q.heading.to_degrees(),
                q.alpha.to_degrees(),
                q.normal_g,
                q.lateral_g,
                x.controls.throttle,
                x.controls.elevator,
                q.flap.to_degrees(),
                q.attached,
                if x.warning { "horn" } else { "" }
            );
        }
    }
}
