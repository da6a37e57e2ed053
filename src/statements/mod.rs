//! From words and term hits to statements: who said what about which element, where.
