//! The findings that these tasks know: what each is called, what to try, and where that is from.
//!
//! Handbook: FAA-H-8083-3C, *Airplane Flying Handbook*; its lists of common errors condensed to facts in
//! our words. `common practice` marks what no published source says. The advice is one thing to try that
//! can be seen, heard or felt.

use crate::kinds;

/// What is told of a finding, wherever it comes from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    /// Id.
    pub id: &'static str,
    /// Criteria it explains; the first that broke carries the evidence.
    pub criteria: &'static [&'static str],
    /// Kinds it is for; empty = all.
    pub kinds: &'static [&'static str],
    /// How heavily it weighs beside others of the same size: what can hurt comes first. Common practice.
    pub weight: f64,
    /// Short headline.
    pub headline: &'static str,
    /// One thing to try.
    pub advice: &'static str,
    /// Where the advice is from.
    pub source: &'static str,
}

const STALLS: &[&str] = &["power_off_stall", "power_on_stall", "accelerated_stall"];
pub(crate) const CHAPTER_3: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 3";
pub(crate) const CHAPTER_5: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 5";
pub(crate) const CHAPTER_10: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 10";
pub(crate) const PRACTICE: &str = "common practice";

/// Every finding; where an id stands twice, the kinds tell them apart.
pub(crate) const ROWS: [Row; 27] = [
    Row {
        id: "secondary_stall",
        criteria: &["no_secondary_stall"],
        kinds: STALLS,
        weight: 3.0,
        headline: "The wing stalled a second time in the recovery",
        advice: "Hold the nose where it is until you hear the warning stop and feel the elevator firm up, then bring it up to the climb attitude over a slow count of two",
        source: CHAPTER_5,
    },
    Row {
        id: "below_minimum_height",
        criteria: &["min_altitude_agl"],
        kinds: &[],
        weight: 2.5,
        headline: "The task ran below its least height above ground",
        advice: "Before the clearing turns read the altimeter, take off the terrain and 1,500 ft, and climb until at least 500 ft are left for the maneuver",
        source: "the practical test standard; the reserve is common practice",
    },
    Row {
        id: "stall_held",
        criteria: &["recovery_prompt", "recovery_as_specified"],
        kinds: STALLS,
        weight: 2.2,
        headline: "The stall was held before the recovery began",
        advice: "Say \"stall\" aloud the moment the nose falls or the sink starts, and let the stick go forward on the word",
        source: CHAPTER_5,
    },
    Row {
        id: "uncoordinated",
        criteria: &["coordination"],
        kinds: STALLS,
        weight: 2.0,
        headline: "The ball was out of the center on the way to the stall",
        advice: "As the speed falls, keep one point over the cowling still with your feet and glance at the ball before every pull",
        source: CHAPTER_5,
    },
    Row {
        id: "wing_drop",
        criteria: &[],
        kinds: STALLS,
        weight: 1.8,
        headline: "A wing dropped at the stall",
        advice: "Stick forward first, then stop the swing of the nose with opposite rudder; leave the ailerons alone until the wing flies",
        source: CHAPTER_5,
    },
    Row {
        id: "flaps_above_vfe",
        criteria: &["flap_extension_speed"],
        kinds: &[],
        weight: 1.8,
        headline: "Flaps went down above their limit speed",
        advice: "Read the airspeed aloud before you touch the lever, and wait for the white arc to hold for two seconds",
        source: PRACTICE,
    },
    Row {
        id: "late_full_power",
        criteria: &["power_prompt"],
        kinds: STALLS,
        weight: 1.6,
        headline: "Full power came late",
        advice: "Stick forward, and let the hand on the throttle follow in the same breath: one motion, three seconds, to the stop",
        source: CHAPTER_5,
    },
    Row {
        id: "recovered_before_full_stall",
        criteria: &["recovery_after_full_stall", "recovery_as_specified"],
        kinds: STALLS,
        weight: 1.6,
        headline: "The recovery began before the full stall",
        advice: "Name the cues as they come and keep the stick coming back past horn and buffet, until the nose falls or the stick is on the stop",
        source: CHAPTER_5,
    },
    Row {
        id: "flaps_retracted_together",
        criteria: &["flaps_in_steps"],
        kinds: STALLS,
        weight: 1.5,
        headline: "All the flaps came up at once",
        advice: "One step, wait for the climb and the speed to build, then the next: count the notches aloud",
        source: PRACTICE,
    },
    Row {
        id: "flaps_left_down",
        criteria: &["flaps_retracted"],
        kinds: STALLS,
        weight: 1.3,
        headline: "The flaps were still down at the end",
        advice: "Put \"flaps up\" at the end of the recovery aloud: power, pitch, positive climb, flaps",
        source: PRACTICE,
    },
    Row {
        id: "climbed_late",
        criteria: &["climb_not_delayed"],
        kinds: STALLS,
        weight: 1.3,
        headline: "The speed ran past VY before the climb",
        advice: "As the airspeed passes VX, raise the nose to the climb attitude and let VY come to you",
        source: PRACTICE,
    },
    Row {
        id: "weak_power",
        criteria: &["power_percent"],
        kinds: STALLS,
        weight: 1.2,
        headline: "Too little power for a power-on stall",
        advice: "Set the power before the pull and look at the gauge once: at least 65 percent, full if nothing else was asked for",
        source: "the practical test standard",
    },
    Row {
        id: "not_established",
        criteria: &["descent_established"],
        kinds: STALLS,
        weight: 1.2,
        headline: "The descent was not steady before the pull",
        advice: "Hold the approach speed and a steady sink for a slow count of ten before the power comes off",
        source: "the practical test standard; the count is common practice",
    },
    Row {
        id: "pitched_up_abruptly",
        criteria: &["pitch_up_smooth"],
        // In an accelerated stall the pull is the maneuver.
        kinds: &["power_off_stall", "power_on_stall"],
        weight: 1.4,
        headline: "The nose came up abruptly",
        advice: "Raise the nose so that it takes a slow count of five to reach the attitude, and feel that you do not sink into the seat",
        source: CHAPTER_5,
    },
    Row {
        id: "bank_out_of_limits",
        criteria: &["bank_max_20", "bank"],
        kinds: STALLS,
        weight: 1.4,
        headline: "The bank left its limits before the stall",
        advice: "Set the bank, pick the angle of the cowling against the horizon, and hold that picture with small aileron while the speed falls",
        source: CHAPTER_5,
    },
    Row {
        id: "heading_wander",
        criteria: &["heading"],
        kinds: STALLS,
        weight: 1.2,
        headline: "The heading wandered before the stall",
        advice: "Keep your eyes on one point far ahead, and stop it from moving with your feet as the power changes and the speed falls",
        source: CHAPTER_5,
    },
    Row {
        id: "bank_out_of_limits",
        criteria: &["bank"],
        kinds: &["steep_turn"],
        weight: 1.3,
        headline: "The bank left its limits in the turn",
        advice: "Hold the angle of the cowling against the horizon; once past 30 degrees expect to need a little aileron against the turn",
        source: CHAPTER_10,
    },
    Row {
        id: "altitude_drift",
        criteria: &["altitude"],
        kinds: &["steep_turn"],
        weight: 1.4,
        headline: "The altitude drifted in the turn",
        advice: "Add back pressure and a little power as the bank passes 30 degrees, and keep the horizon on one spot of the cowling",
        source: CHAPTER_10,
    },
    Row {
        id: "airspeed_drift",
        criteria: &["airspeed"],
        kinds: &["steep_turn"],
        weight: 1.2,
        headline: "The airspeed drifted in the turn",
        advice: "Add the power as the bank passes 30 degrees, before the airspeed shows the need, and listen for the engine to hold its note",
        source: CHAPTER_10,
    },
    Row {
        id: "rollout_off_heading",
        criteria: &["rollout_heading"],
        kinds: &["steep_turn"],
        weight: 1.2,
        headline: "The roll-out missed the entry heading",
        advice: "Pick a landmark on the nose before you roll in, and start out of the turn half the bank angle before it comes back",
        source: CHAPTER_10,
    },
    Row {
        id: "altitude_drift",
        criteria: &["altitude"],
        kinds: &["slow_flight"],
        weight: 1.3,
        headline: "The altitude drifted in slow flight",
        advice: "Let power hold the altitude: a little more as soon as the needle moves, then trim until the stick stays by itself",
        source: CHAPTER_5,
    },
    Row {
        id: "airspeed_drift",
        criteria: &["airspeed"],
        kinds: &["slow_flight"],
        weight: 1.3,
        headline: "The speed left its band in slow flight",
        advice: "Set the attitude for the speed and wait; change it by the width of a finger on the horizon and wait again",
        source: CHAPTER_5,
    },
    Row {
        id: "heading_wander",
        criteria: &["heading"],
        kinds: &["slow_flight"],
        weight: 1.1,
        headline: "The heading wandered in slow flight",
        advice: "Hold right rudder until the ball is centered, and keep one point ahead still with your feet",
        source: CHAPTER_5,
    },
    Row {
        id: "bank_out_of_limits",
        criteria: &["bank"],
        kinds: &["slow_flight"],
        weight: 1.3,
        headline: "The turns in slow flight were too steep",
        advice: "Roll in slowly, stop where the outer wing tip stands a hand above the horizon, and hold it there",
        source: CHAPTER_5,
    },
    Row {
        id: "uncoordinated",
        criteria: &["coordination"],
        kinds: &["steep_turn", "slow_flight"],
        weight: 1.1,
        headline: "The ball was out of the center",
        advice: "Lead every roll with the foot of that side, then center the ball before you look anywhere else",
        source: CHAPTER_3,
    },
    Row {
        id: "no_clearing_turns",
        criteria: &["clearing_turns"],
        kinds: &[],
        weight: 1.0,
        headline: "No clearing turns before the task",
        advice: "Two turns of 90 degrees before the setup, looking where the nose is about to go",
        source: PRACTICE,
    },
    Row {
        id: "not_trimmed",
        criteria: &[],
        kinds: &["slow_flight"],
        weight: 0.8,
        headline: "The trim was left where it was",
        advice: "When the speed stands, take the pressure off with the trim until you can open your hand",
        source: CHAPTER_5,
    },
];

/// Every row: these, and those that each group of kinds brings.
pub(crate) fn rows() -> impl Iterator<Item = &'static Row> {
    ROWS.iter()
        .chain(kinds::WORDS.iter().flat_map(|words| words.findings))
}

/// The row of an id for a kind.
pub(crate) fn row(id: &str, kind: &str) -> Option<&'static Row> {
    rows().find(|row| row.id == id && for_kind(row, kind))
}

/// Whether a row is for a kind.
pub(crate) fn for_kind(row: &Row, kind: &str) -> bool {
    row.kinds.is_empty() || row.kinds.contains(&kind)
}
