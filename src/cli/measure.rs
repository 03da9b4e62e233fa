//! Numbers on the command line: `3.5`, `9cm`, `67m/s`. Bare numbers are in trade units: inches,
//! degrees, miles an hour, turns a minute, degrees Celsius, metres of altitude, per cent of
//! humidity.
//!
//! Also which club is meant: an id or a name of the knowledge, or the short form on its sole.

use crate::geometry::impact::Head;
use crate::knowledge::{KnowledgeBase, nearest};
use crate::quantity::{Amount, Angle, Estimate, Length, Ratio, Speed, Spin, Temperature, Unit};
use crate::shots::club_name;
use crate::vocabulary::GroupId;

fn amount(text: &str, usual: Unit) -> Result<Amount, String> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|(i, c)| {
            let exponent = matches!(c, 'e' | 'E')
                && text.get(i + 1..).is_some_and(|rest| {
                    rest.starts_with(|d: char| d.is_ascii_digit() || d == '-' || d == '+')
                });
            !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+') || exponent)
        })
        .map_or(text.len(), |(i, _)| i);
    let (digits, unit) = text.split_at(end);
    let value: f64 = digits
        .parse()
        .map_err(|_| format!("`{text}` is no number"))?;
    let unit = match unit.trim() {
        "" => usual,
        symbol => Unit::from_symbol(symbol)
            .or(match symbol {
                "kmh" => Some(Unit::KilometrePerHour),
                "mps" => Some(Unit::MetrePerSecond),
                _ => None,
            })
            .filter(|u| u.dimension() == usual.dimension())
            .ok_or_else(|| format!("`{symbol}` is no unit for this; `{usual}` is meant without"))?,
    };
    Amount::new(value, unit).map_err(|e| e.to_string())
}

macro_rules! measured {
    ($($name:ident: $kind:ident = $unit:ident),+ $(,)?) => {$(
        pub(super) fn $name(text: &str) -> Result<$kind, String> {
            $kind::try_from(amount(text, Unit::$unit)?).map_err(|e| e.to_string())
        }
    )+};
}

measured! {
    length: Length = Inch,
    angle: Angle = Degree,
    speed: Speed = MilePerHour,
    spin: Spin = Rpm,
    temperature: Temperature = Celsius,
    altitude: Length = Metre,
    humidity: Ratio = Percent,
}

/// A club of the knowledge with what geometry needs of it.
pub(super) struct Chosen {
    /// Text id.
    pub(super) id: String,
    /// Name.
    pub(super) name: String,
    /// Its group.
    pub(super) group: GroupId,
    /// Which sort of head it has.
    pub(super) head: Head,
    /// What it brings.
    pub(super) shape: crate::geometry::follow::ClubShape,
}

/// The club of the knowledge with this loft, or the one nearest to it.
pub(super) fn club_of_loft(base: &KnowledgeBase, loft: Angle) -> Option<&str> {
    let off = |club: &crate::knowledge::Club| (club.loft - loft).abs().base();
    base.clubs
        .iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .map(|club| club.id.as_str())
}

/// The club or group that is meant.
pub(super) fn club(base: &KnowledgeBase, text: &str) -> Result<Chosen, String> {
    let told: String = text.trim().to_lowercase().replace(['_', '-'], " ");
    let named = club_name(text);
    let is = |id: &str, name: &str| {
        let id = id.replace('_', " ");
        [told.as_str(), named.as_str()]
            .iter()
            .any(|t| *t == id || *t == name.to_lowercase())
    };
    let found = base
        .clubs
        .iter()
        .find(|c| is(&c.id, &c.name))
        .map(|c| (&c.id, &c.name, c.group, c.radius, c.plane, c.loft))
        .or_else(|| {
            base.groups
                .iter()
                .enumerate()
                .find(|(_, g)| is(&g.id, &g.name))
                .map(|(i, g)| {
                    let group = GroupId::from_index(i);
                    (&g.id, &g.name, group, g.radius, g.plane, g.static_loft)
                })
        });
    let Some((id, name, group, radius, plane, static_loft)) = found else {
        let names = base.clubs.iter().map(|c| c.name.as_str());
        let near = nearest(
            &told,
            names.chain(base.groups.iter().map(|g| g.name.as_str())),
        );
        let help = near.map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
        return Err(format!(
            "no club is called \"{}\"{help}",
            crate::wording::clean(text)
        ));
    };
    let model = base.model.groups.get(group.index());
    let estimate = |values: Option<(f64, f64)>, unit| {
        let (mean, sd) = values.unwrap_or((0.0, 0.0));
        Estimate::new(mean, sd.abs(), unit).map_err(|e| e.to_string())
    };
    Ok(Chosen {
        id: id.clone(),
        name: name.clone(),
        group,
        head: match base.group(group).family.as_str() {
            "driver" => Head::Driver,
            "irons" => Head::Iron,
            _ => Head::Wood,
        },
        shape: crate::geometry::follow::ClubShape {
            radius,
            plane,
            static_loft,
            loft_off: estimate(model.map(|m| (m.loft_off_deg, m.loft_psd)), Unit::Degree)?,
            low_point: estimate(model.map(|m| (m.low_point_in, m.low_point_psd)), Unit::Inch)?,
            grass: Length::millimetres(1.5),
        },
    })
}
