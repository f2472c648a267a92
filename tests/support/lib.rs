//! What the cross-room tests share.
