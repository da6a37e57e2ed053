//! The pass in which the inspector confirms each item: a pure state machine, and faces over it.
