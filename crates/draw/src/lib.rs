//! Drawings, templates, meshes and solids of a part.
