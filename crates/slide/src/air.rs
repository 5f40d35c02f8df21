//! The air of a day: standard atmosphere, pressure from QNH, density of moist air, wind near grass.
//!
//! Invariants: pressures and temperatures are absolute; heights in the standard atmosphere are
//! geopotential. Geometric height differs by less than 0.04 % below 2,500 m.
//!
//! Not here: the choice of the worse end of an interval; density is a plain function of its inputs.
//!
//! Sources: ICAO Doc 7488 / ISO 2533 for the standard atmosphere (constants from memory, checked
//! against the tables of a public library); Sonntag 1990 for saturation; the logarithmic wind
//! profile of a neutral surface layer (Stull's textbook form).

use measure::{CubicDensity, Kelvins, Metres, Pascals, STANDARD_GRAVITY};

/// Temperature at sea level in the standard atmosphere, K (ISO 2533).
const SEA_LEVEL_TEMPERATURE: f64 = 288.15;

/// Pressure at sea level in the standard atmosphere, Pa (ISO 2533).
const SEA_LEVEL_PRESSURE: f64 = 101_325.0;

/// Fall of temperature with geopotential height in the troposphere, K/m (ISO 2533).
const LAPSE_RATE: f64 = 0.0065;

/// Specific gas constant of dry air, J/(kg K) (ISO 2533).
const DRY_AIR_GAS_CONSTANT: f64 = 287.052_87;

/// Exponent of pressure against temperature in the troposphere: g0/(R L) = 5.25588.
const PRESSURE_EXPONENT: f64 = STANDARD_GRAVITY / (DRY_AIR_GAS_CONSTANT * LAPSE_RATE);

/// Molar mass of water over that of dry air: 18.01528 (from memory) over 28.9644 (ISO 2533).
const WATER_TO_AIR: f64 = 18.015_28 / 28.964_4;

/// Saturation pressure over water at 0 C, Pa (Sonntag 1990).
const SATURATION_AT_ZERO: f64 = 611.2;

/// Factor in the exponent of the saturation formula (Sonntag 1990).
const SATURATION_FACTOR: f64 = 17.62;

/// Temperature offset in the exponent of the saturation formula, C (Sonntag 1990).
const SATURATION_OFFSET: f64 = 243.12;

/// Temperature of the standard atmosphere.
///
/// # Units
/// Valid from -5,000 m to the tropopause at 11,000 m, geopotential; beyond it the straight line
/// goes on and is no longer the standard atmosphere.
///
/// # References
/// ISO 2533, troposphere: T = 288.15 - 0.0065 H.
pub fn standard_temperature(geopotential: Metres) -> Kelvins {
    Kelvins::k(SEA_LEVEL_TEMPERATURE - LAPSE_RATE * geopotential.to_m())
}

/// Pressure of the standard atmosphere.
///
/// # Units
/// Valid from -5,000 m to 11,000 m, geopotential.
///
/// # References
/// ISO 2533, troposphere: p = 101325 (T/288.15)^5.25588.
pub fn standard_pressure(geopotential: Metres) -> Pascals {
    let ratio = standard_temperature(geopotential).to_k() / SEA_LEVEL_TEMPERATURE;
    Pascals::pa(SEA_LEVEL_PRESSURE * libm::pow(ratio, PRESSURE_EXPONENT))
}

/// Geopotential height at which the standard atmosphere has this pressure: the inverse of
/// [`standard_pressure`].
///
/// # Units
/// Valid from 177,700 Pa down to 22,632 Pa (-5,000 m to 11,000 m).
pub fn pressure_altitude(pressure: Pascals) -> Metres {
    let ratio = libm::pow(pressure.to_pa() / SEA_LEVEL_PRESSURE, 1.0 / PRESSURE_EXPONENT);
    Metres::m((1.0 - ratio) * SEA_LEVEL_TEMPERATURE / LAPSE_RATE)
}

/// Pressure at a place from its elevation and the altimeter setting QNH of the day.
///
/// An altimeter set to QNH reads the elevation on the ground; set to 1013.25 hPa it reads more by
/// the standard height of QNH. The pressure is that of the standard atmosphere there.
///
/// # Units
/// Elevation from -500 m to 5,000 m above sea level, QNH from 90,000 to 108,000 Pa.
///
/// # Example: a low QNH is a thinner day
/// ```
/// use measure::{Metres, Pascals};
/// let low = slide::pressure_from_qnh(Metres::ft(500.0), Pascals::pa(100_000.0));
/// assert!((slide::pressure_altitude(low) / Metres::ft(1.0) - 863.8).abs() < 0.1);
/// ```
pub fn pressure_from_qnh(elevation: Metres, qnh: Pascals) -> Pascals {
    standard_pressure(elevation + pressure_altitude(qnh))
}

/// Saturation pressure of water vapour over water.
///
/// # Units
/// Valid from -45 C to 60 C; over water also below freezing, as relative humidity is reported.
///
/// # References
/// Sonntag 1990, Zeitschrift fuer Meteorologie 70, 340-344: 611.2 exp(17.62 t/(243.12 + t)), as
/// quoted with the WMO Guide to Instruments (2008, p. I.4-29) in the documentation of a public
/// library; neither was opened at its source.
fn saturation_pressure(temperature: Kelvins) -> Pascals {
    let t = temperature.to_celsius();
    Pascals::pa(SATURATION_AT_ZERO * libm::exp(SATURATION_FACTOR * t / (SATURATION_OFFSET + t)))
}

/// Density of moist air.
///
/// Vapour is lighter than the dry air it takes the place of, so a humid day is a thin one.
///
/// # Units
/// Pressure positive, temperature from -45 C to 60 C, relative humidity a share of saturation, from
/// none (0) to all of it (1). The excess of saturation in air over saturation in pure vapour (0.4 %,
/// from memory) is left out: up to 40 C it moves the density by less than 0.02 %.
///
/// # References
/// Ideal gas mixture: rho = (p - (1 - Mw/Md) e)/(R T), e the vapour pressure.
///
/// # Example: dry air at sea level
/// ```
/// use measure::{Kelvins, Pascals};
/// let rho = slide::density(Pascals::pa(101_325.0), Kelvins::celsius(15.0), 0.0);
/// assert!((rho.to_kg_m3() - 1.225).abs() < 1e-6);
/// ```
pub fn density(pressure: Pascals, temperature: Kelvins, relative_humidity: f64) -> CubicDensity {
    let vapour = saturation_pressure(temperature) * relative_humidity;
    let weighing = pressure - vapour * (1.0 - WATER_TO_AIR);
    CubicDensity::kg_m3(weighing.to_pa() / (DRY_AIR_GAS_CONSTANT * temperature.to_k()))
}

/// Density of the standard atmosphere, dry.
///
/// # Units
/// Valid from -5,000 m to 11,000 m, geopotential.
pub fn standard_density(geopotential: Metres) -> CubicDensity {
    density(standard_pressure(geopotential), standard_temperature(geopotential), 0.0)
}

/// Geopotential height at which the standard atmosphere, dry, has this density: what the wing feels as the height
/// of the place.
///
/// # Units
/// Valid from 1.93 kg/m3 down to 0.364 kg/m3 (-5,000 m to 11,000 m).
///
/// # References
/// The inverse of [`standard_density`]: rho = 1.225 (T/288.15)^4.25588, T = 288.15 - 0.0065 H.
///
/// # Example: a hot day at sea level
/// ```
/// use measure::{Kelvins, Metres, Pascals};
/// let rho = slide::density(Pascals::pa(101_325.0), Kelvins::celsius(30.0), 0.0);
/// assert!((slide::density_altitude(rho) / Metres::ft(1.0) - 1723.9).abs() < 0.1);
/// ```
pub fn density_altitude(density: CubicDensity) -> Metres {
    let sea_level = standard_density(Metres::ZERO);
    let ratio = libm::pow(density / sea_level, 1.0 / (PRESSURE_EXPONENT - 1.0));
    Metres::m((1.0 - ratio) * SEA_LEVEL_TEMPERATURE / LAPSE_RATE)
}

/// Wind at one height over the wind at another, above ground of this roughness length.
///
/// At and below the roughness length the law has no wind, and the ratio is 0.
///
/// # Units
/// All positive; the reference height above the roughness length, or the ratio has no meaning.
///
/// # References
/// Logarithmic profile of a neutral surface layer: ln(z/z0)/ln(r/z0).
///
/// # Example: at wing height over grass, of a wind reported at 10 m
/// ```
/// use measure::Metres;
/// let ratio = slide::wind_ratio(Metres::m(2.0), Metres::m(10.0), Metres::m(0.03));
/// assert!((ratio - 0.72295).abs() < 1e-5);
/// ```
pub fn wind_ratio(height: Metres, reference: Metres, roughness: Metres) -> f64 {
    if height <= roughness {
        return 0.0;
    }
    libm::log(height / roughness) / libm::log(reference / roughness)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn pressure_altitude_undoes_standard_pressure() {
        // ISO 2533 closed form at 1500 m: 84555.994 Pa.
        let pressure = standard_pressure(Metres::m(1500.0));
        assert!((pressure.to_pa() - 84_555.994).abs() < 1e-3);
        assert!((pressure_altitude(pressure).to_m() - 1500.0).abs() < 1e-8);
    }

    #[test]
    fn density_altitude_undoes_standard_density() {
        // ISO 2533 closed form at 1500 m: 1.058067 kg/m3.
        let density = standard_density(Metres::m(1500.0));
        assert!((density.to_kg_m3() - 1.058_067).abs() < 1e-6);
        assert!((density_altitude(density).to_m() - 1500.0).abs() < 1e-8);
    }

    #[test]
    fn standard_qnh_gives_the_standard_pressure_of_the_elevation() {
        let elevation = Metres::m(640.0);
        let here = pressure_from_qnh(elevation, Pascals::pa(101_325.0));
        assert!((here - standard_pressure(elevation)).to_pa().abs() < 1e-6);
    }

    #[test]
    fn a_low_qnh_puts_the_place_higher_in_the_standard_atmosphere() {
        // Exact altimetry: QNH 995 hPa at 1200 ft is 1702.1 ft.
        let here = pressure_from_qnh(Metres::ft(1200.0), Pascals::pa(99_500.0));
        assert!((pressure_altitude(here) / Metres::ft(1.0) - 1702.1).abs() < 0.06);
    }

    #[test]
    fn a_humid_day_is_thinner_than_a_dry_one() {
        // MetPy 1.7.1 at 30 C, 101325 Pa: 1.16439 dry, 1.15521 at half saturation.
        let at = |humidity| density(Pascals::pa(101_325.0), Kelvins::celsius(30.0), humidity).to_kg_m3();
        assert!((at(0.0) - 1.164_39).abs() < 1e-5);
        assert!((at(0.5) - 1.155_21).abs() < 1e-4);
    }

    #[test]
    fn there_is_no_wind_within_the_roughness() {
        let ratio = |z| wind_ratio(Metres::m(z), Metres::m(10.0), Metres::m(0.03));
        assert!(ratio(0.01).abs() < f64::EPSILON && ratio(0.03).abs() < f64::EPSILON);
        assert!((ratio(10.0) - 1.0).abs() < 1e-15);
    }

    proptest! {
        #[test]
        fn thinner_higher_warmer_and_moister(h in 0.0..3000.0_f64, t in -20.0..45.0_f64, rh in 0.0..0.9_f64) {
            let at = |h, t, rh| density(standard_pressure(Metres::m(h)), Kelvins::celsius(t), rh);
            let here = at(h, t, rh);
            prop_assert!(at(h + 10.0, t, rh) < here);
            prop_assert!(at(h, t + 1.0, rh) < here);
            prop_assert!(at(h, t, rh + 0.1) < here);
            prop_assert!(density_altitude(at(h, t, rh + 0.1)) > density_altitude(here));
        }

        #[test]
        fn wind_grows_with_height(z in 0.01..30.0_f64, z0 in 0.001..0.5_f64) {
            let ratio = |z| wind_ratio(Metres::m(z), Metres::m(10.0), Metres::m(z0));
            prop_assert!(ratio(z) >= 0.0 && ratio(z + 0.1) >= ratio(z));
        }
    }
}
