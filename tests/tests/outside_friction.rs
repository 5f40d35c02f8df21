//! Normal scores, drag tests and what recoveries teach against outside sources.
//!
//! Each table's head names its source; values computed with a library were computed apart from this
//! program (`oracle/friction.py`, its answers in `oracle/friction.jsonl`, and what is pasted here).

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use acceptance::{Kind, Rows};
use measure::{
    CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres, normal,
    share_at_most, student, tolerance,
};
use serde::Deserialize;
use slide::drag_test::reduce;
use slide::{
    Belief, Body, Conditions, Cover, DragTest, Friction, Pull, Recovered, Shares, Sledge, Surface, Taken,
    Wetness, friction_shown, learned, prior,
};
use std::path::Path;

#[test]
fn normal_scores() {
    let mut rows = Rows::new("normal quantiles", "SciPy 1.17.1, stats.norm.ppf", Kind::Library);
    for (p, score) in [
        (0.80, 0.841_621),
        (0.90, 1.281_552),
        (0.95, 1.644_854),
        (0.975, 1.959_964),
        (0.99, 2.326_348),
        (0.995, 2.575_829),
        (0.999, 3.090_232),
    ] {
        rows.row(format!("score of {p}"), score, normal::quantile(p), 6e-7);
        rows.row(format!("score of {p}, from the other tail"), -score, normal::quantile(1.0 - p), 6e-7);
    }
    rows.finish();

    // Arguments as the f64 they are; 50 digits, so only ours is rounded.
    let mut exact =
        Rows::new("normal quantiles, all digits", "mpmath 1.3.0, erfinv and erfc, 50 digits", Kind::Library);
    for (p, score) in MPMATH_SCORES {
        exact.row(format!("score of {p}"), score, normal::quantile(p), 4.0 * f64::EPSILON * score.abs());
        let condition = 1.0 + score * score;
        exact.row(format!("share of {score}, over {p}"), 1.0, normal::cdf(score) / p, 4e-16 * condition);
    }
    exact.finish();
}

/// Shares and their scores.
const MPMATH_SCORES: [(f64, f64); 9] = [
    (1e-300, -37.047_096_299_361_2),
    (1e-100, -21.273_453_560_965_325),
    (1e-20, -9.262_340_089_798_408),
    (1e-9, -5.997_807_015_007_687),
    (0.001, -3.090_232_306_167_813_5),
    (0.05, -1.644_853_626_951_472_7),
    (0.2, -0.841_621_233_572_914_2),
    (0.45, -0.125_661_346_855_074),
    (0.4999, -0.000_250_662_830_088_007_5),
];

#[test]
fn students_t() {
    let mut rows = Rows::new("Student's t", "SciPy 1.17.1, stats.t.ppf", Kind::Library);
    for (p, n, t) in [
        (0.975, 1, 12.706_205),
        (0.975, 2, 4.302_653),
        (0.975, 3, 3.182_446),
        (0.975, 4, 2.776_445),
        (0.975, 5, 2.570_582),
        (0.975, 9, 2.262_157),
        (0.975, 19, 2.093_024),
        (0.975, 29, 2.045_230),
        (0.95, 1, 6.313_752),
        (0.95, 2, 2.919_986),
        (0.95, 3, 2.353_363),
        (0.95, 4, 2.131_847),
        (0.95, 5, 2.015_048),
        (0.95, 9, 1.833_113),
        (0.95, 19, 1.729_133),
    ] {
        rows.row(format!("t of {p} with {n}"), t, student::quantile(p, n), 6e-7);
        rows.row(format!("t of 1 - {p} with {n}"), -t, student::quantile(1.0 - p, n), 6e-7);
    }
    rows.finish();
}

#[test]
fn tolerance_factors() {
    let source = "SciPy 1.17.1, stats.nct.ppf(0.95, n - 1, norm.ppf(cover) root n) / root n";
    let mut rows = Rows::new("one-sided tolerance factors, 95 % confidence", source, Kind::Library);
    for (cover, n, k) in [
        (0.95, 3, 7.655_90),
        (0.95, 4, 5.143_87),
        (0.95, 5, 4.202_68),
        (0.95, 8, 3.187_29),
        (0.95, 10, 2.910_96),
        (0.95, 15, 2.566_00),
        (0.95, 20, 2.396_00),
        (0.95, 30, 2.219_84),
        (0.90, 3, 6.155_28),
        (0.90, 5, 3.406_63),
        (0.90, 10, 2.354_64),
        (0.90, 20, 1.925_99),
    ] {
        rows.row(format!("{cover} of all, {n} readings"), k, tolerance::factor(n, cover, 0.95), 6e-6);
    }
    rows.finish();
}

#[test]
fn what_was_seen_seldom_or_never() {
    let source = "Clopper and Pearson's bound, SciPy 1.17.1, stats.beta.ppf(confidence, hits + 1, n - hits)";
    let mut rows = Rows::new("share of what was seen seldom or never", source, Kind::Library);
    for (hits, n, confidence, share) in [
        (0, 10, 0.95, 0.258_866),
        (0, 20, 0.95, 0.139_108),
        (0, 59, 0.95, 0.049_508),
        (0, 10, 0.975, 0.308_497),
        (1, 10, 0.975, 0.445_016),
        (2, 20, 0.975, 0.316_983),
        (5, 10, 0.975, 0.812_914),
        (3, 100, 0.975, 0.085_176),
    ] {
        rows.row(format!("{hits} in {n} at {confidence}"), share, share_at_most(hits, n, confidence), 6e-7);
    }
    rows.row("10 in 10".to_owned(), 1.0, share_at_most(10, 10, 0.975), 0.0);
    rows.finish();
}

#[test]
fn log_normal_percentiles() {
    let mut rows = Rows::new("log-normal percentiles", "SciPy 1.17.1, stats.lognorm.ppf", Kind::Library);
    let belief = Belief::even(0.4, 0.15);
    for (p, value) in [
        (0.01, 0.282_171),
        (0.05, 0.312_541),
        (0.10, 0.330_046),
        (0.90, 0.484_781),
        (0.95, 0.511_932),
        (0.99, 0.567_033),
    ] {
        rows.row(format!("median 0.4, 0.15, {p}"), value, belief.quantile(normal::quantile(p)), 6e-7);
    }
    rows.row("median 0.4, 0.15, its own P05", 0.312_541, belief.p05(), 6e-7);
    rows.row("median 0.4, 0.15, its own P95", 0.511_932, belief.p95(), 6e-7);
    // Mean 0.35 and coefficient of variation 0.20.
    let belief = Belief::even((-1.069_432_f64).exp(), 0.198_042);
    rows.row("mean 0.35, cv 0.20, P05", 0.247_788, belief.p05(), 1e-6);
    rows.row("mean 0.35, cv 0.20, P95", 0.475_360, belief.p95(), 1e-6);
    rows.finish();
}

fn pull(force: f64, weight: f64, hitch_rad: f64, slope: f64) -> Pull {
    Pull { force: Newtons::n(force), weight: Newtons::n(weight), hitch_rad, slope: Slope::ratio(slope) }
}

fn coefficient(force: f64, weight: f64, hitch_rad: f64, slope: f64) -> f64 {
    pull(force, weight, hitch_rad, slope).coefficient().unwrap_or(f64::NAN)
}

/// The pull that shows this coefficient with a weight of 1 N, found by halving.
fn pull_that_shows(mu: f64, hitch_rad: f64, slope: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if coefficient(middle, 1.0, hitch_rad, slope) < mu { low = middle } else { high = middle }
    }
    low
}

#[test]
fn sledges_on_pasture() {
    let mut rows = Rows::new(
        "stone boat of 1000 lb on hay ground, pulls in pounds",
        "field-measured draft, flofarm.org \"Draft buffers\" p. 2 (copy); F cos b/(W - F sin b), arithmetic in Python",
        Kind::Handbook,
    );
    for (hitch, load, force, mu) in [
        (0.0, "at the back", 428.0, 0.428),
        (0.0, "even", 491.0, 0.491),
        (0.0, "in front", 514.0, 0.514),
        (20.0, "at the back", 368.0, 0.395_598_23),
        (20.0, "even", 452.0, 0.502_410_22),
        (20.0, "in front", 513.0, 0.584_641_34),
    ] {
        // In newtons on both sides: the pound cancels, as it must.
        let lbf = 4.448_221_615;
        let got = coefficient(force * lbf, 1000.0 * lbf, f64::to_radians(hitch), 0.0);
        rows.row(format!("load {load}, rope {hitch} deg"), mu, got, 1e-8);
    }
    rows.finish();
}

#[test]
fn ropes_above_the_level() {
    let mut rows =
        Rows::new("rope on the level", "F = mu W/(cos b + mu sin b), plain arithmetic", Kind::Standard);
    for (mu, hitch, share, along) in [
        (0.491, 0.0, 0.491_000, 0.491_000),
        (0.491, 20.0, 0.443_291, 0.416_557),
        (0.4, 10.0, 0.379_411, 0.373_646),
        (0.4, 30.0, 0.375_226, 0.324_955),
    ] {
        let b = f64::to_radians(hitch);
        rows.row(format!("mu from F/W {share} at {hitch} deg"), mu, coefficient(share, 1.0, b, 0.0), 2e-6);
        let force = pull_that_shows(mu, b, 0.0);
        rows.row(format!("F/W from mu {mu} at {hitch} deg"), share, force, 6e-7);
        rows.row(format!("along the ground, mu {mu}, {hitch} deg"), along, force * b.cos(), 6e-7);
    }
    rows.finish();
}

#[test]
fn sledges_on_a_grade() {
    // A rope along the slope: the pull over the weight is mu cos a + sin a, the drag factor.
    let mut rows = Rows::new("rope along a grade", "mu cos a +/- sin a, plain arithmetic", Kind::Standard);
    for (mu, grade, down, up) in [
        (0.4, 0.0, 0.400_000, 0.400_000),
        (0.4, 0.02, 0.379_924, 0.419_916),
        (0.4, 0.05, 0.349_563, 0.449_439),
        (0.3, 0.10, 0.199_007, 0.398_015),
        (0.25, 0.02, 0.229_954, 0.269_946),
        (0.5, 0.15, 0.346_128, 0.642_809),
    ] {
        for (name, grade, share) in [("down", -grade, down), ("up", grade, up)] {
            let along = f64::atan(grade);
            rows.row(
                format!("mu from F/W {share} {name} {grade}"),
                mu,
                coefficient(share, 1.0, along, grade),
                6e-7,
            );
            rows.row(
                format!("F/W from mu {mu} {name} {grade}"),
                share,
                pull_that_shows(mu, along, grade),
                6e-7,
            );
        }
    }
    rows.finish();
}

#[test]
fn repeats_of_one_pull() {
    let mut rows = Rows::new(
        "eight repeats",
        "SciPy 1.17.1: numpy mean and std of the logarithms, stats.t.ppf(0.95, 7)",
        Kind::Library,
    );
    let pulls =
        [0.38, 0.42, 0.35, 0.41, 0.44, 0.37, 0.40, 0.36].map(|share| pull(share * 250.0, 250.0, 0.0, 0.0));
    let none = Shares { balance: 0.0, place: 0.0, ..Shares::default() };
    let belief = reduce(&pulls, &none, Sledge::Light, Taken::OnTheDay).expect("a test").belief;
    rows.row("median", EIGHT[0], belief.median, 1e-12);
    rows.row("lower end of the mean, 95 %", EIGHT[1], belief.p05(), 1e-12);
    rows.row("upper end of the mean, 95 %", EIGHT[2], belief.p95(), 1e-12);
    rows.finish();
}

/// Geometric mean and its one-sided 95 % ends.
const EIGHT: [f64; 3] = [0.390_155_478_953_263_2, 0.369_810_337_882_868_2, 0.411_619_909_353_275];

/// Touchdown knots, slide-out feet, V^2/(2 g d), and whether it is one of the dry hard rows.
const LAKE_BED: [(f64, f64, f64, bool); 10] = [
    (207.0, 7920.0, 0.239_51, true),
    (204.0, 8170.0, 0.225_50, true),
    (164.0, 4488.0, 0.265_31, true),
    (175.0, 5702.0, 0.237_77, true),
    (208.0, 4807.0, 0.398_44, true),
    (193.0, 5204.0, 0.316_88, true),
    (187.0, 5808.0, 0.266_54, true),
    (181.0, 3520.0, 0.412_03, false),
    (205.0, 6056.0, 0.307_21, true),
    (221.0, 8968.0, 0.241_10, false),
];

fn no_air() -> Conditions {
    let body = Body {
        mass: Kilograms::kg(1000.0),
        wing_area: SquareMetres::ZERO,
        lift_coefficient: 0.0,
        drag_coefficient: 0.0,
        idle_thrust: Newtons::ZERO,
    };
    let surface = Surface { friction: 0.0, slope: Slope::ZERO };
    Conditions { body, surface, density: CubicDensity::kg_m3(0.0), headwind: Headwind::ZERO }
}

#[test]
fn steel_skids_on_a_dry_lake_bed() {
    let mut rows = Rows::new(
        "slide-outs of a skid aircraft",
        "table after NASA TN D-3331 in a web history (copy); last column V^2/(2 g d), plain arithmetic",
        Kind::Handbook,
    );
    let shown = LAKE_BED.map(|(kt, ft, _, _)| {
        friction_shown(&no_air(), GroundSpeed::mps(kt * 1852.0 / 3600.0), Metres::ft(ft)).unwrap_or(f64::NAN)
    });
    for ((kt, ft, mean, _), got) in LAKE_BED.into_iter().zip(shown) {
        rows.row(format!("{kt} kt, {ft} ft"), mean, got, 6e-6);
    }
    let hard: Vec<f64> = LAKE_BED.iter().zip(shown).filter(|(row, _)| row.3).map(|(_, mu)| mu).collect();
    let n = hard.len() as f64;
    let mean = hard.iter().sum::<f64>() / n;
    let sd = (hard.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (n - 1.0)).sqrt();
    rows.row("mean of the dry hard rows", 0.282_15, mean, 6e-6);
    rows.row("their sample standard deviation", 0.057_17, sd, 6e-6);
    rows.finish();

    // Whole-aircraft means with rolling nose wheels, lift and drag, so not skid coefficients: what they
    // show is how far such figures spread. A prior as wide as theirs covers all of them at 99 %.
    let cv: f64 = sd / mean;
    let as_wide = Belief::even(mean, (1.0 + cv * cv).ln().sqrt());
    let (low, high) = (as_wide.quantile(-normal::quantile(0.995)), as_wide.quantile(normal::quantile(0.995)));
    assert!(hard.iter().all(|mu| (low..=high).contains(mu)), "{low} {high} {hard:?}");
    // And ours for the nearest ground, dry bare soil, is wider than theirs on both sides.
    let ours = Belief::from(prior(Cover::BareSoil, Wetness::Dry));
    assert!(ours.spread_below.min(ours.spread_above) > as_wide.spread_above, "{ours:?} {as_wide:?}");
    let (low, high) = (ours.quantile(-normal::quantile(0.995)), ours.quantile(normal::quantile(0.995)));
    assert!(shown.iter().all(|mu| (low..=high).contains(mu)), "{low} {high} {shown:?}");
}

/// A case of `oracle/friction.py` and its answers.
#[derive(Clone, Debug, Deserialize)]
struct Case {
    name: String,
    prior: [f64; 3],
    #[serde(default)]
    recoveries: Vec<(f64, f64)>,
    #[serde(default)]
    stopped: Vec<(f64, f64)>,
    #[serde(default)]
    tests: Vec<(f64, f64, f64)>,
    #[serde(default)]
    between_days: f64,
    scatter: f64,
    p05: Option<f64>,
    p50: Option<f64>,
    p95: Option<f64>,
    mean_p05: f64,
    mean_p95: f64,
    lowered_p50: Option<f64>,
}

impl Case {
    fn all() -> Vec<Self> {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle/friction.jsonl");
        let text = std::fs::read_to_string(path).expect("the oracle's answers");
        text.lines().map(|line| serde_json::from_str(line).expect("a case")).collect()
    }

    fn prior(&self) -> Belief {
        let [median, p05, p95] = self.prior;
        let ln = |a: f64, b: f64| (a / b).ln() / normal::SCORE_95;
        Belief { median, spread_below: ln(median, p05), spread_above: ln(p95, median) }
    }

    /// What this program makes of it, as quantiles; and what it took days to differ by.
    fn ours(&self) -> (Box<dyn Fn(f64) -> f64>, f64) {
        if self.tests.is_empty() {
            let seen = |stop| {
                move |&(c, own): &(f64, f64)| Recovered::new(c, own, stop).expect("a plausible recovery")
            };
            let all: Vec<Recovered> =
                self.recoveries.iter().map(seen(false)).chain(self.stopped.iter().map(seen(true))).collect();
            let taught = learned(&self.prior(), &all, self.between_days);
            return (Box::new(move |score| taught.belief.quantile(score)), taught.between_days);
        }
        let tests: Vec<DragTest> = self
            .tests
            .iter()
            .map(|&(median, own, scatter)| DragTest {
                belief: Belief::even(median, own.hypot(scatter)),
                scatter,
                sledge: Sledge::Loaded,
            })
            .collect();
        let known = Friction::new(self.prior(), &tests);
        (Box::new(move |score| known.quantile(score)), self.scatter)
    }
}

/// The grid's own error, by doubling it.
const GRID: f64 = 1e-7;

#[test]
fn what_recoveries_and_loaded_tests_teach() {
    let mut rows = Rows::new(
        "friction of the next slide",
        "NumPy 2.4.6 and SciPy 1.17.1, integration on a grid (oracle/friction.py)",
        Kind::Library,
    );
    let cases = Case::all();
    assert!(cases.len() >= 12, "{} cases", cases.len());
    for case in &cases {
        let (quantile, days) = case.ours();
        rows.row(format!("{}: scatter", case.name), case.scatter, days, 1e-12);
        let at = |p: f64| quantile(normal::quantile(p));
        if let (Some(p05), Some(p50), Some(p95)) = (case.p05, case.p50, case.p95) {
            if case.lowered_p50.is_none() {
                rows.row(format!("{}: P05", case.name), p05, at(0.05), GRID);
                rows.row(format!("{}: P50", case.name), p50, at(0.5), GRID);
                rows.row(format!("{}: P95", case.name), p95, at(0.95), GRID);
            } else {
                // The spread is that without the stopped ones.
                rows.row(format!("{}: P05/P50", case.name), p05 / p50, at(0.05) / at(0.5), 3.0 * GRID);
                rows.row(format!("{}: P95/P50", case.name), p95 / p50, at(0.95) / at(0.5), 9.0 * GRID);
            }
        }
        if let Some(median) = case.lowered_p50 {
            rows.row(format!("{}: P50, lowered", case.name), median, at(0.5), GRID);
        }
    }
    rows.finish();
}

#[test]
fn what_recoveries_teach_of_the_mean_itself() {
    // Not shown by the program, but had from it: the next slide's variance less that of the days.
    let mut rows = Rows::new(
        "the strip's mean",
        "NumPy 2.4.6 and SciPy 1.17.1, integration on a grid (oracle/friction.py)",
        Kind::Library,
    );
    for case in Case::all().iter().filter(|c| c.stopped.is_empty()) {
        let (quantile, scatter) = case.ours();
        let spread = (quantile(1.0) / quantile(0.0)).ln();
        let of_mean = (spread * spread - scatter * scatter).sqrt();
        let ratio = (2.0 * normal::SCORE_95 * of_mean).exp();
        // Two percentiles of the grid, each over a coefficient of 0.08 at least.
        rows.row(format!("{}: P95/P05", case.name), case.mean_p95 / case.mean_p05, ratio, 5e-6);
    }
    rows.finish();
}
