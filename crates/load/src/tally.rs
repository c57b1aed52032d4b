//! What the clients had to wait, by what they asked for.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::time::Duration;

/// Times and errors, shared by all clients.
#[derive(Default)]
pub struct Tally {
    times: Mutex<BTreeMap<&'static str, Vec<f64>>>,
    errors: Mutex<BTreeMap<String, u64>>,
}

impl Tally {
    /// A request that was answered.
    pub fn took(&self, what: &'static str, time: Duration) {
        if let Ok(mut times) = self.times.lock() {
            times
                .entry(what)
                .or_default()
                .push(time.as_secs_f64() * 1e3);
        }
    }

    /// A request that was not, or not as it should be.
    pub fn failed(&self, what: &'static str, why: &str) {
        if let Ok(mut errors) = self.errors.lock() {
            *errors.entry(format!("{what}: {why}")).or_default() += 1;
        }
    }

    /// How many failed.
    pub fn errors(&self) -> u64 {
        self.errors.lock().map_or(0, |errors| errors.values().sum())
    }

    /// The table.
    pub fn print(&self, length: Duration) {
        let Ok(mut times) = self.times.lock() else {
            return;
        };
        println!(
            "{:<24}{:>9}{:>10}{:>10}{:>10}{:>10}",
            "", "answered", "1/s", "median", "99 %", "most"
        );
        let mut total = 0;
        for (what, values) in times.iter_mut() {
            values.sort_by(f64::total_cmp);
            total += values.len();
            println!(
                "{what:<24}{:>9}{:>10.1}{:>7.0} ms{:>7.0} ms{:>7.0} ms",
                values.len(),
                values.len() as f64 / length.as_secs_f64(),
                quantile(values, 0.5),
                quantile(values, 0.99),
                quantile(values, 1.0),
            );
        }
        println!("{total} answered, {} failed", self.errors());
        if let Ok(errors) = self.errors.lock() {
            for (what, count) in errors.iter() {
                println!("  {count} x {what}");
            }
        }
    }
}

/// Value below which a share of the sorted values lies.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len().saturating_sub(1);
    let index = ((sorted.len() as f64 * share).ceil() as usize).saturating_sub(1);
    sorted.get(index.min(last)).copied().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::quantile;

    #[test]
    fn prop_quantiles_are_values_of_the_sample() {
        let sorted: Vec<f64> = (1..=100).map(f64::from).collect();
        assert_eq!(quantile(&sorted, 0.5), 50.0);
        assert_eq!(quantile(&sorted, 0.99), 99.0);
        assert_eq!(quantile(&sorted, 1.0), 100.0);
        assert!(quantile(&[], 0.5).is_nan());
    }
}
