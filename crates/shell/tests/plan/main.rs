//! Plans filled with triangles.

mod drawn;
mod random;
mod refused;
mod shapes;
