//! A drawing of a maneuver as values: the pages put the ink on themselves, in their own light or dark.

use press::svg::{Drawing, Item};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The picture of a maneuver's kind.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ManeuverPicture {
    /// For a desk.
    pub wide: Option<PictureDrawing>,
    /// For a phone.
    pub narrow: Option<PictureDrawing>,
}

/// A drawing, px of 1/96 in; x right, y down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PictureDrawing {
    /// Width, px.
    pub width: f64,
    /// Height, px.
    pub height: f64,
    /// What it is.
    pub title: String,
    /// What it says, for who cannot see it.
    pub description: String,
    /// What is drawn, back to front.
    pub items: Vec<PictureItem>,
}

/// One thing drawn. Inks are roles of the palette (docs/looks.md): `ink`, `ink2`, `band`, …
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum PictureItem {
    /// A path.
    Path {
        /// SVG path data.
        d: String,
        /// Ink of the area.
        fill: Option<String>,
        /// Ink of the line.
        stroke: Option<String>,
        /// Width of the line, px.
        stroke_width: Option<f64>,
        /// Whether the line is dashed.
        dashed: bool,
    },
    /// Words.
    Words {
        /// Left end of the base line, px.
        x: f64,
        /// Base line, px.
        y: f64,
        /// Size, px.
        size: f64,
        /// Ink.
        ink: String,
        /// Weight 600.
        bold: bool,
        /// The words.
        text: String,
    },
}

impl From<&Drawing> for PictureDrawing {
    fn from(drawing: &Drawing) -> Self {
        Self {
            width: tenth(drawing.width),
            height: tenth(drawing.height),
            title: drawing.title.clone(),
            description: drawing.desc.clone(),
            items: drawing.items.iter().map(item).collect(),
        }
    }
}

fn item(item: &Item) -> PictureItem {
    match item {
        Item::Path {
            segments,
            fill,
            stroke,
        } => PictureItem::Path {
            d: press::svg::path_data(segments),
            fill: fill.map(|role| role.css().to_owned()),
            stroke: stroke.map(|stroke| stroke.role.css().to_owned()),
            stroke_width: stroke.map(|stroke| stroke.width),
            dashed: stroke.is_some_and(|stroke| stroke.dash == press::svg::Dash::Dashed),
        },
        Item::Text {
            at, style, text, ..
        } => PictureItem::Words {
            x: tenth(at.0),
            y: tenth(at.1),
            size: style.size,
            ink: style.role.css().to_owned(),
            bold: style.face == press::text::Face::SansBold,
            text: text.clone(),
        },
    }
}

/// A tenth of a px is under a printer's dot.
fn tenth(px: f64) -> f64 {
    (px * 10.0).round() / 10.0
}
