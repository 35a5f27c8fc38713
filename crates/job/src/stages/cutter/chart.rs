//! The machine's own cut chart, and the kerf that a comb has measured.

use cut::kerf_test::{Reading, kerf_from};
use cut::profile::{ChartLine, Profile, Stock, StockKerf};
use handbook::{Family, Status};

use super::Said;
use crate::files::Wrong;
use crate::files::model::{ChartDef, KerfDef, Place};

impl Said<'_> {
    /// The machine's own lines of a metal take the place of the handbook's of that metal.
    pub(super) fn chart(&mut self, lines: &[ChartDef], profile: &mut Profile) {
        let before = profile.clone();
        let own: Vec<Family> = lines.iter().map(|line| family(&line.metal.value)).collect();
        profile.chart.retain(|line| !own.contains(&line.family));
        for def in lines {
            let family = family(&def.metal.value);
            if !profile.cuts(family) {
                let says = format!("{} does not cut {}", profile.process.name(), def.metal.value);
                self.wrongs.push(Wrong::new(def.metal.at.clone(), says));
                continue;
            }
            let Some(thickness_mm) = self.size(Some(&def.thickness), "the thickness") else {
                continue;
            };
            let Some(feed_mm_min) = self.above_0(Some(&def.feed), "the feed") else {
                continue;
            };
            let usual = before
                .line_for(&Stock {
                    name: String::new(),
                    family,
                    thickness_mm,
                })
                .ok();
            let of = |said: Option<f64>, usual: Option<f64>, key: &str| {
                said.or(usual).ok_or_else(|| {
                    Wrong::new(
                        def.feed.at.clone(),
                        format!("this line says no {key}, and the handbook knows none for this thickness"),
                    )
                    .expected(format!("{key} = ..., from the machine's book"))
                })
            };
            let delay = def.delay.as_ref().map(|told| told.value);
            let pierce = self.reach(def.pierce_height.as_ref(), "the pierce height");
            let height = self.reach(def.cut_height.as_ref(), "the cut height");
            let delay = of(delay, usual.as_ref().map(|line| line.pierce_delay_s), "delay");
            let pierce = of(
                pierce,
                usual.as_ref().map(|line| line.pierce_height_mm),
                "pierce_height",
            );
            let height = of(
                height,
                usual.as_ref().map(|line| line.cut_height_mm),
                "cut_height",
            );
            if let (Some(pierce_delay_s), Some(pierce_height_mm), Some(cut_height_mm)) =
                (self.keep(delay), self.keep(pierce), self.keep(height))
            {
                profile.chart.push(ChartLine {
                    family,
                    thickness_mm,
                    feed_mm_min,
                    pierce_delay_s,
                    pierce_height_mm,
                    cut_height_mm,
                    status: Status::Shop,
                    source: def
                        .source
                        .as_ref()
                        .map_or_else(|| "shop.toml".into(), |source| source.value.clone()),
                });
            }
        }
    }

    pub(super) fn kerf_test(&mut self, def: &KerfDef, stock: &Stock, profile: &mut Profile) {
        let pitch = self.size(Some(&def.pitch), "the pitch");
        let teeth = def
            .teeth
            .each_ref()
            .map(|tooth| self.size(Some(tooth), "the tooth"));
        let (Some(pitch_mm), [Some(a), Some(b), Some(c)]) = (pitch, teeth) else {
            return;
        };
        let when = def.date.as_ref().map_or("", |date| date.value.as_str());
        match kerf_from(pitch_mm, [a, b, c], &Reading::default(), when) {
            Ok(kerf) => profile.kerfs.push(StockKerf {
                stock: stock.name.clone(),
                kerf,
            }),
            Err(error) => {
                let at = Place {
                    span: def.teeth[0].at.span.start..def.teeth[2].at.span.end,
                    ..def.teeth[0].at.clone()
                };
                self.wrongs.push(
                    Wrong::new(at, error.to_string())
                        .expected("the three teeth of one comb, each measured across its middle"),
                );
            }
        }
    }
}

fn family(word: &str) -> Family {
    match word {
        "steel" => Family::Steel,
        "stainless" => Family::Stainless,
        _ => Family::Aluminium,
    }
}
