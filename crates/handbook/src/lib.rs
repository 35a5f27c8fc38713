//! Materials, stock, fasteners, clearance holes, radii and tolerances, each row with its source.
