//! Pages to PDF: real text in embedded fonts, title, language, bookmarks, and tags so that it can be read aloud.
//!
//! Written for ISO 32000-1:2008: composite fonts (9.7), ToUnicode (9.10.3), outlines (12.3.3), tagged PDF (14.8).

use crate::flow::{Page, Part, Sheetsize, Tag};
use crate::palette::{Rgb, Role};
use crate::svg::{Dash, Item, Segment, Stroke};
use crate::text::{self, Face};
use pdf_writer::types::{
    CidFontType, FontFlags, LineCapStyle, LineJoinStyle, StructRole, SystemInfo, UnicodeCmap,
};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use std::collections::BTreeMap;

/// What can go wrong on the way to paper.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PressError {
    /// A font file inside the program is broken.
    #[error("the built-in font {0} cannot be read; the program file is damaged: install it again")]
    Font(&'static str),
    /// More pages than the format's page tree is meant for.
    #[error("the debrief has {0} pages, more than {MOST_PAGES}; print fewer maneuvers at a time")]
    TooLong(usize),
}

/// Past this nobody prints; it bounds the numbers of objects.
const MOST_PAGES: usize = 5000;
/// pt in a px.
const SCALE: f32 = 0.75;
const SYSTEM: SystemInfo<'_> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// Hands out object numbers.
struct Refs(i32);

impl Refs {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// A tagged part of a page: its element, what it is, what it says.
struct Element {
    id: Ref,
    tag: Tag,
    page: Ref,
    mcid: i32,
    alt: String,
}

/// Writes the pages.
pub fn write(pages: &[Page], paper: Sheetsize, title: &str) -> Result<Vec<u8>, PressError> {
    if pages.len() > MOST_PAGES {
        return Err(PressError::TooLong(pages.len()));
    }
    let mut refs = Refs(0);
    let mut pdf = Pdf::new();
    let (catalog, tree, info, outline, structure, document, parents) = (
        refs.next(),
        refs.next(),
        refs.next(),
        refs.next(),
        refs.next(),
        refs.next(),
        refs.next(),
    );
    let fonts: Vec<Ref> = Face::ALL.iter().map(|_| refs.next()).collect();
    let mut used: Vec<BTreeMap<u16, char>> = vec![BTreeMap::new(); Face::ALL.len()];
    let mut page_refs = Vec::new();
    let mut elements: Vec<Vec<Element>> = Vec::new();
    for (index, page) in pages.iter().enumerate() {
        let (id, content) = (refs.next(), refs.next());
        let (stream, parts) = page_content(page, paper, id, &mut refs, &mut used);
        write_page(&mut pdf, id, content, tree, paper, index, &fonts);
        let packed = deflate(&stream);
        pdf.stream(content, &packed).filter(Filter::FlateDecode);
        page_refs.push(id);
        elements.push(parts);
    }
    pdf.pages(tree)
        .kids(page_refs.iter().copied())
        .count(page_refs.len() as i32);
    for (face, id) in Face::ALL.into_iter().zip(&fonts) {
        let glyphs = used.get(face.index()).cloned().unwrap_or_default();
        write_font(&mut pdf, &mut refs, face, *id, &glyphs)?;
    }
    write_outline(&mut pdf, &mut refs, outline, pages, &page_refs, paper);
    write_structure(&mut pdf, structure, document, parents, &elements);
    pdf.document_info(info)
        .title(TextStr(title))
        .producer(TextStr("Proofwing"))
        .creator(TextStr("Proofwing"));
    let mut root = pdf.catalog(catalog);
    root.pages(tree).outlines(outline).lang(TextStr("en-US"));
    root.pair(Name(b"StructTreeRoot"), structure);
    root.mark_info().marked(true);
    root.viewer_preferences().display_doc_title(true);
    root.finish();
    Ok(pdf.finish())
}

fn write_page(
    pdf: &mut Pdf,
    id: Ref,
    content: Ref,
    tree: Ref,
    paper: Sheetsize,
    index: usize,
    fonts: &[Ref],
) {
    let mut page = pdf.page(id);
    page.parent(tree)
        .contents(content)
        .media_box(Rect::new(
            0.0,
            0.0,
            paper.width as f32 * SCALE,
            paper.height as f32 * SCALE,
        ))
        .struct_parents(index as i32);
    page.tab_order(pdf_writer::types::TabOrder::StructureOrder);
    let mut resources = page.resources();
    let mut dictionary = resources.fonts();
    for (face, font) in Face::ALL.into_iter().zip(fonts) {
        dictionary.pair(Name(font_name(face)), *font);
    }
}

const fn font_name(face: Face) -> &'static [u8] {
    match face {
        Face::Sans => b"F0",
        Face::SansBold => b"F1",
        Face::Serif => b"F2",
        Face::SerifBold => b"F3",
    }
}

fn deflate(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
}

fn page_content(
    page: &Page,
    paper: Sheetsize,
    id: Ref,
    refs: &mut Refs,
    used: &mut [BTreeMap<u16, char>],
) -> (Vec<u8>, Vec<Element>) {
    let mut content = Content::new();
    let mut elements = Vec::new();
    // px, y down, from here on; words turn themselves upright again.
    content.save_state();
    let scale = SCALE * page.scale as f32;
    content.transform([scale, 0.0, 0.0, -scale, 0.0, paper.height as f32 * SCALE]);
    content
        .set_line_join(LineJoinStyle::RoundJoin)
        .set_line_cap(LineCapStyle::ButtCap);
    for part in &page.parts {
        if part.tag == Tag::Artifact {
            content.begin_marked_content(Name(b"Artifact"));
        } else {
            let mcid = elements.len() as i32;
            content
                .begin_marked_content_with_properties(tag_name(part.tag))
                .properties()
                .identify(mcid);
            let alt = if part.tag == Tag::Figure {
                format!("{}. {}", part.drawing.title, part.drawing.desc)
            } else {
                String::new()
            };
            elements.push(Element {
                id: refs.next(),
                tag: part.tag,
                page: id,
                mcid,
                alt,
            });
        }
        write_part(&mut content, part, used);
        content.end_marked_content();
    }
    content.restore_state();
    (content.finish().to_vec(), elements)
}

const fn tag_name(tag: Tag) -> Name<'static> {
    match tag {
        Tag::Heading1 => Name(b"H1"),
        Tag::Heading2 => Name(b"H2"),
        Tag::Heading3 => Name(b"H3"),
        Tag::Figure => Name(b"Figure"),
        Tag::Paragraph | Tag::Artifact => Name(b"P"),
    }
}

fn write_part(content: &mut Content, part: &Part, used: &mut [BTreeMap<u16, char>]) {
    let shift = |(x, y): (f64, f64)| ((x + part.x) as f32, (y + part.y) as f32);
    for item in &part.drawing.items {
        match item {
            Item::Path {
                segments,
                fill,
                stroke,
            } => {
                if let Some(role) = fill {
                    set_fill(content, *role);
                }
                if let Some(stroke) = stroke {
                    set_stroke(content, stroke);
                }
                for segment in segments {
                    match segment {
                        Segment::Move(a) => {
                            let (x, y) = shift(*a);
                            content.move_to(x, y);
                        }
                        Segment::Line(a) => {
                            let (x, y) = shift(*a);
                            content.line_to(x, y);
                        }
                        Segment::Cubic(a, b, c) => {
                            let ((x1, y1), (x2, y2), (x3, y3)) = (shift(*a), shift(*b), shift(*c));
                            content.cubic_to(x1, y1, x2, y2, x3, y3);
                        }
                        Segment::Close => {
                            content.close_path();
                        }
                    }
                }
                match (fill.is_some(), stroke.is_some()) {
                    (true, true) => content.fill_nonzero_and_stroke(),
                    (true, false) => content.fill_nonzero(),
                    (false, true) => content.stroke(),
                    (false, false) => content.end_path(),
                };
            }
            Item::Text {
                at, style, text, ..
            } => {
                set_fill(content, style.role);
                write_text(
                    content,
                    shift(*at),
                    style.face,
                    style.size as f32,
                    text,
                    used,
                );
            }
        }
    }
}

fn channels(color: Rgb) -> [f32; 3] {
    color.map(|channel| f32::from(channel) / 255.0)
}

fn light(role: Role) -> [f32; 3] {
    // Print leaves the paper white.
    if role == Role::Paper {
        [1.0; 3]
    } else {
        channels(role.light())
    }
}

fn set_fill(content: &mut Content, role: Role) {
    let [red, green, blue] = light(role);
    content.set_fill_rgb(red, green, blue);
}

fn set_stroke(content: &mut Content, stroke: &Stroke) {
    let [red, green, blue] = light(stroke.role);
    content.set_stroke_rgb(red, green, blue);
    content.set_line_width(stroke.width as f32);
    match stroke.dash {
        Dash::Solid => content.set_dash_pattern([], 0.0),
        Dash::Dashed => content.set_dash_pattern([5.0, 3.0], 0.0),
    };
}

fn write_text(
    content: &mut Content,
    (x, y): (f32, f32),
    face: Face,
    size: f32,
    words: &str,
    used: &mut [BTreeMap<u16, char>],
) {
    let glyphs = text::glyphs(face, words);
    if let Some(used) = used.get_mut(face.index()) {
        for placed in &glyphs {
            used.entry(placed.glyph).or_insert(placed.character);
        }
    }
    content
        .begin_text()
        .set_font(Name(font_name(face)), size)
        .set_text_matrix([1.0, 0.0, 0.0, -1.0, x, y]);
    let mut show = content.show_positioned();
    let mut items = show.items();
    let mut bytes: Vec<u8> = Vec::new();
    for placed in &glyphs {
        bytes.extend(placed.glyph.to_be_bytes());
        if placed.kern != 0.0 {
            items.show(Str(&bytes));
            items.adjust(-placed.kern as f32);
            bytes.clear();
        }
    }
    if !bytes.is_empty() {
        items.show(Str(&bytes));
    }
    items.finish();
    show.finish();
    content.end_text();
}

fn write_font(
    pdf: &mut Pdf,
    refs: &mut Refs,
    face: Face,
    id: Ref,
    used: &BTreeMap<u16, char>,
) -> Result<(), PressError> {
    let font = text::font(face).ok_or(PressError::Font(face.family()))?;
    let (descendant, descriptor, file, to_unicode) =
        (refs.next(), refs.next(), refs.next(), refs.next());
    let name = format!(
        "{}-{}",
        face.family().replace(' ', ""),
        if face.weight() == 400 {
            "Regular"
        } else {
            "SemiBold"
        }
    );
    let scale = 1000.0 / f32::from(font.units_per_em()).max(1.0);
    pdf.type0_font(id)
        .base_font(Name(name.as_bytes()))
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(descendant)
        .to_unicode(to_unicode);
    let mut cid = pdf.cid_font(descendant);
    cid.subtype(CidFontType::Type2)
        .base_font(Name(name.as_bytes()))
        .system_info(SYSTEM)
        .font_descriptor(descriptor)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = cid.widths();
    for glyph in used.keys() {
        let advance = font
            .glyph_hor_advance(ttf_parser::GlyphId(*glyph))
            .unwrap_or(0);
        widths.consecutive(*glyph, [f32::from(advance) * scale]);
    }
    widths.finish();
    cid.finish();
    let bounds = font.global_bounding_box();
    let edge = |value: i16| f32::from(value) * scale;
    let mut flags = FontFlags::SYMBOLIC;
    if matches!(face, Face::Serif | Face::SerifBold) {
        flags |= FontFlags::SERIF;
    }
    pdf.font_descriptor(descriptor)
        .name(Name(name.as_bytes()))
        .flags(flags)
        .bbox(Rect::new(
            edge(bounds.x_min),
            edge(bounds.y_min),
            edge(bounds.x_max),
            edge(bounds.y_max),
        ))
        .italic_angle(0.0)
        .ascent(edge(font.ascender()))
        .descent(edge(font.descender()))
        .cap_height(font.capital_height().map_or(660.0, edge))
        .stem_v(if face.weight() == 400 { 80.0 } else { 120.0 })
        .font_file2(file);
    let packed = deflate(face.ttf());
    let mut stream = pdf.stream(file, &packed);
    stream
        .filter(Filter::FlateDecode)
        .pair(Name(b"Length1"), face.ttf().len() as i32);
    stream.finish();
    let mut map = UnicodeCmap::new(Name(b"Proofwing"), SYSTEM);
    for (glyph, character) in used {
        map.pair(*glyph, *character);
    }
    let map = map.finish();
    let packed = deflate(map.as_slice());
    pdf.cmap(to_unicode, &packed).filter(Filter::FlateDecode);
    Ok(())
}

fn write_outline(
    pdf: &mut Pdf,
    refs: &mut Refs,
    outline: Ref,
    pages: &[Page],
    page_refs: &[Ref],
    paper: Sheetsize,
) {
    let marks: Vec<(Ref, &str, Ref)> = pages
        .iter()
        .zip(page_refs)
        .filter_map(|(page, id)| page.bookmark.as_deref().map(|words| (*id, words)))
        .map(|(page, words)| (refs.next(), words, page))
        .collect();
    let mut root = pdf.outline(outline);
    if let (Some((first, _, _)), Some((last, _, _))) = (marks.first(), marks.last()) {
        root.first(*first).last(*last).count(marks.len() as i32);
    }
    root.finish();
    for (index, (id, words, page)) in marks.iter().enumerate() {
        let mut item = pdf.outline_item(*id);
        item.title(TextStr(words)).parent(outline);
        if let Some((before, _, _)) = index.checked_sub(1).and_then(|before| marks.get(before)) {
            item.prev(*before);
        }
        if let Some((after, _, _)) = marks.get(index + 1) {
            item.next(*after);
        }
        item.dest()
            .page(*page)
            .xyz(0.0, paper.height as f32 * SCALE, None);
    }
}

/// One element for each part, all below one document element, and the way back from the pages.
fn write_structure(
    pdf: &mut Pdf,
    structure: Ref,
    document: Ref,
    parents: Ref,
    elements: &[Vec<Element>],
) {
    let mut root = pdf
        .indirect(structure)
        .start::<pdf_writer::writers::StructTreeRoot<'_>>();
    root.child(document);
    root.parent_tree_next_key(elements.len() as i32);
    root.pair(Name(b"ParentTree"), parents);
    root.finish();
    let mut all = pdf.struct_element(document);
    all.kind(StructRole::Document).parent(structure);
    let mut children = all.children();
    for element in elements.iter().flatten() {
        children.struct_element(element.id);
    }
    children.finish();
    all.finish();
    for element in elements.iter().flatten() {
        let role = match element.tag {
            Tag::Heading1 => StructRole::H1,
            Tag::Heading2 => StructRole::H2,
            Tag::Heading3 => StructRole::H3,
            Tag::Figure => StructRole::Figure,
            Tag::Paragraph | Tag::Artifact => StructRole::P,
        };
        let mut out = pdf.struct_element(element.id);
        out.kind(role).parent(document).page(element.page);
        if !element.alt.is_empty() {
            out.alt(TextStr(&element.alt));
        }
        out.marked_content_child()
            .marked_content_id(element.mcid)
            .page(element.page);
    }
    let mut tree = pdf.indirect(parents).dict();
    let mut numbers = tree.insert(Name(b"Nums")).array();
    for (page, parts) in elements.iter().enumerate() {
        numbers.item(page as i32);
        let mut list = numbers.push().array();
        for part in parts {
            list.item(part.id);
        }
    }
}
