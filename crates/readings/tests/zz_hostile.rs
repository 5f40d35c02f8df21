//! x
use readings::*;
use std::fmt::Write;
use std::time::Instant;
fn run(name: &str, text: &str) {
    let t = Instant::now();
    let r = import_gpx("x.gpx", text.as_bytes(), &ImportOptions::default());
    println!(
        "{name}: {} bytes {:?} {}",
        text.len(),
        t.elapsed(),
        match &r {
            Ok(i) =>
                format!("ok {} corners {} hazards", i.record.outline.corners.len(), i.record.hazards.len()),
            Err(e) => e.to_string().chars().take(200).collect(),
        }
    );
    if std::env::var("NOTES").is_ok() {
        if let Ok(i) = &r {
            for n in &i.notes {
                println!("   {}", n.to_string().chars().take(300).collect::<String>());
            }
        }
    }
}
struct R(u64);
impl R {
    fn n(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
}
fn trk(p: &[(f64, f64)]) -> String {
    let mut s = "<gpx version=\"1.1\"><trk><trkseg>".to_string();
    for (a, b) in p {
        write!(s, "<trkpt lat=\"{a:.8}\" lon=\"{b:.8}\"/>").unwrap();
    }
    s + "</trkseg></trk></gpx>"
}
#[test]
fn hostile() {
    let mut r = R(88172645463325252);
    let m = 1.0 / 111_000.0;
    let tangle: Vec<_> = (0..20000).map(|_| (10.0 + r.n() * 0.004, 20.0 + r.n() * 0.004)).collect();
    run("tangle 400 m", &trk(&tangle));
    let tangle: Vec<_> = (0..3000).map(|_| (10.0 + r.n() * 0.1, 20.0 + r.n() * 0.1)).collect();
    run("tangle 11 km, 3000", &trk(&tangle));
    let tangle: Vec<_> = (0..20000).map(|_| (10.0 + r.n() * 0.1, 20.0 + r.n() * 0.1)).collect();
    run("tangle 11 km", &trk(&tangle));
    let zig: Vec<_> = (0..20000)
        .map(|i| {
            let s = if i % 2 == 0 { 1.0 } else { -1.0 };
            (10.0 + f64::from(i) * m * 0.5, 20.0 + s * f64::from(i) * m * 0.5)
        })
        .collect();
    run("zigzag", &trk(&zig));
    let comb: Vec<_> = (0..20000)
        .map(|i| {
            let s = if (i / 2) % 2 == 0 { 0.0 } else { 1000.0 };
            (10.0 + f64::from(i) * m * 0.5, 20.0 + s * m)
        })
        .collect();
    run("comb", &trk(&comb));
    let mut x = (0.0, 0.0);
    let brown: Vec<_> = (0..20000)
        .map(|_| {
            x.0 += r.n() - 0.5;
            x.1 += r.n() - 0.5;
            (10.0 + x.0 * m * 3.0, 20.0 + x.1 * m * 3.0)
        })
        .collect();
    run("brown", &trk(&brown));
    let spiral: Vec<_> = (0..20000)
        .map(|i| {
            let a = f64::from(i) * 0.01;
            (10.0 + a.sin() * a * m * 20.0, 20.0 + a.cos() * a * m * 20.0)
        })
        .collect();
    run("spiral", &trk(&spiral));
    let still: Vec<_> = (0..20000).map(|_| (10.0 + r.n() * m * 4.0, 20.0 + r.n() * m * 4.0)).collect();
    run("still", &trk(&still));
    let ring: Vec<_> = (0..20000)
        .map(|i| {
            let a = f64::from(i) * 0.000314159;
            let k = 1.0 + 0.003 * r.n();
            (10.0 + a.sin() * k * m * 200.0, 20.0 + a.cos() * k * m * 200.0)
        })
        .collect();
    run("ring", &trk(&ring));
    let two = format!("{}", trk(&ring[..10000]));
    let two = two.replace("</gpx>", &trk(&tangle[..9999]).replace("<gpx version=\"1.1\">", ""));
    run("two", &two);
    let attrs = (0..60).map(|i| format!(" xmlns:a{i}=\"u\"")).collect::<String>();
    run(
        "attrs",
        &format!("<gpx version=\"1.1\"{attrs}><extensions>{}</extensions></gpx>", "<a/>".repeat(490_000)),
    );
    run(
        "big text",
        &format!(
            "<gpx version=\"1.1\"><metadata><name>{}</name></metadata></gpx>",
            "x&amp;".repeat(1_000_000)
        ),
    );
    run("long attr", &format!("<gpx version=\"1.1\" a=\"{}\"></gpx>", "x".repeat(8_000_000)));
    run("many comments", &format!("<gpx version=\"1.1\">{}</gpx>", "<!---->a".repeat(900_000)));
    run("lt", &"<".repeat(8_000_000));
    run("unterminated quotes", &format!("<gpx {}", "<a b='".repeat(1_000_000)));
    let w: String = (0..10_001)
        .map(|i| format!("<wpt lat=\"10.0001\" lon=\"20.0001\"><name>w{}</name></wpt>", i % 5000))
        .collect();
    run("waypoints", &trk(&ring[..]).replace("<trk>", &format!("{}<trk>", &w)));
    let w: String = (0..9_000)
        .map(|i| format!("<wpt lat=\"10.0001\" lon=\"20.0001\"><name>w{}</name></wpt>", i % 5000))
        .collect();
    run("waypoints", &trk(&ring[..]).replace("<trk>", &format!("{}<trk>", &w)));
    let w: String = (0..99_000).map(|_| "<wpt lat=\"10.0001\" lon=\"20.0001\"/>".to_string()).collect();
    run("waypoints", &trk(&ring[..]).replace("<trk>", &format!("{}<trk>", &w)));
    let many:String=(0..5000).map(|i|format!("<trk><trkseg><trkpt lat=\"10.00{:04}\" lon=\"20\"/><trkpt lat=\"10.0\" lon=\"20.001\"/><trkpt lat=\"10.001\" lon=\"20.001\"/></trkseg></trk>",i)).collect();
    run("many tracks", &format!("<gpx version=\"1.1\">{many}</gpx>"));
}
