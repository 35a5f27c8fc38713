//! Strains of the shell carried onto the blank.

use nalgebra::Matrix2;
use plane::{Point, Vector};
use shell::{InPlane, Mesh, PanelForces};

use super::strains::{Element, Patch, Resultants};

/// The triangles of a part's mesh as they lie on the blank. `blank_at` has the nodes' places on the blank and covers every
/// triangle that is given a patch; `patch_of` says what a triangle is part of (none for what is welded on, which is left
/// out), `read` whether stress is read at a node.
pub fn elements(
    mesh: &Mesh,
    blank_at: &[Point],
    patch_of: &dyn Fn(usize) -> Option<Patch>,
    read: &dyn Fn(u32) -> bool,
) -> Vec<Element> {
    let element = |triangle: usize| {
        let patch = patch_of(triangle)?;
        let nodes = mesh.triangles[triangle];
        let [a, b, c] = nodes.map(|node| blank_at[node as usize]);
        Some(Element {
            at: Point::from((a.coords + b.coords + c.coords) / 3.0),
            area_mm2: ((b - a).perp(&(c - a)) / 2.0).abs(),
            patch,
            read: nodes.iter().all(|&node| read(node)),
        })
    };
    (0..mesh.triangles.len()).filter_map(element).collect()
}

/// What those triangles carry, turned from the axes of each triangle to those of the blank: means over the triangle. In the
/// order of [`elements`].
pub fn resultants(
    mesh: &Mesh,
    blank_at: &[Point],
    patch_of: &dyn Fn(usize) -> Option<Patch>,
    forces: &[PanelForces],
) -> Vec<Resultants> {
    let carried = |triangle: usize| {
        patch_of(triangle)?;
        let held = &forces[triangle];
        let x = x_on_blank(mesh, triangle, blank_at, held);
        let turned = |corners: &[InPlane; 3]| {
            let mean = (corners[0] + corners[1] + corners[2]) * (1.0 / 3.0);
            // From axes that stand at an angle to the blank's: turn back by it.
            super::strains::along([mean.xx, mean.yy, mean.xy], Vector::new(x.x, -x.y))
        };
        Some(Resultants {
            force_n_mm: turned(&held.membrane_n_mm),
            moment_n: turned(&held.moment_n),
        })
    };
    (0..mesh.triangles.len()).filter_map(carried).collect()
}

/// The first axis of a triangle's forces as a unit direction on the blank. Triangles are seen from the marked face both
/// in space and on the blank, so they are only turned (and, in a bend, a little stretched).
fn x_on_blank(mesh: &Mesh, triangle: usize, blank_at: &[Point], held: &PanelForces) -> Vector {
    let corners = mesh.corners(triangle);
    let flat = held.frame.plan(&corners).map(|[x, y]| Vector::new(x, y));
    let blank = mesh.triangles[triangle].map(|node| blank_at[node as usize].coords);
    let from = Matrix2::from_columns(&[flat[1] - flat[0], flat[2] - flat[0]]);
    let to = Matrix2::from_columns(&[blank[1] - blank[0], blank[2] - blank[0]]);
    let x = from.try_inverse().map(|back| to * back * Vector::x());
    x.and_then(|x| x.try_normalize(f64::EPSILON))
        .unwrap_or_else(Vector::x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Point3;
    use shell::{Section, Vector as InSpace};

    #[test]
    fn a_moment_along_a_leg_that_stands_up_is_along_the_blank() {
        // A leg that goes up from x = 10 in space and on along x on the blank.
        let mesh = Mesh {
            nodes: vec![
                Point3::new(10.0, 0.0, 0.0),
                Point3::new(10.0, 0.0, 8.0),
                Point3::new(10.0, 6.0, 0.0),
            ],
            triangles: vec![[0, 1, 2]],
            patches: vec![0],
            section_of: vec![0],
            sections: vec![Section {
                thickness_mm: 2.0,
                elastic_mpa: 70_000.0,
                poisson: 0.0,
                density_t_mm3: 0.0,
            }],
        };
        let blank_at = [
            Point::new(12.0, 0.0),
            Point::new(20.0, 0.0),
            Point::new(12.0, 6.0),
        ];
        let mut held = shell::forces(&mesh, &[nalgebra::Vector6::zeros(); 3]);
        // Along the leg, which is z in space: in the frame's own axes.
        let along = InSpace::z();
        let (c, s) = (held[0].frame.x.dot(&along), held[0].frame.y.dot(&along));
        let moment = InPlane {
            xx: 50.0 * c * c,
            yy: 50.0 * s * s,
            xy: 50.0 * c * s,
        };
        held[0].moment_n = [moment; 3];
        let told = resultants(&mesh, &blank_at, &|_| Some(Patch::Panel(0)), &held);
        let [xx, yy, xy] = told[0].moment_n;
        assert!(
            (xx - 50.0).abs() < 1e-9 && yy.abs() < 1e-9 && xy.abs() < 1e-9,
            "{told:?}"
        );
    }
}
