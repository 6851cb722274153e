//! Fourth floor: how far a cone travels, in which box, with which filter.
