//! A strip, aircraft and day on which a slide is worked out by hand: no wind, no lift, no drag, no
//! thrust, level ground, standard air. Its length is V^2 / (2 mu g), V = 1.3 stall speeds.

use super::Trio;
use ground::Centreline;
use measure::TrueHeading;
use strip::record::{
    CornerRecord, CoverRecord, DirectionRecord, DragTestRecord, EdgeRecord, Ends, GrassRecord, LevelRecord,
    ObstacleKindRecord, ObstacleRecord, OutlineRecord, PlaceRecord, PressureRecord, RecoveryRecord,
    StallRecord, WindRecord,
};
use strip::{AssessedLane, Assessment, Settings, assess_line};

/// Standard gravity, m/s2 (exact by definition).
pub const GRAVITY: f64 = 9.806_65;

/// Touchdown speed of the plain aircraft at its reference mass: 1.3 x 17 m/s.
pub const TOUCHDOWN: f64 = 22.1;

/// Width and length of the plain field.
pub const FIELD: (f64, f64) = (60.0, 600.0);

/// The three records.
pub fn plain() -> Trio {
    let mut trio = Trio::sample("bramblewick-flat");
    let (width, length) = FIELD;
    let corners = [(0.0, 0.0), (width, 0.0), (width, length), (0.0, length)];
    trio.strip.outline = OutlineRecord {
        corners: corners.map(|(e, n)| CornerRecord { e, n, sigma_m: Some(0.0) }).to_vec(),
        edges: vec![EdgeRecord::Open; corners.len()],
        islands: Vec::new(),
    };
    trio.strip.datum.height_m = 0.0;
    trio.strip.hazards.clear();
    trio.strip.obstacles.clear();
    trio.strip.cover = Some(CoverRecord::ShortGrass);
    trio.strip.levels = corners.map(|(e, n)| LevelRecord { e, n, z: 0.0, sigma_m: 0.0 }).to_vec();
    let none = Ends { low: 0.0, high: 0.0 };
    let aircraft = &mut trio.aircraft;
    aircraft.stall = StallRecord::Calibrated { mps: 17.0 };
    (aircraft.lift_coefficient, aircraft.drag_coefficient, aircraft.idle_thrust_n) = (none, none, none);
    let day = &mut trio.day;
    day.wind = WindRecord { from: DirectionRecord::True(0.0), mean_mps: 0.0, gust_mps: 0.0, ..day.wind };
    (day.temperature_c, day.pressure, day.humidity) = (15.0, PressureRecord::Qnh(101_325.0), Some(0.0));
    (day.grass, day.landing_mass_kg) = (Some(GrassRecord::Dry), Some(aircraft.reference_mass_kg));
    trio
}

/// Settings that search coarsely, so that many fields are judged in little time.
pub fn coarse() -> Settings {
    Settings { search_tolerance_m: 5.0, search_by_heading_m: 100.0, ..Settings::default() }
}

/// Settings under which nothing but friction is uncertain and nothing but friction slows: what is worked out by
/// hand.
pub fn by_hand_settings() -> Settings {
    Settings {
        touchdown_factor_low: 1.3,
        stall_sigma: 0.0,
        mass_sigma: 0.0,
        lift_settling_s: 0.0,
        unseen_crest_m: 0.0,
        bounce_sink_mps: 5.0,
        wind_direction_spread_on_field_deg: 0.0,
        ..coarse()
    }
}

/// Every lane, in an order that the geometry alone decides.
pub fn by_place(a: &Assessment) -> Vec<&AssessedLane> {
    let place = |l: &AssessedLane| [l.heading_true_deg, l.near_end[0], l.near_end[1]];
    let mut lanes: Vec<_> = a.lanes.iter().collect();
    lanes.sort_by(|a, b| place(a).partial_cmp(&place(b)).expect("numbers"));
    lanes
}

/// Demand on a lane; one on which it never stops needs more than any length.
pub fn demand(lane: &AssessedLane) -> f64 {
    lane.demand_m.unwrap_or(f64::INFINITY)
}

/// Demand on every lane, by place.
pub fn demands(a: &Assessment) -> Vec<f64> {
    by_place(a).into_iter().map(demand).collect()
}

/// Whether no lane's demand is shorter in the second of two assessments of one geometry.
pub fn nowhere_shorter(before: &Assessment, after: &Assessment) -> bool {
    let (before, after) = (demands(before), demands(after));
    before.len() == after.len() && !before.is_empty() && before.iter().zip(&after).all(|(b, a)| a >= b)
}

/// Pulls of a loaded sledge of a weight, on the day, N.
pub fn drag_test(weight_n: f64, pulls_n: &[f64]) -> DragTestRecord {
    DragTestRecord {
        id: None,
        on: "2026-05-02".to_owned(),
        by: "A. Nonesuch".to_owned(),
        grass: GrassRecord::Dry,
        weight_n: Some(weight_n),
        weight_kg: None,
        pulls_n: pulls_n.to_vec(),
        hitch_deg: 0.0,
        slope: 0.0,
        loaded: true,
        patch: None,
    }
}

/// A tree whose top is known over the datum, nothing about it uncertain.
pub fn tree_at(east: f64, north: f64, top: f64) -> ObstacleRecord {
    ObstacleRecord {
        id: "t9".to_owned(),
        kind: ObstacleKindRecord::Tree,
        at: PlaceRecord::Point(east, north),
        top_m: Some(top),
        height_m: None,
        heights_m: Vec::new(),
        sag_m: None,
        radius_m: 0.0,
        how: None,
        pos_sigma_m: Some(0.0),
        height_sigma_m: Some(0.0),
        surveyed: "2026-05-02".to_owned(),
    }
}

/// A slide of the plain aircraft from 20 m/s in a calm on dry grass, two days before.
pub fn earlier_slide(metres: f64) -> RecoveryRecord {
    RecoveryRecord {
        on: "2026-04-30".to_owned(),
        aircraft: plain().aircraft.id,
        mass_kg: 540.0,
        grass: GrassRecord::Dry,
        touchdown: (30.0, 100.0),
        stopped: (30.0, 100.0 + metres),
        stopped_by: None,
        touchdown_airspeed_mps: Some(20.0),
        headwind_mps: Some(0.0),
    }
}

/// A field judged along its middle toward the north.
pub fn northward(trio: &Trio, settings: Settings) -> AssessedLane {
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, false).expect("a lane")
}
