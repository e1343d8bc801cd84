//! Part marks in balloons round a view, each with a leader to a part that can be seen.

use crate::dimension::{LETTER_HEIGHT, Leader};
use crate::drawing::arrangement::Balloon;
use crate::drawing::layout::{gap_in, spread};
use crate::drawing::view::Camera;
use crate::drawing::visible::Covers;
use crate::drawing::wire::Wire;
use crate::lettering;
use slatwork_solid::{DVec2, DVec3};

/// Least radius of a balloon, mm.
const RADIUS: f64 = 3.3;
/// From the view to the middle of the balloons beside it, mm.
const OFF_VIEW: f64 = 9.0;
/// White between balloons, mm.
const GAP: f64 = 1.6;
/// And where there are many, mm.
const LEAST_GAP: f64 = 0.3;

/// Radius that holds a mark, mm.
fn radius(mark: &str) -> f64 {
    (lettering::width(mark, LETTER_HEIGHT) / 2.0 + 0.8).max(RADIUS)
}

/// Width of a column of balloons beside a view, mm; nothing without balloons.
pub(crate) fn column_width(balloons: &[Balloon]) -> f64 {
    balloons.iter().map(|b| OFF_VIEW + radius(&b.mark)).fold(0.0, f64::max)
}

/// For each mark a point on one of its bodies that can be seen, in the world: the middle of the largest facet in
/// view, else of an edge.
pub(crate) fn anchors(
    balloons: &[Balloon],
    wire: &Wire,
    covers: &Covers,
    camera: Camera,
) -> Vec<(String, Option<DVec3>)> {
    let facets: Vec<(DVec3, usize, f64)> = covers.middles().collect();
    balloons
        .iter()
        .map(|balloon| (balloon.mark.clone(), anchor(balloon, &facets, wire, covers, camera)))
        .collect()
}

fn anchor(
    balloon: &Balloon,
    facets: &[(DVec3, usize, f64)],
    wire: &Wire,
    covers: &Covers,
    camera: Camera,
) -> Option<DVec3> {
    let mut own: Vec<&(DVec3, usize, f64)> =
        facets.iter().filter(|f| balloon.bodies.contains(&f.1)).collect();
    own.sort_by(|a, b| b.2.total_cmp(&a.2));
    let facet = own.iter().map(|f| f.0).find(|point| covers.sees(*point));
    facet.or_else(|| {
        let triangles = wire.triangles.iter().filter(|(_, body)| balloon.bodies.contains(body));
        let middles =
            triangles.flat_map(|([a, b, c], _)| [(*a + *b) / 2.0, (*b + *c) / 2.0, (*c + *a) / 2.0]);
        let mut seen: Vec<DVec3> = middles.filter(|point| covers.sees(*point)).collect();
        seen.sort_by(|a, b| camera.see(*b).z.total_cmp(&camera.see(*a).z));
        seen.first().copied()
    })
}

/// Puts balloons in a column on each side of a view that reaches from `low` to `high` on paper, so that no balloon
/// overlaps another, none leaves the `heights` that are free there, and no two leaders of a column cross.
pub(crate) fn place(
    mut marks: Vec<(String, DVec2)>,
    (low, high): (DVec2, DVec2),
    heights: (f64, f64),
) -> Vec<Leader> {
    marks.sort_by(|a, b| a.1.x.total_cmp(&b.1.x).then_with(|| a.0.cmp(&b.0)));
    let right = marks.split_off(marks.len().div_ceil(2));
    let mut leaders = column(marks, low.x - OFF_VIEW, (low.y, high.y), heights);
    leaders.extend(column(right, high.x + OFF_VIEW, (low.y, high.y), heights));
    leaders
}

/// The same with each balloon on the side that its point is nearer to, as long as both columns hold theirs.
pub(crate) fn place_near(
    marks: Vec<(String, DVec2)>,
    (low, high): (DVec2, DVec2),
    heights: (f64, f64),
) -> Vec<Leader> {
    let middle = (low.x + high.x) / 2.0;
    let (left, right): (Vec<_>, Vec<_>) = marks.iter().cloned().partition(|(_, at)| at.x < middle);
    let need = |own: &[(String, DVec2)]| own.iter().map(|(mark, _)| 2.0 * radius(mark) + GAP).sum::<f64>();
    if need(&left).max(need(&right)) > heights.1 - heights.0 {
        return place(marks, (low, high), heights);
    }
    let mut leaders = column(left, low.x - OFF_VIEW, (low.y, high.y), heights);
    leaders.extend(column(right, high.x + OFF_VIEW, (low.y, high.y), heights));
    leaders
}

fn column(
    mut marks: Vec<(String, DVec2)>,
    x: f64,
    (low, high): (f64, f64),
    heights: (f64, f64),
) -> Vec<Leader> {
    marks.sort_by(|a, b| a.1.y.total_cmp(&b.1.y).then_with(|| a.0.cmp(&b.0)));
    let sizes: Vec<f64> = marks.iter().map(|(mark, _)| 2.0 * radius(mark)).collect();
    // Wanted a little apart, so that the column uses the height of the view.
    let middle = (low + high) / 2.0;
    let wanted: Vec<f64> = marks.iter().map(|(_, at)| middle + (at.y - middle) * 1.15).collect();
    let gap = gap_in(heights, &sizes, LEAST_GAP, GAP);
    let need = sizes.iter().sum::<f64>() + gap * sizes.len() as f64;
    // By the view if they have room there, else in all the height that is free.
    let places = spread(&wanted, &sizes, gap, if need <= high - low { (low, high) } else { heights });
    uncross(&mut marks, x, &places);
    let leader = |((mark, at), y): ((String, DVec2), f64)| Leader {
        at,
        to: DVec2::new(x, y),
        balloon: Some(radius(&mark)),
        label: mark,
    };
    marks.into_iter().zip(places).map(leader).collect()
}

/// Exchanges balloons whose leaders cross; each exchange shortens the leaders in sum, so this comes to an end.
fn uncross(marks: &mut [(String, DVec2)], x: f64, places: &[f64]) {
    let mut changed = true;
    while changed {
        changed = false;
        for i in 0..marks.len() {
            for j in i + 1..marks.len() {
                let ends = [DVec2::new(x, places[i]), DVec2::new(x, places[j])];
                let now = marks[i].1.distance(ends[0]) + marks[j].1.distance(ends[1]);
                let then = marks[i].1.distance(ends[1]) + marks[j].1.distance(ends[0]);
                if then < now - 1e-9 {
                    marks.swap(i, j);
                    changed = true;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_balloons_stay_on_the_sheet() {
        let marks = (0..34).map(|i| (i.to_string(), DVec2::new(25.0, 40.0 + f64::from(i) / 10.0))).collect();
        let leaders = place(marks, (DVec2::new(0.0, 30.0), DVec2::new(50.0, 80.0)), (10.0, 135.0));
        let column: Vec<&Leader> = leaders.iter().filter(|own| own.to.x < 0.0).collect();
        assert_eq!(column.len(), 17);
        let inside = |own: &Leader| 10.0 + RADIUS - 1e-9 <= own.to.y && own.to.y <= 135.0 - RADIUS + 1e-9;
        assert!(leaders.iter().all(inside), "{leaders:?}");
        let mut heights: Vec<f64> = column.iter().map(|own| own.to.y).collect();
        heights.sort_by(f64::total_cmp);
        assert!(heights.windows(2).all(|pair| pair[1] - pair[0] > 2.0 * RADIUS), "{heights:?}");
    }

    #[test]
    fn leaders_of_a_column_do_not_cross() {
        let at = DVec2::new;
        let marks =
            (0..9).map(|i| (format!("P{i}"), at(f64::from(i * 37 % 50), f64::from(i * 53 % 80)))).collect();
        let leaders = place(marks, (DVec2::ZERO, at(50.0, 80.0)), (0.0, 80.0));
        assert_eq!(leaders.len(), 9);
        let inside = |own: &Leader| own.to.y >= RADIUS - 1e-9 && own.to.y <= 80.0 - RADIUS + 1e-9;
        assert!(leaders.iter().all(inside), "{leaders:?}");
        for (i, a) in leaders.iter().enumerate() {
            for b in &leaders[i + 1..] {
                if a.to.x == b.to.x {
                    assert!(
                        (a.to.y - b.to.y).abs() >= a.balloon.unwrap() + b.balloon.unwrap(),
                        "balloons overlap"
                    );
                    let side = |p: DVec2| (a.to - a.at).perp_dot(p - a.at);
                    let other = |p: DVec2| (b.to - b.at).perp_dot(p - b.at);
                    let cross = side(b.at) * side(b.to) < 0.0 && other(a.at) * other(a.to) < 0.0;
                    assert!(!cross, "{} and {}", a.label, b.label);
                }
            }
        }
    }
}
