//! Published facts that the features must reproduce.

mod common;

use aircraft::Aircraft;
use common::{Goal, Pilot, aircraft};
use flight::Fit;
use maneuver::features::Features;

/// FAA-H-8083-15B, Instrument Flying Handbook, chapter 5 (from memory): a standard-rate turn (3°/s) takes
/// about 15° of bank at 100 kt (rule of thumb: speed / 10, plus 5).
#[test]
fn val_standard_rate_at_100_knots_is_15_degrees_of_bank() {
    let mut pilot = Pilot::new(100.0 / 1.9);
    // tan φ = V·χ̇/g for 100 kt and 3°/s.
    let bank = (100.0 * 0.514_444 * 3.0_f64.to_radians() / 9.806_65)
        .atan()
        .to_degrees();
    pilot.cruise(40.0).turn(180.0, bank).cruise(40.0);
    let mut flight = pilot.land(Fit::Gnss);
    // The bank is not recorded: it has to come out of the turn.
    flight.bank = None;
    let features = Features::new(&flight, &Aircraft::default());
    assert_eq!(features.turns.len(), 1, "{:?}", features.turns);
    let turn = &features.turns[0];
    assert!(
        (turn.held_bank_rad.to_degrees() - 15.0).abs() < 1.0,
        "{turn:?}"
    );
    // Two minutes for the circle, one for the half: the definition of standard rate.
    assert!((turn.seconds() - 60.0).abs() < 4.0, "{turn:?}");
}

/// FAA-H-8083-3C, Airplane Flying Handbook, chapter 5, load factor and stall speed (from memory): at 45° of
/// bank the stall speed is up by 19 %. So a minimum at 1.19 stall speeds in a 45° bank is at the stall.
#[test]
fn val_stall_speed_is_up_by_19_percent_at_45_degrees() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0).slow_to(70.0, 1.2);
    pilot.fly(
        9.0,
        Goal {
            kt: 1.19 * 50.0,
            kt_per_s: 2.0,
            fpm: 0.0,
            bank: 45.0,
            power: 0.2,
        },
    );
    pilot
        .fly(
            15.0,
            Goal {
                kt: 95.0,
                kt_per_s: 3.0,
                fpm: 0.0,
                bank: 0.0,
                power: 1.0,
            },
        )
        .cruise(60.0);
    let features = Features::new(&pilot.land(Fit::Panel), &aircraft(50.0));
    let dip = features
        .dips
        .iter()
        .min_by(|a, b| a.ias_mps.total_cmp(&b.ias_mps))
        .unwrap();
    assert!((dip.ratio - 1.0).abs() < 0.06, "{dip:?}");
}

/// T = 2πV/(g·tan φ): 31 s for the circle at 45° and 95 kt (FAA-H-8083-25C, chapter 5, rate of turn; the
/// roll-in and roll-out add half of their own time each).
#[test]
fn val_a_steep_turn_at_95_knots_takes_31_seconds() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(40.0).turn(360.0, 45.0).cruise(40.0);
    let spans = maneuver::find(&pilot.land(Fit::Panel), &aircraft(50.0));
    assert_eq!(spans.len(), 1);
    let seconds = spans[0].end_s - spans[0].start_s;
    assert!((seconds - 31.3 - 3.75).abs() < 1.5, "{seconds}");
}

/// The work must grow with the length of the flight and not with its square: three hours of lessons decode in
/// at most eight times what one hour takes (three times, and slack for a busy machine).
#[test]
fn prop_decoding_is_linear_in_time() {
    let lesson = |hours: usize| {
        let mut pilot = Pilot::new(50.0);
        for _ in 0..hours * 9 {
            pilot
                .cruise(60.0)
                .clearing_turns()
                .cruise(5.0)
                .power_off_stall(0.95, 0.6, 0.0)
                .cruise(60.0);
            pilot.turn(360.0, 45.0).cruise(80.0);
        }
        let flight = pilot.land(Fit::Panel);
        let best = (0..3).map(|_| {
            let begun = std::time::Instant::now();
            assert!(maneuver::find(&flight, &aircraft(50.0)).len() >= hours * 9);
            begun.elapsed().as_secs_f64()
        });
        best.fold(f64::INFINITY, f64::min)
    };
    let (one, three) = (lesson(1), lesson(3));
    assert!(
        three < 8.0 * one + 0.02,
        "{one} s for one hour, {three} s for three"
    );
}
