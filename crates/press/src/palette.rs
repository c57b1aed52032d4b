//! Paper and ink: the colors by role, light and dark, and the contrast between them.
//!
//! Contrast is the ratio of W3C, *Web Content Accessibility Guidelines 2.1*, "contrast ratio" and
//! "relative luminance": (L₁ + 0.05) / (L₂ + 0.05) with L = 0.2126 R + 0.7152 G + 0.0722 B of the
//! linearized sRGB channels. Level AA asks for 4.5 for text (success criterion 1.4.3).

/// What a color is for. The same role has a light and a dark value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// The page itself; print leaves it white.
    Paper,
    /// Words, measured traces, marks.
    Ink,
    /// Second words, ±σ numbers, dashes.
    Ink2,
    /// Tick labels, on paper only.
    Ink3,
    /// The one ink of ribbons.
    Deviation,
    /// A decided excursion, its hatching, the pin of `not met`.
    Beyond,
    /// ±1σ around the deviation.
    Sigma,
    /// What the standard allows.
    Band,
    /// One phase column behind everything.
    Phase,
    /// Hairlines, never the only carrier of meaning.
    Rule,
}

/// Red, green, blue, 0 to 255.
pub type Rgb = [u8; 3];

impl Role {
    /// Every role.
    pub const ALL: [Role; 10] = [
        Role::Paper,
        Role::Ink,
        Role::Ink2,
        Role::Ink3,
        Role::Deviation,
        Role::Beyond,
        Role::Sigma,
        Role::Band,
        Role::Phase,
        Role::Rule,
    ];

    /// The color on a light page.
    #[must_use]
    pub const fn light(self) -> Rgb {
        match self {
            Role::Paper => [0xFA, 0xF8, 0xF3],
            Role::Ink => [0x1C, 0x21, 0x26],
            Role::Ink2 => [0x47, 0x4E, 0x55],
            Role::Ink3 => [0x66, 0x6C, 0x73],
            Role::Deviation => [0x1F, 0x4B, 0x77],
            Role::Beyond => [0x9A, 0x3A, 0x14],
            Role::Sigma => [0xC3, 0xCF, 0xDA],
            Role::Band => [0xEA, 0xE5, 0xD8],
            Role::Phase => [0xF4, 0xF0, 0xE7],
            Role::Rule => [0xD5, 0xD0, 0xC4],
        }
    }

    /// The color on a dark page.
    #[must_use]
    pub const fn dark(self) -> Rgb {
        match self {
            Role::Paper => [0x16, 0x19, 0x1C],
            Role::Ink => [0xEC, 0xE7, 0xDC],
            Role::Ink2 => [0xBD, 0xB9, 0xAF],
            Role::Ink3 => [0x96, 0x94, 0x8C],
            Role::Deviation => [0xA9, 0xC4, 0xDF],
            Role::Beyond => [0xE8, 0x99, 0x7A],
            Role::Sigma => [0x3F, 0x51, 0x63],
            Role::Band => [0x29, 0x2E, 0x33],
            Role::Phase => [0x1C, 0x20, 0x23],
            Role::Rule => [0x3A, 0x3E, 0x42],
        }
    }

    /// The name of the CSS variable, without the leading dashes.
    #[must_use]
    pub const fn css(self) -> &'static str {
        match self {
            Role::Paper => "paper",
            Role::Ink => "ink",
            Role::Ink2 => "ink2",
            Role::Ink3 => "ink3",
            Role::Deviation => "dev",
            Role::Beyond => "out",
            Role::Sigma => "sig",
            Role::Band => "band",
            Role::Phase => "phase",
            Role::Rule => "rule",
        }
    }
}

/// `#rrggbb`.
#[must_use]
pub fn hex(color: Rgb) -> String {
    let [red, green, blue] = color;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Relative luminance, 0 (black) to 1 (white). Source: W3C, WCAG 2.1, "relative luminance".
#[must_use]
pub fn luminance(color: Rgb) -> f64 {
    let linear = |channel: u8| {
        let value = f64::from(channel) / 255.0;
        // 0.03928 is the standard's own figure; its sRGB source has 0.04045, which no 8-bit value tells apart.
        if value <= 0.03928 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    let [red, green, blue] = color;
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// Contrast ratio, 1 to 21. Source: W3C, WCAG 2.1, "contrast ratio".
#[must_use]
pub fn contrast(one: Rgb, other: Rgb) -> f64 {
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Black on white is 21:1, and gray #767676 on white is the well-known last gray that passes AA (4.54).
    /// Source: W3C, WCAG 2.1, "contrast ratio"; the gray: W3C, technique G18.
    #[test]
    fn val_wcag_contrast_of_known_pairs() {
        assert!((contrast([0, 0, 0], [255, 255, 255]) - 21.0).abs() < 1e-9);
        assert!((contrast([0x76, 0x76, 0x76], [255, 255, 255]) - 4.54).abs() < 0.005);
        assert!(contrast([0x77, 0x77, 0x77], [255, 255, 255]) < 4.5);
    }

    /// WCAG 2.1, 1.4.3: 4.5 for text; 1.4.11: 3 for what must be seen to understand a graphic.
    #[test]
    fn val_wcag_every_text_role_passes_aa() {
        for scheme in [Role::light, Role::dark] {
            let paper = scheme(Role::Paper);
            for role in [
                Role::Ink,
                Role::Ink2,
                Role::Ink3,
                Role::Deviation,
                Role::Beyond,
            ] {
                assert!(contrast(scheme(role), paper) >= 4.5, "{role:?} on paper");
                assert!(
                    contrast(scheme(role), scheme(Role::Phase)) >= 4.5 || role == Role::Ink3,
                    "{role:?} on phase"
                );
            }
            for role in [Role::Ink, Role::Ink2, Role::Deviation, Role::Beyond] {
                assert!(
                    contrast(scheme(role), scheme(Role::Band)) >= 4.5,
                    "{role:?} on band"
                );
            }
            // The σ area lies between the band and the line that is drawn over it.
            assert!(contrast(scheme(Role::Deviation), scheme(Role::Sigma)) >= 3.0);
        }
        for role in [
            Role::Ink,
            Role::Ink2,
            Role::Ink3,
            Role::Deviation,
            Role::Beyond,
        ] {
            assert!(
                contrast(role.light(), [255, 255, 255]) >= 4.5,
                "{role:?} on white paper"
            );
        }
    }
}
