//! Times every way out on a made flight of two hours at 10 Hz with every series: best of ten as it was waited
//! for and as the processor worked (where the system tells), and bytes.
//!
//! `cargo run --release -p export --example time_exports`

#[path = "../tests/support/mod.rs"]
mod support;

use std::time::Instant;

/// Time on the processor so far, ms, as Linux tells it; NaN elsewhere.
fn worked_ms() -> f64 {
    let text = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    let first = text
        .split(' ')
        .next()
        .and_then(|word| word.parse::<f64>().ok());
    first.map_or(f64::NAN, |nanoseconds| nanoseconds / 1e6)
}

fn main() {
    let flight = support::whole(7_200.0, 0.1);
    let aircraft = support::aircraft();
    let time = |name: &str, make: &dyn Fn() -> usize| {
        let (mut best, mut least) = (f64::INFINITY, f64::INFINITY);
        let mut bytes = 0;
        for _ in 0..10 {
            let (clock, worked) = (Instant::now(), worked_ms());
            bytes = make();
            least = least.min(worked_ms() - worked);
            best = best.min(clock.elapsed().as_secs_f64() * 1e3);
        }
        println!("{name:8} {best:8.1} ms, {least:8.1} ms worked {bytes:10} bytes");
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
