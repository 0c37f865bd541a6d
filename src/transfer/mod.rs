//! Gas transfer in a running riser.

mod axial;
