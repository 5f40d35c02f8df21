//! Figures of an assessment in words, in the units the person likes, for window and text alike.

mod way_in;

pub use way_in::{abandon, clearance, decimals_over, touchdown_window, way_in};

use measure::Metres;
use measure::shown::{Side, Units, rounded};
use strip::{
    AssessedLane, Assessment, AttitudeAt, Certificate, Code, Gain, Missing, Reason, Remedy, Sense,
    TouchdownFigures,
};

/// One reason with its figures, each rounded to the side that hurts.
pub fn reason(r: &Reason, units: Units) -> String {
    let (Some(value), Some(unit)) = (r.value, r.unit) else { return r.text.clone() };
    let (value_side, limit_side, bound) = match r.sense {
        Sense::NotBelow => (Side::AtLeast, Side::AtMost, "at least"),
        Sense::NotAbove => (Side::AtMost, Side::AtLeast, "at most"),
    };
    let show = |v: f64, side: Side| match unit {
        "m" => units.length(Metres::m(v), side, decimals(r.code)),
        "m/s" => units.speed(v, side, 1),
        "kg" => units.mass(v, side, 0),
        "deg" => format!("{} degrees", rounded(v, side, 2)),
        "g" => format!("{} times its weight", rounded(v, side, 2)),
        "%" => format!("{} %", rounded(v, side, 0)),
        other => format!("{} {other}", rounded(v, side, 2)),
    };
    match r.limit {
        Some(limit) => {
            let (value, limit) = (show(value, value_side), show(limit, limit_side));
            format!("{}: {value} (asked: {bound} {limit})", r.text)
        }
        None => format!("{}: {}", r.text, show(value, Side::Nearest)),
    }
}

/// Decimals of a reason's lengths: what lies near the ground is told in centimetres.
const fn decimals(code: Code) -> u8 {
    match code {
        Code::KeelGround | Code::Propeller | Code::WingTip => 2,
        Code::Drift => 1,
        _ => 0,
    }
}

/// One missing measurement: what, its effect, how.
pub fn missing(m: &Missing, units: Units) -> String {
    let id = m.id.as_ref().map_or_else(String::new, |id| format!(" {id}"));
    let effect = m
        .effect_m
        .map_or_else(String::new, |e| format!(" (up to {})", units.length(Metres::m(e), Side::AtMost, 0)));
    format!("{}{id}{effect}: {}", m.what.word().replace('_', " "), m.how)
}

/// What the demand of a lane was worked out from, line by line.
pub fn basis(lane: &AssessedLane, units: Units) -> Vec<String> {
    let b = &lane.basis;
    let share = rounded(lane.demand_share * 100.0, Side::Nearest, 0);
    let percentile = if lane.demand_share < 0.99 { lane.demand_p95_m } else { lane.demand_p99_m };
    let head = if let Some((demand, length)) = lane.demand_m.zip(percentile) {
        // Where another end than the nearer one rules, or the ground changes, the two differ.
        let elsewhere = if (demand - length).abs() < 0.5 {
            String::new()
        } else {
            let (asked, length) = (
                units.length(Metres::m(demand), Side::AtMost, 0),
                units.length(Metres::m(length), Side::AtMost, 0),
            );
            format!(" than {length}, which asks for {asked} before the nearer end")
        };
        format!("{share} of 100 slides are no longer{elsewhere}; one as long is made of:")
    } else {
        format!("fewer than {share} of 100 slides come to rest; a long one that does is made of:")
    };
    vec![
        head,
        format!("friction {} at touchdown: {}", rounded(b.friction, Side::AtLeast, 2), b.friction_source),
        format!(
            "slope {} % at touchdown, {}",
            rounded(b.slope * 100.0, Side::AtLeast, 1),
            if b.slope_measured { "from the levels" } else { "worst taken: no levels there" }
        ),
        format!(
            "touchdown at {} true, {} over the ground; headwind counted {}",
            units.speed(b.touchdown_airspeed_mps, Side::AtMost, 1),
            units.speed(b.touchdown_ground_speed_mps, Side::AtMost, 1),
            units.speed(b.headwind_mps, Side::AtLeast, 1)
        ),
        format!(
            "lift settling in {} s, {} carried without friction (bounce, unseen crest)",
            rounded(b.lift_settling_s, Side::AtMost, 1),
            units.length(Metres::m(b.carried_m), Side::AtMost, 0)
        ),
        format!(
            "mass {}, air {} kg/m3, lift coefficient {}, drag coefficient {}, idle thrust {} N",
            units.mass(b.mass_kg, Side::Nearest, 0),
            rounded(b.density_kg_m3, Side::Nearest, 3),
            b.lift_coefficient,
            b.drag_coefficient,
            rounded(b.idle_thrust_n, Side::AtMost, 0),
        ),
    ]
}

/// Air, sun and magnetic variation of the day, line by line; nothing without a day.
pub fn day(a: &Assessment, units: Units) -> Vec<String> {
    let high = |m: f64| units.length(Metres::m(m), Side::AtMost, 0);
    let degrees = |d: f64| rounded(d, Side::Nearest, 1);
    let air = a.air.as_ref().and_then(|air| {
        let (pressure, density) = (high(air.pressure_altitude_m?), high(air.density_altitude_m?));
        let rho = rounded(air.density_kg_m3?, Side::AtLeast, 3);
        Some(format!("air      pressure altitude {pressure}, density altitude {density}, {rho} kg/m3"))
    });
    let sun = a.sun.as_ref().map(|sun| {
        let height = rounded(sun.elevation_deg, Side::AtLeast, 1);
        format!("sun      {} true, {height} degrees high, at the planned time", degrees(sun.azimuth_true_deg))
    });
    let magnetic = a.magnetic.as_ref().map(|m| {
        let (side, size) = (if m.declination_deg < 0.0 { "west" } else { "east" }, m.declination_deg.abs());
        format!(
            "magnetic variation {} {side} ({}, valid {} to {})",
            degrees(size),
            m.model,
            m.valid_from,
            m.valid_until
        )
    });
    air.into_iter().chain(sun).chain(magnetic).collect()
}

/// How long slides are, and where they stop, line by line.
pub fn chances(lane: &AssessedLane, units: Units) -> Vec<String> {
    let most = |m: f64| units.length(Metres::m(m), Side::AtMost, 0);
    let lengths =
        [("half", lane.demand_p50_m), ("95 in 100", lane.demand_p95_m), ("99 in 100", lane.demand_p99_m)];
    let told: Vec<String> =
        lengths.iter().filter_map(|(share, m)| m.map(|m| format!("{share} within {}", most(m)))).collect();
    let mut out = vec![format!(
        "slides: {}",
        if told.is_empty() { "too many never stop".to_owned() } else { told.join(", ") }
    )];
    if let Some(chance) = lane.overrun_probability {
        let in_thousand = rounded(chance * 1000.0, Side::AtMost, 0);
        out.push(format!(
            "past the end margin from about the aim: {in_thousand} in 1,000 (never told as less than 1)"
        ));
    }
    if let Some(speed) = lane.speed_at_far_end_mps {
        out.push(format!(
            "a slide as long would pass the far end at {}",
            units.speed(speed, Side::AtMost, 1)
        ));
    }
    out
}

/// How the keels meet the ground, line by line.
pub fn touchdown(lane: &AssessedLane, units: Units) -> Vec<String> {
    let t = &lane.touchdown;
    let times = |n: f64, side: Side| rounded(n, side, 1);
    let on_water = t.water_landing_factor.map_or_else(String::new, |n| {
        format!(", on water with a load factor of {}", times(n, Side::AtLeast))
    });
    let mut out = vec![
        format!(
            "flown on, it sinks into the ground at up to {} (ground rising up to {} %), as hard as a fall of {}",
            units.speed(t.sink_mps, Side::AtMost, 1),
            rounded(100.0 * t.slope, Side::AtMost, 1),
            units.length(Metres::m(t.equivalent_drop_m), Side::AtMost, 2)
        ),
        format!(
            "load factor up to {}, at the best {}; up to {} if one float takes it all",
            times(t.load_factor, Side::AtMost),
            times(t.load_factor_least, Side::AtLeast),
            times(t.load_factor_one_float, Side::AtMost)
        ),
        format!(
            "to compare with, no allowance: design rules reckon with a descent of {}{on_water}",
            units.speed(t.design_descent_mps, Side::AtLeast, 1)
        ),
    ];
    out.extend(t.keel_attitude_range_deg.map(|(least, most)| {
        let (least, most) = (rounded(least, Side::AtLeast, 1), rounded(most, Side::AtMost, 1));
        format!("keels to ground at touchdown {least} to {most} degrees, bow up positive")
    }));
    out.extend(t.speed_window.map(|(low, high)| {
        let (low, high) = (rounded(low, Side::AtMost, 2), rounded(high, Side::AtLeast, 2));
        format!("keels surely first from {low} to {high} of the stall speed")
    }));
    out
}

/// What of a lane's balance and drift is told beside the reasons, line by line.
pub fn on_the_keels(lane: &AssessedLane, units: Units) -> Vec<String> {
    let (b, d) = (&lane.balance, &lane.drift);
    let most = |m: f64, decimals: u8| units.length(Metres::m(m), Side::AtMost, decimals);
    let least = |m: f64, decimals: u8| units.length(Metres::m(m), Side::AtLeast, decimals);
    let held = d.heading_held_m.map(|held| {
        let still = d.heading_lost_before_stop_m;
        let still =
            still.map_or_else(String::new, |m| format!(", of another for all but the last {}", most(m, 0)));
        format!("nose held near the lane for {} of the slide that loses it first{still}", least(held, 0))
    });
    let lines = [
        b.softest_ground.map(|name| format!("softest ground that leaves the reserve asked for: {name}")),
        b.keel_sinkage_m.map(|m| format!("keels sink up to {}", most(m, 3))),
        b.ploughing_n.map(|n| {
            let newtons = rounded(n, Side::AtMost, 0);
            format!("ploughing up to {newtons} N against tipping; none is counted on to stop")
        }),
        b.outside_range.map(|why| format!("sinkage is a guess: {why}")),
        d.half_width_at_stop_m.map(|m| format!("up to {} off the centre line at the stop", most(m, 1))),
        held,
    ];
    lines.into_iter().flatten().collect()
}

/// At which of the pilot's speeds the keels surely touch first.
pub fn speed_window(t: &TouchdownFigures, units: Units) -> String {
    if t.keel_limits_deg.is_none() {
        return "nobody knows which speed is safe: the aircraft is not known from the side".to_owned();
    }
    let none = "no speed is safe: at none of the pilot's speeds do the keels surely touch first";
    let Some((low, high)) = t.speed_window.and_then(|w| inside(w, 2)) else { return none.to_owned() };
    let unit = units.speed.metres_per_second();
    let airspeed = t.speed_window_mps.and_then(|(low, high)| inside((low / unit, high / unit), 1));
    let airspeed = airspeed.map_or_else(
        || "but no one airspeed is, at every stall speed, mass and gust there may be".to_owned(),
        |(low, high)| format!("{low} to {high} {} calibrated", units.speed.symbol()),
    );
    format!("safe from {low} to {high} of the stall speed, {airspeed}")
}

/// Both ends of a range rounded inwards, where anything is left of it.
fn inside((low, high): (f64, f64), decimals: u8) -> Option<(String, String)> {
    let ends = (rounded(low, Side::AtMost, decimals), rounded(high, Side::AtLeast, decimals));
    let left = ends.0.parse::<f64>().ok()? <= ends.1.parse::<f64>().ok()?;
    left.then_some(ends)
}

/// The keels at one touchdown speed: "at 1.15 of the stall speed, 18.9 to 20.2 m/s: keels 0.1 to 4.2 degrees ...".
pub fn attitude(at: &AttitudeAt, units: Units) -> String {
    let first = match at.touches_first {
        "keels" => "the keels surely touch first".to_owned(),
        other => format!("{} may touch first", other.replace('_', " ")),
    };
    format!(
        "at {} of the stall speed, {}: keels {} to {} degrees to the ground, {first}",
        rounded(at.factor, Side::Nearest, 2),
        airspeeds(at, units),
        rounded(at.least_deg, Side::AtLeast, 1),
        rounded(at.greatest_deg, Side::AtMost, 1),
    )
}

/// Airspeeds that a speed over the stall speed may be: "18.9 to 20.2 m/s".
pub fn airspeeds(at: &AttitudeAt, units: Units) -> String {
    let unit = units.speed.metres_per_second();
    let (low, high) = (
        rounded(at.airspeed_least_mps / unit, Side::AtLeast, 1),
        rounded(at.airspeed_most_mps / unit, Side::AtMost, 1),
    );
    format!("{low} to {high} {}", units.speed.symbol())
}

/// How sure the longest lane is.
pub fn certificate(c: &Certificate, units: Units) -> String {
    let bound = units.length(Metres::m(c.upper_bound_m), Side::AtMost, 1);
    let covered =
        format!("{} bundles of lines, together every line of the field, were bounded", c.bundles_bounded);
    let gave_up =
        if c.within_tolerance { "" } else { " The search stopped at its limit before the two met." };
    let Some((length, heading)) = c.longest_lane_m.zip(c.heading_true_deg) else {
        return format!("No clear lane longer than {bound} exists ({covered}).{gave_up}");
    };
    format!(
        "Longest clear lane {} at {:03} true; no clear lane longer than {bound} exists ({covered}).{gave_up}",
        units.length(Metres::m(length), Side::AtLeast, 1),
        whole_degrees(heading),
    )
}

/// 0 to 359.
fn whole_degrees(heading: f64) -> u16 {
    heading.round().rem_euclid(360.0) as u16
}

/// What clearing things away would gain: "remove r1: +46 m to spare".
pub fn gain(g: &Gain, units: Units) -> String {
    let more = units.length(Metres::m(g.gain_m), Side::AtLeast, 0);
    let enough = if g.makes_it_fit { ", which is enough" } else { "" };
    format!("remove {}: +{more} to spare{enough}", g.removed.join(" and "))
}

/// What would make it long enough: "land lighter by this much: 34 kg".
pub fn remedy(r: &Remedy, units: Units) -> String {
    let Some((value, unit)) = r.value.zip(r.unit) else { return r.what.help().to_owned() };
    let amount = match unit {
        "m" => units.length(Metres::m(value), Side::AtLeast, 0),
        "m/s" => units.speed(value, Side::AtMost, 1),
        "kg" => units.mass(value, Side::AtMost, 0),
        other => format!("{} {other}", rounded(value, Side::AtMost, 2)),
    };
    format!("{}: {amount}", r.what.help())
}
