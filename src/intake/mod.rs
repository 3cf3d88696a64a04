//! Text to model, with every mistake found in one run.
