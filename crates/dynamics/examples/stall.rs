use air::units::MPS_PER_KT;
use dynamics::trim::{Path, Wanted, trim};
use dynamics::*;
fn main() {
    let text = std::fs::read_to_string("data/airframes/demo.toml").unwrap();
    let a = parse(&text, "f").unwrap();
    let w = Weather::default();
    let thr: f64 = std::env::args().nth(1).map_or(0.0, |x| x.parse().unwrap());
    let rho = w.density_kgpm3(1200.0);
    let t = trim(
        &a,
        &Wanted {
            tas_mps: 35.0,
            bank_rad: 0.0,
            flap_rad: 0.0,
            path: Path::Throttle(thr),
            density_kgpm3: rho,
        },
    )
    .unwrap();
    let mut s = t.state;
    s.0[2] = -1200.0;
    let mut c = Controls {
        elevator: t.surfaces.elevator,
        aileron: t.surfaces.aileron,
        rudder: t.surfaces.rudder,
        throttle: thr,
        ..Controls::default()
    };
    let mut f = Flying::new(&a, &w, s, &c, 1);
    let start = std::time::Instant::now();
    for i in 0..6000 {
        let tt = i as f64 * 0.01;
        let [b, p, _] = f.state.attitude();
        if tt > 2.0 && tt < 26.0 {
            c.elevator = (c.elevator + 0.0006).min(1.0);
        }
        if tt > 26.0 {
            c.elevator = t.surfaces.elevator - 0.15;
            if tt > 27.0 {
                c.throttle = 1.0;
            }
            if tt > 30.0 {
                c.elevator = t.surfaces.elevator - 0.02 + 0.6 * (0.12 - p)
            }
        }
        c.aileron = (-1.0 * b - 0.3 * f.state.rates()[0]).clamp(-1.0, 1.0);
        let felt = f.step(&c, 0.01);
        c.rudder = (-2.0 * felt.specific_force_g[1]).clamp(-1.0, 1.0);
        if i % 50 == 0 {
            println!(
                "{tt:.1} h {:.1} V {:.1} pitch {:.1} bank {:.1} a {:.1} nz {:.2} X {:.2} {:.2} rpm {:.0} el {:.2} sink {:.1}",
                f.state.height_m(),
                felt.flow.tas_mps / MPS_PER_KT,
                p.to_degrees(),
                b.to_degrees(),
                felt.flow.alpha_rad.to_degrees(),
                -felt.specific_force_g[2],
                f.state.0[14],
                f.state.0[15],
                f.state.0[13] * 9.549,
                c.elevator,
                f.state.velocity_ned()[2]
            );
        }
    }
    eprintln!("{:?} per step", start.elapsed() / 6000);
}
