//! A driver: its Thiele/Small parameters, completed from what a data sheet gives, and its mechanics.

use std::f64::consts::PI;

use super::air::STIFFNESS;
use crate::quantity::{
    Grams, Hertz, Litres, Millihenries, Millimetres, MillimetresPerNewton, Ohms, Percent, Refusal, SquareCentimetres,
    show,
};

/// How far two statements of one thing may lie apart: data sheets round, and their samples differ.
const AGREE: Percent = Percent::new(5.0);
/// The same where the square of the piston area and another speed of sound come in.
const AGREE_BY_AREA: Percent = Percent::new(10.0);

/// What a data sheet gives of a driver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DataSheet {
    /// Resonance in free air.
    pub fs: Hertz,
    /// Electrical Q.
    pub qes: Option<f64>,
    /// Mechanical Q.
    pub qms: Option<f64>,
    /// Total Q.
    pub qts: Option<f64>,
    /// The volume of air as compliant as the suspension.
    pub vas: Option<Litres>,
    /// Compliance of the suspension.
    pub cms: Option<MillimetresPerNewton>,
    /// Moving mass, air load included.
    pub mms: Option<Grams>,
    /// Effective piston area.
    pub sd: Option<SquareCentimetres>,
    /// Diameter of that area.
    pub effective_diameter: Option<Millimetres>,
    /// Resistance of the voice coil to direct current.
    pub re: Ohms,
    /// Inductance of the voice coil.
    pub le: Millihenries,
    /// Linear limit of travel, one way.
    pub xmax: Millimetres,
    /// Mechanical limit of travel, one way.
    pub xmech: Option<Millimetres>,
}

/// A driver with all that its circuit needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Driver {
    /// Resonance in free air.
    pub fs: Hertz,
    /// Electrical Q.
    pub qes: f64,
    /// Mechanical Q.
    pub qms: f64,
    /// The volume of air as compliant as the suspension.
    pub vas: Litres,
    /// Effective piston area.
    pub sd: SquareCentimetres,
    /// Resistance of the voice coil to direct current.
    pub re: Ohms,
    /// Inductance of the voice coil.
    pub le: Millihenries,
    /// Linear limit of travel, one way.
    pub xmax: Millimetres,
    /// Mechanical limit of travel, one way.
    pub xmech: Option<Millimetres>,
}

/// A driver's mechanics in SI units.
///
/// ```text
/// Cms = Vas / (rho c^2 Sd^2)    Mms = 1 / (ws^2 Cms)    Rms = ws Mms / Qms    BL = sqrt(ws Mms Re / Qes)
/// ```
///
/// Small, "Closed-Box Loudspeaker Systems", Part I, J. Audio Eng. Soc. 20 (1972).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mechanics {
    /// Compliance of the suspension in m/N.
    pub cms: f64,
    /// Moving mass in kg.
    pub mms: f64,
    /// Mechanical resistance in kg/s.
    pub rms: f64,
    /// Force factor in T m.
    pub bl: f64,
}

impl Driver {
    /// Completes a data sheet: a Q from the two others, the area from its diameter, Vas from the compliance or the mass.
    ///
    /// # Errors
    /// Where something is missing, or two statements disagree: both are named.
    pub fn from_sheet(sheet: &DataSheet) -> Result<Self, Refusal> {
        let (qes, qms) = quality_factors(sheet)?;
        let sd = area(sheet)?;
        let vas = equivalent_volume(sheet, sd)?;
        if let Some(xmech) = sheet.xmech
            && xmech < sheet.xmax
        {
            return Err(Refusal::new(
                "xmech_mm",
                show::millimetres(xmech),
                format!("is below xmax_mm, {}", show::millimetres(sheet.xmax)),
                "a mechanical limit at or above the linear one",
            ));
        }
        let DataSheet { fs, re, le, xmax, xmech, .. } = *sheet;
        Ok(Self { fs, qes, qms, vas, sd, re, le, xmax, xmech })
    }

    /// Total Q: 1/Qts = 1/Qes + 1/Qms.
    pub fn qts(self) -> f64 {
        parallel(self.qes, self.qms)
    }

    /// Its mechanics.
    pub fn mechanics(self) -> Mechanics {
        let (ws, sd) = (self.fs.angular(), self.sd.square_metres());
        let cms = self.vas.cubic_metres() / (STIFFNESS * sd * sd);
        let mms = 1.0 / (ws * ws * cms);
        Mechanics { cms, mms, rms: ws * mms / self.qms, bl: (ws * mms * self.re.ohms() / self.qes).sqrt() }
    }
}

fn parallel(one: f64, other: f64) -> f64 {
    one * other / (one + other)
}

/// Electrical and mechanical Q.
fn quality_factors(sheet: &DataSheet) -> Result<(f64, f64), Refusal> {
    // The total is less than either part, or the other part would have to be negative.
    let other = |part_name: &str, part: f64, total: f64| {
        if total < part {
            return Ok(part * total / (part - total));
        }
        Err(Refusal::new(
            "qts",
            show::figures(total),
            format!("is not below {part_name} {}, of which it is a part", show::figures(part)),
            "1/qts = 1/qes + 1/qms, so that qts is below both",
        ))
    };
    match (sheet.qes, sheet.qms, sheet.qts) {
        (Some(qes), Some(qms), Some(qts)) => {
            let made = format!("qes {} and qms {}", show::figures(qes), show::figures(qms));
            agree("qts", qts, &made, parallel(qes, qms), AGREE)?;
            Ok((qes, qms))
        }
        (Some(qes), Some(qms), None) => Ok((qes, qms)),
        (Some(qes), None, Some(qts)) => Ok((qes, other("qes", qes, qts)?)),
        (None, Some(qms), Some(qts)) => Ok((other("qms", qms, qts)?, qms)),
        (None, None, _) => Err(missing("qes", "qes and qms, or qts and one of them")),
        (None, Some(_), None) => Err(missing("qes", "qes, or qts with qms")),
        (Some(_), None, None) => Err(missing("qms", "qms, or qts with qes")),
    }
}

/// Effective piston area: pi d^2 / 4.
fn area(sheet: &DataSheet) -> Result<SquareCentimetres, Refusal> {
    let from_diameter = sheet.effective_diameter.map(|diameter| {
        let cm = diameter.mm() / 10.0;
        (diameter, PI * cm * cm / 4.0)
    });
    match (sheet.sd, from_diameter) {
        (Some(sd), Some((diameter, area))) => {
            let made = format!("effective_diameter_mm {}", show::figures(diameter.mm()));
            agree("sd_cm2", sd.cm2(), &made, area, AGREE)?;
            Ok(sd)
        }
        (Some(sd), None) => Ok(sd),
        (None, Some((_, area))) => Ok(SquareCentimetres::new(area)),
        (None, None) => Err(missing("sd_cm2", "sd_cm2, or effective_diameter_mm")),
    }
}

/// Vas = rho c^2 Cms Sd^2, with Cms = 1 / (ws^2 Mms) where only the mass is given.
fn equivalent_volume(sheet: &DataSheet, sd: SquareCentimetres) -> Result<Litres, Refusal> {
    let (ws, sd) = (sheet.fs.angular(), sd.square_metres());
    let volume = |cms: f64| 1000.0 * STIFFNESS * cms * sd * sd;
    let by_compliance =
        sheet.cms.map(|cms| (format!("cms_mm_per_n {}", show::figures(cms.mm_per_n())), cms.mm_per_n() / 1e3));
    let by_mass = sheet.mms.map(|mms| (format!("mms_g {}", show::figures(mms.grams())), 1e3 / (ws * ws * mms.grams())));
    if let (Some((name, cms)), Some((other, by_mass))) = (&by_compliance, &by_mass) {
        agree_named(name, *cms * 1e3, &format!("{other} and fs_hz"), by_mass * 1e3, AGREE)?;
    }
    let from = by_compliance.or(by_mass);
    match (sheet.vas, from) {
        (Some(vas), Some((name, cms))) => {
            agree("vas_l", vas.litres(), &format!("{name} and the piston area"), volume(cms), AGREE_BY_AREA)?;
            Ok(vas)
        }
        (Some(vas), None) => Ok(vas),
        (None, Some((_, cms))) => Ok(Litres::new(volume(cms))),
        (None, None) => Err(missing("vas_l", "vas_l, or cms_mm_per_n, or mms_g")),
    }
}

/// Refuses a value that lies farther than `within` from what others make of it.
fn agree(field: &str, value: f64, made_of: &str, made: f64, within: Percent) -> Result<(), Refusal> {
    agree_named(&format!("{field} {}", show::figures(value)), value, made_of, made, within)
}

fn agree_named(statement: &str, value: f64, made_of: &str, made: f64, within: Percent) -> Result<(), Refusal> {
    if (value / made - 1.0).abs() <= within.fraction() {
        return Ok(());
    }
    let (field, given) = statement.split_once(' ').unwrap_or((statement, ""));
    Err(Refusal::new(
        field,
        given,
        format!("disagrees with {made_of}, which make it {}", show::figures(made)),
        format!("values that agree within {}, or one of them left out", show::percent(within)),
    ))
}

fn missing(field: &str, accepted: &str) -> Refusal {
    Refusal::new(field, "", "was given", accepted)
}
