"""Any caption file checked, repaired, moved to another cut."""
