"""Revisions of a record. Only :mod:`asfitted.history.repository` talks to git, and it only reads."""
