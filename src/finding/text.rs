//! Findings as text for people: the long form with the line shown, and the short form.
