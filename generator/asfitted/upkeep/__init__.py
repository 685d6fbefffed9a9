"""What is to be done when: tasks from intervals held as data, last done taken from the visits, calendars.

Start at :func:`asfitted.upkeep.schedule.schedule`.
"""
