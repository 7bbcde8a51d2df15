//! Lines that come up over the view for a while, where they cover nothing that can be pressed or written in, and no words where
//! there is room beside them.

use egui::{
    Align2, Area, Context, CornerRadius, Frame, Id, LayerId, Margin, Order, Rect, RichText, Role, Stroke, Ui, Vec2,
    pos2, vec2,
};

use super::icons::Icon;
use super::parts::{self, BannerTone};
use super::shared::Shared;
use super::taken::TakenPlaces;

/// Seconds that a line stays; longer when it offers an undo.
const STAYS: f64 = 5.0;
const STAYS_WITH_UNDO: f64 = 10.0;

/// Room between the lines and the window's edge, in points.
const EDGE: f32 = 20.0;
/// Width of the widest line, in points: two short lines are read sooner than a long one.
const WIDEST: f32 = 592.0;
/// How far apart the heights are that are tried, in points: a third of the lowest button.
const STEP: f32 = 12.0;

/// Where the lines are.
#[derive(Default)]
pub(super) struct Toasts {
    /// Their place, while they are shown.
    place: Option<Rect>,
}

impl Toasts {
    /// The layer that the lines are on.
    pub fn layer() -> LayerId {
        LayerId::new(Order::Middle, Id::unique("toasts"))
    }

    /// Shows the lines of the moment, within `room`.
    pub fn show(&mut self, ctx: &Context, shared: &mut Shared, room: Rect) {
        let now = ctx.input(|i| i.time);
        for toast in &mut shared.toasts {
            let stays = if toast.undo.is_some() || toast.failed {
                STAYS_WITH_UNDO
            } else {
                STAYS
            };
            let until = *toast.until.get_or_insert(now + stays);
            ctx.request_repaint_after_secs((until - now).max(0.0) as f32);
        }
        shared.toasts.retain(|t| t.until.is_none_or(|until| now < until));
        if shared.toasts.is_empty() {
            self.place = None;
            return;
        }
        let used = self.area(ctx, shared, room);
        if let Some(toast) = used.map(|at| shared.toasts.remove(at))
            && let Some(undo) = toast.undo
        {
            shared.undo(undo);
        }
    }

    /// The lines in their area; the one whose button was pressed, from 0.
    fn area(&mut self, ctx: &Context, shared: &Shared, room: Rect) -> Option<usize> {
        let id = Toasts::layer().id;
        let aside = room.center().x - ctx.content_rect().center().x;
        let area = Area::new(id).role(Role::Status).constrain_to(room);
        let area = match self.place {
            Some(place) => area.fixed_pos(place.min),
            // Their size is known once they have been laid out.
            None => area.anchor(Align2::CENTER_BOTTOM, vec2(aside, -EDGE)),
        };
        let mut used = None;
        let shown = area.show(ctx, |ui| {
            for (at, toast) in shared.toasts.iter().enumerate() {
                let tone = if toast.failed {
                    BannerTone::Alarm
                } else {
                    BannerTone::Plain
                };
                // By its own name: a press that began on it counts also when the line above it has gone meanwhile.
                let line = ui.push_id(toast.serial, |ui| {
                    ui.set_max_width((room.width() - 2.0 * EDGE).min(WIDEST));
                    one_toast(ui, tone, &toast.text, toast.undo.is_some())
                });
                if line.inner {
                    used = Some(at);
                }
            }
        });
        let rect = shown.response.rect;
        // Lines under the hand stay where they are.
        if !ctx.input(|i| i.pointer.latest_pos().is_some_and(|at| rect.contains(at))) {
            let held = self.place.map(|held| at(held.min.x, held.min.y, rect.size()));
            let place = free_place((held, rect.size()), room, &TakenPlaces::now(ctx, room, Toasts::layer()));
            if self.place.map(|before| before.min) != Some(place.min) {
                self.place = Some(place);
                ctx.request_repaint();
            }
        }
        used
    }
}

/// A place of that size which covers nothing of `taken`: the one that is held, if it is free; else from the foot of the room
/// upward, in the middle, then at the right, then at the left. Where no place is free of words, one that covers nothing that can be
/// pressed; where there is none of those, in the middle of the foot.
fn free_place((held, size): (Option<Rect>, Vec2), room: Rect, taken: &TakenPlaces) -> Rect {
    let held = held.filter(|held| room.contains_rect(*held));
    let inner = room.shrink(EDGE);
    let size = size.min(inner.size());
    let columns = [inner.center().x - size.x / 2.0, inner.right() - size.x, inner.left()];
    let foot = inner.bottom() - size.y;
    let rows = ((foot - inner.top()) / STEP).floor().max(0.0) as usize;
    let all = || (0..=rows).flat_map(move |row| columns.map(|x| at(x, foot - row as f32 * STEP, size)));
    held.into_iter()
        .chain(all())
        .find(|place| taken.leaves_all(*place))
        .or_else(|| {
            held.into_iter()
                .chain(all())
                .find(|place| taken.leaves_pressable(*place))
        })
        .unwrap_or_else(|| at(columns[0], foot, size))
}

fn at(x: f32, y: f32, size: Vec2) -> Rect {
    Rect::from_min_size(pos2(x, y), size)
}

/// One line; whether its button was pressed.
fn one_toast(ui: &mut Ui, tone: BannerTone, text: &str, undo: bool) -> bool {
    let (ink, wash) = tone.colours(ui);
    let frame = Frame::new()
        .fill(wash)
        .stroke(Stroke::new(1.0, ink))
        .corner_radius(CornerRadius::same(14))
        .inner_margin(Margin::symmetric(16, 8))
        .shadow(ui.visuals().popup_shadow);
    frame
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.label(RichText::new(text).color(ink));
                if undo {
                    parts::Button::both(Icon::Undo, "Undo").show(ui).clicked()
                } else {
                    parts::Button::icon(Icon::Close, "Close").show(ui).clicked()
                }
            })
            .inner
        })
        .inner
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Rect = Rect {
        min: pos2(100.0, 0.0),
        max: pos2(1100.0, 700.0),
    };

    fn line(x: f32, y: f32) -> Rect {
        at(x, y, vec2(400.0, 50.0))
    }

    fn buttons(pressable: &[Rect]) -> TakenPlaces {
        TakenPlaces {
            pressable: pressable.to_vec(),
            shown: Vec::new(),
        }
    }

    #[test]
    fn a_line_stays_at_the_foot_where_nothing_is_under_it() {
        let foot = line(400.0, 630.0);
        assert_eq!(free_place((None, foot.size()), ROOM, &buttons(&[])), foot);
        let heading = at(100.0, 0.0, vec2(1000.0, 60.0));
        assert_eq!(free_place((Some(foot), foot.size()), ROOM, &buttons(&[heading])), foot);
    }

    #[test]
    fn a_line_makes_way_for_buttons_and_goes_nowhere_without_need() {
        let taken = buttons(&[at(420.0, 640.0, vec2(120.0, 44.0)), at(700.0, 640.0, vec2(120.0, 44.0))]);
        let foot = line(400.0, 630.0);
        let place = free_place((Some(foot), foot.size()), ROOM, &taken);
        assert!(taken.leaves_all(place) && ROOM.contains_rect(place), "{place:?}");
        let stays = free_place((Some(place), place.size()), ROOM, &taken);
        assert_eq!(stays, place, "it stays where it is free");
    }

    #[test]
    fn a_line_keeps_clear_of_words_where_there_is_room_and_of_buttons_where_there_is_not() {
        let foot = line(400.0, 630.0);
        let mut taken = buttons(&[at(420.0, 660.0, vec2(120.0, 44.0))]);
        // A chain that is read across the lower half.
        taken.shown = (0..10)
            .map(|row| at(120.0, 400.0 + 25.0 * row as f32, vec2(900.0, 20.0)))
            .collect();
        let place = free_place((Some(foot), foot.size()), ROOM, &taken);
        assert!(taken.leaves_all(place) && ROOM.contains_rect(place), "{place:?}");
        assert!(place.bottom() <= 400.0);
        taken.shown = (0..28)
            .map(|row| at(100.0, 25.0 * row as f32, vec2(1000.0, 20.0)))
            .collect();
        let place = free_place((Some(foot), foot.size()), ROOM, &taken);
        assert!(taken.leaves_pressable(place), "words everywhere: {place:?}");
    }

    #[test]
    fn a_line_in_a_window_full_of_buttons_is_shown_all_the_same() {
        let place = free_place((None, vec2(400.0, 50.0)), ROOM, &buttons(&[ROOM]));
        assert!(ROOM.contains_rect(place), "{place:?}");
    }
}
