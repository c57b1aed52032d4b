use air::units::{MPS_PER_FPM, MPS_PER_KT};
use dynamics::figures::figures;
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let a = dynamics::parse(&text, "f").unwrap();
    let f = figures(&a, air::atmosphere::RHO0_KGPM3);
    for (angle, v) in &f.stall {
        let c = a.critical(*angle);
        print!(
            "flap {:.0}: {:.1} KCAS {:.1}deg {:.2}; ",
            angle.to_degrees(),
            v / MPS_PER_KT,
            c.0.to_degrees(),
            c.1
        );
    }
    let show = |x: Option<(f64, f64)>, k: f64| {
        x.map(|(v, y)| format!("{:.1} {:.2}", v / MPS_PER_KT, y / k))
    };
    println!(
        "\nVY {:?} VX {:?} glide {:?} level {:?}",
        show(f.best_rate, MPS_PER_FPM),
        show(f.best_angle, 1_f64.to_radians()),
        show(f.best_glide, 1.0),
        f.level.map(|v| v / MPS_PER_KT)
    );
}
