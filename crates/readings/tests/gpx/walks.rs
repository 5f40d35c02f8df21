//! Walks that can be used, and what they become.

use crate::field::{self, Gpx, area, corners, hazards, note, rectangle};
use measure::Metres;
use proptest::prelude::*;
use readings::{AccuracyFrom, ImportOptions, Imported, Note, import_gpx};
use strip::record::{EdgeRecord, HazardKindRecord, How, PlaceRecord, StripRecord, SurveyedRecord};
use strip::{Settings, Strip};

fn import(gpx: &Gpx) -> Imported {
    import_with(gpx, &ImportOptions::default())
}

#[track_caller]
fn import_with(gpx: &Gpx, options: &ImportOptions) -> Imported {
    let imported = import_gpx("walk.gpx", gpx.text().as_bytes(), options).expect("a walk that can be used");
    let Imported { record, notes } = &imported;
    let text = strip::text::write(record).expect("can be written");
    assert_eq!(&strip::text::parse::<StripRecord>("strip", text.as_bytes()).expect("reads back"), record);
    Strip::new(record, &options.settings).expect("a valid strip");
    assert!(notes.iter().all(|n| !n.to_string().is_empty()));
    imported
}

#[test]
fn a_walk_round_a_rectangle_has_four_corners() {
    let imported = import(&Gpx::new().track(&rectangle(0.0, 0.0, 120.0, 300.0), 1));
    let corners = corners(&imported);
    assert_eq!(corners.len(), 4, "{corners:?}");
    for (found, expected) in corners.iter().zip([(0.0, 0.0), (120.0, 0.0), (120.0, 300.0), (0.0, 300.0)]) {
        let away = (found.0 - expected.0).hypot(found.1 - expected.1);
        assert!(away < 0.01, "{found:?} is not {expected:?}");
    }
    let sigma = imported.record.outline.corners[0].sigma_m;
    assert_eq!(sigma, Some(7.5), "5 m by phone and half of it for simplifying");
}

#[test]
fn a_walk_that_starts_in_the_middle_of_a_side_has_four_corners() {
    let mut walk = rectangle(0.0, 0.0, 120.0, 300.0);
    walk.pop();
    walk.rotate_left(30);
    assert_eq!(corners(&import(&Gpx::new().track(&walk, 1))).len(), 4);
}

#[test]
fn only_the_outline_counts_as_surveyed_and_its_edges_as_hard() {
    let imported = import(&Gpx::new().track(&rectangle(0.0, 0.0, 120.0, 300.0), 1));
    let survey = &imported.record.survey;
    let by = "walked, from walk.gpx".to_owned();
    let on = "2026-04-02".to_owned();
    assert_eq!(survey.outline, SurveyedRecord::Measured { on, by, how: How::Phone });
    let rest = [&survey.hazards, &survey.ground, &survey.levels, &survey.approaches, &survey.wires];
    assert!(
        rest.iter().all(|s| **s == SurveyedRecord::NotLooked) && survey.drains == SurveyedRecord::NotLooked
    );
    assert_eq!(imported.record.outline.edges, vec![EdgeRecord::Wall(5.0); 4]);
    assert!(imported.record.cover.is_none());
}

#[test]
fn a_walk_without_times_does_not_count_as_surveyed() {
    let imported = import(&Gpx::new().untimed_track(&rectangle(0.0, 0.0, 120.0, 300.0)));
    assert_eq!(imported.record.survey.outline, SurveyedRecord::NotLooked);
    assert!(imported.notes.contains(&Note::NoDate));
}

#[test]
fn a_walk_that_ends_far_from_its_start_does_not_count_as_surveyed() {
    let mut walk = rectangle(0.0, 0.0, 120.0, 300.0);
    walk.truncate(walk.len() - 200);
    let imported = import(&Gpx::new().track(&walk, 1));
    assert_eq!(imported.record.survey.outline, SurveyedRecord::NotLooked);
    let length = note(&imported, |n| if let Note::NotWalked { length } = n { Some(*length) } else { None });
    // Of the 200 m that were not walked, each end of the walk vouches for 2.45 x 5 m / sqrt 2 and twice
    // the tolerance of 2.5 m, together 13.66 m.
    assert!((length.to_m() - (200.0 - 2.0 * 13.66)).abs() < 0.5, "{length:?}");
}

#[test]
fn a_walk_that_passes_its_start_again_is_one_simple_ring() {
    let mut walk = rectangle(0.0, 0.0, 120.0, 300.0);
    // Forty metres further along the first side, weaving across it.
    walk.extend((1..40).map(|i| (f64::from(i), if i % 4 < 2 { 1.2 } else { -1.2 })));
    let imported = import(&Gpx::new().track(&walk, 1));
    assert!((area(&imported) - 120.0 * 300.0).abs() < 0.01 * 120.0 * 300.0, "{}", area(&imported));
    assert!(
        matches!(imported.record.survey.outline, SurveyedRecord::Measured { .. }),
        "{:?}",
        imported.notes
    );
    assert!(imported.record.hazards.is_empty(), "{:?}", imported.record.hazards);
}

#[test]
fn a_walk_round_twice_is_the_field_once() {
    let mut walk = rectangle(0.0, 0.0, 120.0, 300.0);
    walk.extend(rectangle(1.0, 1.0, 118.0, 298.0));
    let imported = import(&Gpx::new().track(&walk, 1));
    assert!((area(&imported) - 120.0 * 300.0).abs() < 0.02 * 120.0 * 300.0);
    assert!(imported.notes.contains(&Note::WalkedTwice) && imported.record.hazards.is_empty());
}

/// Lobes of 200 x 200 m and 60 x 60 m that meet in a corner.
#[test]
fn of_a_figure_of_eight_the_larger_lobe_is_the_outline_and_the_note_says_what_went() {
    let mut walk = rectangle(0.0, 0.0, 200.0, 200.0);
    walk.extend(rectangle(0.0, 0.0, -60.0, -60.0));
    let imported = import(&Gpx::new().track(&walk, 1));
    assert!((area(&imported) - 40_000.0).abs() < 1.0, "{}", area(&imported));
    let left = note(&imported, |n| if let Note::LoopsLeftOut { area } = n { Some(*area) } else { None });
    assert!((left.to_m2() - 3_600.0).abs() < 1.0, "{left:?}");
}

#[test]
fn a_pond_walked_round_inside_the_field_blocks() {
    for reversed in [false, true] {
        let mut walk = rectangle(0.0, 0.0, 200.0, 400.0);
        let mut pond = rectangle(80.0, 150.0, 60.0, 60.0);
        if reversed {
            pond.reverse();
        }
        walk.extend(pond);
        walk.push((0.0, 0.0));
        let imported = import(&Gpx::new().untimed_track(&walk));
        assert!((area(&imported) - 80_000.0).abs() < 1.0);
        let blocks = hazards(&imported).iter().any(|h| match &h.at {
            PlaceRecord::Area(ring) => field::ring_area(ring) > 3_500.0,
            _ => false,
        });
        assert!(blocks, "{:?}", imported.record.hazards);
        assert!(imported.notes.iter().any(|n| matches!(n, Note::WalkedInside { .. })));
    }
}

/// Out along a spur eighty metres long and back, on the same line to the millimetre or a metre beside it:
/// its tip must be met either as a corner of the outline or as a hazard.
#[test]
fn a_spur_of_hedge_walked_out_and_back_blocks() {
    for aside in [0.0, 1.0, -1.0] {
        let mut walk = rectangle(0.0, 0.0, 200.0, 400.0);
        let at = walk.iter().position(|&p| p == (200.0, 200.0)).expect("on the east side");
        let out = (1..=80).map(|i| (200.0 - f64::from(i), 200.0));
        let back = (0..80).rev().map(|i| (200.0 - f64::from(i), 200.0 + aside));
        let rest = walk.split_off(at + 1);
        walk.extend(out.chain(back).chain(rest));
        let imported = import(&Gpx::new().track(&walk, 1));
        let lines = hazards(&imported).iter().filter_map(|h| match &h.at {
            PlaceRecord::Line(line) => Some(line.clone()),
            _ => None,
        });
        let met: Vec<(f64, f64)> = lines.flatten().chain(corners(&imported)).collect();
        assert!(met.iter().any(|p| (p.0 - 120.0).hypot(p.1 - 200.0) < 1.5), "{aside}: {met:?}");
    }
}

#[test]
fn a_jump_that_nobody_can_walk_is_left_out() {
    let mut walk = rectangle(0.0, 0.0, 120.0, 300.0);
    walk[300] = (900.0, 900.0);
    walk[0] = (-3_000.0, 10.0);
    let imported = import(&Gpx::new().track(&walk, 1));
    assert!((area(&imported) - 120.0 * 300.0).abs() < 400.0, "{}", area(&imported));
    let walk = "track 1".to_owned();
    assert!(imported.notes.contains(&Note::TooFast { walk, count: 2 }), "{:?}", imported.notes);
}

#[test]
fn a_second_track_is_an_area_that_blocks_the_whole_aircraft() {
    let gpx =
        Gpx::new().track(&rectangle(0.0, 0.0, 200.0, 400.0), 1).track(&rectangle(50.0, 100.0, 30.0, 40.0), 1);
    let imported = import(&gpx);
    let [hazard] = hazards(&imported) else { panic!("{:?}", imported.record.hazards) };
    assert_eq!((hazard.kind, hazard.height_m, hazard.depth_m), (HazardKindRecord::Unidentified, None, None));
    let PlaceRecord::Area(ring) = &hazard.at else { panic!("{hazard:?}") };
    assert!((field::ring_area(ring) - 1_200.0).abs() < 0.1, "{ring:?}");
    assert_eq!((hazard.id.as_str(), hazard.pos_sigma_m), ("area1", Some(7.5)));
}

#[test]
fn a_second_track_along_a_drain_is_a_line_that_blocks() {
    let drain: Vec<(f64, f64)> = (0..100).map(|i| (60.0, 50.0 + f64::from(i))).collect();
    let imported = import(&Gpx::new().track(&rectangle(0.0, 0.0, 200.0, 400.0), 1).track(&drain, 1));
    let [hazard] = hazards(&imported) else { panic!("{:?}", imported.record.hazards) };
    let PlaceRecord::Line(line) = &hazard.at else { panic!("{hazard:?}") };
    let north = line.iter().map(|p| p.1).fold(f64::MIN, f64::max);
    assert!((north - 149.0).abs() < 0.01 && hazard.radius_m > 0.0, "{line:?}");
}

#[test]
fn waypoints_are_hazards_of_the_kind_that_their_words_name() {
    let gpx = Gpx::new()
        .waypoint(10.0, 20.0, "<name>r1</name><desc>Large ROCK</desc>")
        .waypoint(11.0, 20.0, "<name>r1</name><sym>Stump</sym>")
        .waypoint(12.0, 20.0, "<name>w4</name><type>hole</type>")
        .waypoint(13.0, 20.0, "")
        .waypoint(14.0, 20.0, "<name>Start of the walk</name>")
        .track(&rectangle(0.0, 0.0, 120.0, 300.0), 1);
    let imported = import(&gpx);
    let found: Vec<(&str, HazardKindRecord)> =
        hazards(&imported).iter().map(|h| (h.id.as_str(), h.kind)).collect();
    let expected = [
        ("r1", HazardKindRecord::Rock),
        ("w2", HazardKindRecord::Stump),
        ("w4", HazardKindRecord::Hole),
        ("w5", HazardKindRecord::Unidentified),
        ("Start of the walk", HazardKindRecord::Unidentified),
    ];
    assert_eq!(found, expected);
    let rock = &hazards(&imported)[0];
    let PlaceRecord::Point(e, n) = rock.at else { panic!("{rock:?}") };
    assert!((e - 10.0).hypot(n - 20.0) < 0.01);
    assert_eq!((rock.radius_m, rock.height_m, rock.pos_sigma_m), (0.5, None, Some(5.0)));
    assert_eq!(imported.record.survey.hazards, SurveyedRecord::NotLooked);
}

#[test]
fn a_waypoint_far_from_the_field_is_left_out_and_named() {
    let gpx =
        Gpx::new().waypoint(-30_000.0, 0.0, "<name>home</name>").track(&rectangle(0.0, 0.0, 120.0, 300.0), 1);
    let imported = import(&gpx);
    assert!(imported.record.hazards.is_empty());
    assert!(imported.notes.contains(&Note::WaypointFarAway { waypoint: "home".to_owned() }));
}

#[test]
fn a_given_accuracy_stands_and_a_bad_dilution_makes_the_method_worse() {
    let gpx = Gpx::new().with_dilution(3.6).track(&rectangle(0.0, 0.0, 120.0, 300.0), 1);
    let by_receiver = import(&gpx);
    assert_eq!(by_receiver.record.outline.corners[0].sigma_m, Some(20.5), "3.6 x 5 m and 2.5 m");
    let sigma = Metres::m(18.0);
    assert!(by_receiver.notes.contains(&Note::Accuracy { sigma, from: AccuracyFrom::Dilution }));
    let options = ImportOptions { sigma: Some(Metres::m(0.3)), ..ImportOptions::default() };
    let given = import_with(&gpx, &options);
    assert_eq!(given.record.outline.corners[0].sigma_m, Some(0.45));
}

#[test]
fn the_method_sets_the_accuracy() {
    let settings = Settings { sigma_phone_m: 8.0, ..Settings::default() };
    let gpx = Gpx::new().track(&rectangle(0.0, 0.0, 120.0, 300.0), 1);
    let imported = import_with(&gpx, &ImportOptions { settings, ..ImportOptions::default() });
    assert_eq!(imported.record.outline.corners[0].sigma_m, Some(12.0));
}

#[test]
fn a_route_is_taken_where_there_is_no_track_but_not_as_surveyed() {
    let imported = import(&Gpx::new().route(&[(0.0, 0.0), (120.0, 0.0), (120.0, 300.0), (0.0, 300.0)]));
    assert_eq!(imported.record.survey.outline, SurveyedRecord::NotLooked);
    assert!(imported.notes.contains(&Note::RouteTaken) && corners(&imported).len() == 4);
}

#[test]
fn elevation_comes_from_the_first_fix_and_is_said_to_be_missing_where_it_is() {
    let walk = rectangle(0.0, 0.0, 120.0, 300.0);
    let with = import(&Gpx::new().with_elevation(212.5).track(&walk, 1));
    assert!((with.record.datum.height_m - 212.5).abs() < 1e-12);
    assert!(!with.notes.contains(&Note::ElevationUnknown));
    let without = import(&Gpx::new().track(&walk, 1));
    assert!(without.record.datum.height_m.abs() < 1e-12);
    assert!(without.notes.contains(&Note::ElevationUnknown));
}

#[test]
fn the_same_bytes_give_the_same_record() {
    let gpx = Gpx::new().waypoint(1.0, 2.0, "").track(&rectangle(0.0, 0.0, 120.0, 300.0), 1);
    assert_eq!(import(&gpx), import(&gpx));
}

/// A walk of random corners: tangled, and valid all the same.
fn tangle() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((-200.0..200.0_f64, -200.0..200.0_f64), 3..40)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_tangled_walk_gives_no_outline_larger_than_its_own_hull(walk in tangle()) {
        let text = Gpx::new().untimed_track(&walk).text();
        // A tangle so thin that it goes round nothing is refused, which is no outline at all.
        if let Ok(imported) = import_gpx("walk.gpx", text.as_bytes(), &ImportOptions::default()) {
            let hull = field::hull_about_first(&walk);
            for (e, n) in corners(&imported) {
                prop_assert!(field::is_within(&hull, (e, n), 0.002), "({e}, {n}) beyond {hull:?}");
            }
            prop_assert!(area(&imported) <= field::ring_area(&hull) + 1.0);
            Strip::new(&imported.record, &Settings::default()).expect("a valid strip");
        }
    }

    #[test]
    fn a_walk_with_noise_keeps_its_area_and_its_standing(
        noise in prop::collection::vec((-0.5..0.5_f64, -0.5..0.5_f64), 841),
    ) {
        let walk = rectangle(0.0, 0.0, 120.0, 300.0);
        let noisy: Vec<(f64, f64)> = walk.iter().zip(&noise).map(|(p, d)| (p.0 + d.0, p.1 + d.1)).collect();
        let imported = import(&Gpx::new().track(&noisy, 1));
        prop_assert!((area(&imported) / 36_000.0 - 1.0).abs() < 0.03, "{}", area(&imported));
        prop_assert!(corners(&imported).len() < 12, "{:?}", imported.record.outline.corners);
        prop_assert!(imported.record.hazards.is_empty());
        let measured = matches!(imported.record.survey.outline, SurveyedRecord::Measured { .. });
        prop_assert!(measured, "{:?}", imported.notes);
    }
}
