//! How long the order of assembly takes for a seat of forty-odd parts: two rails, bearers between them, slats on top, in two
//! groups, every slat with two screws on each bearer. `cargo bench -p slatwork-shop --bench order`

#[path = "../tests/hand/mod.rs"]
mod hand;

use criterion::{Criterion, criterion_group, criterion_main};
use hand::{INCH, board, catalogue, joint, model};
use slatwork_base::Tape;
use slatwork_model::{Group, GroupId, Model, PartId};
use slatwork_shop::assembly;
use slatwork_solid::{DAffine3, DVec3};
use std::hint::black_box;

const BEARERS: usize = 5;
const SLATS: usize = 20;

/// A slatted frame at a height, mm.
fn frame(name: &str, up: f64) -> Vec<hand::Board> {
    let mut boards = vec![
        board(&format!("{name} front rail"), "2x4", 60.0, 3.5, 1.5).at(0.0, -3.5 * INCH, up),
        board(&format!("{name} rear rail"), "2x4", 60.0, 3.5, 1.5).at(0.0, 20.0 * INCH, up),
    ];
    for index in 0..BEARERS {
        let x = index as f64 * 14.0 * INCH;
        boards.push(board(&format!("{name} bearer {index}"), "2x4", 1.5, 20.0, 1.5).at(x, 0.0, up));
    }
    for index in 0..SLATS {
        let y = index as f64 * 0.95 * INCH;
        boards.push(board(&format!("{name} slat {index}"), "1x4", 60.0, 0.9, 0.75).at(
            0.0,
            y,
            up + 1.5 * INCH,
        ));
    }
    boards
}

fn piece() -> Model {
    let mut piece = model([frame("seat", 0.0), frame("back", 20.0 * INCH)].into_iter().flatten().collect());
    for (group, name) in ["seat", "back"].into_iter().enumerate() {
        piece.groups.push(Group {
            name: name.to_string(),
            parent: Some(GroupId(0)),
            pose: DAffine3::IDENTITY,
        });
        let first = group * (2 + BEARERS + SLATS);
        for part in &mut piece.parts[first..first + 2 + BEARERS + SLATS] {
            part.group = GroupId(group + 1);
        }
        for bearer in 0..BEARERS {
            let x = (bearer as f64 * 14.0 + 0.75) * INCH;
            for slat in 0..SLATS {
                let up = group as f64 * 20.0 * INCH + 2.25 * INCH;
                let head = DVec3::new(x, (slat as f64 * 0.95 + 0.45) * INCH, up);
                piece.joints.push(screwed(
                    first + 2 + BEARERS + slat,
                    first + 2 + bearer,
                    head,
                    DVec3::NEG_Z,
                ));
            }
            for (rail, y, way) in [(0, -3.5, DVec3::Y), (1, 23.5, DVec3::NEG_Y)] {
                let head = DVec3::new(x, y * INCH, group as f64 * 20.0 * INCH + 19.0);
                piece.joints.push(screwed(first + rail, first + 2 + bearer, head, way));
            }
        }
    }
    piece
}

fn screwed(first: usize, second: usize, head: DVec3, direction: DVec3) -> slatwork_model::Joint {
    let mut joint = joint("screwed face to face", first, second, "wood_screw_8", 2);
    for one in &mut joint.fastenings {
        (one.head, one.direction, one.tip) = (head, direction, head + direction * 50.0);
    }
    joint.parts = vec![PartId(first), PartId(second)];
    if let Some(patch) = &mut joint.patch {
        patch.normal = direction;
    }
    joint
}

fn benches(criterion: &mut Criterion) {
    let (piece, catalogue) = (piece(), catalogue());
    criterion.bench_function("order of assembly of 54 parts, 240 joints", |bencher| {
        bencher.iter(|| assembly(black_box(&piece), &catalogue, Tape::Inch16));
    });
}

criterion_group!(order, benches);
criterion_main!(order);
