//! What a view has where: what can be pressed or written in, and its words. Whatever comes up over a view for a while looks here
//! for a place that covers none of it.

use std::sync::Arc;

use egui::{Context, Id, LayerId, Order, Rect, RectAlign, Shape, Vec2};

/// A thing that takes more than this share of the room is a page or a chart: something may lie over a part of it.
const PAGE: f32 = 0.2;
/// The smallest bead of a child's string, in points: what is smaller is a mark in a drawing.
const BEAD: f32 = 5.0;

/// The places that are taken.
#[derive(Clone, Debug, Default)]
pub struct TakenPlaces {
    /// What can be pressed or written in.
    pub pressable: Vec<Rect>,
    /// Lines of text, and beads.
    pub shown: Vec<Rect>,
}

impl TakenPlaces {
    /// What is taken of `room` in this frame, so far as it is drawn; without hints, and without the layer `own` of whoever asks.
    pub fn now(ctx: &Context, room: Rect, own: LayerId) -> TakenPlaces {
        let most = room.area() * PAGE;
        let others = |layer: &LayerId| *layer != own && layer.order != Order::Tooltip;
        let (pressable, layers) = ctx.viewport(|viewport| {
            let widgets = &viewport.this_pass.widgets;
            let pressable = widgets
                .layers()
                .filter(|(layer, _)| others(layer))
                .flat_map(|(_, widgets)| widgets)
                .filter(|w| w.enabled && w.visible && w.sense.senses_click())
                .map(|w| w.interact_rect)
                .filter(|rect| rect.is_positive() && rect.area() < most)
                .collect();
            let layers: Vec<LayerId> = widgets.layers().map(|(layer, _)| *layer).filter(others).collect();
            (pressable, layers)
        });
        let mut shown = Vec::new();
        ctx.graphics(|graphics| {
            for list in layers.iter().filter_map(|layer| graphics.get(*layer)) {
                for entry in list.all_entries() {
                    places(&entry.shape, entry.clip_rect.intersect(room), &mut shown);
                }
            }
        });
        TakenPlaces { pressable, shown }
    }

    /// Remembers it until the next frame, for what is drawn while the view is.
    pub fn remember(self, ctx: &Context) {
        ctx.data_mut(|d| d.insert_temp(id(), Arc::new(self)));
    }

    /// As it was remembered.
    pub fn remembered(ctx: &Context) -> Arc<TakenPlaces> {
        ctx.data(|d| d.get_temp(id())).unwrap_or_default()
    }

    /// Whether `place` covers nothing that can be pressed.
    pub fn leaves_pressable(&self, place: Rect) -> bool {
        !self.pressable.iter().any(|taken| taken.intersects(place))
    }

    /// Whether `place` covers nothing at all.
    pub fn leaves_all(&self, place: Rect) -> bool {
        self.leaves_pressable(place) && !self.shown.iter().any(|taken| taken.intersects(place))
    }

    /// The side of `thing` at which a hint of that size covers nothing, if there is one.
    pub fn free_side(&self, (thing, gap): (Rect, f32), size: Vec2, room: Rect) -> Option<RectAlign> {
        let beside = self.without(thing);
        sides((thing, gap), size, room)
            .find(|(_, place)| beside.leaves_all(*place))
            .map(|(side, _)| side)
    }

    /// The same where it covers nothing that can be pressed.
    pub fn side_to_press(&self, (thing, gap): (Rect, f32), size: Vec2, room: Rect) -> Option<RectAlign> {
        let beside = self.without(thing);
        sides((thing, gap), size, room)
            .find(|(_, place)| beside.leaves_pressable(*place))
            .map(|(side, _)| side)
    }

    /// Without what a thing is made of, and what it is a part of: that is no other thing.
    fn without(&self, thing: Rect) -> TakenPlaces {
        let others = |rects: &[Rect]| -> Vec<Rect> {
            let other =
                |rect: &&Rect| !thing.expand(1.0).contains_rect(**rect) && !rect.contains_rect(thing.shrink(1.0));
            rects.iter().filter(other).copied().collect()
        };
        TakenPlaces {
            pressable: others(&self.pressable),
            shown: others(&self.shown),
        }
    }
}

/// The places within the room beside a thing, each with its side.
fn sides((thing, gap): (Rect, f32), size: Vec2, room: Rect) -> impl Iterator<Item = (RectAlign, Rect)> {
    let place = move |side: RectAlign| (side, side.align_rect(&thing, size, gap));
    RectAlign::MENU_ALIGNS
        .into_iter()
        .map(place)
        .filter(move |(_, place)| room.contains_rect(*place))
}

fn id() -> Id {
    Id::unique("what the view has where")
}

/// The places of the texts and beads of a shape, so far as they are seen.
fn places(shape: &Shape, seen: Rect, into: &mut Vec<Rect>) {
    let rect = match shape {
        Shape::Text(text) => text.visual_bounding_rect(),
        Shape::Circle(circle) if circle.radius >= BEAD => circle.visual_bounding_rect(),
        Shape::Vec(all) => return all.iter().for_each(|shape| places(shape, seen, into)),
        _ => return,
    };
    let rect = rect.intersect(seen);
    into.extend(rect.is_positive().then_some(rect));
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{pos2, vec2};

    fn at(x: f32, y: f32, wide: f32, high: f32) -> Rect {
        Rect::from_min_size(pos2(x, y), vec2(wide, high))
    }

    const ROOM: Rect = Rect {
        min: pos2(0.0, 0.0),
        max: pos2(1000.0, 700.0),
    };

    #[test]
    fn a_hint_lies_where_it_covers_no_line_and_no_button() {
        let button = at(300.0, 300.0, 400.0, 90.0);
        let mut taken = TakenPlaces {
            pressable: vec![button, ROOM],
            shown: vec![at(400.0, 330.0, 200.0, 30.0), at(320.0, 394.0, 360.0, 20.0)],
        };
        let size = vec2(220.0, 36.0);
        let at_side = |side: Option<RectAlign>| side.unwrap().align_rect(&button, size, 4.0);
        let over = at_side(taken.free_side((button, 4.0), size, ROOM));
        assert!(over.bottom() < button.top(), "a line lies below it");
        taken.shown.push(at(320.0, 270.0, 360.0, 20.0));
        let beside = at_side(taken.free_side((button, 4.0), size, ROOM));
        assert!(taken.shown.iter().all(|line| !line.intersects(beside)), "{beside:?}");
        // Lines on every side: then at least no button lies under it.
        taken
            .shown
            .extend([at(0.0, 250.0, 299.0, 190.0), at(701.0, 250.0, 299.0, 190.0)]);
        taken.pressable.push(at(300.0, 392.0, 400.0, 60.0));
        assert_eq!(taken.free_side((button, 4.0), size, ROOM), None);
        let over = at_side(taken.side_to_press((button, 4.0), size, ROOM));
        assert!(!over.intersects(taken.pressable[2]), "{over:?}");
    }
}
