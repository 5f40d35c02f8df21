//! The aircraft from ahead, to scale, both sides, standing on even ground.
//!
//! Parts carry the number that they have in the list below; heights are those of undersides.

use super::super::drawing::{Drawing, Ink, Reach};
use crate::window::desk::Desk;
use eframe::egui::{Align2, Ui};
use strip::record::{AircraftRecord, PartRecord};

/// Most parts that carry their number on the drawing.
const MOST_NUMBERED: usize = 30;

/// Draws it.
pub(super) fn front_view_ui(ui: &mut Ui, desk: Desk, aircraft: &AircraftRecord) {
    let view = FrontView { desk, aircraft };
    let drawing = Drawing::begin_ui(ui, desk, &view.reach(), &view.words());
    view.draw(&drawing);
}

struct FrontView<'a> {
    desk: Desk<'a>,
    aircraft: &'a AircraftRecord,
}

impl FrontView<'_> {
    fn half_span(&self) -> f64 {
        self.aircraft.wing_span_m / 2.0
    }

    /// Depth of the floats, where the record has the aircraft from the side.
    fn depth(&self) -> Option<f64> {
        self.aircraft.side.as_ref().map(|side| side.float_depth_m)
    }

    /// Rise of the float's bottom from shoe to chine.
    fn rise(&self) -> f64 {
        let keels = &self.aircraft.keels;
        let flank = ((keels.float_beam_m - keels.shoe_width_m) / 2.0).max(0.0);
        flank * keels.deadrise_deg.to_radians().tan()
    }

    /// The part that reaches the farthest out, and of those the lowest there.
    fn tip(&self) -> Option<&PartRecord> {
        let farther = |a: &&PartRecord, b: &&PartRecord| {
            a.to_m.total_cmp(&b.to_m).then(b.to_height_m.total_cmp(&a.to_height_m))
        };
        self.aircraft.parts.iter().max_by(farther)
    }

    /// Lowest underside on the centre line.
    fn lowest_between(&self) -> Option<f64> {
        let on_the_middle = self.aircraft.parts.iter().filter(|p| p.from_m <= 0.0);
        on_the_middle.map(|p| p.from_height_m).min_by(f64::total_cmp)
    }

    fn reach(&self) -> Reach {
        let keels = &self.aircraft.keels;
        let parts = &self.aircraft.parts;
        let floats = keels.spacing_m / 2.0 + keels.float_beam_m / 2.0;
        let wide = parts.iter().map(|p| p.to_m).fold(self.half_span().max(floats), f64::max);
        let high = parts.iter().flat_map(|p| [p.from_height_m, p.to_height_m]);
        let high = high.fold(self.depth().unwrap_or(0.0).max(self.rise()), f64::max);
        // A flat drawing needs some height: that of a shoe.
        Reach { along: (-wide, wide), up: (0.0, high.max(keels.shoe_width_m)), rows_below: 2 }
    }

    /// What is drawn, for those who do not see it.
    fn words(&self) -> String {
        let near = |m| self.desk.near(m);
        let keels = &self.aircraft.keels;
        let tips = self
            .tip()
            .map_or_else(String::new, |tip| format!("; {} tips {} up", tip.name, near(tip.to_height_m)));
        let between = self
            .lowest_between()
            .map_or_else(String::new, |low| format!("; lowest between the floats {} up", near(low)));
        format!(
            "From ahead, to scale, standing on even ground, both sides alike: span {}; keels {} apart, shoes {} wide; \
             floats {} wide, deadrise {} degrees{tips}{between}; {} parts, as listed below",
            near(self.aircraft.wing_span_m),
            near(keels.spacing_m),
            near(keels.shoe_width_m),
            near(keels.float_beam_m),
            keels.deadrise_deg,
            self.aircraft.parts.len()
        )
    }

    fn draw(&self, on: &Drawing) {
        on.ground();
        for side in [-1.0, 1.0] {
            self.float(on, side);
            self.parts(on, side);
        }
        self.dimensions(on);
    }

    /// One float: shoe, bottom, and where the depth is known its sides and deck.
    fn float(&self, on: &Drawing, side: f64) {
        let keels = &self.aircraft.keels;
        let ink = self.desk.palette.ink.get();
        let (keel, shoe, beam) = (keels.spacing_m / 2.0, keels.shoe_width_m / 2.0, keels.float_beam_m / 2.0);
        let (inner, outer) = ((keel - beam).max(0.0), keel + beam.max(shoe));
        let rise = self.rise();
        let mut bottom = vec![
            (side * inner, rise),
            (side * (keel - shoe), 0.0),
            (side * (keel + shoe), 0.0),
            (side * outer, rise),
        ];
        if let Some(depth) = self.depth().filter(|depth| *depth > rise) {
            bottom.extend([(side * outer, depth), (side * inner, depth)]);
            on.body(&bottom);
        } else {
            for ends in bottom.windows(2) {
                on.line(ends[0], ends[1], Ink::solid(ink, 1.5));
            }
        }
        on.line((side * (keel - shoe), 0.0), (side * (keel + shoe), 0.0), Ink::solid(ink, 5.0));
    }

    /// The undersides of the parts on one side; numbers stand on the right.
    fn parts(&self, on: &Drawing, side: f64) {
        let ink = self.desk.palette.lane.get();
        for (i, part) in self.aircraft.parts.iter().enumerate() {
            let (from, to) = ((side * part.from_m, part.from_height_m), (side * part.to_m, part.to_height_m));
            on.line(from, to, Ink::solid(ink, self.desk.tokens.line));
            if side > 0.0 && i < MOST_NUMBERED {
                // Two thirds of the way out, clear of the middle where parts begin.
                let at = (from.0 + (to.0 - from.0) * 0.67, from.1 + (to.1 - from.1) * 0.67);
                on.words(at, (0.0, -3.0), Align2::CENTER_BOTTOM, &(i + 1).to_string(), ink);
            }
        }
    }

    fn dimensions(&self, on: &Drawing) {
        let near = |m| self.desk.near(m);
        let (tip, keel) = (self.half_span(), self.aircraft.keels.spacing_m / 2.0);
        on.dimension_above(-tip, tip, &format!("span {}", near(2.0 * tip)));
        on.dimension_below(-keel, keel, 0.0, &format!("keels {}", near(2.0 * keel)));
        let keels = &self.aircraft.keels;
        let beam = keels.float_beam_m / 2.0;
        on.dimension_below(keel - beam, keel + beam, 1.0, "");
        let float = format!("float {}, deadrise {}°", near(2.0 * beam), keels.deadrise_deg);
        on.below(keel + beam, 1.0, Align2::LEFT_CENTER, &format!("  {float}"));
        if let Some(part) = self.tip() {
            on.height(
                part.to_m,
                part.to_height_m,
                &format!("{} up", near(part.to_height_m)),
                Align2::RIGHT_CENTER,
            );
        }
        if let Some(low) = self.lowest_between() {
            on.height(0.0, low, &format!("{} up", near(low)), Align2::CENTER_CENTER);
        }
    }
}
