//! The height of a thing in the air path: over what it is told, and how much.
//!
//! Invariant: a number given over one thing is never taken over to another; choosing anew leaves the height not measured
//! until it is typed.

use super::super::desk::Desk;
use super::super::obstacles::point_name;
use super::super::places::points;
use super::typed_field::{Kind, typed_ui};
use eframe::egui::{Label, Ui};
use strip::record::{ObstacleKindRecord, ObstacleRecord};

/// Over what a height is told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Over {
    Nothing,
    Ground,
    Datum,
    GroundAtSupports,
}

impl Over {
    const ALL: [Self; 4] = [Self::Nothing, Self::Ground, Self::Datum, Self::GroundAtSupports];

    const fn name(self) -> &'static str {
        match self {
            Self::Nothing => "not measured",
            Self::Ground => "over its own ground",
            Self::Datum => "over the datum",
            Self::GroundAtSupports => "over the ground at each support",
        }
    }

    /// As the record tells it.
    fn told(o: &ObstacleRecord) -> Self {
        if o.top_m.is_some() {
            Self::Datum
        } else if o.height_m.is_some() {
            Self::Ground
        } else if o.heights_m.is_empty() {
            Self::Nothing
        } else {
            Self::GroundAtSupports
        }
    }
}

/// Choice and fields.
pub(super) fn height_ui(ui: &mut Ui, desk: Desk, o: &ObstacleRecord, new: &mut ObstacleRecord) {
    // What was chosen and not typed yet is remembered with the thing; a height on record says by itself over what.
    let id = ui.scope_id().with(("height over", &o.id));
    let told = Over::told(o);
    let chosen = if told == Over::Nothing { ui.data(|d| d.get_temp(id)).unwrap_or(told) } else { told };
    let mut next = chosen;
    ui.horizontal_wrapped(|ui| {
        ui.label("height");
        for over in Over::ALL {
            if over != Over::GroundAtSupports || o.kind == ObstacleKindRecord::Wire || over == chosen {
                ui.selectable_value(&mut next, over, over.name());
            }
        }
    });
    if next != chosen {
        ui.data_mut(|d| d.insert_temp(id, next));
        (new.top_m, new.height_m) = (None, None);
        new.heights_m.clear();
    }
    match chosen {
        Over::Nothing => {}
        Over::Ground => {
            if let Some(height) = typed_ui(ui, desk, "height over its own ground", Kind::Length, o.height_m) {
                new.height_m = Some(height);
            }
        }
        Over::Datum => {
            if let Some(top) = typed_ui(ui, desk, "top over the datum", Kind::Length, o.top_m) {
                new.top_m = Some(top);
            }
        }
        Over::GroundAtSupports => supports_ui(ui, desk, o, new),
    }
    if o.kind == ObstacleKindRecord::Wire {
        ui.add(Label::new("Between two supports the higher one counts; what it sags never does").wrap());
        if let Some(sag) = typed_ui(ui, desk, "sag seen (shown, not counted)", Kind::Length, o.sag_m) {
            new.sag_m = Some(sag);
        }
    }
}

/// One after the other along the wire: until the last is given the wire counts as not measured.
fn supports_ui(ui: &mut Ui, desk: Desk, o: &ObstacleRecord, new: &mut ObstacleRecord) {
    let (count, given, name) = (points(&o.at).len(), o.heights_m.len(), point_name(o.kind));
    for i in 0..count.min(given + 1) {
        let label = format!("height at {name} {}", i + 1);
        if let Some(height) = typed_ui(ui, desk, &label, Kind::Length, o.heights_m.get(i).copied()) {
            new.heights_m.truncate(count);
            match new.heights_m.get_mut(i) {
                Some(old) => *old = height,
                None => new.heights_m.push(height),
            }
        }
    }
    if given < count {
        ui.label(format!("given at {given} of {count} {name}s: not measured until all are"));
    }
}
