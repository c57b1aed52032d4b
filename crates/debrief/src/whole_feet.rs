//! Shares of a height as whole feet that still add up.

use crate::document::LedgerReading;

/// A reading in whole feet: `any` and `lines` add up to `lost`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WholeFeet {
    /// Height lost, ft.
    pub lost: i64,
    /// What any recovery costs, ft.
    pub any: i64,
    /// Each cause, ft, in the order of the reading's lines.
    pub lines: Vec<i64>,
}

impl LedgerReading {
    /// Whole feet by largest remainder: a reader who adds up what is printed comes to the loss that is printed. No
    /// share moves by a whole foot. `None` where a number is not one.
    #[must_use]
    pub fn whole_feet(&self) -> Option<WholeFeet> {
        let mut parts = vec![self.any_recovery.value];
        parts.extend(self.lines.iter().map(|line| line.cost.value));
        // Beyond this a whole number of feet is not exact any more, and no flight is that high.
        const MOST: f64 = 1e9;
        let all_real = parts
            .iter()
            .chain([&self.lost.value])
            .all(|v| v.abs() < MOST);
        if !all_real {
            return None;
        }
        let lost = self.lost.value.round() as i64;
        let mut whole: Vec<i64> = parts.iter().map(|part| part.floor() as i64).collect();
        let missing = lost - whole.iter().sum::<i64>();
        let mut order: Vec<usize> = (0..parts.len()).collect();
        let rest = |index: usize| parts.get(index).map_or(0.0, |part| part - part.floor());
        order.sort_by(|a, b| rest(*b).total_cmp(&rest(*a)));
        for index in order
            .into_iter()
            .take(usize::try_from(missing).unwrap_or(0))
        {
            if let Some(part) = whole.get_mut(index) {
                *part += 1;
            }
        }
        let lines = whole.split_off(1);
        Some(WholeFeet {
            lost,
            any: whole.first().copied().unwrap_or(0),
            lines,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{FactDebrief, LedgerLine};
    use proptest::prelude::*;

    fn feet(value: f64) -> FactDebrief {
        FactDebrief {
            value,
            unit: "ft".to_owned(),
            sigma: Some(5.0),
            origin: "derived".to_owned(),
        }
    }

    fn reading(any: f64, shares: &[f64]) -> LedgerReading {
        LedgerReading {
            name: "lowest_point".to_owned(),
            title: "to the lowest point".to_owned(),
            seconds: 6.0,
            lost: feet(any + shares.iter().sum::<f64>()),
            any_recovery: feet(any),
            any_title: "any recovery".to_owned(),
            lines: shares
                .iter()
                .map(|share| LedgerLine::new("x", "x", feet(*share), None))
                .collect(),
        }
    }

    proptest! {
        /// What is printed adds up, and no share is a whole foot off.
        #[test]
        fn prop_whole_feet_add_up(any in -900.0..900.0_f64, shares in prop::collection::vec(-300.0..300.0_f64, 0..9)) {
            let reading = reading(any, &shares);
            let whole = reading.whole_feet().expect("finite");
            prop_assert_eq!(whole.lost, whole.any + whole.lines.iter().sum::<i64>());
            prop_assert!((whole.any as f64 - any).abs() < 1.0 + 1e-9);
            for (line, share) in whole.lines.iter().zip(&shares) {
                prop_assert!((*line as f64 - share).abs() < 1.0 + 1e-9);
            }
        }
    }

    #[test]
    fn prop_what_is_no_number_is_not_rounded() {
        assert_eq!(reading(f64::NAN, &[1.0]).whole_feet(), None);
        assert_eq!(reading(1.0, &[f64::INFINITY]).whole_feet(), None);
    }
}
