//! The plate of the camera cradle, in its first form and in one that bends.

