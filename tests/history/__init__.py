"""Revisions of a home: compared, judged, traced, and looked over as evidence."""
