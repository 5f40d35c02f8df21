//! Wires by hand, and that each is what it was made from.

use super::*;
use proptest::prelude::*;

fn span(length: f64, rise: f64) -> Span {
    Span { length: Metres::m(length), rise: Metres::m(rise) }
}

#[track_caller]
fn check(got: Metres, by_hand: f64) {
    assert!((got.to_m() - by_hand).abs() < 1e-6, "{got:?} for {by_hand}");
}

#[test]
fn a_parabola_is_worked_by_hand() {
    // 100 m with a = 500 m: sag 100^2/(8 x 500) = 2.5; a quarter along, three quarters of it.
    let wire = Hanging::of_tension(Form::Parabola, span(100.0, 0.0), Metres::m(500.0)).expect("a wire");
    check(wire.sag(), 2.5);
    check(wire.drop_at(Metres::m(25.0)), 1.875);
    check(wire.greatest_tension_over_weight(), 500.0 * 1.01_f64.sqrt());
    // 4 m higher at the far end: level 500 x 4/100 = 20 m nearer the first, where it hangs 30^2/1000 lower.
    let tilted = Hanging::of_tension(Form::Parabola, span(100.0, 4.0), Metres::m(500.0)).expect("a wire");
    check(tilted.level_at(), 30.0);
    check(tilted.lowest().drop, 0.9);
    check(tilted.drop_at(Metres::m(100.0)), -4.0);
    check(tilted.sag(), 2.5);
    // The sag of a length: 5 m longer than 120 m, sqrt(3 x 120 x 5 / 8) = 15.
    check(parabola_sag_of_length(Metres::m(120.0), Metres::m(125.0)), 15.0);
    check(parabola_sag_of_length(Metres::m(120.0), Metres::m(119.0)), 0.0);
}

#[test]
fn a_catenary_is_worked_by_hand() {
    // a = L/2: sag a (cosh 1 - 1), length 2 a sinh 1.
    let wire = Hanging::of_tension(Form::Catenary, span(100.0, 0.0), Metres::m(50.0)).expect("a wire");
    check(wire.sag(), 50.0 * 0.543_080_634_815);
    check(wire.length(), 100.0 * 1.175_201_193_644);
    check(wire.greatest_tension_over_weight(), 50.0 * 1.543_080_634_815);
}

#[test]
fn a_steep_taut_wire_is_lowest_at_its_lower_support() {
    let wire = Hanging::of_tension(Form::Catenary, span(50.0, 30.0), Metres::m(400.0)).expect("a wire");
    assert!(wire.level_at() < Metres::ZERO);
    assert_eq!(wire.lowest(), OnWire { at: Metres::ZERO, drop: Metres::ZERO });
    let falling = Hanging::of_tension(Form::Catenary, span(50.0, -30.0), Metres::m(400.0)).expect("a wire");
    check(falling.lowest().at, 50.0);
    check(falling.lowest().drop, 30.0);
}

#[test]
fn a_wire_that_cannot_be_is_refused_in_words() {
    let refused = |wire: Result<Hanging, BadWire>| wire.expect_err("refused").to_string();
    let level = span(60.0, 0.0);
    assert_eq!(
        refused(Hanging::of_length(level, Metres::m(59.0))),
        "found 59 m, expected a wire longer than the straight line between its supports, within a million times the span"
    );
    assert_eq!(
        refused(Hanging::of_length(span(60.0, 25.0), Metres::m(65.0))),
        "found 65 m, expected a wire longer than the straight line between its supports, within a million times the span"
    );
    assert_eq!(
        refused(Hanging::of_sag(Form::Parabola, level, Metres::ZERO)),
        "found 0 m, expected a sag above 0 m, within a million times the span"
    );
    assert_eq!(
        refused(Hanging::of_tension(Form::Catenary, level, Metres::m(1.0))),
        "found 1 m, expected tension over weight per metre above 0 m, at least a fortieth of the span"
    );
    assert_eq!(
        refused(Hanging::of_tension(Form::Catenary, span(0.0, 1.0), Metres::m(400.0))),
        "found 0 m, expected a span above 0 m between two supports, and the height of one above the other"
    );
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        assert!(Hanging::of_length(level, Metres::m(bad)).is_err());
        assert!(Hanging::of_sag(Form::Catenary, level, Metres::m(bad)).is_err());
        assert!(Hanging::of_tension(Form::Catenary, level, Metres::m(bad)).is_err());
    }
}

fn form() -> impl Strategy<Value = Form> {
    prop_oneof![Just(Form::Catenary), Just(Form::Parabola)]
}

proptest! {
    #[test]
    fn it_goes_through_both_supports_and_never_above_the_line_between(
        form in form(), length in 5.0..500.0_f64, rise in -40.0..40.0_f64, slack in 1e-6..3.0_f64, share in 0.0..1.0_f64,
    ) {
        let span = span(length, rise);
        let wire = Hanging::of_tension(form, span, Metres::m(length / (2.0 * slack))).expect("a wire");
        let size = length + rise.abs() + wire.sag().to_m();
        prop_assert!(wire.drop_at(Metres::ZERO).to_m().abs() < 1e-12 * size);
        prop_assert!((wire.drop_at(span.length).to_m() + rise).abs() < 1e-9 * size);
        let at = Metres::m(share * length);
        let line = -rise * share;
        prop_assert!(wire.drop_at(at).to_m() >= line - 1e-9 * size);
        prop_assert!(wire.drop_at(at).to_m() <= wire.lowest().drop.to_m() + 1e-9 * size);
        prop_assert!(wire.length().to_m() >= length.hypot(rise) * (1.0 - 1e-7));
    }

    #[test]
    fn a_wire_of_a_length_has_that_length(
        length in 5.0..500.0_f64, rise in -40.0..40.0_f64, longer in 1e-7..3.0_f64,
    ) {
        let along = length.hypot(rise) * (1.0 + longer);
        let wire = Hanging::of_length(span(length, rise), Metres::m(along)).expect("a wire");
        prop_assert!((wire.length().to_m() / along - 1.0).abs() < 1e-9, "{} of {along}", wire.length().to_m());
    }

    #[test]
    fn a_wire_of_a_sag_has_that_sag(
        form in form(), length in 5.0..500.0_f64, rise in -40.0..40.0_f64, share in 1e-7..2.0_f64,
    ) {
        let sag = Metres::m(share * length);
        let wire = Hanging::of_sag(form, span(length, rise), sag).expect("a wire");
        prop_assert!((wire.sag() / sag - 1.0).abs() < 1e-6, "{:?} of {sag:?}", wire.sag());
    }

    #[test]
    fn a_tauter_wire_hangs_less_and_a_catenary_more_than_its_parabola(
        length in 5.0..500.0_f64, slack in 1e-3..3.0_f64, by in 0.01..1.0_f64, share in 0.01..0.99_f64,
    ) {
        let drop = |form, slack: f64| {
            let wire = Hanging::of_tension(form, span(length, 0.0), Metres::m(length / (2.0 * slack)));
            wire.expect("a wire").drop_at(Metres::m(share * length))
        };
        prop_assert!(drop(Form::Catenary, slack * (1.0 + by)) > drop(Form::Catenary, slack));
        prop_assert!(drop(Form::Catenary, slack) > drop(Form::Parabola, slack));
    }
}
