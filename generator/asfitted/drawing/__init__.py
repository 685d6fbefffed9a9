"""As-fitted drawings: a home as laid out and judged, drawn to scale as SVG.

Start at :func:`asfitted.drawing.plan.storey_plan`, :func:`asfitted.drawing.room.room_diagram` and
:func:`asfitted.drawing.section.ceiling_section`. Colours live in ``drawing.css`` alone.
"""
