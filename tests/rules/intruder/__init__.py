"""Rules of the family intruder."""
