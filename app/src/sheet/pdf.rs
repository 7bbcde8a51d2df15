//! A sheet as PDF: real text in reading order, the letters that it uses embedded.
//!
//! The file is tagged (ISO 32000-1, 14.8), so that a screen reader knows which line is text, in which order, and that lines
//! and boxes are not.

use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point as At, Rect};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, SpanTag, Tag, TagGroup, TagTree};
use krilla::text::{Font, TextDirection};

use super::font::FontFace;
use super::page::{Colour, PageItem, PathSegment, Pen, Sheet};

/// The file.
///
/// # Errors
/// One line, when the library refuses; it has no reason to on any sheet that is made here.
pub fn write(sheet: &Sheet) -> Result<Vec<u8>, String> {
    let fonts = [FontFace::Regular, FontFace::Bold].map(|face| Font::new(face.bytes().into(), 0));
    let [Some(regular), Some(bold)] = fonts else {
        return Err("the program's own fonts cannot be read".into());
    };
    let mut document = Document::new();
    let about = Metadata::new()
        .title(sheet.title.clone())
        .language("en".into())
        .creator("Soundbead".into());
    document.set_metadata(about);
    let mut tree = TagTree::new().with_lang(Some("en".into()));
    let (width, height) = sheet.paper.size();
    for page in &sheet.pages {
        let settings = PageSettings::from_wh(width, height).ok_or("the paper has no size")?;
        let mut made = document.start_page_with(settings);
        let mut surface = made.surface();
        let mut part = TagGroup::new(Tag::Part);
        for item in &page.items {
            let text = matches!(item, PageItem::Text(_));
            let layout = Artifact::with_kind(ArtifactType::Layout);
            let id = surface.start_tagged(match text {
                true => ContentTag::Span(SpanTag::empty()),
                false => ContentTag::Artifact(layout),
            });
            draw(&mut surface, item, &regular, &bold);
            surface.end_tagged();
            if text {
                part.push(TagGroup::with_children(Tag::P, vec![id.into()]));
            }
        }
        surface.finish();
        made.finish();
        tree.push(part);
    }
    document.set_tag_tree(tree);
    document
        .finish()
        .map_err(|e| format!("the PDF could not be made: {e:?}"))
}

fn draw(surface: &mut Surface<'_>, item: &PageItem, regular: &Font, bold: &Font) {
    match item {
        PageItem::Text(text) => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(text.colour)));
            let font = match text.face {
                FontFace::Regular => regular,
                FontFace::Bold => bold,
            };
            let at = At::from_xy(text.at.x, text.at.y);
            surface.draw_text(
                at,
                font.clone(),
                text.size,
                &text.text,
                false,
                TextDirection::LeftToRight,
            );
        }
        PageItem::Line { from, to, pen } => {
            let mut path = PathBuilder::new();
            path.move_to(from.x, from.y);
            path.line_to(to.x, to.y);
            paint(surface, path.finish(), None, Some(*pen));
        }
        PageItem::Box { area, fill, pen } => {
            let mut path = PathBuilder::new();
            if let Some(rect) = Rect::from_xywh(area.x, area.y, area.w, area.h) {
                path.push_rect(rect);
            }
            paint(surface, path.finish(), *fill, *pen);
        }
        PageItem::Path { steps, fill, pen } => paint(surface, outline(steps), *fill, *pen),
    }
}

fn outline(steps: &[PathSegment]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in steps {
        match *step {
            PathSegment::Move(p) => path.move_to(p.x, p.y),
            PathSegment::Line(p) => path.line_to(p.x, p.y),
            PathSegment::Curve(a, b, c) => path.cubic_to(a.x, a.y, b.x, b.y, c.x, c.y),
            PathSegment::Close => path.close(),
        }
    }
    path.finish()
}

/// A path without extent has nothing to paint, and the library gives none for it.
fn paint(surface: &mut Surface<'_>, path: Option<Path>, inside: Option<Colour>, pen: Option<Pen>) {
    let Some(path) = path.filter(|_| inside.is_some() || pen.is_some()) else {
        return;
    };
    surface.set_fill(inside.map(fill));
    surface.set_stroke(pen.map(stroke));
    surface.draw_path(&path);
}

fn fill(colour: Colour) -> Fill {
    Fill {
        paint: rgb::Color::new(colour.0, colour.1, colour.2).into(),
        ..Fill::default()
    }
}

fn stroke(pen: Pen) -> Stroke {
    Stroke {
        paint: rgb::Color::new(pen.colour.0, pen.colour.1, pen.colour.2).into(),
        width: pen.width,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        dash: pen.dash.map(|dash| StrokeDash {
            array: dash.to_vec(),
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}
