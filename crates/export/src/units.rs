//! From SI to what people read. The factors are those of [`air::units`]: divide SI by one to get the unit.

use air::units::{M_PER_FT, M3PS_PER_GPH, MPS_PER_FPM, MPS_PER_KT, PA_PER_INHG};

/// A unit that leaves the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unit {
    Foot,
    Meter,
    FootPerMinute,
    Knot,
    KnotPerSecond,
    Degree,
    DegreePerSecond,
    LoadFactor,
    Percent,
    RevolutionPerMinute,
    InchOfMercury,
    GallonPerHour,
    Celsius,
    /// A number without a unit: a chance, a class, a flag, a coefficient.
    One,
}

impl Unit {
    /// As it is written beside a number.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Foot => "ft",
            Self::Meter => "m",
            Self::FootPerMinute => "ft/min",
            Self::Knot => "kt",
            Self::KnotPerSecond => "kt/s",
            Self::Degree => "deg",
            Self::DegreePerSecond => "deg/s",
            Self::LoadFactor => "g",
            Self::Percent => "%",
            Self::RevolutionPerMinute => "rpm",
            Self::InchOfMercury => "inHg",
            Self::GallonPerHour => "gal/h",
            Self::Celsius => "°C",
            Self::One => "1",
        }
    }

    /// SI in one of the unit.
    pub(crate) fn si(self) -> f64 {
        match self {
            Self::Foot => M_PER_FT,
            Self::FootPerMinute => MPS_PER_FPM,
            Self::Knot | Self::KnotPerSecond => MPS_PER_KT,
            Self::Degree | Self::DegreePerSecond => std::f64::consts::PI / 180.0,
            Self::Percent => 0.01,
            Self::RevolutionPerMinute => std::f64::consts::TAU / 60.0,
            Self::InchOfMercury => PA_PER_INHG,
            Self::GallonPerHour => M3PS_PER_GPH,
            Self::Meter | Self::LoadFactor | Self::Celsius | Self::One => 1.0,
        }
    }

    /// Decimals that hold the least σ that any recorder reaches, to a tenth of it or better.
    pub(crate) fn decimals(self) -> usize {
        match self {
            Self::FootPerMinute | Self::RevolutionPerMinute => 1,
            Self::LoadFactor | Self::One => 4,
            Self::Foot | Self::Meter | Self::Percent | Self::Celsius => 2,
            Self::Knot | Self::KnotPerSecond | Self::Degree | Self::DegreePerSecond => 3,
            Self::InchOfMercury | Self::GallonPerHour => 3,
        }
    }
}
