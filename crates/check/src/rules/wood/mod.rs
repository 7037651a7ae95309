//! Wood that is cut or in the way.
