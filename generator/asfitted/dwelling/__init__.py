"""Rooms, walls, ceilings, openings and ways as shapes. Geometry only: knows places, not devices or rules.

Plan coordinates are metres, x east and y north of one origin that all storeys share; bearings are degrees
clockwise from the plan's upper edge. Start at :func:`asfitted.dwelling.survey.survey`.
"""
