"""Figures worked out from plain numbers and shapes: pure functions, each with the source of its formula."""
