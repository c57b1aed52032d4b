//! Small recordings, each with bytes of its own: a climb, a level turn and a descent of four minutes at 1 Hz.

use std::fmt::Write;

/// The recording number `number` of a child.
pub fn recording(child: &str, number: u64) -> String {
    let mut text = format!("# {child} {number}\n");
    text.push_str("Time (s),Latitude (deg),Longitude (deg),Altitude (ft),IAS (kt),Pitch (deg),Roll (deg),Heading (deg)\n");
    let (mut latitude, mut longitude, mut altitude, mut heading) =
        (46.0_f64, 7.0_f64, 1500.0_f64, 90.0_f64);
    for second in 0..240_u32 {
        let (climb_fpm, roll, ias, pitch) = match second {
            0..80 => (600.0, 0.0, 75.0, 7.0),
            80..160 => (0.0, 30.0, 95.0, 3.0),
            _ => (-500.0, 0.0, 90.0, -2.0),
        };
        altitude += climb_fpm / 60.0;
        // Rate of a level turn: g·tan(bank)/speed.
        let speed_mps = ias * 0.514_444;
        heading += (9.806_65 * f64::tan(f64::to_radians(roll)) / speed_mps).to_degrees();
        let course = heading.to_radians();
        latitude += speed_mps * course.cos() / 111_200.0;
        longitude += speed_mps * course.sin() / 77_200.0;
        let heading = heading.rem_euclid(360.0);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "{second},{latitude:.7},{longitude:.7},{altitude:.1},{ias:.1},{pitch:.1},{roll:.1},{heading:.1}"
        );
    }
    text
}
