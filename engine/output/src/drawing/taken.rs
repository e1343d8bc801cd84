//! What is on a sheet already, so that lettering that may stand in several places takes one that is free.

use crate::lettering;
use crate::sheet::{Anchor, Corner, Figure, Item, LineClass, Sheet, Text};
use slatwork_base::maths;
use slatwork_solid::DVec2;

/// Stretches that a round figure is looked at in.
const ALONG: u32 = 48;
/// White round lettering, mm.
pub(crate) const CLEAR: f64 = 0.5;

/// An upright box on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub(crate) low: DVec2,
    pub(crate) high: DVec2,
}

impl Area {
    /// White beside a balloon, mm.
    pub(crate) const WHITE: f64 = 1.0;

    /// What a line of lettering takes up.
    pub(crate) fn of(text: &Text) -> Area {
        let width = lettering::width(&text.text, text.height);
        let left = match text.anchor {
            Anchor::Left => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::Right => width,
        };
        let low = text.at - DVec2::new(left, 0.0);
        Area { low, high: low + DVec2::new(width, text.height) }
    }

    /// What a figure takes up that needs no taking apart; round ones by points along them. Nothing where it draws nothing.
    pub(crate) fn round(figure: &Figure) -> Option<Area> {
        let along = |start: f64, sweep: f64, at: &dyn Fn(f64, f64) -> DVec2| {
            let point = |step: u32| {
                let (sin, cos) = maths::sin_cos(start + sweep * f64::from(step) / f64::from(ALONG));
                at(cos, sin)
            };
            Area::of_points((0..=ALONG).map(point))
        };
        match figure {
            Figure::Line { from, to } | Figure::Tick { from, to } => Area::of_points([*from, *to]),
            Figure::Circle { centre, radius } | Figure::Dot { centre, radius } => {
                Area::of_points([*centre - *radius, *centre + *radius])
            }
            Figure::Arc { centre, radius, start, sweep } => {
                along(*start, *sweep, &|cos, sin| *centre + DVec2::new(cos, sin) * *radius)
            }
            Figure::Ellipse { centre, major, minor, start, sweep } => {
                along(*start, *sweep, &|cos, sin| *centre + *major * cos + *minor * sin)
            }
            Figure::Polyline { corners, .. } => Area::of_points(corners.iter().map(|corner| corner.point)),
            Figure::Blank { boundary } | Figure::Hatch { boundary, .. } => {
                Area::of_points(boundary.iter().copied())
            }
            Figure::Fill { rings } => Area::of_points(rings.iter().flatten().copied()),
            Figure::Text(text) => Some(Area::of(text)),
            Figure::Dimension(_) | Figure::Angular(_) | Figure::Leader(_) => None,
        }
    }

    /// Round some points; nothing where there are none.
    pub(crate) fn of_points(points: impl IntoIterator<Item = DVec2>) -> Option<Area> {
        let all = points.into_iter().map(|point| Area { low: point, high: point });
        all.reduce(|own, other| own.with(&other))
    }

    /// The box round two.
    pub(crate) fn with(&self, other: &Area) -> Area {
        Area { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// With so much white round it.
    pub(crate) fn grown(self, by: f64) -> Area {
        Area { low: self.low - by, high: self.high + by }
    }

    pub(crate) fn size(&self) -> DVec2 {
        self.high - self.low
    }

    /// Whether there is anything in it.
    pub(crate) fn has_room(&self) -> bool {
        self.low.cmplt(self.high).all()
    }

    pub(crate) fn meets(&self, other: &Area) -> bool {
        self.low.cmplt(other.high).all() && other.low.cmplt(self.high).all()
    }

    fn holds(&self, other: &Area) -> bool {
        self.low.cmple(other.low).all() && other.high.cmple(self.high).all()
    }

    /// Whether a stretch of a straight line lies inside.
    pub(crate) fn is_crossed(&self, (from, to): (DVec2, DVec2)) -> bool {
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for axis in 0..2 {
            let way = to[axis] - from[axis];
            if way.abs() < 1e-9 {
                if from[axis] <= self.low[axis] || self.high[axis] <= from[axis] {
                    return false;
                }
                continue;
            }
            let (a, b) = ((self.low[axis] - from[axis]) / way, (self.high[axis] - from[axis]) / way);
            (enter, leave) = (enter.max(a.min(b)), leave.min(a.max(b)));
        }
        enter < leave
    }
}

/// What is on a sheet.
pub(crate) struct Taken {
    /// The room that is left for drawing.
    room: Area,
    /// Lettering and balloons.
    lettering: Vec<Area>,
    /// Thin lines that go with lettering.
    thin: Vec<(DVec2, DVec2)>,
    /// Edges of the wood, with curves as chords.
    wood: Vec<(DVec2, DVec2)>,
}

impl Taken {
    /// What a sheet shows so far in the room for drawing.
    pub(crate) fn of(sheet: &Sheet, room: Area) -> Taken {
        let mut taken = Taken { room, lettering: Vec::new(), thin: Vec::new(), wood: Vec::new() };
        taken.add(&sheet.plain_items());
        taken
    }

    fn add(&mut self, items: &[Item]) {
        for item in items {
            if let Figure::Text(text) = &item.figure {
                self.lettering.push(Area::of(text));
            } else if is_thin(item.class) {
                self.thin.extend(chords(&item.figure));
            } else {
                self.wood.extend(chords(&item.figure));
            }
        }
    }

    /// Draws the first of several ways that is free on the sheet: clear of lettering, thin lines and the wood's edges if one is,
    /// else of lettering and thin lines, else of lettering alone, else the last one.
    pub(crate) fn place(&mut self, sheet: &mut Sheet, ways: Vec<Vec<Item>>) {
        let plain: Vec<Vec<Item>> = ways.iter().map(|way| plain_items(way)).collect();
        let all: Vec<_> = self.thin.iter().chain(&self.wood).copied().collect();
        let free = |lines: &[_]| plain.iter().position(|way| self.is_free(way, lines));
        let chosen = free(&all).or_else(|| free(&self.thin)).or_else(|| free(&[]));
        let chosen = chosen.or(ways.len().checked_sub(1));
        if let Some(index) = chosen {
            self.add(&plain[index]);
            sheet.items.extend(ways.into_iter().nth(index).unwrap_or_default());
        }
    }

    /// Whether its lettering is clear of all other and of some lines, and its lines of lettering.
    fn is_free(&self, way: &[Item], lines: &[(DVec2, DVec2)]) -> bool {
        way.iter().all(|item| match &item.figure {
            Figure::Text(text) => self.has_room(&Area::of(text), lines),
            figure => {
                let lines = chords(figure);
                self.lettering
                    .iter()
                    .map(|own| own.grown(CLEAR))
                    .all(|own| !lines.iter().any(|line| own.is_crossed(*line)))
            }
        })
    }

    fn has_room(&self, area: &Area, lines: &[(DVec2, DVec2)]) -> bool {
        let white = area.grown(CLEAR);
        self.room.holds(&white)
            && !self.lettering.iter().any(|own| own.meets(&white))
            && !lines.iter().any(|line| white.is_crossed(*line))
    }
}

/// Lines of these classes go with lettering, not with the wood.
pub(crate) fn is_thin(class: LineClass) -> bool {
    matches!(class, LineClass::Dimension | LineClass::Mark)
}

fn plain_items(items: &[Item]) -> Vec<Item> {
    Sheet { items: items.to_vec(), ..Sheet::default() }.plain_items()
}

/// Chords of a quarter of a circle: at the sizes of a sheet, within a millimetre of it.
const CHORDS: usize = 8;

/// A figure as straight lines.
fn chords(figure: &Figure) -> Vec<(DVec2, DVec2)> {
    let turned = |centre: DVec2, major: DVec2, minor: DVec2, start: f64, sweep: f64| -> Vec<(DVec2, DVec2)> {
        let count = 4 * CHORDS;
        let point = |i: usize| {
            let (sin, cos) = maths::sin_cos(start + sweep * i as f64 / count as f64);
            centre + major * cos + minor * sin
        };
        (0..count).map(|i| (point(i), point(i + 1))).collect()
    };
    let round = |centre: DVec2, radius: f64, start: f64, sweep: f64| {
        turned(centre, DVec2::X * radius, DVec2::Y * radius, start, sweep)
    };
    match figure {
        Figure::Line { from, to } | Figure::Tick { from, to } => vec![(*from, *to)],
        Figure::Circle { centre, radius } | Figure::Dot { centre, radius } => {
            round(*centre, *radius, 0.0, 2.0 * maths::PI)
        }
        Figure::Arc { centre, radius, start, sweep } => round(*centre, *radius, *start, *sweep),
        Figure::Ellipse { centre, major, minor, start, sweep } => {
            turned(*centre, *major, *minor, *start, *sweep)
        }
        Figure::Polyline { corners, closed } => sides(corners, *closed),
        _ => Vec::new(),
    }
}

/// Sides of a polyline; a bulging one by its chord.
fn sides(corners: &[Corner], closed: bool) -> Vec<(DVec2, DVec2)> {
    let last = corners.last().zip(corners.first()).filter(|_| closed).map(|(a, b)| (a.point, b.point));
    corners.windows(2).map(|pair| (pair[0].point, pair[1].point)).chain(last).collect()
}
