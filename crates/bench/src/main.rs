//! `bench PROOFWING`: times whole debriefs in-process and as cold processes, beside plain readers.
//!
//! Everything runs on one core. Figures are medians of several runs; peak memory is the largest
//! resident size the operating system saw of the child process.

mod readers;
mod recordings;

use recordings::Lesson;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

const RUNS: usize = 7;

fn main() -> ExitCode {
    let Some(program) = std::env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("usage: bench PROOFWING   (path of the built program)");
        return ExitCode::from(2);
    };
    match run(&program) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("bench: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(program: &Path) -> Result<(), String> {
    let folder = std::env::temp_dir().join(format!("proofwing-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let result = measure(program, &folder);
    let _ = std::fs::remove_dir_all(&folder);
    result
}

fn measure(program: &Path, folder: &Path) -> Result<(), String> {
    let lesson = Lesson::new(&proofwing::demo::recording_text()?);
    let aircraft = folder.join("aircraft.toml");
    write(&aircraft, proofwing::demo::AIRCRAFT)?;

    let rich = lesson.repeated(72_000, 1, 0.1);
    let rich_file = folder.join("two-hours-10-hz.csv");
    write(&rich_file, &rich)?;
    let size_mb = rich.len() as f64 / 1e6;
    println!(
        "2 h at 10 Hz, everything recorded: 72,000 rows x 28 columns, {size_mb:.1} MB; one core"
    );

    let columns = readers::by_simd_csv(rich.as_bytes());
    let (plain, _) = median(|| readers::by_simd_csv(rich.as_bytes()));
    println!(
        "  b  fastest CSV reader to f64 columns      {:>8.1} ms  ({columns} columns)",
        ms(plain)
    );
    let (whole, _) = median(|| proofwing::pipeline::json_of(&rich, proofwing::demo::AIRCRAFT));
    let json = proofwing::pipeline::json_of(&rich, proofwing::demo::AIRCRAFT)?;
    println!(
        "  a  whole debrief to JSON, in-process      {:>8.1} ms  {:.1} x b  ({:.1} MB of JSON)",
        ms(whole),
        ratio(whole, plain),
        json.len() as f64 / 1e6
    );
    for (stage, time) in proofwing::pipeline::profile(&rich, proofwing::demo::AIRCRAFT)? {
        println!("       {stage:<38}{:>8.1} ms", ms(time));
    }
    let cold = cold(program, &rich_file, &aircraft)?;
    println!(
        "     the same as a cold process             {:>8.1} ms  {:.1} x b",
        ms(cold),
        ratio(cold, plain)
    );
    println!(
        "     peak memory of that process            {:>8.1} MB  {:.1} x the file",
        peak_mb(),
        peak_mb() / size_mb
    );
    match readers::by_pandas(&rich_file) {
        Some(time) => println!(
            "  c  pandas.read_csv                        {:>8.1} ms",
            ms(time)
        ),
        None => println!(
            "  c  pandas.read_csv                        not here (Python with pandas is not installed)"
        ),
    }

    let panel_file = folder.join("panel-90-min-1-hz.csv");
    write(&panel_file, &lesson.panel(5_400))?;
    println!(
        "90 min at 1 Hz, panel, cold process         {:>8.1} ms",
        ms(self::cold(program, &panel_file, &aircraft)?)
    );

    println!("time against length, in-process:");
    for hours in [2usize, 6, 12, 24] {
        let text = lesson.repeated(hours * 36_000, 1, 0.1);
        let start = Instant::now();
        proofwing::pipeline::json_of(&text, proofwing::demo::AIRCRAFT)?;
        let took = start.elapsed();
        println!(
            "  {hours:>2} h  {:>8.1} ms  {:>6.1} ms an hour",
            ms(took),
            ms(took) / hours as f64
        );
    }
    Ok(())
}

/// Median time of a command that debriefs a file to JSON, and nothing else.
fn cold(program: &Path, file: &Path, aircraft: &Path) -> Result<Duration, String> {
    let (time, results) = median(|| {
        Command::new(program)
            .args([
                "debrief",
                "--standard",
                "faa-private",
                "--json",
                "-",
                "--aircraft",
            ])
            .arg(aircraft)
            .arg(file)
            .env("RAYON_NUM_THREADS", "1")
            .stdout(Stdio::null())
            .status()
    });
    match results {
        Ok(status) if status.success() => Ok(time),
        Ok(status) => Err(format!("{} ended with {status}", program.display())),
        Err(error) => Err(format!("{}: {error}", program.display())),
    }
}

fn median<T>(mut work: impl FnMut() -> T) -> (Duration, T) {
    let mut last = work();
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            last = work();
            start.elapsed()
        })
        .collect();
    times.sort();
    (times.get(RUNS / 2).copied().unwrap_or_default(), last)
}

fn peak_mb() -> f64 {
    use nix::sys::resource::{UsageWho, getrusage};
    getrusage(UsageWho::RUSAGE_CHILDREN)
        .map_or(f64::NAN, |usage| usage.max_rss() as f64 * 1024.0 / 1e6)
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn ratio(time: Duration, base: Duration) -> f64 {
    time.as_secs_f64() / base.as_secs_f64()
}

fn write(path: &Path, text: &str) -> Result<(), String> {
    std::fs::write(path, text).map_err(|error| format!("{}: {error}", path.display()))
}
