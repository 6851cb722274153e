//! A box's tuning, from its dimensions or from what a meter reads.
