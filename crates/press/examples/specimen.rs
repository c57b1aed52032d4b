//! Writes a specimen of the look, from invented numbers, into a folder: to judge a change of layout by eye.
//!
//! `cargo run -p press --example specimen -- FOLDER`

#[path = "../tests/fixture/mod.rs"]
mod fixture;

use fixture::{Fits, debrief, flight};
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = PathBuf::from(
        std::env::args()
            .nth(1)
            .ok_or("which folder? give its path as the only argument")?,
    );
    std::fs::create_dir_all(&folder)?;
    for (name, fits, extra) in [
        ("rich", Fits::Rich, 0),
        ("panel", Fits::Panel, 0),
        ("gnss", Fits::Gnss, 0),
        ("long", Fits::Rich, 9),
    ] {
        let (debrief, flight) = (debrief(fits, extra), flight(fits));
        let start = std::time::Instant::now();
        let html = press::html(&debrief, &flight);
        let after_html = start.elapsed();
        std::fs::write(folder.join(format!("{name}.html")), &html)?;
        let pdf = press::pdf(&debrief, &flight)?;
        let after_pdf = start.elapsed();
        std::fs::write(folder.join(format!("{name}.pdf")), &pdf)?;
        println!(
            "{name}: html {} kB in {:.0} ms, pdf {} kB, both in {:.0} ms",
            html.len() / 1000,
            after_html.as_secs_f64() * 1e3,
            pdf.len() / 1000,
            after_pdf.as_secs_f64() * 1e3
        );
    }
    Ok(())
}
