//! Printed sheets.
