//! What must hold of every board.
