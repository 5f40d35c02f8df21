//! The aircraft from the side, to scale, standing on even ground with the keels flat, bow to the left.
//!
//! Not drawn: wing, fuselage and tail, of which the record says nothing.

use super::super::drawing::{Drawing, Ink, Reach};
use crate::window::desk::Desk;
use eframe::egui::{Align2, Ui};
use strip::record::{AircraftRecord, SideRecord};

/// Where the pictures of one aircraft are to be drawn.
struct SideView<'a> {
    desk: Desk<'a>,
    side: &'a SideRecord,
    /// Length of the flat keel, and whether it was measured.
    keel: (f64, bool),
}

/// Draws it.
pub(super) fn side_view_ui(ui: &mut Ui, desk: Desk, aircraft: &AircraftRecord, side: &SideRecord) {
    let assumed = desk.document.edition().settings.keel_length_m;
    let keel = aircraft.keels.length_m.map_or((assumed, false), |m| (m, true));
    let view = SideView { desk, side, keel };
    let drawing = Drawing::begin_ui(ui, desk, &view.reach(), &view.words());
    view.draw(&drawing);
}

impl SideView<'_> {
    /// Height of the line from step to stern post, at the stern.
    fn stern_height(&self) -> f64 {
        (self.side.stern_behind_m - self.keel.0).max(0.0) * self.side.sternpost_deg.to_radians().tan()
    }

    /// Height under the bow of ground that bow and keel would touch together.
    fn bow_ground(&self) -> f64 {
        self.side.bow_behind_m * self.side.bow_limit_deg.to_radians().tan()
    }

    fn propeller_top(&self) -> f64 {
        2.0 * self.side.thrust_line_height_m - self.side.propeller_tip_height_m
    }

    fn reach(&self) -> Reach {
        let side = self.side;
        let centre = side.side_area_behind_m.unwrap_or(0.0);
        let left = [side.bow_behind_m, side.propeller_behind_m, centre];
        let right =
            [side.stern_behind_m, side.propeller_behind_m, side.cg_behind_m.high, centre, self.keel.0];
        let top = [self.propeller_top(), side.cg_height_m.high, side.float_depth_m, self.stern_height()];
        Reach {
            along: (left.into_iter().fold(0.0, f64::min), right.into_iter().fold(0.0, f64::max)),
            up: (self.bow_ground().min(0.0), top.into_iter().fold(0.0, f64::max)),
            rows_below: 3,
        }
    }

    /// What is drawn, for those who do not see it.
    fn words(&self) -> String {
        let (side, near) = (self.side, |m| self.desk.near(m));
        let keel = if self.keel.1 {
            format!("flat keel {} long", near(self.keel.0))
        } else {
            format!("flat keel not measured, drawn {} long", near(self.keel.0))
        };
        let area = side.side_area_m2.zip(side.side_area_behind_m).map_or_else(String::new, |(area, at)| {
            format!("; centre of the side area of {area} m2 {} behind", near(at))
        });
        format!(
            "From the side, to scale, standing on even ground, bow to the left, all measured from the forward end of the \
             flat keel and from the keel line: {keel}; floats from {} to {} behind, {} deep; stern post line at {} degrees; \
             bow first below {} degrees; centre of gravity {} to {} behind, {} to {} up; thrust line {} up; propeller {} \
             behind, lowest tip {} up{area}",
            near(side.bow_behind_m),
            near(side.stern_behind_m),
            near(side.float_depth_m),
            side.sternpost_deg,
            side.bow_limit_deg,
            near(side.cg_behind_m.low),
            near(side.cg_behind_m.high),
            near(side.cg_height_m.low),
            near(side.cg_height_m.high),
            near(side.thrust_line_height_m),
            near(side.propeller_behind_m),
            near(side.propeller_tip_height_m),
        )
    }

    fn draw(&self, on: &Drawing) {
        on.ground();
        self.floats(on);
        self.power(on);
        self.middle(on);
    }

    /// Floats, flat keel, and the lines on which bow or stern would touch.
    fn floats(&self, on: &Drawing) {
        let (side, palette) = (self.side, self.desk.palette);
        let (stern, rise) = (side.stern_behind_m, self.stern_height());
        let deck = side.float_depth_m;
        on.body(&[
            (side.bow_behind_m, deck),
            (0.0, 0.0),
            (self.keel.0, 0.0),
            (stern.max(self.keel.0), rise),
            (stern.max(self.keel.0), deck.max(rise)),
        ]);
        let middle = (f64::midpoint(0.0, self.keel.0), deck / 2.0);
        let depth = format!("floats {} deep", self.desk.near(deck));
        on.words(middle, (0.0, 0.0), Align2::CENTER_CENTER, &depth, palette.ink.get());
        let stern_line = Ink::dashed(palette.does_not_fit.get(), 2.0);
        on.line((self.keel.0, 0.0), (stern, rise), stern_line);
        on.line((0.0, 0.0), (side.bow_behind_m, self.bow_ground()), stern_line);
        on.below(
            side.bow_behind_m,
            0.0,
            Align2::LEFT_CENTER,
            &format!("bow first below {}°", side.bow_limit_deg),
        );
        on.below(stern, 0.0, Align2::RIGHT_CENTER, &format!("stern post {}°", side.sternpost_deg));
        let (keel_ink, text) = if self.keel.1 {
            (Ink::solid(palette.ink.get(), 5.0), format!("flat keel {}", self.desk.near(self.keel.0)))
        } else {
            let text = format!("keel not measured, here {}", self.desk.near(self.keel.0));
            (Ink::dashed(palette.ink.get(), 5.0), text)
        };
        on.line((0.0, 0.0), (self.keel.0, 0.0), keel_ink);
        on.dimension_below(0.0, self.keel.0, 1.0, &text);
        let whole = format!("floats {}", self.desk.near(stern - side.bow_behind_m));
        on.dimension_below(side.bow_behind_m, stern, 2.0, &whole);
    }

    /// Propeller disc from its edge, and the line of thrust.
    fn power(&self, on: &Drawing) {
        let (side, ink) = (self.side, self.desk.palette.slide.get());
        let (x, tip, top) = (side.propeller_behind_m, side.propeller_tip_height_m, self.propeller_top());
        on.line((x, tip), (x, top), Ink::solid(ink, 4.0));
        let text = format!("propeller, lowest tip {} up", self.desk.near(tip));
        on.words((x, top), (8.0, 0.0), Align2::LEFT_CENTER, &text, ink);
        let end = side.stern_behind_m.max(x);
        on.line((x, side.thrust_line_height_m), (end, side.thrust_line_height_m), Ink::dashed(ink, 1.5));
        let text = format!("thrust line {} up", self.desk.near(side.thrust_line_height_m));
        on.words((end, side.thrust_line_height_m), (0.0, -3.0), Align2::RIGHT_BOTTOM, &text, ink);
    }

    /// Where the centre of gravity may be, and the centre of the side area.
    fn middle(&self, on: &Drawing) {
        let (side, palette) = (self.side, self.desk.palette);
        let (behind, up) = (side.cg_behind_m, side.cg_height_m);
        let ink = palette.lane.get();
        on.range((behind.low, up.low), (behind.high, up.high), palette.lane_band.get(), ink);
        let near = |m| self.desk.near(m);
        let along = format!("CG {} to {} behind", near(behind.low), near(behind.high));
        let upward = format!("and {} to {} up", near(up.low), near(up.high));
        let at = (f64::midpoint(behind.low, behind.high), up.low);
        on.words(at, (0.0, 6.0), Align2::CENTER_TOP, &format!("{along}\n{upward}"), ink);
        if let Some(at) = side.side_area_behind_m {
            // The record says how far behind, not how high.
            let ink = palette.sunk.get();
            on.line((at, 0.0), (at, side.float_depth_m), Ink::dashed(ink, 1.5));
            on.lozenge((at, side.float_depth_m), ink);
            on.words((at, side.float_depth_m), (9.0, -1.0), Align2::LEFT_BOTTOM, "side area", ink);
        }
    }
}
