//! Measuring words: advance widths and kerning of the fonts we carry, and wrapping by them.
//!
//! The same widths place labels in SVG and PDF, so a label that clears its neighbor here clears it
//! on paper. Sizes and widths are in px of the drawing.

use std::cell::RefCell;
use std::sync::LazyLock;
use ttf_parser::gpos::{PairAdjustment, PositioningSubtable};
use ttf_parser::opentype_layout::LayoutTable;
use ttf_parser::{GlyphId, Tag};

/// The four cuts we use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    /// Labels and numbers.
    Sans,
    /// Names of rows, numbers that matter.
    SansBold,
    /// Sentences that a person would say.
    Serif,
    /// Titles.
    SerifBold,
}

const SANS: &[u8] = include_bytes!("../fonts/proofwing-sans-400.ttf");
const SANS_BOLD: &[u8] = include_bytes!("../fonts/proofwing-sans-600.ttf");
const SERIF: &[u8] = include_bytes!("../fonts/proofwing-serif-400.ttf");
const SERIF_BOLD: &[u8] = include_bytes!("../fonts/proofwing-serif-600.ttf");

impl Face {
    /// Every face, in the order of their resource names.
    pub const ALL: [Face; 4] = [Face::Sans, Face::SansBold, Face::Serif, Face::SerifBold];

    /// The TrueType file.
    #[must_use]
    pub const fn ttf(self) -> &'static [u8] {
        match self {
            Face::Sans => SANS,
            Face::SansBold => SANS_BOLD,
            Face::Serif => SERIF,
            Face::SerifBold => SERIF_BOLD,
        }
    }

    /// The same, packed for a page.
    #[must_use]
    pub const fn woff2(self) -> &'static [u8] {
        match self {
            Face::Sans => include_bytes!("../fonts/proofwing-sans-400.woff2"),
            Face::SansBold => include_bytes!("../fonts/proofwing-sans-600.woff2"),
            Face::Serif => include_bytes!("../fonts/proofwing-serif-400.woff2"),
            Face::SerifBold => include_bytes!("../fonts/proofwing-serif-600.woff2"),
        }
    }

    /// CSS family.
    #[must_use]
    pub const fn family(self) -> &'static str {
        match self {
            Face::Sans | Face::SansBold => "Proofwing Sans",
            Face::Serif | Face::SerifBold => "Proofwing Serif",
        }
    }

    /// CSS weight.
    #[must_use]
    pub const fn weight(self) -> u16 {
        match self {
            Face::Sans | Face::Serif => 400,
            Face::SansBold | Face::SerifBold => 600,
        }
    }

    /// Position in [`Face::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Face::Sans => 0,
            Face::SansBold => 1,
            Face::Serif => 2,
            Face::SerifBold => 3,
        }
    }
}

/// A parsed face, or nothing if the file were broken (a test holds that it is not).
struct Parsed(Option<ttf_parser::Face<'static>>);

static PARSED: LazyLock<[Parsed; 4]> =
    LazyLock::new(|| Face::ALL.map(|face| Parsed(ttf_parser::Face::parse(face.ttf(), 0).ok())));

/// The parsed font file of a face.
#[must_use]
pub fn font(face: Face) -> Option<&'static ttf_parser::Face<'static>> {
    PARSED
        .get(face.index())
        .and_then(|parsed| parsed.0.as_ref())
}

/// A glyph of a run, with what to move on after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Glyph id in the font file.
    pub glyph: u16,
    /// The character it stands for.
    pub character: char,
    /// Advance of the glyph alone, thousandths of the size.
    pub advance: f64,
    /// Kerning to the next glyph, thousandths of the size (negative = closer).
    pub kern: f64,
}

/// Characters that carry no ink but must not become a box: line ends, tabs, joiners, byte-order marks.
fn plain(character: char) -> Option<char> {
    match character {
        '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{206F}'
        | '\u{FEFF}' => None,
        '\u{2009}' | '\u{202F}' => Some('\u{A0}'),
        '\u{2010}' | '\u{2011}' => Some('-'),
        other if other.is_control() => Some(' '),
        other => Some(other),
    }
}

/// The glyphs of a run. A character that the fonts lack becomes a question mark.
#[must_use]
pub fn glyphs(face: Face, text: &str) -> Vec<Placed> {
    let Some(font) = font(face) else {
        return Vec::new();
    };
    let units = f64::from(font.units_per_em()).max(1.0) / 1000.0;
    let mut run: Vec<Placed> = Vec::with_capacity(text.len());
    for character in text.chars().filter_map(plain) {
        let glyph = font
            .glyph_index(character)
            .or_else(|| font.glyph_index('?'))
            .unwrap_or(GlyphId(0));
        let advance = f64::from(font.glyph_hor_advance(glyph).unwrap_or(0)) / units;
        if let Some(last) = run.last_mut() {
            last.kern = f64::from(kern(face, font, GlyphId(last.glyph), glyph)) / units;
        }
        run.push(Placed {
            glyph: glyph.0,
            character,
            advance,
            kern: 0.0,
        });
    }
    run
}

/// Pairs remembered: the table in the font is searched in three steps, and a debrief asks for few pairs often.
const REMEMBERED: usize = 8192;

thread_local! {
    /// Pair (face, left, right) and its kerning, at the place that the pair's number falls on.
    static PAIRS: RefCell<Vec<(u64, i16)>> = RefCell::new(vec![(u64::MAX, 0); REMEMBERED]);
}

/// Kerning of a pair from the font's own `kern` feature, font units.
fn kern(face: Face, font: &ttf_parser::Face<'static>, left: GlyphId, right: GlyphId) -> i16 {
    let pair = (face.index() as u64) << 32 | u64::from(left.0) << 16 | u64::from(right.0);
    let place = (pair.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 51) as usize % REMEMBERED;
    PAIRS.with_borrow_mut(|pairs| match pairs.get_mut(place) {
        Some((held, value)) if *held == pair => *value,
        slot => {
            let value = kern_of(font, left, right);
            if let Some(slot) = slot {
                *slot = (pair, value);
            }
            value
        }
    })
}

fn kern_of(font: &ttf_parser::Face<'static>, left: GlyphId, right: GlyphId) -> i16 {
    let Some(table) = font.tables().gpos else {
        return 0;
    };
    let Some(feature) = table.features.find(Tag::from_bytes(b"kern")) else {
        return 0;
    };
    feature
        .lookup_indices
        .into_iter()
        .find_map(|index| kern_in(&table, index, left, right))
        .unwrap_or(0)
}

fn kern_in(
    table: &LayoutTable<'static>,
    lookup: u16,
    left: GlyphId,
    right: GlyphId,
) -> Option<i16> {
    let lookup = table.lookups.get(lookup)?;
    (0..lookup.subtables.len()).find_map(|index| {
        let PositioningSubtable::Pair(pair) =
            lookup.subtables.get::<PositioningSubtable<'_>>(index)?
        else {
            return None;
        };
        match pair {
            PairAdjustment::Format1 { coverage, sets } => {
                Some(sets.get(coverage.get(left)?)?.get(right)?.0.x_advance)
            }
            PairAdjustment::Format2 {
                coverage,
                classes,
                matrix,
            } => {
                coverage.get(left)?;
                Some(
                    matrix
                        .get((classes.0.get(left), classes.1.get(right)))?
                        .0
                        .x_advance,
                )
            }
        }
    })
}

/// Width of a run, px.
#[must_use]
pub fn width(face: Face, size_px: f64, text: &str) -> f64 {
    glyphs(face, text)
        .iter()
        .map(|placed| placed.advance + placed.kern)
        .sum::<f64>()
        * size_px
        / 1000.0
}

/// Breaks a text into lines no wider than `width_px`. A no-break space holds; a word longer than a line is cut.
#[must_use]
pub fn wrap(face: Face, size_px: f64, text: &str, width_px: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    // No pair is kerned across a blank, so widths of words add up.
    let (blank, mut taken) = (width(face, size_px, " "), 0.0);
    for word in text
        .split([' ', '\n', '\t', '\r'])
        .filter(|word| !word.is_empty())
    {
        let wide = width(face, size_px, word);
        if !line.is_empty() && taken + blank + wide <= width_px {
            line.push(' ');
            line.push_str(word);
            taken += blank + wide;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = if wide <= width_px {
            word.to_owned()
        } else {
            cut_long_word(face, size_px, word, width_px, &mut lines)
        };
        taken = width(face, size_px, &line);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Pushes the full lines of a word that is wider than a line; gives the rest.
fn cut_long_word(
    face: Face,
    size_px: f64,
    word: &str,
    width_px: f64,
    lines: &mut Vec<String>,
) -> String {
    let mut rest = String::new();
    for character in word.chars() {
        rest.push(character);
        if rest.chars().count() > 1 && width(face, size_px, &rest) > width_px {
            rest.pop();
            lines.push(std::mem::take(&mut rest));
            rest.push(character);
        }
    }
    rest
}

/// Shortens a text with an ellipsis until it fits.
#[must_use]
pub fn fit(face: Face, size_px: f64, text: &str, width_px: f64) -> String {
    if width(face, size_px, text) <= width_px {
        return text.to_owned();
    }
    let room = width_px - width(face, size_px, "…");
    let mut taken = 0.0;
    let mut kept = String::new();
    for placed in glyphs(face, text) {
        taken += placed.advance * size_px / 1000.0;
        if taken > room {
            break;
        }
        kept.push(placed.character);
        taken += placed.kern * size_px / 1000.0;
    }
    let kept = kept.trim_end();
    if kept.is_empty() {
        String::new()
    } else {
        format!("{kept}…")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_every_face_parses_and_knows_our_characters() {
        for face in Face::ALL {
            let font = font(face).expect("the font files in fonts/ are whole");
            for character in "AZaz09°±×÷−½²σαβφ→←↑↓≤≥≈…–—“”’·éñüßŽ".chars()
            {
                assert!(
                    font.glyph_index(character).is_some(),
                    "{face:?} lacks {character}"
                );
            }
        }
    }

    /// Figures are tabular: columns of numbers stand under each other.
    #[test]
    fn prop_figures_are_tabular() {
        for face in Face::ALL {
            let one = width(face, 10.0, "1");
            for digit in "023456789".chars() {
                assert!((width(face, 10.0, &digit.to_string()) - one).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn prop_kerning_pulls_a_slanted_pair_together() {
        let pair = width(Face::SerifBold, 100.0, "AV");
        let apart = width(Face::SerifBold, 100.0, "A") + width(Face::SerifBold, 100.0, "V");
        assert!(pair < apart - 1.0, "{pair} against {apart}");
    }

    #[test]
    fn prop_wrapped_lines_fit_and_lose_no_word() {
        let text = "You stalled it fully and unloaded in 1.4 s; Donaudampfschifffahrtsgesellschaftskapitän rudder.";
        for width_px in [40.0, 80.0, 200.0] {
            let lines = wrap(Face::Serif, 14.5, text, width_px);
            assert!(
                lines
                    .iter()
                    .all(|line| width(Face::Serif, 14.5, line) <= width_px)
            );
            let joined: String = lines.concat().replace(' ', "");
            assert_eq!(joined, text.replace(' ', ""));
        }
    }

    #[test]
    fn prop_unknown_and_control_characters_have_a_width_and_do_not_panic() {
        assert!(width(Face::Sans, 12.0, "漢\u{0}\u{202E}\t") > 0.0);
        assert_eq!(fit(Face::Sans, 12.0, "anything", 0.0), "");
    }
}
