//! Arithmetic that is written down instead of worked out: formulas in the other library's XML read here as they do in
//! the model.

use std::fmt::Write as _;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A formula.
#[derive(Clone, Debug)]
pub(super) struct Formula(String);

/// A property by its name.
pub(super) fn property(name: &str) -> Formula {
    Formula(format!("<property>{name}</property>"))
}

impl From<f64> for Formula {
    fn from(value: f64) -> Formula {
        Formula(format!("<value>{value:?}</value>"))
    }
}

fn of(name: &str, parts: &[&Formula]) -> Formula {
    let mut out = format!("<{name}>");
    for part in parts {
        out.push_str(&part.0);
    }
    let _ = write!(out, "</{name}>");
    Formula(out)
}

impl Formula {
    pub(super) fn xml(&self) -> &str {
        &self.0
    }

    pub(super) fn sqrt(&self) -> Formula {
        of("sqrt", &[self])
    }

    pub(super) fn exp(&self) -> Formula {
        of("exp", &[self])
    }

    pub(super) fn sin(&self) -> Formula {
        of("sin", &[self])
    }

    pub(super) fn cos(&self) -> Formula {
        of("cos", &[self])
    }

    pub(super) fn squared(&self) -> Formula {
        of("product", &[self, self])
    }

    /// tanh x = 1 − 2/(e²ˣ + 1), with x kept where e²ˣ has a number.
    pub(super) fn tanh(&self) -> Formula {
        1.0 - 2.0 / ((2.0 * self.clamp(-40.0, 40.0)).exp() + 1.0)
    }

    pub(super) fn least(&self, floor: f64) -> Formula {
        of("max", &[self, &floor.into()])
    }

    pub(super) fn most(&self, ceiling: f64) -> Formula {
        of("min", &[self, &ceiling.into()])
    }

    pub(super) fn clamp(&self, floor: f64, ceiling: f64) -> Formula {
        self.least(floor).most(ceiling)
    }

    /// Within ± another formula.
    pub(super) fn within(&self, reach: &Formula) -> Formula {
        of("min", &[&of("max", &[self, &-reach.clone()]), reach])
    }

    /// One formula below a limit, another from there on.
    pub(super) fn below(&self, limit: f64, then: &Formula, otherwise: &Formula) -> Formula {
        of(
            "ifthen",
            &[&of("lt", &[self, &limit.into()]), then, otherwise],
        )
    }

    /// By rows of argument and value, straight between them and held outside.
    pub(super) fn by(argument: &str, rows: &[(f64, f64)]) -> Formula {
        match rows {
            [] => 0.0.into(),
            [(_, only)] => (*only).into(),
            rows => {
                let mut out = format!(
                    "<table><independentVar lookup=\"row\">{argument}</independentVar><tableData>\n"
                );
                for (at, value) in rows {
                    let _ = writeln!(out, "{at:?} {value:?}");
                }
                out.push_str("</tableData></table>");
                Formula(out)
            }
        }
    }
}

macro_rules! operator {
    ($trait:ident, $method:ident, $name:literal) => {
        impl $trait for Formula {
            type Output = Formula;
            fn $method(self, other: Formula) -> Formula {
                of($name, &[&self, &other])
            }
        }
        impl $trait<&Formula> for Formula {
            type Output = Formula;
            fn $method(self, other: &Formula) -> Formula {
                of($name, &[&self, other])
            }
        }
        impl $trait<&Formula> for &Formula {
            type Output = Formula;
            fn $method(self, other: &Formula) -> Formula {
                of($name, &[self, other])
            }
        }
        impl $trait<Formula> for &Formula {
            type Output = Formula;
            fn $method(self, other: Formula) -> Formula {
                of($name, &[self, &other])
            }
        }
        impl $trait<f64> for Formula {
            type Output = Formula;
            fn $method(self, other: f64) -> Formula {
                of($name, &[&self, &other.into()])
            }
        }
        impl $trait<f64> for &Formula {
            type Output = Formula;
            fn $method(self, other: f64) -> Formula {
                of($name, &[self, &other.into()])
            }
        }
        impl $trait<Formula> for f64 {
            type Output = Formula;
            fn $method(self, other: Formula) -> Formula {
                of($name, &[&self.into(), &other])
            }
        }
        impl $trait<&Formula> for f64 {
            type Output = Formula;
            fn $method(self, other: &Formula) -> Formula {
                of($name, &[&self.into(), other])
            }
        }
    };
}

operator!(Add, add, "sum");
operator!(Sub, sub, "difference");
operator!(Mul, mul, "product");
operator!(Div, div, "quotient");

impl Neg for Formula {
    type Output = Formula;
    fn neg(self) -> Formula {
        of("product", &[&self, &(-1.0).into()])
    }
}
