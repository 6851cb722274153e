//! Pages to keep and to hand on, as self-contained HTML; nothing here writes a file.
