//! Every oddity of recorders' clocks that was seen in real files, each as a small text.

mod support;

use recording::Quantity;
use support::{note, only, read, values};

/// 2025-06-01T10:00:00Z.
const TEN: f64 = 1_748_772_000.0;

/// Rows with a time cell each and an airspeed that counts them.
fn rows(times: impl IntoIterator<Item = String>) -> String {
    times
        .into_iter()
        .enumerate()
        .map(|(index, time)| format!("{time},{}\n", 60.0 + index as f64 * 0.1))
        .collect()
}

fn clock(second: u32) -> String {
    format!(
        "{:02}:{:02}:{:02}",
        second / 3600 % 24,
        second / 60 % 60,
        second % 60
    )
}

#[track_caller]
fn starts_at(text: &str, unix_s: f64, step_s: f64) {
    let recording = only(text);
    let start = recording.start_unix_s.unwrap_or(f64::NAN);
    assert!((start - unix_s).abs() < 1e-3, "{start} is not {unix_s}");
    assert!(
        (recording.interval_s - step_s).abs() < 1e-4,
        "{}",
        recording.interval_s
    );
}

#[test]
fn dates_and_times_in_any_order() {
    let ten = 36_000;
    let each =
        |head: &str, cell: &dyn Fn(u32) -> String| format!("{head}\n{}", rows((0..30).map(cell)));
    starts_at(
        &each("time,ias kt", &|s| {
            format!("2025-06-01T{}Z", clock(ten + s))
        }),
        TEN,
        1.0,
    );
    starts_at(
        &each("time,ias kt", &|s| {
            format!("2025-06-01 {}.250", clock(ten + s))
        }),
        TEN + 0.25,
        1.0,
    );
    starts_at(
        &each("time,ias kt", &|s| {
            format!("2025-06-01T{}+02:00", clock(ten + 7200 + s))
        }),
        TEN,
        1.0,
    );
    starts_at(
        &each("date,utc,ias kt", &|s| {
            format!("01.06.2025,{}", clock(ten + s))
        }),
        TEN,
        1.0,
    );
    starts_at(
        &each("date,utc,ias kt", &|s| {
            format!("2025/06/01,{}", clock(ten + s))
        }),
        TEN,
        1.0,
    );
    starts_at(
        &each("date,local time,offset,ias kt", &|s| {
            format!("2025-06-01,{},-05:00", clock(ten - 18_000 + s))
        }),
        TEN,
        1.0,
    );
    starts_at(
        &each("time,ias kt", &|s| {
            format!("01-Jun-2025 {}", clock(ten + s))
        }),
        TEN,
        1.0,
    );
    starts_at(
        &each("time,ias kt", &|s| format!("{}", TEN + f64::from(s))),
        TEN,
        1.0,
    );
    starts_at(
        &each("t,ias kt", &|s| {
            format!("{:.0}", (TEN + 0.2 * f64::from(s)) * 1e3)
        }),
        TEN,
        0.2,
    );
    starts_at(
        &each("h,m,s,year,month,day,ias kt", &|s| {
            format!("10,0,{s},2025,6,1")
        }),
        TEN,
        1.0,
    );
    let packed = (0..90).map(|s| format!("20250601,{}", 100_000 + s + 40 * (s / 60)));
    starts_at(&format!("date,time,ias kt\n{}", rows(packed)), TEN, 1.0);
}

/// Days over twelve decide between day/month and month/day.
#[test]
fn the_numbers_decide_the_order_of_a_date() {
    let june_25 = 1_750_845_600.0;
    for date in [
        "25/06/2025",
        "06/25/2025",
        "25.6.25",
        "2025-06-25",
        "6/25/25",
    ] {
        let text = format!(
            "date,time,ias kt\n{}",
            rows((0..20).map(|s| format!("{date},{}", clock(36_000 + s))))
        );
        starts_at(&text, june_25, 1.0);
    }
}

#[test]
fn a_time_of_day_with_its_date_in_the_preamble() {
    let body = rows((0..30).map(|s| clock(36_000 + s)));
    starts_at(&format!("Date: 01.06.2025\ntime,ias kt\n{body}"), TEN, 1.0);
    starts_at(
        &format!("# Start: 2025-06-01 09:59:58\ntime,ias kt\n{body}"),
        TEN,
        1.0,
    );
    let without = only(&format!("time,ias kt\n{body}"));
    assert_eq!(without.start_unix_s, None);
    // Started before midnight, first row after it.
    let body = rows((0..30).map(|s| clock(5 + s)));
    starts_at(
        &format!("Start (UTC),2025-05-31 23:59:58\ntime,ias kt\n{body}"),
        TEN - 36_000.0 + 5.0,
        1.0,
    );
}

#[test]
fn elapsed_times() {
    let each = |head: &str, cell: &dyn Fn(f64) -> String| {
        let text = format!("{head}\n{}", rows((0..60).map(|s| cell(f64::from(s)))));
        let recording = only(&text);
        assert!(
            (recording.interval_s - 1.0).abs() < 1e-3,
            "{head}: {}",
            recording.interval_s
        );
    };
    each("elapsed s,ias kt", &|s| format!("{s}"));
    each("time [min],ias kt", &|s| format!("{:.6}", s / 60.0));
    each("time,ias kt", &|s| format!("{:.6}", s / 60.0));
    each("millis,ias kt", &|s| format!("{}", 51_234.0 + s * 1000.0));
    each("time_us,ias kt", &|s| format!("{}", 51_234.0 + s * 1e6));
    each("Date,ias kt", &|s| {
        format!("{:.8}", 45_809.416_666_67 + s / 86_400.0)
    });
    let start = only(
        "# Start (UTC): 2025-06-01 10:00:00\nElapsed;ias kt\n0.2;80\n0.4;81\n0.6;82\n0.8;83\n",
    );
    assert!((start.start_unix_s.unwrap() - TEN - 0.2).abs() < 1e-6);
}

/// UTC midnight in the middle of a local afternoon.
#[test]
fn midnight_is_passed() {
    let read = read(&format!(
        "time,ias kt\n{}",
        rows((0..60).map(|s| clock(86_370 + s)))
    ));
    let recording = &read.recordings[0];
    assert_eq!(recording.time_s.len(), 60);
    assert!((recording.time_s[59] - 59.0).abs() < 1e-9);
    note(&read, "midnight");
    // With a date that changes a row too late.
    let late =
        (0..60).map(|s: u32| format!("2025-06-0{},{}", 1 + u32::from(s > 30), clock(86_370 + s)));
    let recording = only(&format!("date,time,ias kt\n{}", rows(late)));
    assert!((recording.time_s[59] - 59.0).abs() < 1e-9);
    assert_eq!(recording.time_s.len(), 60);
}

#[test]
fn a_clock_set_back_is_not_midnight() {
    for back in [2_u32, 7, 45, 90] {
        let times = (0..100)
            .map(|s| clock(36_000 + s))
            .chain((100..300).map(|s| clock(36_000 + s - back)));
        let read = read(&format!("time,ias kt\n{}", rows(times)));
        assert_eq!(read.recordings.len(), 1, "{back}");
        let time_s = &read.recordings[0].time_s;
        assert_eq!(time_s.len(), 300, "{back}");
        assert!(
            (time_s[299] - 299.0).abs() < 1.01,
            "{back}: {}",
            time_s[299]
        );
        note(&read, "set back");
    }
}

#[test]
fn many_rows_in_a_second_are_spread_evenly() {
    // Eight a second, begun in the middle of one.
    let times = (0..83).map(|index: u32| clock(36_000 + (index + 5) / 8));
    let read = read(&format!("time,ias kt\n{}", rows(times)));
    let time_s = &read.recordings[0].time_s;
    assert_eq!(time_s.len(), 83);
    for pair in time_s.windows(2) {
        assert!((pair[1] - pair[0] - 0.125).abs() < 1e-6, "{pair:?}");
    }
    note(&read, "rows for each time stamp");
}

#[test]
fn a_finer_counter_tells_where_rows_lie_in_the_second() {
    let text = (0..200).fold("time,millis,ias kt\n".to_owned(), |text, index: u32| {
        let ms = 7300 + index * 90 + (index % 3) * 10;
        text + &format!(
            "{},{ms},{}\n",
            clock(36_000 + (ms - 7000) / 1000),
            60 + index % 9
        )
    });
    let recording = only(&text);
    assert!(
        (recording.time_s[1] - 0.1).abs() < 1e-6,
        "{:?}",
        &recording.time_s[..4]
    );
    assert!(
        (recording.time_s[3] - 0.27).abs() < 1e-6,
        "{:?}",
        &recording.time_s[..4]
    );
}

#[test]
fn a_stamp_written_twice_counts_once() {
    let times = [0, 0, 1, 2, 3, 4, 5, 6, 7, 8].map(|s| clock(36_000 + s));
    let read = read(&format!("time,ias kt\n{}", rows(times)));
    assert_eq!(read.recordings[0].time_s.len(), 9);
    assert_eq!(note(&read, "written twice").line, 3);
}

#[test]
fn a_frozen_clock_catches_up() {
    let times = (0..20)
        .chain([20; 30])
        .chain(50..80)
        .map(|s| clock(36_000 + s));
    let recording = only(&format!("time,ias kt\n{}", rows(times)));
    assert_eq!(recording.time_s.len(), 80);
    assert!(
        (recording.time_s[35] - 35.0).abs() < 1e-6,
        "{}",
        recording.time_s[35]
    );
}

#[test]
fn wrong_stamps_come_back() {
    // A counter that falls to a small number and returns, several times.
    let times = (0..300).map(|s| {
        if s % 50 == 30 || s % 50 == 31 {
            format!("{}", s % 7)
        } else {
            format!("{}", 5000 + s)
        }
    });
    let read = read(&format!("elapsed s,ias kt\n{}", rows(times)));
    assert_eq!(read.recordings.len(), 1);
    let time_s = &read.recordings[0].time_s;
    assert_eq!(time_s.len(), 300);
    assert!((time_s[30] - 30.0).abs() < 1e-6 && (time_s[299] - 299.0).abs() < 1e-6);
    note(&read, "and back for 2 rows");
}

#[test]
fn power_cycles_are_recordings_of_their_own() {
    let head = "elapsed s,ias kt\n";
    let flight = rows((0..50).map(|s| s.to_string()));
    let again = read(&format!("{head}{flight}{head}{flight}{flight}"));
    assert_eq!(again.recordings.len(), 3);
    assert_eq!(again.report.power_cycles.len(), 3);
    assert_eq!(again.report.power_cycles[1].0, 53);
    for recording in &again.recordings {
        assert_eq!(recording.time_s.len(), 50);
    }
    let hole = read(&format!(
        "time,ias kt\n{}",
        rows((0..50).chain(5000..5050).map(|s| clock(30_000 + s)))
    ));
    assert_eq!(hole.recordings.len(), 2);
    note(&hole, "a hole of");
}

#[test]
fn another_table_below_the_first_is_read_too() {
    let text = format!(
        "elapsed s,ias kt,alt ft\n{}recorder restarted\nelapsed s,ias kt,alt ft,oat c\n{}",
        (0..20)
            .map(|s| format!("{s},80,{}\n", 3000 + s))
            .collect::<String>(),
        (0..20)
            .map(|s| format!("{s},80,{},15\n", 3000 + s))
            .collect::<String>(),
    );
    let read = read(&text);
    assert_eq!(read.recordings.len(), 2);
    assert!(
        read.recordings[1]
            .values(Quantity::OutsideAirTemperature)
            .is_some()
    );
    note(&read, "another table");
}

#[test]
fn holes_and_dropped_rows_are_told() {
    let times = (0..60)
        .chain(120..200)
        .filter(|s| s % 17 != 0)
        .map(|s| clock(36_000 + s));
    let read = read(&format!("time,ias kt\n{}", rows(times)));
    assert_eq!(read.recordings.len(), 1);
    let gaps = &read.recordings[0].account.gaps;
    assert_eq!(gaps.len(), 1, "{gaps:?}");
    assert!(
        (gaps[0].0 - 58.0).abs() < 1e-9 && (gaps[0].1 - 119.0).abs() < 1e-9,
        "{gaps:?}"
    );
}

#[test]
fn rows_before_the_clock_is_set_are_counted_back() {
    let early = (0..10).map(|s| format!("1980-01-06T{}Z", clock(s)));
    let then = (0..90).map(|s| format!("2025-06-01T{}Z", clock(36_000 + s)));
    let read = read(&format!("time,ias kt\n{}", rows(early.chain(then))));
    assert_eq!(read.recordings.len(), 1);
    assert_eq!(read.recordings[0].start_unix_s, Some(TEN - 10.0));
    note(&read, "default date");
    // Blank before the fix, other cells filled.
    let blank = (0..5).map(|_| String::new());
    let then = (0..90).map(|s| format!("2025-06-01T{}Z", clock(36_000 + s)));
    let recording = only(&format!("time,ias kt\n{}", rows(blank.chain(then))));
    assert_eq!(recording.start_unix_s, Some(TEN - 5.0));
    assert_eq!(values(&recording, Quantity::AirspeedIndicated).len(), 95);
}

#[test]
fn minutes_and_seconds_left_by_a_spreadsheet() {
    let times = (0..120).map(|s: u32| format!("{:02}:{:02}.0", (3540 + s) / 60 % 60, s % 60));
    let recording = only(&format!("time,ias kt\n{}", rows(times)));
    assert!((recording.time_s[119] - 119.0).abs() < 1e-9);
}

#[test]
fn slow_and_irregular_recorders() {
    let times: Vec<u32> = (0..120_u32)
        .scan(0, |at, index| {
            *at += 6 + (index * 37) % 60;
            Some(*at)
        })
        .collect();
    let read = read(&format!(
        "time,ias kt\n{}",
        rows(times.iter().map(|s| clock(30_000 + s)))
    ));
    assert_eq!(read.recordings.len(), 1);
    assert_eq!(read.recordings[0].time_s.len(), 120);
}

/// 04/01/2026 may be 4 January or April 1: both are real, so a person is asked.
#[test]
fn regress_a_date_that_fits_two_ways_is_unsure() {
    let mut text = String::from("date,time,ias kt,alt ft\n");
    for second in 0..30 {
        text += &format!("04/01/2026,10:00:{second:02},80.{second},3000\n");
    }
    let read =
        recording::read("a.csv", text.as_bytes(), &recording::ReadOptions::default()).unwrap();
    assert!(
        read.report.time.how.contains("check the date"),
        "{}",
        read.report.time.how
    );
    assert!(read.report.time.confidence < 0.6);
    let sure = text.replace("04/01/2026", "04/21/2026");
    let read =
        recording::read("a.csv", sure.as_bytes(), &recording::ReadOptions::default()).unwrap();
    assert!(
        !read.report.time.how.contains("check the date"),
        "{}",
        read.report.time.how
    );
    assert!(
        read.report.time.start_utc.starts_with("2026-04-21"),
        "{}",
        read.report.time.start_utc
    );
}
