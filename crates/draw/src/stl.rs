//! The mesh as a binary STL file: for printing a check piece, and for anything that shows bodies.

use crate::mesh::Mesh;

/// The file starts with this many bytes of free text.
const HEADER_BYTES: usize = 80;
/// A normal, three corners, and two bytes that are not used.
const TRIANGLE_BYTES: usize = 12 * 4 + 2;

/// The mesh as the bytes of a binary STL file, in mm (the format itself has no place for the unit).
///
/// Numbers are single precision, as the format has them: at a metre from the origin that is a step of 6e-5 mm.
pub fn stl_bytes(mesh: &Mesh) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(HEADER_BYTES + 4 + mesh.triangles.len() * TRIANGLE_BYTES);
    // A binary file must not start with the word "solid", which announces the form in letters.
    bytes.extend_from_slice(b"Folded plate, lengths in millimetres");
    bytes.resize(HEADER_BYTES, b' ');
    bytes.extend_from_slice(&(mesh.triangles.len() as u32).to_le_bytes());
    for &triangle in &mesh.triangles {
        let normal = mesh.normal(triangle);
        for place in std::iter::once(normal).chain(mesh.corners(triangle).map(|corner| corner.coords)) {
            place
                .iter()
                .for_each(|&number| bytes.extend_from_slice(&(number as f32).to_le_bytes()));
        }
        bytes.extend_from_slice(&[0, 0]);
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mesh::mesh;
    use crate::solid::sample::{Leg, volume_mm3, with_leg};

    /// Reads the triangles back, apart from the writer.
    fn corners(bytes: &[u8]) -> Vec<[[f32; 3]; 3]> {
        let count = u32::from_le_bytes(bytes[80..84].try_into().expect("four bytes")) as usize;
        assert_eq!(bytes.len(), 84 + 50 * count);
        let number = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
        (0..count)
            .map(|i| [1, 2, 3].map(|k| [0, 1, 2].map(|axis| number(84 + 50 * i + 12 * k + 4 * axis))))
            .collect()
    }

    #[test]
    fn the_file_holds_the_volume_and_stays_closed_in_single_precision() {
        let part = with_leg(Leg {
            slides_mm: [-2.0, 3.0],
            ..Leg::default()
        });
        let bytes = stl_bytes(&mesh(&part, 0.01).expect("the sample has a body"));
        let triangles = corners(&bytes);
        let volume: f64 = triangles
            .iter()
            .map(|triangle| {
                let [a, b, c] = triangle.map(|corner| nalgebra::Vector3::from(corner.map(f64::from)));
                a.dot(&b.cross(&c)) / 6.0
            })
            .sum();
        assert!((volume / volume_mm3(&part) - 1.0).abs() < 1e-3, "{volume}");
        // Every edge, by its rounded corners, runs as often one way as the other.
        let mut edges = std::collections::BTreeMap::new();
        for triangle in &triangles {
            for k in 0..3 {
                let [a, b] = [triangle[k], triangle[(k + 1) % 3]].map(|corner| corner.map(f32::to_bits));
                *edges.entry((a.min(b), a.max(b))).or_insert(0) += if a < b { 1 } else { -1 };
            }
        }
        assert!(edges.values().all(|&balance| balance == 0));
    }
}
