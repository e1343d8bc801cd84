//! Which parts joints hold together.

use slatwork_model::Model;

/// For each part the first of those that joints hold together with it, itself among them.
pub(crate) fn together(model: &Model) -> Vec<usize> {
    let mut root: Vec<usize> = (0..model.parts.len()).collect();
    for pair in model.joints.iter().flat_map(|joint| joint.parts.windows(2)) {
        let (a, b) = (top(&root, pair[0].0), top(&root, pair[1].0));
        root[a.max(b)] = a.min(b);
    }
    (0..root.len()).map(|part| top(&root, part)).collect()
}

fn top(root: &[usize], mut part: usize) -> usize {
    while root[part] != part {
        part = root[part];
    }
    part
}
