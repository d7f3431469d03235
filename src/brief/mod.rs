//! Answers to the short form → plan.
