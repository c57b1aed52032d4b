//! Times every way out on a made flight of two hours at 10 Hz with every series: best of ten, ms, and bytes.
//!
//! `cargo run --release -p export --example time_exports`

#[path = "../tests/support/mod.rs"]
mod support;

use std::time::Instant;

fn main() {
    let flight = support::whole(7_200.0, 0.1);
    let aircraft = support::aircraft();
    let time = |name: &str, make: &dyn Fn() -> usize| {
        let mut best = f64::INFINITY;
        let mut bytes = 0;
        for _ in 0..10 {
            let clock = Instant::now();
            bytes = make();
            best = best.min(clock.elapsed().as_secs_f64() * 1e3);
        }
        println!("{name:8} {best:8.1} ms {bytes:10} bytes");
    };
    time("series", &|| export::series(&flight, &aircraft).len());
    let document = support::document();
    time("kml", &|| export::kml(&flight, &document).len());
    time("gpx", &|| export::gpx(&flight, &document).len());
    time("csv", &|| export::csv(&flight, &document).len());
    time("parquet", &|| {
        export::parquet(&flight, &document).map_or(0, |bytes| bytes.len())
    });
}
