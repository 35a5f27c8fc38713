//! From readings to points by weighted least squares, with what checks them and what looks slipped.
